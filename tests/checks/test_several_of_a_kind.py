"""What a rule says of the first, it says of the second: two wires, two readings, two points on one
circuit.
"""

from __future__ import annotations

import json

import pytest
from changing import changed, done, findings, text_of

from firstway.checks.expecting import expected_readings
from firstway.checks.rule import Case
from firstway.checks.running import findings_of
from firstway.choosing.completing import Completed, completed
from firstway.model.evidence import with_known_by
from firstway.model.reading import installation_from_yaml

READINGS = "  - {test: ze, at: origin, ohm: 0.26, day: 2026-12-01}\n"


def wired(
    name: str, *changes: dict[str, str], words: tuple[tuple[str, str], ...] = ()
) -> Completed:
    """A job with words of its file and its wires changed."""
    text = f"{changed(name, *words)}\nwiring: {json.dumps(changes)}\n"
    whole, problems = installation_from_yaml(text, f"{name}.yaml", name)
    assert whole is not None, problems
    result, problems = completed(whole)
    assert result is not None, problems
    return result


def with_a_second_point(
    first: str = "",
    second: str = "",
    *changes: dict[str, str],
    more: tuple[tuple[str, str], ...] = (),
) -> Completed:
    """Marram's post again on the same circuit; words of either changed (`old -> new; old -> new`),
    `more` of the file, and wires.
    """
    text = text_of("marram")
    post = text[text.index("  - {name: post-1") : text.index("electrodes:")]
    others = [post, post.replace("post-1", "post-2")]
    for place, words in enumerate((first, second)):
        for each in filter(None, words.split("; ")):
            old, new = each.split(" -> ")
            assert old in others[place], old
            others[place] = others[place].replace(old, new, 1)
    words = (
        ("supplies: [post-1]", "supplies: [post-1, post-2]"),
        (post, "".join(others)),
        (
            "csa_mm2: choose, protective: core, cpc_mm2: choose",
            "csa_mm2: 10, protective: core, cpc_mm2: 10",
        ),
        *more,
    )
    return wired("marram", *changes, words=words) if changes else done("marram", *words)


def test_every_wire_of_a_wrong_colour_is_named() -> None:
    """BS 7671 514.4: blue says neutral, brown says line."""
    said = findings(
        wired(
            "marram",
            {"set": "slipway.L1", "colour": "blue"},
            {"set": "slipway.N", "colour": "brown"},
        ),
        "colour-tells-function",
    )
    assert {(finding.place, finding.level) for finding in said} == {
        ("slipway.L1", "fail"),
        ("slipway.N", "fail"),
    }


@pytest.mark.parametrize(
    "day, level", [("2026-11-30", "advice"), ("2026-12-01", "pass"), ("2026-12-02", "pass")]
)
def test_every_reading_has_its_day_judged(day: str, level: str) -> None:
    """The work begins on the first of December; that day counts."""
    later = f"  - {{test: r1-plus-r2, circuit: slipway, ohm: 0.12, day: {day}}}"
    said = findings(
        done("marram", ("  - {test: r1-plus-r2, circuit: slipway, ohm: 0.12}", later)),
        "reading-day",
    )
    assert [(finding.place, finding.level) for finding in said if finding.of != "supply"] == [
        ("F2", level)
    ]
    assert READINGS in text_of("marram") and any(
        finding.of == "supply" and finding.level == "pass" for finding in said
    )


def test_two_points_share_no_residual_current_device() -> None:
    """BS 7671 722.531.3.101: each point its own."""
    assert "fail" in [
        finding.level
        for finding in findings(with_a_second_point(), "residual-current-at-the-point")
    ]
    assert "fail" not in [
        finding.level for finding in findings(done("marram"), "residual-current-at-the-point")
    ]


@pytest.mark.parametrize(
    "first, second",
    [
        ("dc_detection: rdc-dd -> dc_detection: type-b", ""),
        ("", "dc_detection: rdc-dd -> dc_detection: type-b"),
    ],
)
def test_a_type_b_device_in_either_point_must_not_be_blinded(first: str, second: str) -> None:
    """F2 of type A stands ahead of it: a direct current too small to open the type B can blind the
    other.
    """
    assert [
        finding.level
        for finding in findings(with_a_second_point(first, second), "type-b-not-blinded")
    ] == ["advice"]


@pytest.mark.parametrize(
    "first, second",
    [
        ("outlet: tethered -> outlet: socket; hard_wired: true -> hard_wired: false", ""),
        ("", "outlet: tethered -> outlet: socket; hard_wired: true -> hard_wired: false"),
    ],
)
def test_a_socket_on_a_circuit_asks_for_the_time_of_sockets_whichever_point_has_it(
    first: str, second: str
) -> None:
    """BS 7671 411.3.2.2: 0.4 s in TN for circuits of socket-outlets up to 63 A; 5 s where all is
    fixed and above 32 A (411.3.2.3).
    """
    limits = [
        case.sweep.limit(place)
        for case in (with_a_second_point(first, second).case, with_a_second_point().case)
        if (place := case.sweep.place("F2.load.L1")) is not None
    ]
    assert [getattr(limit, "value", None) for limit in limits] == [0.4, 5.0]


