"""Wiring view: the plan of the board laid flat on the paper, and which stretch of a conductor lies
before or behind which.

Nothing is placed here: every point is the projection of the layout's own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from math import dist, floor, fsum, hypot

from firstway.drawing.line_styles import core_width
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import BAR, Point
from firstway.drawing.wiring_view.free_room import away_from
from firstway.drawing.wiring_view.lanes import LaneWire, side_by_side
from firstway.frozen import dataclass
from firstway.layout.entries import opening_for
from firstway.layout.plan import XYZ, Laid, Layout, LineBar, Solid
from firstway.wiring.graph import Conductor, Wiring

WIDEST_BOX, MOST_UNITS, LEAST_UNITS = 860.0, 3.0, 2.4  # units of the enclosure; units to a mm
MODULE_WORDS = 44.0  # units that the words of a device of one module need
LIE_OVER = 5.6  # units: conductors nearer than this lie on each other on the paper
_SHORT = 10.0  # units of a common stretch that need no telling
_AT_TURN = 9.0  # units round a turn that are free of others
_LETTERS = 20.0  # units from a screw to the far edge of its letters
_RISE = 12.0  # mm along z that are shown as a turn to the back


@dataclass(frozen=True)
class FlatScale:
    """Units of the drawing to a mm, and where the corner of the enclosure lies."""

    units: float
    left: float
    top: float

    def at(self, point: XYZ | Point) -> Point:
        """The projection of a place of the plan, on a whole unit."""
        x, y = self.left + self.units * point[0], self.top + self.units * point[1]
        return float(floor(x + 0.5)), float(floor(y + 0.5))

    def rect(self, body: Solid) -> Rect:
        """The projection of a body."""
        (x, y), (right, low) = self.at(body.low), self.at(body.high)
        return Rect(x, y, right - x, low - y)


@dataclass(frozen=True)
class FlatWire:
    """A laid conductor on the paper: its corners, those stretches of it that lie before the backs
    of the devices, where it turns to the back, and stretches where another lies right before it.

    `depth` orders conductors from the back to the eye. `ends` are the graph's terminals of its
    first and last corner, "" for one that leaves the board.
    """

    id: str
    points: tuple[Point, ...]
    deep: bool
    front: tuple[tuple[Point, ...], ...]
    turns: tuple[Point, ...]
    covered: tuple[tuple[Point, Point], ...]
    depth: float
    opening: str


@dataclass(frozen=True)
class FlatBoard:
    """Everything in the enclosure, on the paper.

    `bars` have the side they are on. `rails` are the lines of the line bar: y or x of each, and
    from where to where. `hidden` are the strokes of conductors that run under a device, by
    conductor.
    """

    scale: FlatScale
    enclosure: Rect
    devices: dict[str, Rect]
    noses: dict[str, Rect]
    bars: dict[str, tuple[Rect, str]]
    line_bar: Rect | None
    terminals: dict[str, Point]
    out: dict[str, str]
    wires: dict[str, FlatWire]
    combs: dict[str, tuple[Point, Point]]
    rails: dict[str, tuple[Point, Point]]
    hidden: dict[str, tuple[tuple[Point, Point], ...]]


def units_to_a_mm(layout: Layout) -> float:
    """The scale: as large as a sheet that shrinks to a tablet allows."""
    narrowest = min(
        (min(each.body.size(0), each.body.size(1)) for each in layout.parts.devices), default=35.0
    )
    fitting = min(MOST_UNITS, WIDEST_BOX / layout.parts.outer.size(0))
    return max(fitting, LEAST_UNITS, min(MODULE_WORDS / narrowest, MOST_UNITS))


def flat_board(
    layout: Layout, wiring: Wiring, scale: FlatScale, leaving: Mapping[str, Point]
) -> FlatBoard:
    """The projection of a plan, where what would lie behind another is parted from it; `leaving`
    are the places where conductors leave the board, spread side by side.
    """
    parts = layout.parts
    terminals = {name: scale.at(spot.at) for name, spot in parts.spots.items()}
    levels = _levels(parts.line_bar, wiring, terminals, scale)
    for name in terminals:
        if name.startswith("bar."):
            terminals[name] = _on_level(terminals[name], levels, name.split(".")[1], parts.line_bar)
    round_ones = {
        each.id: each
        for each in wiring.conductors
        if each.id in layout.by_id and layout.by_id[each.id].diameter_mm
    }
    combs = {
        each.id: (terminals[each.start], terminals[each.end])
        for each in wiring.conductors
        if each.kind == "bar" and each.start in terminals and each.end in terminals
    }
    devices = {each.name: scale.rect(each.body) for each in parts.devices}
    laid = _parted(layout, round_ones, scale, leaving, combs, devices, terminals)
    wires = {name: _wire(layout, laid[name], round_ones[name], scale) for name in round_ones}
    return FlatBoard(
        scale,
        scale.rect(parts.outer),
        devices,
        {each.name: scale.rect(each.nose) for each in parts.devices},
        {each.name: (scale.rect(each.box), each.side) for each in parts.bars},
        scale.rect(parts.line_bar.box) if parts.line_bar else None,
        terminals,
        {name: _faces(name, spot.out, wiring, terminals) for name, spot in parts.spots.items()},
        _with_covered(_with_turns(layout, wires, scale)),
        combs,
        _rails(combs, wiring),
        {name: tuple(_under(wire, devices, parts.spots)) for name, wire in wires.items()},
    )


def _parted(
    layout: Layout,
    conductors: Mapping[str, Conductor],
    scale: FlatScale,
    leaving: Mapping[str, Point],
    combs: Mapping[str, tuple[Point, Point]],
    devices: Mapping[str, Rect],
    terminals: Mapping[str, Point],
) -> dict[str, Laid]:
    """Each laid conductor with its corners where they are drawn, still in mm of the plan."""
    backs = _backs(layout)
    spots = layout.parts.spots
    wires = []
    for name, conductor in conductors.items():
        laid = layout.by_id[name]
        points = tuple((*scale.at(point), point[2]) for point in laid.points)
        first, last = points[0][:2], points[-1][:2]
        if name in leaving:
            out = conductor.start not in spots
            first, last = (leaving[name], last) if out else (first, leaving[name])
        depth = fsum(point[2] for point in laid.points) / len(laid.points)
        wires.append(LaneWire(name, points, core_width(laid.diameter_mm), depth, (first, last)))
    letters = [
        (at, _inward(at, spots[name].out))
        for name, at in terminals.items()
        if name.partition(".")[0] in devices and name in spots
    ]
    found = side_by_side(wires, combs.values(), BAR, letters, tuple(devices.values()), backs)
    return {
        name: replace(
            layout.by_id[name],
            points=tuple(
                ((x - scale.left) / scale.units, (y - scale.top) / scale.units, z)
                for x, y, z in points
            ),
        )
        for name, points in found.items()
    }


def _inward(at: Point, out: str) -> Point:
    """As far as the letters of a screw reach, away from the side its conductor comes from."""
    return at[0], at[1] + {"top": _LETTERS, "bottom": -_LETTERS}.get(out, -_LETTERS)


def _backs(layout: Layout) -> float:
    """The depth of the backs of the devices, in mm."""
    return min((each.body.low[2] for each in layout.parts.devices), default=0.0)


def _wire(layout: Layout, laid: Laid, conductor: Conductor, scale: FlatScale) -> FlatWire:
    backs = _backs(layout)
    points = _flattened(laid.points, scale)
    front = tuple(
        _flattened(stretch, scale) for stretch in _before(laid.points, backs) if len(stretch) > 1
    )
    opening = ""
    for end, other in ((conductor.start, conductor.end), (conductor.end, conductor.start)):
        if end not in layout.parts.spots and other in layout.parts.spots:
            opening = opening_for(conductor, layout.parts.openings)
    return FlatWire(
        laid.id,
        points,
        any(point[2] < backs for point in laid.points),
        tuple(each for each in front if len(each) > 1),
        tuple(
            scale.at(a)
            for a, b in zip(laid.points, laid.points[1:])
            if hypot(b[0] - a[0], b[1] - a[1]) < 1.0 and abs(b[2] - a[2]) > _RISE
        ),
        (),
        fsum(point[2] for point in laid.points) / len(laid.points),
        opening,
    )


def _flattened(points: Sequence[XYZ], scale: FlatScale) -> tuple[Point, ...]:
    """Projected, without points that fall together; turns back on itself are kept."""
    found: list[Point] = []
    for point in points:
        here = scale.at(point)
        if not found or dist(found[-1], here) > 0.3:
            found.append(here)
    if len(found) == 1:
        found.append((found[0][0], found[0][1] + 0.1))
    return tuple(found)


def _before(points: Sequence[XYZ], backs: float) -> Iterator[tuple[XYZ, ...]]:
    """The stretches of a line that lie before the backs of the devices."""
    stretch: list[XYZ] = [points[0]] if points[0][2] >= backs else []
    for a, b in zip(points, points[1:]):
        if (a[2] >= backs) != (b[2] >= backs):
            share = (backs - a[2]) / (b[2] - a[2])
            cut = (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share, backs)
            if stretch:
                yield (*stretch, cut)
                stretch = []
            else:
                stretch = [cut]
        if b[2] >= backs:
            stretch.append(b)
    if stretch:
        yield tuple(stretch)


def _levels(
    bar: LineBar | None, wiring: Wiring, terminals: Mapping[str, Point], scale: FlatScale
) -> dict[str, float]:
    """Where each line of the line bar is drawn, across its body: in line with its lug, else side by
    side. The plan gives all lines the bar's own middle.
    """
    if bar is None:
        return {}
    parts = {part.name: part.kind for part in wiring.parts}
    on_bar = [each for each in wiring.terminals if parts.get(each.device) == "line-bar"]
    lines = sorted({each.function for each in on_bar})
    axis = 1 if bar.box.size(0) >= bar.box.size(1) else 0
    lugs = {
        each.function: terminals[each.id][axis]
        for each in on_bar
        if each.id in terminals and any(one.kind != "bar" for one in wiring.conductors_at(each.id))
    }
    if set(lugs) == set(lines):
        return {str(line): at for line, at in lugs.items()}
    low = scale.at(bar.box.low)[axis]
    step = bar.box.size(axis) * scale.units / max(len(lines), 1)
    return {line: low + (place + 0.5) * step for place, line in enumerate(lines)}


def _on_level(point: Point, levels: Mapping[str, float], line: str, bar: LineBar | None) -> Point:
    if bar is None or line not in levels:
        return point
    across = bar.box.size(0) >= bar.box.size(1)
    return (point[0], levels[line]) if across else (levels[line], point[1])


def _faces(name: str, out: str, wiring: Wiring, terminals: Mapping[str, Point]) -> str:
    """The side a terminal's metal comes from: that of the line bar for what it feeds."""
    here = terminals[name]
    for each in wiring.conductors_at(name):
        other = each.end if each.start == name else each.start
        if each.kind == "bar" and other.startswith("bar.") and other in terminals:
            dx, dy = terminals[other][0] - here[0], terminals[other][1] - here[1]
            if abs(dx) > abs(dy):
                return "right" if dx > 0 else "left"
            return "bottom" if dy > 0 else "top"
    return out


