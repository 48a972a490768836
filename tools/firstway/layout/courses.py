"""Layout: a conductor that is to be laid and one that is, and whether two lie in the same place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from math import dist, sqrt

from firstway.frozen import dataclass
from firstway.layout.bending import along, apart
from firstway.layout.plan import XYZ
from firstway.wiring.graph import Conductor

_NEAR = 0.45  # two touch where their middles are nearer than 0.9 of half their diameters together
_HELD = 30.0  # mm; so far from a screw that holds both, two conductors lie side by side
_SLIGHT_TURN = 0.25  # tangent of half a turn; a lesser one is near its bend
_LONG = 20.0  # mm; a shorter stretch over one another hides nothing in a flat view

Extent = tuple[float, float, float, float, float, float]
Piece = tuple[XYZ, XYZ, Extent]


@dataclass(frozen=True)
class Wire:
    """A conductor that is to be laid, between two ends: terminals, or an opening for the end that
    lies outside.
    """

    conductor: Conductor
    start: str
    end: str
    diameter: float
    radius: float
    order: tuple[int, int]


@dataclass(frozen=True)
class Course:
    """A wire with its corners and the tangent of half the turn at each; `tight` says that its bends
    find no room, `lost` that it runs through the rail or the line bar.
    """

    wire: Wire
    points: tuple[XYZ, ...]
    bends: tuple[float, ...]
    tight: bool
    lost: bool = False

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Its pieces, each with what bounds it; a bend is three tangents, within 8 % of its
        radius.
        """
        return pieces_of(_cornered(self.points, self.wire.radius, self.bends))

    @cached_property
    def bounds(self) -> Extent:
        """What bounds it as a whole."""
        return _bounds(self.points)

    @property
    def id(self) -> str:
        """The conductor's."""
        return self.wire.conductor.id


def _cornered(points: Sequence[XYZ], radius: float, bends: Sequence[float]) -> list[XYZ]:
    """The line with each corner cut where the tangent in the middle of its bend cuts it."""
    found = [points[0]]
    for a, b, c, half in zip(points, points[1:], points[2:], bends):
        if half < _SLIGHT_TURN:
            found.append(b)
            continue
        back = radius * (half - (sqrt(1 + half * half) - 1) / half)
        found += [
            along(b, a, min(back / dist(a, b), 0.5)),
            along(b, c, min(back / dist(b, c), 0.5)),
        ]
    found.append(points[-1])
    return found


def pieces_of(points: Sequence[XYZ]) -> tuple[Piece, ...]:
    """The straight pieces between corners."""
    return tuple((a, b, _box(a, b)) for a, b in zip(points, points[1:]))


def _box(a: XYZ, b: XYZ) -> Extent:
    ax, ay, az = a
    bx, by, bz = b
    if ax > bx:
        ax, bx = bx, ax
    if ay > by:
        ay, by = by, ay
    return (ax, bx, ay, by, az, bz) if az < bz else (ax, bx, ay, by, bz, az)


def _bounds(points: Sequence[XYZ]) -> Extent:
    xs, ys, zs = zip(*points)
    return min(xs), max(xs), min(ys), max(ys), min(zs), max(zs)


def meet(one: Course, other: Course) -> bool:
    """Whether two conductors lie in the same place; in the terminal that holds both or the opening
    both come through, and so far as they leave it beside each other, they may.
    """
    near = (one.wire.diameter + other.wire.diameter) * _NEAR
    if not _close(one.bounds, other.bounds, near):
        return False
    first, second = one.pieces, other.pieces
    for end in {one.wire.start, one.wire.end} & {other.wire.start, other.wire.end}:
        first, second = _beyond(one, end, first), _beyond(other, end, second)
    bounds = other.bounds
    for a, b, here in first:
        if not _close(here, bounds, near):
            continue
        for c, d, there in second:
            if _close(here, there, near) and apart(a, b, c, d) < near:
                return True
    return False


def _beyond(course: Course, end: str, pieces: Sequence[Piece]) -> tuple[Piece, ...]:
    """The pieces of a course from `_HELD` mm beyond an end on."""
    points = [piece[0] for piece in pieces] + [pieces[-1][1]] if pieces else []
    back = course.wire.end == end
    if back:
        points.reverse()
    left = _HELD
    while len(points) > 1:
        length = dist(points[0], points[1])
        if length > left:
            points[0] = along(points[0], points[1], left / length)
            return pieces_of(points)
        left -= length
        del points[0]
    return ()


def shadow(one: Course, others: Iterable[Course]) -> float:
    """How many mm of one run over or under others, so that a flat view shows one line for two."""
    found = 0.0
    for other in others:
        near = (one.wire.diameter + other.wire.diameter) * _NEAR
        if _close_flat(one.bounds, other.bounds, near):
            for a, b, here in one.pieces:
                if here[1] - here[0] > _LONG or here[3] - here[2] > _LONG:
                    for c, d, there in other.pieces:
                        if _close_flat(here, there, near):
                            found += _over(a, b, c, d, near)
    return found


def _over(a: XYZ, b: XYZ, c: XYZ, d: XYZ, near: float) -> float:
    """How long two pieces run over each other; 0 where they cross or it is short."""
    ux, uy = b[0] - a[0], b[1] - a[1]
    length = (ux * ux + uy * uy) ** 0.5
    ux, uy = ux / length, uy / length
    ahead = [(p[0] - a[0]) * ux + (p[1] - a[1]) * uy for p in (c, d)]
    aside = [(p[0] - a[0]) * uy - (p[1] - a[1]) * ux for p in (c, d)]
    if abs(aside[0]) > near or abs(aside[1]) > near:
        return 0.0
    run = min(max(ahead), length) - max(min(ahead), 0.0)
    return run if run > _LONG else 0.0


def _close(one: Extent, other: Extent, near: float) -> bool:
    return (
        one[0] < other[1] + near
        and other[0] < one[1] + near
        and one[2] < other[3] + near
        and other[2] < one[3] + near
        and one[4] < other[5] + near
        and other[4] < one[5] + near
    )


def _close_flat(one: Extent, other: Extent, near: float) -> bool:
    return (
        one[0] < other[1] + near
        and other[0] < one[1] + near
        and one[2] < other[3] + near
        and other[2] < one[3] + near
    )
