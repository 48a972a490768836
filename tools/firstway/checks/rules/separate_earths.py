"""Two earths must not be within reach of one another.

Why: a point on its own electrode and metal on the supply's earth can stand at different voltages in
a fault. A person who touches both carries the difference. 2.5 m is the distance that counts as out
of reach.
A pass: 3.1 m. A fail: 1.4 m. Below ground the operator says how far the rods stand apart.
"""

from firstway.checks.rule import Case, Findings, Rule, within
from firstway.model.values import is_known
from firstway.tables.reading import Gap, rule_limit

RULE = Rule(
    "separate-earths",
    "Metal on another earth is out of reach",
    "BS 7671 411.3.1.1 and 417; IEC 60364-4-41 411.3.1.1, Annex B.3",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limit = rule_limit("bs7671", "simultaneous-reach-m")
    for point in case.each(case.installation.charging_points):
        if not is_known(point.earthed_by) or point.earthed_by == "supply":
            continue
        distance = point.distance_to_other_earth_m
        if not is_known(distance) or isinstance(limit, Gap):
            yield RULE.does_not_know(
                case,
                point.name,
                point.name,
                f"how far {point.name} stands from metal on another earth; measure it, vehicle"
                " included",
                None if isinstance(limit, Gap) else limit.value,
                "m",
            )
        elif not within(limit.value, distance):
            yield RULE.says(
                case,
                "fail",
                point.name,
                point.name,
                "a person can touch this point and metal on another earth at once",
                distance,
                limit.value,
                "m",
            )
        else:
            yield RULE.passes(
                case,
                point.name,
                point.name,
                "metal on another earth is out of reach",
                distance,
                limit.value,
                "m",
            )
