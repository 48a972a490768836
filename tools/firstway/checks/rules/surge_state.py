"""The surge protective device shows itself healthy.

Why: each surge wears it. When it is spent it disconnects itself and the board works on as before,
with no protection. Only its window tells.
A pass: healthy. A fail: worn. Nobody looked: not known.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known

RULE = Rule(
    "surge-state",
    "The surge protective device is healthy",
    "its maker's instructions; BS 7671 534.2.8 of 2011, the later clause was not found",
    "2011",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        yield RULE.decides(
            case,
            way.name,
            way.name,
            if_known(way.state == "healthy", way.state),
            found="worn",
            wanted="healthy",
            holds=f"{way.name} shows itself healthy",
            breaks=f"{way.name} is worn out and protects nothing: replace it",
            ask=f"what the window of {way.name} shows; look at it",
        )
