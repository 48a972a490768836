"""Pages: every symbol of the drawings, each drawn alone, with its number and where it is used."""

from firstway.drawing.symbol_catalogue import (
    GROUPS,
    NOT_CONFIRMED,
    ShownSymbol,
    number_words,
    symbol_drawing,
)
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.html import Markup, caution_fold_html, html_identity, joined, tag

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
    body = joined(
        tag("h2", title, id=html_identity(title))
        + tag("div", *map(_symbol_html, items), class_="symbols")
        for title, items in GROUPS
    )
    return PageSheet(
        _PATH,
        "Symbols",
        _TEXT.format(caution=part_mark("caution"), symbols=part_mark("symbols")),
        {"caution": caution_fold_html(), "symbols": body},
        "Every symbol of the drawings, drawn alone, with its number and where it is used.",
    )


def _symbol_html(shown: ShownSymbol) -> Markup:
    number = f"IEC 60617: {number_words(shown)}" if shown.numbers else NOT_CONFIRMED
    return tag(
        "figure",
        symbol_drawing(shown).html,
        tag(
            "figcaption",
            tag("strong", shown.name[0].upper() + shown.name[1:]),
            tag("span", number, class_="line"),
            tag("span", f"Used: {shown.used}", class_="line"),
        ),
        class_="symbol",
        id=f"about-{shown.id}",
    )
