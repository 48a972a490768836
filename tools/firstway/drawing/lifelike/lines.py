"""Lifelike view: conductors as pieces of their middle lines in mm: straight ones and true bends,
cut where they pass a wall or enter a part.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import acos, dist, pi, sqrt, tan

from firstway.frozen import dataclass
from firstway.layout.bending import along, dot, minus
from firstway.layout.plan import XYZ

LONGEST = 60.0
"""mm; a longer straight is cut, so that each piece lies clearly before or behind what it passes."""
Curve = tuple[XYZ, ...]
"""Two points: a straight; four: a bend as a cubic, which stays one when it is projected."""


@dataclass(frozen=True)
class Tube:
    """A round conductor: its group in the drawing, radius in mm, inks, what tells it without
    colour, and its pieces from end to end; `free` says which ends are cut outside,
    `entry` is the gland its last piece ends in.
    """

    name: str
    radius: float
    inks: tuple[str, ...]
    mark: str
    pieces: tuple[Curve, ...]
    free: tuple[bool, bool] = (False, False)
    entry: str = ""


def bent(points: Sequence[XYZ], radius: float | None) -> tuple[Curve, ...]:
    """The line through corners, each a bend of `radius` mm."""
    found: list[Curve] = []
    here = points[0]
    for before, corner, after in zip(points, points[1:], points[2:]):
        u, v = minus(corner, before), minus(after, corner)
        long, far = sqrt(dot(u, u)), sqrt(dot(v, v))
        if not radius or long < 1e-6 or far < 1e-6:
            found.append((here, corner))
            here = corner
            continue
        turn = acos(max(-1.0, min(1.0, dot(u, v) / (long * far))))
        if turn < 1e-3 or turn > pi - 0.05:
            found.append((here, corner))
            here = corner
            continue
        back = radius * tan(turn / 2)
        reach = 4 / 3 * tan(turn / 4) * radius
        one, other = along(corner, before, back / long), along(corner, after, back / far)
        found.append((here, one))
        found.append(
            (one, along(one, corner, reach / back), along(other, corner, reach / back), other)
        )
        here = other
    found.append((here, points[-1]))
    return tuple(each for each in found if dist(each[0], each[-1]) > 0.05)


def spot_on(curve: Curve, share: float) -> XYZ:
    """The point a share of the way along a piece."""
    if len(curve) == 2:
        return along(curve[0], curve[1], share)
    rest = 1 - share
    w = rest**3, 3 * share * rest**2, 3 * share**2 * rest, share**3
    a, b, c, d = curve
    x, y, z = (
        w[0] * a[axis] + w[1] * b[axis] + w[2] * c[axis] + w[3] * d[axis] for axis in (0, 1, 2)
    )
    return x, y, z


def curve_parted(curve: Curve, share: float) -> tuple[Curve, Curve]:
    """A piece as two (de Casteljau)."""
    if len(curve) == 2:
        middle = along(curve[0], curve[1], share)
        return (curve[0], middle), (middle, curve[1])
    a, b, c, d = curve
    ab, bc, cd = along(a, b, share), along(b, c, share), along(c, d, share)
    abc, bcd = along(ab, bc, share), along(bc, cd, share)
    middle = along(abc, bcd, share)
    return (a, ab, abc, middle), (middle, bcd, cd, d)


def cut_at(curves: Sequence[Curve], axis: int, value: float) -> tuple[Curve, ...]:
    """Pieces cut where they pass a plane square to an axis."""
    found: list[Curve] = []
    for curve in curves:
        start, end = curve[0][axis] - value, curve[-1][axis] - value
        if start * end >= -1e-9:
            found.append(curve)
            continue
        low, high = 0.0, 1.0
        for _ in range(1 if len(curve) == 2 else 24):
            middle = start / (start - end) if len(curve) == 2 else (low + high) / 2
            if (spot_on(curve, middle)[axis] - value) * start > 0:
                low = middle
            else:
                high = middle
        found.extend(curve_parted(curve, middle))
    return tuple(found)


def shortened(curves: Sequence[Curve]) -> tuple[Curve, ...]:
    """Long straights in shorter pieces."""
    found: list[Curve] = []
    for curve in curves:
        number = max(1, round(dist(curve[0], curve[-1]) / LONGEST)) if len(curve) == 2 else 1
        for place in range(number):
            if number == 1:
                found.append(curve)
                break
            found.append(
                (
                    along(curve[0], curve[1], place / number),
                    along(curve[0], curve[1], (place + 1) / number),
                )
            )
    return tuple(found)
