"""An isolator ahead lets the tails be made dead without touching the cut-out.

Why: the cut-out and its seal are the distributor's; pulling the fuse is for authorised persons
only. Without an isolator, nobody but they can make the supply side of the main switch dead.
A pass: there is one. Advice: there is none; ask the distributor or the supplier to fit one, and to
make the supply dead.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known

RULE = Rule(
    "isolator-ahead",
    "An isolator stands ahead of the tails",
    "common practice; who may isolate is the distributor's to say",
    "",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    isolator = case.installation.supply.isolator
    yield RULE.decides(
        case,
        "supply",
        "supply",
        if_known(isolator is True, isolator),
        found="none",
        wanted="there is one",
        holds="an isolator ahead lets the tails be made dead",
        breaks=(
            "no isolator: ask the distributor or the supplier to fit one; the fuse of the"
            " cut-out is for authorised persons only"
        ),
        ask="whether an isolator stands ahead of the tails; look, and ask the distributor",
    )
