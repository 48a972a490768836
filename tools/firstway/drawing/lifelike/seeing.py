"""Lifelike view: what the eye sees of a point: nothing, where something nearer covers it."""

from __future__ import annotations

from collections.abc import Sequence
from math import dist

from firstway.drawing.labels import Bounds, meets
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.lines import Curve, Tube, spot_on
from firstway.drawing.lifelike.order import PaintedThing, nearest_on_paper, way_through
from firstway.drawing.sheet import Point
from firstway.layout.plan import XYZ


class Seen:
    """Asks all bodies and tubes of a picture about one point."""

    def __init__(self, eye: Eye, things: Sequence[PaintedThing], tubes: Sequence[Tube]) -> None:
        self.eye, self.tubes = eye, tubes
        self.bodies = [thing for thing in things if thing.body is not None]
        self.pieces = [thing for thing in things if thing.body is None]

    def sees(self, point: XYZ, *own: str, reach: float = 0.0) -> bool:
        """Whether nothing but `own` covers a point, nor what lies within `reach` units of it on the
        paper.
        """
        x, y = self.eye.at(point)
        near = self.eye.nearness(point)
        for thing in self.bodies:
            a, b, c, d = thing.bounds
            if thing.body is None or thing.body.name in own:
                continue
            if a < x < c and b < y < d and way_through(self.eye, point, thing.body.box, -0.01) > 0:
                return False
        for thing in self.pieces:
            a, b, c, d = thing.bounds
            if not (a - reach < x < c + reach and b - reach < y < d + reach):
                continue
            if self.tubes[thing.tube].name in own:
                continue
            wide = thing.radius * self.eye.scale + reach
            for p, q in zip(thing.spots, thing.spots[1:]):
                gap, _, share = nearest_on_paper((x, y), (x, y), p[:2], q[:2])
                if gap < wide * wide and p[2] + (q[2] - p[2]) * share > near - 1:
                    return False
        return True

    def along_tube(self, tube: Tube, step: float = 9.0) -> list[tuple[float, XYZ, Curve]]:
        """Points along a tube that are seen: how far along in mm, the point, its piece."""
        found, gone = [], 0.0
        for curve in tube.pieces:
            long, number = dist(curve[0], curve[-1]), steps_of(curve, step)
            for place in range(number):
                share = (place + 0.5) / number
                point = spot_on(curve, share)
                if self.sees(point, tube.name):
                    found.append((gone + long * share, point, curve))
            gone += long
        return found


def steps_of(curve: Curve, step: float = 9.0) -> int:
    """How many points of a piece are asked."""
    return max(1, round(dist(curve[0], curve[-1]) / step))


def free_of(room: Bounds, taken: Sequence[Bounds]) -> bool:
    """Whether a rectangle on the paper meets none of others."""
    return not any(meets(room, each) for each in taken)


def line_is_free(one: Point, other: Point, taken: Sequence[Bounds]) -> bool:
    """Whether a straight line on the paper meets no rectangle."""
    for left, top, right, bottom in taken:
        low, high = 0.0, 1.0
        for start, step, near, far in (
            (one[0], other[0] - one[0], left, right),
            (one[1], other[1] - one[1], top, bottom),
        ):
            if abs(step) < 1e-9:
                if not near < start < far:
                    low, high = 1.0, 0.0
                continue
            a, b = sorted(((near - start) / step, (far - start) / step))
            low, high = max(low, a), min(high, b)
        if low < high:
            return False
    return True
