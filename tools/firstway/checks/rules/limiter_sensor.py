"""The sensor of a load limiter must see the whole load, on every line a point uses, the right way
round.

Why: a clamp placed after the tails have split sees only the charging point, and a clamp put on
backwards reads load as export. Either way the limiter believes the house is idle. No clause says
so; it is how the thing works.
A pass: before the split, arrow toward the load, every line of the points. Otherwise: advice.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "limiter-sensor",
    "The load limiter's sensor sees the whole load",
    "common practice",
    "",
    "advice",
    ("bs7671", "iec60364"),
)
_WANTED = "before the split, arrow to the load, every line"


def check(case: Case) -> Findings:
    limiter = case.installation.load_limiter
    if not is_known(limiter):
        return
    senses = limiter.senses
    if not is_known(senses):
        yield RULE.does_not_know(
            case,
            "supply",
            "supply",
            "where the limiter's sensor sits, which way its arrow points and which lines it sees",
            _WANTED,
        )
        return
    used = dict.fromkeys(
        line for point in case.installation.charging_points for line in point.lines
    )
    unseen = [line for line in used if is_known(senses.lines) and line not in senses.lines]
    wrong = [
        word
        for word, holds in (
            ("it sits after the split", senses.place == "after-split"),
            ("its arrow points to the supply", senses.arrow == "to-supply"),
            (f"it does not see {', '.join(unseen)}", bool(unseen)),
        )
        if holds
    ]
    missing = [
        word
        for word, value in (
            ("where it sits", senses.place),
            ("which way its arrow points", senses.arrow),
            ("which lines it sees", senses.lines),
        )
        if not is_known(value)
    ]
    if wrong:
        yield RULE.says(
            case,
            "advice",
            "supply",
            "supply",
            f"the limiter's sensor cannot do its work: {', '.join(wrong)}",
            ", ".join(wrong),
            _WANTED,
        )
    elif missing:
        yield RULE.does_not_know(
            case, "supply", "supply", f"of the limiter's sensor: {', '.join(missing)}", _WANTED
        )
    else:
        yield RULE.passes(
            case,
            "supply",
            "supply",
            "the sensor sees the whole load of every line the points use",
            _WANTED,
            _WANTED,
        )
