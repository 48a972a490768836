"""Pages: a drawing in its frame. On a narrow screen the frame scrolls sideways and the keyboard can reach it."""

from __future__ import annotations

from html import escape

from firstway.drawing.svg import Drawn
from firstway.pages.markup import identity


def picture_html(drawn: Drawn) -> str:
    """The drawing with its title; the drawing itself carries the alternative text."""
    name = identity("figure", drawn.id)
    return (f'<figure class="drawing" id="{name}"><div class="sheet" tabindex="0" role="group"'
            f' aria-label="{escape(drawn.title)}, drawing">{drawn.svg}</div>'
            f"<figcaption>{escape(drawn.title)}</figcaption></figure>")
