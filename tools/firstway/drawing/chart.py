"""Drawing: line charts: axes, lines told apart by dash and letter, levels to compare with; values
in, a sheet out.

It knows no topic: waves, time-current curves and drop against length are all lines over an axis. An
axis may be logarithmic. Each line bears its letter at its highest place and the same letter in the
key under the chart, so grey print and an eye that sees no colours lose nothing. One unit is one CSS
pixel at the natural width.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from firstway.drawing.sheet import HAIR, LINE, Box, Drawable, Group, Lettering, Point, Sheet, Stroke
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import reserved_width, wrapped

_WIDTH, PLOT_HEIGHT = 440.0, 230.0
_LEFT, _RIGHT, _TOP = 58.0, 14.0, 30.0
TEXT, _ROW = 12.0, 17.0
DASHES = ("", "7 4", "2 3", "12 3 2 3", "1 4", "9 3 2 3 2 3")
_LETTERS = "ABCDEFGH"
LEVEL_DASH = "4 3"
SAMPLE = 34.0  # length of a dash sample in the key
_NEAR = 0.35  # a point of a line nearer than this to its neighbours' chord is left out


@dataclass(frozen=True)
class Axis:
    """`title` holds the unit, such as `time in µs`. A logarithmic axis starts above zero."""

    title: str
    low: float
    high: float
    logarithmic: bool = False


@dataclass(frozen=True)
class ChartLine:
    """Points (x, y) in rising x. `words` say in the key what it is."""

    words: str
    points: Sequence[Point]
    ink: str = "ink"


@dataclass(frozen=True)
class ChartLevel:
    """A value of y to compare with, drawn across the chart with its words on it."""

    value: float
    words: str


@dataclass(frozen=True)
class Chart:
    """`description` is the alternative text: what a reader who cannot see it must know."""

    title: str
    description: str
    x: Axis
    y: Axis
    lines: tuple[ChartLine, ...]
    levels: tuple[ChartLevel, ...] = ()
    note: str = ""
    band: tuple[Point, ...] = ()  # outline of a shaded region between two lines


def chart(what: Chart, prefix: str) -> Drawn:
    """The chart as a drawing for a page."""
    return drawn_from(laid_out(what), prefix)


def laid_out(what: Chart) -> Sheet:
    """The chart as a sheet: plot, levels, lines, key and note from top to bottom."""
    places = _level_places(what)
    key, after = _key(what, _TOP + PLOT_HEIGHT + 46, places)
    note = wrapped(what.note, TEXT, _WIDTH - 16) if what.note else ()
    lines = tuple(
        Lettering(8, after + 6 + _ROW * index + TEXT, words, TEXT, ink="soft")
        for index, words in enumerate(note)
    )
    shade = (
        (Stroke(tuple(_place(what, point) for point in what.band), "none", 0, "", "panel", True),)
        if what.band
        else ()
    )
    groups = [
        *([Group("band", shade, classes="band")] if shade else []),
        Group("axes", tuple(_axes(what)), classes="axes"),
        Group("levels", tuple(_levels(what)), classes="levels"),
    ]
    taken: list[Point] = []
    letters: list[
        Drawable
    ] = []  # painted after every line, or the next line would run through them
    for index, line in enumerate(what.lines):
        along = [_place(what, point) for point in _inside(what, line.points)]
        if along:
            stroke = Stroke(tuple(simplified(along)), line.ink, LINE, DASHES[index % len(DASHES)])
            groups.append(Group(f"line-{_LETTERS[index].lower()}", (stroke,), line.words, "line"))
            letters += _letter(along, index, taken)
    groups.append(Group("level-words", tuple(_level_words(what, places)), classes="levels"))
    groups.append(Group("letters", tuple(letters), classes="letters"))
    groups.append(Group("key", tuple(key), classes="key"))
    if lines:
        groups.append(Group("note", lines, classes="note"))
    height = after + (_ROW * len(note) + 12 if note else 4)
    return Sheet(_WIDTH, height, tuple(groups), what.title, what.description, "chart")


def ticks(axis: Axis, about: int = 6) -> tuple[float, ...]:
    """Round values inside an axis: 1, 2 or 5 times a power of ten apart; on a logarithmic axis each
    decade, with 2 and 5 of it where there are few.

    >>> ticks(Axis("", 0, 10))
    (0, 2, 4, 6, 8, 10)
    """
    if axis.logarithmic:
        decades = range(math.floor(math.log10(axis.low)), math.ceil(math.log10(axis.high)) + 1)
        few = axis.high < axis.low * 1000
        steps = (1.0, 2.0, 5.0) if few else (1.0,)
        return tuple(
            value
            for decade in decades
            for value in (step * 10.0**decade for step in steps)
            if axis.low * (1 - 1e-9) <= value <= axis.high * (1 + 1e-9)
        )
    rough = (axis.high - axis.low) / about
    power = 10 ** math.floor(math.log10(rough))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough * 0.999)
    first = math.ceil(axis.low / step - 1e-9)
    return tuple(
        round(index * step, 12) for index in range(first, math.floor(axis.high / step + 1e-9) + 1)
    )


def tick_text(value: float) -> str:
    """A tick as printed: no trailing zero, a comma in thousands, a real minus."""
    text = f"{value:,.6g}" if abs(value) < 1e6 else f"{value:,.0f}"
    return text.replace("-", "−")


def _share(axis: Axis, value: float) -> float:
    if axis.logarithmic:
        return math.log(value / axis.low) / math.log(axis.high / axis.low)
    return (value - axis.low) / (axis.high - axis.low)


def _place(what: Chart, point: Point) -> Point:
    width = _WIDTH - _LEFT - _RIGHT
    return _LEFT + width * _share(what.x, point[0]), _TOP + PLOT_HEIGHT * (
        1 - _share(what.y, point[1])
    )


def _axes(what: Chart) -> Iterator[Drawable]:
    bottom, right = _TOP + PLOT_HEIGHT, _WIDTH - _RIGHT
    for value in ticks(what.y, 5):
        _, y = _place(what, (what.x.low, value))
        yield Stroke(((_LEFT, y), (right, y)), "faint", HAIR)
        yield Lettering(_LEFT - 6, y + 4, tick_text(value), TEXT, "end")
    for value in ticks(what.x):
        x, _ = _place(what, (value, what.y.low))
        yield Stroke(((x, bottom), (x, bottom + 5)), "ink", HAIR)
        # a number at the end of the axis stays on the sheet
        middle = min(x, _WIDTH - 4 - reserved_width(tick_text(value), TEXT) / 2)
        yield Lettering(middle, bottom + 18, tick_text(value), TEXT, "middle")
    yield Stroke(((_LEFT, _TOP), (_LEFT, bottom), (right, bottom)), "ink", HAIR)
    yield Lettering((_LEFT + right) / 2, bottom + 35, what.x.title, TEXT, "middle", ink="soft")
    yield Lettering(8, _TOP - 15, what.y.title, TEXT, ink="soft")


def _shown_levels(what: Chart) -> Iterator[tuple[ChartLevel, float]]:
    for level in what.levels:
        if what.y.low < level.value < what.y.high:
            yield level, _place(what, (what.x.low, level.value))[1]


def _levels(what: Chart) -> Iterator[Drawable]:
    for _, y in _shown_levels(what):
        yield Stroke(((_LEFT, y), (_WIDTH - _RIGHT, y)), "mark", HAIR, LEVEL_DASH)


def _level_places(what: Chart) -> dict[str, float | None]:
    """Where the words of each level end, above it; None where a line would run through them: then
    the key holds them.
    """
    curves = [[_place(what, point) for point in _inside(what, line.points)] for line in what.lines]
    places: dict[str, float | None] = {}
    for level, y in _shown_levels(what):
        width = reserved_width(level.words, TEXT)
        rights = [
            _WIDTH - _RIGHT - 2 - step * (_WIDTH - _LEFT - _RIGHT - width - 8) / 8
            for step in range(9)
        ]
        places[level.words] = next(
            (end for end in rights if not _within(curves, end - width, end, y - 16, y - 1)), None
        )
    return places


def _level_words(what: Chart, places: dict[str, float | None]) -> Iterator[Drawable]:
    for level, y in _shown_levels(what):
        right = places[level.words]
        if right is not None:
            yield Lettering(right, y - 4, level.words, TEXT, "end", ink="mark")


def _within(
    curves: Sequence[Sequence[Point]], left: float, right: float, top: float, bottom: float
) -> int:
    """How many lines run through a box, tried at every fourth unit of x."""
    count = 0
    for curve in curves:
        for (ax, ay), (bx, by) in pairwise(curve):
            if bx < left or ax > right:
                continue
            steps = max(1, round((bx - ax) / 4))
            heights = [
                ay + (by - ay) * step / steps
                for step in range(steps + 1)
                if left <= ax + (bx - ax) * step / steps <= right
            ]
            if any(top <= height <= bottom for height in heights):
                count += 1
                break
    return count


def _letter(places: Sequence[Point], index: int, taken: list[Point]) -> list[Drawable]:
    x, y = _letter_place(places, taken)
    taken.append((x, y))
    return [
        Box(x - 7, y - 8, 14, 16, "ink", HAIR, "paper", 2),
        Lettering(x, y + 4.5, _LETTERS[index], TEXT, "middle", True),
    ]


def _inside(what: Chart, points: Sequence[Point]) -> list[Point]:
    """The points of a line within the axes; what leaves through the top or bottom is held at the
    edge.
    """
    low, high = what.y.low, what.y.high
    return [(x, min(max(y, low), high)) for x, y in points if what.x.low <= x <= what.x.high]


def _letter_place(places: Sequence[Point], taken: Sequence[Point]) -> Point:
    """On the line, at its highest place, or further along where another letter stands."""
    top = min(range(len(places)), key=lambda index: places[index][1])
    order = sorted(range(len(places)), key=lambda index: abs(places[index][0] - places[top][0]))
    for index in order:
        x, y = places[index]
        x, y = (
            min(max(x, _LEFT + 12), _WIDTH - _RIGHT - 12),
            min(max(y, _TOP + 8), _TOP + PLOT_HEIGHT - 10),
        )
        if all(abs(x - a) > 20 or abs(y - b) > 20 for a, b in taken):
            return x, y
    return places[top]


def _key(what: Chart, top: float, places: dict[str, float | None]) -> tuple[list[Drawable], float]:
    """A row for each line, and for each level whose words found no room beside it."""
    rows = [
        (line.ink, LINE, DASHES[index % len(DASHES)], f"{_LETTERS[index]}  {line.words}")
        for index, line in enumerate(what.lines)
    ]
    rows += [("mark", HAIR, LEVEL_DASH, words) for words, place in places.items() if place is None]
    items: list[Drawable] = []
    y = top
    for ink, width, dash, words in rows:
        lines = wrapped(words, TEXT, _WIDTH - SAMPLE - 32)
        items.append(Stroke(((8, y + 8), (8 + SAMPLE, y + 8)), ink, width, dash))
        items += [
            Lettering(SAMPLE + 18, y + TEXT + _ROW * row, text, TEXT)
            for row, text in enumerate(lines)
        ]
        y += _ROW * len(lines)
    return items, y


def simplified(points: Sequence[Point]) -> list[Point]:
    """The line with as few points as stay within NEAR of it (Douglas and Peucker, 1973)."""
    keep = {0, len(points) - 1}
    spans = [(0, len(points) - 1)]
    while spans:
        first, last = spans.pop()
        if last - first < 2:
            continue
        (ax, ay), (bx, by) = points[first], points[last]
        length = math.hypot(bx - ax, by - ay) or 1.0
        far, place = max(
            (abs((bx - ax) * (ay - points[i][1]) - (ax - points[i][0]) * (by - ay)) / length, i)
            for i in range(first + 1, last)
        )
        if far > _NEAR:
            keep.add(place)
            spans += [(first, place), (place, last)]
    return [points[index] for index in sorted(keep)]


def nice_top(value: float) -> float:
    """The next round value at or above one: where an axis may end.

    >>> nice_top(6227.0), nice_top(1542.0)
    (7000.0, 2000.0)
    """
    power = 10.0 ** math.floor(math.log10(value))
    return next(
        factor * power
        for factor in (1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0)
        if factor * power >= value * 0.9999
    )


def tick_below(value: float) -> float:
    """The next tick of a logarithmic axis at or below a value: where it may begin.

    >>> tick_below(12.8), tick_below(25.6)
    (10.0, 20.0)
    """
    power = 10.0 ** math.floor(math.log10(value))
    return max(factor * power for factor in (1.0, 2.0, 5.0) if factor * power <= value * 1.0001)
