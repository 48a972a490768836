"""Drawing: a laid-out sheet to SVG: one formatter for numbers, groups with ids and titles, inks as
properties.

Symbols go through a schemdraw drawing, whose own SVG backend is not used: its output names colours,
hides which element a stroke belongs to and writes raw floats. Here each element draws its segments
with a pen that knows the group. Same sheet, same bytes.
"""

import math
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import groupby
from types import MappingProxyType
from typing import Any
from zlib import crc32

from schemdraw import Drawing

from firstway.drawing.fold import fold_of
from firstway.drawing.ink import (
    INKS,
    MATERIALS,
    OWN_INK,
    is_material,
    paint,
    standalone_stylesheet,
)
from firstway.drawing.sheet import (
    LINE,
    SMALLEST,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    PlacedDrawing,
    Point,
    Ref,
    Sheet,
    Strands,
    Stroke,
)
from firstway.rendering.html import Attribute, Markup, joined, tag

LEAST_SCALE = (
    0.75  # text of 12 units is never under 9 px; on a narrower screen the frame scrolls sideways
)
WIDTH_STEP, _MOST_WIDTHS = 10, 160
_TOO_SMALL = 0.45  # of a bend: what is left of it between corners so near that none is seen
_SLIGHT = 0.45  # tangent of a turn that needs no bend
_LETTERS = "abcdefghijklmnopqrstuvwxyz"
_STEM = 5  # letters of a name's beginning: 60 million of them
_LOWERED, _LOWER = 2.5, 0.85  # how far a subscript stands below the line, and its size
_SPENT, _NAMED = 13, 3  # what naming a path and naming it again take, in bytes


@dataclass(frozen=True)
class Drawn:
    """A drawing ready for a page. `svg` scales to the page; `alt` says in words what it shows.

    `key` is what its numbers say, where numbers stand in place of words on a narrow screen,
    `besides` what its words say that have no number; `fold` how far down it is parted in print, 0
    where it fits one page.
    """

    svg: str
    alt: str
    width: float
    height: float
    id: str
    title: str
    key: tuple[str, ...] = ()
    fold: float = 0.0
    besides: tuple[str, ...] = ()

    @property
    def html(self) -> Markup:
        """The drawing, to be put into a page."""
        return Markup(self.svg)


def least_width(width: float) -> str:
    """The classes of a drawing this many units wide that keep it readable on a narrow screen."""
    return _classes("least", min(math.ceil(width * LEAST_SCALE / WIDTH_STEP), _MOST_WIDTHS))


def _classes(name: str, count: int) -> str:
    """A count as classes that add up, tens and ones: so few rules serve every drawing.

    >>> _classes("least", 57)
    'fw-least-50 fw-least-7'
    """
    parts = count // 10 * 10, count % 10
    return " ".join(f"fw-{name}-{part}" for part in parts if part) or f"fw-{name}-0"


def _counted(name: str, most: int) -> str:
    """The rules of these classes up to `most`: each sets its part, `_sum` adds them."""
    parts = (*range(1, 10), *range(10, most + 1, 10))
    return "".join(
        f".fw-{name}-{each}{{--fw-{name}-{10 if each > 9 else 1}:{each}}}" for each in parts
    )


def _sum(name: str) -> str:
    return f"(var(--fw-{name}-10,0) + var(--fw-{name}-1,0))"


PARTS = 32
"""Steps in which a narrow screen crops a drawing."""
_MOST_CUT = 64
"""How many steps a narrow screen cuts off a drawing's beginning or end at most."""
_WIDE = 600.0
"""Units across of which a screen of 390 px shows the letters of the lifelike view under 9 px."""
WORDED = 450.0
"""Units across of which a screen of 390 px shows words at 9 px."""


def widths_stylesheet() -> str:
    """What the classes of `least_width`, `shown_part` and `cut_part` do: how small a drawing may
    become, and what a narrow screen leaves out before, beside and below.
    """
    most = {"from": PARTS, "over": PARTS, "cut": _MOST_CUT, "top": _MOST_CUT}
    over, first, top, cut = (f"var(--fw-{name})" for name in ("over", "from", "top", "cut"))
    sums = "".join(f"--fw-{name}:calc{_sum(name)};" for name in most)
    return (
        f"{_counted('least', _MOST_WIDTHS)}"
        f"svg.fw-drawing{{min-width:calc({_sum('least')}*{WIDTH_STEP}px)}}\n"
        "@media screen and (max-width:37.5rem){"
        f"{''.join(_counted(*each) for each in most.items())}"
        ".sheet:has(>:is(.fw-lifelike,.fw-numbered)){overflow:clip!important}"
        f".sheet>svg:is(.fw-lifelike,.fw-numbered){{{sums}"
        f"min-width:0;max-width:none;width:calc(100%*{PARTS}/{over});"
        f"margin-left:calc(-100%*{first}/{over});"
        f"margin-top:calc(-100%*{top}/{over});"
        f"margin-bottom:calc(-100%*{cut}/{over})}}}}\n"
    )


