"""Layout: where a conductor may lie in the channels of its way: which tracks beside the devices,
which places behind the rail and in an opening, which depths.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, product
from math import cos, dist, pi, sin

from firstway.frozen import dataclass
from firstway.layout.bending import along
from firstway.layout.channels import (
    TO_BACK,
    ChannelNode,
    Channels,
    Passage,
    faces,
    gutter,
)
from firstway.layout.courses import Wire
from firstway.layout.plan import XYZ, Parts, Side, TerminalSpot, WallOpening
from firstway.layout.sizes import Sizes

_TRACKS, _SETTINGS, _DEPTHS = 6, 30, 12  # how many tracks of a side, of all sides, depths are tried
_SLANT = 20.0  # mm; so far beside a hole in the back a wire may leave its side to slant into it
_OWN, _ELSEWHERE = 60, 20  # settings tried in its own place of an opening, and in another's


Depths = tuple[float, float, float]
"""In front at the first corner and at the last (those between are evenly so), and at the back."""


@dataclass(frozen=True)
class Skeleton:
    """A wire's way without its tracks: ends, and the corners with the sides they lie on and whether
    they are at the back; for each side the distances from the devices it may have, the best first.
    """

    wire: Wire
    start: XYZ
    end: XYZ
    corners: tuple[tuple[float, float, tuple[Side, ...], bool], ...]
    tracks: tuple[tuple[Side, tuple[float, ...]], ...]
    depths: tuple[Depths, ...]
    crossing: tuple[bool, ...]
    from_back: tuple[bool, bool]
    from_clamp: tuple[bool, bool]


LaySetting = tuple[dict[Side, float], Depths, float]
"""The track on each side, the depths, and how far it is moved aside where it passes behind the
rail.
"""


class Tracks:
    """Where each wire may lie beside the devices, and what moves it aside elsewhere."""

    def __init__(
        self,
        parts: Parts,
        channels: Channels,
        wires: Sequence[Wire],
        ways: dict[str, Passage],
        sizes: Sizes,
    ) -> None:
        self.parts, self.channels, self.ways = parts, channels, ways
        self._inset, self._gap = sizes("clamp-inset"), sizes("between-conductors")
        self._aside: dict[tuple[str, int], float] = {}
        self._at: dict[tuple[str, str], XYZ] = {}
        self._in_openings(wires, self._gap)
        self._behind(wires, self._gap)
        self._in_terminals(wires)

    def skeleton(self, wire: Wire) -> Skeleton:
        """What a wire may choose from on its way."""
        name = wire.conductor.id
        nodes, way = self.channels.nodes, self.ways[name].nodes
        corners, kept = [], []
        passing = set(self._pillar(wire, [n for _, two in self._passes(wire, 0) for n in two]))
        for before, number, after in zip(way, way[1:], way[2:]):
            node = nodes[number]
            if any(
                side in nodes[before].sides and side in nodes[after].sides for side in node.sides
            ) and (nodes[before].back == node.back == nodes[after].back):
                continue  # it runs on along the side
            aside = self._aside.get((name, number), 0.0)
            x, y = node.at[:2]
            x, y = (x, y + aside) if node.sides[0] in ("left", "right") else (x + aside, y)
            corners.append((x, y, node.sides, node.back))
            kept.append(number)
        return Skeleton(
            wire,
            self.end(wire, wire.start),
            self.end(wire, wire.end),
            tuple(corners),
            tuple(
                (side, self._offered(wire, side, low, high))
                for side, (low, high) in self._spans(wire).items()
            ),
            tuple(self._depths(wire)),
            tuple(number in passing for number in kept),
            (self._through_back(wire.start), self._through_back(wire.end)),
            (self._at_clamp(wire.start), self._at_clamp(wire.end)),
        )

    def points(self, skeleton: Skeleton, setting: LaySetting) -> tuple[XYZ, ...]:
        """Corners of a wire on its tracks."""
        far, (first, last, back), aside = setting
        each = (last - first) / (len(skeleton.corners) - 1) if len(skeleton.corners) > 1 else 0.0
        wire, block = skeleton.wire, self.parts.block
        found: list[XYZ] = []
        for (x, y, sides, at_back), passing in zip(skeleton.corners, skeleton.crossing):
            if passing and aside:
                x, y = (x, y + aside) if self.parts.upright else (x + aside, y)
            for side in sides:
                if side == "left":
                    x = block.low[0] - far[side]
                elif side == "right":
                    x = block.high[0] + far[side]
                elif side == "top":
                    y = block.low[1] - far[side]
                else:
                    y = block.high[1] + far[side]
            found.append((x, y, back if at_back else first + each * len(found)))
        # one bend, not a short jog and a bend, leads into the hole behind
        if skeleton.from_back[0] and len(found) > 1 and self._jogs(wire, *found[:2]):
            del found[0]
        if skeleton.from_back[1] and len(found) > 1 and self._jogs(wire, *found[-2:]):
            del found[-1]
        if skeleton.from_clamp[0]:
            found[:0] = self._mouth(skeleton.start, found[0])
        if skeleton.from_clamp[1]:
            found += self._mouth(skeleton.end, found[-1])
        return (skeleton.start, *found, skeleton.end)

    def offered(self, wire: Wire) -> Iterator[tuple[Skeleton, LaySetting]]:
        """What a wire may choose from, the best first: settings in its own place of an opening,
        then some in the places of the others there, then the rest of its own.
        """
        own = self.skeleton(wire)
        settings = self.settings(own)
        for setting in islice(settings, _OWN):
            yield own, setting
        for other in self._elsewhere(wire):
            for setting in islice(self.settings(other), _ELSEWHERE):
                yield other, setting
        for setting in settings:
            yield own, setting

    def _elsewhere(self, wire: Wire) -> list[Skeleton]:
        """A wire's way from the places of others in its opening."""
        name, found = wire.conductor.id, []
        for opening in (wire.start, wire.end):
            own = self._at.get((name, opening))
            if own is None or wire.conductor.kind == "armour":
                continue
            aside, hole = dict(self._aside), self.parts.opening(opening)
            others = [
                at
                for (other, there), at in self._at.items()
                if there == opening and other != name and hole and at != hole.bolt
            ]
            for at in others:
                self._at[name, opening] = at
                self._stand(wire, opening)
                found.append(self.skeleton(wire))
            self._at[name, opening], self._aside = own, aside
        return found

    def settings(self, skeleton: Skeleton) -> Iterator[LaySetting]:
        """All settings of a wire, the best first: on its first tracks at each depth, then on those
        beside them, as wires that turn the same corners lie; then passing the rail beside its
        place; then on unlike tracks of its sides.
        """
        sides = [side for side, _ in skeleton.tracks]
        many = max((len(each) for _, each in skeleton.tracks), default=0)
        alike = [
            {side: each[min(place, len(each) - 1)] for side, each in skeleton.tracks}
            for place in range(many or 1)
        ]
        step = skeleton.wire.diameter + self._gap
        shifts = (0.0, step, -step, step / 2, -step / 2) if any(skeleton.crossing) else (0.0,)
        for aside in shifts[:3]:
            for depths in skeleton.depths[:_DEPTHS]:
                for far in alike:
                    yield far, depths, aside
        places = sorted(product(*(range(len(each)) for _, each in skeleton.tracks)), key=sum)
        unlike = [
            {side: each[place] for side, (_, each), place in zip(sides, skeleton.tracks, chosen)}
            for chosen in islice(places, 1, _SETTINGS)
            if len(set(chosen)) > 1
        ]
        for depths in skeleton.depths:
            for far in unlike:
                for aside in shifts:
                    yield far, depths, aside

    def _through_back(self, end: str) -> bool:
        opening = self.parts.opening(end)
        return opening is not None and opening.side == "back"

    def _jogs(self, wire: Wire, one: XYZ, other: XYZ) -> bool:
        return one[2] == other[2] and dist(one, other) < 2 * wire.radius

    def _at_clamp(self, end: str) -> bool:
        """Whether an end is at a device's clamp, which it leaves straight."""
        spot = self.parts.spots.get(end)
        return spot is not None and faces(self.parts, spot) == spot.out

    def _mouth(self, at: XYZ, beside: XYZ) -> tuple[XYZ, ...]:
        """Where a wire leaves its clamp, if it changes its depth soon: so far it is straight."""
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

    def _offered(self, wire: Wire, side: Side, low: float, high: float) -> tuple[float, ...]:
        """Distances from the devices that a wire may run in on a side: from as near as its bends
        allow outwards; what only serves the wall from there inwards.
        """
        for opening in self.parts.openings:
            if opening.side == "back" and opening.name in (wire.start, wire.end):
                if faces(self.parts, opening) == side:
                    return self._over_hole(wire, side, self.end(wire, opening.name))
        inner, outer = (self._serves(wire, side, near) for near in (True, False))
        half, radius, gap = wire.diameter / 2, wire.radius, self._gap
        least = radius if inner else max(half + gap, radius - (radius - half - 2 * gap) / 2**0.5)
        most = gutter(self.parts, side) - (radius if outer else half + gap)
        inwards = outer and not inner
        first = max(most, half + gap) if inwards else min(least, max(most, half + gap))
        way = self.ways[wire.conductor.id]
        sides = [self.channels.nodes[number].sides for number in way.nodes[1:-1]]
        turns = any(side in each and len(each) > 1 for each in sides)
        if high - low <= 1e-6 and not turns and TO_BACK not in way.channels:
            return (first,)  # it only passes, straight on
        step = (wire.diameter + gap) * (-1 if inwards else 1)
        places = [first + step * number for number in range(_TRACKS)]
        return tuple(
            far for far in places if far == first or least - 1e-6 <= far <= max(most, least) + 1e-6
        )

    def _over_hole(self, wire: Wire, side: Side, at: XYZ) -> tuple[float, ...]:
        """Distances from the devices over a hole in the back: straight out of it, not on a track;
        else beside it, from where it slants into the hole.
        """
        axis = 0 if side in ("left", "right") else 1
        block, half = self.parts.block, wire.diameter / 2
        edge = (block.low if side in ("left", "top") else block.high)[axis]
        own, step = abs(at[axis] - edge), wire.diameter + self._gap
        least, most = half + self._gap, gutter(self.parts, side) - half - self._gap
        beside = [own + step * k for k in (1, -1, 2, -2) if abs(step * k) < _SLANT]
        return (own, *(far for far in beside if least <= far <= most))

    def _depths(self, wire: Wire) -> list[Depths]:
        """Depths in front and at the back: level with the clamps, or with the opening, first."""
        parts, half, gap = self.parts, wire.diameter / 2, self._gap
        step = wire.diameter + gap
        clamp = next((spot.at[2] for spot in parts.spots.values()), parts.inner.middle(2))
        low, high = parts.inner.low[2] + half + gap, parts.inner.high[2] - half - gap
        own = [
            self.end(wire, each.name)[2]
            for each in parts.openings
            if each.name in (wire.start, wire.end) and each.side != "back"
        ]
        level = [clamp, *own, *(clamp + step * k for k in (1, -1, 2, -2, 3, -3, -4, -5))]
        level = [z for z in level if low <= z <= high] or [clamp]
        planes, channels = self.planes(wire), self.ways[wire.conductor.id].channels
        if TO_BACK not in channels:
            # it may also rise along its way, from the depth of one end to that of the other
            ends = [self.end(wire, end)[2] for end in (wire.start, wire.end)]
            rising = [(ends[0] + step * k, ends[1] + step * k) for k in (0, -1, 1)]
            front = [(z, z) for z in level]
            front[2:2] = [pair for pair in rising if all(low <= z <= high for z in pair)]
            if True not in planes:
                return [(*pair, pair[0]) for pair in front]
            return [(*pair, z) for pair in front[:1] for z in self._at_back(wire, own, step)]
        back = self._at_back(wire, own, step)
        order = sorted(product(range(len(back)), range(len(level))), key=sum)
        found = [(level[one], level[one], back[other]) for other, one in order]
        roomy = [each for each in found if each[0] - each[2] >= 2 * wire.radius]
        # two bends lie between front and back
        return roomy or sorted(found, key=lambda each: each[2] - each[0])

    def _at_back(self, wire: Wire, own: list[float], step: float) -> list[float]:
        """Depths at the back; only what passes behind the rail is kept as low as it."""
        assert self.parts.behind is not None, "there are channels at the back"
        half, middle = wire.diameter / 2, (self.parts.behind[0] + self.parts.behind[1]) / 2
        low, high = self.parts.behind[0] + half, self.parts.behind[1] - half
        channels = self.ways[wire.conductor.id].channels
        if not any(each in self.channels.behind for each in channels):
            low, high = low + self._gap, self.parts.inner.high[2] - half - self._gap
        back = [*own, middle, *(middle + step * k for k in (1, -1, 2, -2, 3, 4)), low + self._gap]
        return [z for z in back if low <= z <= high] or [middle]

    def _stand(self, wire: Wire, opening: str) -> None:
        """Moves a wire aside in the ring as its place in an opening asks."""
        at, nodes = self._at[wire.conductor.id, opening], self.ways[wire.conductor.id].nodes
        beside = nodes[1] if wire.start == opening else nodes[-2]
        node = self.channels.nodes[beside]
        if len(node.sides) == 1:
            hole = self.channels.nodes[self.channels.ends[opening]].at
            axis = 1 if node.sides[0] in ("left", "right") else 0
            for number in self._pillar(wire, [beside]):
                self._aside[wire.conductor.id, number] = at[axis] - hole[axis]

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

    def _in_terminals(self, wires: Sequence[Wire]) -> None:
        """Two conductors under one screw leave it beside each other."""
        held: dict[str, list[Wire]] = {}
        for wire in wires:
            for end in (wire.start, wire.end):
                if end in self.parts.spots:
                    held.setdefault(end, []).append(wire)
        for end, own in held.items():
            for number, wire in enumerate(own if len(own) > 1 else ()):
                nodes = self.ways[wire.conductor.id].nodes
                beside = nodes[1] if wire.start == end else nodes[-2]
                if len(self.channels.nodes[beside].sides) == 1:
                    aside = (number - (len(own) - 1) / 2) * (wire.diameter + self._gap)
                    for place in self._pillar(wire, [beside]):
                        self._aside.setdefault((wire.conductor.id, place), aside)

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
