"""Layout: a conductor that is to be laid and one that is, and whether two lie in the same place."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property
from math import dist, fsum, inf, sqrt

from firstway.frozen import dataclass
from firstway.layout.bending import along, apart, bent_points, tightest
from firstway.layout.plan import XYZ
from firstway.wiring.graph import Conductor

_NEAR = 0.45  # two touch where their middles are nearer than 0.9 of half their diameters together
_IN_EACH_OTHER = 0.4  # the same where every bend is followed; insulation gives way a little
_HELD = 30.0  # mm; so far from a screw that holds both, two conductors lie side by side
_SLIGHT_TURN = 0.25  # tangent of half a turn; a lesser one is near its bend
_LONG = 20.0  # mm; a shorter stretch over one another hides nothing in a flat view

Extent = tuple[float, float, float, float, float, float]
Piece = tuple[XYZ, XYZ, Extent]
"""A straight piece, and what bounds it with `_NEAR` of its own diameter around it: so two pieces
are near each other where their bounds overlap.
"""


@dataclass(frozen=True)
class Wire:
    """A conductor that is to be laid, between two ends: terminals, or an opening for the end that
    lies outside; `tag` is that opening where it begins beside the hole, at the tag of its gland.
    """

    conductor: Conductor
    start: str
    end: str
    diameter: float
    radius: float
    order: tuple[int, int]
    tag: str = ""

    @cached_property
    def openings(self) -> tuple[tuple[str, int], ...]:
        """Its ends that lie in an opening, and at which of its points: the first (0), the last."""
        terminals = self.conductor.start, self.conductor.end
        ends = (self.start, 0), (self.end, -1)
        return tuple((end, place) for end, place in ends if end not in terminals)


@dataclass(frozen=True)
class Course:
    """A wire with its corners and the tangent of half the turn at each; `tight` says that its bends
    find no room.
    """

    wire: Wire
    points: tuple[XYZ, ...]
    bends: tuple[float, ...]
    tight: bool

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """Its pieces, each with what bounds it; a bend is three tangents, within 8 % of its
        radius.
        """
        line = _cornered(self.points, self.wire.radius, self.bends)
        return pieces_of(line, self.wire.diameter * _NEAR)

    @cached_property
    def runs(self) -> tuple[Piece, ...]:
        """Those of its pieces that are long enough to hide another in a flat view."""
        long = _LONG + 2 * _NEAR * self.wire.diameter
        return tuple(
            [
                each
                for each in self.pieces
                if each[2][1] - each[2][0] > long or each[2][3] - each[2][2] > long
            ]
        )

    @cached_property
    def bounds(self) -> Extent:
        """What bounds it as a whole."""
        near = self.wire.diameter * _NEAR
        xs, ys, zs = zip(*self.points)
        return (
            min(xs) - near,
            max(xs) + near,
            min(ys) - near,
            max(ys) + near,
            min(zs) - near,
            max(zs) + near,
        )

    @cached_property
    def bent(self) -> tuple[Piece, ...]:
        """Its pieces with every bend followed."""
        radius = tightest(self.points, self.wire.radius, self.bends) or 0.0
        return pieces_of(bent_points(self.points, radius), self.wire.diameter * _IN_EACH_OTHER)

    @cached_property
    def beyond_start(self) -> tuple[Piece, ...]:
        """Its pieces from `_HELD` mm beyond its start on."""
        return _beyond(self.pieces, False, self.wire.diameter * _NEAR)

    @cached_property
    def beyond_end(self) -> tuple[Piece, ...]:
        """Its pieces but for the last `_HELD` mm."""
        return _beyond(self.pieces, True, self.wire.diameter * _NEAR)

    @cached_property
    def length(self) -> float:
        """How long it is in mm, along its corners."""
        return length_of(self.points)

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
        before, after = back / dist(a, b), back / dist(b, c)
        found += (
            along(b, a, before if before < 0.5 else 0.5),
            along(b, c, after if after < 0.5 else 0.5),
        )
    found.append(points[-1])
    return found


def length_of(points: Sequence[XYZ]) -> float:
    """Length of a line in mm, along its corners."""
    return fsum(map(dist, points, points[1:]))


def pieces_of(points: Sequence[XYZ], near: float) -> tuple[Piece, ...]:
    """The straight pieces between corners."""
    found: list[Piece] = []
    for a, b in zip(points, points[1:]):
        ax, ay, az = a
        bx, by, bz = b
        if ax > bx:
            ax, bx = bx, ax
        if ay > by:
            ay, by = by, ay
        if az > bz:
            az, bz = bz, az
        found.append((a, b, (ax - near, bx + near, ay - near, by + near, az - near, bz + near)))
    return tuple(found)


def meet(one: Course, other: Course) -> bool:
    """Whether two conductors lie in the same place; in the terminal that holds both or the opening
    both come through, and so far as they leave it beside each other, they may.
    """
    first, second = one.pieces, other.pieces
    here, there = one.wire, other.wire
    if here.start in (there.start, there.end) or here.end in (there.start, there.end):
        if here.openings and there.openings and _in_one_place(one, other):
            return True
        first, second = _not_held(one, there), _not_held(other, here)
    near = (here.diameter + there.diameter) * _NEAR
    least_x, most_x, least_y, most_y, least_z, most_z = other.bounds
    for a, b, (low_x, high_x, low_y, high_y, low_z, high_z) in first:
        if (
            low_x >= most_x
            or high_x <= least_x
            or low_y >= most_y
            or high_y <= least_y
            or low_z >= most_z
            or high_z <= least_z
        ):
            continue
        for c, d, box in second:
            if (
                low_x < box[1]
                and box[0] < high_x
                and low_y < box[3]
                and box[2] < high_y
                and low_z < box[5]
                and box[4] < high_z
                and apart(a, b, c, d) < near
            ):
                held = _held_apart(one, other)  # asked late: it seldom matters
                if held >= near or apart(a, b, c, d) < held:
                    return True
    return False


def _in_one_place(one: Course, other: Course) -> bool:
    """Whether two conductors come out of an opening at the same place; one screw may hold both."""
    for end, place in one.wire.openings:
        for name, there in other.wire.openings:
            if end == name and dist(one.points[place], other.points[there]) < 1:
                return True
    return False


def _held_apart(one: Course, other: Course) -> float:
    """How far in mm the nearest two ends are held apart, as by neighbouring screws of a bar: nearer
    than that they need not be, further they cannot.
    """
    ends = [
        dist(a, b)
        for a in (one.points[0], one.points[-1])
        for b in (other.points[0], other.points[-1])
    ]
    return min([each for each in ends if each > 0.1], default=inf) - 0.1


def lie_in_each_other(one: Course, other: Course) -> bool:
    """Whether two conductors lie in each other where every bend is followed. Only the first is let
    off beside the screw that holds both, or in the opening they share.
    """
    if not overlap(one.bounds, other.bounds):
        return False
    first, second = _within(one.bent, other.bounds), _within(other.bent, one.bounds)
    here, there = one.wire, other.wire
    for end, back in ((here.start, False), (here.end, True)):
        if end in _held_together(here, there):
            first = _within(_beyond(one.bent, back, here.diameter * _IN_EACH_OTHER), other.bounds)
    near = (here.diameter + there.diameter) * _IN_EACH_OTHER
    return any(
        overlap(box, other_box)
        and (least := apart(a, b, c, d)) < near
        and least < _held_apart(one, other)
        for a, b, box in (first if second else ())
        for c, d, other_box in second
    )


def _held_together(one: Wire, other: Wire) -> list[str]:
    """Where two conductors are held side by side: under one screw, in one hole; who begins at a
    gland's tag stands beside those that come through it.
    """
    both, tags = (other.start, other.end), (one.tag, other.tag)
    found = [one.start] if one.start in both and one.start not in tags else []
    if one.end in both and one.end not in tags:
        found.append(one.end)
    return found


def _within(pieces: Sequence[Piece], bounds: Extent) -> list[Piece]:
    return [each for each in pieces if overlap(each[2], bounds)]


def _not_held(course: Course, other: Wire) -> tuple[Piece, ...]:
    """The pieces of a course beyond what it shares with another wire."""
    wire, shared = course.wire, _held_together(course.wire, other)
    if wire.start not in shared and wire.end not in shared:
        return course.pieces
    if wire.start not in shared:
        return course.beyond_end
    if wire.end not in shared:
        return course.beyond_start
    return _beyond(course.beyond_start, True, wire.diameter * _NEAR)


def _beyond(pieces: Sequence[Piece], back: bool, near: float) -> tuple[Piece, ...]:
    """The pieces from `_HELD` mm beyond the first end on, or before the last."""
    points = [piece[0] for piece in pieces] + [pieces[-1][1]] if pieces else []
    if back:
        points.reverse()
    left = _HELD
    while len(points) > 1:
        length = dist(points[0], points[1])
        if length > left:
            points[0] = along(points[0], points[1], left / length)
            return pieces_of(points, near)
        left -= length
        del points[0]
    return ()


def overlap(one: Extent, other: Extent) -> bool:
    """Whether two bounds share room."""
    return (
        one[0] < other[1]
        and other[0] < one[1]
        and one[2] < other[3]
        and other[2] < one[3]
        and one[4] < other[5]
        and other[4] < one[5]
    )


def shadow(one: Course, others: Iterable[Course]) -> float:
    """How many mm of one run over or under others, so that a flat view shows one line for two."""
    found = 0.0
    least_x, most_x, least_y, most_y = one.bounds[:4]
    for other in others:
        box = other.bounds
        if box[0] >= most_x or box[1] <= least_x or box[2] >= most_y or box[3] <= least_y:
            continue
        near = (one.wire.diameter + other.wire.diameter) * _NEAR
        for a, b, (low_x, high_x, low_y, high_y, _, _) in one.runs:
            for c, d, box in other.runs:
                if low_x < box[1] and box[0] < high_x and low_y < box[3] and box[2] < high_y:
                    found += _over(a, b, c, d, near)
    return found


def _over(a: XYZ, b: XYZ, c: XYZ, d: XYZ, near: float) -> float:
    """How long two pieces run over each other; 0 where they cross or it is short."""
    (x, y, _), (bx, by, _), (cx, cy, _), (dx, dy, _) = a, b, c, d
    ux, uy = bx - x, by - y
    length = (ux * ux + uy * uy) ** 0.5
    ux, uy = ux / length, uy / length
    cx, cy, dx, dy = cx - x, cy - y, dx - x, dy - y
    if abs(cx * uy - cy * ux) > near or abs(dx * uy - dy * ux) > near:
        return 0.0
    low, high = cx * ux + cy * uy, dx * ux + dy * uy
    if low > high:
        low, high = high, low
    run = min(high, length) - max(low, 0.0)
    return run if run > _LONG else 0.0
