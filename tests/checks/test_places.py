"""Surge protective devices elsewhere, a board in an insulated enclosure, residual current devices
with breakers behind them, a point with its own: four sound jobs, and of each a twin with four
faults.

The jobs are our own invention. What their checks must say was written from the clauses named in
the rules.
"""

from __future__ import annotations

import pytest
from changing import changed, done, findings, installation, text_of
from four_faults import assert_all_are_found_together, assert_each_is_found_alone, assert_sound

from firstway.checks.expecting import expected_readings
from firstway.model.reading import installation_from_yaml
from firstway.wiring.deriving import wiring_of

# What is wrong in the twin: words of the file, what stands there instead, and what must say so:
# level, rule, place.
FAULTS: dict[str, tuple[tuple[str, str, str, str, str], ...]] = {
    "heron": (
        ("impulse_current_ka: 25", "impulse_current_ka: 8", "fail", "surge-impulse-current", "V0"),
        (
            "least_cable_m: 5}\n  - {name: V2",
            "least_cable_m: 15}\n  - {name: V2",
            "fail",
            "surge-devices-agree",
            "V0",
        ),
        (
            "backup_fuse_max_a: 160, fuse_a: 100",
            "backup_fuse_max_a: 63, fuse_a: 100",
            "fail",
            "surge-backup",
            "V0",
        ),
        ("year: 2027, state: healthy", "year: 2027, state: worn", "fail", "surge-state", "V2"),
    ),
    "teasel": (
        (
            "inner_metal_earthed: false",
            "inner_metal_earthed: true",
            "fail",
            "class-two-kept",
            "board",
        ),
        (
            "metal_through_wall: false",
            "metal_through_wall: true",
            "fail",
            "class-two-kept",
            "board",
        ),
        ("connection: CT2", "connection: CT1", "fail", "surge-connection", "F1"),
        (
            "isolator: true\n  double_or_reinforced_insulation: true",
            "isolator: true\n  double_or_reinforced_insulation: false",
            "danger",
            "fault-opens-in-time",
            "origin",
        ),
    ),
    "curlew": (
        (
            "other_sources: none",
            "other_sources: none\nwiring:\n  - {move: north.N, end: start, to: neutral-bar-R2}",
            "fail",
            "neutral-through-device",
            "R1",
        ),
        (
            "residual_type: A,\n       delay: none",
            "residual_type: AC,\n       delay: none",
            "fail",
            "residual-type",
            "F2",
        ),
        (
            "devices_to_be_had: [rcd, breaker]",
            "devices_to_be_had: [breaker]",
            "fail",
            "devices-to-be-had",
            "R1",
        ),
        (
            "top_mm: 5, screws: 7}",
            "top_mm: 5, screws: 3}",
            "fail",
            "bar-screws",
            "earth-bar",
        ),
    ),
    "rowan": (
        (
            "built_in_rcd_ma: 30",
            "built_in_rcd_ma: 300",
            "fail",
            "residual-current-at-the-point",
            "forecourt-post",
        ),
        (
            "built_in_rcd_poles: 2",
            "built_in_rcd_poles: 1",
            "fail",
            "line-and-neutral-open",
            "forecourt-post",
        ),
        (
            "protected_poles: 1, switched_poles: 2,\n       rating_a: 40, curve: B, breaking",
            "protected_poles: 1, switched_poles: 1,\n       rating_a: 40, curve: B, breaking",
            "fail",
            "line-and-neutral-open",
            "F2",
        ),
        (
            "armour_earthed: board-end",
            "armour_earthed: neither-end",
            "fail",
            "armour-earthed",
            "forecourt",
        ),
    ),
}
JOBS = tuple(FAULTS)


@pytest.mark.parametrize("name", JOBS)
def test_the_sound_job_has_no_fail(name: str) -> None:
    assert_sound(name)


@pytest.mark.parametrize("name", JOBS)
def test_each_fault_is_found_alone(name: str) -> None:
    assert_each_is_found_alone(name, FAULTS[name])


@pytest.mark.parametrize("name", JOBS)
def test_the_twin_shows_all_four(name: str) -> None:
    assert_all_are_found_together(name, FAULTS[name])


# ---- what is not known is not passed


