"""Layout: corners of a conductor become bends: short jogs become sets, and what a bend saves or
lacks is worked out.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import acos, dist, inf, pi, sin, sqrt, tan

from firstway.calculations.adding import added
from firstway.layout.plan import XYZ, Solid

_STRAIGHT = 0.01  # rad; less is no bend
_SLIGHT = 5.0  # mm; a lesser jog needs no bends of its own


def minus(a: XYZ, b: XYZ) -> XYZ:
    """The step from `b` to `a`."""
    return a[0] - b[0], a[1] - b[1], a[2] - b[2]


def dot(a: XYZ, b: XYZ) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: XYZ, b: XYZ) -> XYZ:
    """The vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def along(a: XYZ, b: XYZ, share: float) -> XYZ:
    """The point a share of the way from `a` to `b`."""
    return (
        a[0] + (b[0] - a[0]) * share,
        a[1] + (b[1] - a[1]) * share,
        a[2] + (b[2] - a[2]) * share,
    )


def turns(points: Sequence[XYZ]) -> list[float]:
    """How far the line turns at each corner, in rad."""
    found = []
    for a, b, c in zip(points, points[1:], points[2:]):
        u, v = minus(b, a), minus(c, b)
        length = sqrt(dot(u, u) * dot(v, v))
        found.append(acos(max(-1.0, min(1.0, dot(u, v) / length))) if length else 0.0)
    return found


def half_tangents(points: Sequence[XYZ]) -> list[float]:
    """The tangent of half the turn at each corner, without a call of acos: what a bend of radius 1
    takes of the pieces beside it; at most 200.
    """
    found: list[float] = []
    if len(points) < 3:
        return found
    (ax, ay, az), (bx, by, bz) = points[:2]
    ux, uy, uz = bx - ax, by - ay, bz - az
    uu = ux * ux + uy * uy + uz * uz
    for cx, cy, cz in points[2:]:
        vx, vy, vz = cx - bx, cy - by, cz - bz
        vv = vx * vx + vy * vy + vz * vz
        along_u = ux * vx + uy * vy + uz * vz
        length = sqrt(uu * vv)
        whole, least = length + along_u, length * 5e-5 + 1e-12  # of a turn back upon itself
        if along_u >= length:
            found.append(0.0)
        else:
            found.append(sqrt((length - along_u) / (whole if whole > least else least)))
        bx, by, bz, ux, uy, uz, uu = cx, cy, cz, vx, vy, vz, vv
    return found


def corners_of(points: Sequence[XYZ]) -> tuple[XYZ, ...]:
    """Without points that lie on one another or on a straight line."""
    return corners_and_bends(points)[0]


def corners_and_bends(points: Sequence[XYZ]) -> tuple[tuple[XYZ, ...], tuple[float, ...]]:
    """The corners with the tangent of half the turn at each but the ends."""
    kept = [points[0]]
    for point in points[1:]:
        if dist(point, kept[-1]) > 0.05:
            kept.append(point)
    if len(kept) > 1:
        kept[-1] = points[-1]
    if len(kept) < 2:
        return tuple(kept), ()
    bends = half_tangents(kept)
    if min(bends, default=1.0) > 5e-4:
        return tuple(kept), tuple(bends)
    inner = [point for point, bend in zip(kept[1:-1], bends) if bend > 5e-4]
    return (kept[0], *inner, kept[-1]), tuple([bend for bend in bends if bend > 5e-4])


def with_sets(points: Sequence[XYZ], radius: float) -> tuple[XYZ, ...]:
    """A jog too short for its two bends becomes a slanting piece between two lesser ones, as a set
    is bent.
    """
    found, wide = list(points), radius * 1.1  # pieces that slant in depth need a little more
    place = 0
    while (place := place + 1) < len(found) - 2:
        a, b, c, d = found[place - 1 : place + 3]
        high = dist(b, c)
        if high >= 2 * wide and high >= _SLIGHT:
            continue
        before, jog, after = minus(b, a), minus(c, b), minus(d, c)
        reach, behind = dist(a, b), dist(c, d)
        same = dot(before, after) > 0.7 * reach * behind
        square = abs(dot(before, jog)) < 0.4 * reach * high
        if same and square and high < min(_SLIGHT, reach / 5, behind / 5):
            del found[place + (reach > behind)]  # the shorter piece slants a little instead
        elif same and square and high < 2 * wide:
            turn = acos(1 - high / (2 * wide))
            half = high / (2 * tan(turn)) if turn < pi / 2 - 1e-9 else 0.0
            room = wide * tan(turn / 2)
            # kept within the two straight pieces, moved towards the longer one where need be
            late = min(half, max(behind - room, 0.0))
            early = min(2 * half - late, max(reach - room, 0.0))
            late = min(2 * half - early, max(behind - room, 0.0))
            found[place] = along(b, a, early / reach)
            found[place + 1] = along(c, d, late / behind)
    return tuple(found)


