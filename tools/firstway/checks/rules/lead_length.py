"""The vehicle's lead is no longer than such leads are made.

Why: behind the point nobody counts the drop, nobody sees where the lead lies, and its end is far
from the hand that could switch off.
A pass: 7.5 m. Advice: 60 m; its maker has to allow it.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = Rule(
    "lead-length",
    "The vehicle's lead is of a usual length",
    "common practice: 5 m to 7.5 m, longer ones as the maker declares",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    longest = of_table(rule_limit("bs7671", "vehicle-lead-usual-m"))
    for point in case.each(case.installation.charging_points):
        if point.outlet == "tethered" or is_known(point.lead_m):
            yield RULE.compares(
                case,
                point.name,
                point.name,
                of_file(point.lead_m, f"the length of the lead of {point.name}"),
                longest,
                "m",
                "the lead is of a usual length",
                "longer than such leads are made: ask the point's maker",
                otherwise="advice",
            )
