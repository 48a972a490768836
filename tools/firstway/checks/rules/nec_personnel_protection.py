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
        yield RULE.decides(
            case,
            point.name,
            point.name,
            True
            if point.built_in_rcd == "ccid-20"
            else False
            if point.built_in_rcd == NONE
            else None,
            found="none",
            wanted="built in",
            holds="it opens at about 20 mA by itself",
            breaks="no built-in system protects people",
            ask=f"what protects people inside {point.name}; its listing and instructions say",
            held="about 20 mA",
        )
