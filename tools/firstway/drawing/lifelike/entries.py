"""Lifelike view: where cables pass the wall: a bush round single cores, a gland round a cable, a
hole in the back; and the cable outside, cut a little beyond the wall.
"""

from __future__ import annotations

from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.shapes import AXES, Body, cylinder_svg, disc, drawn_wall
from firstway.layout.plan import OUT, XYZ, Parts, Side, Solid, WallOpening
from firstway.rendering.html import Markup

NUT = 6.0
"""How high a locknut stands inside, in mm; where it is passed the cores of a cable begin."""
_BODY, _CLAMP, _TAG = 9.0, 12.0, 2.0
BEYOND = 46.0
"""How far outside what leaves is cut, in mm from the wall."""


def beyond_of(eye: Eye, side: Side, parts: Parts) -> float:
    """How far a conductor is drawn outside: behind a far wall it needs the depth that hides it."""
    if side == "back":
        return 0.0
    hidden = 0.0
    if side in ("left", "right") and (side == "right") != (eye.side > 0):
        hidden = abs(eye.right[2] / eye.right[0]) * parts.outer.high[2]
    if side == "bottom":
        hidden = eye.down[2] / eye.down[1] * parts.outer.high[2] * 0.55
    return BEYOND + hidden


def moved(point: XYZ, side: Side, by: float) -> XYZ:
    """A point further out of a side."""
    out = OUT[side]
    return point[0] + out[0] * by, point[1] + out[1] * by, point[2] + out[2] * by


def inside_wall(parts: Parts, opening: WallOpening) -> XYZ:
    """The middle of an opening in the inner face of the wall as it is drawn."""
    if opening.side == "back":
        return opening.at
    return moved(opening.at, opening.side, parts.inner.low[0] - drawn_wall(parts))


def nut_inside(parts: Parts, opening: WallOpening) -> tuple[XYZ, XYZ]:
    """The middles of both ends of the nut inside: on the wall, or on the tag that lies under it."""
    at, side = inside_wall(parts, opening), opening.side
    base = moved(at, side, -_TAG) if opening.bolt else at
    return base, moved(base, side, -NUT)


def opening_bodies(
    eye: Eye, parts: Parts, opening: WallOpening, cable: bool, beyond: float, plastic: bool = False
) -> tuple[Body, ...]:
    """What closes an opening; `cable` says that one sheath passes it, else single cores."""
    name, side, at = f"opening.{opening.name}", opening.side, inside_wall(parts, opening)
    axis, nut = AXES[side], opening.nut_mm / 2
    bore = opening.hole_mm / 2
    if side == "back":
        box = _around(at, nut, axis, at, moved(at, side, -1.5))
        rim = moved(at, side, -1.5)
        ring = cylinder_svg(eye, axis, at, rim, nut, "k", bore * 0.9)
        return (Body(name, box, ring, bore=(axis, rim[axis])),)
    outside = moved(at, side, drawn_wall(parts))
    if not cable:
        inside, rim = moved(at, side, -2.0), moved(outside, side, 2.0)
        return (
            Body(
                name,
                _around(at, nut * 0.85, axis, at, inside),
                cylinder_svg(eye, axis, at, inside, nut * 0.85, "k", bore),
                bore=_near_end(eye, axis, at, inside),
            ),
            Body(
                name,
                _around(at, nut * 0.85, axis, outside, rim),
                cylinder_svg(eye, axis, outside, rim, nut * 0.85, "k", bore),
                bore=_near_end(eye, axis, outside, rim),
            ),
        )
    tone = "m" if opening.gland and not plastic else "k"
    at, inside = nut_inside(parts, opening)
    flange, end = moved(outside, side, _BODY), moved(outside, side, _BODY + _CLAMP)
    cut = moved(outside, side, beyond)
    sheath = bore * 0.74
    return (
        Body(
            name,
            _around(at, nut, axis, at, inside),
            cylinder_svg(eye, axis, at, inside, nut, tone, bore * 0.8),
            bore=_near_end(eye, axis, at, inside),
        ),
        Body(
            name,
            _around(at, nut, axis, outside, flange),
            cylinder_svg(eye, axis, outside, flange, nut, tone),
        ),
        Body(
            name,
            _around(at, nut * 0.82, axis, flange, end),
            cylinder_svg(eye, axis, flange, end, nut * 0.82, tone),
        ),
        Body(
            f"cable.{opening.name}",
            _around(at, sheath, axis, end, cut),
            cylinder_svg(eye, axis, end, cut, sheath, "k")
            + _cut_face(eye, axis, side, cut, sheath),
        ),
    )


def _near_end(eye: Eye, axis: int, one: XYZ, other: XYZ) -> tuple[int, float]:
    """The plane of the end that looks at the eye."""
    return axis, max(one, other, key=eye.nearness)[axis]


def rims_of(eye: Eye, parts: Parts, opening: WallOpening) -> tuple[tuple[int, float], ...]:
    """The planes at which conductors come out of what closes an opening without a cable."""
    side, at, axis = opening.side, inside_wall(parts, opening), AXES[opening.side]
    if side == "back":
        return ((axis, at[axis] + 1.5),)
    outside = moved(at, side, drawn_wall(parts))
    return (
        _near_end(eye, axis, at, moved(at, side, -2.0)),
        _near_end(eye, axis, outside, moved(outside, side, 2.0)),
    )


def _cut_face(eye: Eye, axis: int, side: Side, cut: XYZ, sheath: float) -> Markup:
    """The cut end of a cable, where it looks at the eye."""
    out = OUT[side]
    if eye.near[0] * out[0] + eye.near[1] * out[1] + eye.near[2] * out[2] <= 0:
        return Markup()
    return disc(eye, axis, cut, sheath * 0.72, "zd zz2")


def _around(centre: XYZ, radius: float, axis: int, one: XYZ, other: XYZ) -> Solid:
    low, high = [], []
    for each in (0, 1, 2):
        if each == axis:
            low.append(min(one[each], other[each]))
            high.append(max(one[each], other[each]))
        else:
            low.append(centre[each] - radius)
            high.append(centre[each] + radius)
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))
