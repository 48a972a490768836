"""Pages: a drawing in its frame. On a narrow screen the frame scrolls sideways and the keyboard can
reach it.

It opens over the whole window without a script: there the same drawing stands once more by
reference, in a note that the browser opens by itself (the popover attribute of the HTML standard).
Where it does not know that, nothing is offered.
"""

from __future__ import annotations

from html import escape

from firstway.drawing.svg import Drawn, svg_number
from firstway.pages.shared.markup import html_identity


def picture_html(drawn: Drawn) -> str:
    """The drawing with its title; the drawing itself carries the alternative text."""
    name, large, title = (
        html_identity("figure", drawn.id),
        html_identity("large", drawn.id),
        escape(drawn.title),
    )
    size = f"{svg_number(drawn.width)} {svg_number(drawn.height)}"
    width, height = size.split()
    return (
        f'<figure class="drawing" id="{name}"><div class="sheet" tabindex="0" role="group"'
        f' aria-label="{title}, drawing">{drawn.svg}</div><div class="large" id="{large}"'
        f' popover><button type="button" popovertarget="{large}"'
        f' popovertargetaction="hide">Close</button><svg viewBox="0 0 {size}" role="img"'
        f' aria-label="{title}"><use href="#{drawn.id}" width="{width}"'
        f' height="{height}"/></svg></div><figcaption>{title} <button type="button" class="enlarge"'
        f' popovertarget="{large}" aria-label="Open large: {title}">Open'
        " large</button></figcaption></figure>"
    )
