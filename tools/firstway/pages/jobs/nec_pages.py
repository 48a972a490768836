"""Pages: a page of a job in the words of rule set nec: its text, but no tag, path, drawing
or code.
"""

import re
from dataclasses import replace

from firstway.model.nec_words import in_nec_words
from firstway.pages.shared.sheet import PageSheet
from firstway.rendering.html import Markup

_KEPT = re.compile(
    r"(<svg\b.*?</svg>|<script\b.*?</script>|<style\b.*?</style>|<code\b.*?</code>|<(?!wbr)[^>]*>"
    r"|\]\([^)]*\)|\{[^}]*\})",
    re.DOTALL,
)
_LETTER = (  # stands for a place where a path may break: as a letter it keeps the path one word
    "\u02b7"
)


def sheet_in_nec_words(sheet: PageSheet) -> PageSheet:
    """The caution stands on every page in the same words."""
    parts = {
        name: html if name == "caution" else Markup(html_in_nec_words(html))
        for name, html in sheet.parts.items()
    }
    return replace(
        sheet,
        title=in_nec_words(sheet.title),
        markdown=html_in_nec_words(sheet.markdown),
        parts=parts,
        description=in_nec_words(sheet.description),
    )


def html_in_nec_words(html: str) -> str:
    """Every text between tags, links and attributes.

    >>> html_in_nec_words(
    ...     '<p id="board">The board, <a href="board.html">boards</a>; board.<wbr>ways</p>'
    ... )
    '<p id="board">The panel, <a href="board.html">panels</a>; board.<wbr>ways</p>'
    """
    pieces = _KEPT.split(str(html).replace(".<wbr>", f".{_LETTER}"))
    return "".join(
        piece if place % 2 else in_nec_words(piece) for place, piece in enumerate(pieces)
    ).replace(f".{_LETTER}", ".<wbr>")
