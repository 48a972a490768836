"""The bar must be guarded within its rated current.

Why: the bar carries what all ways draw together, and its teeth sit in clamps that loosen when they
are overheated. It is part of the assembly and must be the bar the maker of the assembly named.
A pass: a 63 A bar behind a 63 A fuse. A fail: a 63 A bar behind 100 A with outgoing devices of 80 A
together.
"""

from firstway.checks.places import either_guards
from firstway.checks.rule import Case, Findings, Rule, of_file
from firstway.model.values import NONE, is_known, key_of

RULE = Rule(
    "bar-rating",
    "The bar is guarded within its rating",
    "BS 7671 536.4.202 (the whole assembly), as discussed in public for A4, full text not seen;"
    " IEC 61439-1 5.3.2",
    "2018+A4:2026; 2011",
    "fail",
    ("bs7671", "iec60364"),
    unread="full text not seen, confirm in the current book",
)


def check(case: Case) -> Findings:
    bar = case.installation.board.busbar
    if is_known(bar) and bar.style == NONE:
        return
    rating = of_file(
        key_of(bar, "rating_a"), "the rating of the bar; read its marking or ask its maker"
    )
    yield either_guards(RULE, case, "board", rating, "the bar")
