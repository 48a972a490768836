"""On a combined supply, line to earth and line to neutral are one loop and measure alike.

Why: earth and neutral are the same conductor in the street. If the two readings differ, one was
taken wrongly, a joint is bad, or the supply is not what it is called.
A pass: both 0.28 Ω. Advice: they differ; find out why before relying on either.
"""

from firstway.checks.rule import Case, Findings, Rule, of_file, within

RULE = Rule(
    "supply-loops-agree",
    "The two loops of a combined supply agree",
    "common practice: both loops close through the same conductor",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    supply = case.installation.supply
    if supply.system != "TN-C-S":
        return
    earth = of_file(
        supply.ze_ohm, "the earth fault loop of the supply; measure it or ask the distributor"
    )
    neutral = of_file(
        supply.line_neutral_loop_ohm, "the loop of line and neutral at the origin; measure it"
    )
    if earth.value is None or neutral.value is None:
        yield RULE.does_not_know(
            case, "supply", "supply", earth.ask or neutral.ask, neutral.value, "ohm"
        )
    elif not (within(earth.value, neutral.value) and within(neutral.value, earth.value)):
        yield RULE.says(
            case,
            "advice",
            "supply",
            "supply",
            "line to earth and line to neutral differ, though they are one loop: a little may be"
            " the instrument; find out why before relying on either",
            earth.value,
            neutral.value,
            "ohm",
        )
    else:
        yield RULE.passes(
            case,
            "supply",
            "supply",
            "line to earth and line to neutral agree",
            earth.value,
            neutral.value,
            "ohm",
        )
