"""Drawing: a drawing too tall for one page of paper once more, in its parts, for print alone."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.drawing.svg import Drawn, svg_number
from firstway.rendering.html import Markup, tag


def parts_html(drawn: Drawn) -> Iterator[Markup]:
    """The parts by reference to the drawing, which must stand on the same page; none of a drawing
    that fits.
    """
    if not drawn.fold:
        return
    width, height = svg_number(drawn.width), svg_number(drawn.height)
    parts = ((0.0, drawn.fold), (drawn.fold, drawn.height - drawn.fold))  # from how far, how high
    for number, (top, high) in enumerate(parts, 1):
        yield tag(
            "svg",
            tag("use", href=f"#{drawn.id}", width=width, height=height),
            class_="part",
            viewBox=f"0 {svg_number(top)} {width} {svg_number(high)}",
            role="img",
            aria_label=f"{drawn.title}, part {number} of {len(parts)}",
        )
