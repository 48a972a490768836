"""No conductor joins a line terminal to a neutral terminal.

Why: where line and neutral are crossed, switches and protected poles that should break the line
break the neutral, and what looks off is at line voltage. Loop and trip readings stay the same: only
polarity shows it.
A pass: every line conductor runs from line to line. A danger: tails reversed at the main switch,
cores reversed at the point.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import is_line, owner, unlike

RULE = Rule(
    "line-and-neutral-crossed",
    "Line and neutral are not crossed",
    "BS 7671 643.6; IEC 60364-6 6.4.3.6; NFPA 70 200.11",
    "2018+A3:2024; 2016; 2020",
    "danger",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    found = [
        each for each in unlike(case) if "N" in each.functions and any(map(is_line, each.functions))
    ]
    for each in found:
        yield RULE.says(
            case,
            "danger",
            owner(case, each.conductor),
            each.conductor.id,
            f"{each.conductor.id} joins {each.one.id} to {each.other.id}: line and neutral are"
            " crossed",
        )
