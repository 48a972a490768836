"""Choosing: a size is taken only when its own checks do not speak against it, and never past what
is not known.
"""

from __future__ import annotations

import pytest
from changing import Change, done, installation, refused
from hypothesis import given, settings, strategies
from sampling import JOBS, many

from firstway.choosing.completing import SIZE_FINDINGS, Completed, completed
from firstway.model.values import CHOOSE

WITH_CHOICES = [name for name in JOBS if done(name).log]
SIX: Change = (
    "csa_mm2: choose, protective: core, cpc_mm2: choose",
    "csa_mm2: 6, protective: core, cpc_mm2: 6",
)


def size(result: Completed, circuit: str) -> float:
    found = result.installation.circuit(circuit).cable.csa_mm2
    assert isinstance(found, float)
    return found


def fails_of(result: Completed, of: str) -> list[str]:
    return [
        finding.id
        for finding in result.findings
        if finding.of == of and finding.level in ("fail", "danger") and finding.id in SIZE_FINDINGS
    ]


def test_marram__takes_six_and_logs_why_not_the_smaller() -> None:
    """Table 4D4A (70 C column, for 70 C terminals): 4 mm2 in ducts carries 37 x 1.05 x 0.9 A, below
    40 A; 6 mm2 43.5 A.
    """
    result = done("marram")
    assert size(result, "slipway") == 6
    rejected = result.log["circuits.slipway.cable.csa_mm2"]
    assert [row.value for row in rejected] == [1.5, 2.5, 4.0]
    assert all(row.because and row.table and row.source and row.standing for row in rejected)
    step = result.case.step("conductor-size", "slipway")
    assert step is not None and step.kind == "choice" and step.rejected == rejected


@pytest.mark.parametrize("name", WITH_CHOICES)
def test_what_was_chosen_passes_its_own_checks(name: str) -> None:
    result = done(name)
    for circuit in result.installation.circuits:
        assert fails_of(result, circuit.name) == []
    assert CHOOSE not in [
        value
        for circuit in result.installation.circuits
        for value in (circuit.cable.csa_mm2, circuit.cable.cpc_mm2, circuit.cable.size_awg)
    ]
    assert CHOOSE not in [way.rating_a for way in result.installation.board.ways]


@pytest.mark.parametrize(
    "name", [name for name in WITH_CHOICES if installation(name).rules != "nec"]
)
def test_every_rejected_size_fails_when_it_is_written_into_the_file(name: str) -> None:
    """The log tells the truth: the next smaller size, given by hand, is a fail for the reason that
    was logged.
    """
    result = done(name)
    for path, rejected in result.log.items():
        if not path.endswith("csa_mm2") or not rejected:
            continue
        of = path.split(".")[1]
        worst = rejected[-1]
        protective = f"{float(worst.row.split('conductor of ')[1].split(' ')[0]):g}"
        given = (
            done(
                name,
                (
                    "csa_mm2: choose, protective: core, cpc_mm2: choose",
                    f"csa_mm2: {worst.value:g}, protective: core, cpc_mm2: {protective}",
                ),
            )
            if len(result.installation.circuits) == 1
            else None
        )
        if given is not None:
            messages = [
                finding.message
                for finding in given.findings
                if finding.of == of and finding.level in ("fail", "danger")
            ]
            assert worst.because in messages


@pytest.mark.parametrize(
    "current, rating",
    [
        (32, 32),
        (32.01, 40),
        (33, 40),
        (16, 16),
        (6, 6),
        (10.5, 13),
        (13.5, 16),
        (20, 20),
        (25.1, 32),
        (40, 40),
        (41, 50),
        (62, 63),
    ],
)
def test_rating__is_the_next_standard_rating_not_below_the_current(
    current: float, rating: float
) -> None:
    """Preferred ratings of IEC 61009-1: 6, 10, 13, 16, 20, 25, 32, 40, 50, 63 A; BS 7671 433.1.1:
    In >= Ib.
    """
    result = done(
        "sedge",
        ("current_a: 32", f"current_a: {current}"),
        (
            "csa_mm2: choose, protective: core, cpc_mm2: choose",
            "csa_mm2: 16, protective: core, cpc_mm2: 6",
        ),
    )
    assert result.installation.way("F2").rating_a == rating
    rejected = result.log["board.ways.F2.rating_a"]
    assert all(
        row.value < current and "below the design current" in row.because for row in rejected
    )
    assert [row.value for row in rejected] == sorted(row.value for row in rejected)


