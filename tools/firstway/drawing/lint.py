"""Drawing: the drawing lint: what a reader could stumble over, found by geometry alone in the
finished SVG.

It reads the SVG back, so it sees what a browser paints: text past the edge, text on text, text on a
line that is not hidden by the plate under the text, text that is too small, ids used twice,
conductors on top of each other or across a device front. Widths are those of an Arial-metric face
with the reserve of `text_width`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from xml.etree import ElementTree

from firstway.drawing.labels import Bounds, meets
from firstway.drawing.sheet import Point
from firstway.drawing.svg import WIDTH_STEP
from firstway.drawing.text_width import reserved_width

SMALLEST_PX = 9.0
ASCENT, DESCENT = 0.74, 0.22  # of the text size, from the baseline
PARALLEL = 5.5  # conductors closer than this over some length lie on each other
RAIL = ("main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "blank")


@dataclass(frozen=True)
class Fault:
    kind: str
    where: str

    def __str__(self) -> str:
        return f"{self.kind}: {self.where}"


@dataclass(frozen=True)
class Painted:
    """One thing on the paper, in painting order."""

    group: str
    classes: str
    bounds: Bounds
    lines: tuple[tuple[Point, Point], ...] = ()
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
    if tag in ("defs", "title", "desc", "style"):
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
        float(style.get("stroke-width", 1.5)) / 2 if style.get("stroke", "none") != "none" else 0.0
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
    lines = tuple(zip(corners, corners[1:])) if reach else ()
    opaque = filled and tag in ("rect", "circle", "ellipse")
    yield Painted(group, classes, bounds, lines, reach, opaque)


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


def _path_points(data: str) -> list[Point]:
    """The corners of the path data this package writes: M, L, H, V, Q (its corner), A (its
    end), Z.
    """
    points: list[Point] = []
    for command, rest in re.findall(r"([MLHVQAZ])([^MLHVQAZ]*)", data):
        values = [float(value) for value in re.findall(r"-?\d+(?:\.\d+)?", rest)]
        last = points[-1] if points else (0.0, 0.0)
        if command == "H":
            points.append((values[0], last[1]))
        elif command == "V":
            points.append((last[0], values[0]))
        elif command == "Q":
            points += [(values[0], values[1]), (values[2], values[3])]
        elif command == "A":
            points.append((values[5], values[6]))
        elif command == "Z":
            points.append(points[0])
        else:
            points.append((values[0], values[1]))
    return points


def _text(
    element: ElementTree.Element, style: dict[str, str], group: str, classes: str, at: Point
) -> Painted:
    size = float(style.get("font-size", 12))
    words = element.text or ""
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


def line_meets(first: Point, second: Point, box: Bounds) -> bool:
    """Whether a straight line touches a box (clipping by halves)."""
    (x, y), (dx, dy) = first, (second[0] - first[0], second[1] - first[1])
    low, high = 0.0, 1.0
    for step, near, far in ((dx, box[0] - x, box[2] - x), (dy, box[1] - y, box[3] - y)):
        if abs(step) < 1e-12:
            if near > 0 or far < 0:
                return False
            continue
        a, b = sorted((near / step, far / step))
        low, high = max(low, a), min(high, b)
        if low > high:
            return False
    return True


def faults_in(svg: str) -> tuple[Fault, ...]:
    """Every fault of a drawing made by this package; () when it is clean."""
    reading = painted_in(svg)
    width, height = (float(value) for value in reading.root.attrib["viewBox"].split()[2:])
    faults = [
        Fault("id used twice", name)
        for name in sorted({i for i in reading.ids if reading.ids.count(i) > 1})
    ]
    least = re.search(r"\bfw-least-(\d+)", reading.root.attrib.get("class", ""))
    scale = int(least[1]) * WIDTH_STEP / width if least else 0.0
    faults += [
        Fault("file holds an address", found)
        for found in re.findall(r'(?:href|src)="(?!#)[^"]*"|url\([^#)][^)]*\)', svg)
    ]
    texts = [(place, thing) for place, thing in enumerate(reading.things) if thing.words]
    for place, text in texts:
        faults += _text_faults(reading.things, place, text, width, height)
        if text.size * scale < SMALLEST_PX - 0.01:
            faults.append(
                Fault(
                    "text too small", f"'{text.words}' in {text.group}: {text.size * scale:.1f} px"
                )
            )
    faults += _conductor_faults(reading.things)
    return tuple(faults)


def _text_faults(
    things: list[Painted], place: int, text: Painted, width: float, height: float
) -> Iterator[Fault]:
    name = f"'{text.words}' in {text.group}"
    a, b, c, d = text.bounds
    if a < 0 or b < 0 or c > width or d > height:
        yield Fault("text past the edge", name)
    tight = (a + 0.6, b + 0.6, c - 0.6, d - 0.6)
    for other_place, other in enumerate(things):
        if other.words:
            if other_place > place and meets(tight, other.bounds):
                yield Fault("text on text", f"{name} and '{other.words}' in {other.group}")
        elif other.lines and meets(tight, _grown(other.bounds, other.reach)):
            box = (
                tight[0] - other.reach,
                tight[1] - other.reach,
                tight[2] + other.reach,
                tight[3] + other.reach,
            )
            if other.group == text.group and other.opaque and _holds(other.bounds, text):
                continue
            if any(line_meets(start, end, box) for start, end in other.lines) and not _hidden(
                things, other_place, place, text
            ):
                yield Fault("text on a line", f"{name} and {other.group}")


def _grown(box: Bounds, by: float) -> Bounds:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _holds(plate: Bounds, text: Painted) -> bool:
    """A plate or ring round its own short text, by the height of capitals."""
    a, _, c, _ = text.bounds
    return plate[0] - 0.5 <= a and c <= plate[2] + 0.5


def _hidden(things: list[Painted], line: int, text_place: int, text: Painted) -> bool:
    """Whether a plate painted after the line and before the text covers the text's place."""
    a, b, c, d = text.bounds
    return any(
        thing.opaque
        and thing.bounds[0] <= a + 0.6
        and thing.bounds[1] <= b + 1.6
        and thing.bounds[2] >= c - 0.6
        and thing.bounds[3] >= d - 1.6
        for thing in things[line + 1 : text_place]
    )


