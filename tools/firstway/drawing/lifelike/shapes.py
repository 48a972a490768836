"""Lifelike view: bodies as SVG in three tones, by the eye's matrix: boxes, discs on a plane,
cylinders along an axis, words on a face.

Classes begin with z: materials (`zw1`, light in front, 2 on top, 3 at the side) and weights of
lines (`zo` outline, `ze` edge, `zd` detail); `ink.py` gives them their colours.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import atan2, cos, degrees, hypot, radians, sin, sqrt

from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.eye import Eye, corners
from firstway.drawing.painted import ASCENT, DESCENT
from firstway.drawing.sheet import SMALLEST, Point
from firstway.drawing.svg import shape, svg_number
from firstway.drawing.text_width import reserved_width, text_width
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ, Parts, Solid
from firstway.rendering.html import Markup

ON_FACE = SMALLEST * 1.07
"""Size of a text laid on the front of a part, so that it is not lower than the least when the face
is tipped."""
AXES = {"left": 0, "right": 0, "top": 1, "bottom": 1, "back": 2}
"""The axis a side's wall is square to."""


_WALL = 2.0  # mm; as thick as a wall is drawn at least


def drawn_wall(parts: Parts) -> float:
    """How thick a wall is drawn, in mm."""
    return max(parts.inner.low[0], _WALL)


@dataclass(frozen=True)
class Body:
    """Something that is drawn in one go: the room it takes, its strokes, and where its words stand
    on the paper. `name` is its group in the drawing, `upon` are groups that lie on it.

    What conductors pass through has a `bore`: the axis, and the plane of the end that looks at the
    eye. What of a conductor is on the eye's side of that is in front, the rest behind.
    """

    name: str
    box: Solid
    svg: Markup
    texts: tuple[Bounds, ...] = ()
    bore: tuple[int, float] | None = None
    upon: tuple[tuple[str, Markup], ...] = ()


def _figures(tenths: Iterable[int]) -> str:
    """Figures given in tenths, as close together as a path may hold them."""
    text = ""
    for each in tenths:
        whole, rest = divmod(abs(each), 10)
        figure = f"{whole or ''}.{rest}" if rest else str(whole)
        text += ("-" if each < 0 else " " if text else "") + figure
    return text


def path_data(points: Iterable[Point], closed: bool = True) -> str:
    """The path through points on the paper: to the first, and on by steps, which are shorter."""
    tenths = [(round(x * 10), round(y * 10)) for x, y in points]
    steps = [each for (x, y), (a, b) in zip(tenths, tenths[1:]) for each in (a - x, b - y)]
    return f"M{_figures(tenths[0])}l{_figures(steps)}{'z' if closed else ''}"


def curve_data(start: Point, curves: Sequence[Sequence[Point]]) -> str:
    """The same through straights (one point each) and bends (three: two to draw it, its end)."""
    x, y = round(start[0] * 10), round(start[1] * 10)
    text = f"M{_figures((x, y))}"
    for curve in curves:
        tenths = [(round(a * 10), round(b * 10)) for a, b in curve]
        text += "c" if len(curve) == 3 else "l"
        text += _figures(each for a, b in tenths for each in (a - x, b - y))
        x, y = tenths[-1]
    return text


def flat(eye: Eye, points: Iterable[XYZ], look: str, closed: bool = True) -> Markup:
    """A flat shape, or a line, through points in mm."""
    return shape("path", class_=look, d=path_data(map(eye.at, points), closed))


def front_box(eye: Eye, x0: float, y0: float, x1: float, y1: float, z: float, look: str) -> Markup:
    """A rectangle that faces the front."""
    return flat(eye, ((x0, y0, z), (x1, y0, z), (x1, y1, z), (x0, y1, z)), look)


def solid_svg(eye: Eye, box: Solid, tone: str, outline: str = "zo", edge: str = "ze") -> Markup:
    """The six-sided outline in one stroke, the two other faces laid over it."""
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    near, far = (x1, x0) if eye.side > 0 else (x0, x1)
    around = (
        (far, y0, z0),
        (near, y0, z0),
        (near, y1, z0),
        (near, y1, z1),
        (far, y1, z1),
        (far, y0, z1),
    )
    top = (far, y0, z0), (near, y0, z0), (near, y0, z1), (far, y0, z1)
    beside = (near, y0, z0), (near, y1, z0), (near, y1, z1), (near, y0, z1)
    return (
        flat(eye, around, f"{outline} z{tone}1")
        + flat(eye, top, f"{edge} z{tone}2")
        + flat(eye, beside, f"{edge} z{tone}3")
    )


def paper_bounds(eye: Eye, box: Solid) -> Bounds:
    """What a body covers on the paper, as a rectangle."""
    points = [eye.at(corner) for corner in corners(box)]
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


# Round things


@dataclass(frozen=True)
class Oval:
    """A circle seen aslant: its two half axes in units, and the turn of the first in degrees."""

    long: float
    short: float
    turn: float

    @property
    def arc(self) -> str:
        """The beginning of an arc command."""
        return f"A{svg_number(self.long)} {svg_number(self.short)} {svg_number(self.turn)}"