def tightest(
    points: Sequence[XYZ], radius: float, bends: Sequence[float] | None = None
) -> float | None:
    """The radius that all bends of a line can have, at most `radius`; None without bends. `bends`
    are its half tangents where they are known.
    """
    before, least, bent = 0.0, inf, False
    place = 0
    for after in (*(half_tangents(points) if bends is None else bends), 0.0):
        bent = bent or after > _STRAIGHT / 2
        if before + after > _STRAIGHT / 2:
            room = dist(points[place], points[place + 1]) / (before + after)
            if room < least:
                least = room
        before = after
        place += 1
    return min(least, radius) if bent else None


def bent_length(points: Sequence[XYZ], radius: float) -> float:
    """Length in mm along a line whose corners are bends of one radius."""
    straight = added(dist(a, b) for a, b in zip(points, points[1:]))
    return straight - added(
        radius * (2 * tan(min(turn, pi - 0.01) / 2) - turn) for turn in turns(points)
    )


def bent_points(points: Sequence[XYZ], radius: float, pieces: int = 6) -> tuple[XYZ, ...]:
    """The line itself, each bend in short pieces."""
    found = [points[0]]
    for a, b, c, turn in zip(points, points[1:], points[2:], turns(points)):
        if turn < 1e-3:
            continue
        if turn > pi - 0.05:  # straight back upon itself: no bend can be drawn
            found.append(b)
            continue
        back = radius * tan(min(turn, pi - 0.01) / 2)
        one, other = along(b, a, back / dist(a, b)), along(b, c, back / dist(b, c))
        middle = along(one, other, 0.5)
        away = dist(b, middle)
        centre = along(b, middle, sqrt(radius**2 + back**2) / away) if away else b
        p, q = minus(one, centre), minus(other, centre)
        for number in range(pieces + 1):
            share = turn * number / pieces
            s, t = sin(turn - share) / sin(turn), sin(share) / sin(turn)
            x, y, z = (m + s * i + t * j for m, i, j in zip(centre, p, q))
            found.append((x, y, z))
    return (*found, points[-1])


def area_between(one: Sequence[XYZ], other: Sequence[XYZ]) -> float:
    """Area in mm2 of the loop along one line and back along the other: the length of its area
    vector, so that a loop may be bent in space.
    """
    other = (
        tuple(reversed(other))
        if dist(one[-1], other[-1]) + dist(one[0], other[0])
        <= dist(one[-1], other[0]) + dist(one[0], other[-1])
        else tuple(other)
    )
    loop = [*one, *other]
    parts = [cross(a, b) for a, b in zip(loop, [*loop[1:], loop[0]])]
    whole = [added(part[axis] for part in parts) / 2 for axis in (0, 1, 2)]
    return sqrt(added(each**2 for each in whole))


def apart(a: XYZ, b: XYZ, c: XYZ, d: XYZ) -> float:
    """The least distance between two straight pieces."""
    (ax, ay, az), (cx, cy, cz) = a, c
    ux, uy, uz = b[0] - ax, b[1] - ay, b[2] - az
    vx, vy, vz = d[0] - cx, d[1] - cy, d[2] - cz
    wx, wy, wz = ax - cx, ay - cy, az - cz
    uu, vv = ux * ux + uy * uy + uz * uz, vx * vx + vy * vy + vz * vz
    uv, uw = ux * vx + uy * vy + uz * vz, ux * wx + uy * wy + uz * wz
    vw = vx * wx + vy * wy + vz * wz
    whole = uu * vv - uv * uv
    s = (uv * vw - vv * uw) / whole if whole > 1e-9 else 0.0
    s = 0.0 if s < 0 else 1.0 if s > 1 else s
    t = (uv * s + vw) / vv if vv else 0.0
    if not 0 <= t <= 1:
        t = 0.0 if t < 0 else 1.0
        s = (uv * t - uw) / uu if uu else 0.0
        s = 0.0 if s < 0 else 1.0 if s > 1 else s
    return dist(
        (ax + ux * s, ay + uy * s, az + uz * s),
        (cx + vx * t, cy + vy * t, cz + vz * t),
    )


def enters(a: XYZ, b: XYZ, box: Solid) -> bool:
    """Whether a straight piece runs through a body."""
    first, last = 0.0, 1.0
    for axis in range(3):
        step = b[axis] - a[axis]
        low, high = box.low[axis] + 1e-6, box.high[axis] - 1e-6
        if abs(step) < 1e-9:
            if not low < a[axis] < high:
                return False
            continue
        one, other = sorted(((low - a[axis]) / step, (high - a[axis]) / step))
        first, last = max(first, one), min(last, other)
    return first < last
