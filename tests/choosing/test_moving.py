"""A surge protective device at other places of the bar, and on other leads: lengths as they are
laid, and what they do to the vehicle.

What is expected stands outside: a module is 17.5 mm wide (DIN 43880); a lead of inductance L adds
L di/dt (law of induction), so more lead in one path is more voltage.
"""

from __future__ import annotations

from math import dist

import pytest
from changing import done, installation

from firstway.choosing.moving import bar_run_m, moved_to, on_a_tour
from firstway.layout.planning import layout_of
from firstway.model.installation import Installation
from firstway.wiring.deriving import wiring_of
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.surge.steps import surge_device
from firstway.workings.working_through import workings_for_surge

# every shipped board whose device the bar feeds
BOARDS = "alder bramble dunlin fulmar marram osier plover sallow sedge tern".split()
MODULE_M = 0.0175


def at_place(name: str, place: int) -> tuple[Installation, float, float]:
    """The board with its device there; its leads in m and the vehicle's volts, by its steps."""
    plain = installation(name)
    way = surge_device(plain)
    assert way is not None
    moved, problems = moved_to(plain, way.name, place, name)
    assert not problems
    workings = workings_for_surge(moved)
    lead = workings.find("spd-lead-length", way.name)
    volts = workings.find("surge-at-vehicle", moved.charging_points[0].name)
    assert lead is not None and lead.figure and volts is not None and volts.figure
    return moved, float(lead.figure), float(volts.figure)


def straight(moved: Installation, name: str) -> float:
    """The straight line in m between the screws of a lead: no lead is shorter."""
    laid = layout_of(moved, wiring_of(moved)).by_id[name]
    return dist(laid.points[0], laid.points[-1]) / 1000


@pytest.mark.long
@pytest.mark.parametrize("name", BOARDS)
def test_moved_to__the_last_way_has_longer_leads_and_a_higher_vehicle(name: str) -> None:
    last = len(installation(name).board.ways)
    (first, lead, volts), (moved, longer, higher) = at_place(name, 1), at_place(name, last)
    way = surge_device(moved)
    assert way is not None and moved.board.ways[-1].name == way.name
    assert first.board.ways[0].name == way.name
    assert longer > lead and higher > volts
    for each, whole in ((first, lead), (moved, longer)):
        run = bar_run_m(PlanOfBoard(each), way)
        assert whole > straight(each, f"lead.PE.{way.name}") + run
    assert bar_run_m(PlanOfBoard(first), way) == 0.0


@pytest.mark.parametrize("name", ["marram", "dunlin", "osier"])
def test_bar_run__is_the_modules_from_the_first_way_that_feeds_a_circuit(name: str) -> None:
    plain = installation(name)
    way = surge_device(plain)
    assert way is not None
    moved, _ = moved_to(plain, way.name, len(plain.board.ways), name)
    modules = sum(each.modules for each in moved.board.ways[:-1])
    assert bar_run_m(PlanOfBoard(moved), way) == pytest.approx(modules * MODULE_M, abs=1e-6)


def test_on_a_tour__costs_what_its_length_says() -> None:
    """Round the devices the lead passes each side of their block once; all figures follow."""
    job = done("marram")
    toured = on_a_tour(job, "lead.PE.F1")
    laid, own = (each.case.layout.by_id["lead.PE.F1"] for each in (toured, job))
    block = job.case.layout.parts.block
    assert laid.length_m > 2 * (block.size(0) + block.size(1)) / 1000 - own.length_m
    assert (laid.points[0], laid.points[-1]) == (own.points[0], own.points[-1])
    assert (laid.loop_cm2 or 0) > 2 * (own.loop_cm2 or 0)
    lead, volts = (
        [float(each.case.workings.find(*step).figure or 0) for each in (job, toured)]
        for step in (("spd-earth-lead", "F1"), ("surge-at-vehicle", "post-1"))
    )
    assert lead[1] == pytest.approx(laid.length_m)
    assert volts[1] > volts[0]
