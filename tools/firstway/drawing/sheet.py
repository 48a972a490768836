"""Drawing: what a layout function returns: groups of symbols, strokes and texts at places, still
without SVG.

One unit is one CSS pixel at the drawing's natural width; y runs down. Tests ask questions of a
sheet.
"""

from dataclasses import dataclass, field, replace
from math import floor

from schemdraw.elements import Element

Point = tuple[float, float]

SMALLEST = 12.0  # text size; keeps 9 px at 768 px for drawings up to 1024 units wide
LINE = 1.6  # weights of lines: outlines of bodies, symbols and the path of the current
HAIR = 0.9  # parts of a body, sheaths, links, call-outs
FINE = 0.5  # rules, ticks, hatching
BAR = 4.5  # a bar is a body: as thick as it is drawn


@dataclass(frozen=True)
class Stroke:
    """A line through points. `round` is the radius of its bends; `fill` an ink for a closed one."""

    points: tuple[Point, ...]
    ink: str = "ink"
    width: float = LINE
    dash: str = ""
    fill: str = "none"
    closed: bool = False
    round: float = 0.0
    butt: bool = False


@dataclass(frozen=True)
class Box:
    x: float
    y: float
    width: float
    height: float
    ink: str = "ink"
    line: float = LINE
    fill: str = "none"
    round: float = 0.0
    dash: str = ""


@dataclass(frozen=True)
class Disc:
    x: float
    y: float
    radius: float
    ink: str = "ink"
    line: float = LINE
    fill: str = "none"
    dash: str = ""


@dataclass(frozen=True)
class Lettering:
    """One line of text; `y` is its baseline. `turn` is in degrees, clockwise, about (x, y); `low`
    is the first and the last but one letter of a subscript.
    """

    x: float
    y: float
    words: str
    size: float = SMALLEST
    anchor: str = "start"
    bold: bool = False
    italic: bool = False
    ink: str = "ink"
    turn: float = 0.0
    data: tuple[tuple[str, str], ...] = ()
    low: tuple[int, int] = (0, 0)


@dataclass(frozen=True)
class PlacedDrawing:
    """A symbol with the named terminal put at (x, y)."""

    element: Element
    x: float
    y: float
    terminal: str = "supply"


@dataclass(frozen=True)
class Ref:
    """A shape of the sheet's `shapes`, drawn round (x, y)."""

    x: float
    y: float
    shape: str


@dataclass(frozen=True)
class Strands:
    """One line drawn several times over itself: each layer is an ink, a width and a dash.

    `more` are further pieces in the same layers.
    """

    points: tuple[Point, ...]
    layers: tuple[tuple[str, float, str], ...]
    round: float = 0.0
    more: tuple[tuple[Point, ...], ...] = ()


Drawable = Stroke | Box | Disc | Lettering | PlacedDrawing | Ref | Strands


@dataclass(frozen=True)
class Group:
    """Everything that is one device, terminal, conductor or label. `title` shows as its tooltip.

    What is `hidden` a page shows on a narrow screen alone; what is `unnamed` has no id in the
    drawing.
    """

    id: str
    items: tuple[Drawable, ...]
    title: str = ""
    classes: str = ""
    data: tuple[tuple[str, str], ...] = ()
    hidden: bool = False
    unnamed: bool = False


@dataclass(frozen=True)
class Narrow:
    """What a narrow screen shows of a sheet: from `left` to `right` and down to `bottom`, in units.
    Numbers stand there in place of all words; `key` says them, `besides` what has no number.
    """

    left: float
    right: float
    bottom: float
    key: tuple[str, ...]
    besides: tuple[str, ...] = ()


@dataclass(frozen=True)
class Sheet:
    """A laid-out drawing. Groups are painted in order. `description` is the alternative text."""

    width: float
    height: float
    groups: tuple[Group, ...]
    title: str
    description: str
    kind: str
    notes: dict[str, float] = field(default_factory=dict)
    shapes: dict[str, tuple[Drawable, ...]] = field(default_factory=dict)
    caps: str = "round"
    data: tuple[tuple[str, str], ...] = ()
    narrow: Narrow | None = None

    def group(self, group_id: str) -> Group:
        return next(group for group in self.groups if group.id == group_id)


def on_whole_units(sheet: Sheet) -> Sheet:
    """The sheet with every place at a whole unit; radii and widths of lines stay. Not for sheets
    with drawings of another library, which stay where they are.
    """
    groups = tuple(
        replace(group, items=tuple(_whole(item) for item in group.items)) for group in sheet.groups
    )
    return replace(sheet, groups=groups)


def _whole(item: Drawable) -> Drawable:
    if isinstance(item, Stroke):
        points = _rounded(item.points)
        return item if points == item.points else replace(item, points=points)
    if isinstance(item, Strands):
        points, more = _rounded(item.points), tuple(map(_rounded, item.more))
        whole = (points, more) == (item.points, item.more)
        return item if whole else replace(item, points=points, more=more)
    if isinstance(item, Box):
        (x, y), (right, low) = _rounded(
            ((item.x, item.y), (item.x + item.width, item.y + item.height))
        )
        return replace(item, x=x, y=y, width=right - x, height=low - y)
    assert not isinstance(item, PlacedDrawing)
    ((x, y),) = _rounded(((item.x, item.y),))
    return item if (x, y) == (item.x, item.y) else replace(item, x=x, y=y)


def _rounded(points: tuple[Point, ...]) -> tuple[Point, ...]:
    found = tuple((float(floor(x + 0.5)), float(floor(y + 0.5))) for x, y in points)
    if len(found) > 1 and len(set(found)) == 1:  # it still has two ends
        return found[0], (found[0][0], found[0][1] + 0.1)
    return found
