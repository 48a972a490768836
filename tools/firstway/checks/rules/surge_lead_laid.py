"""A lead of the surge protective device is no shorter than it can be laid.

Why: a short lead on paper protects nobody. Where the terminals lie farther apart than the lead is
long it cannot be fitted, and what is fitted instead lets more of the surge through. Findings and
surge figures count the longer of the length that is stated and the length that is laid.
A pass: 0.15 m stated, 0.12 m laid. Advice: 0.10 m stated, 0.12 m laid, the terminals 0.09 m apart.
A fail: 0.05 m stated, the terminals 0.09 m apart. Not known while the file does not say where the
terminals lie, unless the lead was measured on the fitted board: then it can be laid, for it lies
there. Only a measured lead below the straight line of a plan with assumed places stays open.
"""

from firstway.checks.rule import Case, Finding, Findings, Rule, within
from firstway.layout.measuring import straight_m
from firstway.model.evidence import scope
from firstway.model.installation import Way
from firstway.model.values import CHOOSE, is_known, key_of
from firstway.wiring.graph import Conductor
from firstway.workings.shared.laid import assumed_places
from firstway.workings.shared.step import Step
from firstway.workings.surge.leads import LEAD_SIDES, conductors_of, counts_as_measured

RULE = Rule(
    "surge-lead-laid",
    "The leads of the surge protective device can be laid as short as stated",
    "geometry: no way is shorter than the straight line",
    "",
    "fail",
    ("bs7671", "iec60364", "nec"),
    standing="computed",
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        if not is_known(way.leads) and way.leads != CHOOSE:
            ask = f"how long the leads of {way.name} are; measure them"
            yield RULE.does_not_know(case, way.name, way.name, ask, unit="m")
            continue
        for side in case.each(LEAD_SIDES):
            conductors = conductors_of(case.plan, way, side)
            if conductors:
                yield _of_side(case, way, side, conductors)


def _of_side(case: Case, way: Way, side: str, conductors: tuple[Conductor, ...]) -> Finding:
    of, place = way.name, conductors[0].id
    stated = case.step(f"spd-{side}-lead-stated", of)
    if stated is not None and stated.value is None:
        return RULE.does_not_know(case, of, place, stated.ask, unit="m")
    measured = counts_as_measured(
        case.plan, key_of(key_of(way.leads, side), "length_m"), conductors
    )
    if measured and stated is not None:
        return _measured(case, way, side, conductors, stated)
    if case.plan.refused:
        return RULE.does_not_know(case, of, place, f"{case.plan.refused}: measure it", unit="m")
    with scope():  # what places it is told below, by name
        places = tuple(path for each in conductors for path in assumed_places(case.plan, each))
    if places:
        return RULE.does_not_know(case, of, place, _ask(side, places), unit="m")
    steps = [case.step("conductor-length", each.id) for each in conductors]
    laid = max(step.value for step in steps if step is not None and step.value is not None)
    if stated is None or stated.value is None:
        words = f"the {side} lead is counted as long as it is laid"
        return RULE.passes(case, of, place, words, laid, laid, "m")
    apart = max(straight_m(case.plan.layout, each) for each in conductors)
    if not within(apart, stated.value):
        words = (
            f"the {side} lead cannot be laid: what it joins lies farther apart than it is stated"
            " to be long"
        )
        return RULE.says(case, "fail", of, place, words, stated.value, apart, "m")
    if not within(laid, stated.value):
        words = (
            f"the {side} lead is stated shorter than its way through the board: measure it again;"
            " the longer figure counts"
        )
        return RULE.says(case, "advice", of, place, words, stated.value, laid, "m")
    words = f"the {side} lead is no shorter than its way through the board"
    return RULE.passes(case, of, place, words, stated.value, laid, "m")


def _measured(
    case: Case, way: Way, side: str, conductors: tuple[Conductor, ...], stated: Step
) -> Finding:
    """What was measured on the fitted board, while nobody states where its parts lie."""
    place, length = conductors[0].id, stated.value or 0.0
    words = f"the {side} lead was measured on the board as it is fitted"
    if case.plan.refused:
        return RULE.passes(case, way.name, place, words, length, None, "m")
    with scope():
        places = tuple(path for each in conductors for path in assumed_places(case.plan, each))
        apart = max(straight_m(case.plan.layout, each) for each in conductors)
    if within(apart, length):
        return RULE.passes(case, way.name, place, words, length, None, "m")
    ask = (
        f"{words}, but is shorter than the straight line between its ends in a plan that assumes"
        f" their places: {_ask(side, places)}"
    )
    return RULE.does_not_know(case, way.name, place, ask, apart, "m", length)


def _ask(side: str, places: tuple[str, ...]) -> str:
    names = tuple(dict.fromkeys(places))
    more = f" and {len(names) - 2} more keys" if len(names) > 2 else ""
    told = " and ".join(names[:2]) if not more else ", ".join(names[:2])
    return f"where what the {side} lead joins lies in the board; measure it and state {told}{more}"
