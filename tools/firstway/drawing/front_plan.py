"""Drawing: where everything on a board's front lies, in mm; a plan of numbers, no strokes and no
words yet.

A rail board is planned in a frame of its own: u runs along the rail, v across it from the devices'
top to their bottom. A rail that runs downwards is the same frame turned clockwise. A tabbed board
has two columns beside its bus. What does not fit lies outside the enclosure, where it would be.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from firstway.calculations.adding import added
from firstway.drawing.rect import Rect
from firstway.model.installation import Installation, Way
from firstway.model.values import Absent, is_known
from firstway.tables.reading import Gap, board_size_mm
from firstway.wiring.graph import Part, Terminal, Wiring

_RAIL_KINDS = ("main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "blank")
_OPPOSITE = {"top": "bottom", "bottom": "top", "left": "right", "right": "left"}
TURNED = {
    "top": "right",
    "right": "bottom",
    "bottom": "left",
    "left": "top",
}  # a quarter turn clockwise
INWARD = {"top": "down", "bottom": "up", "left": "right", "right": "left"}
TOOTH = 7.0  # from a device's edge to the line bar
SCREW = 7.0  # from a device's edge to the middle of its terminals
INSET = 4.0  # from the wall to what hangs on it
LUG_ROOM = 26.0  # before the first device where lugs stand instead of a main switch
BUS_HALF = 14.0  # half the way between the columns of a tabbed board
BUS = 8.0  # half the width of the bus itself
TAB_END, WIRE_END = 20.0, 24.0  # of a breaker on tabs: from its ends to its window
_LARGEST = 560.0  # a longer side is drawn shortened, unless the devices need it


@dataclass(frozen=True)
class FrontRoom:
    """What the words need, in mm: label strip, one line, a bar's name across and its
    numbers, an opening along and beside a wall, a bar's name along it."""

    strip: float
    line: float
    name: float
    numbers: float
    opening: float = 20.0
    opening_beside: float = 20.0
    bar_name: float = 34.0


@dataclass(frozen=True)
class Front:
    """A device: its outline, the window its words stand in, and the cell of the label strip beside
    it.
    """

    rect: Rect
    window: Rect
    label: Rect | None


@dataclass(frozen=True)
class FrontSpot:
    """A terminal: its middle, the radius of its screw, and the direction its name lies in."""

    x: float
    y: float
    radius: float
    inward: str


@dataclass(frozen=True)
class BarPlace:
    """A neutral or earth bar; `with_name` is what it takes with its name outside it and its numbers
    inside.
    """

    rect: Rect
    side: str
    fits: bool
    with_name: Rect


@dataclass(frozen=True)
class FrontOpening:
    """Where a cable passes the wall; `side` is `back` for an opening behind the devices."""

    name: str
    side: str
    x: float
    y: float


@dataclass(frozen=True)
class FrontPlan:
    """Coordinates in mm from the enclosure's top left corner."""

    width: float
    height: float
    shortened: tuple[bool, bool]
    upright: bool  # devices lie below each other
    tabbed: bool
    module: float
    used: int
    rail: Rect | None
    devices: dict[str, Front]
    free: tuple[Rect, ...]
    free_not_drawn: int
    terminals: dict[str, FrontSpot]
    bars: dict[str, BarPlace]
    bar: Rect | None  # the line bar
    teeth: tuple[tuple[str, str], ...]  # line bar terminal, device terminal
    scale_from: tuple[float, float]  # of the module dimension line
    scale_to: tuple[float, float]
    openings: tuple[FrontOpening, ...]
    row: Rect  # all module places drawn
    row_fits: bool
    cleared: Rect  # what the row, its strip and its bar need
    covered: Rect  # the same with the openings behind them


def size_mm(quantity: str) -> float:
    found = board_size_mm(quantity)
    assert not isinstance(found, Gap), found
    return found.value


def rail_parts(wiring: Wiring) -> tuple[Part, ...]:
    """The devices outward from the main switch."""
    return tuple(
        sorted(
            (part for part in wiring.parts if part.kind in _RAIL_KINDS), key=lambda part: part.order
        )
    )


