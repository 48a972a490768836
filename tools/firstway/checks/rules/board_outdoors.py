"""A board outdoors needs a maker who says it may hang there.

Why: sun, frost, condensation and strangers reach it, and someone must work at it in the rain.
Indoors is preferred.
A pass: indoors. Advice: outdoors.
"""

from firstway.checks.rule import Case, Findings, Rule, if_known
from firstway.model.values import key_of

RULE = Rule(
    "board-outdoors",
    "The board hangs indoors",
    "common practice; guidance of an institution's magazine",
    "2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    place = case.installation.board.place
    location = key_of(place, "location")
    yield RULE.decides(
        case,
        "board",
        "board",
        if_known(location != "outdoors", location),
        found="outdoors",
        wanted="indoors",
        holds="the board hangs indoors",
        breaks=(
            "the board hangs outdoors: its maker must declare it for sun, rain and frost, and it"
            " must be worked at there"
        ),
        ask="whether the board hangs indoors",
    )