def shown_part(width: float, first: float, last: float) -> str:
    """The classes of a drawing of which a narrow screen shows what lies from `first` to `last`
    units, and nothing else.
    """
    start, over = _steps(width, first, last)
    wide = " fw-wide" if over * width / PARTS > _WIDE else ""
    before = f"{_classes('from', start)} " if start else ""
    return f"{before}{_classes('over', over)}{wide}"


def shown_across(svg: str, width: float) -> tuple[float, float]:
    """From where to where a narrow screen shows a drawing (units), by its classes."""
    classes = svg.partition('class="')[2].partition('"')[0]
    first, over = (
        sum(map(int, re.findall(rf"\bfw-{name}-(\d+)", classes))) for name in ("from", "over")
    )
    return (first * width / PARTS, (first + over) * width / PARTS) if over else (0.0, width)


def _steps(width: float, first: float, last: float) -> tuple[int, int]:
    """At which step begins what is shown from `first` to `last`, and how many it takes."""
    start = max(0, math.floor(first / width * PARTS))
    return start, min(PARTS, math.ceil(last / width * PARTS)) - start


def cut_part(width: float, below: float) -> str:
    """The classes of a drawing of whose end a narrow screen leaves out what is `below` (units)."""
    return _classes("cut", min(max(math.floor(below / width * PARTS), 0), _MOST_CUT))


def numbered_part(sheet: Sheet, to: tuple[float, float, float, float] | None = None) -> str:
    """The classes of a sheet that shows numbers in place of words on a narrow screen; cropped
    `to` left, top, right and bottom, it shows the words where they are large enough.
    """
    if sheet.narrow is None:
        return ""
    left, top, right, bottom = to or (sheet.narrow.left, 0.0, sheet.narrow.right, sheet.height)
    bottom = min(bottom, sheet.narrow.bottom)
    shown = shown_part(sheet.width, left, right)
    begins = re.sub("cut", "top", cut_part(sheet.width, top)) if to else ""
    over = _steps(sheet.width, left, right)[1] * sheet.width / PARTS
    worded = " fw-worded" if to and over <= WORDED else ""
    cut = cut_part(sheet.width, sheet.height - bottom)
    return f" fw-numbered {shown} {cut}{begins and f' {begins}'}{worded}"


@lru_cache(maxsize=8192)
def svg_number(value: float) -> str:
    """The one number formatter: a tenth of a unit, no trailing zero, no minus zero."""
    text = f"{value:.1f}"
    text = text[:-2] if text.endswith(".0") else text
    return "0" if text == "-0" else text


def svg_id(prefix: str, name: str) -> str:
    """An id without characters that ids may not hold."""
    return re.sub(r"[^A-Za-z0-9_.-]+", "-", f"{prefix}-{name}")


def svg_path_of(points: Sequence[Point], closed: bool = False, bend: float = 0.0) -> str:
    """Path data of a line through points; bends at right angles are rounded by `bend`.

    Each command is written from where the line begins or from where it stands, whichever is
    shorter.
    """
    points = _corners(points) if bend else points
    x, y = points[0]
    at = _tenths((x, y))
    parts = [f"M{_listed(at)}"]
    for index in range(1, len(points)):
        here, after = points[index], points[index + 1] if index + 1 < len(points) else None
        reach = 0.0
        if bend and after is not None and _bends((x, y), here, after):
            reach = min(bend, math.dist((x, y), here) / 2, math.dist(here, after) / 2)
            reach = reach if reach > _TOO_SMALL * bend else 0.0
        stop = here if not reach else _towards(here, (x, y), reach)
        goal = _tenths(stop)
        parts.append(_line_to(at, goal))
        (x, y), at = stop, goal
        if reach and after is not None:
            x, y = _towards(here, after, reach)
            goal = _tenths((x, y))
            parts.append(_shorter("Q", at, _tenths(here), goal))
            at = goal
    return "".join(parts) + ("Z" if closed else "")


def _tenths(point: Point) -> tuple[int, int]:
    return round(point[0] * 10), round(point[1] * 10)


def _listed(numbers: Iterable[int]) -> str:
    """Tenths of a unit as the numbers of a path: no zero before the point, no space before a
    minus.
    """
    return "".join(map(_next, numbers)).removeprefix(" ")


@lru_cache(maxsize=8192)
def _next(tenths: int) -> str:
    whole, rest = divmod(abs(tenths), 10)
    digits = f"{whole or ''}.{rest}" if rest else str(whole)
    return f"-{digits}" if tenths < 0 else f" {digits}"