def test_rating__from_power() -> None:
    """7.4 kW at 230 V is 32.2 A, so 40 A."""
    assert done("sedge", ("current_a: 32", "power_kw: 7.4")).installation.way("F2").rating_a == 40


def test_rating__refused_above_the_largest() -> None:
    problems = refused("sedge", ("current_a: 32", "current_a: 200"))
    assert [problem.line for problem in problems] == [
        installation("sedge").lines_of["board.ways.F2.rating_a"]
    ]
    assert "cannot be chosen" in problems[0].message and problems[0].hint


@pytest.mark.parametrize(("name", "standard"), [("dunlin", "IEC 61009-1"), ("alder", "UL 489")])
def test_rating__refused_without_the_standard_of_the_device(name: str, standard: str) -> None:
    """Standard ratings are a list of the device's own standard: that is what to write."""
    problems = refused(name, (f"standard: {standard}, protected", "protected"))
    assert "the standard of the device is not known" in problems[0].message
    assert "`standard`" in problems[0].hint


def test_flat_twin__takes_the_standard_pair() -> None:
    """BS 6004: 6 mm2 flat twin and earth holds 2.5 mm2, 10 mm2 holds 4 mm2."""
    cable = done("sedge").installation.circuit("drive").cable
    assert (
        cable.cpc_mm2
        == {1.0: 1.0, 1.5: 1.0, 2.5: 1.5, 4.0: 1.5, 6.0: 2.5, 10.0: 4.0, 16.0: 6.0}[cable.csa_mm2]
    )


def test_core_of_an_armoured_cable__is_never_smaller_than_the_others() -> None:
    for name, circuit in (("marram", "slipway"), ("tern", "shed")):
        cable = done(name).installation.circuit(circuit).cable
        assert cable.cpc_mm2 == cable.csa_mm2


# ---- what is refused


def test_too_long__is_refused_with_its_place() -> None:
    """5 % of 230 V is 11.5 V: at 32 A even 400 mm2 cannot span 2 km; the largest size tried is
    told, none is invented.
    """
    problems = refused("marram", ("{method: D1, length_m: 12,", "{method: D1, length_m: 2000,"))
    assert (
        len(problems) == 1
        and problems[0].line == installation("marram").lines_of["circuits.slipway.cable"]
    )
    assert (
        "cannot be chosen" in problems[0].message
        or "no standard size serves" in problems[0].message
    )
    assert problems[0].hint


def test_past_the_largest_flat_cable__is_refused() -> None:
    """BS 6004 flat twin and earth ends at 16 mm2."""
    problems = refused("sedge", ("{method: C, length_m: 9,", "{method: C, length_m: 300,"))
    assert (
        "no standard size serves 'drive'" in problems[0].message
        and "voltage" in problems[0].message
    )


@pytest.mark.parametrize(
    "change, asks",
    [
        (("soil_k_m_per_w: 2.5", "soil_k_m_per_w: unknown"), "soil"),
        (("ground_c: 15", "ground_c: unknown"), "temperature"),
        (
            (
                (
                    "ambient_c: 30, grouped_circuits: 1, thermal_insulation_length_mm: 0,"
                    " depth_in_wall_mm"
                ),
                "ambient_c: 30, thermal_insulation_length_mm: 0, depth_in_wall_mm",
            ),
            "circuits",
        ),
        (("rating_a: 40, curve", "rating_a: unknown, curve"), "rating_a"),
        (("construction: armoured", "construction: unknown"), "kind of cable"),
        (("depth_m: 0.6", "depth_m: 1.2"), "depth"),
    ],
)
def test_no_size_is_chosen_past_what_is_not_known(change: Change, asks: str) -> None:
    """Unknown is neither fail nor danger: without this the smallest cable would be taken."""
    problems = refused("marram", change)
    assert (
        asks in problems[0].message
        and problems[0].line == installation("marram").lines_of["circuits.slipway.cable"]
    )


