"""As warm as it gets inside, the device still carries the current.

Why: a breaker opens earlier the hotter it is. Its maker prints what it may carry at some
temperatures; between those a straight line is drawn, and nothing beyond them. How warm it gets
inside so small a board is only an estimate, so this rule never passes and never fails.
Advice: the estimate leaves less than the current that flows. Otherwise: measure the temperature
inside.
"""

from firstway.checks.rule import Case, Findings, Rule, of_step, within

RULE = Rule(
    "device-when-warm",
    "The device carries the current when warm",
    "the maker's points; the temperature inside is an estimate",
    "",
    "advice",
    ("bs7671", "iec60364"),
    standing="computed",
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        warm = of_step(
            case,
            "device-current-when-warm",
            way.name,
            f"the rated current of {way.name} when warm; ask its maker",
        )
        current = of_step(case, "design-current", circuit.name, "the set current of the point")
        say = lambda level, message: RULE.says(
            case, level, circuit.name, way.name, message, current.value, warm.value, "A"
        )
        if warm.value is None or current.value is None:
            yield RULE.does_not_know(
                case, circuit.name, way.name, warm.ask or current.ask, warm.value, "A"
            )
        elif within(current.value, warm.value):
            yield say(
                "unknown",
                "not known: how warm it gets inside; by an estimate the device still carries the"
                " current: measure it in use",
            )
        else:
            yield say(
                "advice",
                "by an estimate of the warmth inside, the maker's points leave less than the"
                " current that flows: ask the maker of the board",
            )