def _shorter(command: str, at: tuple[int, int], *points: tuple[int, int]) -> str:
    """A command to these points, absolute or relative."""
    whole = _listed(value for point in points for value in point)
    steps = _listed(value for x, y in points for value in (x - at[0], y - at[1]))
    return command.lower() + steps if len(steps) < len(whole) else command + whole


def _corners(points: Sequence[Point]) -> list[Point]:
    """The points at which a line turns, and its ends."""
    kept = list(points[:1])
    for here, after in zip(points[1:], points[2:]):
        if not _straight(kept[-1], here, after):
            kept.append(here)
    return kept + list(points[1:][-1:])


def _straight(before: Point, here: Point, after: Point) -> bool:
    ux, uy, vx, vy = (
        here[0] - before[0],
        here[1] - before[1],
        after[0] - here[0],
        after[1] - here[1],
    )
    return ux * vx + uy * vy >= 0 and abs(ux * vy - uy * vx) <= 0.05 * math.hypot(vx, vy)


def _bends(before: Point, here: Point, after: Point) -> bool:
    """Whether a line turns so that a bend is to be seen: not where it goes on nearly straight, nor
    where it comes straight back on itself, which no bend can round.
    """
    ux, uy, vx, vy = (
        here[0] - before[0],
        here[1] - before[1],
        after[0] - here[0],
        after[1] - here[1],
    )
    along, across = ux * vx + uy * vy, abs(ux * vy - uy * vx)
    return across > _SLIGHT * along if along >= 0 else across >= 0.05 * abs(along)


def _towards(start: Point, goal: Point, reach: float) -> Point:
    share = reach / math.dist(start, goal)
    return start[0] + (goal[0] - start[0]) * share, start[1] + (goal[1] - start[1]) * share


def _line_to(start: tuple[int, int], end: tuple[int, int]) -> str:
    (ax, ay), (bx, by) = start, end
    if ay == by:
        return _straight_to("H", ax, bx) if ax != bx else ""
    return _straight_to("V", ay, by) if ax == bx else _shorter("L", start, end)


def _straight_to(command: str, start: int, end: int) -> str:
    whole, step = _listed((end,)), _listed((end - start,))
    return command.lower() + step if len(step) < len(whole) else command + whole


def shape(name: str, /, *inside: str, **attributes: Attribute) -> Markup:
    """An SVG element by `tag`: text is escaped, numbers are written by `svg_number`.

    >>> shape("text", "a < b", x=1.25, y=2, text_anchor="middle", fill=None)
    Markup('<text x="1.2" y="2" text-anchor="middle">a &lt; b</text>')
    """
    return tag(
        name,
        *inside,
        **{
            key: svg_number(value) if isinstance(value, (int, float)) else value
            for key, value in attributes.items()
        },
    )


def _style(
    ink: str, width: float, fill: str = "none", dash: str = "", butt: bool = False
) -> dict[str, Attribute]:
    """What a stroke says that the drawing does not say for all."""
    if ink in ("", "none") or not width:
        style: dict[str, Attribute] = {"stroke": "none"}
    else:
        style = {
            "stroke": None if ink == "ink" else paint(ink),
            "stroke_width": None if width == LINE else width,
        }
    style["fill"] = None if fill in ("", "none") else paint(fill)
    style["stroke_dasharray"] = None if dash in ("", "-") else dash
    style["stroke_linecap"] = "butt" if butt else None
    return style


