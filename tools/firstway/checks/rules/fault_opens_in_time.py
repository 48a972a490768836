"""A fault to earth opens something in time, wherever it happens.

Why: not only at the vehicle may a line touch metal. It may be the board's own steel case, a tail, a
lead of the surge protective device, the armour a spade has reached. Whatever it is, it stays under
voltage, and everything joined to the protective conductor with it, until a device ahead of that
very place opens. A residual current device does nothing for its own supply side, a fuse nothing
through an electrode. Of a board that was there before, whose own devices are not in the file, it
only advises unless nothing opens.
A pass: every place of the feed behind a delayed residual current device, which opens within 0.15 s.
A fail: a fuse that may take longer than 5 s. A danger: nothing is sure to open.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.faults import (
    FaultPart,
    ampere_words,
    device_words,
    fault_parts,
    insulated,
    listed,
    of_an_existing_board,
)
from firstway.checks.finding import Finding, Level
from firstway.checks.rule import Rule, within
from firstway.tables.found import Read
from firstway.wiring.places import Place
from firstway.workings.sweep import Opening

RULE = Rule(
    "fault-opens-in-time",
    "A fault to earth opens a device in time, wherever it happens",
    "BS 7671 411.3.2, 411.4, 411.5, 531.3.5.3.1; IEC 60364-4-41 411.3.2, 411.4, 411.5",
    "2018+A3:2024",
    "danger",
    ("bs7671", "iec60364"),
)
ORDER: tuple[Level, ...] = ("danger", "fail", "unknown", "advice", "pass")


@dataclass(frozen=True)
class _Judged:
    place: Place
    level: Level
    opening: Opening
    limit_s: float | None
    ask: str = ""


def check(case: Case) -> Iterator[Finding]:
    for part in case.each(fault_parts(case)):
        judged = [found for place in part.places if (found := _judged(case, place)) is not None]
        if judged:
            yield _finding(
                case,
                part,
                min(
                    judged,
                    key=lambda each: (ORDER.index(each.level), -(each.opening.within_s or 0.0)),
                ),
            )


def _judged(case: Case, place: Place) -> _Judged | None:
    opening, limit = case.sweep.opening(place), case.sweep.limit(place)
    if opening is None:
        return None
    if not isinstance(limit, Read):
        return _Judged(
            place, "unknown", opening, None, f"the longest time the rules allow: {limit.message}"
        )
    if opening.ask:
        return _Judged(place, "unknown", opening, limit.value, opening.ask)
    if opening.within_s is not None and within(opening.within_s, limit.value):
        return _Judged(place, "pass", opening, limit.value)
    if insulated(case, place):
        return None
    if opening.within_s is None:
        return _Judged(place, "danger", opening, limit.value)
    return _Judged(
        place, "advice" if of_an_existing_board(case, place) else "fail", opening, limit.value
    )


def _finding(case: Case, part: FaultPart, worst: _Judged) -> Finding:
    place, opening, limit = worst.place, worst.opening, worst.limit_s
    if worst.level == "unknown":
        return RULE.does_not_know(case, part.of, place.id, worst.ask, limit, "s")
    if worst.level == "danger":
        return RULE.says(
            case,
            "danger",
            part.of,
            place.id,
            f"a fault to earth at {place.id} opens nothing for certain: {_why(case, worst)};"
            f" {_touched(case, place)}",
            "nothing opens",
            limit,
            "s",
        )
    opens = device_words(case, opening.device)
    if worst.level == "advice":
        return RULE.says(
            case,
            "advice",
            part.of,
            place.id,
            f"a fault to earth in the board {part.of} may last longer than the rules allow: {opens}"
            " is sure to open only after that. It is no part of this work: tell its owner",
            opening.within_s,
            limit,
            "s",
        )
    if worst.level == "fail":
        return RULE.says(
            case,
            "fail",
            part.of,
            place.id,
            f"a fault to earth at {place.id} may last longer than the rules allow: {opens} is sure"
            " to open only after that, by the limits of its standard",
            opening.within_s,
            limit,
            "s",
        )
    return RULE.passes(
        case,
        part.of,
        part.of,
        f"a fault to earth anywhere on {part.words} opens a device in time, {opens} as the slowest",
        opening.within_s,
        limit,
        "s",
    )


def _why(case: Case, worst: _Judged) -> str:
    currents = case.sweep.currents(worst.place, "earth")
    if not worst.opening.passed_over:
        return "no device stands ahead of it"
    ampere = (
        ampere_words(currents.least_a)
        if currents is not None and currents.least_a is not None
        else "its current"
    )
    names = [device_words(case, name) for name in worst.opening.passed_over]
    return (
        f"{ampere} {'does' if len(names) == 1 else 'do'} not open {listed(names, 'or')} for certain"
    )


def _touched(case: Case, place: Place) -> str:
    touched = case.sweep.touched(place)
    if touched is None or touched.volts is None:
        return "what it touches stays under voltage until somebody isolates it"
    return (
        f"{touched.at} and what is joined to it stand at {touched.volts:.0f} V against true earth"
        " until somebody isolates it"
    )
