"""Choosing: a surge protective device at another place of the bar, or on other leads, as its board
is laid then; whoever studies it or shows it changes it here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from firstway.checks.rule import Case
from firstway.choosing.completing import Completed
from firstway.files.yaml_reader import Text
from firstway.layout.touring import toured
from firstway.model.installation import Installation, Way
from firstway.model.mistakes import with_key
from firstway.model.values import is_known, key_of
from firstway.problems import Problem
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.surge.leads import LEAD_SIDES, conductors_of


def moved_to(
    installation: Installation, name: str, place: int, file: str
) -> tuple[Installation, list[Problem]]:
    """The device at this place of the bar, counted from 1 beside the main switch, each lead as long
    as it is laid there. A lead whose length is not known stays so.

    On the line side the bar counts too, from the first way that feeds a circuit on to the device:
    that piece carries the surge of the device and stands between the circuit and it.
    """
    moved, plan, problems = laid_at(installation, name, place, file)
    if problems:
        return moved, problems
    return with_lead_lengths(moved, moved.way(name), laid_leads_m(plan, moved.way(name)), file)


def laid_at(
    installation: Installation, name: str, place: int, file: str, known: PlanOfBoard | None = None
) -> tuple[Installation, PlanOfBoard, list[Problem]]:
    """The device at this place of the bar, its leads still as they are stated, and the plan:
    `known`, the installation's own, where the device stands there already.
    """
    ways = [way for way in installation.board.ways if way.name != name]
    device = next(way for way in installation.board.ways if way.name == name)
    ways.insert(place - 1, device)
    moved = replace(installation, board=replace(installation.board, ways=tuple(ways)))
    there = moved.board.ways == installation.board.ways
    plan = known if known and there else PlanOfBoard(moved)
    why = plan.refused
    hint = "leave this place out"
    wrong = [Problem(file, 0, f"{name} cannot be laid here: {why}", hint)] if why else []
    return moved, plan, wrong


def laid_leads_m(plan: PlanOfBoard, way: Way) -> dict[str, float]:
    """How long each lead of a device is in m as it lies, by its side."""
    found = {}
    for side in LEAD_SIDES:
        lengths = [plan.layout.by_id[each.id].length_m for each in conductors_of(plan, way, side)]
        if lengths:
            found[side] = max(lengths) + (bar_run_m(plan, way) if side == "line" else 0.0)
    return found


def bar_run_m(plan: PlanOfBoard, way: Way) -> float:
    """The bar in m from the first way that feeds a circuit to a device that stands beyond it; 0
    where it stands ahead of every such way.
    """
    installation, laid = plan.installation, plan.layout.by_id
    feeds = {each.name for each in installation.board.ways if is_known(each.feeds)}
    runs = [0.0]
    for line in ("L1", "L2", "L3"):
        begun, run = False, 0.0
        for conductor in plan.wiring.conductors:
            if not conductor.id.startswith(f"bar.{line}.") or conductor.id not in laid:
                continue
            near, far = (end.rpartition(".")[2] for end in (conductor.start, conductor.end))
            begun = begun or near in feeds
            run += laid[conductor.id].length_m if begun else 0.0
            if far == way.name:
                runs.append(run)
                break
    return max(runs)


def with_lead_lengths(
    installation: Installation, way: Way, lengths: Mapping[str, float], file: str
) -> tuple[Installation, list[Problem]]:
    """The leads of a device as long as this in m, by their sides; those of unknown length stay."""
    problems: list[Problem] = []
    for side, length in lengths.items():
        if is_known(key_of(key_of(way.leads, side), "length_m")):
            path = f"board.ways.{way.name}.leads.{side}.length_m"
            installation, found = with_key(installation, path, Text(f"{length:.12g}", 0), file)
            problems += found
    return installation, problems


def as_job(job: Completed, installation: Installation) -> Completed:
    """An installation that was changed, with the sizes of the job it comes from; not checked."""
    return Completed(installation, Case(installation, job.log), (), job.log)


def on_a_tour(job: Completed, lead: str) -> Completed:
    """The job with this lead led round the devices along the walls: it counts as it lies."""
    changed = as_job(job, job.installation)
    changed.case.give("layout", toured(job.case.layout, lead))
    return changed