def test_both_points_of_a_circuit_are_wired_and_swept() -> None:
    """Every conductor of the circuit reaches the second point too, and a fault there is worked."""
    case = with_a_second_point().case
    for function in ("L1", "N", "PE"):
        assert case.wiring.terminal(f"post-2.{function}") is not None
        assert case.joined()[f"post-2.{function}"] == case.joined()[f"post-1.{function}"]
    assert case.step("earth-fault-at", "post-2.L1") is not None


def test_the_neutral_of_the_second_point_goes_through_the_device_too() -> None:
    """Taken from the bar it returns beside the device, which then sees the line alone."""
    beside = with_a_second_point(
        "", "", {"move": "slipway.N.post-2", "end": "start", "to": "neutral-bar"}
    )
    assert [finding.level for finding in findings(beside, "neutral-through-device")] == ["fail"]
    assert findings(with_a_second_point(), "neutral-through-device") == ()


def test_every_point_and_every_circuit_has_its_tests() -> None:
    """BS 7671 643 speaks of every circuit; IEC 61851-1 Annex A of the states of every point."""
    listed = {(line.of, line.key) for line in expected_readings(done("sallow").case)}
    for circuit in ("yard", "gate"):
        assert {
            (circuit, key)
            for key in ("insulation", "polarity", "r1-plus-r2", "rcd-time", "test-button", "zs")
        } <= listed
    assert {("yard-post", "state"), ("gate-post", "state")} <= listed


def test_a_main_switch_with_a_pole_bridged_leaves_volts_behind_it() -> None:
    """Off, and 230 V on the bar: the list must not foretell that nothing is there (BS 7671 537.2:
    it isolates all live conductors).
    """
    bridge = {
        "add": "bridge",
        "from": "Q1.supply.L1",
        "to": "Q1.load.L1",
        "csa_mm2": "10",
        "length_m": "0.1",
    }
    for job, volts in ((wired("marram", bridge), 230), (done("marram"), None)):
        shown = next(
            line.shown for line in expected_readings(job.case) if line.key == "main-switch"
        )
        assert shown.value == (pytest.approx(volts) if volts else None) and (
            shown.words == "no voltage on any pole"
        ) == (volts is None)


@pytest.mark.parametrize("hard_wired, level", [("true", "pass"), ("false", "fail")])
def test_the_next_rating_up_is_not_for_several_receptacles(hard_wired: str, level: str) -> None:
    """NFPA 70 240.4(B)(1); 334.80 and 310.16: 6 AWG of NM cable carries 55 A, and 60 A is the next
    standard rating (240.6).
    """
    text = text_of("alder")
    post = text[text.index("{name: post-1") : text.index("]\nother_sources:")]
    half = post.replace("current_a: 48", "current_a: 24").replace(
        "hard_wired: true", f"hard_wired: {hard_wired}"
    )
    job = done(
        "alder",
        ("supplies: [post-1]", "supplies: [post-1, post-2]"),
        (post, f"{half}, {half.replace('post-1', 'post-2')}"),
        ("size_awg: choose, egc_awg: choose", 'size_awg: "6", egc_awg: "10"'),
    )
    said = [
        finding
        for finding in findings(job, "nec-device-protects-conductor")
        if finding.place == "F2"
    ]
    assert [finding.level for finding in said] == [level] and (
        "several receptacles" in said[0].message
    ) == (level == "fail")


def test_the_currents_of_all_points_of_a_circuit_are_added_and_each_is_asked_for() -> None:
    """BS 7671 722.311: no diversity on the circuit of a point; by hand 32 A and 16 A."""
    steps = [
        case.step("design-current", "slipway")
        for second in ("current_a: 16", "power_kw: 7.4")
        if (case := with_a_second_point("", f"current_a: 32 -> {second}").case)
    ]
    assert [step and (step.value, step.missing) for step in steps] == [
        (48, ()),
        (None, ("charging_points.post-2.current_a",)),
    ]


def test_that_two_earths_stay_apart_is_told_of_each_point_by_its_own_earth() -> None:
    """Nobody looked what earths the first point: the pass of the second rests on its own rod (BS
    7671 722.411.4.1).
    """
    rod = "earthed_by: supply -> earthed_by: rod-1"
    job = with_a_second_point(rod, rod, more=(("use: measuring", "use: charging-point"),))
    case = Case(with_known_by(job.installation, {"charging_points.post-1.earthed_by": "assumed"}))
    assert [
        (each.of, each.level) for each in findings_of(case) if each.id == "two-earths-joined"
    ] == [("post-1", "unknown"), ("post-2", "pass")]
