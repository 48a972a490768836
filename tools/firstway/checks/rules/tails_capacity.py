"""The tails carry at least the rated current of the service device ahead of them.

Why: nothing between the service device and the origin holds the current below that device's rating.
Tails that carry less run hot for hours before it opens, behind a cover nobody lifts.
A pass: 25 mm2 where 100 A are guarded. A fail: 1 mm2 behind 80 A.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import of_step
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule, within
from firstway.model.values import is_known
from firstway.tables.found import Read
from firstway.tables.looking_up import current_capacity_a, standard_sizes_mm2
from firstway.workings.cable_tables import cable_tables

RULE = Rule(
    "tails-capacity",
    "The tails carry the rated current of the service device",
    "BS 7671 433.1.1, 433.3.1; IEC 60364-4-43 433.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def _below_the_table(case: Case) -> Read | None:
    """The most that tails thinner than the table's first row can carry: what that row carries, by
    the worst method of the route.
    """
    supply = case.installation.supply
    cable = supply.cable
    if (
        not is_known(cable)
        or not is_known(cable.csa_mm2)
        or not is_known(cable.construction)
        or not supply.route
    ):
        return None
    first = standard_sizes_mm2(str(cable.construction))[:1]
    if not first or cable.csa_mm2 >= first[0].value:
        return None
    loaded = 3 if supply.phases == 3 else 2
    found = [
        current_capacity_a(
            case.installation.rules,
            str(cable.construction),
            cable_tables(cable).insulation,
            str(stretch.method),
            loaded,
            first[0].value,
        )
        for stretch in supply.route
    ]
    return min(
        (read for read in found if isinstance(read, Read)),
        key=lambda read: read.value,
        default=None,
    )


def check(case: Case) -> Iterator[Finding]:
    carried = of_step(case, "corrected-capacity", "supply", "the tails: cable, size and route")
    rating = of_step(case, "service-rating", "supply", "the rating of the service device")
    thin = _below_the_table(case) if carried.value is None else None
    if thin is not None and rating.value is not None and not within(rating.value, thin.value):
        yield RULE.says(
            case,
            "fail",
            "supply",
            "supply",
            "the tails are thinner than any size of the table, and the thinnest of it carries less"
            " than the rated current of the service device",
            thin.value,
            rating.value,
            "A",
        )
        return
    yield RULE.compares(
        case,
        "supply",
        "supply",
        carried,
        rating,
        "A",
        "the tails carry the rated current of the service device where they are run",
        "the tails carry less than the rated current of the service device: they can overheat"
        " unseen",
        at_most=False,
    )
