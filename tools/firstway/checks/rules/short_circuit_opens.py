"""A short circuit opens a device soon, wherever it happens.

Why: line and neutral, or two lines, touch: in a crushed cable, at a plug, in a board a mouse lives
in. What flows is limited by the conductors alone, and an arc burns until a device opens. Where the
loop is long, or the supply's neutral is failing, the current may be too small for the part of a
breaker that opens at once, or for any fuse.
A pass: 672 A at the board behind 63 A, at most 5 s. Advice: 305 A at a plug behind a breaker of
curve C and 40 A, sure to open on 400 A; by its heat it opens later, or a fuse ahead of it does. A
fail: 44 A, which open nothing.
"""

from firstway.checks.faults import (
    FaultPart,
    ampere_words,
    device_words,
    fault_parts,
    listed,
    of_an_existing_board,
)
from firstway.checks.rule import Case, Finding, Findings, Level, Rule, within
from firstway.frozen import dataclass
from firstway.model.evidence import alone
from firstway.wiring.places import FaultPlace
from firstway.workings.shared.endured import LONGEST_S, NO_CURRENT_A
from firstway.workings.shared.sweep import FaultKind, Opening

RULE = Rule(
    "short-circuit-opens",
    "A short circuit opens a device soon, wherever it happens",
    "BS 7671 434.5.2; IEC 60364-4-43 434.5.2",
    "2018+A3:2024; 2008",
    "fail",
    ("bs7671", "iec60364"),
)
_ORDER: tuple[Level, ...] = ("fail", "unknown", "advice", "pass")
KINDS: tuple[tuple[FaultKind, str], ...] = (
    ("neutral", "from line to neutral"),
    ("line", "between two lines"),
)


@dataclass(frozen=True)
class _Judged:
    place: FaultPlace
    kind: FaultKind
    words: str
    level: Level
    opening: Opening
    own: str = ""  # the device that should have opened it


def check(case: Case) -> Findings:
    parts = alone(lambda: fault_parts(case))[
        0
    ]  # which parts there are is no evidence of what opens in one of them
    for part in case.each(parts):
        judged = [found for place in part.places if (found := _smallest(case, place)) is not None]
        if judged:
            yield _finding(
                case,
                part,
                min(
                    judged,
                    key=lambda each: (_ORDER.index(each.level), -(each.opening.within_s or 0.0)),
                ),
            )


def _smallest(case: Case, place: FaultPlace) -> _Judged | None:
    """To neutral where there is one: over the same copper the voltage between lines drives more."""
    return next(
        (
            found
            for kind, words in KINDS
            if (found := _judged(case, place, kind, words)) is not None
        ),
        None,
    )


def _judged(case: Case, place: FaultPlace, kind: FaultKind, words: str) -> _Judged | None:
    currents = case.sweep.currents(place, kind)
    if currents is None or currents.most_a is not None and currents.most_a < NO_CURRENT_A:
        return None  # what is joined already, or joined to nothing: other rules say that
    opening = case.sweep.opening(place, kind)
    if opening is None:
        return None
    if not opening.ask and opening.within_s is None:
        return _Judged(
            place, kind, words, "advice" if of_an_existing_board(case, place) else "fail", opening
        )
    circuit = case.sweep.final_circuit(place)
    way = None if circuit is None else case.installation.way_feeding(circuit.name).name
    own = opening if way is None else case.sweep.opening_by(place, kind, way)
    if own is None or own.ask:
        return _Judged(place, kind, words, "unknown", own or opening)
    if own.within_s is not None and within(own.within_s, LONGEST_S):
        return _Judged(place, kind, words, "pass", own)
    return _Judged(place, kind, words, "advice", opening, str(way or own.device))


def _finding(case: Case, part: FaultPart, worst: _Judged) -> Finding:
    place, opening = worst.place, worst.opening
    if worst.level == "unknown":
        return RULE.does_not_know(case, part.of, place.id, opening.ask, LONGEST_S, "s")
    if worst.level == "pass":
        return RULE.passes(
            case,
            part.of,
            part.of,
            f"a short circuit anywhere on {part.words} opens a device soon,"
            f" {device_words(case, opening.device)} as the slowest",
            opening.within_s,
            LONGEST_S,
            "s",
        )
    ampere, what = _ampere(case, worst), f"a short circuit {worst.words} at {place.id}"
    if not opening.ask and opening.within_s is None:
        names = (
            listed([device_words(case, name) for name in opening.passed_over], "or")
            if opening.passed_over
            else "any device"
        )
        return RULE.says(
            case,
            worst.level,
            part.of,
            place.id,
            f"{what} opens nothing for certain: {ampere} do not open {names}; it burns on until"
            " somebody isolates it",
            "nothing opens",
            LONGEST_S,
            "s",
        )
    return RULE.says(
        case,
        "advice",
        part.of,
        place.id,
        f"{what} may last: {device_words(case, worst.own)} is not sure to open at once on {ampere},"
        f" and by its heat only later; {_then(case, worst)}. A curve that opens on less, or more"
        " copper, opens it at once",
        opening.within_s,
        LONGEST_S,
        "s",
    )


def _then(case: Case, worst: _Judged) -> str:
    opening = worst.opening
    if opening.ask or opening.device == worst.own:
        return "its maker's curve tells how soon"
    return f"{device_words(case, opening.device)} opens before it, and with it all there is behind"


def _ampere(case: Case, worst: _Judged) -> str:
    currents = case.sweep.currents(worst.place, worst.kind)
    return (
        ampere_words(currents.least_a)
        if currents is not None and currents.least_a is not None
        else "its current"
    )
