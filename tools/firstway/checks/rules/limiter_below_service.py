"""The load limiter must hold the sum at or below the service device.

Why: a limiter set above the fuse holds nothing: the fuse opens first. A limiter is a means to keep
the demand down; it is not an overload protective device.
A pass: 70 A on an 80 A fuse. Otherwise: advice; the demand itself is judged by itself.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file
from firstway.model.values import is_known, key_of

RULE = Rule(
    "limiter-below-service",
    "The load limiter holds the sum below the service device",
    "common practice; BS 7671 722.311.201 lets a limiter count",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limiter, service = case.installation.load_limiter, case.installation.supply.service_device
    if not is_known(limiter):
        return
    limit = of_file(limiter.limit_a, "the current to which the limiter is set")
    rating = of_file(
        key_of(service, "rating_a"), "the rating of the service device; ask the distributor"
    )
    yield RULE.compares(
        case,
        "supply",
        "supply",
        limit,
        rating,
        "A",
        "the limiter holds the sum within the service device",
        "the limiter is set above the service device, which would open first",
        otherwise="advice",
    )
