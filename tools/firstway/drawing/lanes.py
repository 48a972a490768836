"""Drawing: a lane router: each conductor gets a lane of its own in every channel it runs through.

Channels lie round the row of devices: `upper`, `lower` (lanes run across), `left`, `right` (lanes
run down), and `above`, `below` outside the enclosure. A route is a list of channels; its lanes
alternate across and down. In one channel, whether two conductors cross depends on the order of
their two lanes alone, so an order is improved by taking out one lane at a time and putting it back
where it crosses least.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from firstway.drawing.sheet import Point

Lanes = dict[tuple[str, str], float]

ACROSS = ("upper", "lower", "above", "below")
OVERLAP = 40  # what a shared stretch counts for, in crossings
CLEAR = 10.0  # distance between the ends of two conductors in one track


@dataclass(frozen=True)
class Net:
    """One conductor to route: its two ends and the channels between them.

    No channel: a straight line.
    """

    id: str
    start: Point
    end: Point
    channels: tuple[str, ...]


def points_of(net: Net, lanes: Mapping[tuple[str, str], float]) -> tuple[Point, ...]:
    """The corners of a net when its lanes lie at these coordinates."""
    points = [net.start]
    x, y = net.start
    for channel in net.channels:
        at = lanes[channel, net.id]
        x, y = (x, at) if channel in ACROSS else (at, y)
        points.append((x, y))
    if net.channels:
        last = (net.end[0], y) if net.channels[-1] in ACROSS else (x, net.end[1])
        points.append(last)
    points.append(net.end)
    return tuple(
        point for index, point in enumerate(points) if index == 0 or point != points[index - 1]
    )


def crossings(first: Sequence[Point], second: Sequence[Point]) -> int:
    """How often two right-angled lines cross; a shared stretch counts as `OVERLAP`."""
    count = 0
    for (ax, ay), (bx, by) in zip(first, first[1:]):
        for (cx, cy), (dx, dy) in zip(second, second[1:]):
            if ay == by and cy == dy:
                if ay == cy and min(ax, bx) < max(cx, dx) and min(cx, dx) < max(ax, bx):
                    count += OVERLAP
            elif ax == bx and cx == dx:
                if ax == cx and min(ay, by) < max(cy, dy) and min(cy, dy) < max(ay, by):
                    count += OVERLAP
            elif ay == by:
                count += min(ax, bx) < cx < max(ax, bx) and min(cy, dy) < ay < max(cy, dy)
            else:
                count += min(cx, dx) < ax < max(cx, dx) and min(ay, by) < cy < max(ay, by)
    return count


def crossings_in(paths: Sequence[Sequence[Point]]) -> int:
    return sum(
        crossings(first, second) for index, first in enumerate(paths) for second in paths[:index]
    )


def orders_of(nets: Sequence[Net]) -> dict[str, list[str]]:
    """The nets of each channel in the order they were given: a naive order."""
    orders: dict[str, list[str]] = {}
    for net in nets:
        for channel in net.channels:
            orders.setdefault(channel, []).append(net.id)
    return orders


def nominal_lanes(
    orders: Mapping[str, Sequence[str]], first: Mapping[str, float], pitch: float
) -> Lanes:
    """Lanes at equal pitch; `first` is the coordinate of each channel's first lane."""
    return {
        (channel, name): first[channel] + index * pitch
        for channel, names in orders.items()
        for index, name in enumerate(names)
    }


def untangled(
    nets: Sequence[Net], first: Mapping[str, float], pitch: float
) -> dict[str, list[str]]:
    """An order of lanes in each channel with few crossings: the better of two starts, each
    improved.
    """
    naive = orders_of(nets)
    by_span = {
        channel: sorted(names, key=lambda name: _reach(nets, name, channel))
        for channel, names in naive.items()
    }
    tried = [_improved(nets, orders, first, pitch) for orders in (naive, by_span)]
    tried.append(naive)
    counts = [
        crossings_in([points_of(net, nominal_lanes(orders, first, pitch)) for net in nets])
        for orders in tried
    ]
    return tried[counts.index(min(counts))]


def _reach(nets: Sequence[Net], name: str, channel: str) -> tuple[float, str]:
    """Short spans first."""
    axis = 0 if channel in ACROSS else 1
    net = next(net for net in nets if net.id == name)
    return abs(net.start[axis] - net.end[axis]), net.id


