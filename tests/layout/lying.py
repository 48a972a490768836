"""Helpers of tests: what is wrong with how conductors lie, found from the plan's values alone."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import combinations
from math import acos, dist, sqrt

import numpy
import numpy.typing

from firstway.layout.bending import bent_points
from firstway.layout.plan import XYZ, Laid, Layout, Parts, Solid
from firstway.wiring.graph import Wiring

_HELD = 30.0
_SCREW = 1.0  # mm kept clear between a conductor and the middle of a screw that is not its own
_IN_CLAMP = 12.0  # a conductor lies this far in its own device: 7 mm to the screw, and its slant


def faults_of(plan: Layout, wiring: Wiring) -> list[str]:
    """What is wrong, one sentence each."""
    found = [*_ends(plan, wiring)]
    for laid in plan.conductors:
        if laid.diameter_mm:
            found += [f"{laid.id}: {what}" for what in _faults(plan, wiring, laid)]
    return found


def _beside(parts: Parts) -> str:
    """The opening of what is in no cable."""
    return "earths" if parts.opening("earths") else "feed"


def _ends(plan: Layout, wiring: Wiring) -> Iterator[str]:
    """Every conductor that has an end in the enclosure is laid once, and ends at its terminals."""
    counts = Counter([each.id for each in plan.conductors] + list(plan.outside))
    conductors = {each.id: each for each in wiring.conductors}
    for name in conductors:
        if counts[name] != 1:
            yield f"{name} is laid {counts[name]} times"
    for laid in plan.conductors:
        own = conductors[laid.id]
        ends = [plan.parts.spots.get(end) for end in (own.start, own.end)]
        if laid.inside != all(ends):
            yield f"{laid.id}: is said to lie inside, or not, against its ends"
        for spot, point in zip(ends, (laid.points[0], laid.points[-1])):
            if spot and dist(spot.at, point) > 1e-6:
                yield f"{laid.id} ends {dist(spot.at, point):.1f} mm from {spot.terminal}"
            opening = plan.parts.opening(own.cable or _beside(plan.parts))
            if own.kind == "armour" and not spot and opening and opening.bolt:
                if dist(opening.bolt, point) > 0.01:
                    yield f"{laid.id} does not end at its tag"
            elif not spot and (
                opening is None or dist(opening.at, point) > opening.hole_mm / 2 + 0.01
            ):
                yield f"{laid.id} does not end in its opening"
        if laid.length_m * 1000 < dist(laid.points[0], laid.points[-1]) - 1e-6:
            yield f"{laid.id} is shorter than the straight line"
    for name in plan.outside:
        own = conductors[name]
        if own.start in plan.parts.spots or own.end in plan.parts.spots:
            yield f"{name} has a place in the enclosure and is not laid"


def _faults(plan: Layout, wiring: Wiring, laid: Laid) -> Iterator[str]:
    parts, half = plan.parts, laid.diameter_mm / 2
    line = bent_points(laid.points, laid.bend_mm or 0.0)
    if laid.id not in plan.tight:
        least = least_radius(line)
        if least < laid.radius_mm * 0.995:
            yield f"a bend of {least:.1f} mm, below {laid.radius_mm:.1f} mm"
    own = next(each for each in wiring.conductors if each.id == laid.id)
    terminals = (own.start, own.end)
    devices = {terminal.rpartition(".")[0] for terminal in terminals}
    for device in parts.devices:
        at_home = any(name.startswith(f"{device.name}.") for name in terminals)
        inside = _length_in(line, device.body.grown(half - 0.5))
        if inside > (_IN_CLAMP + half if at_home else 0.5):
            yield f"runs {inside:.0f} mm through {device.name}"
    for bar in parts.bars:
        if bar.name not in devices and _length_in(line, bar.box.grown(half - 0.5)) > 0.5:
            yield f"runs through {bar.name}"
    if parts.rail and _length_in(line, parts.rail.grown(half - 0.5)) > 0.5:
        yield "runs through the rail"
    for spot in parts.spots.values():
        if spot.terminal not in terminals and not spot.terminal.startswith("bar."):
            near = min(_distance(spot.at, a, b) for a, b in zip(line, line[1:]))
            if near < half + _SCREW:
                yield f"runs over the screw of {spot.terminal}"
    room = parts.inner.grown(0.1 - half)
    opening = parts.opening(own.cable or _beside(parts))
    for point in line:
        at_opening = opening is not None and dist(point, opening.at) < opening.nut_mm
        if not at_opening and not _within(point, room):
            yield f"runs through a wall at {tuple(round(value) for value in point)}"
            break


def overlaps_of(plan: Layout, wiring: Wiring) -> list[str]:
    """Pairs of conductors that lie in each other, measured from points along their bent middle
    lines by numpy: nearer than three quarters of half their diameters together.

    Insulation gives way by that much where two are dressed against each other. Two under one screw
    or out of one sheath lie side by side, and are measured from `_HELD` mm beyond it on; what
    earths the armour begins at the tag of its gland, not in the sheath.
    """
    tagged = {
        each.id
        for each in wiring.conductors
        if each.kind == "armour" and (hole := plan.parts.opening(each.cable)) and hole.bolt
    }
    ends = {each.id: {each.start, each.end} for each in wiring.conductors}
    cables = {each.id: each.cable for each in wiring.conductors}
    lines = {each.id: _sampled(each) for each in plan.conductors if each.diameter_mm}
    found = []
    for one, other in combinations([each for each in plan.conductors if each.diameter_mm], 2):
        near = 0.375 * (one.diameter_mm + other.diameter_mm)
        first, second = lines[one.id], lines[other.id]
        low, high = second.min(axis=0) - near, second.max(axis=0) + near
        first = first[((first > low) & (first < high)).all(axis=1)]
        held = [
            plan.parts.spots[end].at
            for end in ends[one.id] & ends[other.id] & set(plan.parts.spots)
        ]
        if (
            cables[one.id]
            and cables[one.id] == cables[other.id]
            and not (one.inside or other.inside)
            and not {one.id, other.id} & tagged
        ):
            held += [one.points[0], one.points[-1]]
        for at in held:
            first = first[numpy.linalg.norm(first - numpy.array(at), axis=1) > _HELD]
        if len(first):
            apart = numpy.linalg.norm(first[:, None] - second[None], axis=2).min()
            if apart < near:
                found.append(f"{one.id} lies in {other.id}: {apart:.1f} mm, not {near:.1f}")
    return found


def _sampled(laid: Laid) -> numpy.typing.NDArray[numpy.float64]:
    """Points each millimetre along a bent line."""
    line = bent_points(laid.points, laid.bend_mm or 0.0)
    found = [line[0]]
    for a, b in zip(line, line[1:]):
        pieces = max(int(dist(a, b)), 1)
        for number in range(1, pieces + 1):
            share = number / pieces
            x, y, z = (p + (q - p) * share for p, q in zip(a, b))
            found.append((x, y, z))
    return numpy.array(found)


def worked_length_mm(laid: Laid) -> float:
    """A line of straight pieces with a circle's arc of the tightest bend at each corner: two
    tangents of r tan(a/2) less, an arc of r a more (plane geometry).
    """
    points = numpy.array(laid.points)
    pieces = numpy.diff(points, axis=0)
    lengths = numpy.linalg.norm(pieces, axis=1)
    total = float(lengths.sum())
    radius = laid.radius_mm if laid.bend_mm is None else laid.bend_mm
    for one, other, a, b in zip(pieces, pieces[1:], lengths, lengths[1:]):
        turn = float(numpy.arccos(numpy.clip(one @ other / (a * b), -1, 1)))
        total += radius * (turn - 2 * float(numpy.tan(turn / 2)))
    return total


def least_radius(line: list[XYZ] | tuple[XYZ, ...]) -> float:
    """The least radius of a circle through three neighbouring points of a finely divided line, with
    ends of straight pieces left out.
    """
    least = float("inf")
    for a, b, c in zip(line, line[1:], line[2:]):
        one, other, whole = dist(a, b), dist(b, c), dist(a, c)
        if min(one, other) < 1e-9 or abs(one - other) > 0.02 * max(one, other):
            continue  # within a bend the pieces are equal
        cosine = (one**2 + other**2 - whole**2) / (2 * one * other)
        if -1 < cosine < 1 and acos(cosine) < 3.13:
            least = min(least, whole / (2 * sqrt(1 - cosine**2)))
    return least


def _length_in(line: tuple[XYZ, ...], box: Solid) -> float:
    """How much of a line lies in a body, in mm."""
    length = 0.0
    for a, b in zip(line, line[1:]):
        pieces = max(int(dist(a, b)), 1)
        for number in range(pieces):
            share = (number + 0.5) / pieces
            point = tuple(p + (q - p) * share for p, q in zip(a, b))
            if all(box.low[axis] < point[axis] < box.high[axis] for axis in range(3)):
                length += dist(a, b) / pieces
    return length


def _distance(point: XYZ, a: XYZ, b: XYZ) -> float:
    step = tuple(q - p for p, q in zip(a, b))
    whole = sum(each**2 for each in step)
    share = sum((p - q) * s for p, q, s in zip(point, a, step)) / whole if whole else 0.0
    share = min(max(share, 0.0), 1.0)
    return dist(point, tuple(p + s * share for p, s in zip(a, step)))


def _within(point: XYZ, box: Solid) -> bool:
    return all(box.low[axis] <= point[axis] <= box.high[axis] for axis in range(3))


def through_hardware(plan: Layout, wiring: Wiring) -> list[str]:
    """Conductors that run through a screw, a foot, a nut or a tag that is not at their own end."""
    conductors = {each.id: each for each in wiring.conductors}
    found = []
    for laid in plan.conductors:
        own = conductors[laid.id]
        opening = plan.parts.opening(own.cable or _beside(plan.parts))
        ends = {own.start, own.end} | ({opening.name} if opening and not laid.inside else set())
        line = bent_points(laid.points, laid.bend_mm or 0.0)
        for each in plan.fittings if laid.diameter_mm else ():
            body = each.body.grown(laid.diameter_mm / 2 - 0.5)
            if each.of not in ends and _length_in(line, body) > 1:
                found.append(f"{laid.id} runs through {each.id}")
    return found


def unbuildable(parts: Parts) -> list[str]:
    """Openings that lie under a bar, over each other or outside their wall; bars in each other."""
    found = []
    nuts = {each.name: nut_of(parts, each.name) for each in parts.openings}
    for name, nut in nuts.items():
        found += [f"{name} lies under {bar.name}" for bar in parts.bars if nut.meets(bar.box)]
        opening = parts.opening(name)
        depth = {"left": 0, "right": 0, "top": 1, "bottom": 1, "back": 2}
        if not all(  # in the plane of its wall; a corner of the box is no place for a nut
            parts.inner.low[axis] - 0.1 <= nut.low[axis]
            and nut.high[axis] <= parts.inner.high[axis] + 0.1
            for axis in range(3)
            if opening and axis != depth[opening.side]
        ):
            found.append(f"{name} has no room for its locknut")
        found += [f"{name} meets {each.name}" for each in parts.devices if nut.meets(each.body)]
    found += [f"{a} meets {b}" for (a, p), (b, q) in combinations(nuts.items(), 2) if p.meets(q)]
    found += [
        f"{one.name} meets {other.name}"
        for one, other in combinations(parts.bars, 2)
        if one.box.meets(other.box)
    ]
    return found


def nut_of(parts: Parts, name: str) -> Solid:
    """The room of a locknut: as wide as it is, 10 mm thick."""
    opening = parts.opening(name)
    assert opening is not None
    low, high = [at - opening.nut_mm / 2 for at in opening.at], [0.0, 0.0, 0.0]
    high = [at + opening.nut_mm / 2 for at in opening.at]
    axis = {"left": 0, "right": 0, "top": 1, "bottom": 1, "back": 2}[opening.side]
    low[axis], high[axis] = opening.at[axis] - 10, opening.at[axis] + 10
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))
