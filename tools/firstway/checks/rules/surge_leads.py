"""The connecting leads of the surge protective device are short: both sides together.

Why: a surge rises so fast that each metre of lead adds hundreds of volts or more to what the device
lets through. Live side and earth side count together, the line's and the neutral's alike.
A pass: 0.3 m. Advice: 0.8 m. A fail: 1.2 m.
"""

from firstway.checks.places import longest_surge_leads
from firstway.checks.rule import Case, Findings, Rule, of_file, of_table, within
from firstway.tables.looking_up import spd_lead_limit_m

RULE = Rule(
    "surge-leads",
    "The leads of the surge protective device are short",
    "BS 7671 534.4.8; IEC 60364-5-53 534.4.8",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    preferred, longest = (
        of_table(spd_lead_limit_m("preferred")),
        of_table(spd_lead_limit_m("longest")),
    )
    never_longer = case.installation.rules == "bs7671"
    for way in case.each(case.installation.surge_ways):
        length = longest_surge_leads(case, way)
        if (
            never_longer
            and length.value is not None
            and longest.value is not None
            and not within(length.value, longest.value)
        ):
            yield RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                "the leads are longer than the length never to be exceeded",
                length.value,
                longest.value,
                "m",
            )
        else:
            yield RULE.compares(
                case,
                way.name,
                way.name,
                length,
                preferred,
                "m",
                "live side and earth side together are within the preferred length",
                "the leads are longer than the preferred length",
                otherwise="advice",
            )
    for device in case.each(case.installation.surge_devices):
        lead = of_file(device.lead_m, f"the leads of {device.name}; measure both sides together")
        beyond = lead.value is not None and longest.value is not None
        yield RULE.compares(
            case,
            device.name,
            device.name,
            lead,
            preferred,
            "m",
            "live side and earth side together are within the preferred length",
            "the leads are longer than the preferred length",
            otherwise=(
                "fail"
                if never_longer and beyond and not within(lead.value or 0, longest.value or 0)
                else "advice"
            ),
        )
