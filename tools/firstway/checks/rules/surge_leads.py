"""The connecting leads of the surge protective device are short: both sides together.

Why: a surge rises so fast that each metre of lead adds hundreds of volts or more to what the device
lets through. Line side and earth side count together.
A pass: 0.3 m. Advice: 0.8 m. A fail: 1.2 m.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.places import surge_ways
from firstway.checks.rule import Rule
from firstway.tables.found import Gap
from firstway.tables.looking_up import spd_lead_limit_m

RULE = Rule("surge-leads", "The leads of the surge protective device are short", "BS 7671 534.4.8; IEC 60364-5-53 534.4.8",
            "2018+A3:2024", "fail", ("bs7671", "iec60364"), confirm=True)


def check(case: Case) -> Iterator[Finding]:
    preferred, longest = spd_lead_limit_m("preferred"), spd_lead_limit_m("longest")
    assert not isinstance(preferred, Gap) and not isinstance(longest, Gap)
    for way in surge_ways(case.installation):
        step = case.step("spd-lead-length", way.name)
        if step is None or step.value is None:
            yield RULE.does_not_know(case, way.name, way.name, step.ask if step else "the length of the leads", preferred.value, "m")
        elif step.value > longest.value and case.installation.rules == "bs7671":
            yield RULE.says(case, "fail", way.name, way.name, "the leads are longer than the length never to be exceeded", step.value, longest.value, "m")
        elif step.value > preferred.value:
            yield RULE.says(case, "advice", way.name, way.name, "the leads are longer than the preferred length", step.value, preferred.value, "m")
        elif step.assumed:
            yield RULE.does_not_know(case, way.name, way.name, "the length of the leads is assumed: measure it", preferred.value, "m")
        else:
            yield RULE.says(case, "pass", way.name, way.name, "line side and earth side together are within the preferred length", step.value, preferred.value, "m")
