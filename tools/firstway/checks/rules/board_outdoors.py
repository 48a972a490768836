"""A board outdoors needs a maker who says it may hang there.

Why: sun, frost, condensation and strangers reach it, and someone must work at it in the rain.
Indoors is preferred.
A pass: indoors. Advice: outdoors.
"""

from __future__ import annotations

from collections.abc import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "board-outdoors",
    "The board hangs indoors",
    "common practice; guidance of an institution's magazine",
    "2024",
    "advice",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Iterator[Finding]:
    place = case.installation.board.place
    location = key_of(place, "location")
    if not is_known(location):
        yield RULE.does_not_know(
            case, "board", "board", "whether the board hangs indoors", "indoors"
        )
    elif location == "outdoors":
        yield RULE.says(
            case,
            "advice",
            "board",
            "board",
            "the board hangs outdoors: its maker must declare it for sun, rain and frost, and it"
            " must be worked at there",
            "outdoors",
            "indoors",
        )
    else:
        yield RULE.passes(case, "board", "board", "the board hangs indoors", "indoors", "indoors")
