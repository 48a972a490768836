"""A supply that is looped to a neighbour must be taken to the network operator first.

Why: two houses share one service cable. Its fuse says nothing of what the neighbour draws, and two
charging points may meet on it at night.
A pass: not looped. Advice: looped; the operator decides before any work. Not known: look, and ask.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known

RULE = Rule(
    "looped-supply",
    "The supply is not looped to a neighbour",
    "network operators' process for connecting charging points",
    "2022",
    "advice",
    ("bs7671", "iec60364"),
    standing="found",
)


def check(case: Case) -> Findings:
    looped = case.installation.supply.looped
    yield RULE.decides(
        case,
        "supply",
        "supply",
        if_known(looped is False, looped),
        found="looped",
        wanted="not looped",
        holds="the supply is not looped",
        breaks=(
            "the supply is looped: the network operator must agree first, and the marking"
            " of the fuse holder cannot be relied on"
        ),
        ask="whether the supply is looped to a neighbour; ask the network operator",
    )
