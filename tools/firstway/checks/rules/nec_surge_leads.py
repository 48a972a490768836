"""The leads of the surge protective device are no longer than necessary and without needless bends.

Why: each metre of lead adds about a thousand volts to what the vehicle sees. The code names no
length.
Advice: 0.4 m on both sides together; turn the device or move it if that saves lead.
"""

from firstway.checks.places import longest_surge_leads
from firstway.checks.rule import Case, Findings, NecRule

RULE = NecRule(
    "nec-surge-leads", "Surge leads are as short as can be", "NFPA 70 242.24", "2020", "advice"
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        length = longest_surge_leads(case, way)
        if length.value is None:
            yield RULE.does_not_know(case, way.name, way.name, length.ask, unit="m")
        else:
            yield RULE.says(
                case,
                "advice",
                way.name,
                way.name,
                "no length is named: keep the leads as short and straight as the panel allows",
                length.value,
                None,
                "m",
            )
