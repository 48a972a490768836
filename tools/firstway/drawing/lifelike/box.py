"""Lifelike view: the enclosure: back, far walls seen inside, near walls seen outside, broken away
where a bar would stand behind them, and the posts the cover's screws go into.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.drawing.lifelike.devices import symbol_at
from firstway.drawing.lifelike.entries import inside_wall, moved
from firstway.drawing.lifelike.eye import Eye, corners
from firstway.drawing.lifelike.shapes import (
    AXES,
    Body,
    disc,
    drawn_wall,
    front_box,
    path_data,
    solid_svg,
)
from firstway.drawing.svg import shape
from firstway.layout.plan import OUT, XYZ, Parts, Side, Solid
from firstway.rendering.html import Markup, joined

_RIM = 5.0  # mm of a wall that stay in front where it is broken away
_POST = 9.0
_STRIP = 14.0  # mm between two holes that are broken away, at least
_Rect = tuple[float, float, float, float]


def near_sides(eye: Eye) -> tuple[Side, Side]:
    """The two walls seen from outside."""
    return ("right" if eye.side > 0 else "left"), "top"


def enclosure_bodies(
    eye: Eye, prefix: str, parts: Parts, tone: str, shown: Sequence[Solid]
) -> tuple[Body, ...]:
    """All walls; `shown` are bodies that a near wall must not hide."""
    outer, inner = parts.outer, parts.inner
    wall = drawn_wall(parts)
    (x0, y0, z0), (x1, y1, z1) = outer.low, outer.high
    floor = inner.low[2]
    back = Solid((x0, y0, z0), (x1, y1, floor))
    inside = solid_svg(eye, back, "b", "zo", "zd")
    found = [Body("enclosure", back, inside, upon=_shades(eye, parts))]
    sides: dict[Side, Solid] = {
        "left": Solid((x0, y0, floor), (x0 + wall, y1, z1)),
        "right": Solid((x1 - wall, y0, floor), (x1, y1, z1)),
        "bottom": Solid((x0 + wall, y1 - wall, floor), (x1 - wall, y1, z1)),
        "top": Solid((x0 + wall, y0, floor), (x1 - wall, y0 + wall, z1)),
    }
    near = near_sides(eye)
    for side in ("bottom", "left", "right", "top"):
        if side not in near:
            svg = solid_svg(eye, sides[side], tone) + _holes(eye, parts, side, 0.0)
            found.append(Body("enclosure", sides[side], svg))
    found += _posts(eye, prefix, parts, wall, near, tone)
    for side in near:
        svg = _near(eye, sides[side], side, tone, shown) + _holes(eye, parts, side, wall)
        found.append(Body("enclosure", sides[side], svg))
    return tuple(found)


def _posts(
    eye: Eye, prefix: str, parts: Parts, wall: float, near: Sequence[Side], tone: str
) -> list[Body]:
    """Posts in the two corners of the far wall."""
    inner, high = parts.inner, parts.outer.high[2]
    x = parts.outer.high[0] - wall - _POST if near[0] == "left" else wall
    found = []
    for y in (wall, parts.outer.high[1] - wall - _POST):
        post = Solid((x, y, inner.low[2]), (x + _POST, y + _POST, high - 5))
        if any(_meets_flat(post, bar.box) for bar in parts.bars):
            continue
        screw = symbol_at(eye, prefix, "hole", (x + _POST / 2, y + _POST / 2, high - 5))
        found.append(Body("enclosure", post, solid_svg(eye, post, tone, "ze", "zd") + screw))
    return found


def _meets_flat(one: Solid, other: Solid) -> bool:
    return all(
        one.low[axis] - 3 < other.high[axis] and other.low[axis] - 3 < one.high[axis]
        for axis in (0, 1)
    )


def _holes(eye: Eye, parts: Parts, side: Side, through: float) -> Markup:
    """Holes for glands in a wall, on the face that is seen: they come in with their cables."""
    return joined(
        disc(
            eye,
            AXES[side],
            moved(inside_wall(parts, each), side, through),
            each.hole_mm / 2,
            "zd zhole",
        )
        for each in parts.openings
        if each.side == side and each.gland
    )


def _shades(eye: Eye, parts: Parts) -> tuple[tuple[str, Markup], ...]:
    """What stands on the back throws a soft shade to the right and down, in the group of its
    own.
    """
    inner, floor = parts.inner, parts.inner.low[2]
    found = []
    for name, box in (
        *((each.name, each.body) for each in parts.devices if each.kind != "blank"),
        *([("rail", parts.rail)] if parts.rail else []),
        *((bar.name, bar.box) for bar in parts.bars),
    ):
        x0, y0 = max(box.low[0] + 5, inner.low[0]), max(box.low[1] + 8, inner.low[1])
        x1, y1 = min(box.high[0] + 8, inner.high[0]), min(box.high[1] + 10, inner.high[1])
        found.append((name, front_box(eye, x0, y0, x1, y1, floor, "zx zsh")))
    return tuple(found)


# Near walls


def _near(eye: Eye, box: Solid, side: Side, tone: str, shown: Sequence[Solid]) -> Markup:
    whole = solid_svg(eye, box, tone)
    plane = _Plane(box, side)
    holes = [hole for each in shown if (hole := _hole(eye, plane, each)) is not None]
    if not holes:
        return whole
    holes = _merged(holes)
    face = f"z{tone}3" if side != "top" else f"z{tone}2"
    broken = "".join(path_data([eye.at(plane.at(u, v)) for u, v in _torn(*hole)]) for hole in holes)
    outline = path_data([eye.at(plane.at(u, v)) for u, v in plane.outline()])
    front = _front_edge(eye, box, side, tone)
    outside = shape("path", class_=f"zo {face}", fill_rule="evenodd", d=outline + broken)
    return outside + front


def _front_edge(eye: Eye, box: Solid, side: Side, tone: str) -> Markup:
    (x0, y0, _), (x1, y1, z) = box.low, box.high
    return front_box(eye, x0, y0, x1, y1, z, f"ze z{tone}1")


class _Plane:
    """A near wall's outer face: u runs along it, v in depth."""

    def __init__(self, box: Solid, side: Side) -> None:
        self.across = 1 if side == "top" else 0
        self.along = 1 - self.across
        self.value = (box.low if side in ("left", "top") else box.high)[self.across]
        self.low, self.high = box.low, box.high
        self.out = OUT[side]

    def at(self, u: float, v: float) -> XYZ:
        return (u, self.value, v) if self.along == 0 else (self.value, u, v)

    def outline(self) -> tuple[tuple[float, float], ...]:
        a, b = self.low[self.along], self.high[self.along]
        return (a, self.low[2]), (b, self.low[2]), (b, self.high[2]), (a, self.high[2])

    def met(self, eye: Eye, point: XYZ) -> tuple[float, float]:
        """Where the way from a point to the eye passes the face."""
        share = (self.value - point[self.across]) / eye.near[self.across]
        return (
            point[self.along] + eye.near[self.along] * share,
            point[2] + eye.near[2] * share,
        )


