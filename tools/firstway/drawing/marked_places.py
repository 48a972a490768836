"""Drawing: a mark over a drawing that stands on the same page: the drawing once more by reference,
with places in our own ink.
"""

import math
from collections.abc import Sequence

from firstway.drawing.ink import paint
from firstway.drawing.labels import Bounds
from firstway.drawing.marks import arrow_to, frame, words_in
from firstway.drawing.numbered import shown_around
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
from firstway.drawing.svg import Drawn, drawn_again, numbered_part, shape, svg_path_of
from firstway.rendering.html import Markup, joined

RING = 8.8  # round a terminal, and clear of the letters beside it
_BAND = 15.0


def highlighted(sheet: Sheet, drawn: Drawn, places: Sequence[str], words: str) -> Drawn | None:
    """The drawing with each place marked: a ring about a terminal, a band along a conductor, a
    frame about a part.

    `places` are names of the wiring; None where the drawing shows none of them. `words` say what is
    marked.
    """
    groups = {group.id: group for group in sheet.groups}
    words_of = words_in(sheet.groups)
    named = [
        groups[name]
        for place in places
        for name in (
            f"terminal.{place}",
            f"conductor.{place}",
            f"wire.{place}",
            place,
            f"cable.{place}",
        )
        if name in groups
    ]
    marks = [mark for group in named if (mark := _mark(group, words_of, sheet.width))]
    if not marks:
        return None
    return drawn_again(
        sheet,
        drawn,
        f"{drawn.id}-marked",
        f"{sheet.title}, marked",
        words,
        f"fw-marked{numbered_part(sheet, shown_around(sheet, named))}",
        over=joined(dict.fromkeys(marks)),
    )


def _mark(group: Group, words: Sequence[Bounds], width: float) -> Markup:
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
        return frame(boxes[0])
    if lines:
        return _band(lines[0], words, width)
    return _ring(points[0], words, width) if points else Markup()


def _ring(at: Point, words: Sequence[Bounds], width: float) -> Markup:
    x, y = at
    ring = shape("circle", cx=x, cy=y, r=RING, stroke=paint("mark"), stroke_width=2.4)
    return ring + arrow_to([at], RING + 4.5, words, width)


def _band(points: Sequence[Point], words: Sequence[Bounds], width: float) -> Markup:
    band = shape(
        "path",
        d=svg_path_of(points, bend=5.0),
        stroke=paint("mark"),
        stroke_width=_BAND,
        stroke_opacity="0.35",
        stroke_linecap="round",
    )
    pieces = sorted(zip(points, points[1:]), key=lambda piece: -math.dist(*piece))
    middles = [((ax + bx) / 2, (ay + by) / 2) for (ax, ay), (bx, by) in pieces]
    return band + arrow_to([points[len(points) // 2], *middles], 9.0, words, width)