@pytest.mark.parametrize(
    ("name", "old", "new", "rule"),
    [
        (
            "heron",
            "state: healthy, connection: CT1, continuous_voltage_v: 275, protection_level_kv: 1.5",
            "state: none, connection: CT1, continuous_voltage_v: 275, protection_level_kv: 1.5",
            "surge-state",
        ),
        ("heron", "agrees_with: [F1, V2]", "agrees_with: undeclared", "surge-devices-agree"),
        ("heron", "lightning_level: III", "lightning_level: unknown", "surge-impulse-current"),
        ("heron", "impulse_current_ka: 25", "impulse_current_ka: 12.5", "surge-impulse-current"),
        ("teasel", "inner_metal_earthed: false", "inner_metal_earthed: unknown", "class-two-kept"),
        (
            "rowan",
            "built_in_rcd_standard: IEC 62423",
            "built_in_rcd_standard: undeclared",
            "residual-current-at-the-point",
        ),
    ],
)
def test_what_is_not_known_is_asked_for(name: str, old: str, new: str, rule: str) -> None:
    assert "unknown" in {each.level for each in findings(done(name, (old, new)), rule)}


def test_years_alone_say_nothing_of_an_old_one() -> None:
    """A window nobody looked at is not known at any age."""
    for year in (1999, 2026):
        case = done("heron", ("year: 2024, state: healthy", f"year: {year}, state: unknown"))
        found = [each for each in findings(case, "surge-state") if each.place == "V0"]
        assert [each.level for each in found] == ["unknown"]
        assert f"its {2027 - year} years say nothing" in found[0].message


# ---- the wiring of a neutral bar behind a residual current device


def test_each_neutral_ends_on_the_bar_of_its_own_device() -> None:
    graph = wiring_of(installation("curlew"))
    ends = {each.id: (each.start, each.end) for each in graph.conductors}
    for circuit, device in (("north", "R1"), ("south", "R2")):
        assert any(end.startswith(f"neutral-bar-{device}.") for end in ends[f"{circuit}.N"])


def test_a_neutral_on_the_wrong_bar_is_found() -> None:
    """BS 7671 314.4: the neutral of each final circuit is kept apart from that of any other."""
    wrong = (
        "other_sources: none",
        "other_sources: none\nwiring:\n  - {move: north.N, end: start, to: neutral-bar-R2}",
    )
    found = findings(done("curlew", wrong), "neutral-through-device")
    assert ("fail", "R1.load.N") in {(each.level, each.place) for each in found}


def test_the_device_ahead_of_the_breaker_is_tried() -> None:
    tests = [each for each in expected_readings(done("curlew").case) if each.key == "rcd-time"]
    assert [each.of for each in tests] == ["north", "south"]
    for each, device in zip(tests, ("R1", "R2")):
        assert device in each.where and each.shown.words == "trips"


def test_two_circuits_behind_one_device_are_one_too_many() -> None:
    """722.531.3.101: each connecting point has a residual current device of its own."""
    text = text_of("curlew")
    second = text[text.index("    - {name: R2") : text.index("    - {name: F3")]
    known = ("board.ways.R2: data-sheet, ", "")
    shared = done("curlew", (second, ""), ("fed_from: R2", "fed_from: R1"), known)
    found = findings(shared, "residual-current-at-the-point")
    assert {(each.level, each.place) for each in found} == {("fail", "R1")}


def test_an_own_device_inside_does_not_guard_the_cable() -> None:
    """The cable ahead of the point has the breaker alone: hidden in a wall it is too little."""
    shallow = (
        "length_m: 9, ambient_c: 30, grouped_circuits: 1, thermal_insulation_length_mm: 0,"
        " depth_in_wall_mm: 0",
        "length_m: 9, ambient_c: 30, grouped_circuits: 1,"
        " thermal_insulation_length_mm: 0, depth_in_wall_mm: 20",
    )
    flat = (
        "construction: armoured, insulation: thermosetting-90, cores: 3",
        "construction: flat-twin-and-earth, insulation: thermoplastic-70, cores: 2",
    )
    armour = ("armour_earthed: board-end, ", "")
    found = findings(done("rowan", shallow, flat, armour), "cable-in-wall")
    assert "fail" in {each.level for each in found}


# ---- what a file may not say


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("at: origin, type: 1", "at: attic, type: 1", "no place 'attic'"),
        ("agrees_with: [F1, V2]", "agrees_with: [F9]", "no other surge protective device 'F9'"),
        ("name: V0, at", "name: F1, at", "stands twice"),
    ],
)
def test_what_cannot_be_is_told(old: str, new: str, words: str) -> None:
    _, problems = installation_from_yaml(changed("heron", (old, new)), "heron.yaml", "heron")
    assert any(words in each.message for each in problems), problems