def _hole(eye: Eye, plane: _Plane, box: Solid) -> tuple[float, float, float, float] | None:
    """What is broken away of a near wall so that a body shows; None where it does not hide it."""
    met = [plane.met(eye, corner) for corner in corners(box)]
    u0, u1 = min(u for u, _ in met) - 6, max(u for u, _ in met) + 6
    v0, v1 = min(v for _, v in met) - 3, max(v for _, v in met) + 6
    u0, u1 = max(u0, plane.low[plane.along] + _RIM), min(u1, plane.high[plane.along] - _RIM)
    v0, v1 = max(v0, plane.low[2] + 1), min(v1, plane.high[2] - _RIM)
    return (u0, v0, u1, v1) if u1 - u0 > 4 and v1 - v0 > 4 else None


def _merged(holes: Sequence[_Rect]) -> list[_Rect]:
    """Holes so near to each other that the strip between would hide a screw are one."""
    found: list[_Rect] = []
    for hole in sorted(holes):
        if found and hole[0] - found[-1][2] < _STRIP and hole[1] < found[-1][3]:
            last = found.pop()
            hole = (last[0], min(last[1], hole[1]), max(last[2], hole[2]), max(last[3], hole[3]))
        found.append(hole)
    return found


def _torn(u0: float, v0: float, u1: float, v1: float) -> list[tuple[float, float]]:
    """A ragged edge round a rectangle: the same each time."""
    found: list[tuple[float, float]] = []
    corners_ = ((u0, v0), (u1, v0), (u1, v1), (u0, v1))
    for (a, b), (c, d) in zip(corners_, (*corners_[1:], corners_[0])):
        number = max(2, round((abs(c - a) + abs(d - b)) / 9))
        for place in range(number):
            share = place / number
            bite = (0.0, 1.6, 0.5, 2.0)[(place + len(found)) % 4] if place else 0.0
            x, y = a + (c - a) * share, b + (d - b) * share
            found.append((x + bite, y) if a == c else (x, y + bite))
    return found
