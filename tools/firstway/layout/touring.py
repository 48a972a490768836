"""Layout: a plan in which one conductor is led the long way round the devices, as it should not be:
for whoever shows what a tour along the walls costs.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import dist

from firstway.layout.bending import area_between, bent_length, corners_of, tightest
from firstway.layout.channels import gutter
from firstway.layout.plan import XYZ, Laid, Layout, Parts, Side

_OFF_DEVICES = 0.7  # of the room between devices and wall: near the wall
_LEG = 8.0  # mm straight out of a screw

XY = tuple[float, float]


def toured(layout: Layout, name: str) -> Layout:
    """The plan with this conductor round the devices by the longer way, in front of whatever else
    lies there; its ends stay.
    """
    own = layout.by_id[name]
    points = _tour(layout.parts, own)
    bend = tightest(points, own.radius_mm)
    length = bent_length(points, own.radius_mm if bend is None else bend) / 1000
    longer = replace(
        own,
        points=points,
        bend_mm=bend,
        length_m=length,
        cutting_m=own.cutting_m + length - own.length_m,
    )
    lying = {**layout.by_id, name: longer}
    return replace(layout, conductors=tuple(_with_loop(each, lying) for each in lying.values()))


def _with_loop(laid: Laid, lying: Mapping[str, Laid]) -> Laid:
    partner = lying.get(laid.partner)
    if partner is None:
        return laid
    return replace(laid, loop_cm2=area_between(laid.points, partner.points) / 100)


def _tour(parts: Parts, laid: Laid) -> tuple[XYZ, ...]:
    front = parts.inner.high[2] - laid.diameter_mm
    ring = _ring(parts)
    out, back = _leg(*laid.points[:2]), _leg(laid.points[-1], laid.points[-2])
    begun, ended = _along(ring, out), _along(ring, back)
    places = _along_corners(ring)
    whole = places[-1]
    ahead = (ended - begun) % whole
    turn = 1 if ahead > whole / 2 else -1  # the longer way
    far = ahead if turn > 0 else whole - ahead
    passed = sorted((turn * (place - begun) % whole, corner) for place, corner in zip(places, ring))
    path = [_on(ring, begun), *(at for way, at in passed if 0 < way < far), _on(ring, ended)]
    flat = ((x, y, front) for x, y in path)
    return corners_of((laid.points[0], out, *flat, back, laid.points[-1]))


def _leg(screw: XYZ, towards: XYZ) -> XYZ:
    share = min(1.0, _LEG / dist(screw, towards))
    x, y, z = (a + (b - a) * share for a, b in zip(screw, towards))
    return x, y, z


def _ring(parts: Parts) -> tuple[XY, XY, XY, XY]:
    """The corners of the tour, from the top left one on, clockwise."""
    low, high = parts.block.low, parts.block.high
    left, right = low[0] - _off(parts, "left"), high[0] + _off(parts, "right")
    top, bottom = low[1] - _off(parts, "top"), high[1] + _off(parts, "bottom")
    return (left, top), (right, top), (right, bottom), (left, bottom)


def _off(parts: Parts, side: Side) -> float:
    return _OFF_DEVICES * max(gutter(parts, side), 2.0)


def _along_corners(ring: Sequence[XY]) -> list[float]:
    """How far along the ring each corner lies, and the whole way round last."""
    places = [0.0]
    for one, other in zip(ring, (*ring[1:], ring[0])):
        places.append(places[-1] + dist(one, other))
    return places


def _along(ring: Sequence[XY], point: XYZ) -> float:
    """How far along the ring the place nearest to a point is."""
    places, found = _along_corners(ring), []
    for number, (one, other) in enumerate(zip(ring, (*ring[1:], ring[0]))):
        length = dist(one, other)
        share = (
            (point[0] - one[0]) * (other[0] - one[0]) + (point[1] - one[1]) * (other[1] - one[1])
        ) / length**2
        share = min(max(share, 0.0), 1.0)
        near = tuple(one[n] + (other[n] - one[n]) * share for n in (0, 1))
        found.append((dist(near, point[:2]), places[number] + share * length))
    return min(found)[1]


def _on(ring: Sequence[XY], place: float) -> XY:
    """The place so far along the ring."""
    places = _along_corners(ring)
    number = max(at for at in range(4) if places[at] <= place)
    one, other = ring[number], ring[(number + 1) % 4]
    share = (place - places[number]) / (places[number + 1] - places[number])
    return one[0] + (other[0] - one[0]) * share, one[1] + (other[1] - one[1]) * share
