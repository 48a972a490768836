"""The one comparator of the checks: limits unrounded, what is assumed never passes, one of two ways
suffices.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from changing import done, findings, installation

from firstway.checks.reading_limits import network_voltage
from firstway.checks.rule import ARITHMETIC_LEAVES, Case, Finding, JudgedFigure, Rule, within
from firstway.checks.running import findings_of
from firstway.model.evidence import ground, note

RULE = Rule("tried", "Tried here", "no standard", "", "fail")
JUST = 1e-6  # a millionth: smaller than any table prints or any instrument shows


@pytest.mark.parametrize("limit", [0.04, 1.0925, 32.0, 1666.6666666666667])
def test_within__just_above_the_limit_is_above_it(limit: float) -> None:
    assert within(limit, limit) and within(limit * (1 - JUST), limit)
    assert not within(limit * (1 + JUST), limit)


@pytest.mark.parametrize(
    "value, limit", [(40 * 0.8, 32.0), (0.1 * 3, 0.3), (1.1 * 1.1, 1.21), (0.7 + 0.1, 0.8)]
)
def test_within__the_last_binary_digit_decides_nothing(value: float, limit: float) -> None:
    """IEEE 754: 0.1 x 3 is 0.30000000000000004; nobody's limit is that."""
    assert within(value, limit) and within(limit, value)


def compared(value: float | None, limit: float | None, at_most: bool = True) -> Finding:
    case = Case(installation("marram"))
    return RULE.compares(
        case,
        "board",
        "board",
        JudgedFigure(value, "measure it"),
        JudgedFigure(limit, "ask"),
        "A",
        "holds",
        "breaks",
        at_most,
    )


@pytest.mark.parametrize(
    "value, at_most, level",
    [
        (32.0, True, "pass"),
        (32.0 * (1 + JUST), True, "fail"),
        (32.0 * (1 - JUST), True, "pass"),
        (32.0, False, "pass"),
        (32.0 * (1 + JUST), False, "pass"),
        (32.0 * (1 - JUST), False, "fail"),
    ],
)
def test_compares__just_above_and_just_below(value: float, at_most: bool, level: str) -> None:
    found = compared(value, 40 * 0.8, at_most)
    assert (found.level, found.value) == (level, value), "the figure shown is the one compared"


def test_compares__what_is_missing_is_asked_for() -> None:
    assert (compared(None, 32.0).level, compared(None, 32.0).message) == (
        "unknown",
        "not known: measure it",
    )
    assert compared(32.0, None).message == "not known: ask"


def test_a_pass_that_rests_on_something_assumed_is_none() -> None:
    with ground():
        note("supply.ze_ohm")
        found, against = compared(31.0, 32.0), compared(33.0, 32.0)
    assert found.level == "unknown" and found.message.startswith(
        "would pass, but supply.ze_ohm is assumed"
    )
    assert against.level == "fail", "what is against stays against"


def test_a_finding_about_one_circuit_does_not_rest_on_the_keys_of_another() -> None:
    sallow = done("sallow").installation
    yard, gate = (circuit.name for circuit in sallow.circuits)
    found = findings_of(
        Case(replace(sallow, known_by={f"circuits.{yard}.cable.csa_mm2": "assumed"})),
        ("capacity",),
    )
    assert {finding.of: finding.level for finding in found if finding.of != "feed"} == {
        yard: "unknown",
        gate: "pass",
    }


def test_guarded__one_of_two_ways_suffices() -> None:
    """536.4.202: the device ahead, or the outgoing devices together; an assumed figure of the way
    not taken takes nothing.
    """
    marram = done("marram").installation
    way = marram.way_feeding(marram.circuits[0].name).name
    for path, level in (
        (f"board.ways.{way}.rating_a", "pass"),
        ("board.assembly.rating_a", "unknown"),
    ):
        found = findings_of(Case(replace(marram, known_by={path: "assumed"})), ("assembly-rating",))
        assert [finding.level for finding in found] == [level], path


def test_the_electrode_limit_is_the_printed_one_where_the_standard_prints_one() -> None:
    """BS 7671 Table 41.5 prints 1667 ohm for 30 mA (50 V / 30 mA is 1666.7)."""
    alone = (
        (
            "upstream_rcd: {standard: IEC 61008-1, residual_type: A, rated_residual_current_ma:"
            " 100, delay: S}"
        ),
        "upstream_rcd: none",
    )
    levels = {
        ohm: (
            findings(
                done("tern", ("resistance_ohm: 62", f"resistance_ohm: {ohm}"), alone),
                "electrode-resistance",
            )[0].level
        )
        for ohm in ("1667", "1667.1", "1668")
    }
    assert levels == {"1667": "advice", "1667.1": "fail", "1668": "fail"}


def test_the_slack_is_the_arithmetics_alone() -> None:
    assert ARITHMETIC_LEAVES <= 1e-9


def test_a_reading_is_compared_with_the_networks_own_limits_unrounded() -> None:
    """The Electricity Safety, Quality and Continuity Regulations 2002, regulation 27: 230 V, up to
    10 per cent above and 6 per cent below; 253.0 and 216.2 V.
    """
    limit = network_voltage(done("marram").case, between_lines=False)
    assert limit.broken(253.0) is None and limit.broken(216.2) is None
    for value, bound in ((253.0 * (1 + JUST), 253.0), (216.2 * (1 - JUST), 216.2)):
        assert limit.broken(value) == pytest.approx(bound, rel=1e-12)
    ragged = network_voltage(
        done("marram", ("line_to_earth_v: 230", "line_to_earth_v: 230.0000002")).case,
        between_lines=False,
    )
    assert ragged.value == pytest.approx(253.00000022, rel=1e-15), "a limit keeps its digits"
