"""Rendering: what a reader noted of the clauses that a source names, beside the words `confirm in
the current book`.

It is shown as the reader's own and never as found: verdict, level and standing stay what they are.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from itertools import takewhile
from typing import Any

from firstway.choosing.completing import Completed
from firstway.model.read_copy import ReadClause
from firstway.tables.clauses import BOOKS, clause_numbers
from firstway.tables.reading import sources

_PLACE = re.compile(
    r"(?:(?:Tables?|Appendix|Annex|Section|regulations) )?[A-Z]?[\d.]*[\dA-Z][\w.()]*(?: (?:and|to)"
    r" (?:(?:Table|Regulation) )?[A-Z]?\d[\w.()]*)*(?: of \d{4})?"
)

_OF_A_TITLE = ", Requirements for Electrical Installations"
_TABLES = re.compile(r"Tables (\d[\d.]*(?:(?:, | and | to )\d[\d.]*)*)")
_WHOLE = re.compile(
    r"\d{3}\.\d|[2-9]\d\d$|\d\.\d+\.\d|\d[A-Z]+\d|[A-Z][a-z]"
)  # a part of an appendix, a year or a figure is no clause of its own


@dataclass(frozen=True)
class ReaderNotes:
    """What the reader of one job noted of clauses of its book; nothing where there is no job."""

    rules: str = ""
    notes: tuple[ReadClause, ...] = ()

    def on(self, source: str) -> tuple[ReadClause, ...]:
        """The notes on clauses that a source names: an id, or words with clauses."""
        named = clauses_of_source(source, self.rules) if self.notes else ()
        return tuple(note for note in self.notes if note.clause.partition("(")[0] in named)


NO_NOTES = ReaderNotes()
"""Of a page that belongs to no job."""


def notes_of(done: Completed) -> ReaderNotes:
    """What stands beside the file of a job."""
    return ReaderNotes(done.installation.rules, done.read)


@cache
def clauses_of_source(source: str, rules: str) -> tuple[str, ...]:
    """The clauses, tables and annexes of one book that a source names, each once.

    >>> clauses_of_source("BS 7671 534.4.8, 434; IEC 60364-5-53 534.4.8", "bs7671")
    ('534.4.8', '434')
    >>> clauses_of_source("bs7671-41-1", "bs7671")
    ('Table 41.1', '411.3.2')
    >>> clauses_of_source("common practice", "bs7671")
    ()
    >>> clauses_of_source("bs7671-433-1", "bs7671"), clauses_of_source("nec-625-41", "nec")
    (('433.1',), ('625.41', '625.42', '210.20'))
    >>> clauses_of_source("BS 7671 Appendix 4, sections 5 and 6.1", "bs7671")
    ('Appendix 4',)
    >>> clauses_of_source("bs7671-54", "bs7671")
    ('Table 43.1', 'Table 54.2', 'Table 54.5')
    """
    words = sources()[source].title if source in sources() else source
    own = [
        piece.partition(BOOKS[rules])[2]
        for piece in _place_in_the_book(words).split(";")
        if BOOKS[rules] in piece
    ]
    found = (
        number for piece in own for number in clause_numbers(_TABLES.sub(_each_a_table, piece))
    )
    return tuple(dict.fromkeys(number for number in found if _WHOLE.match(number)))


def _each_a_table(several: re.Match[str]) -> str:
    return re.sub(r"\d[\d.]*", lambda number: f"Table {number[0]}", several[1])


def _place_in_the_book(title: str) -> str:
    """The book of a source's title and the clauses right behind it, without what stands there: that
    may hold other figures.

    Words that are no title stay as they are.
    """
    book, *rest = title.replace(_OF_A_TITLE, "").split(", ")
    if _OF_A_TITLE not in title and title not in {source.title for source in sources().values()}:
        return title
    return ", ".join([book, *takewhile(lambda piece: _PLACE.fullmatch(piece), rest)])


def note_words(note: ReadClause) -> str:
    """`KP read it on 2026-12-02 (534.4.8 in 2018+A4:2026)`, and the reader's own words."""
    own = f": {note.own_words}" if note.own_words else ""
    return (
        f"{note.initials} read it on {note.day.isoformat()} ({note.clause} in {note.edition}){own}"
    )


def note_data(note: ReadClause) -> dict[str, Any]:
    """The same for `--json`."""
    return {
        "clause": note.clause,
        "edition": note.edition,
        "day": note.day.isoformat(),
        "initials": note.initials,
        "in_own_words": note.own_words,
    }