def is_tabbed(installation: Installation) -> bool:
    """Whether the devices plug on tabs of a bus between two columns."""
    bar = installation.board.busbar
    return not isinstance(bar, Absent) and bar.style == "tabs"


def module_mm(installation: Installation) -> float:
    """Width of one module: the pitch of the tabs where devices plug on tabs, otherwise that of the
    rail system.
    """
    bar = installation.board.busbar
    if not isinstance(bar, Absent) and bar.style == "tabs":
        return float(bar.pitch_mm) if is_known(bar.pitch_mm) else size_mm("tabbed-breaker-width")
    return size_mm("module-width")


def side_of(installation: Installation, key: str, otherwise: str) -> str:
    """A side the enclosure names."""
    value = getattr(installation.board.enclosure, key, None)
    return value if isinstance(value, str) else otherwise


def given_mm(installation: Installation, key: str) -> float | None:
    value = getattr(installation.board.enclosure, key, None)
    return float(value) if isinstance(value, (int, float)) else None


@dataclass(frozen=True)
class _Block:
    """The devices with all that belongs to them, around a corner of its own; `needs` is what it
    covers.
    """

    needs: Rect
    row: Rect
    devices: dict[str, Front]
    free: tuple[Rect, ...]
    terminals: dict[str, FrontSpot]
    bar: Rect | None
    scale: tuple[tuple[float, float], tuple[float, float]]
    source: tuple[float, float]


def front_plan(installation: Installation, wiring: Wiring, room: FrontRoom) -> FrontPlan:
    """The plan of a board's front; sizes the file does not give are taken so that
    everything fits.
    """
    tabbed, parts = is_tabbed(installation), rail_parts(wiring)
    end = side_of(installation, "main_switch_end", "top" if tabbed else "right")
    upright = end in ("top", "bottom")
    used = sum(max(part.modules, 1) for part in parts)
    places = given_mm(installation, "modules")
    spare = max(int(places) - used, 0) if places is not None else 0
    shape = (
        _Tabbed(installation, wiring, room, parts, end)
        if tabbed
        else _Rail(installation, wiring, room, parts, end)
    )
    zones = _Zones(installation, wiring, room)
    drawn = (
        spare
        if tabbed
        else _free_that_fit(installation, shape.block(0).needs, zones, spare, upright)
    )
    block = shape.block(drawn)
    width, height = given_mm(installation, "width_mm"), given_mm(installation, "height_mm")
    wanted = (
        zones.left + block.needs.width + zones.right,
        zones.top + block.needs.height + zones.bottom,
    )
    box = (width or wanted[0] + 8, height or wanted[1] + 8)
    size = tuple(min(given, max(_LARGEST, needed + 20)) for given, needed in zip(box, wanted))
    at = zones.place(block.needs, size)
    block = _moved(block, at[0] - block.needs.x, at[1] - block.needs.y)
    bars, spots = zones.bars(block.needs, size)
    terminals = {**block.terminals, **spots}
    row = block.row
    return FrontPlan(
        size[0],
        size[1],
        (size[0] < box[0], size[1] < box[1]),
        upright,
        tabbed,
        module_mm(installation),
        used,
        None if tabbed else _rail(block.row, size, upright, zones),
        block.devices,
        block.free,
        spare - drawn,
        terminals,
        bars,
        block.bar,
        _teeth(wiring, terminals),
        block.scale[0],
        block.scale[1],
        _openings(installation, block, zones, size),
        row,
        row.x >= -0.01
        and row.y >= -0.01
        and row.x + row.width <= size[0] + 0.01
        and row.y + row.height <= size[1] + 0.01,
        block.needs,
        zones.with_openings(block.needs),
    )


def _free_that_fit(
    installation: Installation, needs: Rect, zones: "_Zones", spare: int, upright: bool
) -> int:
    """How many free places one row still has room for."""
    inside = given_mm(installation, "height_mm" if upright else "width_mm")
    if inside is None:
        return spare
    room = inside - (zones.top + zones.bottom if upright else zones.left + zones.right)
    return min(
        spare,
        max(
            int(
                (room - (needs.height if upright else needs.width)) / module_mm(installation)
                + 0.001
            ),
            0,
        ),
    )


