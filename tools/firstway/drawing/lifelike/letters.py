"""Lifelike view: letters on conductors, so that grey print tells line, neutral and earth apart:
small markers near both ends, where the conductor is seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import dist

from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.lines import Curve, Tube
from firstway.drawing.lifelike.seeing import Seen, free_of, line_is_free
from firstway.drawing.sheet import SMALLEST, Point
from firstway.drawing.svg import shape
from firstway.drawing.text_width import text_width
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ
from firstway.rendering.html import Markup

HIGH = 13.0
"""How high a marker is, in units."""
_END = 4.0
"""Units between a marker and an end of its conductor at least: where it goes in is seen."""
_NEXT, _FAR = 30.0, 90.0
"""mm between the two markers of one conductor at least, and where all between is seen."""


@dataclass(frozen=True)
class Marker:
    """A plate on a conductor with its letters, by the conductor's group and middle on the paper."""

    owner: str
    words: str
    at: Point
    wide: float

    @property
    def bounds(self) -> Bounds:
        """What it covers."""
        x, y = self.at
        return x - self.wide / 2, y - HIGH / 2, x + self.wide / 2, y + HIGH / 2


def markers_on(
    seen: Seen, tubes: Sequence[Tube], words: Sequence[str], taken: Sequence[Bounds]
) -> tuple[Marker, ...]:
    """Up to two markers on each tube: near each end, free of `taken`, off the end itself, and where
    no other conductor is under it: which goes where is seen before which is which.
    """
    found: list[Marker] = []
    rooms = list(taken)
    for tube, said in zip(tubes, words):
        if not said:
            continue
        wide = text_width(said, SMALLEST, True) * 1.08 + 4
        places = seen.along_tube(tube)
        ends = [seen.eye.at(tube.pieces[0][0]), seen.eye.at(tube.pieces[-1][-1])]
        tries = []
        for gone, point, curve in places:
            marker = Marker(tube.name, said, seen.eye.at(point), wide)
            if any(dist(end, marker.at) < marker.wide / 2 + _END for end in ends):
                continue
            if len(curve) > 2 and len(places) > 4 or not _shows(seen, tube, point, marker):
                continue
            if free_of(marker.bounds, rooms) and not _covers(seen, tube, marker):
                tries.append((gone, marker))
        used: list[float] = []
        for ordered in (tries, tries[::-1]):
            for gone, marker in ordered:
                if any(not _apart(gone, each, places) for each in used):
                    continue
                found.append(marker)
                rooms.append(marker.bounds)
                used.append(gone)
                break
    return tuple(found)


def _covers(seen: Seen, tube: Tube, marker: Marker) -> bool:
    """Whether another conductor runs under a marker: a crossing is left to see."""
    left, top, right, bottom = marker.bounds
    for thing in seen.pieces:
        a, b, c, d = thing.bounds
        if thing.tube < 0 or seen.tubes[thing.tube].name == tube.name:
            continue
        if a < right and left < c and b < bottom and top < d:
            for one, other in zip(thing.spots, thing.spots[1:]):
                if not line_is_free(one[:2], other[:2], (marker.bounds,)):
                    return True
    return False


def _apart(one: float, other: float, places: Sequence[tuple[float, XYZ, Curve]]) -> bool:
    """Whether a second marker helps: far from the first, or beyond a stretch that is hidden."""
    low, high = sorted((one, other))
    if high - low < _NEXT:
        return False
    between = [gone for gone, _, _ in places if low <= gone <= high]
    return high - low > _FAR or any(b - a > 16 for a, b in zip(between, between[1:]))


def _shows(seen: Seen, tube: Tube, point: tuple[float, float, float], marker: Marker) -> bool:
    """Whether a marker covers little of a neighbour: nothing nearer stands within its half
    height.
    """
    return seen.sees(point, tube.name, reach=marker.wide * 0.3)


def marker_svg(marker: Marker) -> Markup:
    """A white plate with letters."""
    x, y = marker.at
    plate = shape(
        "rect",
        class_="zd zhi",
        x=x - marker.wide / 2,
        y=y - HIGH / 2,
        width=marker.wide,
        height=HIGH,
        rx=2,
    )
    return plate + shape("text", marker.words, class_="zf zm", x=x, y=y + 4.3)
