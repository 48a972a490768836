"""The charging point is listed and is fitted as its listing and labels say.

Why: listing means that an independent laboratory tested the very product. Most of what this guide
takes for granted, the built-in protection first of all, rests on it.
A pass: listed. A fail: not listed.
"""

from firstway.checks.rule import Case, Findings, NecRule, if_known

RULE = NecRule(
    "nec-listed", "The charging point is listed", "NFPA 70 625.5, 110.3(B)", "2020", "fail"
)


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        yield RULE.decides(
            case,
            point.name,
            point.name,
            if_known(point.listed is True, point.listed),
            found="not listed",
            wanted="listed",
            holds="listed; its instructions are part of the rule",
            breaks="the charging point is not listed",
            ask=f"whether {point.name} is listed; look for a laboratory's mark on it",
        )
