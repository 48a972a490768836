"""Pages: a word or a clause with more on tap: a button that opens a note, without a script.

In the Markdown stands a plain link, so that the search and a reader without style sheets see the
word once. When the page is done, the link becomes a button beside the same link; the style sheet
shows the button where the browser knows notes that open by themselves (the popover attribute of the
HTML standard), else the link.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from firstway.frozen import dataclass
from firstway.rendering.html import Markup, joined, tag

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
    html: Markup


def tap_html(shown: str, note: Note, href: str) -> Markup:
    """The word in the sentence; `href` leads to the same words on a page of their own."""
    return tag("a", shown, class_="tap", data_note=note.id, href=href)


def notes_html(notes: Iterable[Note]) -> Markup:
    """Every note of a page once.

    Printed, or where notes do not open, they stand as a list at its foot.
    """
    items = joined(
        tag(
            "aside",
            tag("p", tag("strong", note.title)),
            note.html,
            tag(
                "p",
                tag(
                    "button",
                    "Close",
                    type="button",
                    popovertarget=note.id,
                    popovertargetaction="hide",
                ),
                class_="note-close",
            ),
            class_="note-on-tap",
            id=note.id,
            popover="auto",
            aria_label=note.title,
        )
        for note in {note.id: note for note in notes}.values()
    )
    return (
        tag("section", items, class_="notes-on-tap", aria_label="Words and clauses of this page")
        if items
        else Markup()
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