class Pen:
    """Takes the strokes of schemdraw segments (their y runs up) and writes them as ours."""

    DASHES = {"--": "5 3", ":": "1.5 3", "-.": "7 3 1.5 3", "-": ""}

    def __init__(self) -> None:
        self.parts: list[Markup] = []

    def _draw(
        self, name: str, color: Any, lw: float, fill: Any, ls: Any, **attributes: Attribute
    ) -> None:
        style = _style(
            self._ink(color), lw, self._ink(fill) if fill else "none", self.DASHES.get(str(ls), "")
        )
        self.parts.append(shape(name, **attributes, **style))

    @staticmethod
    def _ink(color: Any) -> str:
        return (
            "ink" if color in ("black", None) else str(color)
        )  # schemdraw's own default is "black"

    def plot(
        self,
        x: Sequence[float],
        y: Sequence[float],
        color: Any = None,
        fill: Any = None,
        ls: Any = "-",
        lw: float = 2,
        **_: Any,
    ) -> None:
        points = [(a, -b) for a, b in zip(x, y)]
        self._draw("path", color, lw, fill, ls, d=svg_path_of(points))

    def poly(
        self,
        verts: Sequence[Sequence[float]],
        closed: bool = True,
        color: Any = None,
        fill: Any = None,
        lw: float = 2,
        ls: Any = "-",
        **_: Any,
    ) -> None:
        points = [(vert[0], -vert[1]) for vert in verts]
        self._draw("path", color, lw, fill, ls, d=svg_path_of(points, closed))

    def circle(
        self,
        center: Sequence[float],
        radius: float,
        color: Any = None,
        fill: Any = None,
        lw: float = 2,
        ls: Any = "-",
        **_: Any,
    ) -> None:
        self._draw("circle", color, lw, fill, ls, cx=center[0], cy=-center[1], r=radius)

    def arc(
        self,
        center: Sequence[float],
        width: float,
        height: float,
        theta1: float = 0,
        theta2: float = 90,
        color: Any = None,
        lw: float = 2,
        ls: Any = "-",
        fill: Any = None,
        **_: Any,
    ) -> None:
        x, y, a, b = center[0], -center[1], width / 2, height / 2
        if abs(theta2 - theta1) >= 360:
            self._draw("ellipse", color, lw, fill, ls, cx=x, cy=y, rx=a, ry=b)
            return
        first, last = math.radians(theta1), math.radians(theta2)
        large = int((theta2 - theta1) % 360 > 180)
        start, end = (
            " ".join(
                svg_number(each) for each in (x + a * math.cos(angle), y - b * math.sin(angle))
            )
            for angle in (first, last)
        )
        round_ = f"{svg_number(a)} {svg_number(b)}"
        self._draw("path", color, lw, fill, ls, d=f"M{start}A{round_} 0 {large} 0 {end}")


def short_stem(prefix: str) -> str:
    """What ids begin with that a drawing alone refers to: short, for they are many; another one
    for each drawing of a page.
    """
    left, digits = crc32(prefix.encode()), ""
    while len(digits) < _STEM:
        left, rest = divmod(left, 36)
        digits += f"0123456789{_LETTERS}"[rest]
    return f"f{digits}"


@dataclass(frozen=True)
class _Paper:
    """What every item of one drawing is written with; `anchor` is where its texts are held and
    `caps` how its lines end unless they say.
    """

    drawing: Drawing
    prefix: str
    anchor: str
    caps: str = ""
    shapes: tuple[str, ...] = ()

    @cached_property
    def stem(self) -> str:
        return short_stem(self.prefix)

    def shape_id(self, name: str) -> str:
        """The id of a shape that is drawn once and referred to."""
        return f"{self.stem}{_LETTERS[self.shapes.index(name)]}"


def _item_svg(
    item: Drawable,
    paper: _Paper,
    group: str = "",
    shapes: bool = True,
    given: Mapping[str, Attribute] = MappingProxyType({}),
) -> Sequence[Markup]:
    """An item as elements; `group` is the name of a path of its own."""
    if isinstance(item, (Stroke, Box, Disc)):
        return [_shape_svg(item, {} if shapes else _own(item), paper.caps)]
    if isinstance(item, Lettering):
        return [_text_svg(item, shapes, paper.anchor, given)]
    if isinstance(item, Ref):
        return [shape("use", href=f"#{paper.shape_id(item.shape)}", x=item.x, y=item.y)]
    if isinstance(item, Strands):
        return [_strands_svg(item, group)]
    element = item.element
    paper.drawing.add(element.at((item.x, -item.y)).anchor(item.terminal))
    pen = Pen()
    for segment in element.segments:
        segment.draw(pen, element.transform, **element.params)
    return pen.parts


def _shape_svg(item: Stroke | Box | Disc, own: Mapping[str, Attribute], caps: str) -> Markup:
    """A shape; `own` is what it says besides, where its group says nothing for it; `caps` are the
    ends of lines that do not say.
    """
    if isinstance(item, Stroke):
        butt = item.butt and caps != "butt"
        style = {**_style(item.ink, item.width, item.fill, item.dash, butt), **own}
        return shape("path", d=svg_path_of(item.points, item.closed, item.round), **style)
    style = {**_style(item.ink, item.line, item.fill, item.dash), **own}
    if isinstance(item, Disc):
        return shape("circle", cx=item.x or None, cy=item.y or None, r=item.radius, **style)
    return shape(
        "rect",
        x=item.x,
        y=item.y,
        width=item.width,
        height=item.height,
        rx=item.round or None,
        **style,
    )


def _own(item: Stroke | Box | Disc) -> dict[str, Attribute]:
    """Ink and fill of a shape in a group that says none: unsaid, there is no line, and the fill is
    the page's ink.
    """
    own: dict[str, Attribute] = {}
    width = item.width if isinstance(item, Stroke) else item.line
    if item.ink == "ink" and width:
        own["stroke"] = OWN_INK
    elif item.ink in ("", "none", "ink"):
        own["stroke"] = None
    if item.fill in ("", "none"):  # a straight line encloses nothing
        own["fill"] = None if isinstance(item, Stroke) and len(item.points) == 2 else "none"
    elif item.fill == "ink":
        own["fill"] = None
    return own


