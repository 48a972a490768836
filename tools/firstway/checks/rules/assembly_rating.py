"""The board as a whole must be guarded within its rated current.

Why: a board is tested as a whole up to its rated current. Above it the bar, the switch and every
joint run hotter than anyone has tried. One of three ways is enough: the device ahead is rated no
higher; the outgoing devices together are rated no higher; or load control holds the current.
Diversity alone is none of them.
A pass: a 63 A board behind a 63 A fuse. A fail: a 63 A board behind 100 A with outgoing devices of
40 A and 32 A.
"""

from firstway.checks.places import either_guards
from firstway.checks.rule import Case, Findings, Rule, of_file, within
from firstway.model.values import is_known, key_of

RULE = Rule(
    "assembly-rating",
    "The assembly is guarded within its rating",
    "BS 7671 536.4.202, as discussed in public for A4, full text not seen; IEC 61439-1 5.3.1",
    "2018+A4:2026; 2011",
    "fail",
    ("bs7671", "iec60364"),
    unread="full text not seen, confirm in the current book",
)


def check(case: Case) -> Findings:
    assembly = case.installation.board.assembly
    rating = of_file(
        key_of(assembly, "rating_a"),
        "the rated current of the assembly; read its plate or ask its maker",
    )
    found = either_guards(RULE, case, "board", rating, "the assembly")
    limiter = case.installation.load_limiter
    if (
        found.level == "fail"
        and is_known(limiter)
        and limiter.documented is True
        and is_known(limiter.limit_a)
        and rating.value is not None
        and within(float(limiter.limit_a), rating.value)
    ):
        found = RULE.says(
            case,
            "advice",
            "board",
            "board",
            "only load control keeps the assembly within its rating: ask its maker, and write it"
            " down",
            float(limiter.limit_a),
            rating.value,
            "A",
        )
    yield found