def _rail(row: Rect, size: Sequence[float], upright: bool, zones: "_Zones") -> Rect:
    """The mounting rail behind the devices, a little longer than they are."""
    high = size_mm("rail-height")
    if upright:
        above, below = (0 if zones.back["top"] else 8), (0 if zones.back["bottom"] else 8)
        top, bottom = (
            max(row.y - above, min(zones.top, row.y)),
            min(row.y + row.height + below, max(size[1] - zones.bottom, row.y + row.height)),
        )
        return Rect(row.x + (row.width - high) / 2, top, high, bottom - top)
    left, right = (
        max(row.x - 8, min(zones.left, row.x)),
        min(row.x + row.width + 8, max(size[0] - zones.right, row.x + row.width)),
    )
    return Rect(left, row.y + (row.height - high) / 2, right - left, high)


def _moved(block: _Block, dx: float, dy: float) -> _Block:
    def rect(box: Rect) -> Rect:
        return Rect(box.x + dx, box.y + dy, box.width, box.height)

    def point(at: tuple[float, float]) -> tuple[float, float]:
        return at[0] + dx, at[1] + dy

    devices = {
        name: Front(
            rect(front.rect), rect(front.window), rect(front.label) if front.label else None
        )
        for name, front in block.devices.items()
    }
    terminals = {
        name: replace(spot, x=spot.x + dx, y=spot.y + dy) for name, spot in block.terminals.items()
    }
    return _Block(
        rect(block.needs),
        rect(block.row),
        devices,
        tuple(map(rect, block.free)),
        terminals,
        rect(block.bar) if block.bar else None,
        (point(block.scale[0]), point(block.scale[1])),
        point(block.source),
    )


def _teeth(wiring: Wiring, terminals: dict[str, FrontSpot]) -> tuple[tuple[str, str], ...]:
    """Which terminal of the line bar stands at which device terminal."""
    line_bars = {part.name for part in wiring.parts if part.kind == "line-bar"}
    found = []
    for conductor in wiring.conductors:
        ends = [wiring.terminal(name) for name in (conductor.start, conductor.end)]
        if conductor.kind != "bar" or None in ends:
            continue
        on_bar = [end for end in ends if end and end.device in line_bars]
        others = [
            end for end in ends if end and end.device not in line_bars and end.id in terminals
        ]
        if len(on_bar) == 1 and len(others) == 1 and on_bar[0].id in terminals:
            found.append((on_bar[0].id, others[0].id))
    return tuple(found)


def _line_bar_terminals(wiring: Wiring) -> list[Terminal]:
    line_bars = {part.name for part in wiring.parts if part.kind == "line-bar"}
    return [terminal for terminal in wiring.terminals if terminal.device in line_bars]


def _partner(wiring: Wiring, terminal: Terminal) -> str | None:
    """The device terminal a place on the line bar stands at."""
    line_bars = {part.name for part in wiring.parts if part.kind == "line-bar"}
    for conductor in wiring.conductors_at(terminal.id):
        other = wiring.terminal(
            conductor.end if conductor.start == terminal.id else conductor.start
        )
        part = wiring.part(other.device) if other and other.device not in line_bars else None
        if part is not None and part.kind in _RAIL_KINDS and other is not None:
            return other.id
    return None


