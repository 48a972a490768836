"""Layout: enclosure, rail, devices, bars, openings and cover, before a conductor is laid.

Devices are planned in a frame of their own, u along the rail or the bus and v across it; a rail
that runs downwards is turned clockwise. Where nothing is stated, things stand in the middle of what
is free.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import cast

from firstway.frozen import dataclass
from firstway.layout.entries import CableEntry, entries_of, kept_apart, opening_of, tag_bolt
from firstway.layout.plan import (
    OPPOSITE,
    XYZ,
    BarBody,
    Cover,
    DeviceBody,
    LineBar,
    Parts,
    Side,
    Solid,
    TerminalSpot,
    Tooth,
    WallOpening,
)
from firstway.layout.sizes import Sizes
from firstway.model.installation import Installation
from firstway.model.values import is_known, key_of
from firstway.wiring.graph import Part, Terminal, Wiring

RAIL_KINDS = ("main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "blank")
_STUD = 12.0  # room at the end of an earth bar for what joins it to the metal of the enclosure
_AROUND = 2.0  # between what stands along one side


_EDGES = ("left_mm", "top_mm")  # keys of a place, along x and along y
_Flat = tuple[float, float, float, float]  # x, y, width, height
_Place = Callable[[float, float, float, float], _Flat]


@dataclass(frozen=True)
class DeviceBlock:
    """Devices, spots, free places and line bar around a corner of their own, as wide and high as
    they need.
    """

    width: float
    height: float
    devices: dict[str, tuple[Part, _Flat, _Flat]]
    spots: dict[str, tuple[float, float, Side]]
    free: tuple[_Flat, ...]
    bar: _FlatBar | None
    row: _Flat


@dataclass(frozen=True)
class _FlatBar:
    box: _Flat
    pitch: float
    teeth: tuple[tuple[float, float, str, str], ...]


def fixed_parts(installation: Installation, wiring: Wiring, sizes: Sizes) -> Parts:
    """Everything that is fixed in the enclosure."""
    box = installation.board.enclosure
    tabbed = is_known(installation.board.busbar) and installation.board.busbar.style == "tabs"
    end = sizes.word(box, "main_switch_end", "top" if tabbed else "right")
    upright, ahead = end in ("top", "bottom"), end in ("left", "top")
    devices = sorted(
        (part for part in wiring.parts if part.kind in RAIL_KINDS and part.place == "board"),
        key=lambda part: part.order,
    )
    used = sum(max(part.modules, 1) for part in devices)
    spare = max(int(sizes.given(box, "modules", used)) - used, 0)
    bars = _bars_by_side(installation, wiring, sizes)
    taken = {side: (sizes("bar-inset") + sizes("bar-depth")) * bool(bars[side]) for side in bars}
    make = _tabbed if tabbed else _on_rail
    block = make(installation, wiring, devices, spare, upright, ahead, sizes)
    material = sizes.word(box, "material", "steel")
    wall = sizes(f"wall-{material}")
    # a box of unknown size is taken for one with room for two bends beside each other
    bends = 2.4 * max(
        (sizes.radius_mm(each) for each in wiring.conductors if each.cable == "feed"), default=0.0
    )
    along, across = max(sizes("side-gutter"), bends), max(sizes("end-gutter"), bends)
    beside, above = (across, along) if upright else (along, across)
    width = sizes.given(
        box, "width_mm", block.width + 2 * (beside + wall) + taken["left"] + taken["right"]
    )
    height = sizes.given(
        box, "height_mm", block.height + 2 * (above + wall) + taken["top"] + taken["bottom"]
    )
    depth = sizes.given(box, "depth_mm", sizes("enclosure-depth"))
    outer = Solid((0, 0, 0), (width, height, depth))
    inner = Solid((wall, wall, wall), (width - wall, height - wall, depth - wall))
    room = (
        width - 2 * wall - taken["left"] - taken["right"],
        height - 2 * wall - taken["top"] - taken["bottom"],
    )
    crowded = []
    if spare and (block.width > room[0] or block.height > room[1]):
        # free places that the box has no room for are left out before devices are pushed outside
        block = make(installation, wiring, devices, 0, upright, ahead, sizes)
    if block.width > room[0] or block.height > room[1]:
        crowded.append("devices")
    row = key_of(box, "row")
    at = (
        sizes.given(row, "left_mm", wall + taken["left"] + (room[0] - block.width) / 2),
        sizes.given(row, "top_mm", wall + taken["top"] + (room[1] - block.height) / 2),
    )
    face = max(depth - sizes("rail-to-nose"), wall + sizes("rail-depth"))
    clamp = min(face + sizes("rail-to-clamp"), inner.high[2] - 4)
    back = face - sizes("rail-depth")
    shoulder = min(face + sizes("rail-to-shoulder"), inner.high[2])

    def solid(flat: _Flat, low: float, high: float) -> Solid:
        x, y = flat[0] + at[0], flat[1] + at[1]
        return Solid((x, y, low), (x + flat[2], y + flat[3], high))

    spots = {
        name: TerminalSpot(name, (x + at[0], y + at[1], clamp), out)
        for name, (x, y, out) in block.spots.items()
    }
    placed = tuple(
        DeviceBody(part.name, part.kind, solid(body, face, shoulder), solid(nose, shoulder, depth))
        for part, body, nose in block.devices.values()
    )
    whole = solid((0, 0, block.width, block.height), back, depth)
    bar_places, openings = _along_the_walls(
        installation,
        entries_of(installation, wiring, sizes),
        bars,
        wiring,
        inner,
        whole,
        spots,
        sizes,
        crowded,
        tabbed,
        upright,
    )
    crowded += _in_each_other(inner, whole, bar_places)
    return Parts(
        outer,
        inner,
        whole,
        None if tabbed else _rail(solid(block.row, back, face), inner, upright),
        None if tabbed else (wall, back),
        placed,
        spots,
        bar_places,
        _line_bar(block.bar, solid, at, clamp, sizes),
        openings,
        _cover(
            outer,
            placed,
            [solid(each, shoulder, depth) for each in block.free],
            wall,
            upright,
            tabbed,
            sizes,
        ),
        upright,
        sizes.taken(),
        tuple(dict.fromkeys(crowded)),
    )


def _in_each_other(inner: Solid, block: Solid, bars: Sequence[BarBody]) -> list[str]:
    """What stands where something else does, or in the wall: stated places bring that about."""
    flat = Solid((*block.low[:2], 0), (*block.high[:2], 1))
    beside = {bar.name: Solid((*bar.box.low[:2], 0), (*bar.box.high[:2], 1)) for bar in bars}
    found = [
        name
        for name, box in {"devices": flat, **beside}.items()
        if any(box.low[a] < inner.low[a] - 0.1 or box.high[a] > inner.high[a] + 0.1 for a in (0, 1))
    ]
    for number, (name, box) in enumerate(beside.items()):
        others = [flat, *list(beside.values())[:number]]
        found += [name] if any(box.meets(other.grown(-0.1)) for other in others) else []
    return found


def _rail(row: Solid, inner: Solid, upright: bool) -> Solid:
    """The rail behind the row, a little longer than it is."""
    along = 1 if upright else 0
    low, high = list(row.low), list(row.high)
    low[along] = max(low[along] - 8, inner.low[along])
    high[along] = min(high[along] + 8, inner.high[along])
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))


# Devices on a rail


def _on_rail(
    installation: Installation,
    wiring: Wiring,
    devices: Sequence[Part],
    spare: int,
    upright: bool,
    ahead: bool,
    sizes: Sizes,
) -> DeviceBlock:
    module, deep, inset = sizes("module-width"), sizes("device-height"), sizes("clamp-inset")
    window, high = sizes("window-height"), sizes("rail-height")
    before = 0.0 if any(part.kind == "main-switch" for part in devices) else sizes("lug-room")
    length = before + module * (spare + sum(max(part.modules, 1) for part in devices))
    sides: dict[str, Side] = (
        {"top": "right", "bottom": "left"} if upright else {"top": "top", "bottom": "bottom"}
    )

    def place(u: float, v: float, wide: float, tall: float) -> _Flat:
        return (deep - v - tall, u, tall, wide) if upright else (u, v, wide, tall)

    placed: dict[str, tuple[Part, _Flat, _Flat]] = {}
    spots: dict[str, tuple[float, float, Side]] = {}
    along: dict[str, float] = {}
    start = before
    for part in devices:
        wide = max(part.modules, 1) * module
        u = start if ahead else length - start - wide
        start += wide
        placed[part.name] = (
            part,
            place(u, 0, wide, deep),
            place(u, (deep - window) / 2, wide, window),
        )
        for edge, v in (("top", inset), ("bottom", deep - inset)):
            here = [each for each in wiring.terminals_of(part.name) if each.edge == edge]
            for number, terminal in enumerate(here):
                along[terminal.id] = u + (number + 0.5) * wide / len(here)
                x, y = place(along[terminal.id], v, 0, 0)[:2]
                spots[terminal.id] = (x, y, sides[edge])
    free = [start + number * module for number in range(spare)]
    bar, own = _comb(installation, wiring, along, length, ahead, place, sizes)
    spots |= {name: (x, y, sides[edge]) for name, (x, y, edge) in own.items()}
    whole = place(0, 0, length, deep)
    return DeviceBlock(
        whole[2],
        whole[3],
        placed,
        spots,
        tuple(place(u if ahead else length - u - module, 0, module, deep) for u in free),
        bar,
        place(0, (deep - high) / 2, length, high),
    )


def _served(wiring: Wiring) -> dict[str, str]:
    """The device terminal that each terminal of the line bar is joined to by a tooth."""
    bars = {part.name for part in wiring.parts if part.kind == "line-bar"}
    found: dict[str, str] = {}
    for conductor in wiring.conductors:
        if conductor.kind == "bar":
            for one, other in (
                (conductor.start, conductor.end),
                (conductor.end, conductor.start),
            ):
                ends = wiring.terminal(one), wiring.terminal(other)
                if ends[0] and ends[1] and ends[0].device in bars and ends[1].device not in bars:
                    found[one] = other
    return found


def _bar_terminals(wiring: Wiring) -> list[Terminal]:
    bars = {part.name for part in wiring.parts if part.kind == "line-bar"}
    return [each for each in wiring.terminals if each.device in bars]


def _comb(
    installation: Installation,
    wiring: Wiring,
    along: dict[str, float],
    length: float,
    ahead: bool,
    place: _Place,
    sizes: Sizes,
) -> tuple[_FlatBar | None, dict[str, tuple[float, float, str]]]:
    """The comb: teeth at its own pitch from the first device it meets, its lines repeating; and the
    spots of its terminals.

    A comb for four poles leaves the neutral's tooth out, so the lines repeat with that gap.
    """
    terminals = _bar_terminals(wiring)
    if not terminals:
        return None, {}
    pitch = sizes.given(installation.board.busbar, "pitch_mm", sizes("line-bar-pitch"))
    lines = sorted({each.function for each in terminals})
    offset, body = sizes("line-bar-offset"), sizes("line-bar-body") * len(lines)
    deep, edge = sizes("device-height"), str(terminals[0].edge)
    level = deep + offset + body / 2 if edge == "bottom" else -offset - body / 2
    served = {name: end for name, end in _served(wiring).items() if end in along}
    first = next((each for each in terminals if each.id in served), None)
    origin = along[served[first.id]] - pitch * lines.index(first.function) if first else length / 2
    switched = wiring.terminals_of(first.id.rpartition(".")[2]) if first else ()
    gap = len(lines) > 1 and any(each.function == "N" and each.edge == edge for each in switched)
    pattern = [*lines, *([""] if gap else [])]
    meant = {round((along[end] - origin) / pitch): end for end in served.values()}
    numbers = range(min(meant, default=0), max(meant, default=0) + 1)
    teeth = [
        (origin + number * pitch, pattern[number % len(pattern)], meant.get(number, ""))
        for number in numbers
        if pattern[number % len(pattern)] or number in meant
    ]
    spots = {}
    for terminal in terminals:
        at = (
            origin + round((along[served[terminal.id]] - origin) / pitch) * pitch
            if terminal.id in served
            else _lug(terminal, lines, length, ahead, sizes)
        )
        x, y = place(at, level, 0, 0)[:2]
        spots[terminal.id] = (x, y, edge)
    low = min(each[0] for each in teeth) - 5 if teeth else length / 2
    high = max(each[0] for each in teeth) + 5 if teeth else length / 2
    flat = place(low, level - body / 2, high - low, body)
    return _FlatBar(
        flat,
        pitch,
        tuple((*place(at, level, 0, 0)[:2], line, end) for at, line, end in teeth),
    ), spots


def _lug(
    terminal: Terminal, lines: Sequence[str], length: float, ahead: bool, sizes: Sizes
) -> float:
    """Where the feed is held on a bar that has no main switch: before the first device."""
    u = sizes("lug-room") * (lines.index(terminal.function) + 1) / (len(lines) + 1)
    return u if ahead else length - u


# Devices on tabs


def _tabbed(
    installation: Installation,
    wiring: Wiring,
    devices: Sequence[Part],
    spare: int,
    upright: bool,
    ahead: bool,
    sizes: Sizes,
) -> DeviceBlock:
    """Two columns beside a bus; each device takes the shorter column, from a tab of its line on."""
    bar = installation.board.busbar
    pitch = sizes.given(bar, "pitch_mm", sizes("tabbed-breaker-width"))
    deep, half = sizes("tabbed-breaker-length"), sizes("tabbed-bus-half")
    inset, window = sizes("clamp-inset"), sizes("window-height")
    main = next((part for part in devices if part.kind == "main-switch"), None)
    head = sizes("device-height") + 4 if main else sizes("lug-room")
    bus = _bar_terminals(wiring)
    lines = sorted({each.function for each in bus})
    filled, seats = [0, 0], {}
    for part in devices:
        if part is not main:
            column = 0 if filled[0] <= filled[1] else 1
            way = installation.way(part.name)
            wanted = str(way.line) if is_known(way.line) else ""
            row = filled[column]
            while wanted in lines and lines[row % len(lines)] != wanted:
                row += 1
            seats[part.name] = column, row
            filled[column] = row + max(part.modules, 1)
    rows = max(max(filled), -(-(sum(filled) + spare) // 2))
    length, reach = head + rows * pitch, half + deep

    def place(u: float, v: float, wide: float, tall: float) -> _Flat:
        u, v = u if ahead else length - u - wide, v + reach
        return (v, u, tall, wide) if upright else (u, v, wide, tall)

    outward: tuple[Side, Side] = ("left", "right") if upright else ("top", "bottom")
    heading = cast(
        Side,
        {(True, True): "top", (True, False): "bottom", (False, True): "left"}.get(
            (upright, ahead), "right"
        ),
    )
    served = _served(wiring)
    placed: dict[str, tuple[Part, _Flat, _Flat]] = {}
    spots: dict[str, tuple[float, float, Side]] = {}
    teeth = []
    for part in devices:
        own = wiring.terminals_of(part.name)
        wired = [each for each in own if each.id not in served.values()]
        tabs = [each for each in own if each.id in served.values()]
        if part is main:
            wide = max(part.modules, 1) * sizes("module-width")
            body = place(0, -wide / 2, head - 4, wide)
            placed[part.name] = (part, body, place(20, -wide / 2, window, wide))
            for number, terminal in enumerate(wired):
                flat = place(inset, -wide / 2 + (number + 0.5) * wide / len(wired), 0, 0)
                spots[terminal.id] = (flat[0], flat[1], heading)
            for number, terminal in enumerate(tabs):
                flat = place(head - inset, (number + 0.5) * wide / len(tabs) - wide / 2, 0, 0)
                spots[terminal.id] = (flat[0], flat[1], heading)
            continue
        column, row = seats[part.name]
        u, tall = head + row * pitch, max(part.modules, 1) * pitch
        v = half if column else -reach
        sign = 1 if column else -1
        placed[part.name] = (
            part,
            place(u, v, tall, deep),
            place(u, v + (20 if column else 11), tall, window),
        )
        for number, terminal in enumerate(wired):
            flat = place(u + (number + 0.5) * tall / len(wired), sign * (reach - inset), 0, 0)
            spots[terminal.id] = (flat[0], flat[1], outward[column])
        for number, terminal in enumerate(tabs):
            flat = place(u + (number % max(part.modules, 1) + 0.5) * pitch, sign * (half + 5), 0, 0)
            spots[terminal.id] = (flat[0], flat[1], outward[column])
    for each in bus:
        if each.id in served and served[each.id] in spots:
            x, y = spots[served[each.id]][:2]
            x, y = (reach + (x - reach) * 0.4, y) if upright else (x, reach + (y - reach) * 0.4)
            teeth.append((x, y, str(each.function), served[each.id]))
        else:
            across = (lines.index(each.function) - (len(lines) - 1) / 2) * sizes("lug-pitch")
            x, y = place(head / 2, across, 0, 0)[:2]
        spots[each.id] = (x, y, heading)
    taken = {
        (column, row + more)
        for name, (column, row) in seats.items()
        for more in range(max(cast(Part, wiring.part(name)).modules, 1))
    }
    free = [(c, r) for r in range(rows) for c in (0, 1) if (c, r) not in taken][:spare]
    whole = place(0, -reach, length, 2 * reach)
    return DeviceBlock(
        whole[2],
        whole[3],
        placed,
        spots,
        tuple(place(head + r * pitch, half if c else -reach, pitch, deep) for c, r in free),
        _FlatBar(place(head / 2, -8, length - head / 2, 16), pitch, tuple(teeth)),
        whole,
    )


# Line bar and cover


def _line_bar(
    bar: _FlatBar | None,
    solid: Callable[[_Flat, float, float], Solid],
    at: tuple[float, float],
    clamp: float,
    sizes: Sizes,
) -> LineBar | None:
    if bar is None:
        return None
    low, high = clamp - sizes("line-bar-below-clamp"), clamp - sizes("line-bar-below-clamp") / 2
    x, y, wide, tall = bar.box
    ends: tuple[_Flat, _Flat] = (
        ((x - 2, y, 2, tall), (x + wide, y, 2, tall))
        if wide >= tall
        else ((x, y - 2, wide, 2), (x, y + tall, wide, 2))
    )
    return LineBar(
        solid(bar.box, low, high),
        bar.pitch,
        tuple(
            Tooth((x + at[0], y + at[1], (low + high) / 2), line, end)
            for x, y, line, end in bar.teeth
        ),
        (solid(ends[0], low, high), solid(ends[1], low, high)),
    )


def _cover(
    outer: Solid,
    devices: Sequence[DeviceBody],
    free: Sequence[Solid],
    wall: float,
    upright: bool,
    tabbed: bool,
    sizes: Sizes,
) -> Cover:
    """A window round all noses; a blank where a free place or a blank plate is."""
    clear = sizes("window-clearance")
    blanks = [each.nose for each in devices if each.kind == "blank"]
    noses = [each.nose for each in devices] or [outer]
    blanks += [_blank_over(each, devices, 0 if upright else 1) for each in free]
    low, high = outer.high[2] - wall, outer.high[2]
    every = [*noses, *blanks]
    window = Solid(
        (min(b.low[0] for b in every) - clear, min(b.low[1] for b in every) - clear, low),
        (max(b.high[0] for b in every) + clear, max(b.high[1] for b in every) + clear, high),
    )
    labels = tuple(
        (each.name, _label_place(each, outer, window, upright, tabbed, sizes)) for each in devices
    )
    return Cover(
        Solid((0, 0, low), (outer.high[0], outer.high[1], high)), window, tuple(blanks), labels
    )


def _blank_over(free: Solid, devices: Sequence[DeviceBody], axis: int) -> Solid:
    """What closes a free place: as deep across the row as the noses beside it."""
    beside = [each for each in devices if abs(each.body.low[axis] - free.low[axis]) < 0.01]
    low, high = list(free.low), list(free.high)
    if beside:
        low[axis], high[axis] = beside[-1].nose.low[axis], beside[-1].nose.high[axis]
    elif devices:
        middle, half = free.middle(axis), devices[0].nose.size(axis) / 2
        low[axis], high[axis] = middle - half, middle + half
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _label_place(
    device: DeviceBody, outer: Solid, window: Solid, upright: bool, tabbed: bool, sizes: Sizes
) -> Solid:
    """The label strip of a device, on the cover beside the window: over a level row, to the left of
    an upright one, and on the outer side of a column on tabs.
    """
    axis = 0 if upright else 1
    strip = sizes("label-strip-beside" if upright else "label-strip")
    after = tabbed and device.nose.middle(axis) > window.middle(axis) + 1
    edge = window.high[axis] if after else window.low[axis]
    room = outer.high[axis] - edge if after else edge
    strip = min(strip, max(room - 2, 2.0))
    low, high = list(device.nose.low), list(device.nose.high)
    low[axis], high[axis] = (edge, edge + strip) if after else (edge - strip, edge)
    top = outer.high[2]
    return Solid((low[0], low[1], top), (high[0], high[1], top))


# Bars and openings along the walls


def _bars_by_side(
    installation: Installation, wiring: Wiring, sizes: Sizes
) -> dict[Side, list[Part]]:
    found: dict[Side, list[Part]] = {"left": [], "right": [], "top": [], "bottom": []}
    for kind, otherwise in (("neutral-bar", "left"), ("earth-bar", "bottom")):
        side = sizes.word(installation.board.enclosure, kind.replace("-", "_"), otherwise)
        found[cast(Side, side)] += [part for part in wiring.parts if part.kind == kind]
    return found


def _along_the_walls(
    installation: Installation,
    entries: Sequence[CableEntry],
    bars: dict[Side, list[Part]],
    wiring: Wiring,
    inner: Solid,
    block: Solid,
    spots: dict[str, TerminalSpot],
    sizes: Sizes,
    crowded: list[str],
    tabbed: bool,
    upright: bool,
) -> tuple[tuple[BarBody, ...], tuple[WallOpening, ...]]:
    """Bars and openings of each side apart from each other; adds the spots of the bars."""
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
            stated = _bar_place(installation, part)
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
    return tuple(places), tuple(openings[entry.name] for entry in entries)


def _bar_place(installation: Installation, part: Part) -> object:
    """What the file states of a bar's place."""
    return key_of(installation.board.enclosure, f"{part.kind.replace('-', '_')}_at")


def _screw_count(installation: Installation, part: Part, used: int, sizes: Sizes) -> int:
    """How many screws a bar has: as many as the file states, and as many as are used."""
    return max(used, int(sizes.given(_bar_place(installation, part), "screws", used)))


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
        (False, [entry for entry in entries if entry.name == "feed"]),
        (True, [entry for entry in entries if entry.name != "feed"]),
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
