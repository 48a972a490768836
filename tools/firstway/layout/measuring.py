"""Layout: what is measured in a plan: the straight way between two terminals, and what
stands where the locknut of an opening has to turn.
"""

from __future__ import annotations

from math import dist

from firstway.frozen import dataclass
from firstway.layout.plan import Layout, Parts, Solid, TerminalSpot, WallOpening
from firstway.wiring.graph import Conductor


def straight_m(layout: Layout, conductor: Conductor) -> float:
    """The shortest way in m from what a conductor begins at to what it ends at, whatever way it is
    dressed.

    Which screw of a bar it takes, and in which order the terminals of a device stand, no key says:
    the nearest ones count; so do no depths. What lies outside counts
    from the opening of the feed.
    """
    ends = [_beside(layout.parts, end) for end in (conductor.start, conductor.end)]
    return min(dist(one.at[:2], other.at[:2]) for one in ends[0] for other in ends[1]) / 1000


def _beside(parts: Parts, terminal: str) -> list[TerminalSpot]:
    """The spots of the same bar, or of the same side of the same device."""
    own = parts.spots.get(terminal)
    if own is None:
        return [_as_spot(each) for each in parts.openings if each.name == "feed"]
    device = terminal.partition(".")[0]
    return [
        spot
        for name, spot in parts.spots.items()
        if name.partition(".")[0] == device and spot.out == own.out
    ]


def _as_spot(opening: WallOpening) -> TerminalSpot:
    return TerminalSpot(opening.name, opening.at, "top")


@dataclass(frozen=True)
class InTheWay:
    """What stands in the way of an opening's locknut: its name, and how far in mm the two lie in
    each other.
    """

    name: str
    by_mm: float


def in_the_way(parts: Parts, opening: WallOpening) -> tuple[InTheWay, ...]:
    """Bars, walls, devices and other locknuts where the locknut of an opening has to turn."""
    if opening.side == "back":
        return _behind(parts, opening)
    axis = 0 if opening.side in ("top", "bottom") else 1
    low, high = opening.at[axis] - opening.nut_mm / 2, opening.at[axis] + opening.nut_mm / 2
    spans = {
        bar.name: (bar.box.low[axis], bar.box.high[axis])
        for bar in parts.bars
        if bar.side == opening.side
    }
    spans |= {
        f"the locknut of {other.name}": (
            other.at[axis] - other.nut_mm / 2,
            other.at[axis] + other.nut_mm / 2,
        )
        for other in parts.openings
        if other.side == opening.side and other.name != opening.name
    }
    found = {name: min(high, ends[1]) - max(low, ends[0]) for name, ends in spans.items()}
    found["the wall"] = max(parts.inner.low[axis] - low, high - parts.inner.high[axis])
    return tuple(InTheWay(name, by) for name, by in found.items() if by > 1e-6)


def _behind(parts: Parts, opening: WallOpening) -> tuple[InTheWay, ...]:
    """The same of a hole in the back, seen from the front."""
    x, y = opening.at[:2]
    half = opening.nut_mm / 2
    boxes = {"the devices": parts.block} | {bar.name: bar.box for bar in parts.bars}
    found = {name: half - _apart(box, x, y) for name, box in boxes.items()}
    for other in parts.openings:
        if other.side == "back" and other.name != opening.name:
            by = half + other.nut_mm / 2 - dist(opening.at[:2], other.at[:2])
            found[f"the locknut of {other.name}"] = by
    low, high = parts.inner.low, parts.inner.high
    found["the wall"] = half - min(x - low[0], high[0] - x, y - low[1], high[1] - y)
    return tuple(InTheWay(name, by) for name, by in found.items() if by > 1e-6)


def _apart(box: Solid, x: float, y: float) -> float:
    aside = max(box.low[0] - x, x - box.high[0], 0.0)
    return dist((aside, max(box.low[1] - y, y - box.high[1], 0.0)), (0.0, 0.0))
