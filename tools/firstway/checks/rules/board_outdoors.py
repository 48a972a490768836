"""A board outdoors needs a maker who says it may hang there.

Why: sun, frost, condensation and strangers reach it, and someone must work at it in the rain.
Indoors is preferred.
A pass: indoors, or outdoors as its maker declares. Advice: outdoors, and nothing declared.
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
    declared = key_of(case.installation.board.assembly, "declared_outdoors")
    if location == "outdoors" and declared is True:
        yield RULE.passes(
            case,
            "board",
            "board",
            "the board hangs outdoors, and its maker declares it for that",
            "declared",
            "declared",
        )
        return
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
