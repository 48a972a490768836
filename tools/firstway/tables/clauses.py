"""tables: how far a clause, or the words that name a source, may be relied on; nobody types it
beside them.
"""

import re
from collections.abc import Iterable
from functools import cache

from firstway.tables.reading import table

BOOKS = {"bs7671": "BS 7671", "iec60364": "IEC 60364", "nec": "NFPA 70"}
"""Rule set to the book its clauses are numbered in."""
NUMBER_NOT_CONFIRMED = ("722.314.101", "722.413.1.2", "722.512.2")
"""Clauses of BS 7671 whose very number no document confirmed."""
LEAST_LAST = ("found", "computed", "common practice", "from memory", "assumed")
"""Standings, the surest first: what rests on several things rests on the least of them."""
_HEAD = re.compile(r"BS 7671|IEC 60364(?:-\d+)*|NFPA 70(?: \(NEC\))?")
_EDITION = re.compile(r"\bA\d(?::\d{4})?\b")
_NUMBER = re.compile(
    r"(?:(?:Table|Appendix|Annex|Article|Chapter|Section|Part)"
    r" )?(?:\d[A-Z]+\d*[A-Za-z]?|[A-Z]?\d+(?:\.\d+)*)|(?:Appendix|Annex|Part) [A-Z0-9]+"
)
_HUNDREDS = re.compile(r"\d{3}")  # a standard's number has three figures at least
_WORDS = (
    (re.compile(r"from memory|not confirmed|not found|found no|no (?:\w+ )*found"), "from memory"),
    (re.compile(r"\bpractice\b"), "common practice"),
    (re.compile(r"\barithmetic\b|\bcounting\b|\blaws? of circuits?\b"), "computed"),
)


def clause_standing(rule_set: str, clause: str) -> str:
    """`found` or `from memory`: what a clause rests on. One that is not listed is from memory, and
    so is what stands under one that is.

    >>> clause_standing("bs7671", "722.411.4.1(iii)")
    'found'
    >>> clause_standing("bs7671", "433.1.1")
    'from memory'
    >>> clause_standing("bs7671", "Appendix 9")
    'from memory'
    """
    rows = table("clause_standing").where(
        rule_set=rule_set, clause=clause.partition("(")[0].strip()
    )
    return rows[0].standing if rows else "from memory"


@cache
def source_of(source: str, edition: str, rule_set: str) -> tuple[str, str]:
    """What a source of several books says for a job of one rule set, and the edition that belongs
    to it.

    Where nothing is left without the other books the whole stands; an edition of another book is
    left out. One edition alone
    is that of the first piece that names a standard by its number.

    >>> source_of(
    ...     "BS 7671 526.2; IEC 60364-5-52 526.2; NFPA 70 110.14",
    ...     "2018+A3:2024; 2009; 2020",
    ...     "nec"
    ... )
    ('NFPA 70 110.14', '2020')
    >>> source_of("BS 7671 433.1.1; IEC 60364-4-43 433.1", "2018+A3:2024", "iec60364")
    ('IEC 60364-4-43 433.1', '')
    >>> source_of("common practice", "", "nec")
    ('common practice', '')
    >>> source_of("its maker's instructions; BS 7671 534.2.8 of 2011", "2011", "nec")
    ("its maker's instructions", '')
    >>> source_of("DIN 43880; BS 7671 526.2; counting", "1988; 2018; ", "bs7671")
    ('DIN 43880; BS 7671 526.2; counting', '1988; 2018')
    """
    pieces, editions = ([piece.strip() for piece in text.split(";")] for text in (source, edition))
    others = [book for key, book in BOOKS.items() if key != rule_set]
    kept = [
        place
        for place, piece in enumerate(pieces)
        if BOOKS[rule_set] in piece or not any(book in piece for book in others)
    ]
    if not kept:
        return source, edition
    dated = next((place for place, piece in enumerate(pieces) if _HUNDREDS.search(piece)), 0)
    if len(editions) == len(pieces):
        edition = "; ".join(editions[place] for place in kept if editions[place])
    elif len(editions) == 1 and dated not in kept:
        edition = ""
    return "; ".join(pieces[place] for place in kept), edition


def cited(source: str, edition: str, standing: str) -> str:
    """Source, edition and standing in one line; a source that begins with its standing says it
    once.

    >>> cited("BS 7671 433.1.1", "2018+A3:2024", "from memory")
    'BS 7671 433.1.1, 2018+A3:2024, from memory'
    >>> cited("common practice", "", "common practice")
    'common practice'
    """
    return ", ".join(
        part
        for part in (source, edition, "" if standing and source.startswith(standing) else standing)
        if part
    )


@cache
def source_standing(source: str, rule_set: str) -> str:
    """The least of what a source rests on, for a job of that rule set; clauses of other books count
    for nothing.

    >>> source_standing("BS 7671 722.531.3; IEC 60364-7-722 722.531.3.101", "bs7671")
    'found'
    >>> source_standing("BS 7671 534.4.8, 434; IEC 60364-5-53 534.4.8", "bs7671")
    'from memory'
    >>> source_standing("common practice; BS 7671 722.311.201 lets a limiter count", "bs7671")
    'common practice'
    >>> source_standing("common practice", "nec")
    'common practice'
    """
    others = [book for key, book in BOOKS.items() if key != rule_set]
    pieces = [piece.strip() for piece in source.split(";")]
    ours = [
        piece
        for piece in pieces
        if BOOKS[rule_set] in piece or not any(book in piece for book in others)
    ]
    said = [standing for piece in ours for words, standing in _WORDS if words.search(piece)]
    clauses = [
        clause_standing(rule_set, number)
        for piece in ours
        if BOOKS[rule_set] in piece
        for number in clause_numbers(
            piece.partition(BOOKS[rule_set])[1] + piece.partition(BOOKS[rule_set])[2]
        )
    ]
    return least_standing([*said, *clauses]) or "from memory"


def least_standing(standings: Iterable[str]) -> str:
    """What rests on all of these rests on the least of them; on nothing, where there is none.

    >>> least_standing(["found", "from memory", "computed"]), least_standing([])
    ('from memory', '')
    """
    return max(standings, key=LEAST_LAST.index, default="")


def clause_numbers(words: str) -> tuple[str, ...]:
    """The clauses, tables and annexes that words about one book name.

    >>> clause_numbers("BS 7671 411.5.3 and Table 41.5")
    ('411.5.3', 'Table 41.5')
    >>> clause_numbers("IEC 60364-5-52 Annex G")
    ('Annex G',)
    >>> clause_numbers("NFPA 70 210.19(A)(1), 242 Part II")
    ('210.19', '242', 'Part II')
    >>> clause_numbers("BS 7671 Table 4D5 and 4E4A")
    ('Table 4D5', '4E4A')
    """
    return tuple(
        _NUMBER.findall(re.sub(r"\([^)]*\)", " ", _EDITION.sub(" ", _HEAD.sub(" ", words))))
    )
