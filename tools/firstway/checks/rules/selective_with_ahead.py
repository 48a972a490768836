"""An overload at the point should open the point's own device, not the one ahead.

Why: when the device ahead opens first, more goes dark than the fault deserves. Selectivity on a
large fault follows from energies that only the makers' tables give; on an overload the smaller
rating opens first.
A pass is not given here: makers' tables decide. Advice: the device ahead is rated no higher than
the point's own.
"""

from firstway.checks.places import device_ahead_of_board
from firstway.checks.rule import Case, Findings, Rule, of_step, within

RULE = Rule(
    "selective-with-ahead",
    "The point's own device opens before the one ahead",
    "BS 7671 536.4.1; IEC 60364-5-53 536",
    "2018+A3:2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    ahead = device_ahead_of_board(case)
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        rating = of_step(
            case, "device-rating", circuit.name, f"the rating of {way.name}; read it on the device"
        )
        if rating.value is None or ahead.value is None:
            yield RULE.does_not_know(
                case, circuit.name, way.name, rating.ask or ahead.ask, unit="A"
            )
        elif within(ahead.value, rating.value):
            yield RULE.says(
                case,
                "advice",
                circuit.name,
                way.name,
                "the device ahead is rated no higher: it may open first, even on an overload",
                rating.value,
                ahead.value,
                "A",
            )
        else:
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                "whether the two devices stay selective on a large fault; the smaller rating opens"
                " first on an overload, the makers' tables decide the rest",
                ahead.value,
                "A",
            )
