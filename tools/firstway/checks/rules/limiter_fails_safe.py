"""When the load limiter loses its signal, the points must fall to a current the supply can bear.

Why: a limiter lives on a clamp, a wire or a radio. When that is lost it no longer knows the load of
the house. Then the points must stop, or fall low enough for the house at its fullest. No clause was
found; it is common practice.
A pass: 0 A; or so little that the service device bears it beside the full load of the house.
Otherwise: advice.
"""

from firstway.checks.rule import Case, Finding, Findings, JudgedFigure, Rule, of_file
from firstway.model.values import is_known, key_of

RULE = Rule(
    "limiter-fails-safe",
    "Without its signal the load limiter falls to a safe current",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limiter = case.installation.load_limiter
    if not is_known(limiter):
        return
    if not is_known(limiter.on_lost_signal_a):
        yield RULE.does_not_know(
            case,
            "supply",
            "supply",
            "to what current the points fall when the limiter loses its signal; ask its maker",
            unit="A",
        )
    elif limiter.on_lost_signal_a == 0:
        yield RULE.passes(
            case, "supply", "supply", "without a signal the points stop", 0, None, "A"
        )
    else:
        yield _beside_the_house(case, float(limiter.on_lost_signal_a))


def _beside_the_house(case: Case, each_a: float) -> Finding:
    """The fullest line with every point on it at its fallen-back current, against the service
    device.
    """
    installation = case.installation
    worst = JudgedFigure(0.0)
    for line in dict.fromkeys(
        line for point in installation.charging_points for line in point.lines
    ):
        house = of_file(
            key_of(key_of(installation.existing_load, line), "maximum_demand_a"),
            f"the load of the house on {line}",
        )
        if house.value is None:
            worst = house
            break
        points = sum(line in point.lines for point in installation.charging_points)
        if house.value + points * each_a > (worst.value or 0):
            worst = JudgedFigure(house.value + points * each_a)
    rating = of_file(
        key_of(installation.supply.service_device, "rating_a"),
        "the rating of the service device; ask the distributor",
    )
    return RULE.compares(
        case,
        "supply",
        "supply",
        worst,
        rating,
        "A",
        "without a signal the supply bears the house and what the points still draw",
        "without a signal the house and the points together can exceed the service device: let the"
        " points stop",
        otherwise="advice",
    )
