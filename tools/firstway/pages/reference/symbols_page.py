"""Pages: every symbol of the drawings, each drawn alone, with its number and where it is used."""

from __future__ import annotations

from html import escape

from firstway.drawing.symbol_catalogue import (
    GROUPS,
    NOT_CONFIRMED,
    ShownSymbol,
    number_words,
    symbol_drawing,
)
from firstway.pages.shared.markup import html_identity
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.caution import caution_html

_PATH = "symbols.md"
_TEXT = """\
# Symbols

For the trainee who reads a single-line drawing for the first time, and for the tutor who explains
one.
{{ .for }}

{caution}

The symbols follow IEC 60617. The numbers are those of its printed parts (1996), given from memory;
the standard is a database today and numbers its symbols anew. Where no number could be confirmed,
the symbol says so. Every contact is drawn open, and the supply is at the top.

{symbols}

Words, verdicts and the front and wiring of a board are drawn in our own way; [what the colours of
conductors mean](colours.md) is a page of its own.
"""


def symbols_page() -> PageSheet:
    """The page of symbols."""
    body = "".join(
        f'<h2 id="{html_identity(title)}">{escape(title)}</h2><div'
        f' class="symbols">{"".join(map(_symbol_html, items))}</div>'
        for title, items in GROUPS
    )
    return PageSheet(
        _PATH,
        "Symbols",
        _TEXT.format(caution=part_mark("caution"), symbols=part_mark("symbols")),
        {"caution": caution_html(), "symbols": body},
        "Every symbol of the drawings, drawn alone, with its number and where it is used.",
    )


def _symbol_html(shown: ShownSymbol) -> str:
    number = f"IEC 60617: {number_words(shown)}" if shown.numbers else NOT_CONFIRMED
    return (
        '<figure class="symbol"'
        f' id="about-{escape(shown.id)}">{symbol_drawing(shown).svg}<figcaption><strong>'
        f"{escape(shown.name[0].upper() + shown.name[1:])}</strong><span"
        f' class="line">{escape(number)}</span><span class="line">Used:'
        f" {escape(shown.used)}</span></figcaption></figure>"
    )