class _Rail:
    """Devices side by side on a rail."""

    def __init__(
        self,
        installation: Installation,
        wiring: Wiring,
        room: FrontRoom,
        parts: tuple[Part, ...],
        end: str,
    ) -> None:
        self.wiring, self.room, self.parts = wiring, room, parts
        self.upright, self.ahead = end in ("top", "bottom"), end in ("left", "top")
        bar = installation.board.busbar
        self.joins = "top" if not isinstance(bar, Absent) and bar.joins_at == "top" else "bottom"
        self.module, self.deep = module_mm(installation), size_mm("device-height")
        self.shoulder = (self.deep - size_mm("window-height")) / 2
        self.lines = len({terminal.function for terminal in _line_bar_terminals(wiring)})
        self.lugs = 0.0 if any(part.kind == "main-switch" for part in parts) else LUG_ROOM

    def block(self, free: int) -> _Block:
        used = sum(max(part.modules, 1) for part in self.parts)
        length = (used + free) * self.module
        body = 4.0 + 4.0 * self.lines
        bar_room = (TOOTH + body + self.room.line + 2) if self.lines else 0.0
        strip_room = self.room.strip + 2 + self.room.line + 7
        above, below = (strip_room, bar_room) if self.joins == "bottom" else (bar_room, strip_room)
        before, after = (self.lugs, 0.0) if self.ahead else (0.0, self.lugs)
        devices, terminals, offset = {}, {}, 0.0
        for part in self.parts:
            wide = max(part.modules, 1) * self.module
            start = offset if self.ahead else length - offset - wide
            devices[part.name] = self._front(start, wide)
            terminals.update(self._spots(part, start, wide))
            offset += wide
        places = [offset + place * self.module for place in range(free)]
        rects = tuple(
            self._rect(at if self.ahead else length - at - self.module, 0, self.module, self.deep)
            for at in places
        )
        bar = self._bar(terminals, length, body)
        main = devices[self.parts[0].name].rect if self.lugs == 0 and self.parts else None
        source = (
            (main.x + main.width / 2, main.y + main.height / 2)
            if main
            else self._point(-8 if self.ahead else length + 8, self.deep / 2)
        )
        at = (
            -(self.room.strip + 2 + 5)
            if self.joins == "bottom"
            else self.deep + self.room.strip + 2 + 5
        )
        scale = (self._point(0, at), self._point(length, at))
        needs = self._rect(-before, -above, before + length + after, above + self.deep + below)
        return _Block(
            needs,
            self._rect(0, 0, length, self.deep),
            devices,
            rects,
            terminals,
            bar,
            scale,
            source,
        )

    def _front(self, start: float, wide: float) -> Front:
        strip = self.room.strip
        label = (
            self._rect(
                start + 0.6,
                -strip - 2 if self.joins == "bottom" else self.deep + 2,
                wide - 1.2,
                strip,
            )
            if strip
            else None
        )
        return Front(
            self._rect(start, 0, wide, self.deep),
            self._rect(start, self.shoulder, wide, self.deep - 2 * self.shoulder),
            label,
        )

    def _spots(self, part: Part, start: float, wide: float) -> dict[str, FrontSpot]:
        spots = {}
        for edge, across in (("top", SCREW), ("bottom", self.deep - SCREW)):
            here = [
                terminal
                for terminal in self.wiring.terminals_of(part.name)
                if (terminal.edge == "top") == (edge == "top")
            ]
            for place, terminal in enumerate(here):
                pitch = wide / len(here)
                x, y = self._point(start + (place + 0.5) * pitch, across)
                spots[terminal.id] = FrontSpot(
                    x, y, min(3.4, pitch * 0.4), INWARD[TURNED[edge] if self.upright else edge]
                )
        return spots

    def _bar(self, terminals: dict[str, FrontSpot], length: float, body: float) -> Rect | None:
        """Puts the terminals of the line bar beside those they serve; gives the bar's body."""
        low, sign = (self.deep + TOOTH, 1) if self.joins == "bottom" else (-TOOTH, -1)
        functions = sorted({terminal.function for terminal in _line_bar_terminals(self.wiring)})
        along = []
        for terminal in _line_bar_terminals(self.wiring):
            partner = _partner(self.wiring, terminal)
            level = low + sign * (4.0 + 4.0 * functions.index(terminal.function))
            if partner in terminals:
                spot = terminals[partner]
                u = spot.y if self.upright else spot.x
            else:
                u = -10.0 if self.ahead else length + 10.0
            x, y = self._point(u, level)
            terminals[terminal.id] = FrontSpot(x, y, 1.2, "")
            along.append(u)
        if not along:
            return None
        start, end = min(along) - 5, max(along) + 5
        return self._rect(start, low if sign > 0 else low - body, end - start, body)

    def _point(self, u: float, v: float) -> tuple[float, float]:
        return (self.deep - v, u) if self.upright else (u, v)

    def _rect(self, u: float, v: float, along: float, across: float) -> Rect:
        return (
            Rect(self.deep - v - across, u, across, along)
            if self.upright
            else Rect(u, v, along, across)
        )


