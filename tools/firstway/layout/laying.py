"""Layout: every conductor of the board laid in its channels: which way, on which track beside the
devices, at which depth.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from math import cos, dist, pi, sin
from types import MappingProxyType

from firstway.frozen import dataclass
from firstway.layout.bending import along, apart, corners_of, enters, tightest, with_sets
from firstway.layout.channels import (
    BEHIND,
    TO_BACK,
    ChannelNode,
    Channels,
    Passage,
    channels_of,
    faces,
    gutter,
    shortest,
)
from firstway.layout.plan import XYZ, Parts, Side, TerminalSpot, WallOpening
from firstway.layout.sizes import Sizes
from firstway.wiring.graph import Conductor, Wiring

_Bounds = tuple[float, float, float, float, float, float]
_TRIES, _MANY = 2, 20  # how often other ways are tried for what finds no room; once for many


@dataclass(frozen=True)
class Wire:
    """A conductor that is to be laid, between two ends: terminals, or an opening for the end that
    lies outside.
    """

    conductor: Conductor
    start: str
    end: str
    diameter: float
    radius: float
    order: tuple[int, int]


@dataclass(frozen=True)
class Course:
    """A wire with its corners; `tight` says that its bends find no room."""

    wire: Wire
    points: tuple[XYZ, ...]
    tight: bool

    @cached_property
    def pieces(self) -> tuple[tuple[XYZ, XYZ, _Bounds], ...]:
        """Its straight pieces, each with what bounds it."""
        return tuple((a, b, _bounds((a, b))) for a, b in zip(self.points, self.points[1:]))

    @cached_property
    def bounds(self) -> _Bounds:
        """What bounds it as a whole."""
        return _bounds(self.points)


@dataclass(frozen=True)
class Courses:
    """All wires as they lie, and the pairs that lie in the same place."""

    channels: Channels
    ways: dict[str, Passage]
    courses: tuple[Course, ...]
    touching: tuple[tuple[str, str], ...]


def wires_of(wiring: Wiring, parts: Parts, sizes: Sizes) -> tuple[Wire, ...]:
    """The round conductors of the board in the order in which they are laid: leads of surge
    protective devices first, then each cable with its line ahead of its neutral, then links.
    """
    found = []
    for number, each in enumerate(wiring.conductors):
        ends = [end if end in parts.spots else "" for end in (each.start, each.end)]
        if each.kind == "bar" or not any(ends):
            continue
        if not all(ends):
            outside = wiring.terminal(each.end if ends[0] else each.start)
            part = wiring.part(outside.device) if outside else None
            opening = parts.opening(each.cable or "feed")
            if part is None or part.place == "board" or opening is None:
                continue
            ends = [end or opening.name for end in ends]
        place = 0 if each.kind == "lead" else 1 if each.cable else 2
        found.append(
            Wire(
                each,
                ends[0],
                ends[1],
                sizes.diameter_mm(sizes.csa_mm2(each)),
                sizes.radius_mm(each),
                (place, number),
            )
        )
    return tuple(sorted(found, key=lambda wire: wire.order))


def courses_of(parts: Parts, wires: Sequence[Wire], sizes: Sizes) -> Courses:
    """Lays them one after the other; those laid first have the better places.

    Where a bend finds no room on the shortest way, another way past the devices is tried.
    """
    channels = channels_of(parts, {end for wire in wires for end in (wire.start, wire.end)})
    ends = ("top", "bottom") if parts.upright else ("left", "right")
    passing = channels.behind | set(ends)
    avoid: dict[str, frozenset[str]] = {}
    best = now = _laid(parts, channels, wires, sizes, avoid)
    for _ in range(_TRIES if len(wires) < _MANY else 1):
        tight = [course.wire.conductor.id for course in now.courses if course.tight]
        more = {name: passing & set(now.ways[name].channels) for name in tight}
        if not any(more.values()):
            break
        avoid |= {name: avoid.get(name, frozenset()) | some for name, some in more.items() if some}
        now = _laid(parts, channels, wires, sizes, avoid)
        if _tight(now) > _tight(best):
            break
        best = now if _tight(now) < _tight(best) else best
    return best


def _tight(courses: Courses) -> int:
    return sum(course.tight for course in courses.courses)


def _laid(
    parts: Parts,
    channels: Channels,
    wires: Sequence[Wire],
    sizes: Sizes,
    avoid: Mapping[str, frozenset[str]],
) -> Courses:
    ways = ways_of(parts, channels, wires, avoid)
    tracks = _Tracks(
        parts, channels, wires, ways, sizes("between-conductors"), sizes("clamp-inset")
    )
    laid: list[Course] = []
    touching: list[tuple[str, str]] = []
    for wire in wires:
        course, met = _freest(parts, tracks, wire, laid, sizes)
        laid.append(course)
        touching += [(other, wire.conductor.id) for other in met]
    return Courses(channels, ways, tuple(laid), tuple(touching))


# Which way


def ways_of(
    parts: Parts,
    channels: Channels,
    wires: Sequence[Wire],
    avoid: Mapping[str, frozenset[str]] = MappingProxyType({}),
) -> dict[str, Passage]:
    """The shortest way of each wire; line and neutral of one circuit pass the devices together.
    `avoid` are channels in which a wire found no room for its bends.
    """
    found: dict[str, Passage] = {}
    leaders: dict[str, Passage] = {}
    for wire in wires:
        start, end = channels.ends[wire.start], channels.ends[wire.end]
        closed, group = closed_to(parts, channels, wire), group_of(wire)
        way = None
        if group in leaders:
            way = shortest(
                channels, start, end, closed | _not_with(parts, channels, leaders[group])
            )
        shunned = avoid.get(wire.conductor.id, frozenset())
        way = way if way and not shunned else shortest(channels, start, end, closed | shunned)
        way = way or shortest(channels, start, end, closed)
        if way is None:
            raise LookupError(f"no channel leads from {wire.start} to {wire.end}")
        if group:
            leaders.setdefault(group, way)
        found[wire.conductor.id] = way
    return found


def closed_to(parts: Parts, channels: Channels, wire: Wire) -> frozenset[str]:
    """Channels a wire does not use: those behind the rail but straight behind its own terminal, or
    where it has none there straight at its ends; all of them where its bends find no room, or
    where it goes out through the back.
    """
    holes = [parts.opening(end) for end in (wire.start, wire.end)]
    if not bends_back(parts, wire) or any(hole and hole.side == "back" for hole in holes):
        return channels.behind | {TO_BACK}
    axis = 1 if parts.upright else 0
    ends = [end for end in (wire.start, wire.end) if end in parts.spots]
    own = [end for end in ends if faces(parts, parts.spots[end]) == parts.spots[end].out]
    return channels.behind - {
        f"{BEHIND} {round(channels.nodes[channels.ends[end]].at[axis], 6):g}"
        for end in own or (wire.start, wire.end)
    }


def _not_with(parts: Parts, channels: Channels, leader: Passage) -> frozenset[str]:
    """Channels past the devices that another wire of the same circuit did not take."""
    ends = ("top", "bottom") if parts.upright else ("left", "right")
    left_out = frozenset(end for end in ends if end not in leader.channels)
    passes = any(channel in channels.behind for channel in leader.channels)
    return left_out if passes else left_out | channels.behind


def group_of(wire: Wire) -> str:
    """What a live conductor keeps company with: those of its cable, or of its device."""
    conductor = wire.conductor
    if conductor.function == "PE" or conductor.kind == "lead":
        return ""
    return conductor.cable or conductor.id.partition(".")[2].partition(".")[2]


def bends_back(parts: Parts, wire: Wire) -> bool:
    """Whether two bends of a wire find room between the front of the channels and their back."""
    if parts.behind is None:
        return False
    front = next((spot.at[2] for spot in parts.spots.values()), 0.0)
    return front - parts.behind[0] - wire.diameter / 2 - 1 >= 2 * wire.radius and (
        parts.behind[1] - parts.behind[0] >= wire.diameter + 2
    )


# On which track


class _Tracks:
    """How far from the devices each wire runs on each side, and what moves it aside elsewhere."""

    def __init__(
        self,
        parts: Parts,
        channels: Channels,
        wires: Sequence[Wire],
        ways: dict[str, Passage],
        gap: float,
        inset: float,
    ) -> None:
        self.parts, self.channels, self.ways, self._inset = parts, channels, ways, inset
        self._far: dict[tuple[str, Side], float] = {}
        self._aside: dict[tuple[str, int], float] = {}
        self._at: dict[tuple[str, str], XYZ] = {}
        self._in_openings(wires, gap)
        self._behind(wires, gap)
        taken: dict[Side, list[tuple[float, float, float, float]]] = {}
        for wire in wires:
            for side, (low, high) in self._spans(wire).items():
                taken.setdefault(side, [])
                self._far[wire.conductor.id, side] = self._track(
                    wire, side, low, high, taken[side], gap
                )
        for opening in self.parts.openings:
            if opening.side == "back":  # straight out of the hole, not on a track
                side = faces(self.parts, opening)
                axis = 0 if side in ("left", "right") else 1
                edge = (parts.block.low if side in ("left", "top") else parts.block.high)[axis]
                for wire in wires:
                    if opening.name in (wire.start, wire.end):
                        far = abs(self.end(wire, opening.name)[axis] - edge)
                        self._far[wire.conductor.id, side] = far

    def points(self, wire: Wire, front: float, back: float) -> tuple[XYZ, ...]:
        """Corners of a wire at a depth in front and one at the back."""
        name, block = wire.conductor.id, self.parts.block
        found = []
        nodes, way = self.channels.nodes, self.ways[name].nodes
        for before, number, after in zip(way, way[1:], way[2:]):
            node = nodes[number]
            if any(
                side in nodes[before].sides and side in nodes[after].sides for side in node.sides
            ) and (nodes[before].back == node.back == nodes[after].back):
                continue  # it runs on along the side
            x, y = node.at[:2]
            aside = self._aside.get((name, number), 0.0)
            upright = node.sides[0] in ("left", "right")
            x, y = (x, y + aside) if upright else (x + aside, y)
            for side in node.sides:
                far = self._far[name, side]
                x = block.low[0] - far if side == "left" else x
                x = block.high[0] + far if side == "right" else x
                y = block.low[1] - far if side == "top" else y
                y = block.high[1] + far if side == "bottom" else y
            found.append((x, y, back if node.back else front))
        start, end = self.end(wire, wire.start), self.end(wire, wire.end)
        # one bend, not a short jog and a bend, leads into the hole behind
        if self._through_back(wire.start) and len(found) > 1 and self._jogs(wire, *found[:2]):
            del found[0]
        if self._through_back(wire.end) and len(found) > 1 and self._jogs(wire, *found[-2:]):
            del found[-1]
        return (
            start,
            *self._mouth(wire.start, start, found[0]),
            *found,
            *self._mouth(wire.end, end, found[-1]),
            end,
        )

    def _through_back(self, end: str) -> bool:
        opening = self.parts.opening(end)
        return opening is not None and opening.side == "back"

    def _jogs(self, wire: Wire, one: XYZ, other: XYZ) -> bool:
        return one[2] == other[2] and dist(one, other) < 2 * wire.radius

    def _mouth(self, end: str, at: XYZ, beside: XYZ) -> tuple[XYZ, ...]:
        """Where a wire leaves its clamp, if it changes its depth soon: so far it is straight."""
        spot = self.parts.spots.get(end)
        if spot is None or faces(self.parts, spot) != spot.out:
            return ()
        far = dist(at[:2], beside[:2])
        reach = self._inset + 2
        if abs(at[2] - beside[2]) < 0.6 * far or far < 2 * reach:
            return ()
        return (along(at, (beside[0], beside[1], at[2]), reach / far),)

    def planes(self, wire: Wire) -> set[bool]:
        """Whether a wire runs at the back of the ring (True), in front (False), or both."""
        nodes = self.ways[wire.conductor.id].nodes[1:-1]
        return {self.channels.nodes[number].back for number in nodes}

    def end(self, wire: Wire, end: str) -> XYZ:
        """Where a wire ends; those of one opening beside each other."""
        at = self._at.get((wire.conductor.id, end))
        return at or self.channels.nodes[self.channels.ends[end]].at

    def _spans(self, wire: Wire) -> dict[Side, tuple[float, float]]:
        """On which sides a wire runs, from where to where."""
        found: dict[Side, tuple[float, float]] = {}
        for number in self.ways[wire.conductor.id].nodes[1:-1]:
            node = self.channels.nodes[number]
            for side in node.sides:
                at = node.at[0 if side in ("top", "bottom") else 1]
                low, high = found.get(side, (at, at))
                found[side] = min(low, at), max(high, at)
        return found

    def _track(
        self,
        wire: Wire,
        side: Side,
        low: float,
        high: float,
        taken: list[tuple[float, float, float, float]],
        gap: float,
    ) -> float:
        """Beside the devices as near as its bends allow; what only serves the wall keeps to it."""
        inner, outer = (self._serves(wire, side, near) for near in (True, False))
        half, radius = wire.diameter / 2, wire.radius
        least = radius if inner else max(half + gap, radius - (radius - half - 2 * gap) / 2**0.5)
        most = gutter(self.parts, side) - (radius if outer else half + gap)
        inwards = outer and not inner
        far = max(most, half + gap) if inwards else min(least, max(most, half + gap))
        start, margin = far, radius
        if high - low > 1e-6 or TO_BACK in self.ways[wire.conductor.id].channels:
            for _ in range(len(taken) + 1):
                met = next(
                    (
                        (other, thick)
                        for first, last, other, thick in taken
                        if first - margin < high
                        and last + margin > low
                        and abs(far - other) < half + thick / 2 + gap - 1e-6
                    ),
                    None,
                )
                if met is None:
                    break
                step = half + met[1] / 2 + gap
                far = met[0] - step if inwards else met[0] + step
            if not (least - 1e-6 <= far <= max(most, least) + 1e-6):
                far = start  # no track is free: it shares one, at another depth
            taken.append((low, high, far, wire.diameter))
        return far

    def _serves(self, wire: Wire, side: Side, near: bool) -> bool:
        """Whether a wire ends on a side: at a device (`near`), or at the wall."""
        for end in (wire.start, wire.end):
            place: TerminalSpot | WallOpening | None = self.parts.spots.get(
                end
            ) or self.parts.opening(end)
            if place is not None and faces(self.parts, place) == side:
                at_device = isinstance(place, TerminalSpot) and place.out == side
                if at_device == near:
                    return True
        return False

    def _behind(self, wires: Sequence[Wire], gap: float) -> None:
        """Wires that pass behind the rail at one place lie beside each other; where one comes from
        a terminal or an opening at that place it keeps straight.
        """
        axis = 1 if self.parts.upright else 0
        taken: dict[float, list[tuple[float, float]]] = {}
        waiting: list[tuple[Wire, float, list[int]]] = []
        for wire in wires:
            for at, nodes in self._passes(wire, axis):
                fixed = [
                    self.end(wire, end)[axis] - at
                    for end in (wire.start, wire.end)
                    if abs(self.channels.nodes[self.channels.ends[end]].at[axis] - at) < 1e-6
                ]
                if fixed:
                    self._move(wire, nodes, fixed[0])
                    taken.setdefault(at, []).append((fixed[0], wire.diameter))
                else:
                    waiting.append((wire, at, nodes))
        for wire, at, nodes in waiting:
            others, aside = taken.setdefault(at, []), 0.0
            for step in range(1, 2 * len(wires) + 2):
                if all(
                    abs(aside - other) >= (wire.diameter + thick) / 2 + gap - 1e-6
                    for other, thick in others
                ):
                    break
                aside = (step + 1) // 2 * (gap + wire.diameter) / 2 * (1 if step % 2 else -1)
            self._move(wire, nodes, aside)
            others.append((aside, wire.diameter))

    def _passes(self, wire: Wire, axis: int) -> list[tuple[float, list[int]]]:
        """Where a wire passes behind the rail, and between which nodes."""
        way = self.ways[wire.conductor.id]
        if not any(channel in self.channels.behind for channel in way.channels):
            return []
        nodes = self.channels.nodes
        return [
            (nodes[one].at[axis], [one, other])
            for one, other in zip(way.nodes[1:-1], way.nodes[2:-1])
            if nodes[one].back and nodes[other].back
            if not set(nodes[one].sides) & set(nodes[other].sides)
        ]

    def _move(self, wire: Wire, nodes: Iterable[int], aside: float) -> None:
        for number in self._pillar(wire, nodes):
            self._aside[wire.conductor.id, number] = aside

    def _other(self, wire: Wire, end: str) -> XYZ:
        return self.end(wire, wire.end if wire.start == end else wire.start)

    def _pillar(self, wire: Wire, nodes: Iterable[int]) -> list[int]:
        """The nodes of the way at the same place in front of and behind these."""
        places = {self.channels.nodes[number].at[:2] for number in nodes}
        return [
            number
            for number in self.ways[wire.conductor.id].nodes[1:-1]
            if self.channels.nodes[number].at[:2] in places
        ]

    def _in_openings(self, wires: Sequence[Wire], gap: float) -> None:
        """Conductors of one opening stand round its middle."""
        for opening in self.parts.openings:
            own = [wire for wire in wires if opening.name in (wire.start, wire.end)]
            if opening.bolt:  # what earths the armour begins at the tag, not in the hole
                for wire in own:
                    if wire.conductor.kind == "armour":
                        self._at[wire.conductor.id, opening.name] = opening.bolt
                own = [wire for wire in own if wire.conductor.kind != "armour"]
            thick = max((wire.diameter for wire in own), default=0.0) + gap / 2
            ring = 0.0 if len(own) < 2 else thick / 2 / sin(pi / min(len(own), 6))
            axis = 0 if faces(self.parts, opening) in ("top", "bottom") else 1
            angles = [2 * pi * (k + 0.25) / max(min(len(own), 6), 1) for k in range(len(own))]
            ring_of = [(ring * cos(a), ring * sin(a)) for a in angles[:6]]
            places = sorted([(0.0, 0.0)] * (len(own) - len(ring_of)) + ring_of, key=lambda p: p[1])
            # what runs on at the back has the places near it, and none crosses another
            at_back = [wire for wire in own if self._first(wire, opening.name).back]
            in_front = [wire for wire in own if wire not in at_back]
            order = [
                *self._across(at_back, opening.name, axis),
                *self._across(in_front, opening.name, axis),
            ]
            parted = [*sorted(places[: len(at_back)]), *sorted(places[len(at_back) :])]
            for wire, (aside, deep) in zip(order, parted):
                at = list(opening.at)
                at[axis] += aside
                at[1 - axis if opening.side == "back" else 2] += deep
                name = wire.conductor.id
                self._at[name, opening.name] = (at[0], at[1], at[2])
                nodes = self.ways[name].nodes
                beside = nodes[1] if wire.start == opening.name else nodes[-2]
                if len(self.channels.nodes[beside].sides) == 1:
                    for number in self._pillar(wire, [beside]):
                        self._aside.setdefault((name, number), aside)

    def _first(self, wire: Wire, opening: str) -> ChannelNode:
        """The place in the ring that a wire comes to from its opening."""
        nodes = self.ways[wire.conductor.id].nodes
        return self.channels.nodes[nodes[1] if wire.start == opening else nodes[-2]]

    def _across(self, wires: Sequence[Wire], opening: str, axis: int) -> list[Wire]:
        """Wires of one opening in the order in which their other ends lie along its side."""
        return sorted(wires, key=lambda wire: (self._other(wire, opening)[axis], wire.order))


# At which depth


def _freest(
    parts: Parts, tracks: _Tracks, wire: Wire, laid: Sequence[Course], sizes: Sizes
) -> tuple[Course, list[str]]:
    """The wire at the depth where it meets the fewest of those laid before it."""
    best: tuple[int, Course, list[str]] | None = None
    in_the_way = [parts.rail] if parts.rail else []
    if parts.line_bar:
        in_the_way.append(parts.line_bar.box)
    for number, (front, back) in enumerate(_depths(parts, tracks, wire, sizes)):
        square = corners_of(tracks.points(wire, front, back))
        points = corners_of(with_sets(square, wire.radius))
        block = parts.block.grown(wire.diameter / 2 - 0.5)
        if any(enters(a, b, block) for a, b in zip(points[1:-2], points[2:-1])):
            points = square  # a set would lie in the devices
        radius = tightest(points, wire.radius)
        course = Course(wire, points, radius is not None and radius < wire.radius - 0.01)
        met = [
            other.wire.conductor.id
            for other in laid
            if meet(course, other, (wire.diameter + other.wire.diameter) * 0.45)
        ]
        hit = any(
            enters(a, b, body.grown(wire.diameter / 2 - 0.5))
            for body in in_the_way
            for a, b in zip(points, points[1:])
        )
        score = len(met) + 20 * hit + 5 * course.tight
        if best is None or score < best[0]:
            best = score, course, met
        if not score or number > 4 and not met and not hit:
            break  # free, or as free as it gets: depth alone seldom makes room for a bend
    assert best is not None, "there is at least one depth"
    return best[1], best[2]


def _depths(parts: Parts, tracks: _Tracks, wire: Wire, sizes: Sizes) -> list[tuple[float, float]]:
    """Depths to try, in front and at the back: level with the clamps first, then the opening."""
    half, gap = wire.diameter / 2, sizes("between-conductors")
    step = wire.diameter + gap
    clamp = next((spot.at[2] for spot in parts.spots.values()), parts.inner.middle(2))
    low, high = parts.inner.low[2] + half + gap, parts.inner.high[2] - half - gap
    own = [
        tracks.end(wire, each.name)[2]
        for each in parts.openings
        if each.name in (wire.start, wire.end) and each.side != "back"
    ]
    front = [clamp, *own, *(clamp + step * k for k in (1, -1, 2, -2, 3, -3, -4, -5))]
    front = [z for z in front if low <= z <= high] or [clamp]
    if parts.behind is None:
        return [(z, z) for z in front]
    middle = sum(parts.behind) / 2
    back = [
        z
        for z in (middle, middle + step, middle - step, parts.behind[0] + half + gap)
        if parts.behind[0] + half <= z <= parts.behind[1] - half
    ] or [middle]
    planes = tracks.planes(wire)
    front, back = front if False in planes else front[:1], back if True in planes else back[:1]
    return [(one, other) for other in back for one in front]


def meet(one: Course, other: Course, near: float) -> bool:
    """Whether two conductors come nearer to each other than `near`."""
    return _close(one.bounds, other.bounds, near) and any(
        _close(here, there, near) and apart(a, b, c, d) < near
        for a, b, here in one.pieces
        if _close(here, other.bounds, near)
        for c, d, there in other.pieces
    )


def _bounds(points: Sequence[XYZ]) -> _Bounds:
    xs, ys, zs = zip(*points)
    return min(xs), max(xs), min(ys), max(ys), min(zs), max(zs)


def _close(one: _Bounds, other: _Bounds, near: float) -> bool:
    return (
        one[0] < other[1] + near
        and other[0] < one[1] + near
        and one[2] < other[3] + near
        and other[2] < one[3] + near
        and one[4] < other[5] + near
        and other[4] < one[5] + near
    )