def _improved(
    nets: Sequence[Net],
    start: Mapping[str, Sequence[str]],
    first: Mapping[str, float],
    pitch: float,
    rounds: int = 4,
) -> dict[str, list[str]]:
    by_id = {net.id: net for net in nets}
    orders = {channel: list(names) for channel, names in start.items()}
    for _ in range(rounds):
        before = {channel: list(names) for channel, names in orders.items()}
        for channel, names in orders.items():
            lanes = nominal_lanes(orders, first, pitch)
            runs = {
                name: _run(points_of(by_id[name], lanes), channel, lanes[channel, name])
                for name in names
            }
            orders[channel] = _sifted(names, runs)
        if orders == before:
            break
    return orders


Run = tuple[float, float, tuple[tuple[float, int], ...]]


def _run(points: Sequence[Point], channel: str, lane: float) -> Run:
    """A net in one channel: from where to where along its lane, and where and to which side it
    leaves.
    """
    axis = 0 if channel in ACROSS else 1
    ends: list[tuple[float, int]] = []
    for index, point in enumerate(points):
        if abs(point[1 - axis] - lane) < 1e-9:
            for other in (*points[max(index - 1, 0) : index], *points[index + 1 : index + 2]):
                if abs(other[1 - axis] - lane) > 1e-9:
                    ends.append((point[axis], 1 if other[1 - axis] > lane else -1))
    along = [end for end, _ in ends]
    return min(along, default=0.0), max(along, default=0.0), tuple(ends)


def _cost(first: Run, second: Run) -> int:
    """Crossings of two nets when the first has the smaller coordinate."""
    return sum(1 for at, side in first[2] if side > 0 and second[0] < at < second[1]) + sum(
        1 for at, side in second[2] if side < 0 and first[0] < at < first[1]
    )


def _sifted(names: Sequence[str], runs: Mapping[str, Run]) -> list[str]:
    """Each net in turn is taken out and put back where it crosses least, until nothing improves."""
    cost = {(a, b): _cost(runs[a], runs[b]) for a in names for b in names if a != b}
    order = list(names)
    for _ in range(4):
        improved = False
        for name in names:
            at = order.index(name)
            rest = order[:at] + order[at + 1 :]
            here = sum(cost[name, other] for other in rest)
            costs = [here]
            for other in rest:
                here += cost[other, name] - cost[name, other]
                costs.append(here)
            best = min(range(len(costs)), key=lambda place: (costs[place], abs(place - at)))
            if costs[best] < costs[at]:
                order = rest[:best] + [name] + rest[best:]
                improved = True
        if not improved:
            break
    return order


Tried = tuple[Sequence[Net], Lanes]


def tracks_of(
    nets: Sequence[Net],
    orders: Mapping[str, Sequence[str]],
    lanes: Lanes,
    tried: Sequence[Tried] = (),
) -> dict[tuple[str, str], int]:
    """Lanes closed up: a net lies in the first track clear of every earlier net it would touch.

    `tried` are places that closing up led to before and that touched: nets keep clear of each other
    there too.
    """
    stages = [({net.id: net for net in these}, places) for these, places in ((nets, lanes), *tried)]
    tracks: dict[tuple[str, str], int] = {}
    for channel, names in orders.items():
        axis = 0 if channel in ACROSS else 1
        spans: list[tuple[float, float, int]] = []
        for name in names:
            spans_of = [
                _span(points_of(by_id[name], places), axis, places[channel, name])
                for by_id, places in stages
            ]
            low, high = min(low for low, _ in spans_of), max(high for _, high in spans_of)
            track = 1 + max(
                (other for a, b, other in spans if a - CLEAR < high and low < b + CLEAR), default=-1
            )
            spans.append((low, high, track))
            tracks[channel, name] = track
    return tracks


def _span(points: Sequence[Point], axis: int, lane: float) -> tuple[float, float]:
    """From where to where the net runs along its lane."""
    along = [point[axis] for point in points if abs(point[1 - axis] - lane) < 1e-9]
    return min(along), max(along)


def touch(nets: Sequence[Net], lanes: Lanes) -> bool:
    """Whether two nets lie on each other somewhere in one lane."""
    by_id = {net.id: net for net in nets}
    by_lane: dict[tuple[str, float], list[tuple[float, float]]] = {}
    for (channel, name), at in lanes.items():
        by_lane.setdefault((channel, at), []).append(
            _span(points_of(by_id[name], lanes), 0 if channel in ACROSS else 1, at)
        )
    return any(
        two[0] < one[1] for spans in by_lane.values() for one, two in pairwise(sorted(spans))
    )
