"""What a reader could stumble over in a drawing, found by geometry alone in the finished SVG: text
past the edge, text on text, text on a line that is not hidden by the plate under the text, text
that is too small, ids used twice, conductors on top of each other or across a device front.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from math import dist

from firstway.drawing.labels import Bounds, meets
from firstway.drawing.painted import Painted, painted_in
from firstway.drawing.sheet import Point
from firstway.drawing.svg import WIDTH_STEP

SMALLEST_PX = 9.0
PARALLEL = 5.5  # conductors closer than this over some length lie on each other
RAIL = ("main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "blank")


@dataclass(frozen=True)
class Fault:
    kind: str
    where: str

    def __str__(self) -> str:
        return f"{self.kind}: {self.where}"


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
    least = re.findall(r"\bfw-least-(\d+)", reading.root.attrib.get("class", ""))
    scale = sum(map(int, least)) * WIDTH_STEP / width
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


_BESIDE_A_SHEATH = 72.0
"""How far cores run together where they leave their sheath: 30 mm at 2.4 units to a mm."""


def _one_sheath(one: str, other: str) -> bool:
    """Whether two conductors are of one cable: wire.CABLE.FUNCTION."""
    cables = [name.rpartition("wire.")[2].split(".") for name in (one, other)]
    return all(len(parts) == 2 for parts in cables) and cables[0][0] == cables[1][0]


def _conductor_faults(things: list[Painted]) -> Iterator[Fault]:
    """Conductors that lie on each other where neither is drawn broad to tell it, and conductors
    across a device front that is not painted over them.
    """
    wires: dict[str, tuple[tuple[Point, Point], ...]] = {}
    straight: dict[str, tuple[tuple[Point, Point], ...]] = {}  # a bend lies on nothing
    broad: dict[str, list[tuple[Point, Point]]] = {}
    under: dict[str, set[str]] = {}
    fronts: dict[str, Bounds] = {}
    last: dict[str, int] = {}
    for place, thing in enumerate(things):
        words = thing.classes.split()
        if words[:1] == ["conductor"] and "bar" not in words:
            if thing.lines:
                if thing.group in wires and wires[thing.group] != thing.lines:
                    broad.setdefault(thing.group, []).extend(wires[thing.group])
                wires[thing.group] = thing.lines
                straight[thing.group] = thing.straight
                last[thing.group] = place
        elif words[:1] == ["part"] and set(words) & set(RAIL) and thing.opaque:
            fronts[thing.group] = thing.bounds  # of its boxes the last: the front itself
            under.setdefault(thing.group, set(wires))
    names = list(wires)
    for index, name in enumerate(names):
        over = (group for group in fronts if name not in under[group])
        for box in ((group, _grown(fronts[group], -2.0)) for group in over):
            if any(line_meets(start, end, box[1]) for start, end in wires[name]):
                yield Fault("conductor across a device", f"{name} and {box[0]}")
        for other in names[:index]:
            if any(
                (common := _alongside(first, second))
                and not (_one_sheath(name, other) and dist(*common) < _BESIDE_A_SHEATH)
                and not any(
                    _covers(line, common) for line in (*broad.get(name, ()), *broad.get(other, ()))
                )
                and not any(
                    thing.opaque and all(_inside(end, thing.bounds) for end in common)
                    for thing in things[min(last[name], last[other]) + 1 :]
                )
                for first in straight[name]
                for second in straight[other]
            ):
                yield Fault("conductor on conductor", f"{name} and {other}")


def _alongside(
    first: tuple[Point, Point], second: tuple[Point, Point]
) -> tuple[Point, Point] | None:
    """The stretch of the first line along which the second lies on it."""
    (a, b), (c, d) = first, second
    for across in (0, 1):
        along = 1 - across
        if (
            abs(a[across] - b[across]) < 0.1
            and abs(c[across] - d[across]) < 0.1
            and abs(a[across] - c[across]) < PARALLEL
        ):
            high = min(max(a[along], b[along]), max(c[along], d[along]))
            low = max(min(a[along], b[along]), min(c[along], d[along]))
            if high - low > 4:
                ends = [(0.0, 0.0), (0.0, 0.0)]
                for place, at in enumerate((low, high)):
                    ends[place] = (a[0], at) if along else (at, a[1])
                return ends[0], ends[1]
    return None


def _inside(point: Point, box: Bounds) -> bool:
    return box[0] - 8 <= point[0] <= box[2] + 8 and box[1] - 8 <= point[1] <= box[3] + 8


def _covers(line: tuple[Point, Point], stretch: tuple[Point, Point]) -> bool:
    """Whether a broad line runs along a stretch, but for what its ends may lack."""
    reach = 20.0
    return all(
        min(line[0][axis], line[1][axis]) - reach
        <= end[axis]
        <= max(line[0][axis], line[1][axis]) + reach
        for end in stretch
        for axis in (0, 1)
    )
