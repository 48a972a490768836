"""Drawing: where the parts of a wired board lie and how its conductors run; a plan of numbers, no
strokes yet.

The rail is in the middle, devices in their order outward from the main switch. Bars and far places
(origin, main earthing terminal, charging points, electrodes) lie on the sides the file names.
Conductors run in lanes.
"""

from dataclasses import dataclass, field

from firstway.calculations.adding import added
from firstway.drawing.lanes import (
    ACROSS,
    Net,
    Tried,
    crossings_in,
    nominal_lanes,
    orders_of,
    points_of,
    touch,
    tracks_of,
    untangled,
)
from firstway.drawing.part_words import cable_words, far_words
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import Point
from firstway.drawing.text_width import reserved_width
from firstway.model.installation import Installation
from firstway.wiring.graph import Conductor, Part, Terminal, Wiring

_RAIL_KINDS = ("main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "blank")
DEVICE_HEIGHT = 158.0
LANE = 19.0  # pitch of lanes
BESIDE_GAP, BESIDE_LANE = (
    24.0,
    24.0,
)  # between far places beside the enclosure; from them to the first lane
TERMINAL_WORD = 34.0  # of a terminal's label at the edge of a far place beside the enclosure
SETTLED_AGAIN = 4  # how often lanes are closed up anew when conductors came to lie on each other
TEETH = 36.0  # from a device terminal to the nearest rail of the line bar
RAIL_PITCH = 15.0  # between rails of a line bar
BAR_PITCH = 25.0  # between terminals of a neutral or earth bar beside the rail
LANE_SPREAD = -1.4  # a lane beside the rail may be passed this much nearer than a terminal
BAR_DEPTH = 44.0  # of a neutral or earth bar across its length
BACK_ROOM = 34.0  # inside the wall where conductors come through the back
FAR_DEPTH = 74.0  # of a far place above
FAR_BELOW = 62.0  # of a far place below
_OUTSIDE = 74.0  # between the enclosure and a far place without lanes
PAD = 16.0
ATTACH = 3.8  # half the distance of two conductors in one terminal
CLEARANCES = (
    10.0,
    7.0,
)  # of a conductor from a foreign terminal across the channel, first choice first


@dataclass(frozen=True)
class Block:
    """A part on a side: its terminals' places along that side and how far it reaches past them."""

    part: Part
    terminals: tuple[Terminal, ...]
    offsets: tuple[float, ...]  # of the terminals, from the first
    before: float
    after: float

    @property
    def span(self) -> float:
        return self.offsets[-1] if self.offsets else 0.0


@dataclass(frozen=True)
class BoardPlan:
    """Coordinates of everything on the sheet."""

    width: float
    height: float
    enclosure: Rect
    devices: dict[str, Rect]
    bars: dict[str, tuple[Rect, str]]  # part -> body, side
    far: dict[str, tuple[Rect, str]]
    terminals: dict[str, Point]
    edges: dict[str, str]  # terminal -> direction in which its label lies
    paths: dict[str, tuple[Point, ...]]  # conductor -> corners
    rails: dict[str, tuple[float, float, float]]  # line -> y, from x, to x
    crossings: int
    naive_crossings: int
    module: float
    sides: dict[str, str] = field(default_factory=dict)
    back: frozenset[str] = frozenset()  # top, bottom: what is drawn there comes through the back


_BARS = ("bar", "neutral-bar", "earth-bar")
OUTSIDE_OF = {"upper": "above", "lower": "below", "left": "beyond-left", "right": "beyond-right"}


def is_comb(conductor: Conductor) -> bool:
    """A piece of a bar: it needs no lane. A tooth taken off the bar is routed like a wire."""
    return conductor.kind == "bar" and any(
        (bar := end.partition(".")[0]) in _BARS or bar.startswith("neutral-bar-")
        for end in (conductor.start, conductor.end)
    )


def _rail_parts(wiring: Wiring, from_left: bool) -> tuple[Part, ...]:
    """The devices from left to right."""
    parts = sorted(
        (part for part in wiring.parts if part.kind in _RAIL_KINDS), key=lambda part: part.order
    )
    return tuple(parts if from_left else reversed(parts))


class _Planner:
    """Works the plan out step by step; each step fills in what the next one needs."""

    def __init__(self, installation: Installation, wiring: Wiring, slack: int) -> None:
        self.wiring = wiring
        self.slack = slack
        enclosure = installation.board.enclosure
        self.from_left = _word(enclosure, "main_switch_end", "right") in ("left", "top")
        enters, leaves = (
            _word(enclosure, "feed_enters", "top"),
            _word(enclosure, "circuits_leave", "bottom"),
        )
        self.feed_side, self.circuit_side = (
            ("top" if enters == "back" else enters),
            ("bottom" if leaves == "back" else leaves),
        )
        self.back = {side for side, word in (("top", enters), ("bottom", leaves)) if word == "back"}
        self.bar_sides = {
            "neutral-bar": _word(enclosure, "neutral_bar", "left"),
            "earth-bar": _word(enclosure, "earth_bar", "bottom"),
        }
        self.joins = _horizontal(_word(installation.board.busbar, "joins_at", "bottom"), "bottom")
        self.installation = installation
        self.parts = _rail_parts(wiring, self.from_left)
        used = sum(max(part.modules, 1) for part in self.parts)
        modules = _number(enclosure, "modules", used)
        self.modules = int(max(modules, used))
        single = any(part.modules == 1 and part.kind != "blank" for part in self.parts)
        narrowest = 44.0 if single or self.modules <= 16 else 40.0
        self.module = max(narrowest, min(56.0, 616.0 / self.modules))
        self.core_pitch = (
            self.module / 2
        )  # so that some place always misses the poles of the devices
        self.channel: dict[str, str] = {}
        self.side: dict[str, str] = {}
        self.x: dict[str, float] = {}
        self.lugs: list[Terminal] = []
        self.lines = [
            line
            for line in ("L1", "L2", "L3")
            if any(t.function == line and self._kind(t) == "line-bar" for t in wiring.terminals)
        ]

    def _kind(self, terminal: Terminal) -> str:
        part = self.wiring.part(terminal.device)
        return part.kind if part else ""

    def plan(self) -> BoardPlan:
        self._sort_parts()
        self._choose_channels()
        self._place_across()
        nets = self._nets()
        order = untangled(nets, self._nominal(), LANE)
        naive = crossings_in(
            [points_of(net, nominal_lanes(orders_of(nets), self._nominal(), LANE)) for net in nets]
        )
        return self._settle(nets, order, naive)

    # Which side and channel

    def _sort_parts(self) -> None:
        for part in self.wiring.parts:
            if part.kind in _RAIL_KINDS or part.kind == "line-bar":
                continue
            if part.kind in self.bar_sides:
                self.side[part.name] = self.bar_sides[part.kind]
            elif part.kind == "charging-point":
                self.side[part.name] = self.circuit_side
            elif part.kind == "electrode":
                self.side[part.name] = (
                    self.circuit_side if self._meets(part, "charging-point") else self.feed_side
                )
            else:
                self.side[part.name] = self.feed_side
        self.far = [
            part
            for part in self.wiring.parts
            if part.name in self.side and part.kind not in self.bar_sides
        ]
        self.bars = [part for part in self.wiring.parts if part.kind in self.bar_sides]
        for terminal in self.wiring.terminals:
            device = self.wiring.part(terminal.device)
            if device is None:
                continue
            if device.kind == "line-bar":
                if any(not is_comb(c) for c in self.wiring.conductors_at(terminal.id)):
                    self.lugs.append(terminal)
                    self.channel[terminal.id] = "upper" if self.joins == "top" else "lower"
                continue
            side = self.side.get(device.name) or ("top" if terminal.edge == "top" else "bottom")
            self.channel[terminal.id] = {"top": "upper", "bottom": "lower"}.get(side, side)

    def _meets(self, part: Part, kind: str) -> bool:
        return any(
            self._kind(other) == kind
            for terminal in self.wiring.terminals_of(part.name)
            for name in self.wiring.neighbours(terminal.id)
            if (other := self.wiring.terminal(name)) is not None
        )

    def _choose_channels(self) -> None:
        """For every conductor the channels it runs through."""
        self.routes: dict[str, tuple[str, ...]] = {}
        for conductor in self.wiring.conductors:
            if is_comb(conductor):
                continue
            ends = [self.wiring.terminal(conductor.start), self.wiring.terminal(conductor.end)]
            assert ends[0] is not None and ends[1] is not None
            start, end = self.channel[ends[0].id], self.channel[ends[1].id]
            if self._far_away(ends[0]) and self._far_away(ends[1]) and start == end:
                self.routes[conductor.id] = (OUTSIDE_OF[start],)
            elif start == end:
                self.routes[conductor.id] = (start,)
            elif {start, end} == {"upper", "lower"}:
                self.routes[conductor.id] = (start, self._way_round(ends), end)
            elif {start, end} == {"left", "right"}:
                self.routes[conductor.id] = (start, "lower", end)
            else:
                self.routes[conductor.id] = (start, end)

    def _far_away(self, terminal: Terminal) -> bool:
        return any(part.name == terminal.device for part in self.far)

    def _way_round(self, ends: list[Terminal | None]) -> str:
        """The nearer end of the rail, by the device among the two ends."""
        middle = self.modules / 2
        at = 0.0
        for part in self.parts:
            modules = max(part.modules, 1)
            if any(end is not None and end.device == part.name for end in ends):
                return "left" if at + modules / 2 <= middle else "right"
            at += modules
        return "left" if self.from_left else "right"

    # Across: everything that has an x

    def _place_across(self) -> None:
        counts = {
            side: sum(side in route for route in self.routes.values()) for side in ("left", "right")
        }
        self.lane_room = {side: counts[side] * LANE + 2 * PAD for side in counts}
        for side in self.lane_room:
            self.lane_room[side] += self._lug_room(side)
        bar_room = {
            side: BAR_DEPTH + PAD if any(self.side[bar.name] == side for bar in self.bars) else 0.0
            for side in counts
        }
        self._measure_beside()
        self.left = 12.0 + self.beside["left"]
        self.row_left = self.left + bar_room["left"] + self.lane_room["left"]
        row_width = max(self.modules * self.module, 330.0)
        self.row_right = self.row_left + row_width
        self.right = self.row_right + self.lane_room["right"] + bar_room["right"]
        self.devices: dict[str, tuple[float, float]] = {}
        used = sum(max(part.modules, 1) for part in self.parts) * self.module
        x = self.row_left + (0 if self.from_left else self.modules * self.module - used)
        x += (row_width - self.modules * self.module) / 2
        for part in self.parts:
            width = max(part.modules, 1) * self.module
            self.devices[part.name] = (x, width)
            for edge in ("top", "bottom"):
                terminals = [
                    t
                    for t in self.wiring.terminals_of(part.name)
                    if (t.edge == "top") == (edge == "top")
                ]
                for index, terminal in enumerate(terminals):
                    self.x[terminal.id] = x + width * (index + 0.5) / len(terminals)
            x += width
        for index, lug in enumerate(self.lugs):
            self.x[lug.id] = (
                self.row_left - 12 - index * 14
                if self.from_left
                else self.row_right + 12 + index * 14
            )
        self._place_sides()

    def _place_sides(self) -> None:
        self.blocks: dict[str, tuple[Block, float]] = {}
        for side, channel in (("top", "upper"), ("bottom", "lower")):
            taken: list[tuple[float, float]] = []
            forbidden = [
                (x, self._spread(name))
                for name, x in self.x.items()
                if self.channel.get(name) == channel
            ]
            forbidden += [(x, LANE_SPREAD) for x in self._lanes_beside()]
            cores: list[tuple[float, float]] = []
            parts = [part for part in self.far + self.bars if self.side[part.name] == side]
            for part in sorted(parts, key=self._rank):
                block, wanted, lined = self._block(part, channel)
                if lined:
                    block = self._clear_of(block, wanted, channel, forbidden)
                if lined and any(
                    wanted - 24 < b + 24 and a - 24 < wanted + block.span + 24 for a, b in cores
                ):
                    block, wanted, lined = self._block(part, channel, may_line_up=False)
                at = wanted if lined else self._free_place(block, wanted, taken, forbidden)
                if lined:
                    block = _narrowed(block, at, taken)
                taken.append((at - block.before, at + block.span + block.after))
                cores.append((at, at + block.span))
                self.blocks[part.name] = (block, at)
                for terminal, offset in zip(block.terminals, block.offsets):
                    self.x[terminal.id] = at + offset
            self._keep_apart(parts)
        inside = [
            at + block.span + (block.after if block.part in self.bars else 0) + PAD
            for block, at in self.blocks.values()
        ]
        self.right = max([self.right, *inside])
        self.sheet_right = max(
            [
                self.right + self.beside["right"],
                *(at + block.span + block.after for block, at in self.blocks.values()),
            ]
        )

    def _measure_beside(self) -> None:
        """What far places left and right of the enclosure need: their width, and the gap to it with
        its lanes.
        """
        self.far_wide: dict[str, float] = {}
        self.beside: dict[str, float] = {}
        for side in ("left", "right"):
            parts = [part for part in self.far if self.side[part.name] == side]
            self.far_wide[side] = max(
                (added(self._room(part, 0.0)) + TERMINAL_WORD for part in parts), default=0.0
            )
            lanes = sum(f"beyond-{side}" in route for route in self.routes.values())
            self.beside[side] = self.far_wide[side] + _OUTSIDE + lanes * LANE if parts else 0.0

    def _clear_of(
        self, block: Block, at: float, channel: str, forbidden: list[tuple[float, float]]
    ) -> Block:
        """Terminals of a block in line that have no device across the channel move on until they
        meet nobody's pole.
        """
        offsets: list[float] = []
        moved = 0.0
        for terminal, offset in zip(block.terminals, block.offsets):
            x = at + offset + moved
            if self._lined_up(terminal, channel) is None or moved:
                while any(
                    abs(x - other) < CLEARANCES[1] + spread + self._spread(terminal.id)
                    for other, spread in forbidden
                ):
                    x += 2.0
                moved = x - at - offset
            offsets.append(x - at)
        return Block(block.part, block.terminals, tuple(offsets), block.before, block.after)

    def _keep_apart(self, parts: list[Part]) -> None:
        """Far places that line up with devices may reach into each other: the left one then gives
        way.
        """
        placed = sorted(
            (self.blocks[part.name] for part in parts if part in self.far), key=lambda pair: pair[1]
        )
        for index in range(len(placed) - 1):
            (block, at), (following, start) = placed[index], placed[index + 1]
            gap = start - at - block.span - 10
            if block.after + following.before > gap:
                before = min(
                    following.before,
                    max(gap / 2, 8.0) if block.after > 18 else max(gap - block.after, 8.0),
                )
                least = 17.0 if block.terminals and _is_wide(block.terminals[-1]) else 8.0
                after = min(block.after, max(gap - before, least))
                before = min(before, max(gap - after, 8.0))
                lost = following.before - before if index + 2 == len(placed) else 0.0
                placed[index] = (
                    Block(block.part, block.terminals, block.offsets, block.before, after),
                    at,
                )
                placed[index + 1] = (
                    Block(
                        following.part,
                        following.terminals,
                        following.offsets,
                        before,
                        following.after + lost,
                    ),
                    start,
                )
        for block, at in placed:
            self.blocks[block.part.name] = block, at

    def _rank(self, part: Part) -> tuple[int, int]:
        order = (
            "origin",
            "charging-point",
            "main-earthing-terminal",
            "earth-bar",
            "neutral-bar",
            "electrode",
        )
        return order.index(part.kind) if part.kind in order else 9, part.order

    def _block(
        self, part: Part, channel: str, may_line_up: bool = True
    ) -> tuple[Block, float, bool]:
        """The part as a block, the wanted place of its first terminal, and whether it lines up with
        devices.
        """
        terminals = self.wiring.terminals_of(part.name)
        if part.kind in self.bar_sides:
            offsets = [index * self.core_pitch for index in range(len(terminals))] or [0.0]
            room = max(reserved_width(part.name, 12, True) + 20 - offsets[-1], 30.0) / 2
            partners = [
                self.x[name]
                for t in terminals
                for name in self.wiring.neighbours(t.id)
                if name in self.x and self.channel.get(name) == channel
            ]
            middle = (
                added(partners) / len(partners)
                if partners
                else self.row_right
                if self._side_of(part) == "right"
                else self.row_left
            )
            return (
                Block(part, terminals, tuple(offsets), room, room),
                middle - offsets[-1] / 2,
                False,
            )
        lined = [self._lined_up(terminal, channel) for terminal in terminals]
        if (
            may_line_up
            and lined
            and lined[0] is not None
            and (len(terminals) == 1 or all(x is not None for x in lined[:2]))
        ):
            xs: list[float] = []
            for x, terminal in zip(lined, terminals):
                step = self.core_pitch * (2 if _is_wide(terminal) else 1)
                xs.append(x if x is not None and (not xs or x > xs[-1] + 8) else xs[-1] + step)
            before, after = self._room(part, xs[-1] - xs[0])
            return Block(part, terminals, tuple(x - xs[0] for x in xs), before, after), xs[0], True
        offsets = [0.0]
        for terminal in terminals[1:]:
            offsets.append(offsets[-1] + self.core_pitch * (2 if _is_wide(terminal) else 1))
        before, after = self._room(part, offsets[-1])
        wanted = self.row_left if self._side_of(part) == "left" else self.row_right - offsets[-1]
        return Block(part, terminals, tuple(offsets), before, after), wanted, False

    def _room(self, part: Part, span: float) -> tuple[float, float]:
        """What a far place needs before its first and after its last terminal for its text."""
        feed = max(reserved_width(line, 12) for line in cable_words(self.installation, "feed")) + 16
        text = {
            "charging-point": 168.0,
            "origin": max(175.0, min(feed, 270.0)),
            "main-earthing-terminal": 56.0,
        }.get(part.kind, max(reserved_width(part.name, 12, True) + 20, 84.0))
        if part.kind == "charging-point":
            return 18.0, max(18.0, text - span - 18)
        short = max(text - span, 36.0)
        if part.kind == "origin":
            return (short - 18, 18.0) if not self.from_left else (18.0, short - 18)
        return short / 2, short / 2

    def _lined_up(self, terminal: Terminal, channel: str) -> float | None:
        """The x of the device terminal straight across the channel, when this terminal has only
        that partner.
        """
        partners = [
            name
            for name in self.wiring.neighbours(terminal.id)
            if name in self.x
            and self.channel.get(name) == channel
            and any(name.startswith(part.name + ".") for part in self.parts)
        ]
        return self.x[partners[0]] if len(partners) == 1 else None

    def _side_of(self, part: Part) -> str:
        for terminal in self.wiring.terminals_of(part.name):
            for conductor in self.wiring.conductors_at(terminal.id):
                for channel in self.routes.get(conductor.id, ()):
                    if channel in ("left", "right"):
                        return channel
        if part.kind == "electrode":
            return "right"
        return "left" if self.from_left else "right"

    def _lanes_beside(self) -> list[float]:
        """The lanes left and right of the rail; what stands above or below them must not run into
        them.
        """
        lanes = []
        for side, start, step in (
            ("left", self.row_left - PAD - self._lug_room("left"), -LANE),
            ("right", self.row_right + PAD + self._lug_room("right"), LANE),
        ):
            lanes += [
                start + index * step
                for index in range(sum(side in route for route in self.routes.values()))
            ]
        return lanes

    def _spread(self, terminal: str) -> float:
        """How far the conductors in one terminal lie from its middle."""
        found = self.wiring.terminal(terminal)
        on_bar = found is not None and self._kind(found) in (*self.bar_sides, "line-bar")
        count = sum(1 for c in self.wiring.conductors_at(terminal) if not (on_bar and is_comb(c)))
        return max(count - 1, 0) * ATTACH

    def _free_place(
        self,
        block: Block,
        wanted: float,
        taken: list[tuple[float, float]],
        forbidden: list[tuple[float, float]],
    ) -> float:
        low, high = self.left + PAD + block.before, self.right - PAD - block.span - block.after
        if block.part in self.far:
            low, high = (
                low - PAD,
                high + (6 if block.part.kind == "main-earthing-terminal" else 2) * PAD,
            )
        wanted = min(max(wanted, low), max(low, high))
        own = [
            (offset, self._spread(terminal.id))
            for offset, terminal in zip(block.offsets, block.terminals)
        ]

        def free(at: float, reach: float, clear: float) -> bool:
            if at < low - 0.01 or at > max(low, high) + reach:
                return False
            if any(
                at - block.before < b + 10 and a - 10 < at + block.span + block.after
                for a, b in taken
            ):
                return False
            return all(
                abs(at + offset - x) >= clear + spread + reach_of
                for offset, reach_of in own
                for x, spread in forbidden
            )

        if not forbidden and not taken:
            return wanted
        for reach, clear in ((0.0, CLEARANCES[0]), (0.0, CLEARANCES[1]), (1200.0, CLEARANCES[1])):
            for step in range(0, 600):
                for sign in (1, -1):
                    if free(wanted + sign * step * 2, reach, clear):
                        return wanted + sign * step * 2
        return wanted

    # Nets

    def _nominal(self) -> dict[str, float]:
        """First lanes, far enough apart that no channel meets the next."""
        return {
            "above": -2900.0,
            "upper": -2000.0,
            "lower": 2000.0,
            "below": 2700.0,
            **self._beyond(),
            "left": self.row_left - self.lane_room["left"] + PAD,
            "right": self.row_right + PAD + self._lug_room("right"),
        }

    def _beyond(self) -> dict[str, float]:
        """First lanes outside the enclosure, between it and the far places at its sides."""
        lanes = sum("beyond-right" in route for route in self.routes.values())
        return {
            "beyond-left": 12.0 + self.far_wide["left"] + BESIDE_LANE,
            "beyond-right": (
                self.right
                + self.beside["right"]
                - self.far_wide["right"]
                - BESIDE_LANE
                - max(lanes - 1, 0) * LANE
            ),
        }

    def _lug_room(self, side: str) -> float:
        """Lugs of the line bar stand between the rail and the lanes, on the side of the incoming
        end.
        """
        return 14.0 * len(self.lugs) if side == ("left" if self.from_left else "right") else 0.0

    def _nominal_y(self, terminal: str) -> float:
        if terminal in self.bar_y:
            return self.bar_y[terminal]
        part = self._part_of(terminal)
        if part is not None and part.kind == "line-bar":
            level = TEETH + self.lines.index(terminal.split(".")[1]) * RAIL_PITCH
            return -level if self.joins == "top" else self.row_height + level
        side = self.side.get(part.name, "") if part else ""
        if part is not None and part.kind in _RAIL_KINDS:
            return 0.0 if self.channel[terminal] == "upper" else self.row_height
        far = part in self.far
        return {"top": -3000.0 if far else -2500.0, "bottom": 3000.0 if far else 2500.0}.get(
            side, 0.0
        )

    def _part_of(self, terminal: str) -> Part | None:
        found = self.wiring.terminal(terminal)
        return self.wiring.part(found.device) if found else None

    def _nets(self) -> list[Net]:
        self._place_side_bars()
        attach = self._attachments()
        nets = []
        for conductor in self.wiring.conductors:
            if is_comb(conductor):
                continue
            start, end = attach[conductor.id, conductor.start], attach[conductor.id, conductor.end]
            route = self.routes[conductor.id]
            if (
                route[0] in ACROSS
                and len(route) == 1
                and abs(start[0] - end[0]) <= 2 * ATTACH
                and start[1] != end[1]
            ):
                start, route = (end[0], start[1]), ()
            nets.append(Net(conductor.id, start, end, route))
        return nets

    def _place_side_bars(self) -> None:
        """Neutral and earth bars and far places at the left or right: terminals one below the other
        beside the rail.
        """
        self.bar_y: dict[str, float] = {}
        self.beside_y: dict[str, tuple[float, float]] = {}  # far place -> top, height
        self.row_height = DEVICE_HEIGHT
        deepest = 0.0
        for side in ("left", "right"):
            bars = [bar for bar in self.bars if self.side[bar.name] == side]
            count = sum(len(self.wiring.terminals_of(bar.name)) for bar in bars)
            self.row_height = max(self.row_height, count * BAR_PITCH + 30 * len(bars))
        for side in ("left", "right"):
            y, below = 12.0, 0.0
            for bar in (bar for bar in self.bars if self.side[bar.name] == side):
                for terminal in self.wiring.terminals_of(bar.name):
                    y += BAR_PITCH
                    self.bar_y[terminal.id] = y - BAR_PITCH / 2
                    self.x[terminal.id] = (
                        self.left + PAD + BAR_DEPTH
                        if side == "left"
                        else self.right - PAD - BAR_DEPTH
                    )
                y += 24
                body = self._bar_body(bar, {}, 0.0)
                deepest, below = (
                    max(deepest, body.y + body.height),
                    max(below, body.y + body.height + 14),
                )
            below = max(below, y) if below else 0.0
            for part in sorted(
                (part for part in self.far if self.side[part.name] == side), key=self._rank
            ):
                below = self._place_beside(part, side, below)
                deepest = max(deepest, below - BESIDE_GAP)
        self.over = max(deepest - self.row_height, 0.0) if self.beside_y else 0.0
        self.bar_y = {name: y - self.over / 2 for name, y in self.bar_y.items()}

    def _place_beside(self, part: Part, side: str, top: float) -> float:
        """A far place beside the enclosure from `top` on; gives where the next may begin."""
        terminals = self.wiring.terminals_of(part.name)
        words = far_words(self.installation, part, self.far_wide[side] - TERMINAL_WORD - 14)
        height = max(len(terminals) * BAR_PITCH, 14.5 * len(words) + 16)
        for index, terminal in enumerate(terminals):
            self.bar_y[terminal.id] = top + (index + 0.5) * height / len(terminals)
            self.x[terminal.id] = (
                12.0 + self.far_wide["left"]
                if side == "left"
                else self.right + self.beside["right"] - self.far_wide["right"]
            )
        self.beside_y[part.name] = top, height
        return top + height + BESIDE_GAP

    def _attachments(self) -> dict[tuple[str, str], Point]:
        """Where each conductor meets each of its terminals; two conductors in one terminal lie side
        by side.
        """
        attach: dict[tuple[str, str], Point] = {}
        for terminal in self.wiring.terminals:
            if terminal.id not in self.channel:
                continue
            on_bar = self._kind(terminal) in (*self.bar_sides, "line-bar")
            here = [
                c for c in self.wiring.conductors_at(terminal.id) if not (on_bar and is_comb(c))
            ]
            here.sort(
                key=lambda c: (self.x.get(c.end if c.start == terminal.id else c.start, 0.0), c.id)
            )
            x, y = self.x[terminal.id], self._nominal_y(terminal.id)
            for index, conductor in enumerate(here):
                shift = (index - (len(here) - 1) / 2) * 2 * ATTACH
                beside = self.channel[terminal.id] in ("left", "right")
                attach[conductor.id, terminal.id] = (x, y + shift) if beside else (x + shift, y)
        return attach

    # Down: everything that has a y

    def _settle(
        self,
        nets: list[Net],
        orders: dict[str, list[str]],
        naive: int,
        tried: tuple[Tried, ...] = (),
    ) -> BoardPlan:
        nominal = nominal_lanes(orders, self._nominal(), LANE)
        tracks = tracks_of(nets, orders, nominal, tried)
        count = {
            channel: (
                1 + max((track for (c, _), track in tracks.items() if c == channel), default=-1)
            )
            for channel in (
                "above",
                "upper",
                "left",
                "right",
                "lower",
                "below",
                "beyond-left",
                "beyond-right",
            )
        }
        pitch = LANE + self.slack * 2
        extra = self.slack * 12.0
        comb = (TEETH + RAIL_PITCH * (len(self.lines) - 1) + 16) if self.lines else 0.0
        comb_top, comb_bottom = (comb, 0.0) if self.joins == "top" else (0.0, comb)
        strip = {
            side: BAR_DEPTH + PAD if any(self.side[b.name] == side for b in self.bars) else 0.0
            for side in ("top", "bottom")
        }
        strip = {
            side: room + (BACK_ROOM if side in self.back else 0.0) for side, room in strip.items()
        }
        has_far = {
            side: any(self.side[part.name] == side for part in self.far)
            for side in ("top", "bottom")
        }
        far_top = 10.0
        deep = {
            side: max(
                [
                    least,
                    *(self._far_depth(part) for part in self.far if self.side[part.name] == side),
                ]
            )
            for side, least in (("top", FAR_DEPTH), ("bottom", FAR_BELOW))
        }
        self.far_deep = deep
        gap = {
            "above": _OUTSIDE + count["above"] * pitch,
            "below": _OUTSIDE + count["below"] * pitch,
        }
        top = far_top + (deep["top"] + gap["above"] if has_far["top"] else 0)
        upper = top + strip["top"] + PAD
        row = upper + count["upper"] * pitch + comb_top + PAD + 8 + extra + self.over / 2
        lower = row + self.row_height + comb_bottom + PAD + 8 + self.over / 2
        bottom = lower + count["lower"] * pitch + strip["bottom"] + PAD + extra
        far_bottom = bottom + (gap["below"] if has_far["bottom"] else 0)
        height = far_bottom + (deep["bottom"] + 8 if has_far["bottom"] else 12)
        first = {
            "above": far_top + deep["top"] + 20,
            "upper": upper + extra / 2,
            "lower": lower + extra / 2,
            "below": far_bottom - 20 - max(count["below"] - 1, 0) * pitch,
            "left": self.row_left - PAD - self._lug_room("left") - max(count["left"] - 1, 0) * LANE,
            "right": self.row_right + PAD + self._lug_room("right"),
            **self._beyond(),
        }
        lanes = {
            (channel, name): first[channel] + track * (pitch if channel in ACROSS else LANE)
            for (channel, name), track in tracks.items()
        }
        depth = {
            "far-top": far_top + deep["top"],
            "bar-top": top + PAD / 2 + BAR_DEPTH + (BACK_ROOM if "top" in self.back else 0.0),
            "row": row,
            "bar-bottom": (
                bottom - PAD / 2 - BAR_DEPTH - (BACK_ROOM if "bottom" in self.back else 0.0)
            ),
            "far-bottom": far_bottom,
        }
        settled = [
            Net(net.id, self._down(net.start, depth), self._down(net.end, depth), net.channels)
            for net in nets
        ]
        if len(tried) < SETTLED_AGAIN and touch(settled, lanes):
            return self._settle(nets, orders, naive, (*tried, (settled, lanes)))
        paths = {net.id: points_of(net, lanes) for net in settled}
        terminals = {
            name: self._down((self.x[name], self._nominal_y(name)), depth) for name in self.channel
        }
        crossed = crossings_in(list(paths.values()))
        rails = self._rails(row, paths, terminals)
        enclosure = Rect(self.left, top, self.right - self.left, bottom - top)
        return BoardPlan(
            self.sheet_right + 12,
            height,
            enclosure,
            {
                name: Rect(x, row, width, self.row_height)
                for name, (x, width) in self.devices.items()
            },
            {bar.name: (self._bar_body(bar, depth, row), self.side[bar.name]) for bar in self.bars},
            {part.name: (self._far_body(part, depth), self.side[part.name]) for part in self.far},
            terminals,
            {name: self._label_side(name) for name in terminals},
            paths,
            rails,
            crossed,
            naive,
            self.module,
            dict(self.side),
            frozenset(self.back),
        )

    def _down(self, point: Point, depth: dict[str, float]) -> Point:
        x, y = point
        places = {
            -3000.0: "far-top",
            -2500.0: "bar-top",
            2500.0: "bar-bottom",
            3000.0: "far-bottom",
        }
        return (x, depth[places[y]]) if y in places else (x, y + depth["row"])

    def _bar_body(self, bar: Part, depth: dict[str, float], row: float) -> Rect:
        side = self.side[bar.name]
        if side in ("top", "bottom"):
            block, at = self.blocks[bar.name]
            y = depth["bar-top"] - BAR_DEPTH if side == "top" else depth["bar-bottom"]
            return Rect(at - block.before, y, block.span + block.before + block.after, BAR_DEPTH)
        ys = [self.bar_y[t.id] for t in self.wiring.terminals_of(bar.name)] or [20.0]
        x = self.left + PAD if side == "left" else self.right - PAD - BAR_DEPTH
        middle, reach = (
            (ys[0] + ys[-1]) / 2,
            max(ys[-1] - ys[0] + 26, reserved_width(bar.name, 12, True) + 10),
        )
        return Rect(x, row + middle - reach / 2, BAR_DEPTH, reach)

    def _far_body(self, part: Part, depth: dict[str, float]) -> Rect:
        if part.name in self.beside_y:
            side, (y, height) = self.side[part.name], self.beside_y[part.name]
            x = (
                12.0
                if side == "left"
                else self.right + self.beside["right"] - self.far_wide["right"]
            )
            return Rect(x, depth["row"] + y - self.over / 2, self.far_wide[side], height)
        block, at = self.blocks[part.name]
        depth_of = self.far_deep[self.side[part.name]]
        y = depth["far-top"] - depth_of if self.side[part.name] == "top" else depth["far-bottom"]
        return Rect(at - block.before, y, block.span + block.before + block.after, depth_of)

    def _far_depth(self, part: Part) -> float:
        """Its lines of text and the row of its terminals."""
        block, _ = self.blocks[part.name]
        return 33.0 + 14.5 * len(
            far_words(self.installation, part, block.span + block.before + block.after - 12)
        )

    def _label_side(self, terminal: str) -> str:
        """Towards the body of the part."""
        part = self._part_of(terminal)
        assert part is not None
        side = self.side.get(part.name)
        if part.kind == "line-bar":
            return ""
        if side is None:
            return "down" if self.channel[terminal] == "upper" else "up"
        return {"top": "up", "bottom": "down"}.get(side, side)

    def _rails(
        self, row: float, paths: dict[str, tuple[Point, ...]], terminals: dict[str, Point]
    ) -> dict[str, tuple[float, float, float]]:
        """The line bar: a rail for each line and a straight tooth to each terminal it joins."""
        base = row - TEETH if self.joins == "top" else row + self.row_height + TEETH
        step = -RAIL_PITCH if self.joins == "top" else RAIL_PITCH
        level = {line: base + index * step for index, line in enumerate(self.lines)}
        attach = self._attachments()
        for terminal in self.wiring.terminals:
            if self._kind(terminal) == "line-bar":
                partner = None if terminal in self.lugs else self._tooth_end(terminal)
                x = next(
                    (
                        attach[c.id, partner][0]
                        for c in self.wiring.conductors_at(terminal.id)
                        if partner is not None and (c.id, partner) in attach
                    ),
                    None,
                )
                x = x if x is not None else self.x.get(partner or terminal.id, self.row_left)
                terminals[terminal.id] = (x, level[terminal.function])
        for conductor in self.wiring.conductors:
            if is_comb(conductor) and conductor.start in terminals and conductor.end in terminals:
                ends = []
                for name in (conductor.start, conductor.end):
                    x, y = terminals[name]
                    if (conductor.id, name) in attach and self._kind_of(name) in _RAIL_KINDS:
                        x = attach[conductor.id, name][0]
                    ends.append((x, y))
                paths[conductor.id] = (ends[0], ends[1])
        rails = {}
        for line in self.lines:
            xs = [
                terminals[t.id][0]
                for t in self.wiring.terminals
                if self._kind(t) == "line-bar" and t.function == line
            ]
            rails[line] = (level[line], min(xs), max(xs))
        return rails

    def _kind_of(self, terminal: str) -> str:
        part = self._part_of(terminal)
        return part.kind if part else ""

    def _tooth_end(self, terminal: Terminal) -> str | None:
        """The device terminal a place on the line bar feeds."""
        for name in self.wiring.neighbours(terminal.id):
            other = self.wiring.terminal(name)
            if other is not None and self._kind(other) != "line-bar":
                return name
        return None


def _narrowed(block: Block, at: float, taken: list[tuple[float, float]]) -> Block:
    """A block that must stand where it is, kept clear of what stands beside it."""
    before, after = block.before, block.after
    for left, right in taken:
        if left > at:
            after = min(after, max(left - 10 - at - block.span, 17.0))
        else:
            before = min(before, max(at - right - 10, 14.0))
    spare = block.before - before
    return Block(
        block.part,
        block.terminals,
        block.offsets,
        before,
        after + max(spare, 0.0) if not taken else after,
    )


def _is_wide(terminal: Terminal) -> bool:
    """Terminals whose label is longer than a function."""
    return terminal.id.endswith(".armour") or ".parked." in terminal.id


def _word(section: object, key: str, otherwise: str) -> str:
    value = getattr(section, key, None)
    return value if isinstance(value, str) else otherwise


def _number(section: object, key: str, otherwise: float) -> float:
    value = getattr(section, key, None)
    return float(value) if isinstance(value, (int, float)) else otherwise


def _horizontal(side: str, otherwise: str) -> str:
    return side if side in ("top", "bottom") else otherwise


def board_plan(installation: Installation, wiring: Wiring, slack: int = 0) -> BoardPlan:
    """The plan of a board; `slack` widens channels when labels found no place."""
    return _Planner(installation, wiring, slack).plan()
