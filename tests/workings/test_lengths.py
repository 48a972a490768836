"""Proves which length of a lead counts: the longer of what the file states and what is laid (IEC
60364-5-53 534.4.8 counts leads as they are fitted, from memory), against plain arithmetic; and that
nothing passes on a place that nobody stated.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from changing import done, findings, installation

from firstway.choosing.completing import Completed
from firstway.layout.plan import Layout
from firstway.layout.planning import layout_of
from firstway.model.installation import WiringChange
from firstway.wiring.deriving import wiring_of
from firstway.workings.shared.laid import length_step
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.working_through import workings_of

LEADS = (("line", "tooth.L1.F1"), ("neutral", "lead.N.F1"), ("earth", "lead.PE.F1"))


def value(result: Completed, step_id: str, of: str) -> float:
    step = result.case.step(step_id, of)
    assert step is not None and step.value is not None, step_id
    return step.value


def test_leads__the_longer_of_stated_and_laid_counts() -> None:
    result = done("marram", ("earth: {length_m: 0.25", "earth: {length_m: 0.01"))
    laid = value(result, "conductor-length", "lead.PE.F1")
    assert value(result, "spd-earth-lead-stated", "F1") == 0.01
    assert value(result, "spd-earth-lead", "F1") == laid > 0.01
    assert value(result, "spd-lead-length", "F1") == pytest.approx(
        value(result, "spd-line-lead", "F1") + laid
    )
    whole = done("marram")
    for side, conductor in LEADS:
        stated = value(whole, f"spd-{side}-lead-stated", "F1")
        assert value(whole, f"spd-{side}-lead", "F1") == max(
            stated, value(whole, "conductor-length", conductor)
        )


def test_surge__takes_the_longer_length_too() -> None:
    whole = done("marram")
    longer = done("marram", ("earth: {length_m: 0.25", "earth: {length_m: 0.6"))
    short = done("marram", ("earth: {length_m: 0.25", "earth: {length_m: 0.01"))
    laid = done("marram", ("earth: {length_m: 0.25", "earth: {length_m: choose"))
    figures = [value(each, "surge-at-vehicle", "post-1") for each in (short, laid, whole, longer)]
    assert figures[0] == figures[1] < figures[2] < figures[3]


@pytest.mark.parametrize(
    "changes",
    [
        (("earth: {length_m: 0.25", "earth: {length_m: choose"),),
        (
            (
                "leads: {line: {length_m: 0.05, csa_mm2: 16}, neutral: {length_m: 0.15, csa_mm2:"
                " 16}, earth: {length_m: 0.25, csa_mm2: 16}, through_own_device_m: 0}",
                "leads: choose",
            ),
        ),
    ],
)
def test_choose__the_laid_length_is_the_figure(changes: tuple[tuple[str, str], ...]) -> None:
    result = done("marram", *changes)
    laid = value(result, "conductor-length", "lead.PE.F1")
    assert value(result, "spd-earth-lead", "F1") == laid
    leads = result.installation.way("F1").leads
    assert leads.earth.length_m == laid  # type: ignore[union-attr]  # chosen: it stands there
    assert result.case.step("spd-earth-lead-stated", "F1") is None
    # before sizes are chosen it is laid beside conductors of usual size
    raw = workings_of(installation("marram", *changes)).find("spd-earth-lead", "F1")
    assert raw is not None and raw.value == pytest.approx(laid, rel=0.1)


def test_no_place_no_pass() -> None:
    for change in (
        ("row: {left_mm: 45, ", "row: {"),
        ("depth_mm: 100, ", ""),
        ("known_by: {", "known_by: {board.enclosure.earth_bar_at: assumed, "),
    ):
        result = done("marram", change)
        assert {each.level for each in findings(result, "surge-leads")} == {"unknown"}, change
        levels = [each.level for each in findings(result, "surge-lead-laid")]
        assert "unknown" in levels and "fail" not in levels


MEASURED = ("known_by: {", "known_by: {board.ways.F1.leads: measured, ")


def test_measured_leads__count_as_measured_where_nobody_states_the_places() -> None:
    # a fitted board is a fact: what a plan makes of places it assumes neither lengthens a lead
    # that was measured nor takes its pass; where all places are stated the longer one counts
    bare = ("row: {left_mm: 45, ", "row: {")
    short = ("earth: {length_m: 0.25", "earth: {length_m: 0.18")
    for change in ((bare, MEASURED), (bare, MEASURED, short)):
        result = done("marram", *change)
        for side, _ in LEADS:
            stated = value(result, f"spd-{side}-lead-stated", "F1")
            assert value(result, f"spd-{side}-lead", "F1") == stated
        assert {each.level for each in findings(result, "surge-leads")} == {"pass"}
        step = result.case.step("spd-earth-lead", "F1")
        assert step is not None and not step.assumed
    placed = done("marram", MEASURED, ("earth: {length_m: 0.25", "earth: {length_m: 0.01"))
    assert value(placed, "spd-earth-lead", "F1") > 0.05
    assert {each.level for each in findings(placed, "surge-lead-laid")} == {"fail", "pass"}


def test_laid_lengths__are_a_step_for_every_conductor_inside() -> None:
    case = done("marram").case
    inside = {each.id for each in case.layout.conductors if each.inside}
    steps = [*case.workings, *case.lengths]
    told = [each.of for each in steps if each.id == "conductor-length"]
    assert sorted(told) == sorted(inside)
    loops = {each.of for each in steps if each.id == "conductor-loop-area"}
    assert loops == {each.id for each in case.layout.conductors if each.inside and each.partner}
    for step in steps:
        if step.id in ("conductor-length", "conductor-loop-area"):
            assert step.rows and step.standing == "assumed" and not step.assumed


def test_lengths__of_a_board_that_cannot_be_laid_are_missing_and_say_what_to_measure() -> None:
    change = WiringChange(set="slipway.L1", csa_mm2=4.0)
    job = replace(installation("marram"), wiring=(change,))

    def lay() -> Layout:
        raise LookupError("no channel leads from here to there")

    plan = PlanOfBoard(job, layout=lay)
    for conductor in plan.wiring.conductors:
        step = length_step(plan, conductor)
        assert step.value is None and step.missing, conductor.id
        assert step.ask == "no channel leads from here to there: measure it"


def test_plan__is_not_laid_until_a_length_is_asked_for() -> None:
    job, laid = installation("tern"), []

    def lay() -> Layout:
        laid.append(1)
        return layout_of(job, wiring_of(job))

    worked = workings_of(job, plan=PlanOfBoard(job, layout=lay))
    assert not laid
    assert worked.value("spd-lead-length", "F1") and laid == [1]
    assert worked.value("surge-at-vehicle", "shed-point") and laid == [1]
