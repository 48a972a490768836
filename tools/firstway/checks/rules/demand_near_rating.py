"""A demand close to the rating of the service device deserves a second look.

Why: a charging point runs for hours, and so does electric heating. A fuse and its holder that carry
nearly their full rating all night grow hot, and the holder is seldom new. This is common practice,
not a clause.
A pass: up to four fifths of the rating. Above: advice to hold the point lower, or to ask the
distributor.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_step, of_table, times
from firstway.model.values import key_of
from firstway.tables.reading import rule_limit

RULE = Rule(
    "demand-near-rating",
    "The demand leaves the service device some room",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    service = case.installation.supply.service_device
    rating = of_file(
        key_of(service, "rating_a"), "the rating of the service device; ask the distributor"
    )
    demand = of_step(
        case,
        "maximum-demand",
        "supply",
        "the load of the installation without the new points; measure it over some days",
    )
    room = times(rating, of_table(rule_limit("bs7671", "service-load-advice-share")))
    yield RULE.compares(
        case,
        "supply",
        "supply",
        demand,
        room,
        "A",
        "the demand leaves the service device some room",
        "for hours on end the service device would run near its rating: hold the point lower, or"
        " ask the distributor",
        otherwise="advice",
    )
