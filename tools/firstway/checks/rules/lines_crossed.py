"""Each line keeps its place: none is joined to another.

Why: two poles on one line leave a three-phase point without a phase, load that line twice and show
no voltage where 400 V was expected; two different lines joined are a short circuit.
A pass: every tooth on its own line. A fail: a tooth of L3 on the comb of L1.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import is_line, owner, unlike

RULE = Rule(
    "lines-crossed",
    "Each line keeps its place",
    "BS 7671 643.9; IEC 60364-6 6.4.3.9; NFPA 70 110.7",
    "2018+A3:2024; 2016; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    found = [each for each in unlike(case) if all(map(is_line, each.functions))]
    for each in found:
        yield RULE.says(
            case,
            "fail",
            owner(case, each.conductor),
            each.conductor.id,
            f"{each.conductor.id} joins {each.one.id} to {each.other.id}: two lines are crossed",
        )
