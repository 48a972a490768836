"""No line conductor is joined to a protective terminal.

Why: the metal of the board or of the vehicle is then live, at once and for whoever touches it.
A pass: no line at an earth terminal. A danger: line and protective core exchanged at the point.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import is_line, owner, unlike

RULE = Rule(
    "line-on-earth",
    "No line is joined to earth",
    "BS 7671 643.6, 411.2; IEC 60364-6 6.4.3.6; NFPA 70 250.4",
    "2018+A3:2024; 2016; 2020",
    "danger",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    found = [
        each
        for each in unlike(case)
        if "PE" in each.functions and any(map(is_line, each.functions))
    ]
    for each in found:
        yield RULE.says(
            case,
            "danger",
            owner(case, each.conductor),
            each.conductor.id,
            f"{each.conductor.id} joins {each.one.id} to {each.other.id}: a line stands on earth",
        )
