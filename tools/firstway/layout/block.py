"""Layout: the devices of a board with the bar that feeds them, around a corner of their own.

They are planned in a frame, u along the rail or the bus and v across it; a rail that runs downwards
is turned clockwise.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import cast

from firstway.frozen import dataclass
from firstway.layout.plan import Side
from firstway.layout.sizes import Sizes
from firstway.model.installation import Installation
from firstway.model.values import is_known
from firstway.wiring.graph import Part, Terminal, Wiring

Flat = tuple[float, float, float, float]  # x, y, width, height
_Place = Callable[[float, float, float, float], Flat]


@dataclass(frozen=True)
class DeviceBlock:
    """Devices, spots, free places and line bar around a corner of their own, as wide and high as
    they need.
    """

    width: float
    height: float
    devices: dict[str, tuple[Part, Flat, Flat]]
    spots: dict[str, tuple[float, float, Side]]
    free: tuple[Flat, ...]
    bar: FlatBar | None
    row: Flat


@dataclass(frozen=True)
class FlatBar:
    """The bar that feeds the devices: its box, the pitch in mm, and for each tooth x, y, the line
    it carries and the device terminal it was meant for.
    """

    box: Flat
    pitch: float
    teeth: tuple[tuple[float, float, str, str], ...]


# Devices on a rail


def devices_on_rail(
    installation: Installation,
    wiring: Wiring,
    devices: Sequence[Part],
    spare: int,
    upright: bool,
    ahead: bool,
    sizes: Sizes,
) -> DeviceBlock:
    """Devices side by side on a rail, each as wide as its modules, with their comb bar. `spare` is
    how many places stay free; `ahead` says that the first device stands at the left, or on top.
    """
    module, deep, inset = sizes("module-width"), sizes("device-height"), sizes("clamp-inset")
    window, high = sizes("window-height"), sizes("rail-height")
    before = 0.0 if any(part.kind == "main-switch" for part in devices) else sizes("lug-room")
    length = before + module * (spare + sum(max(part.modules, 1) for part in devices))
    sides: dict[str, Side] = (
        {"top": "right", "bottom": "left"} if upright else {"top": "top", "bottom": "bottom"}
    )

    def place(u: float, v: float, wide: float, tall: float) -> Flat:
        return (deep - v - tall, u, tall, wide) if upright else (u, v, wide, tall)

    placed: dict[str, tuple[Part, Flat, Flat]] = {}
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
) -> tuple[FlatBar | None, dict[str, tuple[float, float, str]]]:
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
    return FlatBar(
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


def devices_on_tabs(
    installation: Installation,
    wiring: Wiring,
    devices: Sequence[Part],
    spare: int,
    upright: bool,
    ahead: bool,
    sizes: Sizes,
) -> DeviceBlock:
    """Devices plugged on in two columns beside a bus; each takes the shorter column, from a tab of
    its line on.
    """
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

    def place(u: float, v: float, wide: float, tall: float) -> Flat:
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
    placed: dict[str, tuple[Part, Flat, Flat]] = {}
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
        FlatBar(place(head / 2, -8, length - head / 2, 16), pitch, tuple(teeth)),
        whole,
    )