def _rails(
    combs: Mapping[str, tuple[Point, Point]], wiring: Wiring
) -> dict[str, tuple[Point, Point]]:
    """From end to end of each line of the line bar."""
    found: dict[str, list[Point]] = {}
    for each in wiring.conductors:
        if each.id in combs and each.start.startswith("bar.") and each.end.startswith("bar."):
            found.setdefault(each.function, []).extend(combs[each.id])
    return {line: (min(points), max(points)) for line, points in found.items()}


# What lies over what


def _with_turns(
    layout: Layout, wires: Mapping[str, FlatWire], scale: FlatScale
) -> dict[str, FlatWire]:
    """Each wire with those turns to the back that can be marked: not at a hole in the back, which
    says so itself, nor where the mark would lie on another conductor.
    """
    holes = [
        (scale.at(each.at), each.hole_mm * scale.units / 2 + _AT_TURN)
        for each in layout.parts.openings
        if each.side == "back"
    ]
    pieces = {name: list(zip(wire.points, wire.points[1:])) for name, wire in wires.items()}
    found = {}
    for name, wire in wires.items():
        others = [piece for one, own in pieces.items() if one != name for piece in own]
        turns = tuple(
            at
            for at in wire.turns
            if not any(dist(at, hole) < reach for hole, reach in holes)
            and away_from(at, others, _AT_TURN)
        )
        found[name] = replace(wire, turns=turns)
    return found


