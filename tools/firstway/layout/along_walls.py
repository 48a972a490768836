"""Layout: bars and openings along the walls of the enclosure, apart from each other, and holes in
its back. Where nothing is stated, things stand in the middle of what is free.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from firstway.frozen import dataclass
from firstway.layout.entries import EARTHS, CableEntry, kept_apart, opening_of, tag_bolt
from firstway.layout.plan import OPPOSITE, XYZ, BarBody, Side, Solid, TerminalSpot, WallOpening
from firstway.layout.sizes import Sizes
from firstway.layout.stated import bar_place
from firstway.model.installation import Installation
from firstway.wiring.graph import Part, Wiring

_STUD = 12.0  # room at the end of an earth bar for what joins it to the metal of the enclosure
_AROUND = 2.0  # between what stands along one side
_EDGES = ("left_mm", "top_mm")  # keys of a place, along x and along y


@dataclass(frozen=True)
class AlongWalls:
    """What stands along the walls: bars, openings in the order of their cables, the spots of
    devices and bars, and the sides that have no room for all of it.
    """

    bars: tuple[BarBody, ...]
    openings: tuple[WallOpening, ...]
    spots: dict[str, TerminalSpot]
    crowded: tuple[str, ...]


def bars_by_side(
    installation: Installation, wiring: Wiring, sizes: Sizes
) -> dict[Side, list[Part]]:
    """Which bars stand on which side."""
    found: dict[Side, list[Part]] = {"left": [], "right": [], "top": [], "bottom": []}
    for kind, otherwise in (("neutral-bar", "left"), ("earth-bar", "bottom")):
        side = sizes.word(installation.board.enclosure, kind.replace("-", "_"), otherwise)
        found[cast(Side, side)] += [part for part in wiring.parts if part.kind == kind]
    return found


def along_the_walls(
    installation: Installation,
    entries: Sequence[CableEntry],
    bars: dict[Side, list[Part]],
    wiring: Wiring,
    inner: Solid,
    block: Solid,
    of_devices: dict[str, TerminalSpot],
    sizes: Sizes,
    tabbed: bool,
    upright: bool,
) -> AlongWalls:
    """Bars and openings of each side apart from each other."""
    spots, crowded = dict(of_devices), []
    pitch, deep, inset = sizes("bar-terminal-pitch"), sizes("bar-depth"), sizes("bar-inset")
    clamp = next((spot.at[2] for spot in spots.values()), inner.middle(2))
    hole = inner.low[2] + sizes("bar-hole-height")
    places, openings = [], {}
    for side in ("left", "right", "top", "bottom"):
        axis = 1 if side in ("left", "right") else 0
        screws = {part.name: _screws(wiring, part) for part in bars[side]}
        here = [entry for entry in entries if entry.side == side]
        counts = {
            part.name: _screw_count(installation, part, len(screws[part.name]), sizes)
            for part in bars[side]
        }
        wanted = [
            (
                block.middle(axis),
                (counts[part.name] + 1) * pitch + _STUD * (part.kind == "earth-bar") + _AROUND,
            )
            for part in bars[side]
        ] + [(_serving(entry, spots, block, inner)[axis], entry.nut_mm + _AROUND) for entry in here]
        if any(entry.name == EARTHS for entry in here):
            # No key places that opening: it gives way to those that stand where the file says.
            bars_here = len(bars[side])
            wanted[bars_here:] = [
                (sizes.given(opening_of(installation, entry.name), _EDGES[axis], middle), length)
                for entry, (middle, length) in zip(here, wanted[bars_here:])
            ]
        ends: tuple[Side, Side] = ("top", "bottom") if axis else ("left", "right")
        margin = [(inset + deep) * bool(bars[end]) for end in ends]
        at, fits = kept_apart(wanted, inner.low[axis] + margin[0], inner.high[axis] - margin[1])
        if not fits:
            crowded.append(side)
        far = side in ("right", "bottom")
        across = 1 - axis
        low = inner.high[across] - inset - deep if far else inner.low[across] + inset
        for part, middle in zip(bars[side], at):
            length = (counts[part.name] + 1) * pitch
            start = middle - (length + _STUD * (part.kind == "earth-bar")) / 2
            stated = bar_place(installation, part)
            start = sizes.given(stated, _EDGES[axis], start)
            edge = sizes.given(stated, _EDGES[across], low)
            spans = ((start, start + length), (edge, edge + deep))
            (x0, x1), (y0, y1) = spans if axis == 0 else spans[::-1]
            places.append(
                BarBody(part.name, part.kind, side, Solid((x0, y0, hole - 5), (x1, y1, hole + 5)))
            )
            v = edge + deep / 2
            holes = [
                (u, v, hole) if axis == 0 else (v, u, hole)
                for u in (start + (number + 1) * pitch for number in range(len(screws[part.name])))
            ]
            for name, spot in _numbered(
                wiring, screws[part.name], holes, spots, axis, upright
            ).items():
                spots[name] = TerminalSpot(name, spot, OPPOSITE[side])
            if part.kind == "earth-bar" and wiring.terminal("enclosure.PE"):
                u = start + length + _STUD / 2
                spot = (u, v, inner.low[2] + 6) if axis == 0 else (v, u, inner.low[2] + 6)
                spots["enclosure.PE"] = TerminalSpot("enclosure.PE", spot, OPPOSITE[side])
        for entry, middle in zip(here, at[len(bars[side]) :]):
            # Where the terminals look at the opening its cores run straight in; else the cable
            # comes in near the back, on which it is clipped outside, and its cores pass there.
            straight = tabbed or any(spot.out == side for spot in _served_by(entry, spots))
            depth = min(
                max(clamp if straight else 0, inner.low[2] + entry.nut_mm / 2 + _AROUND),
                inner.high[2] - entry.nut_mm / 2,
            )
            wall = inner.high[across] if far else inner.low[across]
            middle = sizes.given(opening_of(installation, entry.name), _EDGES[axis], middle)
            point = (middle, wall, depth) if axis == 0 else (wall, middle, depth)
            openings[entry.name] = _as_opening(entry, point, inner, side, sizes)
    openings |= _through_the_back(
        installation,
        [entry for entry in entries if entry.side == "back"],
        bars,
        inner,
        block,
        spots,
        sizes,
    )
    return AlongWalls(
        tuple(places), tuple(openings[entry.name] for entry in entries), spots, tuple(crowded)
    )


def _screw_count(installation: Installation, part: Part, used: int, sizes: Sizes) -> int:
    """How many screws a bar has: as many as the file states, and as many as are used."""
    return max(used, int(sizes.given(bar_place(installation, part), "screws", used)))


def _screws(wiring: Wiring, part: Part) -> list[str]:
    """The screws of a bar by their ids; armour that ends free at its gland is none."""
    return [
        each.id for each in wiring.terminals_of(part.name) if each.id.rpartition(".")[2].isdigit()
    ]


def _numbered(
    wiring: Wiring,
    screws: list[str],
    holes: list[XYZ],
    spots: dict[str, TerminalSpot],
    axis: int,
    upright: bool,
) -> dict[str, XYZ]:
    """The screws of a bar in its holes, counted from the end from which fewer of its conductors
    cross on their way to the devices: the foremost screw on the way has the farthest end.
    """
    middle = holes[len(holes) // 2] if holes else (0.0, 0.0, 0.0)

    def unrolled(spot: TerminalSpot) -> float:
        if (axis == 1) == upright:
            return spot.at[axis]
        far = 1000 + abs(spot.at[1 - axis] - middle[1 - axis])
        return far if spot.out in ("bottom", "right") else -far

    to = {}
    for each in wiring.conductors:
        for here, there in ((each.start, each.end), (each.end, each.start)):
            if here in screws and there in spots:
                to[here] = unrolled(spots[there])
    ends = [to[screw] for screw in screws if screw in to]
    parted = [
        (one < other) - (one > other) for place, other in enumerate(ends) for one in ends[:place]
    ]
    return dict(zip(screws, holes[::-1] if sum(parted) < 0 else holes))


def _served_by(entry: CableEntry, spots: dict[str, TerminalSpot]) -> list[TerminalSpot]:
    """The terminals a cable goes to: those the feed comes in by, or the outgoing ones of a way."""
    if entry.name == "feed":
        own = f"{entry.serves}.supply." if entry.serves else ""
        return [s for name, s in spots.items() if own and name.startswith(own)] or [
            s for name, s in spots.items() if name.endswith(".lugs")
        ]
    return [s for name, s in spots.items() if name.startswith(f"{entry.serves}.load.")]


def _serving(entry: CableEntry, spots: dict[str, TerminalSpot], block: Solid, inner: Solid) -> XYZ:
    """Where a cable goes: to the middle of the terminals it serves, in the wiring room they look
    into.
    """
    own = _served_by(entry, spots)
    middle = [block.middle(0), block.middle(1)]
    if own:
        for axis in (0, 1):
            along = [spot.at[axis] for spot in own]
            middle[axis] = (min(along) + max(along)) / 2
        axis = 0 if own[0].out in ("left", "right") else 1
        far = own[0].out in ("right", "bottom")
        edges = (block.high, inner.high) if far else (block.low, inner.low)
        middle[axis] = (edges[0][axis] + edges[1][axis]) / 2
    return middle[0], middle[1], 0.0


def _through_the_back(
    installation: Installation,
    entries: Sequence[CableEntry],
    bars: dict[Side, list[Part]],
    inner: Solid,
    block: Solid,
    spots: dict[str, TerminalSpot],
    sizes: Sizes,
) -> dict[str, WallOpening]:
    """Openings behind the wiring room: the feed's above or beside the devices, the circuits' on the
    other side.
    """
    wide = block.size(0) >= block.size(1)
    axis, sides = (0, ("top", "bottom")) if wide else (1, ("left", "right"))
    across = 1 - axis
    found = {}
    for far, group in (
        (False, [entry for entry in entries if entry.name in ("feed", EARTHS)]),
        (True, [entry for entry in entries if entry.name not in ("feed", EARTHS)]),
    ):
        taken = (sizes("bar-inset") + sizes("bar-depth")) * bool(bars[cast(Side, sides[far])])
        edge, wall = (
            (block.high[across], inner.high[across] - taken)
            if far
            else (block.low[across], inner.low[across] + taken)
        )
        wanted = [
            (_serving(entry, spots, block, inner)[axis], entry.nut_mm + _AROUND) for entry in group
        ]
        at, _ = kept_apart(wanted, inner.low[axis] + 20, inner.high[axis] - 20)
        for entry, u in zip(group, at):
            v = (edge + wall) / 2
            x, y = (u, v) if axis == 0 else (v, u)
            stated = opening_of(installation, entry.name)
            x, y = sizes.given(stated, "left_mm", x), sizes.given(stated, "top_mm", y)
            away = cast(Side, sides[far])
            found[entry.name] = _as_opening(entry, (x, y, inner.low[2]), inner, away, sizes)
    return found


def _as_opening(entry: CableEntry, at: XYZ, inner: Solid, away: Side, sizes: Sizes) -> WallOpening:
    bolt = tag_bolt(entry, at, inner, away, sizes)
    return WallOpening(entry.name, entry.side, at, entry.hole_mm, entry.nut_mm, entry.gland, bolt)