def _strands_svg(item: Strands, name: str) -> Markup:
    """The first layer holds the path, the others repeat it; the path itself names no colour. A path
    shorter than its name is written again instead.
    """
    (ink, width, dash), *others = item.layers
    data = "".join(svg_path_of(each, bend=item.round) for each in (item.points, *item.more))
    if _SPENT + len(name) + len(others) * (len(name) + _NAMED) > len(others) * len(data):
        return joined(
            shape("path", d=data, **_style(ink, width, dash=dash))
            for ink, width, dash in item.layers
        )
    path = shape("path", id=name, d=data)
    first = shape("g", path, **_style(ink, width, dash=dash))
    runs = [(thick, list(run)) for thick, run in groupby(others, lambda each: each[1])]
    return joined([first, *(_laid_over(name, thick, run) for thick, run in runs)])


def _laid_over(name: str, width: float, layers: Sequence[tuple[str, float, str]]) -> Markup:
    """Layers of one width over a path: it is said once where there are several."""
    alone = len(layers) == 1
    each = [
        shape("use", href=f"#{name}", **_style(ink, width if alone else LINE, dash=dash))
        for ink, _, dash in layers
    ]
    return each[0] if alone else shape("g", *each, stroke_width=width)


def _look(item: Lettering, beside_shapes: bool, anchor: str) -> dict[str, Attribute]:
    """Text is drawn by fill alone; beside shapes it says so, elsewhere that is what the drawing
    starts from.
    """
    return {
        "fill": paint(item.ink) if beside_shapes or item.ink != "ink" else None,
        "stroke": "none" if beside_shapes else None,
        "font_size": item.size if item.size != SMALLEST else None,
        "text_anchor": item.anchor if item.anchor != anchor else None,
        "font_weight": "700" if item.bold else None,
        "font_style": "italic" if item.italic else None,
    }


def _text_svg(
    item: Lettering, beside_shapes: bool, anchor: str, given: Mapping[str, Attribute]
) -> Markup:
    """A text; what its group says for all its texts is `given`."""
    look = _look(item, beside_shapes, anchor)
    turned = " ".join(svg_number(each) for each in (item.turn, item.x, item.y))
    first, last = item.low
    inside = [item.words]
    if last:
        after = shape("tspan", item.words[last:], dy=-_LOWERED)
        below = shape("tspan", item.words[first:last], dy=_LOWERED, font_size=_LOWER * item.size)
        inside = [item.words[:first], below, after]
    return shape(
        "text",
        *inside,
        x=item.x,
        y=item.y,
        **{key: value for key, value in look.items() if key not in given},
        transform=f"rotate({turned})" if item.turn else None,
        **_data(item.data),
    )


def _data(pairs: tuple[tuple[str, str], ...]) -> dict[str, str]:
    return {f"data-{key}": value for key, value in pairs}


def _leans(item: Drawable) -> tuple[bool, bool]:
    """Whether an item needs its group to say that there is no fill, and that lines are drawn in the
    page's ink.
    """
    if isinstance(item, (Lettering, Ref)):
        return False, False
    if isinstance(item, Strands):
        return True, any(ink == "ink" for ink, _, _ in item.layers)
    if isinstance(item, PlacedDrawing):
        return True, True
    return item.fill in ("", "none"), item.ink == "ink"


@dataclass(frozen=True)
class _Written:
    """A group as SVG. `said` is what it says for all in it, `body` what stands between its tags."""

    named: Mapping[str, Attribute]
    said: Mapping[str, Attribute]
    body: Markup

    @property
    def svg(self) -> Markup:
        return shape("g", self.body, **self.named, **self.said) if self.said else self.bare

    @property
    def bare(self) -> Markup:
        """The group where one around it says what it would say; a text alone needs none."""
        if self.named.get("id") or self.body.count("<text ") != 1 or self.body.count("<") != 2:
            return shape("g", self.body, **self.named)
        own = shape("text", **self.named).removesuffix("></text>")
        return Markup(f"{own} ") + self.body.removeprefix("<text ")


def _group_svg(group: Group, paper: _Paper, stem: str) -> _Written:
    """Ink and fill are said by the group for all its shapes, or by each shape if that is shorter:
    texts need neither. The first of its paths is named `stem`, the others
    begin so.
    """
    leanings = [_leans(item) for item in group.items]
    no_fill, inked = any(fill for fill, _ in leanings), any(ink for _, ink in leanings)
    said = {"fill": "none" if no_fill else None, "stroke": OWN_INK if inked else None}
    if not no_fill and not inked:
        return _written(group, paper, stem, False, _shared_look(group, paper.anchor))
    whole = _written(group, paper, stem, True, said)
    kinds = {type(item) for item in group.items}
    if Lettering not in kinds or kinds & {PlacedDrawing, Strands}:
        return whole
    look = {key: said for key, said in _shared_look(group, paper.anchor).items() if key != "fill"}
    lone = _written(group, paper, stem, False, look)
    return min(whole, lone, key=lambda each: len(each.svg))


