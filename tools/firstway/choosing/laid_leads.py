"""Choosing: leads of surge protective devices whose length is left to the plan of the board."""

from __future__ import annotations

from dataclasses import replace

from firstway.model.installation import Amount, Installation, Leads, SurgeLead, Way
from firstway.model.values import CHOOSE, NONE, UNKNOWN, is_known, key_of, place_of
from firstway.problems import Problem
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.shared.step import RowRead
from firstway.workings.surge.leads import LEAD_SIDES, conductors_of


def with_laid_leads(
    installation: Installation, log: dict[str, tuple[RowRead, ...]]
) -> tuple[Installation, list[Problem]]:
    """The installation with each such lead as long as it is laid, in m; `log` is told which.

    A lead that no conductor of the board is, or whose size no table knows, is a problem.
    """
    wanted = [way for way in installation.surge_ways if _chosen_sides(way)]
    if not wanted:
        return installation, []
    plan, problems, ways = PlanOfBoard(installation), [], list(installation.board.ways)
    for way in wanted:
        lengths = {side: _length_m(plan, way, side) for side in _chosen_sides(way)}
        for side, length in lengths.items():
            path = place_of(_stated(way, side))
            log[path] = ()
            if length is None:
                line = installation.lines_of.get(place_of(way.leads), 1)
                why = plan.refused or f"no conductor of the board is the {side} lead of {way.name}"
                hint = f"state '{path}'"
                problems.append(Problem(installation.file, line, f"cannot be laid: {why}", hint))
        ways[ways.index(way)] = replace(way, leads=_with_lengths(way, lengths))
    board = replace(installation.board, ways=tuple(ways))
    return (installation, problems) if problems else (replace(installation, board=board), [])


def _stated(way: Way, side: str) -> Amount:
    length: Amount = key_of(key_of(way.leads, side), "length_m")
    return length


def _chosen_sides(way: Way) -> tuple[str, ...]:
    return tuple(side for side in LEAD_SIDES if _stated(way, side) == CHOOSE)


def _length_m(plan: PlanOfBoard, way: Way, side: str) -> float | None:
    conductors = conductors_of(plan, way, side)
    if plan.refused or not conductors:
        return None
    return max(plan.layout.by_id[each.id].length_m for each in conductors)


def _with_lengths(way: Way, lengths: dict[str, float | None]) -> Leads:
    path = place_of(way.leads)
    if is_known(way.leads):
        leads = way.leads
    else:
        own = 0.0 if way.own_protection in (NONE, "internal") else UNKNOWN
        leads = Leads(path=path, through_own_device_m=own)
    sides = {
        side: (
            replace(lead, length_m=length)
            if isinstance(lead := getattr(leads, side), SurgeLead)
            else SurgeLead(path=f"{path}.{side}", length_m=length)
        )
        for side, length in lengths.items()
        if length is not None
    }
    return replace(leads, **sides)  # type: ignore[arg-type]  # the names of sides are keys
