"""Lifelike view: the laid conductors as tubes: cut where they enter a part, led through their
openings and cut a little beyond the wall; and how a tube is painted.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import dist, fsum

from firstway.drawing.ink import CONDUCTOR_INKS
from firstway.drawing.lifelike.entries import beyond_of, moved, nut_inside, rims_of
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.lines import Curve, Tube, bent, cut_at, shortened, spot_on
from firstway.drawing.lifelike.metalwork import lug_box
from firstway.drawing.lifelike.shapes import AXES, curve_data, disc, drawn_wall
from firstway.drawing.sheet import Point
from firstway.drawing.svg import shape, svg_number
from firstway.layout.entries import opening_for
from firstway.layout.plan import OUT, Laid, Parts, Side, Solid, WallOpening
from firstway.rendering.html import Markup, joined
from firstway.wiring.graph import Conductor

OUTLINE = 1.9
"""Units by which the dark line under a tube is wider than the tube."""
# The light along a tube differs with its colour: brown and blue are nearly one grey.
_LIGHT: dict[str, tuple[float, float]] = {
    "blue": (0.42, 0.18),
    "brown": (0.11, 0.27),
    "green": (0.12, 0.32),
    "black": (0.14, 0.25),
}


def tubes_of(
    eye: Eye,
    parts: Parts,
    laid: Sequence[Laid],
    conductors: Mapping[str, Conductor],
    cables: frozenset[str],
) -> tuple[Tube, ...]:
    """A tube for each conductor that is no piece of a bar; `cables` come through their opening in
    one sheath.
    """
    return tuple(
        _tube(eye, parts, each, conductors[each.id], cables)
        for each in laid
        if conductors[each.id].kind != "bar" and each.diameter_mm > 0
    )


def _tube(eye: Eye, parts: Parts, laid: Laid, conductor: Conductor, cables: frozenset[str]) -> Tube:
    curves: tuple[Curve, ...] = bent(laid.points, laid.bend_mm)
    free, entry = [False, False], ""
    for place, terminal in enumerate((conductor.start, conductor.end)):
        last = bool(place)
        spot = parts.spots.get(terminal)
        if spot is not None:
            face = _body_at(parts, terminal)
            if face is not None:
                curves = _outside(curves, face, spot.out, last)
            continue
        opening = parts.opening(opening_for(conductor, parts.openings))
        if opening is not None and not (conductor.kind == "armour" and opening.bolt):
            curves, free[place] = _through(eye, parts, curves, opening, cables, last)
            if last and opening.name in cables:
                entry = opening.name
    opening = parts.opening(opening_for(conductor, parts.openings))
    rims = rims_of(eye, parts, opening) if opening is not None else ()
    for axis, value in (*_walls(parts), *rims):
        curves = cut_at(curves, axis, value)
    if len(rims) == 2 and conductor.cable not in cables:
        curves = _without_the_bore(curves, rims)
    inks = CONDUCTOR_INKS.get(
        conductor.colour, ("grey" if conductor.kind == "armour" else "white",)
    )
    return Tube(
        f"wire.{laid.id}",
        laid.diameter_mm / 2,
        inks,
        "" if conductor.kind == "armour" else conductor.function,
        shortened(curves),
        (free[0], free[1]),
        entry,
    )


def _without_the_bore(
    curves: Sequence[Curve], rims: Sequence[tuple[int, float]]
) -> tuple[Curve, ...]:
    """Without what lies in a bush, where nobody sees it."""
    axis = rims[0][0]
    low, high = sorted(value for _, value in rims)
    return tuple(each for each in curves if not low < spot_on(each, 0.5)[axis] < high)


def _walls(parts: Parts) -> tuple[tuple[int, float], ...]:
    """The planes of walls that tubes may pass."""
    wall = drawn_wall(parts)
    return tuple(
        (axis, value)
        for axis in (0, 1)
        for edge, inward in ((parts.outer.low[axis], 1), (parts.outer.high[axis], -1))
        for value in (edge, edge + inward * wall)
    )


def _body_at(parts: Parts, terminal: str) -> Solid | None:
    """The body a terminal lies in."""
    for device in parts.devices:
        if terminal.startswith(f"{device.name}."):
            return device.body
    for bar in parts.bars:
        if terminal.startswith(f"{bar.name}."):
            return bar.box
    return lug_box(parts, terminal) if terminal.endswith(".lugs") else None


def _outside(curves: Sequence[Curve], box: Solid, side: Side, last: bool) -> tuple[Curve, ...]:
    """Without what lies inside the body it ends in."""
    axis, out = AXES[side], OUT[side]
    value = box.high[axis] if out[axis] > 0 else box.low[axis]
    found = list(cut_at(curves, axis, value))
    while len(found) > 1 and (spot_on(found[-last], 0.5)[axis] - value) * out[axis] < -1e-6:
        found.pop(-last)
    return tuple(found)


def _through(
    eye: Eye,
    parts: Parts,
    curves: tuple[Curve, ...],
    opening: WallOpening,
    cables: frozenset[str],
    last: bool,
) -> tuple[tuple[Curve, ...], bool]:
    """On through the wall to where it is cut, or up to the nut of its cable; and whether it ends
    free outside.
    """
    side, axis = opening.side, AXES[opening.side]
    if opening.name in cables and side != "back":
        value = nut_inside(parts, opening)[1][axis]
        found = list(cut_at(curves, axis, value))
        while (
            len(found) > 1 and (spot_on(found[-last], 0.5)[axis] - value) * OUT[side][axis] > 1e-6
        ):
            found.pop(-last)
        return tuple(found), False
    if side == "back":
        return curves, False
    end = curves[-1][-1] if last else curves[0][0]
    cut = moved(end, side, beyond_of(eye, side, parts))
    return ((*curves, (end, cut)) if last else ((cut, end), *curves)), True


# How a tube is painted


def run_data(eye: Eye, tube: Tube, first: int, last: int) -> str:
    """The path of neighbouring pieces; a little under the run before, so that no joint shows."""
    curves = [[eye.at(each) for each in curve] for curve in tube.pieces[first : last + 1]]
    start, steps = curves[0][0], [curve[1:] for curve in curves]
    if _goes_on(tube, first - 1):
        steps.insert(0, [start])
        start = _towards(start, eye.at(tube.pieces[first - 1][-2]))
    if _goes_on(tube, last):
        steps.append([_towards(curves[-1][-1], eye.at(tube.pieces[last + 1][1]))])
    return curve_data(start, steps)


def _goes_on(tube: Tube, place: int) -> bool:
    """Whether a piece and the next are one stretch: between them nothing was left out."""
    return (
        0 <= place < len(tube.pieces) - 1
        and dist(tube.pieces[place][-1], tube.pieces[place + 1][0]) < 0.01
    )


def runs_of(tube: Tube, places: Sequence[int]) -> list[tuple[int, int]]:
    """Pieces that go on from each other, as the first and last of each run."""
    found: list[tuple[int, int]] = []
    for place in sorted(places):
        if found and place == found[-1][1] + 1 and _goes_on(tube, found[-1][1]):
            found[-1] = (found[-1][0], place)
        else:
            found.append((place, place))
    return found


_UNDER = 1.2  # units a run goes on under its neighbour


def _towards(point: Point, other: Point) -> Point:
    long = dist(point, other) or 1.0
    share = _UNDER / long
    return point[0] + (other[0] - point[0]) * share, point[1] + (other[1] - point[1]) * share


def _outline_dash(eye: Eye, tube: Tube, first: int, last: int) -> str | None:
    """The outline of a run ends before its body where it goes on: else its dark end shows."""
    before, after = _goes_on(tube, first - 1), _goes_on(tube, last)
    if not before and not after:
        return None
    long = (before + after) * _UNDER
    for curve in tube.pieces[first : last + 1]:
        number = 1 if len(curve) == 2 else 6
        points = [eye.at(spot_on(curve, place / number)) for place in range(number + 1)]
        long += fsum(dist(a, b) for a, b in zip(points, points[1:]))
    gap = _UNDER * before
    line = long - (before + after) * _UNDER
    return f"0 {svg_number(gap)} {svg_number(line)} 999"


def run_svg(eye: Eye, tube: Tube, name: str, first: int, last: int) -> Markup:
    """Outline, body, stripe and light on one path, and the cut face of an end outside."""
    wide = 2 * tube.radius * eye.scale
    body = tube.inks[0]
    before, after = _ends(eye, tube, first, last)
    path = shape("path", id=name, d=run_data(eye, tube, first, last))
    dash = _outline_dash(eye, tube, first, last)
    share, lift = _LIGHT.get(body, (0.24, 0.22))
    on_both_sides = _goes_on(tube, first - 1) and _goes_on(tube, last)
    again = f"#{name}"
    stripe = [
        shape("use", href=again, class_=f"y{ink}", stroke_width=wide * 0.36)
        for ink in tube.inks[1:]
    ]
    light = shape(
        "use",
        href=again,
        class_=f"y{body}-l",
        stroke_linecap="square" if on_both_sides else None,
        stroke_width=max(wide * share, 0.6),
        transform=f"translate({svg_number(-wide * lift * 0.6)} {svg_number(-wide * lift)})",
    )
    return joined(
        (
            before,
            shape("g", path, stroke_width=wide + OUTLINE, stroke_dasharray=dash),
            shape("use", href=again, class_=f"y{body}", stroke_width=wide),
            *stripe,
            light,
            after,
        )
    )


def _ends(eye: Eye, tube: Tube, first: int, last: int) -> tuple[Markup, Markup]:
    """The cut faces of a run: before its strokes where they look away, after them where they look
    at the eye.
    """
    before = after = Markup()
    for free, place, end, inner in (
        (tube.free[0], 0, tube.pieces[0][0], tube.pieces[0][-1]),
        (tube.free[1], len(tube.pieces) - 1, tube.pieces[-1][-1], tube.pieces[-1][0]),
    ):
        if not free or not first <= place <= last:
            continue
        axis = max((0, 1, 2), key=lambda each: abs(end[each] - inner[each]))
        if eye.nearness(end) > eye.nearness(inner):
            after += disc(eye, axis, end, tube.radius, f"zd z{tube.inks[0]}")
            after += disc(eye, axis, end, tube.radius * 0.62, "zd zc1")
        else:
            before += disc(eye, axis, end, tube.radius, f"zo z{tube.inks[0]}")
    return before, after