def _written(
    group: Group, paper: _Paper, stem: str, shapes: bool, given: Mapping[str, Attribute]
) -> _Written:
    """A group that says `given`: for its shapes, where `shapes`, else for its texts alone."""
    parts = [
        part
        for place, item in enumerate(group.items)
        for part in _item_svg(
            item, paper, f"{stem}-{place}" if place else stem, shapes, {} if shapes else given
        )
    ]
    title = [shape("title", group.title)] if group.title else []
    return _Written(
        {
            "id": None if group.unnamed else svg_id(paper.prefix, group.id),
            "class_": group.classes or None,
            "display": "none" if group.hidden else None,
            **_data(group.data),
        },
        {key: value for key, value in given.items() if value is not None},
        joined([*title, *_texts_in_runs(list(_in_one_path(parts, shapes)))]),
    )


_NO_FILL = ' fill="none"'
_PLAIN_PATH = re.compile(r'<path d="([^"Z]*)"([^>]*)/>')
_TEXT = re.compile(r'<text x="[^"]*" y="[^"]*"((?: (?:fill|stroke|text-|font-)[^ >]*)+).*')
_LONE_PATH = re.compile(r'(<g [^>]*><title>[^<]*</title><path d="[^"]*")( [^>]+)/></g>')
_SAID = re.compile(r' ([a-z-]+)="([^"]*)"')


def _in_one_path(parts: Sequence[Markup], unfilled: bool) -> Iterator[Markup]:
    """Open lines in one style that follow each other, as pieces of one path; `unfilled`: what says
    no fill has none.
    """
    if len(parts) < 2:
        yield from parts
        return

    def style(path: re.Match[str] | None) -> str | None:
        if path is None or "fill=" in (path[2] if unfilled else path[2].replace(_NO_FILL, "")):
            return None
        return path[2]

    paths = [_PLAIN_PATH.fullmatch(part) for part in parts]
    for said, run in groupby(zip(paths, parts), lambda each: style(each[0])):
        found = list(run)
        if said is None or len(found) == 1:
            yield from (part for _, part in found)
            continue
        data = "".join(path[1] for path, _ in found if path)
        yield shape("path", d=data, **_attributes(said))


_SHAPE = re.compile(r"<(?:path|rect|circle|ellipse|use) [^<>]*/>")
_LOOK = re.compile(r' (?:stroke|fill)(?:-[a-z]+)?="[^"]*"')
_NO_LENGTH = re.compile(r'<path d="M[-0-9. ]*"[^<>]*/>')  # nothing of it is seen


def _shapes_in_runs(parts: Sequence[Markup], unfilled: bool) -> Iterator[Markup]:
    """Open lines in one style as one path; then shapes that follow each other, in a group that says
    once what all of them say, where that is shorter.
    """
    found = [part for part in _in_one_path(parts, unfilled) if not _NO_LENGTH.fullmatch(part)]
    looks = [_LOOK.findall(part) if _SHAPE.fullmatch(part) else [] for part in found]
    start = 0
    while start < len(found):
        said = (
            [each for each in looks[start] if each in looks[start + 1]]
            if found[start + 1 :]
            else []
        )
        end = start + 1
        while said and end < len(found) and all(each in looks[end] for each in said):
            end += 1
        look = "".join(said)
        if (end - start - 1) * len(look) <= len("<g></g>"):
            yield found[start]
            start += 1
            continue
        own = [
            _LOOK.sub(lambda each: "" if each[0] in said else each[0], part)
            for part in found[start:end]
        ]
        yield shape("g", *map(Markup, own), **_attributes(look))
        start = end


def plain_shapes(html: Markup) -> Markup:
    """Shapes without a group, below something that says no fill, written as short as they can be;
    anything else as it is.
    """
    parts = [Markup(each) for each in _SHAPE.findall(html)]
    return joined(_shapes_in_runs(parts, True)) if joined(parts) == html else html


def _attributes(said: str) -> dict[str, Attribute]:
    return {name.replace("-", "_"): value for name, value in _SAID.findall(said)}


