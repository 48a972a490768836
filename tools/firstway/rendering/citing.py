"""Rendering: where a number comes from: its source, its edition, how far it may be relied on."""

from __future__ import annotations

from collections.abc import Iterable

from firstway.rendering.columns import column_words, table_words
from firstway.rendering.html import Markup, escape, html_identity, joined, table_html, tag
from firstway.rendering.readers import NO_NOTES, ReaderNotes, note_words
from firstway.tables.reading import Row, sources

STANDING_WORDS = {
    "found": "found in a source",
    "from memory": "from memory, confirm in the current book",
    "common practice": "common practice",
    "computed": "computed from a published formula",
    "assumed": "assumed",
}

RULE_WORDS = {"bs7671": "BS 7671", "iec60364": "IEC 60364", "nec": "NEC"}

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