def _spokes(eye: Eye, axis: int, radius: float) -> tuple[Point, Point]:
    """Two radii at right angles of a circle that is square to an axis."""
    units = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    one, other = (eye.step(*units[each]) for each in (0, 1, 2) if each != axis)
    return (one[0] * radius, one[1] * radius), (other[0] * radius, other[1] * radius)


def oval(eye: Eye, axis: int, radius: float) -> Oval:
    """A circle square to an axis, from two conjugate radii by the usual construction."""
    (ax, ay), (bx, by) = _spokes(eye, axis, radius)
    a, b, c = ax * ax + bx * bx, ax * ay + bx * by, ay * ay + by * by
    middle, spread = (a + c) / 2, hypot((a - c) / 2, b)
    turn = 0.5 * atan2(2 * b, a - c)
    return Oval(sqrt(middle + spread), sqrt(max(middle - spread, 0.0)), degrees(turn))


def disc(eye: Eye, axis: int, centre: XYZ, radius: float, look: str) -> Markup:
    """A round plate, hole or cap that is square to an axis."""
    x, y = eye.at(centre)
    round_ = oval(eye, axis, radius)
    turn = radians(round_.turn)
    dx, dy = round_.long * cos(turn), round_.long * sin(turn)
    one, other = f"{svg_number(x - dx)} {svg_number(y - dy)}", f"{svg_number(x + dx)} "
    other += svg_number(y + dy)
    arc = round_.arc
    return shape("path", class_=look, d=f"M{one}{arc} 1 0 {other}{arc} 1 0 {one}Z")


def cylinder_svg(
    eye: Eye, axis: int, one: XYZ, other: XYZ, radius: float, tone: str, bore: float = 0.0
) -> Markup:
    """A round body between the middles of its ends, along an axis; the end that looks at the eye
    is closed, with a hole of radius `bore`.
    """
    towards, away = sorted((one, other), key=eye.nearness, reverse=True)
    a, b = _spokes(eye, axis, radius)
    p, q = eye.at(towards), eye.at(away)
    along = q[0] - p[0], q[1] - p[1]
    at = atan2(b[0] * along[1] - b[1] * along[0], a[0] * along[1] - a[1] * along[0])
    out = cos(at) * a[0] + sin(at) * b[0], cos(at) * a[1] + sin(at) * b[1]
    # the half of the far rim that shows is on the side away from the near end
    turned = out[0] * along[1] - out[1] * along[0]
    if turned < 0:
        out = -out[0], -out[1]
    arc = oval(eye, axis, radius).arc

    def spot(end: Point, share: float) -> str:
        return f"{svg_number(end[0] + out[0] * share)} {svg_number(end[1] + out[1] * share)}"

    mantle = f"M{spot(p, 1)}L{spot(q, 1)}{arc} 0 1 {spot(q, -1)}L{spot(p, -1)}Z"
    lit = -1 if out[0] > 0 else 1  # light comes from the left
    inset = -lit * 0.3
    shade = (
        f"M{spot(p, -lit)}L{spot(q, -lit)}L{spot(q, inset)}L{spot(p, inset)}Z"
        if abs(along[0]) + abs(along[1]) > 1
        else ""
    )
    text = shape("path", class_=f"zo z{tone}2", d=mantle)
    text += shape("path", class_=f"zx z{tone}3", d=shade) if shade else Markup()
    text += disc(eye, axis, towards, radius, f"ze z{tone}1")
    return text + (disc(eye, axis, towards, bore, "ze zhole") if bore else Markup())


# Words on a face


def _width(words: str, size: float) -> float:
    return 1.06 * text_width(words, size, True)


def words_mm(eye: Eye, words: str) -> tuple[float, float]:
    """How wide and high a word on a front is, in mm: height of capitals."""
    return _width(words, ON_FACE) / eye.scale, 0.72 * ON_FACE / eye.scale


def on_front(eye: Eye, middle: XYZ, words: str) -> tuple[Markup, Bounds]:
    """A word laid on a front, about its middle; and what it covers on the paper."""
    x, y = eye.at(middle)
    a, b = eye.right[0] / eye.scale, eye.down[0] / eye.scale
    d = eye.down[1] / eye.scale
    low = 0.36 * ON_FACE * d
    first = " ".join(f"{each:.2f}".replace("0.", ".", 1) for each in (a, b))
    matrix = f"matrix({first} 0 .{round(d * 100)} {svg_number(x)} {svg_number(y + low)})"
    half = _width(words, ON_FACE) / 2 * a
    lean = abs(half * b / a)
    text = shape("text", words, class_="zf", transform=matrix)
    return text, (
        x - half,
        y + low - 0.74 * ON_FACE * d - lean,
        x + half,
        y + low + 0.04 * ON_FACE + lean,
    )


def word_bounds(x: float, y: float, words: str, bold: bool, anchor: str) -> Bounds:
    """What a word in the margin covers."""
    wide = reserved_width(words, SMALLEST, bold)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
    return left, y - ASCENT * SMALLEST, left + wide, y + DESCENT * SMALLEST


def around_points(points: Sequence[Point]) -> Bounds:
    """The rectangle round points on the paper."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)
