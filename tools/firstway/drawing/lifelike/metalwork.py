"""Lifelike view: what is metal in the box: the rail, neutral and earth bars, the line
bar with its teeth, the strap from a bar to the metal of the enclosure.

Each piece of a bar that the graph knows as a conductor is a group of its own, so that the same
names stand here as in the other views.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.drawing.lifelike.devices import symbol_at
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.shapes import Body, flat, on_front, solid_svg
from firstway.drawing.svg import shape
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ, BarBody, Laid, LineBar, Parts, Solid, TerminalSpot
from firstway.rendering.html import Markup, joined

_FLANGE = 4.5  # mm of a rail's edge that a device holds on to


def rail_bodies(eye: Eye, rail: Solid, upright: bool, devices: Sequence[Solid]) -> tuple[Body, ...]:
    """The web with its slots where no device covers them, and the two edges that stand out."""
    along, across = (1, 0) if upright else (0, 1)
    (low, high), deep = (rail.low, rail.high), rail.low[2] + 1.2
    web = Solid(rail.low, (high[0], high[1], deep))
    svg = solid_svg(eye, web, "z", "ze", "zd")
    middle, slot = rail.middle(across), 5.0
    start = low[along] + 6
    while start + slot < high[along] - 4:
        if any(each.low[along] < start and start + slot < each.high[along] for each in devices):
            start += 25
            continue
        points = []
        for u, v in ((0, -1.6), (slot * 1.6, -1.6), (slot * 1.6, 1.6), (0, 1.6)):
            a, b = start + u, middle + v
            points.append((b, a, deep) if upright else (a, b, deep))
        svg += flat(eye, points, "zx zhole")
        start += 25
    found = [Body("rail", web, svg)]
    for edge in (low[across], high[across] - _FLANGE):
        spans = ((low[along], high[along]), (edge, edge + _FLANGE))
        (x0, x1), (y0, y1) = spans[::-1] if upright else spans
        box = Solid((x0, y0, deep), (x1, y1, rail.high[2]))
        found.append(Body("rail", box, solid_svg(eye, box, "z", "ze", "zd")))
    return tuple(found)


def bar_body(eye: Eye, prefix: str, bar: BarBody, spots: Sequence[TerminalSpot]) -> Body:
    """A brass bar with its screws and the holes beside them."""
    box = bar.box
    svg = solid_svg(eye, box, "m")
    for spot in spots:
        x, y, z = spot.at
        if spot.out == "top":
            svg += symbol_at(eye, prefix, "top", (x, box.low[1], z))
        elif spot.out in ("left", "right") and (spot.out == "right") == (eye.side > 0):
            face = box.high[0] if spot.out == "right" else box.low[0]
            svg += symbol_at(eye, prefix, "side", (face, y, z))
        svg += symbol_at(eye, prefix, "cross", (x, y, box.high[2]))
    return Body(bar.name, box, svg)


def strap_bodies(eye: Eye, prefix: str, name: str, laid: Laid, parts: Parts) -> tuple[Body, ...]:
    """From the earth bar to the metal of the back: a strap with its screw."""
    end = laid.points[-1]
    bar = next((each for each in parts.bars if each.kind == "earth-bar"), None)
    if bar is None:
        return ()
    back = parts.inner.low[2]
    x, y = end[0], end[1]
    along = 1 if bar.side in ("left", "right") else 0
    start = bar.box.high[along]
    reach = (x, y)[along] + 4 - start
    if abs(reach) > 40:
        return ()
    low, high = list(bar.box.low), list(bar.box.high)
    low[along], high[along] = start, start + max(reach, 3.0)
    across = 1 - along
    low[across], high[across] = low[across] + 1.5, high[across] - 1.5
    low[2], high[2] = back, back + 2.0
    foot = Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))
    riser_low, riser_high = list(low), list(high)
    riser_high[along] = start + 2.0
    riser_low[2], riser_high[2] = back + 2.0, bar.box.low[2] + 5
    riser = Solid(
        (riser_low[0], riser_low[1], riser_low[2]), (riser_high[0], riser_high[1], riser_high[2])
    )
    screw = symbol_at(eye, prefix, "cross", (x, y, high[2]))
    return (
        Body(name, foot, solid_svg(eye, foot, "z", "ze", "zd") + screw),
        Body(name, riser, solid_svg(eye, riser, "z", "ze", "zd")),
    )


def piece_of_bar(eye: Eye, one: XYZ, other: XYZ, height: float) -> Markup:
    """A line on the face of a bar from screw to screw: the piece of metal between them."""
    ends = ((one[0], one[1], height), (other[0], other[1], height))
    return flat(eye, ends, "zd", closed=False)


# The line bar


def line_bar_bodies(eye: Eye, bar: LineBar, tabbed: bool) -> tuple[Body, ...]:
    """The body of the bar, and caps at its ends."""
    svg = _bus_svg(eye, bar) if tabbed else solid_svg(eye, bar.box, "k")
    found = [Body("line-bar", bar.box, svg)]
    found += [Body("line-bar", cap, solid_svg(eye, cap, "k", "ze", "zd")) for cap in bar.caps]
    return tuple(found)


_INTO, _APART, _FIN = 4.0, 3.2, 1.5
"""mm: how high the copper of a bus stands on its base, the gap between two lines of it, and how
far the insulating fin in that gap stands out."""


def _across_bus(bar: LineBar) -> int:
    """The axis square to the way a bus runs."""
    return 0 if bar.box.size(1) >= bar.box.size(0) else 1


def _lines_of(bar: LineBar) -> list[str]:
    return sorted({tooth.line for tooth in bar.teeth if tooth.line})


def _strip_of(bar: LineBar, line: str) -> tuple[float, float]:
    """From where to where the copper of a line lies, across a bus."""
    axis, lines = _across_bus(bar), _lines_of(bar)
    step = bar.box.size(axis) / max(len(lines), 1)
    place = lines.index(line) if line in lines else 0
    low = bar.box.low[axis] + step * place
    gap = _APART / 2 if len(lines) > 1 else 0.0
    return low + gap * (place > 0), low + step - gap * (place < len(lines) - 1)


def _bus_svg(eye: Eye, bar: LineBar) -> Markup:
    """An insulating base, on it the copper of each line, and between two lines a fin."""
    axis, lines = _across_bus(bar), _lines_of(bar)
    floor = bar.box.high[2] - _INTO

    def lane(low: float, high: float, z: float) -> Solid:
        one, other = list(bar.box.low), list(bar.box.high)
        one[axis], other[axis] = low, high
        return Solid((one[0], one[1], floor), (other[0], other[1], z))

    (x0, y0, z0), (x1, y1, _) = bar.box.low, bar.box.high
    pieces = [(lane(*_strip_of(bar, line), bar.box.high[2]), "c") for line in lines]
    for one, other in zip(lines, lines[1:]):
        a, b = _strip_of(bar, one)[1], _strip_of(bar, other)[0]
        pieces.append((lane(a + 0.4, b - 0.4, bar.box.high[2] + _FIN), "w"))
    pieces.sort(key=lambda each: eye.near[axis] * each[0].middle(axis))
    base = Solid((x0, y0, z0), (x1, y1, floor))
    return solid_svg(eye, base, "k") + Markup().join(
        solid_svg(eye, box, tone, "ze", "zd") for box, tone in pieces
    )


def _tab_body(eye: Eye, bar: LineBar, name: str, at: XYZ, line: str, device: Solid) -> Body | None:
    """A tab from the copper of its line to a device; where it passes another line, insulation lies
    under it.
    """
    axis = _across_bus(bar)
    middle = bar.box.middle(axis)
    edge = device.high[axis] if device.high[axis] < middle else device.low[axis]
    if bar.box.low[axis] < edge < bar.box.high[axis]:
        return None
    low_lane, high_lane = _strip_of(bar, line)
    own = (low_lane + high_lane) / 2
    z = bar.box.high[2]

    def flat_piece(start: float, end: float, half: float, low: float, high: float) -> Solid:
        one, other = [at[0] - half, at[1] - half, low], [at[0] + half, at[1] + half, high]
        one[axis], other[axis] = min(start, end), max(start, end)
        return Solid((one[0], one[1], one[2]), (other[0], other[1], other[2]))

    tab = flat_piece(own, edge, 3.5, z + _FIN, z + _FIN + 1.2)
    outward = edge < own
    inner = low_lane if outward else high_lane
    side = bar.box.low[axis] if outward else bar.box.high[axis]
    svg = Markup()
    if abs(inner - side) > 1.0:
        svg += solid_svg(eye, flat_piece(inner, side, 5.2, z, z + _FIN), "w", "ze", "zd")
    box = flat_piece(own, edge, 5.2, z, z + _FIN + 1.2)
    return Body(f"wire.{name}", box, svg + solid_svg(eye, tab, "c", "ze", "zd"))


def lug_box(parts: Parts, terminal: str) -> Solid | None:
    """The block that holds the feed on a bar without a main switch."""
    spot = parts.spots.get(terminal)
    if spot is None:
        return None
    x, y, z = spot.at
    low = parts.line_bar.box.low[2] if parts.line_bar is not None else z - 8
    return Solid((x - 5.5, y - 5.5, low), (x + 5.5, y + 5.5, z + 6))


def lug_bodies(eye: Eye, prefix: str, parts: Parts) -> tuple[Body, ...]:
    """A block with its screw for each line of the feed."""
    found = []
    for name in parts.spots:
        box = lug_box(parts, name) if name.endswith(".lugs") else None
        if box is not None:
            middle = (box.middle(0), box.middle(1), box.high[2])
            svg = solid_svg(eye, box, "z") + symbol_at(eye, prefix, "cross", middle)
            found.append(Body("line-bar", box, svg))
    return tuple(found)


def _tooth_box(bar: LineBar, at: XYZ, axis: int, line: float) -> Solid | None:
    """From the bar to the edge of a device."""
    side = bar.box.low[axis] if line <= bar.box.low[axis] else bar.box.high[axis]
    if abs(line - side) < 0.3:
        return None
    low, high = [at[0] - 2.2, at[1] - 2.2, 0.0], [at[0] + 2.2, at[1] + 2.2, 0.0]
    low[axis], high[axis] = min(side, line), max(side, line)
    z = (bar.box.low[2] + bar.box.high[2]) / 2
    low[2], high[2] = z - 1.2, z + 1.2
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))


def _before(tooth: Solid, device: Solid, axis: int, below: bool) -> Solid:
    """A tooth that missed its clamp: on over the shoulder, before it."""
    low, high = list(tooth.low), list(tooth.high)
    low[axis], high[axis] = (
        (device.high[axis] - _MISSED, high[axis])
        if below
        else (low[axis], device.low[axis] + _MISSED)
    )
    low[2], high[2] = device.high[2] + 0.4, device.high[2] + 2.8
    return Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))


_MISSED = 9.0
"""How far a tooth that missed its clamp lies over the shoulder, in mm."""


def tooth_body(
    eye: Eye,
    bar: LineBar,
    name: str,
    at: XYZ,
    device: Solid | None,
    tabbed: bool,
    beside: bool = False,
) -> Body | None:
    """A copper tooth from the bar to the device it feeds; of a tabbed board, the tab. `beside`: it
    lies before the shoulder of the device instead of in its clamp.
    """
    if device is None:
        return None
    if tabbed:
        line = next((each.line for each in bar.teeth if each.at == at), "")
        return _tab_body(eye, bar, name, at, line, device)
    axis = 1 if bar.box.size(0) >= bar.box.size(1) else 0
    middle = bar.box.middle(axis)
    below = abs(device.high[axis] - middle) < abs(device.low[axis] - middle)
    found = _tooth_box(bar, at, axis, device.high[axis] if below else device.low[axis])
    if found is None:
        return None
    box = _before(found, device, axis, below) if beside else found
    return Body(f"wire.{name}", box, solid_svg(eye, box, "c", "ze", "zd"))


# The line bar before it goes in


@dataclass(frozen=True)
class LooseTooth:
    """A tooth as it is before the bar goes in; `line` is "" where it serves no device."""

    box: Solid
    line: str


@dataclass(frozen=True)
class LooseBar:
    """The line bar drawn back from its devices, its teeth bare; `guides` lead to their clamps."""

    box: Solid
    caps: tuple[Solid, ...]
    teeth: tuple[LooseTooth, ...]
    guides: tuple[tuple[XYZ, XYZ], ...]
    pitch_mm: float

    @property
    def bodies(self) -> tuple[Solid, ...]:
        """Everything of it."""
        return (self.box, *self.caps, *(each.box for each in self.teeth))


_BACK, _OUT = 46.0, 30.0
"""How far it is drawn back from its devices and towards the eye, in mm."""
_BARE, _CUT = 14.0, 6.0
"""How long a tooth and its cover are drawn, in mm."""


def loose_bar(parts: Parts) -> LooseBar | None:
    """None where devices are plugged on a bus, or where there is no bar."""
    bar = parts.line_bar
    if bar is None or parts.rail is None:
        return None
    axis = 1 if bar.box.size(0) >= bar.box.size(1) else 0
    after = bar.box.middle(axis) > parts.block.middle(axis)
    shift = [0.0, 0.0, _OUT]
    shift[axis] = _BACK if after else -_BACK
    moved = _moved(bar.box, shift)
    teeth, guides = [], []
    for tooth in bar.teeth:
        edge = moved.low[axis] if after else moved.high[axis]
        long = _BARE if tooth.terminal else _CUT
        low = [tooth.at[each] - 2.4 + shift[each] for each in (0, 1, 2)]
        high = [tooth.at[each] + 2.4 + shift[each] for each in (0, 1, 2)]
        low[axis], high[axis] = (edge - long, edge) if after else (edge, edge + long)
        low[2], high[2] = moved.middle(2) - 1.2, moved.middle(2) + 1.2
        box = Solid((low[0], low[1], low[2]), (high[0], high[1], high[2]))
        teeth.append(LooseTooth(box, tooth.line if tooth.terminal else ""))
        if tooth.terminal:
            tip = [box.middle(0), box.middle(1), box.middle(2)]
            tip[axis] = low[axis] if after else high[axis]
            home = list(tooth.at)
            home[axis] = parts.block.high[axis] if after else parts.block.low[axis]
            home[2] = bar.box.middle(2)
            guides.append(((tip[0], tip[1], tip[2]), (home[0], home[1], home[2])))
    caps = tuple(_moved(each, shift) for each in bar.caps)
    return LooseBar(moved, caps, tuple(teeth), tuple(guides), bar.pitch_mm)


def _moved(box: Solid, by: Sequence[float]) -> Solid:
    low, high = box.low, box.high
    return Solid(
        (low[0] + by[0], low[1] + by[1], low[2] + by[2]),
        (high[0] + by[0], high[1] + by[1], high[2] + by[2]),
    )


def loose_bar_svg(eye: Eye, bar: LooseBar) -> Markup:
    """From behind to the front: guides, teeth, the bar with the letters of its lines, caps."""
    guides = joined(flat(eye, each, "zd", closed=False) for each in bar.guides)
    svg = shape("g", guides, stroke_dasharray="4 3")
    upward = all(each.box.high[1] <= bar.box.low[1] + 0.1 for each in bar.teeth)
    teeth = Markup().join(
        solid_svg(eye, each.box, "c" if each.line else "k", "ze", "zd")
        for each in sorted(bar.teeth, key=lambda each: eye.side * each.box.low[0])
    )
    body = solid_svg(eye, bar.box, "k")
    svg += teeth + body if upward else body + teeth
    svg += Markup().join(solid_svg(eye, cap, "k", "ze", "zd") for cap in bar.caps)
    lines = {each.line for each in bar.teeth if each.line}
    for each in bar.teeth:
        if each.line and len(lines) > 1:
            at = each.box.middle(0), bar.box.middle(1), bar.box.high[2]
            svg += shape("g", on_front(eye, at, each.line)[0], class_="zlight")
    return svg
