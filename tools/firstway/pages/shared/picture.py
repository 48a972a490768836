"""Pages: a drawing in its frame. On a narrow screen the frame scrolls sideways and the keyboard can
reach it.

It opens over the whole window without a script: there the same drawing stands once more by
reference, in a note that the browser opens by itself (the popover attribute of the HTML standard).
Where it does not know that, nothing is offered. On paper one too tall for a page stands in parts.
"""

from __future__ import annotations

from firstway.drawing.parted import parts_html
from firstway.drawing.svg import Drawn, svg_number
from firstway.rendering.html import Markup, html_identity, tag


def picture_html(drawn: Drawn) -> Markup:
    """The drawing with its title; the drawing itself carries the alternative text. What its numbers
    mean on a narrow screen stands in a list below.
    """
    name, large, title = (
        html_identity("figure", drawn.id),
        html_identity("large", drawn.id),
        drawn.title,
    )
    size = f"{svg_number(drawn.width)} {svg_number(drawn.height)}"
    width, height = size.split()
    return tag(
        "figure",
        tag(
            "div",
            drawn.html,
            class_="sheet",
            tabindex="0",
            role="group",
            aria_label=f"{title}, drawing",
        ),
        *parts_html(drawn),
        tag("ol", *(tag("li", words) for words in drawn.key), class_="zkey") if drawn.key else "",
        tag("ul", *(tag("li", words) for words in drawn.besides), class_="zkey")
        if drawn.besides
        else "",
        tag(
            "div",
            tag("button", "Close", type="button", popovertarget=large, popovertargetaction="hide"),
            tag(
                "svg",
                tag("use", href=f"#{drawn.id}", width=width, height=height),
                viewBox=f"0 0 {size}",
                role="img",
                aria_label=title,
            ),
            class_="large",
            id=large,
            popover=True,
        ),
        tag(
            "figcaption",
            title,
            " ",
            tag(
                "button",
                "Open large",
                type="button",
                class_="enlarge",
                popovertarget=large,
                aria_label=f"Open large: {title}",
            ),
        ),
        class_="drawing in-two" if drawn.fold else "drawing",
        id=name,
    )
