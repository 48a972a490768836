"""Checks: figures of the file, of a step or of a table, and questions of current that several rules
ask.
"""

from __future__ import annotations

from firstway.calculations.adding import added
from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import JudgedFigure, Rule, within
from firstway.model.evidence import scope
from firstway.model.installation import Amount, Way
from firstway.model.values import is_known, key_of
from firstway.tables.reading import Gap, Read


def of_file(value: Amount, ask: str) -> JudgedFigure:
    """A number of the installation file."""
    return JudgedFigure(float(value), "") if is_known(value) else JudgedFigure(None, ask)


def of_step(case: Case, step_id: str, of: str, ask: str = "an input is missing") -> JudgedFigure:
    """A number of the working; `ask` serves where the step was not worked."""
    step = case.step(step_id, of)
    if step is None or step.value is None:
        return JudgedFigure(None, (step.ask if step else "") or ask)
    return JudgedFigure(step.value)


def highest_of_step(case: Case, step_id: str, of: str, ask: str) -> JudgedFigure:
    """The upper end of a number's band where it has one: for what must bear the most that
    can come.
    """
    found, step = of_step(case, step_id, of, ask), case.step(step_id, of)
    return (
        found
        if step is None or step.high is None or found.value is None
        else JudgedFigure(step.high)
    )


def of_table(found: Read | Gap) -> JudgedFigure:
    """A number of a table; a gap is not known."""
    return (
        JudgedFigure(None, f"{found.message}: look it up in the current standard")
        if isinstance(found, Gap)
        else JudgedFigure(found.value)
    )


def times(one: JudgedFigure, other: JudgedFigure) -> JudgedFigure:
    """Two figures multiplied; what the first of them asks where it is not known."""
    if one.value is None or other.value is None:
        return JudgedFigure(None, one.ask or other.ask)
    return JudgedFigure(one.value * other.value)


def longest_surge_leads(case: Case, way: Way) -> JudgedFigure:
    """The longest way in m from a live conductor through the leads of a surge protective device to
    earth.

    The step counts the line's side (in CT2 the longer one); a surge on the neutral runs through the
    neutral's lead.
    """
    line = of_step(
        case, "spd-lead-length", way.name, f"the length of the leads of {way.name}; measure them"
    )
    leads = way.leads
    if line.value is None or not is_known(leads):
        return line
    others = (
        key_of(leads.neutral, "length_m"),
        key_of(leads.earth, "length_m"),
        leads.through_own_device_m,
    )
    if not all(is_known(each) for each in others):
        return JudgedFigure(None, f"the length of the neutral lead of {way.name}; measure it")
    return JudgedFigure(
        max(
            line.value,
            added(float(each) for each in others if is_known(each)),
            _fitted_leads_m(case, way),
        )
    )


def _fitted_leads_m(case: Case, way: Way) -> float:
    """The same in m of the leads as they are fitted, where the file changes the wiring; 0 where it
    does not.
    """
    if not case.installation.wiring:
        return 0.0
    leads = [
        each
        for each in case.wiring.conductors
        if each.id.startswith("lead.") and each.id.endswith(f".{way.name}")
    ]
    lengths = {each.function: each.length_m for each in leads if each.length_m is not None}
    through = key_of(way.leads, "through_own_device_m")
    return added(
        (
            lengths.pop("PE", 0.0),
            max(lengths.values(), default=0.0),
            float(through) if is_known(through) else 0.0,
        )
    )


# Board: what guards it from above and what may be drawn from it


def device_ahead_of_board(case: Case) -> JudgedFigure:
    """Rated current in ampere of the device that guards the feed; not known where an existing way
    does and its rating is not in the file.
    """
    feed = case.installation.feed
    if not is_known(feed):
        return JudgedFigure(None, "what the board is fed through")
    if feed.through and isinstance(feed.through[-1], str):
        return JudgedFigure(
            None, f"the rating of the device of {feed.through[-1]}; read it on the device"
        )
    return of_step(case, "device-rating", "feed", "the rating of the device ahead of the board")


def outgoing_together(case: Case) -> JudgedFigure:
    """Rated currents in ampere of the devices that feed circuits, added on the line that
    has most.
    """
    sums: dict[str, float] = {}
    for circuit in case.installation.circuits:
        way = case.installation.way_feeding(circuit.name)
        if not is_known(way.rating_a):
            return JudgedFigure(None, f"the rating of {way.name}; read it on the device")
        for line in circuit.lines:
            sums[line] = sums.get(line, 0.0) + float(way.rating_a)
    return JudgedFigure(max(sums.values(), default=0.0))


def either_guards(rule: Rule, case: Case, place: str, rating: JudgedFigure, what: str) -> Finding:
    """A rating in ampere is kept by the device ahead, or by the outgoing devices together; one of
    the two suffices.
    """
    of = "board"
    if rating.value is None:
        return rule.does_not_know(case, of, place, rating.ask, unit="A")
    with scope() as ahead_seen:
        ahead = device_ahead_of_board(case)
    with scope() as together_seen:
        together = outgoing_together(case)
    ways = (
        (ahead, ahead_seen, f"the device ahead keeps the current of {what} within its rating"),
        (
            together,
            together_seen,
            f"the outgoing devices together cannot draw more than the rating of {what}",
        ),
    )
    kept = [
        each for each in ways if each[0].value is not None and within(each[0].value, rating.value)
    ]
    for figure, seen, message in sorted(kept, key=lambda each: bool(each[1].paths)):
        seen.counts()  # the other way need not hold
        return rule.passes(case, of, place, message, figure.value, rating.value, "A")
    for figure, _, _ in ways:
        if figure.value is None:
            return rule.does_not_know(case, of, place, figure.ask, rating.value, "A")
    return rule.says(
        case,
        "fail",
        of,
        place,
        f"neither the device ahead nor the outgoing devices together keep the current of {what}"
        " within its rating",
        ahead.value,
        rating.value,
        "A",
    )
