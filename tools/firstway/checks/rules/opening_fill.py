"""What passes an opening of the box fits through it.

Why: two tails forced through a hole for one are cut by its edge; a gland does not go into a smaller
hole, and a larger one lets in what the box is to keep out.
A pass: two tails of 25 mm² through a hole of 25 mm. A fail: the same through 20 mm.
"""

from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file
from firstway.layout.entries import hole_needed_mm
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


def _needed(case: Case, name: str) -> JudgedFigure:
    """Unknown where nobody knows whether a core of the cable goes through at all."""
    cores = (each for each in case.wiring.conductors if each.id.startswith(f"{name}."))
    doubts = dict.fromkeys(path for each in cores if each.kind != "armour" for path in each.doubt)
    if doubts:
        return JudgedFigure(None, f"{', '.join(doubts)}: without it the conductors are not known")
    return JudgedFigure(hole_needed_mm(case.installation, case.wiring, name, Sizes()))
