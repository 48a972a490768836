"""Checks: figures of the file, of a step or of a table, and what may be said when they are compared."""

from __future__ import annotations

import math
from dataclasses import dataclass

from firstway.checks.case import Case
from firstway.checks.finding import Finding, Level
from firstway.checks.rule import Rule, assumed_words
from firstway.model.values import is_known
from firstway.tables.found import Gap, Read


@dataclass(frozen=True)
class Figure:
    """A number, or what to measure or whom to ask; `assumed` names the paths it rests on that nobody checked."""

    value: float | None
    ask: str = ""
    assumed: tuple[str, ...] = ()


def of_file(case: Case, value: object, path: str, ask: str) -> Figure:
    """A number of the installation file."""
    if not is_known(value):
        return Figure(None, ask)
    return Figure(float(value), "", assumed_among(case, path))  # type: ignore[arg-type]


def of_step(case: Case, step_id: str, of: str, ask: str) -> Figure:
    """A number of the working; `ask` serves where the step was not worked."""
    step = case.step(step_id, of)
    if step is None or step.value is None:
        return Figure(None, (step.ask if step else "") or ask)
    return Figure(step.value, "", step.assumed)


def highest_of_step(case: Case, step_id: str, of: str, ask: str) -> Figure:
    """The upper end of a number's band where it has one: for what must bear the most that can come."""
    found, step = of_step(case, step_id, of, ask), case.step(step_id, of)
    return found if step is None or step.high is None or found.value is None else Figure(step.high, "", found.assumed)


def of_table(found: Read | Gap) -> Figure:
    """A number of a table; a gap is not known."""
    return Figure(None, f"{found.message}: look it up in the current standard") if isinstance(found, Gap) else Figure(found.value)


def assumed_among(case: Case, *paths: str) -> tuple[str, ...]:
    """Those of the values that nobody checked."""
    return tuple(path for path in paths if case.installation.how_known(path) == "assumed")


def assumed_under(case: Case, *paths: str) -> tuple[str, ...]:
    """The same for whole sections: anything assumed inside them counts too."""
    below = tuple(path for path, how in case.installation.known_by.items()
                  if how == "assumed" and path.startswith(tuple(f"{section}." for section in paths)))
    return (*assumed_among(case, *paths), *below)


def passed(rule: Rule, case: Case, of: str, place: str, message: str, assumed: tuple[str, ...] = (),
           value: float | str | None = None, limit: float | str | None = None, unit: str = "") -> Finding:
    """A pass; or not known, where a value it rests on is assumed."""
    if assumed:
        return rule.says(case, "unknown", of, place, f"would pass, but {assumed_words(assumed)}: measure it or ask",
                         value, limit, unit)
    return rule.says(case, "pass", of, place, message, value, limit, unit)


def compared(rule: Rule, case: Case, of: str, place: str, value: Figure, limit: Figure, unit: str, holds: str, breaks: str,
             at_most: bool = True, otherwise: Level = "fail") -> Finding:
    """Value against limit (at most, or at least). What is missing or assumed never passes."""
    for figure in (value, limit):
        if figure.value is None:
            return rule.says(case, "unknown", of, place, f"not known: {figure.ask}", value.value, limit.value, unit)
    assert value.value is not None and limit.value is not None
    if within(value.value, limit.value) if at_most else within(limit.value, value.value):
        return passed(rule, case, of, place, holds, (*value.assumed, *limit.assumed), value.value, limit.value, unit)
    return rule.says(case, otherwise, of, place, breaks, value.value, limit.value, unit)


def within(value: float, limit: float) -> bool:
    """At most the limit; 40 x 0.8 counts as 32 whatever the last binary digit says."""
    return value <= limit or math.isclose(value, limit, rel_tol=1e-9)


# Board: what guards it from above and what may be drawn from it

def device_ahead_of_board(case: Case) -> Figure:
    """Rated current in ampere of the device that guards the feed; not known where an existing way does and its rating is not in the file."""
    feed = case.installation.feed
    if not is_known(feed):
        return Figure(None, "what the board is fed through")
    if feed.through and isinstance(feed.through[-1], str):
        return Figure(None, f"the rating of the device of {feed.through[-1]}; read it on the device")
    return of_step(case, "device-rating", "feed", "the rating of the device ahead of the board")


def outgoing_together(case: Case) -> Figure:
    """Rated currents in ampere of the devices that feed circuits, added on the line that has most."""
    sums: dict[str, float] = {}
    assumed: list[str] = []
    for circuit in case.installation.circuits:
        way = case.installation.way_feeding(circuit.name)
        if not is_known(way.rating_a):
            return Figure(None, f"the rating of {way.name}; read it on the device")
        assumed += assumed_among(case, f"board.ways.{way.name}.rating_a")
        for line in circuit.lines:
            sums[line] = sums.get(line, 0.0) + float(way.rating_a)
    return Figure(max(sums.values(), default=0.0), "", tuple(assumed))


def guarded(rule: Rule, case: Case, place: str, rating: Figure, what: str) -> Finding:
    """A rating in ampere is kept by the device ahead, or by the outgoing devices together; one of the two suffices."""
    of = "board"
    if rating.value is None:
        return rule.does_not_know(case, of, place, rating.ask, unit="A")
    ahead, together = device_ahead_of_board(case), outgoing_together(case)
    ways = ((ahead, f"the device ahead keeps the current of {what} within its rating"),
            (together, f"the outgoing devices together cannot draw more than the rating of {what}"))
    kept = [(figure, message) for figure, message in ways if figure.value is not None and within(figure.value, rating.value)]
    for figure, message in sorted(kept, key=lambda each: bool(each[0].assumed)):
        return passed(rule, case, of, place, message, (*figure.assumed, *rating.assumed), figure.value, rating.value, "A")
    for figure, _ in ways:
        if figure.value is None:
            return rule.does_not_know(case, of, place, figure.ask, rating.value, "A")
    return rule.says(case, "fail", of, place, f"neither the device ahead nor the outgoing devices together keep the current of {what} within its rating",
                     ahead.value, rating.value, "A")
