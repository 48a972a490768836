"""The surge protective device, with its back-up, bears the largest fault current.

Why: when a worn-out device short-circuits, the fault current of the supply flows through it until
the back-up opens. Above its rating it can burst and throw hot metal through the board.
A pass: 25 kA where 0.9 kA can flow. A fail: less than can flow.
"""

from firstway.checks.places import largest_at_origin_ka, largest_with_sources_ka
from firstway.checks.rule import Case, Findings, Rule, of_file
from firstway.model.installation import SurgeDeviceElsewhere

RULE = Rule(
    "surge-short-circuit-rating",
    "The surge protective device bears the largest fault current",
    "BS 7671 534.4.5, 434; IEC 60364-5-53 534.4.5",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    points = {point.name for point in case.installation.charging_points}
    for way in case.each(case.installation.every_surge_device):
        rating = of_file(
            way.short_circuit_rating_ka,
            f"the short-circuit rating of {way.name} with its back-up; ask its maker",
        )
        ask = "the largest fault current there; measure it or ask the distributor"
        if isinstance(way, SurgeDeviceElsewhere) and way.at not in points:
            # ahead of the feed: what the network gives at the origin
            current = largest_at_origin_ka(case, ask)
        else:
            current = largest_with_sources_ka(case, ask)
        yield RULE.compares(
            case,
            way.name,
            way.name,
            rating,
            current,
            "kA",
            "the device with its back-up bears the largest fault current",
            "the largest fault current is above what the device and its back-up bear",
            at_most=False,
        )