class _Tabbed:
    """Devices that plug on tabs, in two columns beside the bus; each takes the column with the
    nearest free place.
    """

    def __init__(
        self,
        installation: Installation,
        wiring: Wiring,
        room: FrontRoom,
        parts: tuple[Part, ...],
        end: str,
    ) -> None:
        self.installation, self.wiring, self.room, self.parts = installation, wiring, room, parts
        self.upright, self.ahead = end in ("top", "bottom"), end in ("left", "top")
        self.module, self.deep = module_mm(installation), size_mm("tabbed-breaker-length")
        self.lines = sorted({terminal.function for terminal in _line_bar_terminals(wiring)})
        self.main = next((part for part in parts if part.kind == "main-switch"), None)
        self.head = size_mm("device-height") + 4 if self.main else LUG_ROOM

    def block(self, free: int) -> _Block:
        seats, rows = self._seats(free)
        self.length = rows * self.module
        devices: dict[str, Front] = {}
        terminals: dict[str, FrontSpot] = {}
        for part in self.parts:
            if part is self.main:
                continue
            column, first = seats[part.name]
            inner = BUS_HALF if column else -BUS_HALF - self.deep
            tall = max(part.modules, 1) * self.module
            window = TAB_END if column else WIRE_END
            devices[part.name] = Front(
                self._rect(first * self.module, inner, tall, self.deep),
                self._rect(
                    first * self.module, inner + window, tall, self.deep - TAB_END - WIRE_END
                ),
                None,
            )
            self._spots(part, column, first, tall, terminals)
        if self.main:
            self._main(self.main, devices, terminals)
        self._bus(terminals)
        taken = {
            (column, first + row)
            for part in self.parts
            if part is not self.main
            for column, first in [seats[part.name]]
            for row in range(max(part.modules, 1))
        }
        empty = [
            (column, row) for row in range(rows) for column in (0, 1) if (column, row) not in taken
        ][:free]
        rects = tuple(
            self._rect(
                row * self.module,
                BUS_HALF if column else -BUS_HALF - self.deep,
                self.module,
                self.deep,
            )
            for column, row in empty
        )
        reach = BUS_HALF + self.deep
        bar = self._rect(
            -LUG_ROOM + 14 if not self.main else -2,
            -BUS,
            self.length + (LUG_ROOM - 14 if not self.main else 2),
            2 * BUS,
        )
        at = reach + 6
        needs = self._rect(
            -self.head, -reach, self.length + self.head, 2 * reach + 8 + self.room.line
        )
        return _Block(
            needs,
            self._rect(0, -reach, self.length, 2 * reach),
            devices,
            rects,
            terminals,
            bar,
            (self._point(0, at), self._point(self.length, at)),
            self._point(-self.head / 2, 0),
        )

    def _seats(self, free: int) -> tuple[dict[str, tuple[int, int]], int]:
        following, seats = [0, 0], {}
        ways = {way.name: way for way in self.installation.board.ways}
        for part in self.parts:
            if part is self.main:
                continue
            column = 0 if following[0] <= following[1] else 1
            first = self._row_of_line(ways.get(part.name), following[column])
            seats[part.name] = (column, first)
            following[column] = first + max(part.modules, 1)
        used = sum(max(part.modules, 1) for part in self.parts if part is not self.main)
        return seats, max(*following, (used + free + 1) // 2)

    def _row_of_line(self, way: Way | None, row: int) -> int:
        """The next row whose tab carries the device's first line."""
        wanted = str(way.line) if way is not None and is_known(way.line) else ""
        if wanted in self.lines:
            while self.lines[row % len(self.lines)] != wanted:
                row += 1
        return row

    def _spots(
        self, part: Part, column: int, first: int, tall: float, terminals: dict[str, FrontSpot]
    ) -> None:
        own = self.wiring.terminals_of(part.name)
        on_tab = [terminal for terminal in own if self._plugs(terminal)]
        wired = [terminal for terminal in own if terminal not in on_tab]
        for place, terminal in enumerate(on_tab):
            u = (first + place % max(part.modules, 1) + 0.5) * self.module
            x, y = self._point(u, (BUS_HALF + 5) * (1 if column else -1))
            terminals[terminal.id] = FrontSpot(
                x,
                y,
                2.4,
                INWARD[
                    {
                        (False, 0): "bottom",
                        (False, 1): "top",
                        (True, 0): "right",
                        (True, 1): "left",
                    }[self.upright, column]
                ],
            )
        for place, terminal in enumerate(wired):
            pitch = tall / len(wired)
            x, y = self._point(
                first * self.module + (place + 0.5) * pitch,
                (BUS_HALF + self.deep - SCREW) * (1 if column else -1),
            )
            outer = {(False, 0): "down", (False, 1): "up", (True, 0): "right", (True, 1): "left"}[
                self.upright, column
            ]
            terminals[terminal.id] = FrontSpot(x, y, min(3.4, pitch * 0.4), outer)

    def _plugs(self, terminal: Terminal) -> bool:
        return any(conductor.kind == "bar" for conductor in self.wiring.conductors_at(terminal.id))

    def _main(self, part: Part, devices: dict[str, Front], terminals: dict[str, FrontSpot]) -> None:
        deep, wide = size_mm("device-height"), max(part.modules, 1) * self.module
        devices[part.name] = Front(
            self._rect(-deep - 4, -wide / 2, deep, wide),
            self._rect(-deep + 16, -wide / 2, deep - 40, wide),
            None,
        )
        for end, u in (("supply", -deep - 4 + SCREW), ("load", -4 - SCREW)):
            here = [
                terminal
                for terminal in self.wiring.terminals_of(part.name)
                if (terminal.end == "supply") == (end == "supply")
            ]
            side = self._far_side(end == "supply")
            for place, terminal in enumerate(here):
                x, y = self._point(u, -wide / 2 + (place + 0.5) * wide / len(here))
                terminals[terminal.id] = FrontSpot(
                    x, y, min(3.4, wide / len(here) * 0.4), INWARD[side]
                )

    def _far_side(self, outer: bool) -> str:
        """The side of the sheet the main switch's outer (or inner) end points to."""
        side = {
            (True, True): "top",
            (True, False): "bottom",
            (False, True): "left",
            (False, False): "right",
        }[self.upright, self.ahead]
        return side if outer else _OPPOSITE[side]

    def _bus(self, terminals: dict[str, FrontSpot]) -> None:
        """The terminals of the bus: a tab beside each device terminal, and the lugs at its end."""
        lugs = [
            terminal
            for terminal in _line_bar_terminals(self.wiring)
            if _partner(self.wiring, terminal) not in terminals
        ]
        for terminal in _line_bar_terminals(self.wiring):
            partner = _partner(self.wiring, terminal)
            if partner in terminals:
                spot, part = terminals[partner], self.wiring.terminal(partner or "")
                u, v = (spot.y, spot.x) if self.upright else (spot.x, spot.y)
                u = u if self.ahead else self.length - u
                at_main = (
                    part is not None and self.main is not None and part.device == self.main.name
                )
                x, y = (
                    self._point(0.5, v)
                    if at_main
                    else self._point(u, (BUS - 0.5) * (1 if v > 0 else -1))
                )
                terminals[terminal.id] = FrontSpot(x, y, 1.2, "")
            else:
                place = lugs.index(terminal)
                x, y = self._point(-LUG_ROOM + 14, (place - (len(lugs) - 1) / 2) * 16)
                terminals[terminal.id] = FrontSpot(
                    x, y, 3.4, INWARD[_OPPOSITE[self._far_side(True)]]
                )

    def _point(self, u: float, v: float) -> tuple[float, float]:
        u = u if self.ahead else self.length - u
        return (v, u) if self.upright else (u, v)

    def _rect(self, u: float, v: float, along: float, across: float) -> Rect:
        u = u if self.ahead else self.length - u - along
        return Rect(v, u, across, along) if self.upright else Rect(u, v, along, across)


class _Zones:
    """What hangs on the walls: neutral and earth bars, and openings in the back."""

    def __init__(self, installation: Installation, wiring: Wiring, room: FrontRoom) -> None:
        self.wiring, self.room = wiring, room
        self.pitch, self.deep = size_mm("bar-terminal-pitch"), size_mm("bar-depth")
        self.on = {"left": [], "right": [], "top": [], "bottom": []}  # type: dict[str, list[Part]]
        for kind, key, otherwise in (
            ("neutral-bar", "neutral_bar", "left"),
            ("earth-bar", "earth_bar", "bottom"),
        ):
            self.on[side_of(installation, key, otherwise)] += [
                part for part in wiring.parts if part.kind == kind
            ]
        self.back = {
            "top": side_of(installation, "feed_enters", "top") == "back",
            "bottom": side_of(installation, "circuits_leave", "bottom") == "back",
        }
        self.across = INSET + room.name + self.deep + room.numbers + 2
        self.behind = size_mm("cable-opening") + room.line * 2 + 4
        width, height = (
            given_mm(installation, "width_mm") or _LARGEST,
            given_mm(installation, "height_mm") or _LARGEST,
        )
        self.stacked = {
            side: (
                added(map(self._slot, parts)) + 8
                > (height if side in ("left", "right") else width) - 2 * self.across
            )
            for side, parts in self.on.items()
        }
        self.left, self.right = self._depth("left"), self._depth("right")
        self.top, self.bottom = self._depth("top"), self._depth("bottom")

    def _depth(self, side: str) -> float:
        parts = self.on[side]
        rows = 0 if not parts else len(parts) if self.stacked[side] else 1
        return max(rows * self.across, INSET) + (self.behind if self.back.get(side) else 0.0)

    def _length(self, bar: Part) -> float:
        return (len(self.wiring.terminals_of(bar.name)) + 1) * self.pitch

    def _slot(self, bar: Part) -> float:
        """What a bar takes along its side: its own length or that of its name."""
        return max(self._length(bar), self.room.bar_name)

    def with_openings(self, needs: Rect) -> Rect:
        above, below = (self.behind if self.back[side] else 0.0 for side in ("top", "bottom"))
        return Rect(needs.x, needs.y - above, needs.width, needs.height + above + below)

    def place(self, needs: Rect, size: Sequence[float]) -> tuple[float, float]:
        """Where the devices go: in the middle of what the walls leave; where that is too small,
        from its start on.
        """
        places = []
        for inside, before, after, need in (
            (size[0], self.left, self.right, needs.width),
            (size[1], self.top, self.bottom, needs.height),
        ):
            places.append(before + max((inside - before - after - need) / 2, 0))
        return places[0], places[1]

    def bars(
        self, needs: Rect, size: Sequence[float]
    ) -> tuple[dict[str, BarPlace], dict[str, FrontSpot]]:
        """The bars on their sides, with their terminals."""
        places: dict[str, BarPlace] = {}
        spots: dict[str, FrontSpot] = {}
        for side, parts in self.on.items():
            beside = side in ("left", "right")
            low, high = (
                (self.top, size[1] - self.bottom) if beside else (self.left, size[0] - self.right)
            )
            rows = [[part] for part in parts] if self.stacked[side] else [parts] if parts else []
            for row, members in enumerate(rows):
                shrink = (
                    min(1.0, (high - low) / added(map(self._length, members)))
                    if high > low
                    else 1.0
                )
                lengths = [self._length(part) * max(shrink, 0.2) for part in members]
                slots = (
                    [max(length, self.room.bar_name) for length in lengths]
                    if len(members) > 1
                    else lengths
                )
                whole = added(slots) + 8 * (len(members) - 1)
                middle = (needs.y + needs.height / 2) if beside else (needs.x + needs.width / 2)
                at = min(max(middle - whole / 2, low), max(high - whole, low))
                for part, length, slot in zip(members, lengths, slots):
                    place, own = self._one(
                        part, side, row, at + (slot - length) / 2, length, needs, size
                    )
                    places[part.name] = place
                    spots.update(own)
                    at += slot + 8
        return places, spots

    def _one(
        self,
        part: Part,
        side: str,
        row: int,
        at: float,
        length: float,
        needs: Rect,
        size: Sequence[float],
    ) -> tuple[BarPlace, dict[str, FrontSpot]]:
        depth = INSET + row * self.across + self.room.name
        across = {"left": depth, "top": depth}.get(side, 0.0)
        if side in ("right", "bottom"):
            inside, edge = (
                (size[0], needs.x + needs.width)
                if side == "right"
                else (size[1], needs.y + needs.height)
            )
            rows = len(self.on[side]) if self.stacked[side] else 1
            behind = self.behind if self.back.get(side) else 0.0
            across = max(
                inside - depth - self.deep,
                edge + behind + (rows - 1 - row) * self.across + self.room.numbers + 2,
            )
        beside = side in ("left", "right")
        rect = (
            Rect(across, at, self.deep, length) if beside else Rect(at, across, length, self.deep)
        )
        terminals = self.wiring.terminals_of(part.name)
        pitch = length / (len(terminals) + 1)
        spots = {}
        for place, terminal in enumerate(terminals):
            along, middle = at + (place + 1) * pitch, across + self.deep / 2
            x, y = (middle, along) if beside else (along, middle)
            spots[terminal.id] = FrontSpot(x, y, min(2.8, pitch * 0.4), INWARD[side])
        first = across - (self.room.name if side in ("left", "top") else self.room.numbers)
        reach = self.room.name + self.deep + self.room.numbers
        taken = Rect(first, at, reach, length) if beside else Rect(at, first, length, reach)
        return (
            BarPlace(
                rect, side, first >= 0 and first + reach <= (size[0] if beside else size[1]), taken
            ),
            spots,
        )


def _openings(
    installation: Installation, block: _Block, zones: _Zones, size: Sequence[float]
) -> tuple[FrontOpening, ...]:
    """One opening for the feed and one for each circuit, across from what it serves."""
    wanted: dict[str, list[tuple[str, float, float]]] = {}
    feed_side = side_of(installation, "feed_enters", "top")
    wanted.setdefault(feed_side, []).append(("feed", *block.source))
    circuit_side = side_of(installation, "circuits_leave", "bottom")
    for circuit in installation.circuits:
        box = block.devices[installation.way_feeding(circuit.name).name].rect
        wanted.setdefault(circuit_side, []).append(
            (circuit.name, box.x + box.width / 2, box.y + box.height / 2)
        )
    found = []
    for side, items in wanted.items():
        if side == "back":
            found += _through_the_back(items, block, zones, size)
            continue
        beside = side in ("left", "right")
        items = sorted(items, key=lambda item: (item[2], item[1]) if beside else (item[1], item[2]))
        at = _kept_apart(
            [item[2] if beside else item[1] for item in items],
            (
                zones.room.opening
                if not beside
                else max(zones.room.opening_beside, size_mm("cable-opening") + 4)
            ),
            *(
                (12, size[1] - 12)
                if beside
                else (
                    min(zones.room.opening / 2, size[0] / 4),
                    size[0] - min(zones.room.opening / 2, size[0] / 4),
                )
            ),
        )
        fixed = {"left": 0.0, "right": size[0], "top": 0.0, "bottom": size[1]}[side]
        found += [
            FrontOpening(item[0], side, fixed, place)
            if beside
            else FrontOpening(item[0], side, place, fixed)
            for item, place in zip(items, at)
        ]
    return tuple(found)


def _through_the_back(
    items: Sequence[tuple[str, float, float]], block: _Block, zones: _Zones, size: Sequence[float]
) -> list[FrontOpening]:
    """The feed's opening above the devices, one for all circuits below them."""
    found, half = [], size_mm("cable-opening") / 2
    feed = [item for item in items if item[0] == "feed"]
    others = [item for item in items if item[0] != "feed"]
    if feed:
        found.append(
            FrontOpening(
                "feed",
                "back",
                min(max(feed[0][1], 20), size[0] - 20),
                block.needs.y - zones.behind + half + 2,
            )
        )
    if others:
        below = block.needs.y + block.needs.height + half + 2
        found.append(
            FrontOpening(
                ", ".join(item[0] for item in others),
                "back",
                block.needs.x + block.needs.width / 2,
                below,
            )
        )
    return found


def _kept_apart(wanted: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """Places in order, at least `gap` apart (less where there is no room), each as near to what is
    wanted as may be.
    """
    if not wanted:
        return []
    gap = min(gap, (high - low) / max(len(wanted) - 1, 1))
    at = [min(max(value, low), high) for value in wanted]
    for index in range(1, len(at)):
        at[index] = max(at[index], at[index - 1] + gap)
    at[-1] = min(at[-1], high)
    for index in range(len(at) - 2, -1, -1):
        at[index] = min(at[index], at[index + 1] - gap)
    return at
