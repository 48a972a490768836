"""Drawing, pictures for the hands: what every one of them is drawn with: bodies, bodies cut open,
conductors, measures, arrows and words with a leader.

One unit is one CSS pixel at the natural width of a sheet, y runs down. Whatever is cut open is
hatched, as ISO 128 has it for a section.
"""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from math import cos, hypot, pi, sin

from firstway.drawing.ink import CONDUCTOR_INKS
from firstway.drawing.line_styles import arrow_head
from firstway.drawing.sheet import (
    FINE,
    HAIR,
    LINE,
    Box,
    Disc,
    Drawable,
    Lettering,
    Point,
    Ref,
    Strands,
    Stroke,
)
from firstway.drawing.text_width import reserved_width
from firstway.frozen import dataclass

Drawables = tuple[Drawable, ...]

TEXT_SIZE = 13.0
"""Size of words: not under 9 px where a sheet of 400 units is shown 300 px wide."""
TEXT_STEP = 15.0
_HATCH = 6.0
_OUTLINE = 2.0  # how much wider than the body the dark line under a conductor is


@dataclass(frozen=True)
class Scale:
    """Where millimetres lie on the paper: (0, 0) mm at (x, y), and how many units a mm takes."""

    x: float
    y: float
    per_mm: float

    def at(self, x_mm: float, y_mm: float) -> Point:
        """A place in mm on the paper."""
        return self.x + x_mm * self.per_mm, self.y + y_mm * self.per_mm

    def path(self, *points_mm: Point) -> tuple[Point, ...]:
        """Several places."""
        return tuple(self.at(*each) for each in points_mm)

    def block(self, x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
        """The corners of a rectangle from (x0, y0) to (x1, y1) mm."""
        return self.path((x0, y0), (x1, y0), (x1, y1), (x0, y1))


# ---- bodies


def body(points: Sequence[Point], tone: str, line: float = LINE, bend: float = 0.0) -> Stroke:
    """A filled shape with a dark outline."""
    return Stroke(tuple(points), "zline", line, fill=tone, closed=True, round=bend)


def cut(points: Sequence[Point], tone: str, lean: int = 1, step: float = _HATCH) -> Drawables:
    """A body cut open: its shape, hatched. Bodies that touch lean to different sides (1, -1)."""
    return body(points, tone), *hatching(points, lean, step)


def hatching(points: Sequence[Point], lean: int = 1, step: float = _HATCH) -> Drawables:
    """Slanting lines inside a closed shape."""
    sides = list(zip(points, [*points[1:], points[0]]))
    sums = [x + lean * y for x, y in points]
    pieces: list[tuple[Point, ...]] = []
    at = (min(sums) // step + 1) * step
    while at < max(sums):
        meets = sorted(_crossings(sides, lean, at))
        pieces += [(one, other) for one, other in zip(meets[::2], meets[1::2]) if one != other]
        at += step
    if not pieces:
        return ()
    return (Strands(pieces[0], (("zline", FINE, ""),), more=tuple(pieces[1:])),)


def _crossings(sides: Iterable[tuple[Point, Point]], lean: int, at: float) -> Iterable[Point]:
    for (x0, y0), (x1, y1) in sides:
        one, other = x0 + lean * y0 - at, x1 + lean * y1 - at
        if (one < 0) != (other < 0):
            share = one / (one - other)
            yield x0 + (x1 - x0) * share, y0 + (y1 - y0) * share


def arc_points(x: float, y: float, rx: float, ry: float, first: float, last: float) -> list[Point]:
    """Points of an arc from `first` to `last` degrees, 0 to the right, 90 down."""
    number = max(2, round(abs(last - first) / 18))
    angles = [(first + (last - first) * place / number) * pi / 180 for place in range(number + 1)]
    return [(x + rx * cos(angle), y + ry * sin(angle)) for angle in angles]


def edge_line(*points: Point, width: float = HAIR, ink: str = "zline", bend: float = 0.0) -> Stroke:
    """A line of a body."""
    return Stroke(points, ink, width, round=bend)


def lines(pieces: Sequence[tuple[Point, ...]], width: float = FINE, ink: str = "zline") -> Strands:
    """Several lines in one path."""
    return Strands(pieces[0], ((ink, width, ""),), more=tuple(pieces[1:]))


def conductor(points: Sequence[Point], width: float, colour: str, bend: float = 0.0) -> Strands:
    """An insulated conductor of that colour seen from outside: dark line, body, stripe."""
    first, *stripe = CONDUCTOR_INKS[colour]
    layers = [("zline", width + _OUTLINE, ""), (first, width, "")]
    layers += [(each, round(width * 0.36, 1), "") for each in stripe]
    return Strands(tuple(points), tuple(layers), bend)


def strands_across(at: Scale, x_mm: float, y_mm: float, wide_mm: float) -> Drawables:
    """A bare conductor of seven strands cut across, `wide_mm` over all of them."""
    each = wide_mm / 6 * at.per_mm
    x, y = at.at(x_mm, y_mm)
    round_it = [(x + 2 * each * cos(turn * pi / 3), y + 2 * each * sin(turn * pi / 3))
                for turn in range(6)]  # fmt: skip
    return tuple(Disc(a, b, each, "zline", FINE, "zc1") for a, b in ((x, y), *round_it))


def screw(x: float, top: float, tip: float, head: float, thread: float, turns: float) -> Drawables:
    """A screw seen from the side: `head` and `thread` are widths, `turns` from ridge to ridge."""
    tall = head * 0.5
    h, t = head / 2, thread / 2
    rises = int((tip - top - tall - 3) // turns)
    ridges = [
        ((x - t, top + tall + 3 + turns * each), (x + t, top + tall + 1 + turns * each))
        for each in range(max(1, rises))
    ]
    return (
        Box(x - t, top + tall, thread, tip - top - tall, "zline", HAIR, "zz1"),
        lines(ridges),
        body(
            [(x - h, top + tall), (x - h, top + 3), (x - h + 3, top), (x + h - 3, top)]
            + [(x + h, top + 3), (x + h, top + tall)],
            "zz2",
        ),
        Box(x - 2.5, top, 5, tall * 0.55, "", 0, "zhole"),
    )


# ---- arrows and measures


def broad_arrow(start: Point, end: Point, width: float = 7.0) -> Stroke:
    """A force or a movement: a broad arrow in the ink of marks."""
    long = hypot(end[0] - start[0], end[1] - start[1])
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    neck = long - width * 1.4

    def at(along: float, aside: float) -> Point:
        return start[0] + ux * along - uy * aside, start[1] + uy * along + ux * aside

    third = width * 0.4
    points = (at(0, third), at(neck, third), at(neck, width), at(long, 0))
    return Stroke(
        (*points, at(neck, -width), at(neck, -third), at(0, -third)),
        "paper",
        HAIR,
        fill="mark",
        closed=True,
    )


def turning(points: Sequence[Point]) -> Drawables:
    """A turn or a field that circles: its course with a head at its end, on a band of paper."""
    layers = (("paper", 4.0, ""), ("mark", LINE, ""))
    (x0, y0), (x, y) = points[-2:]
    long = hypot(x - x0, y - y0)
    ux, uy = (x - x0) / long, (y - y0) / long
    head = (
        (x + 7 * ux, y + 7 * uy),
        (x - 3 * ux - 6 * uy, y - 3 * uy + 6 * ux),
        (x - 3 * ux + 6 * uy, y - 3 * uy - 6 * ux),
    )
    return Strands(tuple(points), layers), Stroke(head, "paper", HAIR, fill="mark", closed=True)


def measure(start: Point, end: Point, reach: float = 5.0) -> Drawables:
    """A measured length: a line with a head at each end, between two short rules across it."""
    long = hypot(end[0] - start[0], end[1] - start[1])
    px, py = -(end[1] - start[1]) / long * reach, (end[0] - start[0]) / long * reach
    return (
        Stroke((start, end), width=HAIR),
        *(Stroke(((x - px, y - py), (x + px, y + py)), width=HAIR) for x, y in (start, end)),
        arrow_head(end, start, long=6.0),
        arrow_head(start, end, long=6.0),
    )


# ---- words


def words(x: float, y: float, text: str, anchor: str = "start", bold: bool = True) -> Drawables:
    """Lines of text, parted by `|`, the first of them bold; `y` is the first one's baseline."""
    return tuple(
        Lettering(x, y + TEXT_STEP * place, each, TEXT_SIZE, anchor, bold and place == 0)
        for place, each in enumerate(text.split("|"))
    )


def call(
    x: float, y: float, text: str, to: Point, anchor: str = "start", bold: bool = True
) -> Drawables:
    """Words with a leader from their edge to a place, where it ends in a dot."""
    rows = text.split("|")
    wide = max(reserved_width(row, TEXT_SIZE, bold and not place) for place, row in enumerate(rows))
    left = {"start": x, "end": x - wide, "middle": x - wide / 2}[anchor]
    top, low = y - 0.78 * TEXT_SIZE, y + TEXT_STEP * (len(rows) - 1) + 0.28 * TEXT_SIZE
    if left <= to[0] <= left + wide:
        start = to[0], top - 2 if to[1] < top else low + 2
    else:
        start = (left - 3 if to[0] < left else left + wide + 2), (top + low) / 2
    return (
        *words(x, y, text, anchor, bold),
        Stroke((start, to), width=HAIR),
        Disc(*to, 2.2, "", 0, "ink"),
    )


def sign(x: float, y: float, right: bool) -> Drawable:
    """A tick, or a cross: beside the word, never alone. (x, y) is the middle."""
    if right:
        return Stroke(((x - 5, y), (x - 1.5, y + 4), (x + 5, y - 5)), "ink", LINE)
    arms = (((x - 4, y - 4), (x + 4, y + 4)), ((x - 4, y + 4), (x + 4, y - 4)))
    return lines(arms, LINE, "mark")


def ring(x: float, y: float, radius: float) -> Strands:
    """A broken ring round what is wrong, on a band of paper so that it is seen on any body."""
    points = tuple(
        (x + radius * cos(pi * turn / 8), y + radius * sin(pi * turn / 8)) for turn in range(17)
    )
    return Strands(points, (("paper", 4.0, ""), ("mark", LINE, "4 2.5")))


# ---- moving


def moved_by(item: Drawable, dx: float, dy: float) -> Drawable:
    """The same thing elsewhere."""

    def all_of(points: Iterable[Point]) -> tuple[Point, ...]:
        return tuple((x + dx, y + dy) for x, y in points)

    if isinstance(item, Stroke):
        return replace(item, points=all_of(item.points))
    if isinstance(item, Strands):
        return replace(item, points=all_of(item.points), more=tuple(map(all_of, item.more)))
    assert not isinstance(item, Ref) or item.shape
    return replace(item, x=item.x + dx, y=item.y + dy)
