"""Several rods stand at least their own length apart.

Why: two rods side by side share the same ground and are hardly better than one. The formula for
several rods holds only where they stand apart.
A pass: 4 m between rods of 2.4 m. Advice: 0.3 m.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file
from firstway.model.values import is_known

RULE = Rule(
    "rods-spacing",
    "Several rods stand their own length apart",
    "BS 7430 9.5.4 (from memory)",
    "2011",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for item in case.each(case.installation.electrodes):
        if is_known(item.rods) and item.rods > 1:
            yield RULE.compares(
                case,
                item.name,
                item.name,
                of_file(item.spacing_m, f"how far apart the rods of {item.name} stand"),
                of_file(item.length_m, f"how deep the rods of {item.name} go"),
                "m",
                "the rods stand at least their own length apart",
                "nearer than their own length they share the same ground: the formula for several"
                " rods does not hold",
                at_most=False,
                otherwise="advice",
            )
