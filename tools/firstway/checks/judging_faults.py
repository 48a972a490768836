"""Checks: how a fault to earth is judged, at a place and over a part of the job.

One judgement for all who speak of it: the rule, the pages and the marks in the drawings quote it.
"""

import math

from firstway.checks.faults import (
    FaultPart,
    fault_parts,
    insulated,
    of_an_existing_board,
    read_metal,
)
from firstway.checks.one_source import why_not_worked
from firstway.checks.rule import Case, Level, within
from firstway.frozen import dataclass
from firstway.model.evidence import alone, resting, scope
from firstway.tables.reading import Gap, Read
from firstway.wiring.places import FaultPlace
from firstway.workings.shared.sweep import Opening

TIMED = ("bs7671", "iec60364")  # the rule sets that name a longest time for every place
_ORDER: tuple[Level, ...] = ("danger", "fail", "unknown", "advice", "pass")


@dataclass(frozen=True)
class JudgedPlace:
    """A fault to earth at a place. `limit_s`: the longest time allowed; None where it is not known.

    `by_insulation`: nothing is sure to open in time, and nothing need: no line can touch metal
    here.
    """

    place: FaultPlace
    level: Level
    opening: Opening
    limit_s: float | None
    ask: str = ""
    by_insulation: bool = False


@dataclass(frozen=True)
class JudgedPart:
    """The places of a part that a fault to earth can happen at, and the worst of them.

    `evidence`: the assumed keys it rests on; noted where `worst` or `places` is read.
    `not_worked`: what another source does to it that nobody works; "" where there is none.
    """

    part: FaultPart
    worst: JudgedPlace
    places: tuple[JudgedPlace, ...]
    evidence: tuple[str, ...] = ()
    not_worked: str = ""

    @property
    def told(self) -> Level:
        """The level of its finding: a pass that rests on something assumed, or was worked with the
        network alone where another source feeds too, is none.
        """
        level = self.worst.level
        return "unknown" if level == "pass" and (self.evidence or self.not_worked) else level

    @property
    def insulated(self) -> tuple[JudgedPlace, ...]:
        return tuple(each for each in self.places if each.by_insulation)


def judged_parts(case: Case) -> tuple[JudgedPart, ...]:
    """Every part with a place to judge, from the supply to the vehicle; judged once."""
    return case.kept("judged faults", lambda: _judged_parts(case))


def _judged_parts(case: Case) -> tuple[JudgedPart, ...]:
    parts, common = alone(lambda: fault_parts(case))
    found = []
    for part in parts:
        places, own = alone(lambda: _judged_places(case, part))
        if places:
            evidence = tuple(dict.fromkeys((*common, *own)))
            other, _ = alone(
                lambda: why_not_worked(case.installation, "fault-opens-in-time", part.of, part.of)
            )
            judged = JudgedPart(part, min(places, key=_gravest), places, evidence, other)
            found.append(resting(judged, "worst", "places"))
    return tuple(found)


def _judged_places(case: Case, part: FaultPart) -> tuple[JudgedPlace, ...]:
    read_metal(case.installation, part.of)
    return tuple(found for place in part.places if (found := judged_place(case, place)) is not None)


def _gravest(judged: JudgedPlace) -> tuple[int, bool, float]:
    """Of what passes, the slowest that opens; where insulation guards all of it, where nothing
    opens.
    """
    within_s = judged.opening.within_s
    slowness = math.inf if within_s is None and judged.by_insulation else within_s or 0.0
    return _ORDER.index(judged.level), judged.by_insulation, -slowness


def judged_place(case: Case, place: FaultPlace) -> JudgedPlace | None:
    """The judgement of a place; None where a line touches nothing that is earthed."""
    with scope() as opens_seen:
        opening, limit = case.sweep.opening(place), case.sweep.limit(place)
    with scope() as insulation_seen:
        kept_off = insulated(case, place)
    # Stated insulation does not hang on what would open; only where it is assumed is that asked
    # first.
    if (
        opening is not None
        and kept_off
        and not (insulation_seen.paths and _in_time(opening, limit))
    ):
        insulation_seen.counts()
        limit_s = limit.value if isinstance(limit, Read) else None
        return JudgedPlace(place, "pass", opening, limit_s, by_insulation=True)
    opens_seen.counts()
    return None if opening is None else _by_opening(case, place, opening, limit)


def _in_time(opening: Opening, limit: Read | Gap) -> bool:
    return (
        isinstance(limit, Read)
        and opening.within_s is not None
        and not opening.ask
        and within(opening.within_s, limit.value)
    )


def _by_opening(case: Case, place: FaultPlace, opening: Opening, limit: Read | Gap) -> JudgedPlace:
    if not isinstance(limit, Read):
        ask = f"the longest time the rules allow: {limit.message}"
        return JudgedPlace(place, "unknown", opening, None, ask)
    if opening.ask:
        return JudgedPlace(place, "unknown", opening, limit.value, opening.ask)
    if _in_time(opening, limit):
        return JudgedPlace(place, "pass", opening, limit.value)
    if opening.within_s is None and (left_out := _unsaid_joints(case, place)):
        ask = f"what joins it to earth: {', '.join(left_out)}"
        return JudgedPlace(place, "unknown", opening, limit.value, ask)
    if opening.within_s is None:
        return JudgedPlace(place, "danger", opening, limit.value)
    level: Level = "advice" if of_an_existing_board(case, place) else "fail"
    return JudgedPlace(place, level, opening, limit.value)


def _unsaid_joints(case: Case, place: FaultPlace) -> tuple[str, ...]:
    """The keys that would say where armour is joined, where the file leaves them out: the graph
    holds such armour joined to nothing, and that is not known.
    """
    armours = (
        each
        for each in case.wiring.drawn.conductors
        if each.doubt and place.id.endswith(".armour") and place.id in (each.start, each.end)
    )
    return tuple(dict.fromkeys(path for each in armours for path in each.doubt))
