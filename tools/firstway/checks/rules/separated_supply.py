"""A separated supply is one: a transformer for one vehicle, and nothing joined to earth.

Why: "separated" means that the first fault drives no current, since nothing leads back. That rests
on a transformer made for it, one for each vehicle, which nothing else in this file describes. Never
a pass: its designer shows it. Advice: look for the transformer. Under the NEC a fail: the equipment
grounding conductor may not be left out.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "separated-supply",
    "A separated supply has its transformer",
    "BS 7671 722.413.1.2 (not confirmed), 413.3; IEC 60364-7-722; NFPA 70 250.114",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    for point in case.each(case.installation.charging_points):
        if point.earthed_by != "separated":
            continue
        if case.installation.rules == "nec":
            yield RULE.says(
                case,
                "fail",
                point.name,
                point.name,
                "a charging point keeps its equipment grounding conductor: 'separated' describes"
                " none",
                "separated",
                "supply",
            )
        else:
            yield RULE.says(
                case,
                "advice",
                point.name,
                point.name,
                "nothing here describes the transformer that separates: one for each vehicle, its"
                " output joined to no earth; its designer has to show it",
                "separated",
                "one transformer a vehicle",
            )
