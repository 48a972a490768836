"""What passes an opening of the box fits through it.

Why: two tails forced through a hole for one are cut by its edge; a gland does not go into a smaller
hole, and a larger one lets in what the box is to keep out.
A pass: two tails of 25 mm² through a hole of 25 mm. A fail: the same through 20 mm. Not known: a
hole as wide as the locknut of the gland that the cable takes: something else holds it, or nothing.
"""

from firstway.checks.rule import Case, Finding, Findings, JudgedFigure, Rule, of_file, within
from firstway.layout.entries import gland_held_mm, hole_needed_mm
from firstway.layout.sizes import Sizes
from firstway.model.values import key_of

RULE = Rule(
    "opening-fill",
    "What passes an opening fits through it",
    "geometry: the circle round equal circles, or the thread of the gland; BS 7671 522.8; IEC"
    " 60364-5-52 522.8",
    "; 2018+A3:2024; ",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    job = case.installation
    for name in case.each(("feed", *(each.name for each in job.circuits))):
        of = "board" if name == "feed" else name
        if case.plan.refused:
            yield RULE.does_not_know(case, of, name, f"{case.plan.refused}: try it")
            continue
        there = of_file(
            key_of(case.opening(name), "hole_mm"), f"how wide the opening of {name} is; measure it"
        )
        needed = _needed(case, name)
        wide = _too_wide(case, of, name, there)
        if wide is not None:
            yield wide
            continue
        yield RULE.compares(
            case,
            of,
            name,
            needed,
            there,
            "mm",
            f"what passes the opening of {name} fits through it",
            f"what passes the opening of {name} needs a wider hole",
        )


def _too_wide(case: Case, of: str, name: str, there: JudgedFigure) -> Finding | None:
    """A hole that lets the locknut of its gland through. Which gland is fitted no key holds, so how
    it is held is not known; None where the hole is narrower, or has no gland.
    """
    held = gland_held_mm(case.installation, case.wiring, name, Sizes())
    if held is None or there.value is None or not within(held.nut_mm, there.value):
        return None
    return RULE.does_not_know(
        case,
        of,
        name,
        f"what holds the gland of {name}: its cable takes a gland of {held.thread_mm:g} mm, and the"
        " hole is as wide as the locknut of that; look for a reducer or a larger gland",
        held.thread_mm,
        "mm",
        there.value,
    )


def _needed(case: Case, name: str) -> JudgedFigure:
    """Unknown where nobody knows whether a core of the cable goes through at all."""
    cores = (each for each in case.wiring.conductors if each.id.startswith(f"{name}."))
    doubts = dict.fromkeys(path for each in cores if each.kind != "armour" for path in each.doubt)
    if doubts:
        return JudgedFigure(None, f"{', '.join(doubts)}: without it the conductors are not known")
    return JudgedFigure(hole_needed_mm(case.installation, case.wiring, name, Sizes()))