def test_a_figure_not_known_that_no_size_depends_on_does_not_stop_choosing() -> None:
    result = done(
        "marram",
        ("  ze_ohm: 0.28", "  ze_ohm: unknown"),
        ("line_neutral: 0.82, line_earth: 0.82", "line_neutral: 0.82"),
    )
    assert size(result, "slipway") == 6
    assert [finding.level for finding in result.findings if finding.id == "loop-impedance"] == [
        "unknown"
    ]


def test_an_electrode_that_is_too_high_rejects_no_cable() -> None:
    result = done("tern", ("resistance_ohm: 62", "resistance_ohm: 2000"))
    assert size(result, "shed") == size(done("tern"), "shed")
    assert [finding.level for finding in result.findings if finding.id == "loop-impedance"] == [
        "fail"
    ]


def test_a_given_faulty_size_is_worked_and_judged_not_refused() -> None:
    """The guide teaches faults."""
    result = done(
        "marram",
        (
            "csa_mm2: choose, protective: core, cpc_mm2: choose",
            "csa_mm2: 2.5, protective: core, cpc_mm2: 2.5",
        ),
    )
    assert "capacity" in fails_of(result, "slipway") and result.log == {}


# ---- monotony


def chosen(length: int, current: int) -> float | None:
    found, problems = completed(
        installation(
            "marram",
            ("{method: C, length_m: 6,", f"{{method: C, length_m: {length},"),
            ("current_a: 32", f"current_a: {current}"),
            ("rating_a: 40, curve", "rating_a: choose, curve"),
        )
    )
    assert (found is None) == bool(problems)
    return None if found is None else size(found, "slipway")


@settings(max_examples=many(10, 30), deadline=None, derandomize=True, database=None)
@given(
    strategies.integers(1, 400),
    strategies.integers(0, 300),
    strategies.sampled_from([6, 16, 32, 40]),
)
def test_a_longer_route_never_gives_a_smaller_size(length: int, more: int, current: int) -> None:
    short, long = chosen(length, current), chosen(length + more, current)
    assert short is not None or long is None, "what serves a long route serves a short one"
    assert short is None or long is None or short <= long


@settings(max_examples=many(8, 20), deadline=None, derandomize=True, database=None)
@given(strategies.integers(1, 200), strategies.integers(6, 50), strategies.integers(0, 20))
def test_a_larger_current_never_gives_a_smaller_size(length: int, current: int, more: int) -> None:
    less_a, more_a = chosen(length, current), chosen(length, current + more)
    assert less_a is not None or more_a is None
    assert less_a is None or more_a is None or less_a <= more_a


def test_choosing_changes_nothing_else() -> None:
    before, after = installation("marram"), done("marram").installation
    for part in (
        "supply",
        "board",
        "charging_points",
        "electrodes",
        "feed",
        "known_by",
        "lines_of",
    ):
        assert getattr(before, part) == getattr(after, part)


def test_same_file_same_choice() -> None:
    first, _ = completed(installation("sedge"))
    second, _ = completed(installation("sedge"))
    assert first is not None and second is not None
    assert (first.installation, first.log) == (second.installation, second.log)


def test_rods__the_fewest_that_serve_and_why_fewer_do_not() -> None:
    """BS 7430 9.5.3, by hand: 3000 ohm.m, one rod of 1.2 m and 16 mm: 3000 / 7.540 x (ln 600 - 1) =
    2147 ohm, above 500 ohm at 100 mA.

    Four in line: 2147 x (1 + 2.15 x 0.0618) / 4 = 608 ohm, five: 2147 x (1 + 2.54 x 0.0618) / 5 =
    497 ohm, alpha = 3000 / (2 pi 2147 x 3.6).
    """
    result = done("fulmar")
    rods = result.case.workings.find("rods", "rods")
    assert rods is not None and rods.value == 5 and rods.kind == "choice"
    assert [row.value for row in rods.rejected] == [
        1.0,
        2.0,
        3.0,
        4.0,
    ] and "2147 Ω" in rods.rejected[0].row


def test_rods__refused_where_the_soil_is_not_known() -> None:
    problems = refused("fulmar", ("soil_ohm_m: 3000", "soil_ohm_m: unknown"))
    assert (
        len(problems) == 1
        and "rods cannot be chosen" in problems[0].message
        and problems[0].line > 1
    )
