"""The tails carry at least the rated current of the service device ahead of them.

Why: nothing between the service device and the origin holds the current below that device's rating.
Tails that carry less run hot for hours before it opens, behind a cover nobody lifts.
A pass: 25 mm² where 100 A are guarded. A fail: 1 mm² behind 80 A.
"""

from firstway.checks.at_best import most_it_could_carry
from firstway.checks.rule import Case, Findings, Rule, of_step, within

RULE = Rule(
    "tails-capacity",
    "The tails carry the rated current of the service device",
    "BS 7671 433.1.1, 433.3.1; IEC 60364-4-43 433.1",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def _at_best(case: Case) -> float | None:
    """The most the tails could carry, with all that is not known of their route at its best."""
    supply = case.installation.supply
    return most_it_could_carry(
        case.installation, supply.cable, supply.route, 3 if supply.phases == 3 else 2
    )


def check(case: Case) -> Findings:
    carried = of_step(case, "corrected-capacity", "supply", "the tails: cable, size and route")
    rating = of_step(case, "service-rating", "supply", "the rating of the service device")
    most = _at_best(case) if carried.value is None and rating.value is not None else None
    if most is not None and rating.value is not None and not within(rating.value, most):
        yield RULE.says(
            case,
            "fail",
            "supply",
            "supply",
            "the tails carry less than the rated current of the service device, even with all that"
            " is not known of their route at its best",
            most,
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
