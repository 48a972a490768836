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
from firstway.drawing.svg import Drawn, drawn_again, shape, svg_number, svg_path_of
from firstway.rendering.html import Markup, joined

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
    return drawn_again(
        sheet,
        drawn,
        f"{drawn.id}-marked",
        f"{sheet.title}, marked",
        words,
        "fw-marked",
        over=joined(dict.fromkeys(marks)),
    )


def _mark(group: Group) -> Markup:
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
    return _band(lines[0]) if lines else _ring(points[0]) if points else Markup()


def _ring(at: Point) -> Markup:
    x, y = at
    ring = shape("circle", cx=x, cy=y, r=RING, stroke=paint("mark"), stroke_width=3.5)
    away = RING * 0.75 + 2
    return ring + _arrow((x + RING + 22, y - RING - 22), (x + away, y - away))


def _band(points: Sequence[Point]) -> Markup:
    middle = points[len(points) // 2]
    band = shape(
        "path",
        d=svg_path_of(points, bend=5.0),
        stroke=paint("mark"),
        stroke_width=_BAND,
        stroke_opacity="0.35",
        stroke_linecap="round",
    )
    return band + _arrow((middle[0] + 34, middle[1] - 34), (middle[0] + 9, middle[1] - 9))


def _frame(box: Box) -> Markup:
    return shape(
        "rect",
        x=box.x - 5,
        y=box.y - 5,
        width=box.width + 10,
        height=box.height + 10,
        rx=8,
        stroke=paint("mark"),
        stroke_width=3.5,
        stroke_dasharray="10 5",
    )


def _arrow(start: Point, end: Point) -> Markup:
    """A short straight arrow at 45 degrees that ends at the place."""
    x, y = end
    one, tip, two = (
        f"{svg_number(a)} {svg_number(b)}" for a, b in ((x + 9, y - 1), (x, y), (x + 1, y - 9))
    )
    return shape(
        "path",
        d=f"M{svg_number(start[0])} {svg_number(start[1])}L{tip}M{one}L{tip}L{two}",
        stroke=paint("mark"),
        stroke_width=3,
        stroke_linecap="round",
        stroke_linejoin="round",
    )
