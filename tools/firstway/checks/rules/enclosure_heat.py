"""How warm the board gets inside is shown as a band and never judged.

Why: the figures for heat through a wall were taken on large enclosures. For a board of a few
modules they only show the size of the matter and what makes it better or worse. The maker's tests
of the whole board decide. This rule only says what the estimate is: always not known.
"""

from firstway.checks.rule import Case, Findings, Rule

RULE = Rule(
    "enclosure-heat",
    "The warmth inside is the maker's to prove",
    "IEC 61439-1 temperature-rise verification; the estimate is illustrative",
    "2011",
    "unknown",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    rise = case.step("enclosure-rise", "board")
    if rise is None or rise.value is None:
        yield RULE.does_not_know(
            case,
            "board",
            "board",
            f"how warm the board gets inside; {(rise.ask if rise else '') or 'ask its maker'}",
            unit="K",
        )
        return
    band = (
        f"perhaps {rise.low:.0f} to {rise.high:.0f} K"
        if rise.low is not None and rise.high is not None
        else f"perhaps {rise.value:.0f} K"
    )
    yield RULE.says(
        case,
        "unknown",
        "board",
        "board",
        f"not known: how warm the board gets inside, {band} over the room by an illustrative"
        " estimate; the maker's proof of the whole board decides",
        rise.value,
        None,
        "K",
    )
