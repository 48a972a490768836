"""For hours of full current the next rating up runs cooler.

Why: a 32 A device may carry 32 A for ever in its own reference air. In a warm board beside a warm
neighbour it runs at its edge all night. Many fit the next rating up and then choose the cable for
the larger device. This is common practice, not a clause: the maker's diversity factor decides.
A pass: 40 A for a 32 A point. Advice: 32 A for a 32 A point.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step, within

RULE = Rule(
    "next-rating-up",
    "The device has room for hours of full current",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        rating = of_step(
            case, "device-rating", circuit.name, f"the rating of {way.name}; read it on the device"
        )
        current = of_step(case, "design-current", circuit.name, "the set current of the point")
        if rating.value is None or current.value is None:
            yield RULE.does_not_know(
                case, circuit.name, way.name, rating.ask or current.ask, unit="A"
            )
        elif within(rating.value, current.value):
            yield RULE.says(
                case,
                "advice",
                circuit.name,
                way.name,
                "the device would run at its full rating for hours: ask for the board's diversity"
                " factor, or take the next rating up with a cable for it",
                rating.value,
                current.value,
                "A",
            )
        else:
            yield RULE.passes(
                case,
                circuit.name,
                way.name,
                "the device is rated above the current that flows for hours",
                rating.value,
                current.value,
                "A",
            )
