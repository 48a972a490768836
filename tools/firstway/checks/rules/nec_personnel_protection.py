"""The charging point has a built-in system that protects people.

Why: it watches ground and leakage, opens at about 20 mA and will not close on a lost ground. It is
not the class A interrupter of a panel, which opens at about 5 mA.
A pass: a built-in device of the 20 mA kind. A fail: none.
"""

from __future__ import annotations

from collections.abc import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.nec_rule import NecRule
from firstway.model.values import NONE

RULE = NecRule(
    "nec-personnel-protection",
    "The charging point protects people by itself",
    "NFPA 70 625.22; UL 2231",
    "2020",
    "fail",
)


def check(case: Case) -> Iterator[Finding]:
    for point in case.each(case.installation.charging_points):
        if point.built_in_rcd == "ccid-20":
            yield RULE.passes(
                case,
                point.name,
                point.name,
                "it opens at about 20 mA by itself",
                "about 20 mA",
                "built in",
            )
        elif point.built_in_rcd == NONE:
            yield RULE.says(
                case,
                "fail",
                point.name,
                point.name,
                "no built-in system protects people",
                "none",
                "built in",
            )
        else:
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"what protects people inside {point.name}; its listing and instructions say",
                "built in",
            )
