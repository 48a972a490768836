"""The demand with the new points must stay within the service device.

Why: the fuse of the supply guards cables that nobody in the house can see. A house and a charging
point together can draw more than it carries, hour after hour, without ever opening it at once.
A pass: 73 A on an 80 A fuse. A fail: 95 A on an 80 A fuse. A limiter counts only when it is written
down.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, of_step
from firstway.model.values import key_of

RULE = Rule(
    "service-capacity",
    "The demand stays within the service device",
    "BS 7671 132.16, 313.1; IEC 60364-1 313",
    "2018+A3:2024",
    "fail",
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
    yield RULE.compares(
        case,
        "supply",
        "supply",
        demand,
        rating,
        "A",
        "the demand with the new points stays within the service device",
        "the demand with the new points is above the rating of the service device",
    )
