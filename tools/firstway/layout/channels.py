"""Layout: the channels conductors may lie in, as a graph, and the shortest way through it.

Conductors go round the devices in a ring, in front (level with the clamps) or at the back; behind
the rail they cross from one side to the other; stubs lead to terminals and openings.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from functools import cached_property
from heapq import heappop, heappush
from math import dist

from firstway.frozen import dataclass
from firstway.layout.plan import OPPOSITE, XYZ, Parts, Side, TerminalSpot, WallOpening

BEHIND, TO_BACK = "behind", "through"
"""Channels behind the rail (`behind` and the place in mm), and from the front of the ring to its
back.
"""
SIDES: tuple[Side, ...] = ("top", "right", "bottom", "left")


@dataclass(frozen=True)
class ChannelNode:
    """A place in the channels: on which sides of the ring (a corner is on two), and whether at its
    back. A terminal or an opening lies on none.
    """

    at: XYZ
    sides: tuple[Side, ...] = ()
    back: bool = False


ChannelStep = tuple[int, float, str]
"""To which node, how far in mm, by which channel."""


@dataclass(frozen=True)
class Channels:
    """Nodes with the steps from each; `ends` are the nodes of terminals and openings."""

    nodes: tuple[ChannelNode, ...]
    steps: tuple[tuple[ChannelStep, ...], ...]
    ends: dict[str, int]

    @cached_property
    def dead_ends(self) -> frozenset[int]:
        """Terminals and openings, through which no way leads."""
        return frozenset(self.ends.values())

    @cached_property
    def behind(self) -> frozenset[str]:
        """The channels behind the rail."""
        return frozenset(
            channel for steps in self.steps for _, _, channel in steps if channel[:6] == BEHIND
        )


@dataclass(frozen=True)
class Passage:
    """A way through the channels: its nodes, how long it is, and the channels it takes."""

    nodes: tuple[int, ...]
    length: float
    channels: tuple[str, ...]


def gutter(parts: Parts, side: Side) -> float:
    """Width in mm between the devices and what stands at the wall of a side."""
    axis = 0 if side in ("left", "right") else 1
    bars = [bar.box for bar in parts.bars if bar.side == side]
    if side in ("left", "top"):
        wall = max([parts.inner.low[axis], *(box.high[axis] for box in bars)])
        return parts.block.low[axis] - wall
    wall = min([parts.inner.high[axis], *(box.low[axis] for box in bars)])
    return wall - parts.block.high[axis]


def faces(parts: Parts, end: TerminalSpot | WallOpening) -> Side:
    """The side of the ring that a terminal or an opening looks at."""
    if isinstance(end, WallOpening):
        if end.side != "back":
            return end.side
        x, y = end.at[:2]
        if parts.block.low[1] < y < parts.block.high[1]:
            return "left" if x < parts.block.middle(0) else "right"
        return "top" if y < parts.block.middle(1) else "bottom"
    (x, y, _), low, high = end.at, parts.block.low, parts.block.high
    at_block = low[0] - 1 <= x <= high[0] + 1 and low[1] - 1 <= y <= high[1] + 1
    return end.out if at_block or end.terminal.startswith("bar.") else OPPOSITE[end.out]


def channels_of(parts: Parts, used: Collection[str]) -> Channels:
    """The graph for the terminals and openings that conductors end at."""
    low, high = _ring(parts)
    ends: dict[str, TerminalSpot | WallOpening] = {
        name: spot for name, spot in parts.spots.items() if name in used
    }
    ends |= {each.name: each for each in parts.openings}
    front = next((spot.at[2] for spot in parts.spots.values()), parts.inner.middle(2))
    levels = [front] if parts.behind is None else [front, (parts.behind[0] + parts.behind[1]) / 2]
    build = _Building(low, high, levels)
    crossing: set[float] = set()
    cross = 1 if parts.upright else 0
    for end in ends.values():
        side = faces(parts, end)
        build.on(side, end.at[0 if side in ("top", "bottom") else 1])
        if parts.behind and (side in ("left", "right")) == parts.upright:
            crossing.add(round(build.kept(side, end.at[cross]), 6))
    pair: tuple[Side, Side] = ("left", "right") if parts.upright else ("top", "bottom")
    for at in sorted(crossing):
        for side in pair:
            build.on(side, at)
    build.ring()
    for at in sorted(crossing - {round(low[cross], 6), round(high[cross], 6)}):
        build.join(build.at(pair[0], at, 1), build.at(pair[1], at, 1), f"{BEHIND} {at:g}")
    for name, end in ends.items():
        side = faces(parts, end)
        number = build.add(ChannelNode(end.at))
        build.ends[name] = number
        along = end.at[0 if side in ("top", "bottom") else 1]
        in_front = end.side == "back" if isinstance(end, WallOpening) else side == end.out
        for level in range(1 if in_front else len(levels)):
            build.join(number, build.at(side, along, level), "")
    return Channels(tuple(build.nodes), tuple(tuple(each) for each in build.steps), build.ends)


def _ring(parts: Parts) -> tuple[tuple[float, float], tuple[float, float]]:
    """The middle of the channels round the devices."""
    half = {side: max(gutter(parts, side), 2) / 2 for side in SIDES}
    block = parts.block
    return (
        (block.low[0] - half["left"], block.low[1] - half["top"]),
        (block.high[0] + half["right"], block.high[1] + half["bottom"]),
    )


class _Building:
    """The graph while it is put together."""

    def __init__(
        self, low: tuple[float, float], high: tuple[float, float], levels: list[float]
    ) -> None:
        self.low, self.high, self.levels = low, high, levels
        self.nodes: list[ChannelNode] = []
        self.steps: list[list[ChannelStep]] = []
        self.ends: dict[str, int] = {}
        self._along: dict[Side, set[float]] = {
            side: {self.kept(side, -1e9), self.kept(side, 1e9)} for side in SIDES
        }
        self._numbers: dict[tuple[float, float, int], int] = {}

    def kept(self, side: Side, along: float) -> float:
        """A place on a side of the ring; beyond its corner it is the corner."""
        axis = 0 if side in ("top", "bottom") else 1
        return round(min(max(along, self.low[axis]), self.high[axis]), 6)

    def _xy(self, side: Side, along: float) -> tuple[float, float]:
        fixed = round(
            (self.low if side in ("top", "left") else self.high)[side in ("top", "bottom")], 6
        )
        return (along, fixed) if side in ("top", "bottom") else (fixed, along)

    def on(self, side: Side, along: float) -> None:
        """Takes a place of a side into the ring."""
        self._along[side].add(self.kept(side, along))

    def at(self, side: Side, along: float, level: int) -> int:
        """The node of a place on the ring."""
        return self._numbers[(*self._xy(side, self.kept(side, along)), level)]

    def add(self, node: ChannelNode) -> int:
        self.nodes.append(node)
        self.steps.append([])
        return len(self.nodes) - 1

    def join(self, one: int, other: int, channel: str) -> None:
        length = dist(self.nodes[one].at, self.nodes[other].at)
        self.steps[one].append((other, length, channel))
        self.steps[other].append((one, length, channel))

    def ring(self) -> None:
        """Nodes and steps of the ring, in front and at the back, and those between the two."""
        for level, z in enumerate(self.levels):
            places: dict[tuple[float, float], list[Side]] = {}
            for side in SIDES:
                for along in sorted(self._along[side]):
                    places.setdefault(self._xy(side, along), []).append(side)
            for (x, y), sides in places.items():
                self._numbers[x, y, level] = self.add(
                    ChannelNode((x, y, z), tuple(sides), level > 0)
                )
            for side in SIDES:
                order = sorted(self._along[side])
                for one, other in zip(order, order[1:]):
                    self.join(self.at(side, one, level), self.at(side, other, level), side)
        for (x, y, level), number in list(self._numbers.items()):
            if level:
                self.join(self._numbers[x, y, 0], number, TO_BACK)


def shortest(
    channels: Channels, start: int, end: int, without: Collection[str] = ()
) -> Passage | None:
    """The shortest way from node to node; of equally long ones always the same. None where there
    is none.
    """
    best: dict[int, float] = {start: 0.0}
    before: dict[int, tuple[int, str]] = {}
    waiting: list[tuple[float, int]] = [(0.0, start)]
    dead_ends = channels.dead_ends
    while waiting:
        length, here = heappop(waiting)
        if here == end:
            return _way(before, start, end, length)
        if length > best[here]:
            continue
        for there, step, channel in channels.steps[here]:
            if channel in without or (there in dead_ends and there != end):
                continue  # no way leads through another terminal
            if length + step < best.get(there, 1e12) - 1e-9:
                best[there] = length + step
                before[there] = here, channel
                heappush(waiting, (length + step, there))
    return None


def _way(before: dict[int, tuple[int, str]], start: int, end: int, length: float) -> Passage:
    nodes, taken = [end], []
    while nodes[-1] != start:
        node, channel = before[nodes[-1]]
        nodes.append(node)
        taken.append(channel)
    return Passage(tuple(reversed(nodes)), length, tuple(_unlike(reversed(taken))))


def _unlike(words: Iterable[str]) -> Iterable[str]:
    last = None
    for word in words:
        if word != last:
            yield word
        last = word
