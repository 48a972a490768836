"""On this side of the origin neutral and protective conductors are never joined.

Why: joined, part of the neutral's current returns by earth, bonding and every metal part. A
residual current device ahead trips or is blinded, and a lost neutral makes the metal live.
A pass: neutral bar and earth bar apart. A fail: a link left between the bars; a flying lead on the
wrong bar; neutral and protective core exchanged at the point.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import owner, unlike

RULE = Rule(
    "neutral-and-earth-apart",
    "Neutral and earth are kept apart",
    "BS 7671 411.4.3, 312.2.1; IEC 60364-5-54 543.4.3; NFPA 70 250.24(A)(5)",
    "2018+A3:2024; 2011; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    found = [
        each
        for each in unlike(case)
        if each.functions == {"N", "PE"} and not each.at("spd", case.wiring)
    ]
    for each in found:
        yield RULE.says(
            case,
            "fail",
            owner(case, each.conductor),
            each.conductor.id,
            f"{each.conductor.id} joins {each.one.id} to {each.other.id}: neutral and earth are"
            " joined",
        )