def _texts_in_runs(parts: Sequence[Markup]) -> Iterator[Markup]:
    """Texts of one look that follow each other, with the references between them, in a group that
    says the look once, where that is shorter.
    """
    texts = [_TEXT.fullmatch(part) for part in parts]
    if sum(text is not None for text in texts) < 2:
        yield from parts
        return
    looks = [found[1] if found else "" for found in texts]
    for place in range(len(parts) - 2, -1, -1):
        if parts[place].startswith("<use "):
            looks[place] = looks[place + 1]
    for look, run in groupby(zip(looks, parts, texts), lambda each: each[0]):
        found = list(run)
        count = sum(text is not None for _, _, text in found)
        if not look or (count - 1) * len(look) <= len("<g></g>"):
            yield from (part for _, part, _ in found)
            continue
        inner = [part.replace(look, "", 1) if text else part for _, part, text in found]
        yield shape("g", joined(inner), **_attributes(look))


def _without_names(run: Iterable[_Written]) -> Iterator[_Written]:
    """Groups of one look; those without a name of their own that are of one class become one."""
    for named, alike in groupby(run, lambda each: each.named):
        found = list(alike)
        if named.get("id") or len(found) == 1 or any("<title" in each.body for each in found):
            yield from found
        else:
            yield _Written(named, found[0].said, joined(each.body for each in found))


def _lone_paths(groups: Sequence[Markup]) -> Iterator[Markup]:
    """Groups of one path each that follow each other in one look, in a group that says it once."""
    paths = [_LONE_PATH.fullmatch(each) for each in groups]
    for look, run in groupby(zip(paths, groups), lambda each: each[0][2] if each[0] else ""):
        found = list(run)
        if not look or (len(found) - 1) * len(look) <= len("<g></g>"):
            yield from (group for _, group in found)
        else:
            plain = [group.replace(look, "", 1) for _, group in found]
            yield shape("g", joined(plain, "\n"), **_attributes(look))


def _in_runs(groups: Iterable[_Written]) -> Iterator[Markup]:
    """Groups that follow each other and say the same for all in them, in one that says it once."""
    for said, run in groupby(groups, lambda each: each.said):
        found = list(_without_names(run))
        if len(found) == 1 or not said:
            yield from (each.svg for each in found)
        else:
            yield shape("g", joined(_lone_paths([each.bare for each in found]), "\n"), **said)


def _shared_look(group: Group, anchor: str) -> dict[str, Attribute]:
    """What the texts of a group without shapes of its own have in common, said once."""
    looks = [_look(item, False, anchor) for item in group.items if isinstance(item, Lettering)]
    if not looks:
        return {}
    first = looks[0]
    return {
        key: value
        for key, value in first.items()
        if value is not None and all(look[key] == value for look in looks)
    }


def group_svg(group: Group, prefix: str, anchor: str) -> Markup:
    """One group for a drawing that is not laid out as a sheet; texts without an anchor of their own
    are held by `anchor`.
    """
    paper = _Paper(Drawing(canvas="svg", show=False), prefix, anchor)
    return _group_svg(group, paper, svg_id(prefix, group.id)).svg


def told_by(title: str, description: str, prefix: str) -> tuple[Markup, Markup, str]:
    """The title and the description of a drawing, and what its root says of them."""
    names = svg_id(prefix, "title"), svg_id(prefix, "desc")
    return (
        shape("title", title, id=names[0]),
        shape("desc", description, id=names[1]),
        " ".join(names),
    )


def drawn_from(sheet: Sheet, prefix: str) -> Drawn:
    """The sheet as SVG for a page; every id begins with `prefix`."""
    anchors = [
        item.anchor for group in sheet.groups for item in group.items if isinstance(item, Lettering)
    ]
    anchor = "middle" if anchors.count("middle") > anchors.count("start") else "start"
    paper = _Paper(
        Drawing(canvas="svg", show=False), prefix, anchor, sheet.caps, tuple(sheet.shapes)
    )
    title, description, labels = told_by(sheet.title, sheet.description, prefix)
    placed = [*(each.items for each in sheet.groups), *sheet.shapes.values()]
    used = {item.shape for items in placed for item in items if isinstance(item, Ref)}
    shapes = [
        shape(
            "g",
            *_shapes_in_runs(
                [
                    part
                    for place, item in enumerate(items)
                    for part in _item_svg(item, paper, f"{paper.shape_id(name)}_{place}")
                ],
                True,
            ),
            id=paper.shape_id(name),
            fill="none",
            stroke=OWN_INK,
        )
        for name, items in sheet.shapes.items()
        if name in used
    ]
    parts = [
        "",
        title,
        description,
        *([shape("defs", *shapes)] if shapes else []),
        *_in_runs(
            _group_svg(group, paper, f"{paper.stem}-{place}")
            for place, group in enumerate(sheet.groups)
        ),
        "",
    ]
    svg = shape(
        "svg",
        joined(parts, "\n"),
        xmlns="http://www.w3.org/2000/svg",
        id=svg_id(prefix, "drawing"),
        class_=f"fw-drawing fw-{sheet.kind} {least_width(sheet.width)}{numbered_part(sheet)}",
        viewBox=_view(sheet.width, sheet.height),
        role="img",
        aria_labelledby=labels,
        **_data(sheet.data),
        font_family="inherit",
        font_size=12,
        text_anchor=anchor,
        fill=OWN_INK,
        stroke_width=LINE,
        stroke_linecap=None if sheet.caps == "butt" else sheet.caps,
        stroke_linejoin="round",
    )
    return Drawn(
        f"{svg}\n",
        sheet.description,
        sheet.width,
        sheet.height,
        svg_id(prefix, "drawing"),
        sheet.title,
        sheet.narrow.key if sheet.narrow else (),
        fold_of(sheet),
        sheet.narrow.besides if sheet.narrow else (),
    )


