"""Lifelike view: what mistakes look like where they are made: a lead in loops, a screw that stands
out, holes side by side, a bonding screw.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import dist

from firstway.drawing.lifelike.devices import symbol_at
from firstway.drawing.lifelike.entries import inside_wall, moved
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.lines import Curve, shortened
from firstway.drawing.lifelike.shapes import AXES, Body, cylinder_svg, disc, drawn_wall
from firstway.layout.bending import along
from firstway.layout.faults import SeenFlaw
from firstway.layout.plan import XYZ, Laid, Parts, Solid, WallOpening

IN_SCENE = (
    "coiled",
    "foreign-device",
    "indicator-changed",
    "open-way",
    "plastic-gland",
    "separate-openings",
    "tooth-beside-the-clamp",
)
"""Flaws that change what is drawn of a part; a raised screw and a bonding screw are added to it."""
_LOOPS, _LOOP_RADIUS = 2, 15.0
_ROUND = 0.5523  # a quarter of a circle as a cubic
_STANDS_OUT = 6.0  # mm


def in_loops(pieces: Sequence[Curve], radius: float) -> tuple[Curve, ...]:
    """A conductor with loops in its longest straight, one before the other."""
    straights = [each for each in pieces if len(each) == 2]
    longest = max(straights, key=lambda each: dist(each[0], each[1]))
    at = list(pieces).index(longest)
    a, b = longest
    middle = along(a, b, 0.5)
    long = dist(a, b) or 1.0
    u = tuple((b[axis] - a[axis]) / long for axis in (0, 1, 2))
    flat = abs(u[2]) < 0.9
    v = (-u[1], u[0], 0.0) if flat else (1.0, 0.0, 0.0)
    found: list[Curve] = [(a, middle)]
    for turn in range(_LOOPS):
        deep = 2.1 * radius * turn
        for quarter in range(4):
            found.append(_quarter(middle, u, v, quarter, deep, 2.1 * radius / 4))
    end = found[-1][-1]
    found.append((end, (b[0], b[1], b[2] + end[2] - middle[2])))
    rest = [tuple((x, y, z + end[2] - middle[2]) for x, y, z in each) for each in pieces[at + 1 :]]
    return (*pieces[:at], *shortened(found), *_back(rest, end[2] - middle[2]))


def _back(pieces: Sequence[Curve], by: float) -> list[Curve]:
    """The rest of the way, brought back to where it ends."""
    found = []
    count = max(len(pieces), 1)
    for place, piece in enumerate(pieces):
        last = len(piece) - 1
        moved_ = []
        for spot, (x, y, z) in enumerate(piece):
            share = (place + spot / last) / count
            moved_.append((x, y, z - by * share))
        found.append(tuple(moved_))
    return found


def _quarter(
    middle: XYZ, u: Sequence[float], v: Sequence[float], quarter: int, deep: float, rise: float
) -> Curve:
    """A quarter of a loop that leaves `middle` along u and turns towards v, nearer to the eye at
    its end.
    """
    turns = ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))
    (p, q), (r, s) = turns[quarter], turns[quarter + 1]
    spots = (
        (p, q, 0.0),
        (p + _ROUND * r, q + _ROUND * s, 1 / 3),
        (r + _ROUND * p, s + _ROUND * q, 2 / 3),
        (r, s, 1.0),
    )
    found = []
    for along_u, along_v, share in spots:
        out = along_v + 1
        x, y, z = (
            middle[axis] + _LOOP_RADIUS * (along_u * u[axis] + out * v[axis]) for axis in (0, 1, 2)
        )
        found.append((x, y, z + deep + rise * (quarter + share)))
    return tuple(found)


def raised_screws(eye: Eye, prefix: str, parts: Parts, flaws: Sequence[SeenFlaw]) -> list[Body]:
    """A screw that was not tightened stands out of its recess; a bonding screw is in its bar."""
    found = []
    for flaw in flaws:
        if flaw.flaw == "bonding-screw-in":
            bar = next((each for each in parts.bars if each.name == flaw.of), None)
            if bar is not None:
                found.append(_bonding_screw(eye, prefix, bar.name, bar.box))
        spot = parts.spots.get(flaw.of) if flaw.flaw == "screw-not-tight" else None
        device = next((d for d in parts.devices if flaw.of.startswith(f"{d.name}.")), None)
        if spot is None or device is None:
            continue
        x, y = spot.at[:2]
        low, high = device.body.high[2], device.body.high[2] + _STANDS_OUT
        radius = 2.4
        svg = cylinder_svg(eye, 2, (x, y, low), (x, y, high), radius, "z")
        svg += symbol_at(eye, prefix, "screw", (x, y, high))
        box = Solid((x - radius, y - radius, low), (x + radius, y + radius, high))
        found.append(Body(device.name, box, svg))
    return found


def _bonding_screw(eye: Eye, prefix: str, name: str, box: Solid) -> Body:
    """A green head beside the first clamp of the bar."""
    upright = box.size(1) > box.size(0)
    x = box.middle(0) if upright else box.low[0] + 4
    y = box.low[1] + 4 if upright else box.middle(1)
    high = box.high[2] + 4
    svg = cylinder_svg(eye, 2, (x, y, box.high[2]), (x, y, high), 3.6, "z")
    svg += disc(eye, 2, (x, y, high), 3.6, "ze zgreen")
    svg += symbol_at(eye, prefix, "cross", (x, y, high))
    return Body(name, Solid((x - 3.6, y - 3.6, box.high[2]), (x + 3.6, y + 3.6, high)), svg)


def separate_bodies(
    eye: Eye, parts: Parts, opening: WallOpening, cores: Sequence[Laid]
) -> list[Body]:
    """A bush of its own round each core, inside and outside the wall."""
    side, axis = opening.side, AXES[opening.side]
    name, found = f"opening.{opening.name}", []
    wall = drawn_wall(parts)
    inner = inside_wall(parts, opening)
    for laid in cores:
        end = min((laid.points[0], laid.points[-1]), key=lambda each: dist(each, opening.at))
        centre = [*end]
        centre[axis] = inner[axis]
        at = centre[0], centre[1], centre[2]
        bore = laid.diameter_mm / 2
        for one, out in ((at, -2.0), (moved(at, side, wall), 2.0)):
            rim = moved(one, side, out)
            low = [
                min(p, q) - (0 if n == axis else bore + 1.6)
                for n, (p, q) in enumerate(zip(one, rim))
            ]
            high = [
                max(p, q) + (0 if n == axis else bore + 1.6)
                for n, (p, q) in enumerate(zip(one, rim))
            ]
            box = Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))
            svg = cylinder_svg(eye, axis, one, rim, bore + 1.6, "k", bore)
            near = max(one, rim, key=eye.nearness)[axis]
            found.append(Body(name, box, svg, bore=(axis, near)))
    return found
