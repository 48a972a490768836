"""Layout: everything that is fixed in the enclosure, before a conductor is laid: rail, devices,
bars, openings and cover.

Where nothing is stated, things stand in the middle of what is free.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from firstway.layout.along_walls import along_the_walls, bars_by_side
from firstway.layout.block import Flat, FlatBar, devices_on_rail, devices_on_tabs
from firstway.layout.entries import entries_of
from firstway.layout.plan import (
    BarBody,
    Cover,
    DeviceBody,
    LineBar,
    Parts,
    Solid,
    TerminalSpot,
    Tooth,
)
from firstway.layout.sizes import Sizes
from firstway.model.installation import Installation
from firstway.model.values import is_known, key_of
from firstway.wiring.graph import Wiring

RAIL_KINDS = ("main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "blank")


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
    bars = bars_by_side(installation, wiring, sizes)
    taken = {side: (sizes("bar-inset") + sizes("bar-depth")) * bool(bars[side]) for side in bars}
    make = devices_on_tabs if tabbed else devices_on_rail
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

    def solid(flat: Flat, low: float, high: float) -> Solid:
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
    walls = along_the_walls(
        installation,
        entries_of(installation, wiring, sizes),
        bars,
        wiring,
        inner,
        whole,
        spots,
        sizes,
        tabbed,
        upright,
    )
    crowded += [*walls.crowded, *_in_each_other(inner, whole, walls.bars)]
    return Parts(
        outer,
        inner,
        whole,
        None if tabbed else _rail(solid(block.row, back, face), inner, upright),
        None if tabbed else (wall, back),
        placed,
        walls.spots,
        walls.bars,
        _line_bar(block.bar, solid, at, clamp, sizes),
        walls.openings,
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


# Line bar and cover


def _line_bar(
    bar: FlatBar | None,
    solid: Callable[[Flat, float, float], Solid],
    at: tuple[float, float],
    clamp: float,
    sizes: Sizes,
) -> LineBar | None:
    if bar is None:
        return None
    low, high = clamp - sizes("line-bar-below-clamp"), clamp - sizes("line-bar-below-clamp") / 2
    x, y, wide, tall = bar.box
    ends: tuple[Flat, Flat] = (
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
