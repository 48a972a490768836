"""Drawing: a mark over a drawing that stands on the same page: the drawing once more by reference,
with places in our own ink.
"""

from collections.abc import Sequence

from firstway.drawing.ink import paint
from firstway.drawing.sheet import (
    Box,
    Disc,
    Group,
    PlacedDrawing,
    Point,
    Ref,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.svg import Drawn, svg_id, svg_number, svg_path_of
from firstway.rendering.html import escape

RING = 15.0
_BAND = 15.0


def highlighted(sheet: Sheet, drawn: Drawn, places: Sequence[str], words: str) -> Drawn | None:
    """The drawing with each place marked: a ring about a terminal, a band along a conductor, a
    frame about a part.

    `places` are names of the wiring; None where the drawing shows none of them. `words` say what is
    marked.
    """
    groups = {group.id: group for group in sheet.groups}
    marks = [
        mark
        for place in places
        for name in (
            f"terminal.{place}",
            f"conductor.{place}",
            f"wire.{place}",
            place,
            f"cable.{place}",
        )
        if name in groups and (mark := _mark(groups[name]))
    ]
    if not marks:
        return None
    prefix = f"{drawn.id}-marked"
    title, description = svg_id(prefix, "title"), svg_id(prefix, "desc")
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" id="{prefix}" class="fw-drawing fw-marked"'
        f' viewBox="0 0 {svg_number(sheet.width)} {svg_number(sheet.height)}"'
        f' role="img" aria-labelledby="{title} {description}" fill="none"><title'
        f' id="{title}">{escape(sheet.title)}, marked</title>'
        f'<desc id="{description}">{escape(words)}</desc><use href="#{drawn.id}"'
        f' width="{svg_number(sheet.width)}" height="{svg_number(sheet.height)}"/>'
        f"{''.join(dict.fromkeys(marks))}</svg>\n"
    )
    return Drawn(svg, words, sheet.width, sheet.height, prefix, f"{sheet.title}, marked")


def _mark(group: Group) -> str:
    """The mark for a group, by what it is made of: a frame for a box, a band for a line, a ring for
    a point.
    """
    boxes = [item for item in group.items if isinstance(item, Box)]
    lines = [
        item.points
        for item in group.items
        if isinstance(item, (Stroke, Strands)) and len(item.points) > 1
    ]
    points = [
        (item.x, item.y) for item in group.items if isinstance(item, (Disc, PlacedDrawing, Ref))
    ]
    if boxes:
        return _frame(boxes[0])
    return _band(lines[0]) if lines else _ring(points[0]) if points else ""


def _ring(at: Point) -> str:
    x, y = at
    return (
        f'<circle cx="{svg_number(x)}" cy="{svg_number(y)}" r="{svg_number(RING)}"'
        f' stroke="{paint("mark")}"'
        ' stroke-width="3.5"/>'
        + _arrow((x + RING + 22, y - RING - 22), (x + RING * 0.75 + 2, y - RING * 0.75 - 2))
    )


def _band(points: Sequence[Point]) -> str:
    middle = points[len(points) // 2]
    return (
        f'<path d="{svg_path_of(points, bend=5.0)}" stroke="{paint("mark")}"'
        f' stroke-width="{svg_number(_BAND)}" stroke-opacity="0.35" stroke-linecap="round"/>'
        + _arrow((middle[0] + 34, middle[1] - 34), (middle[0] + 9, middle[1] - 9))
    )


def _frame(box: Box) -> str:
    return (
        f'<rect x="{svg_number(box.x - 5)}" y="{svg_number(box.y - 5)}"'
        f' width="{svg_number(box.width + 10)}"'
        f' height="{svg_number(box.height + 10)}" rx="8" stroke="{paint("mark")}"'
        f' stroke-width="3.5"'
        ' stroke-dasharray="10 5"/>'
    )


def _arrow(start: Point, end: Point) -> str:
    """A short straight arrow at 45 degrees that ends at the place."""
    x, y = end
    return (
        f'<path d="M{svg_number(start[0])} {svg_number(start[1])}L{svg_number(x)} {svg_number(y)}'
        f"M{svg_number(x + 9)}"
        f" {svg_number(y - 1)}L{svg_number(x)} {svg_number(y)}L{svg_number(x + 1)}"
        f' {svg_number(y - 9)}"'
        f' stroke="{paint("mark")}" stroke-width="3" stroke-linecap="round"'
        ' stroke-linejoin="round"/>'
    )
