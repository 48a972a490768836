"""A point far from the board may need a surge protective device of its own.

Why: a surge runs on along the cable and doubles where it cannot go further. Over more than about
ten metres the device in the board no longer holds the far end down.
A pass: 8 m of cable; or a device at the point. Advice: 18 m with none.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known, of_step, of_table
from firstway.model.values import is_known
from firstway.tables.looking_up import spd_limit
from firstway.workings.surge.elsewhere import devices_at

RULE = Rule(
    "surge-distance",
    "The point is within reach of the surge protective device",
    "BS 7671 534.4.9; IEC 60364-5-53 534.4.9",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    if not case.installation.surge_ways:
        return
    limit = of_table(spd_limit("protected-distance-m"))
    for circuit in case.each(case.installation.circuits):
        length = of_step(case, "length", circuit.name, "the length of the cable to the point")
        for point in case.each(case.installation.points_of(circuit)):
            own = devices_at(case.installation, point.name)
            if own:
                yield RULE.decides(
                    case,
                    point.name,
                    own[0].name,
                    if_known(own[0].state == "healthy", own[0].state),
                    found="worn",
                    wanted="healthy",
                    holds=f"{own[0].name} stands at the point; whether it agrees is judged apart",
                    breaks=f"{own[0].name} at the point is worn out: nothing holds a surge there",
                    ask=f"whether {own[0].name} at the point still works; look at its window",
                )
            elif is_known(point.spd):
                yield RULE.passes(
                    case,
                    point.name,
                    point.name,
                    "the point has a surge protective device of its own; the makers say whether the"
                    " two agree",
                    length.value,
                    limit.value,
                    "m",
                )
            else:
                yield RULE.compares(
                    case,
                    point.name,
                    point.name,
                    length,
                    limit,
                    "m",
                    "the point is near enough to the device in the board",
                    "so far from the board a surge can rise again: consider a second device near"
                    " the point, one its maker says agrees with the first",
                    otherwise="advice",
                )
