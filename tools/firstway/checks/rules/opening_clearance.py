"""The locknut or bush of an opening has room to turn.

Why: a gland holds a cable, and earths its armour, only as well as its locknut is tightened. Under a
bar, against a wall or against the next nut no spanner reaches it.
A pass: nothing within the width of the locknut. A fail: a gland below the earth bar.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.layout.measuring import in_the_way
from firstway.layout.stated import of_bar, of_opening, of_own_bars, of_the_row, paths_of_unknown
from firstway.model.values import key_of

RULE = Rule(
    "opening-clearance",
    "The locknut of each opening has room to turn",
    "measuring: the locknut's width of the gland's standard; BS 7671 134.1.1 asks for the maker's"
    " instructions",
    "; 2018+A3:2024",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    job = case.installation
    names = ("feed", *(each.name for each in job.circuits))
    places = [
        *of_the_row(job),
        *of_bar(job, "neutral-bar"),
        *of_bar(job, "earth-bar"),
        *of_own_bars(job),
    ]
    for name in names:  # the next nut is in the way too
        places += [*of_opening(job, name), key_of(case.opening(name), "hole_mm")]
    unknown = paths_of_unknown(places)
    for name in names:
        of = "board" if name == "feed" else name
        if case.plan.refused:
            yield RULE.does_not_know(case, of, name, f"{case.plan.refused}: look at it")
            continue
        parts = case.plan.layout.parts
        opening = parts.opening(name)
        if unknown or opening is None:
            more = f" and {len(unknown) - 1} more keys" if unknown[1:] else ""
            ask = f"where the opening of {name} is and what lies near it; measure it and state"
            yield RULE.does_not_know(case, of, name, f"{ask} {''.join(unknown[:1])}{more}")
            continue
        met = in_the_way(parts, opening)
        if met:
            worst = max(met, key=lambda each: each.by_mm)
            yield RULE.says(
                case,
                "fail",
                of,
                name,
                f"the locknut at the opening of {name} cannot be turned: {worst.name} is in its"
                " way; the two lie in each other by the value",
                worst.by_mm,
                0.0,
                "mm",
            )
        else:
            yield RULE.passes(case, of, name, f"the locknut at the opening of {name} can be turned")
