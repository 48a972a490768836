"""A board that the sun shines on is declared for it.

Why: the sun can heat a box by far more than the devices in it do, and no figure of the air in the
shade tells it. Breakers open early, insulation ages and covers grow brittle. Only the maker has
tried the whole board in the sun.
A pass: in the shade; or its maker declares it for the sun. A fail: its maker says no. Not known: it
hangs outdoors and nobody looked, or its maker said nothing: hang it in the shade, or ask.
"""

from firstway.checks.places import is_written
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known, key_of

RULE = Rule(
    "board-in-sun",
    "A board in the sun is declared for it",
    "IEC 61439-1 service conditions (from memory); BS 7671 522.11; IEC 60364-5-52 522.11 (from"
    " memory); UL 67 listing (from memory)",
    "2011",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    place = case.installation.board.place
    sunny, declared = key_of(place, "in_sun"), key_of(case.installation.board.assembly, "for_sun")
    if key_of(place, "location") == "indoors" and not is_written(case, place, "in_sun"):
        return
    yield RULE.decides(
        case,
        "board",
        "board",
        True
        if sunny is False
        else bool(declared)
        if sunny is True and is_known(declared)
        else None,
        found="not declared",
        wanted="the shade, or declared",
        holds=(
            "no sun shines on the board"
            if sunny is False
            else "its maker declares the board for sun on its enclosure"
        ),
        breaks=(
            "the sun shines on a board whose maker does not declare it for that: hang it in the"
            " shade, or take one that is declared"
        ),
        ask=(
            "how warm the sun makes it inside: ask the maker of the board, or hang it in the shade"
            if sunny is True
            else "whether the sun shines on the board at some time of the day; look"
        ),
    )
