"""Rendering: a source as it is cited, with what a reader noted of its clauses beside it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from itertools import takewhile
from typing import Any

from firstway.checks.rule import NOT_SEEN_IN
from firstway.choosing.completing import Completed
from firstway.frozen import dataclass
from firstway.model.read_copy import ReadClause
from firstway.rendering.columns import column_words, table_words
from firstway.rendering.html import Markup, escape, html_identity, joined, table_html, tag
from firstway.tables.clauses import BOOKS, clause_numbers
from firstway.tables.reading import Row, sources

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


STANDING_WORDS = {
    "found": "found in a source",
    "from memory": "from memory, confirm in the current book",
    "common practice": "common practice",
    "computed": "computed from a published formula",
    "assumed": "assumed",
}

RULE_WORDS = {"bs7671": "BS 7671", "iec60364": "IEC 60364", "nec": "NEC"}

# The edition in which the clauses of a rule set were read, where the one asked for is newer.
_READ_AS_OF = {("bs7671", NOT_SEEN_IN): "A3:2024"}


def read_as_of(rule_set: str, edition: str) -> str:
    """The edition that a file's rules were read in; "" where it is the one the file asks for, or
    where each rule says it alone.

    >>> read_as_of("bs7671", "2018+A4:2026")
    'A3:2024'
    """
    return _READ_AS_OF.get((rule_set, edition), "")


EDITION_NOTES = {
    "bs7671": (
        "The rules are those of BS 7671:2018 up to A3:2024, partly found in documents that quote"
        " it, partly from memory; each clause says which. A4:2026 is the only current text since"
        " October 2026. Of it only 536.4.202 was seen, as discussed in public. Any other pass under"
        " it is at most a pass as of A3:2024: confirm it in the current book."
    ),
    "iec60364": (
        "National adoptions of IEC 60364 differ. Confirm each rule in the current national text."
    ),
    "nec": (
        "The adopted edition differs from place to place. Confirm each rule with the authority"
        " having jurisdiction."
    ),
}


def source_title(words: str) -> str:
    """The source in its own words, without what every title of that book repeats; a clause is shown
    as it stands.
    """
    found = sources().get(words)
    return (found.title if found else words).replace(
        ", Requirements for Electrical Installations", ""
    )


def standing_words(standing: str) -> str:
    """How far a number may be relied on, in words."""
    return STANDING_WORDS.get(standing, standing)


def citation_html(
    source_id: str, edition: str, standing: str = "", notes: ReaderNotes = NO_NOTES
) -> Markup:
    """One line: source; edition; standing; and whose note there is."""
    pieces = [source_title(source_id)] if source_id else ["no source"]
    if edition:
        pieces.append(edition if edition[:1].isalpha() else f"edition {edition}")
    if standing and not source_id.startswith(standing):
        pieces.append(standing_html(standing))
    pieces += [tag("span", note_words(note), class_="reader") for note in notes.on(source_id)]
    return joined(pieces, "; ")


def standing_html(standing: str) -> Markup:
    """The standing, marked where the reader must take care."""
    if standing in ("found", "computed"):
        return escape(standing)
    return tag("span", standing_words(standing), class_="careful")


def cited_row(row: Row) -> Markup:
    """One row of a standards' table, with where it was read."""
    own = [column for column in row.cells if column not in ("edition", "source", "standing")]
    head = [column_words(column) for column in own]
    cells = [row.cells[column] or "—" for column in own]
    return tag(
        "figure",
        table_html(head, [cells], table_words(row.table)),
        tag("figcaption", citation_html(row.source, row.edition, row.standing)),
        class_="cited",
    )


def sources_html(cited: Iterable[str]) -> Markup:
    """The foot of a page: every source once, in the order of first use. `cited` are ids, titles or
    clauses.

    What was seen of each source stands once in the guide, on the page about it. Words that begin
    with a small letter (`the file, measured`, `series connection`) name no book and are left out.
    """
    books = (
        _source_item(words) for words in cited if words in sources() or not words[:1].islower()
    )
    items = joined(tag("li", item) for item in dict.fromkeys(filter(None, books)))
    return tag("ol", items, class_="sources")


def list_of_sources() -> Markup:
    """All sources of all tables, for the page about the guide."""
    rows = [
        (
            tag("span", item.title, id=html_identity("source", item.id)),
            item.edition,
            item.note,
        )
        for item in sorted(sources().values(), key=lambda item: item.title.lower())
    ]
    return table_html(("source", "edition", "what was seen"), rows, "Sources of the numbers")


def _source_item(words: str) -> str:
    found = sources().get(words) or next(
        (item for item in sources().values() if item.title == words), None
    )
    if found is None:
        return words
    return f"{found.title}, {found.edition}" if found.edition else found.title
