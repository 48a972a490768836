"""The cord to the vehicle is no longer than 25 ft, unless it is managed.

Why: a cord on the ground is driven over and wears through. The code ends its usable length unless a
system that keeps it off the ground is part of the equipment.
A pass: 6 m. A fail: 30 m without such a system.
"""

from firstway.checks.rule import Case, Findings, JudgedFigure, NecRule, of_file, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = NecRule(
    "nec-lead-length",
    "The cord is no longer than allowed",
    "NFPA 70 625.17(C) (from memory)",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    longest: JudgedFigure = of_table(rule_limit("nec", "cord-longest-m"))
    for point in case.each(case.installation.charging_points):
        if point.outlet == "tethered" or is_known(point.lead_m):
            yield RULE.compares(
                case,
                point.name,
                point.name,
                of_file(point.lead_m, f"the length of the cord of {point.name}"),
                longest,
                "m",
                "the cord is within 25 ft",
                "longer than 25 ft: only with a cable management system that is part of the"
                " equipment",
            )
