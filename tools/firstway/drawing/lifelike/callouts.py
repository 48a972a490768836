"""Lifelike view: call-outs in the margins. A leader runs from the words to a point that is seen and
crosses no other words; on a narrow screen a number stands in place of the words, and a list beside
the drawing says them.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import dist
from typing import Literal

from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.seeing import line_is_free
from firstway.drawing.lifelike.shapes import path_data, word_bounds
from firstway.drawing.sheet import SMALLEST, Point
from firstway.drawing.svg import shape
from firstway.drawing.text_width import reserved_width
from firstway.frozen import dataclass
from firstway.rendering.html import Markup, joined

WORD_STEP = 14.5
"""From line to line, in units."""
_BETWEEN = 9.0
_DISC = 11.0
_DOTS = 9.0
"""Units between the dots of two leaders, at least."""
CallMargin = Literal["left", "right", "top", "bottom"]


@dataclass(frozen=True)
class Wanted:
    """Words about a part, the points of it that are seen (the best first), the margin they stand
    in.
    """

    name: str
    lines: tuple[str, ...]
    anchors: tuple[Point, ...]
    margin: CallMargin


@dataclass(frozen=True)
class Callout:
    """Words with their place, and the leader from `start` to `anchor`."""

    name: str
    number: int
    lines: tuple[str, ...]
    at: Point
    hold: Literal["start", "middle", "end"]
    start: Point
    anchor: Point

    @property
    def texts(self) -> tuple[Bounds, ...]:
        """What each line covers."""
        x, y = self.at
        return tuple(
            word_bounds(x, y + WORD_STEP * place, line, place == 0, self.hold)
            for place, line in enumerate(self.lines)
        )


def spread_out(
    wanted: Sequence[float], sizes: Sequence[float], low: float, high: float
) -> list[float]:
    """Middles as near to what is wanted as may be (least squares), in their order, none upon
    another: neighbours that would meet are moved as one.
    """
    if not wanted:
        return []
    offsets = [0.0]
    for one, other in zip(sizes, sizes[1:]):
        offsets.append(offsets[-1] + (one + other) / 2)
    blocks: list[tuple[float, int]] = []
    for middle, offset in zip(wanted, offsets):
        blocks.append((middle - offset, 1))
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            (a, m), (b, n) = blocks[-2:]
            blocks[-2:] = [((a * m + b * n) / (m + n), m + n)]
    least, most = low + sizes[0] / 2, high - sizes[-1] / 2 - offsets[-1]
    places = [
        max(min(value, max(most, least)), least) for value, number in blocks for _ in range(number)
    ]
    return [place + offset for place, offset in zip(places, offsets)]


def calls_beside(
    wanted: Sequence[Wanted],
    edge: float,
    span: tuple[float, float],
    taken: Sequence[Bounds],
    left: bool,
    number: int,
) -> tuple[Callout, ...]:
    """In the margin at one side: `edge` is where words end that stand to the left of it, or begin
    that stand to the right; the first gets `number`.
    """
    order = sorted(wanted, key=lambda each: (each.anchors[0][1], each.name))
    sizes = [WORD_STEP * len(each.lines) + _BETWEEN for each in order]
    middles = spread_out([each.anchors[0][1] for each in order], sizes, *span)
    order = _uncrossed(order, sizes, middles, edge)
    sizes = [WORD_STEP * len(each.lines) + _BETWEEN for each in order]
    middles = spread_out(_in_order(middles), sizes, *span)
    found: list[Callout] = []
    for each, middle in zip(order, middles):
        start = (edge + (4 if left else -4), middle)
        anchor = _free_anchor(start, each.anchors, taken, [call.anchor for call in found])
        top = middle - WORD_STEP * (len(each.lines) - 1) / 2 + 4.3
        found.append(
            Callout(
                each.name,
                number + len(found),
                each.lines,
                (edge, top),
                "end" if left else "start",
                start,
                anchor,
            )
        )
    return tuple(found)


def _in_order(values: Sequence[float]) -> list[float]:
    return sorted(values)


def _uncrossed(
    order: Sequence[Wanted], sizes: Sequence[float], middles: Sequence[float], edge: float
) -> list[Wanted]:
    """Neighbours whose leaders cross change places."""
    found = list(order)
    for _ in range(len(found)):
        changed = False
        for place in range(len(found) - 1):
            a, b = found[place].anchors[0], found[place + 1].anchors[0]
            if _cross((edge, middles[place]), a, (edge, middles[place + 1]), b):
                found[place], found[place + 1] = found[place + 1], found[place]
                changed = True
        if not changed:
            break
    return found


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def in_row(
    wanted: Sequence[Wanted],
    line: float,
    span: tuple[float, float],
    taken: Sequence[Bounds],
    above: bool,
    number: int,
) -> tuple[Callout, ...]:
    """In a row above or below: `line` is where leaders begin; words stand clear of it."""
    order = sorted(wanted, key=lambda each: (each.anchors[0][0], each.name))
    sizes = [
        max(reserved_width(text, SMALLEST, place == 0) for place, text in enumerate(each.lines)) + 8
        for each in order
    ]
    middles = spread_out([each.anchors[0][0] for each in order], sizes, *span)
    found: list[Callout] = []
    for place, (each, middle) in enumerate(zip(order, middles)):
        room = (
            (middles[place - 1] + sizes[place - 1] / 2 if place else span[0]) + sizes[place] / 2,
            (
                middles[place + 1] - sizes[place + 1] / 2
                if place + 1 < len(order)
                else max(span[1], middle + sizes[place] / 2)
            )
            - sizes[place] / 2,
        )
        middle = _moved_clear(middle, line, each.anchors, room, taken)
        middles[place] = middle
        start = (middle, line)
        anchor = _free_anchor(start, each.anchors, taken, [call.anchor for call in found])
        top = line - 6 - WORD_STEP * (len(each.lines) - 1) if above else line + 13
        found.append(
            Callout(
                each.name,
                number + len(found),
                each.lines,
                (middle, top),
                "middle",
                start,
                anchor,
            )
        )
    return tuple(found)


def _moved_clear(
    middle: float,
    line: float,
    anchors: Sequence[Point],
    room: tuple[float, float],
    taken: Sequence[Bounds],
) -> float:
    """The place in a row, or one beside it within `room`, from which a leader is free."""
    for shift in (0, 25, -25, 50, -50, 75, -75, 100, -100):
        start = middle + shift, line
        if (not shift or room[0] <= start[0] <= room[1]) and any(
            line_is_free(start, each, taken) for each in anchors
        ):
            return start[0]
    return middle


def _free_anchor(
    start: Point, anchors: Sequence[Point], taken: Sequence[Bounds], dots: Sequence[Point] = ()
) -> Point:
    """The first anchor whose leader crosses no words or screws and stands clear of other dots, else
    that which crosses fewest.
    """
    apart = [each for each in anchors if all(dist(each, dot) > _DOTS for dot in dots)] or anchors
    free = [
        each
        for each in apart
        if line_is_free(start, each, [(x - 3, y - 3, x + 3, y + 3) for x, y in dots])
    ]
    for each in (*free, *apart):
        if line_is_free(start, each, taken):
            return each
    return min(
        anchors,
        key=lambda each: sum(not line_is_free(start, each, (bounds,)) for bounds in taken),
    )


def callout_svg(call: Callout) -> Markup:
    """Leader with a dot at the part; the words; the number that stands in their place."""
    (x, y), (a, b) = call.start, call.anchor
    leader = path_data((call.start, call.anchor), closed=False)
    words = [
        shape(
            "text",
            line,
            x=call.at[0],
            y=call.at[1] + WORD_STEP * place,
            text_anchor=call.hold if call.hold != "middle" else None,
            font_weight=None if place else "700",
        )
        for place, line in enumerate(call.lines)
    ]
    side = {"end": -1, "start": 1}.get(call.hold, 0)
    above = 0.0 if side else (-_DISC if call.at[1] < y else _DISC)
    dx, dy = x + side * _DISC, y + above
    number = shape("text", str(call.number), x=dx, y=dy + 5.4)
    return joined(
        (
            shape("path", class_="zlead", d=leader),
            shape("path", class_="zdot", d=path_data(((a, b), (a, b)), closed=False)),
            shape("g", *words, class_="zwords"),
            shape("g", shape("circle", cx=dx, cy=dy, r=_DISC), number, class_="znumber"),
        )
    )
