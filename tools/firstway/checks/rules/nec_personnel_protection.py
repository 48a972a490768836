"""The charging point has a built-in system that protects people.

Why: it watches ground and leakage, opens at about 20 mA and will not close on a lost ground. It is
not the class A interrupter of a panel, which opens at about 5 mA.
A pass: a built-in device of the 20 mA kind. A fail: none.
"""

from firstway.checks.rule import Case, Findings, NecRule
from firstway.model.values import NONE

RULE = NecRule(
    "nec-personnel-protection",
    "The charging point protects people by itself",
    "NFPA 70 625.22; UL 2231",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
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
