"""Pages: a word or a clause with more on tap: a button that opens a note, without a script.

In the Markdown stands a plain link, so that the search and a reader without style sheets see the
word once. When the page is done, the link becomes a button beside the same link; the style sheet
shows the button where the browser knows notes that open by themselves (the popover attribute of the
HTML standard), else the link.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

_TAP = re.compile(r'<a class="tap" data-note="([a-z0-9-]+)" href="([^"]*)">(.*?)</a>', re.DOTALL)

# A line may break before and after a button, even beside a bracket, unless a joiner stands there
# (CSS Text 3, section 5.1).
_JOINED = "&#8288;"
_BEFORE = re.compile(r'([(\[“"])(?=<span class="tap">)')
_AFTER = re.compile(r"(?<=</a></span>)([)\].,;:!?”])")


@dataclass(frozen=True)
class Note:
    """`id` is its id on the page; `title` and `html` are what it says."""

    id: str
    title: str
    html: str


def tap_html(shown: str, note: Note, href: str) -> str:
    """The word in the sentence; `href` leads to the same words on a page of their own."""
    return f'<a class="tap" data-note="{note.id}" href="{escape(href)}">{escape(shown)}</a>'


def notes_html(notes: Iterable[Note]) -> str:
    """Every note of a page once.

    Printed, or where notes do not open, they stand as a list at its foot.
    """
    items = "".join(
        f'<aside class="note-on-tap" id="{note.id}" popover="auto"'
        f' aria-label="{escape(note.title)}"><p><strong>{escape(note.title)}</strong></p>'
        f"{note.html}<p"
        f' class="note-close"><button type="button" popovertarget="{note.id}"'
        ' popovertargetaction="hide">Close</button></p></aside>'
        for note in {note.id: note for note in notes}.values()
    )
    return (
        '<section class="notes-on-tap" aria-label="Words and clauses of this'
        f' page">{items}</section>'
        if items
        else ""
    )


def with_buttons(html: str) -> str:
    """The page with its taps as buttons.

    >>> button, link = with_buttons('<a class="tap" data-note="a" href="g">A</a>').split("<a")
    >>> button
    '<span class="tap"><button type="button" popovertarget="a">A</button>'
    >>> link
    ' href="g">A</a></span>'
    """
    html = _TAP.sub(
        r'<span class="tap"><button type="button" popovertarget="\1">\3</button><a'
        r' href="\2">\3</a></span>',
        html,
    )
    return _AFTER.sub(_JOINED + r"\1", _BEFORE.sub(r"\1" + _JOINED, html))