def _conductor_faults(things: list[Painted]) -> Iterator[Fault]:
    """Conductors that lie on each other, and conductors across a device front."""
    wires: dict[str, tuple[tuple[Point, Point], ...]] = {}
    fronts: dict[str, Bounds] = {}
    for thing in things:
        words = thing.classes.split()
        if words[:1] == ["conductor"] and "bar" not in words:
            wires.setdefault(thing.group, thing.lines)
        elif words[:1] == ["part"] and set(words) & set(RAIL) and thing.opaque:
            fronts.setdefault(thing.group, thing.bounds)
    names = list(wires)
    for index, name in enumerate(names):
        for box in ((group, _grown(bounds, -2.0)) for group, bounds in fronts.items()):
            if any(line_meets(start, end, box[1]) for start, end in wires[name]):
                yield Fault("conductor across a device", f"{name} and {box[0]}")
        for other in names[:index]:
            if any(_alongside(first, second) for first in wires[name] for second in wires[other]):
                yield Fault("conductor on conductor", f"{name} and {other}")


def _alongside(first: tuple[Point, Point], second: tuple[Point, Point]) -> bool:
    (a, b), (c, d) = first, second
    for across in (0, 1):
        along = 1 - across
        if (
            abs(a[across] - b[across]) < 0.1
            and abs(c[across] - d[across]) < 0.1
            and abs(a[across] - c[across]) < PARALLEL
        ):
            shared = min(max(a[along], b[along]), max(c[along], d[along])) - max(
                min(a[along], b[along]), min(c[along], d[along])
            )
            if shared > 2:
                return True
    return False
