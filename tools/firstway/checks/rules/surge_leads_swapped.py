"""The neutral and earth leads of the surge protective device are at their own terminals.

Why: its elements are made for one place each: exchanged, the gap or the element for earth stands
where the neutral should be, and leads that look tidy put neutral on earth through the device.
A pass: each lead at the terminal marked for it. A fail: neutral and earth lead exchanged.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.checks.tracing import unlike

RULE = Rule(
    "surge-leads-swapped",
    "The leads of the surge protective device are at their own terminals",
    "BS 7671 134.1.1; IEC 60364-5-51 510.3; NFPA 70 110.3(B)",
    "2018+A3:2024; 2005; 2020",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        found = [
            each
            for each in unlike(case)
            if each.functions == {"N", "PE"} and way.name in (each.one.device, each.other.device)
        ]
        for each in found:
            yield RULE.says(
                case,
                "fail",
                way.name,
                each.conductor.id,
                f"{each.conductor.id} joins {each.one.id} to {each.other.id}: neutral and earth"
                " lead are exchanged",
            )
