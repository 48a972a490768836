"""Lifelike view: letters on conductors, so that grey print tells line, neutral and earth apart:
small markers near both ends, where the conductor is seen.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.lines import Curve, Tube
from firstway.drawing.lifelike.seeing import Seen, free_of
from firstway.drawing.sheet import SMALLEST, Point
from firstway.drawing.svg import shape
from firstway.drawing.text_width import text_width
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ
from firstway.rendering.html import Markup

HIGH = 13.0
"""How high a marker is, in units."""
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
    """Up to two markers on each tube: the first seen place near each end, free of `taken`."""
    found: list[Marker] = []
    rooms = list(taken)
    for tube, said in zip(tubes, words):
        if not said:
            continue
        wide = text_width(said, SMALLEST, True) * 1.08 + 4
        places = seen.along_tube(tube)
        used: list[float] = []
        for ordered in (places, places[::-1]):
            for gone, point, curve in ordered:
                if len(curve) > 2 and len(places) > 4:
                    continue
                if any(not _apart(gone, each, places) for each in used):
                    continue
                marker = Marker(tube.name, said, seen.eye.at(point), wide)
                if free_of(marker.bounds, rooms) and _shows(seen, tube, point, marker):
                    found.append(marker)
                    rooms.append(marker.bounds)
                    used.append(gone)
                    break
    return tuple(found)


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