def _with_covered(wires: Mapping[str, FlatWire]) -> dict[str, FlatWire]:
    """Each wire with the stretches over which another lies right before it on the paper."""
    order = sorted(wires.values(), key=lambda wire: (wire.depth, wire.id))
    found: dict[str, list[tuple[Point, Point]]] = {}
    pieces = {
        wire.id: [pair for pair in zip(wire.points, wire.points[1:]) if dist(*pair) > _SHORT]
        for wire in order
    }
    for place, under in enumerate(order):
        for over in order[place + 1 :]:
            for one in pieces[under.id]:
                for other in pieces[over.id]:
                    if (common := _common(one, other)) is not None:
                        found.setdefault(under.id, []).append(common)
    return {
        name: (replace(wire, covered=tuple(found[name])) if name in found else wire)
        for name, wire in wires.items()
    }


def _common(one: tuple[Point, Point], other: tuple[Point, Point]) -> tuple[Point, Point] | None:
    """The stretch of the first piece that lies under the second."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    if (
        max(ax, bx) + LIE_OVER < min(cx, dx)
        or max(cx, dx) + LIE_OVER < min(ax, bx)
        or max(ay, by) + LIE_OVER < min(cy, dy)
        or max(cy, dy) + LIE_OVER < min(ay, by)
    ):
        return None
    length = hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / length, (by - ay) / length
    if abs(ux * (dy - cy) - uy * (dx - cx)) > LIE_OVER:
        return None
    if min(abs(ux * (cy - ay) - uy * (cx - ax)), abs(ux * (dy - ay) - uy * (dx - ax))) > LIE_OVER:
        return None
    shares = sorted(((cx - ax) * ux + (cy - ay) * uy, (dx - ax) * ux + (dy - ay) * uy))
    low, high = max(0.0, shares[0]), min(length, shares[1])
    if high - low < _SHORT:
        return None
    return (ax + ux * low, ay + uy * low), (ax + ux * high, ay + uy * high)


def _under(
    wire: FlatWire, devices: Mapping[str, Rect], spots: Mapping[str, object]
) -> Iterator[tuple[Point, Point]]:
    """The stretches of a wire that run behind devices, upright or level, from edge to edge."""
    if not wire.deep:
        return
    for (ax, ay), (bx, by) in zip(wire.points, wire.points[1:]):
        for box in devices.values():
            low, high = min(ay, by), max(ay, by)
            if abs(ax - bx) < 3 and box.x < ax < box.x + box.width:
                if low < box.y + 3 and high > box.y + box.height - 3:
                    yield (ax, box.y), (bx, box.y + box.height)
            low, high = min(ax, bx), max(ax, bx)
            if abs(ay - by) < 3 and box.y < ay < box.y + box.height:
                if low < box.x + 3 and high > box.x + box.width - 3:
                    yield (box.x, ay), (box.x + box.width, by)
