"""Drawing: what a finished SVG paints, and where.

It reads the SVG back, so it sees what a browser paints. Widths are those of an Arial-metric face
with the reserve of `text_width`.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree

from firstway.drawing.labels import Bounds
from firstway.drawing.sheet import LINE, Point
from firstway.drawing.text_width import reserved_width

ASCENT, DESCENT = 0.74, 0.22  # of the text size, from the baseline


@dataclass(frozen=True)
class Painted:
    """One thing on the paper, in painting order. `lines` go through the corners; of them `straight`
    are those that no bend rounds off.
    """

    group: str
    classes: str
    bounds: Bounds
    lines: tuple[tuple[Point, Point], ...] = ()
    straight: tuple[tuple[Point, Point], ...] = ()
    reach: float = 0.0
    opaque: bool = False
    words: str = ""
    size: float = 0.0


@dataclass
class _Reading:
    root: ElementTree.Element
    things: list[Painted] = field(default_factory=list)
    by_id: dict[str, ElementTree.Element] = field(default_factory=dict)
    ids: list[str] = field(default_factory=list)


def _tag(element: ElementTree.Element) -> str:
    return element.tag.rpartition("}")[2]


def painted_in(svg: str) -> _Reading:
    """Everything painted, with what it inherits."""
    reading = _Reading(ElementTree.fromstring(svg))
    for element in reading.root.iter():
        if "id" in element.attrib:
            reading.ids.append(element.attrib["id"])
            reading.by_id[element.attrib["id"]] = element
    _read(reading, reading.root, {}, "", "", (0.0, 0.0))
    return reading


def _read(
    reading: _Reading,
    element: ElementTree.Element,
    given: dict[str, str],
    group: str,
    classes: str,
    at: Point,
) -> None:
    tag = _tag(element)
    if tag in ("defs", "title", "desc", "style") or element.attrib.get("display") == "none":
        return
    style = {
        **given,
        **{
            key: value
            for key, value in element.attrib.items()
            if key in ("fill", "stroke", "stroke-width", "font-size", "font-weight", "text-anchor")
        },
    }
    if tag == "g" and "id" in element.attrib:
        group, classes = element.attrib["id"], element.attrib.get("class", "")
    if tag in ("svg", "g"):
        for child in element:
            _read(reading, child, style, group, classes, at)
    elif tag == "use":
        target = reading.by_id[element.attrib["href"][1:]]
        moved = (
            at[0] + float(element.attrib.get("x", 0)),
            at[1] + float(element.attrib.get("y", 0)),
        )
        own = {**style, **{key: value for key, value in target.attrib.items() if key in style}}
        if _tag(target) == "g":
            own.update(
                {
                    key: value
                    for key, value in target.attrib.items()
                    if key in ("fill", "stroke", "stroke-width")
                }
            )
            for child in target:
                _read(reading, child, own, group, classes, moved)
        else:
            reading.things.extend(_painted(target, own, group, classes, moved))
    else:
        reading.things.extend(_painted(element, style, group, classes, at))


def _painted(
    element: ElementTree.Element, style: dict[str, str], group: str, classes: str, at: Point
) -> Iterator[Painted]:
    tag, get = _tag(element), element.attrib.get
    if tag == "text":
        yield _text(element, style, group, classes, at)
        return
    reach = (
        float(style.get("stroke-width", LINE)) / 2 if style.get("stroke", "none") != "none" else 0.0
    )
    filled = style.get("fill", "none") != "none"
    if tag == "rect":
        x, y = float(get("x", 0)) + at[0], float(get("y", 0)) + at[1]
        w, h = float(get("width", 0)), float(get("height", 0))
        corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)]
    elif tag in ("circle", "ellipse"):
        x, y = float(get("cx", 0)) + at[0], float(get("cy", 0)) + at[1]
        rx, ry = float(get("r", get("rx", 0))), float(get("r", get("ry", 0)))
        corners = [(x + rx * c, y + ry * s) for c, s in _CIRCLE]
    else:
        corners = [(x + at[0], y + at[1]) for x, y in _path_points(get("d", ""))]
    if not corners or (not reach and not filled):
        return
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    bounds = (min(xs), min(ys), max(xs), max(ys))
    starts, bends = _starts_and_bends(get("d", "")) if tag == "path" else (set(), set())
    pairs = [
        (place, pair)
        for place, pair in enumerate(zip(corners, corners[1:]), 1)
        if reach and place not in starts
    ]
    opaque = filled and tag in ("rect", "circle", "ellipse")
    yield Painted(
        group,
        classes,
        bounds,
        tuple(pair for _, pair in pairs),
        tuple(pair for place, pair in pairs if not bends & {place - 1, place}),
        reach,
        opaque,
    )


_CIRCLE = [
    (1, 0),
    (0.87, 0.5),
    (0.5, 0.87),
    (0, 1),
    (-0.5, 0.87),
    (-0.87, 0.5),
    (-1, 0),
    (-0.87, -0.5),
    (-0.5, -0.87),
    (0, -1),
    (0.5, -0.87),
    (0.87, -0.5),
    (1, 0),
]


_COMMAND = re.compile("([MLHVQAZ])([^MLHVQAZ]*)", re.IGNORECASE)
_FIGURE = re.compile(r"-?(?:\d+(?:\.\d+)?|\.\d+)")


def _starts_and_bends(data: str) -> tuple[set[int], set[int]]:
    """Which corners of a path begin a piece of their own: no line leads to them. And which a bend
    rounds off.
    """
    starts, bends, corner = set(), set(), 0
    for command, _ in _COMMAND.findall(data):
        if command == "M":
            starts.add(corner)
        if command in "Qq":
            bends.add(corner)
        corner += 2 if command in "Qq" else 1
    return starts, bends


def _path_points(data: str) -> list[Point]:
    """The corners of the path data this package writes: M, L, H, V, Q (its corner), A (its
    end), Z; small letters count from the corner before.
    """
    points: list[Point] = []
    start = 0
    for command, rest in _COMMAND.findall(data):
        values = [float(value) for value in _FIGURE.findall(rest)]
        last = points[-1] if points else (0.0, 0.0)
        x, y = last if command.islower() else (0.0, 0.0)
        kind = command.upper()
        if kind == "H":
            points.append((x + values[0], last[1]))
        elif kind == "V":
            points.append((last[0], y + values[0]))
        elif kind == "Q":
            points += [(x + values[0], y + values[1]), (x + values[2], y + values[3])]
        elif kind == "A":
            points.append((x + values[5], y + values[6]))
        elif kind == "Z":
            points.append(points[start])
        else:
            start = len(points) if kind == "M" else start
            points.append((x + values[0], y + values[1]))
    return points


def _text(
    element: ElementTree.Element, style: dict[str, str], group: str, classes: str, at: Point
) -> Painted:
    size = float(style.get("font-size", 12))
    words = "".join(element.itertext())
    width = reserved_width(words, size, style.get("font-weight") == "700")
    x, y = float(element.attrib["x"]) + at[0], float(element.attrib["y"]) + at[1]
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[style.get("text-anchor", "start")]
    corners = [(left, -ASCENT * size), (left + width, DESCENT * size)]
    turn = re.match(r"rotate\((-?\d+)", element.attrib.get("transform", ""))
    if turn and float(turn[1]) == -90:
        corners = [(b, -a) for a, b in corners]
    elif turn:
        corners = [(-b, a) for a, b in corners]
    xs, ys = [x + a for a, _ in corners], [y + b for _, b in corners]
    return Painted(group, classes, (min(xs), min(ys), max(xs), max(ys)), words=words, size=size)
