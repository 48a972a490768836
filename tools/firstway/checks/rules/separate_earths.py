"""Two earths must not be within reach of one another.

Why: a point on its own electrode and metal on the supply's earth can stand at different voltages in
a fault. A person who touches both carries the difference. 2.5 m is the distance that counts as out
of reach.
A pass: 3.1 m. A fail: 1.4 m. Below ground the operator says how far the rods stand apart.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_table
from firstway.model.values import is_known
from firstway.tables.reading import rule_limit

RULE = Rule(
    "separate-earths",
    "Metal on another earth is out of reach",
    "BS 7671 411.3.1.1 and 417; IEC 60364-4-41 411.3.1.1, Annex B.3",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limit = of_table(rule_limit("bs7671", "simultaneous-reach-m"))
    for point in case.each(case.installation.charging_points):
        if not is_known(point.earthed_by) or point.earthed_by == "supply":
            continue
        yield RULE.compares(
            case,
            point.name,
            point.name,
            of_file(
                point.distance_to_other_earth_m,
                f"how far {point.name} stands from metal on another earth; measure it, vehicle"
                " included",
            ),
            limit,
            "m",
            "metal on another earth is out of reach",
            "a person can touch this point and metal on another earth at once",
            at_most=False,
        )