def _view(width: float, height: float) -> str:
    return f"0 0 {svg_number(width)} {svg_number(height)}"


def drawn_again(
    sheet: Sheet,
    drawn: Drawn,
    prefix: str,
    title: str,
    description: str,
    classes: str,
    under: str = "",
    over: str = "",
    stage: str | None = None,
) -> Drawn:
    """A drawing once more by reference, between what is painted under and over it.

    `stage` is the class the reference stands at, None for the whole drawing.
    """
    told, said, labels = told_by(title, description, prefix)
    again = shape("use", href=f"#{drawn.id}", width=sheet.width, height=sheet.height, class_=stage)
    svg = shape(
        "svg",
        told,
        said,
        under,
        again,
        over,
        xmlns="http://www.w3.org/2000/svg",
        id=prefix,
        class_=f"fw-drawing {classes}",
        viewBox=_view(sheet.width, sheet.height),
        role="img",
        aria_labelledby=labels,
        fill="none",
    )
    fold = drawn.fold
    return Drawn(f"{svg}\n", description, sheet.width, sheet.height, prefix, title, fold=fold)


_SHAPES = re.compile(r"<defs>(.*?)</defs>", re.DOTALL)
_ITS_ID = rf"f\w{{{_STEM}}}[a-z]"
_EACH_SHAPE = re.compile(
    '<g id="(NAME)".*?(?=<g id="NAME"|\\Z)'.replace("NAME", _ITS_ID), re.DOTALL
)
_REFERENCE = re.compile(f'href="#({_ITS_ID})"')


def shapes_once(html: Markup) -> Markup:
    """Drawings of one page: a shape that stands in an earlier one is not written again, a later one
    refers to it.
    """
    first: dict[str, str] = {}
    again: dict[str, str] = {}

    def kept(found: re.Match[str]) -> str:
        name = found[1]
        told = found[0].replace(name, "\0")
        if again.setdefault(name, first.setdefault(told, name)) != name:
            return ""
        return found[0]

    def defined(found: re.Match[str]) -> str:
        left = _EACH_SHAPE.sub(kept, found[1])
        return tag("defs", Markup(left)) if left else ""

    text = _SHAPES.sub(defined, str(html))
    return Markup(_REFERENCE.sub(lambda found: f'href="#{again.get(found[1], found[1])}"', text))


def _with_plain_colour(tag: re.Match[str]) -> str:
    """Programs without custom properties read the attribute, the others the style."""
    styles: list[str] = []

    def plain(found: re.Match[str]) -> str:
        name = found[2]
        colour = (MATERIALS[name[1:]] if is_material(name) else INKS[name]).light
        styles.append(f"{found[1]}:{paint(found[2])}")
        return f'{found[1]}="{colour}"'

    text = re.sub(r'(stroke|fill)="var\(--fw-([a-z0-9]+)\)"', plain, tag[0])
    end = "/>" if text.endswith("/>") else ">"
    if styles and ' style="' in text:
        return text.replace(' style="', f' style="{";".join(styles)};', 1)
    return f'{text[: -len(end)]} style="{";".join(styles)}"{end}' if styles else text


def standalone(drawn: Drawn) -> str:
    """The drawing as a file of its own: with size, colours for light, dark and print,
    and a font.
    """
    svg = re.sub(r"<[a-z][^<>]*>", _with_plain_colour, drawn.svg)
    size = f' width="{svg_number(drawn.width)}" height="{svg_number(drawn.height)}"'
    svg = svg.replace(' role="img"', f'{size} role="img"', 1).replace(
        'font-family="inherit"', 'font-family="Arial, Helvetica, sans-serif"', 1
    )
    stage = re.search(r"\bfw-stage-(\d+)", svg)
    style = standalone_stylesheet(int(stage[1]) if stage else 0, " fw-lifelike" in drawn.svg)
    head = tag("style", Markup(style)) + "\n" + Markup("<title")
    return svg.replace("<title", head, 1)
