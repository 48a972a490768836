"""A fault to earth opens something in time, wherever it happens.

Why: not only at the vehicle may a line touch metal. It may be the board's own steel case, a tail, a
lead of the surge protective device, the armour a spade has reached. Whatever it is, it stays under
voltage, and everything joined to the protective conductor with it, until a device ahead of that
very place opens. A residual current device does nothing for its own supply side, a fuse nothing
through an electrode. Of a board that was there before, whose own devices are not in the file, it
only advises unless nothing opens. Double or reinforced insulation that the file states, ahead of
the first such device, is the other way: no line can touch metal there.
A pass: every place of the feed behind a delayed residual current device, which opens within 0.15 s.
A fail: a fuse that may take longer than 5 s. A danger: nothing is sure to open.
"""

from firstway.checks.faults import ampere_words, device_words, listed
from firstway.checks.judging_faults import TIMED, JudgedPart, JudgedPlace, judged_parts
from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.wiring.places import FaultPlace

RULE = Rule(
    "fault-opens-in-time",
    "A fault to earth opens a device in time, wherever it happens",
    "BS 7671 411.3.2, 411.4, 411.5, 531.3.5.3.1; IEC 60364-4-41 411.3.2, 411.4, 411.5",
    "2018+A3:2024",
    "danger",
    TIMED,
)

_LONG_S = 1.0  # from here on a limit is not the short time of Table 41.1, in any system


def check(case: Case) -> Findings:
    for judged in case.each(judged_parts(case)):
        yield _finding(case, judged)


def _finding(case: Case, judged: JudgedPart) -> Finding:
    part, worst = judged.part, judged.worst
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
    if worst.by_insulation:
        return RULE.passes(
            case,
            part.of,
            part.of,
            f"double or reinforced insulation keeps every line of {part.words} off metal",
            "stated in the file",
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
    apart = (
        "; where none would, double or reinforced insulation keeps the line off metal"
        if judged.insulated
        else ""
    )
    wording = (
        "; this circuit may take the long time by its wording: design to the short one"
        if limit is not None and case.sweep.final_circuit(place) is not None and limit >= _LONG_S
        else ""
    )
    return RULE.passes(
        case,
        part.of,
        part.of,
        f"a fault to earth anywhere on {part.words} opens a device in time, {opens} as the"
        f" slowest{apart}{wording}",
        opening.within_s,
        limit,
        "s",
    )


def _why(case: Case, worst: JudgedPlace) -> str:
    currents = case.sweep.currents(worst.place, "earth")
    if not worst.opening.passed_over:
        return "no device stands ahead of it"
    ampere = (
        ampere_words(currents.least_a)
        if currents is not None and currents.least_a is not None
        else "its current"
    )
    names = [device_words(case, name) for name in worst.opening.passed_over]
    if currents is not None and currents.least_a == 0.0:
        return f"no current comes of it that would open {listed(names, 'or')}"
    return (
        f"{ampere} {'does' if len(names) == 1 else 'do'} not open {listed(names, 'or')} for certain"
    )


def _touched(case: Case, place: FaultPlace) -> str:
    touched = case.sweep.touched(place)
    if touched is None or touched.volts is None:
        return "what it touches stays under voltage until somebody isolates it"
    return (
        f"{touched.at} and what is joined to it stand at {touched.volts:.0f} V against true earth"
        " until somebody isolates it"
    )
