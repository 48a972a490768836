"""Lifelike view: call-outs in the margins. A leader runs from the words to a point that is seen and
crosses no other words; on a narrow screen a number stands in place of the words, and a list beside
the drawing says them.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
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

    @property
    def ring(self) -> Point:
        """The middle of the ring with its number, at the end of the leader."""
        x, y = self.start
        side = {"end": -1, "start": 1}.get(self.hold, 0)
        above = 0.0 if side else (-_DISC if self.at[1] < y else _DISC)
        return x + side * _DISC, y + above

    @property
    def ring_bounds(self) -> Bounds:
        """What that ring covers, with its line."""
        (x, y), reach = self.ring, _DISC + 1
        return x - reach, y - reach, x + reach, y + reach


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
    rather: Sequence[Bounds] = (),
) -> tuple[Callout, ...]:
    """In the margin at one side: `edge` is where words end that stand to the left of it, or begin
    that stand to the right; the first gets `number`.
    """
    order = sorted(wanted, key=lambda each: (each.anchors[0][1], each.name))
    sizes = [WORD_STEP * len(each.lines) + _BETWEEN for each in order]
    middles = spread_out([each.anchors[0][1] for each in order], sizes, *span)
    order = _uncrossed(order, sizes, middles, edge)

    def placed(order: Sequence[Wanted]) -> tuple[Callout, ...]:
        sizes = [WORD_STEP * len(each.lines) + _BETWEEN for each in order]
        at = sorted(each.anchors[0][1] for each in order)
        found: list[Callout] = []
        for each, middle in zip(order, spread_out(at, sizes, *span)):
            start = (edge + (4 if left else -4), middle)
            dots = [call.anchor for call in found]
            anchor = _free_anchor(start, each.anchors, taken, rather, dots)
            top = middle - WORD_STEP * (len(each.lines) - 1) / 2 + 4.3
            hold: Literal["start", "end"] = "end" if left else "start"
            number_ = number + len(found)
            found.append(Callout(each.name, number_, each.lines, (edge, top), hold, start, anchor))
        return tuple(found)

    return _moved_from_words(order, placed, taken)


def _words_crossed(calls: Sequence[Callout], taken: Sequence[Bounds]) -> list[int]:
    return [
        place
        for place, call in enumerate(calls)
        if not line_is_free(call.start, call.anchor, taken)
    ]


_FURTHEST = 5
"""How many places call-outs move so that a leader crosses no words."""


def _moved_from_words(
    order: Sequence[Wanted],
    placed: Callable[[Sequence[Wanted]], tuple[Callout, ...]],
    taken: Sequence[Bounds],
) -> tuple[Callout, ...]:
    """A call-out whose leader crosses words changes its place where that helps."""
    here, calls = list(order), placed(order)
    best, done = calls, [here]
    for _ in range(4):
        bad = _words_crossed(calls, taken)
        tries = [
            (abs(other - place), place, other)
            for place in bad
            for other in range(len(here))
            if 0 < abs(other - place) <= _FURTHEST
            and any(line_is_free(calls[other].start, each, taken) for each in here[place].anchors)
        ]
        for _, place, other in sorted(tries):
            moved = list(here)
            moved.insert(other, moved.pop(place))
            found = () if moved in done else placed(moved)
            if found and len(_words_crossed(found, taken)) <= len(bad):
                here, calls = moved, found
                done.append(moved)
                break
        else:
            return best
        if len(_words_crossed(calls, taken)) < len(_words_crossed(best, taken)):
            best = calls
    return best


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
    rather: Sequence[Bounds] = (),
) -> tuple[Callout, ...]:
    """In a row above or below: `line` is where leaders begin; words stand clear of it. No leader
    crosses what is `taken`, nor where it can be helped what it should `rather` not.
    """
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
        middle = _moved_clear(middle, line, each.anchors, room, (*taken, *rather))
        middles[place] = middle
        start = (middle, line)
        anchor = _free_anchor(start, each.anchors, taken, rather, [call.anchor for call in found])
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
    """The place in a row, or the nearest beside it within `room`, from which a leader is free."""
    for step in range(21):
        for start in (middle + 6 * step, middle - 6 * step):
            if step and not room[0] <= start <= room[1]:
                continue
            if any(line_is_free((start, line), each, taken) for each in anchors):
                return start
    return middle


def _free_anchor(
    start: Point,
    anchors: Sequence[Point],
    words: Sequence[Bounds],
    rather: Sequence[Bounds],
    dots: Sequence[Point],
) -> Point:
    """The first anchor whose leader crosses no words, nor what it should `rather` not cross, and
    stands clear of other dots; else that which crosses fewest, words counted first.
    """
    spots = [(x - 3, y - 3, x + 3, y + 3) for x, y in dots]

    def crossed(each: Point) -> tuple[int, bool, int]:
        return (
            sum(not line_is_free(start, each, (bounds,)) for bounds in words),
            any(dist(each, dot) <= _DOTS for dot in dots),
            sum(not line_is_free(start, each, (bounds,)) for bounds in (*rather, *spots)),
        )

    every = [*words, *rather, *spots]
    for each in anchors:
        if line_is_free(start, each, every) and all(dist(each, dot) > _DOTS for dot in dots):
            return each
    return min(anchors, key=crossed)


def shown_between(calls: Sequence[Callout], left: float, right: float) -> Sequence[Callout]:
    """The call-outs up to the last whose ring stands between two places: what a narrow screen that
    shows these has numbers for, in a list without a gap.
    """
    inside = [
        place
        for place, call in enumerate(calls, 1)
        if left <= call.ring_bounds[0] and call.ring_bounds[2] <= right
    ]
    return calls[: max(inside, default=0)]


def callout_svg(call: Callout) -> Markup:
    """Leader with a dot at the part; the words; the number that stands in their place."""
    a, b = call.anchor
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
    dx, dy = call.ring
    number = shape("text", str(call.number), x=dx, y=dy + 5.4)
    return joined(
        (
            shape("path", class_="zlead", d=leader),
            shape("path", class_="zdot", d=path_data(((a, b), (a, b)), closed=False)),
            shape("g", *words, class_="zwords"),
            shape("g", shape("circle", cx=dx, cy=dy, r=_DISC), number, class_="znumber"),
        )
    )
