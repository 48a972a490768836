"""A vehicle is not charged for hours from a plain socket-outlet.

Why: a household outlet is tried with its rated current for a short time. A vehicle draws it all
night, the contacts warm, and worn ones melt. An outlet for vehicles is made and marked for it.
Never a pass: makers and wording decide. Advice: the point is named a plain outlet.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "plain-socket",
    "No hours of charging from a plain socket-outlet",
    "BS 7671 722.55.101; IEC 60364-7-722 722.55.101 (from memory)",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        if point.outlet == "receptacle":
            yield RULE.says(
                case,
                "advice",
                point.name,
                point.name,
                "a plain socket-outlet warms for hours: use one that is made and marked for"
                " vehicles, or a point with a lead",
                "receptacle",
                "tethered, or a vehicle socket",
            )
