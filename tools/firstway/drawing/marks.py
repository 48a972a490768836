"""Drawing: marks over a finished drawing: a frame about a part, and arrows where no words stand."""

import math
from collections.abc import Iterable, Iterator, Sequence

from firstway.drawing.ink import paint
from firstway.drawing.labels import Bounds, meets
from firstway.drawing.painted import ASCENT, DESCENT
from firstway.drawing.sheet import Box, Group, Lettering, Point
from firstway.drawing.svg import shape, svg_path_of
from firstway.drawing.text_width import reserved_width
from firstway.rendering.html import Markup

ARROW_FROM = 44.0  # a piece shorter than this bears no arrow
_FRAME = 5.0  # outside the part it is about
_TIP, _BACK, _HALF = 11.0, 8.0, 9.0  # of a head, from its middle
_FARTHER = 12.0  # units
_SHAFT, _BARB = 25.0, 9.0  # of a short arrow, each way
_CLEAR = 2.0  # between a mark and words
_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)
_DIAGONALS = ((1, -1), (-1, -1), (1, 1), (-1, 1))


def frame(box: Box) -> Markup:
    """A dashed frame about a part."""
    return shape(
        "rect",
        x=box.x - _FRAME,
        y=box.y - _FRAME,
        width=box.width + 2 * _FRAME,
        height=box.height + 2 * _FRAME,
        rx=8,
        stroke=paint("mark"),
        stroke_width=3,
        stroke_dasharray="10 5",
    )


def words_in(groups: Iterable[Group]) -> tuple[Bounds, ...]:
    """Where words stand."""
    return tuple(
        _bounds(item)
        for group in groups
        for item in group.items
        if isinstance(item, Lettering) and item.words
    )


def _bounds(item: Lettering) -> Bounds:
    width = reserved_width(item.words, item.size, item.bold)
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[item.anchor]
    right, top, bottom = left + width, -ASCENT * item.size, DESCENT * item.size
    if item.turn == -90:
        left, top, right, bottom = top, -right, bottom, -left
    elif item.turn:
        left, top, right, bottom = -bottom, left, -top, right
    return item.x + left, item.y + top, item.x + right, item.y + bottom


def _covered(mark: Bounds, words: Sequence[Bounds]) -> int:
    """How many words a mark stands on or too near to."""
    left, top, right, bottom = mark
    grown = left - _CLEAR, top - _CLEAR, right + _CLEAR, bottom + _CLEAR
    return sum(meets(grown, each) for each in words)


def _about(points: Sequence[Point]) -> Bounds:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def head_along(points: Sequence[Point], words: Sequence[Bounds]) -> Markup:
    """A filled head that points along a line, on its longest piece where no words stand; none on a
    line of short pieces.
    """
    heads = list(_heads(points))
    if not heads:
        return Markup()
    head = min(heads, key=lambda each: _covered(_about(each), words))
    return shape(
        "path",
        d=svg_path_of(head, closed=True),
        fill=paint("mark"),
        stroke=paint("paper"),
        stroke_width="1.5",
    )


def _heads(points: Sequence[Point]) -> Iterator[tuple[Point, Point, Point]]:
    """Tip and back of each head that may be, on the longest piece first."""
    for (ax, ay), (bx, by) in sorted(zip(points, points[1:]), key=lambda piece: -math.dist(*piece)):
        length = math.dist((ax, ay), (bx, by))
        if length < ARROW_FROM:
            return
        dx, dy = (bx - ax) / length, (by - ay) / length
        for share in _SHARES:
            x, y = ax + (bx - ax) * share, ay + (by - ay) * share
            back = x - _BACK * dx, y - _BACK * dy
            yield (
                (x + _TIP * dx, y + _TIP * dy),
                (back[0] - _HALF * dy, back[1] + _HALF * dx),
                (back[0] + _HALF * dy, back[1] - _HALF * dx),
            )


def arrow_to(places: Sequence[Point], gap: float, words: Sequence[Bounds], width: float) -> Markup:
    """A short straight arrow at 45 degrees that ends `gap` units beside one of the places, where it
    stands on no words and inside a sheet `width` units wide.
    """
    shafts = [
        ((x + a * (off + _SHAFT), y + b * (off + _SHAFT)), (x + a * off, y + b * off))
        for off in (gap, gap + _FARTHER, gap + 2 * _FARTHER)  # where words stand all around
        for x, y in places
        for a, b in _DIAGONALS
        if 0 < x + a * (off + _SHAFT) < width and y + b * (off + _SHAFT) > 0
    ]
    if not shafts:
        return Markup()
    (sx, sy), (x, y) = min(shafts, key=lambda each: _covered(_about(each), words))
    a, b = math.copysign(1, sx - x), math.copysign(1, sy - y)
    one, two = (x + a * _BARB, y + b), (x + a, y + b * _BARB)
    return shape(
        "path",
        d=svg_path_of(((sx, sy), (x, y))) + svg_path_of((one, (x, y), two)),
        stroke=paint("mark"),
        stroke_width=3,
        stroke_linecap="round",
        stroke_linejoin="round",
    )
