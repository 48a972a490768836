"""The charging point is listed and is fitted as its listing and labels say.

Why: listing means that an independent laboratory tested the very product. Most of what this guide
takes for granted, the built-in protection first of all, rests on it.
A pass: listed. A fail: not listed.
"""

from __future__ import annotations

from collections.abc import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.nec_rule import NecRule

RULE = NecRule(
    "nec-listed", "The charging point is listed", "NFPA 70 625.5, 110.3(B)", "2020", "fail"
)


def check(case: Case) -> Iterator[Finding]:
    for point in case.each(case.installation.charging_points):
        if point.listed is True:
            yield RULE.passes(
                case,
                point.name,
                point.name,
                "listed; its instructions are part of the rule",
                "listed",
                "listed",
            )
        elif point.listed is False:
            yield RULE.says(
                case,
                "fail",
                point.name,
                point.name,
                "the charging point is not listed",
                "not listed",
                "listed",
            )
        else:
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"whether {point.name} is listed; look for a laboratory's mark on it",
                "listed",
            )
