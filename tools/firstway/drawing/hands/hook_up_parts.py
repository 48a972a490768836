"""Drawing, pictures for the hands: what a test is hooked up to: the board as its plan has it, the
point, an adapter, an instrument that is nobody's make, leads, a padlock.

The colour of a conductor means a conductor: leads of instruments are dark, light or broken, and a
link that is put in for the test has the ink of marks.
"""

from collections.abc import Mapping, Sequence
from math import cos, hypot, pi, sin

from firstway.choosing.completing import Completed
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    Scale,
    body,
    conductor,
    lines,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point, Strands, Stroke
from firstway.drawing.text_width import reserved_width
from firstway.frozen import dataclass
from firstway.layout.plan import Layout, Side
from firstway.model.nec_words import GROUND

BOARD_LEFT, TOP = 8.0, 78.0  # the board's upper left corner
_WIDEST, _HIGHEST = 172.0, 160.0  # what the board may take
FLOOR = TOP + _HIGHEST
CABLE_AT = FLOOR + 18
RIGHT_SIDE, RIGHT_SIDE_WIDE = 292.0, 104.0  # what stands beside the board
INSTRUMENT_LEFT, INSTRUMENT_WIDTH = 195.0, 91.0
INSTRUMENT_TOP, INSTRUMENT_HIGH = TOP + 76, 84.0
CORE_WIDE = 3.0
DARK, LIGHT, BROKEN = "dark", "light", "broken"
_LEADS = {
    DARK: (("zline", 4.6, ""), ("zk2", 3.0, "")),
    LIGHT: (("zline", 4.6, ""), ("zw1", 3.0, "")),
    BROKEN: (("zline", 4.6, ""), ("zw1", 3.0, ""), ("zk2", 3.0, "5 5")),
}


@dataclass(frozen=True)
class SeenDevice:
    """A device as seen from the front: its body and its nose, each (x0, y0, x1, y1)."""

    name: str
    kind: str
    body: tuple[float, float, float, float]
    nose: tuple[float, float, float, float]


@dataclass(frozen=True)
class SeenBoard:
    """A board seen from the front, places in units of the sheet."""

    case: tuple[float, float, float, float]
    window: tuple[float, float, float, float]
    devices: tuple[SeenDevice, ...]
    bars: tuple[tuple[float, float, float, float], ...]
    line_bar: tuple[float, float, float, float] | None
    teeth: tuple[Point, ...]
    spots: Mapping[str, Point]
    openings: Mapping[str, tuple[Side, Point]]
    cores: Mapping[str, tuple[tuple[Point, ...], str]]

    def device(self, name: str) -> SeenDevice:
        return next(each for each in self.devices if each.name == name)


def seen_board(job: Completed, layout: Layout) -> SeenBoard:
    """The plan in front view, made to fit the left of a sheet."""
    outer = layout.parts.outer
    per_mm = min(_WIDEST / outer.size(0), _HIGHEST / outer.size(1))
    at = Scale(BOARD_LEFT - outer.low[0] * per_mm, FLOOR - outer.high[1] * per_mm, per_mm)

    def box(low: Sequence[float], high: Sequence[float]) -> tuple[float, float, float, float]:
        return (*at.at(low[0], low[1]), *at.at(high[0], high[1]))

    comb = layout.parts.line_bar
    colours = {each.id: each.colour for each in job.case.wiring.drawn.conductors}
    return SeenBoard(
        box(outer.low, outer.high),
        box(layout.parts.cover.window.low, layout.parts.cover.window.high),
        tuple(
            SeenDevice(
                each.name,
                each.kind,
                box(each.body.low, each.body.high),
                box(each.nose.low, each.nose.high),
            )
            for each in layout.parts.devices
        ),
        tuple(box(each.box.low, each.box.high) for each in layout.parts.bars),
        box(comb.box.low, comb.box.high) if comb else None,
        tuple(at.at(*each.at[:2]) for each in comb.teeth) if comb else (),
        {name: at.at(*spot.at[:2]) for name, spot in layout.parts.spots.items()},
        {each.name: (each.side, at.at(*each.at[:2])) for each in layout.parts.openings},
        {
            each.id: (_apart([at.at(*point[:2]) for point in each.points]), colours[each.id])
            for each in layout.conductors
            if each.diameter_mm and each.id in colours
        },
    )


def _apart(points: Sequence[Point]) -> tuple[Point, ...]:
    """Corners that lie on each other from the front are one."""
    found = [points[0]]
    for point in points[1:]:
        if abs(point[0] - found[-1][0]) + abs(point[1] - found[-1][1]) > 0.5:
            found.append(point)
    return tuple(found)


# ---- the board


def open_case(board: SeenBoard) -> Drawables:
    """The board without its cover: case, rail and bars."""
    x0, y0, x1, y1 = board.case
    bars = [(_box(each, "zm2", HAIR), *_screws(board, each)) for each in board.bars]
    return (
        Box(x0, y0, x1 - x0, y1 - y0, "zline", LINE, "zb1", 3),
        _rail(board),
        *(item for some in bars for item in some),
    )


def open_devices(board: SeenBoard, off: frozenset[str], out: frozenset[str]) -> Drawables:
    """Its devices: those `off` have their toggle down, of those `out` the base alone is there."""
    devices = [_device(each, each.name in off, each.name in out) for each in board.devices]
    names = {each.name for each in board.devices if each.kind != "blank"}
    return (
        *(item for some in devices for item in some),
        *_comb(board),
        *(
            Disc(*place, 1.6, "zline", FINE, "zz1")
            for terminal, place in board.spots.items()
            if terminal.partition(".")[0] in names
        ),
    )


def _comb(board: SeenBoard) -> Drawables:
    """The bar that feeds the devices, with its teeth."""
    if board.line_bar is None:
        return ()
    middle = (board.line_bar[1] + board.line_bar[3]) / 2
    teeth = tuple(
        Strands(((x, middle), (x, y)), (("zline", 3.2, ""), ("zc2", 1.8, "")))
        for x, y in board.teeth
    )
    return (*teeth, _box(board.line_bar, "zw3", HAIR))


def _rail(board: SeenBoard) -> Box:
    x0, _, x1, _ = board.case
    y0, y1 = board.devices[0].body[1], board.devices[0].body[3]
    middle = (y0 + y1) / 2
    return Box(x0 + 4, middle - 8, x1 - x0 - 8, 16, "zline", FINE, "zz1")


def _screws(board: SeenBoard, bar: tuple[float, float, float, float]) -> Drawables:
    return tuple(
        Disc(*at, 1.7, "zline", FINE, "zz1")
        for name, at in board.spots.items()
        if "-bar." in name and _holds(bar, at)
    )


def _box(bounds: tuple[float, float, float, float], tone: str, line: float = LINE) -> Box:
    x0, y0, x1, y1 = bounds
    return Box(x0, y0, x1 - x0, y1 - y0, "zline", line, tone)


def _device(of: SeenDevice, off: bool, out: bool) -> Drawables:
    if of.kind == "blank":
        return ()
    return (_box(of.body, "zw2"), *_nose(of, off, out))


def _nose(of: SeenDevice, off: bool, out: bool) -> Drawables:
    x0, y0, x1, y1 = of.nose
    middle = (x0 + x1) / 2
    if of.kind == "spd":
        if out:  # the base alone: the room of the cartridge is dark and empty
            return (_box((x0 + 1.5, y0, x1 - 1.5, y1), "zhole", HAIR),)
        window = Box(middle - 2.5, y0 + 4, 5, 5, "zline", FINE, "zw1")
        return (_box((x0 + 1.5, y0, x1 - 1.5, y1), "zk1", HAIR), window)
    tall = (y1 - y0) / 2
    slot = Box(middle - 3, y0 + tall * 0.4, 6, tall * 1.2, "zline", FINE, "zhole")
    top = y0 + tall * (1.0 if off else 0.4)
    return (
        _box(of.nose, "zw1", HAIR),
        slot,
        Box(middle - 3, top, 6, tall * 0.6, "zline", FINE, "zz2"),
    )


def closed_board(board: SeenBoard) -> Drawables:
    """The board with its cover on, a strip for labels below the window."""
    x0, y0, x1, y1 = board.case
    screws = [(x, y) for x in (x0 + 6, x1 - 6) for y in (y0 + 6, y1 - 6)]
    blanks = [_box(each.nose, "zw3", HAIR) for each in board.devices if each.kind == "blank"]
    left, _, right, low = board.window
    strip = Box(left, low + 3, right - left, 16, "ink", FINE, "plate")
    return (
        Box(x0, y0, x1 - x0, y1 - y0, "zline", LINE, "zw2", 3),
        *(Disc(*each, 2.2, "zline", FINE, "zz1") for each in screws),
        _box(board.window, "zw3", HAIR),
        strip,
        *blanks,
    )


def closed_fronts(board: SeenBoard, off: frozenset[str]) -> Drawables:
    """What is seen of its devices in the window: those `off` have their toggle down."""
    fronts = [_nose(each, each.name in off, False) for each in _seen(board)]
    return tuple(item for some in fronts for item in some)


def front_names(board: SeenBoard) -> Drawables:
    """The name of each device below it, on the strip of labels."""
    low = board.window[3] + 15.5
    return tuple(
        Lettering((each.nose[0] + each.nose[2]) / 2, low, each.name, TEXT_SIZE, "middle", True)
        for each in _seen(board)
    )


def _seen(board: SeenBoard) -> list[SeenDevice]:
    return [each for each in board.devices if each.kind != "blank"]


def cores(board: SeenBoard, ids: Sequence[str]) -> Drawables:
    """Conductors of the board as they are laid, where the plan lays them."""
    return tuple(
        conductor(points, CORE_WIDE, colour, 3.0)
        for each in ids
        if each in board.cores
        for points, colour in [board.cores[each]]
    )


# ---- between the board and what stands beside it


def cable_way(board: SeenBoard, opening: str, goal: Point) -> tuple[Point, ...]:
    """The way of a cable from an opening of the board to the foot of what stands beside it."""
    side, (x, y) = board.openings[opening]
    channel = BOARD_LEFT + _WIDEST + 5
    level = CABLE_AT
    foot = ((goal[0], level), goal)
    if side == "bottom" or side == "back":
        return ((x, board.case[3]), (x, level), *foot)
    if side == "right":
        return ((board.case[2], y), (channel, y), (channel, level), *foot)
    if side == "left":
        return ((BOARD_LEFT, y), (BOARD_LEFT - 5, y), (BOARD_LEFT - 5, level), *foot)
    above = board.case[1] - 5
    return ((x, board.case[1]), (x, above), (channel, above), (channel, level), *foot)


def cable(points: Sequence[Point], width: float = 8.0) -> Strands:
    """A sheathed cable."""
    return Strands(tuple(points), (("zline", width + 2, ""), ("zk1", width, "")), 9.0)


def lead(points: Sequence[Point], kind: str) -> Strands:
    """A lead of an instrument, its bends round."""
    return Strands(tuple(points), _LEADS[kind], 5.0)


def coil(x: float, low: float) -> tuple[Point, ...]:
    """Two turns of a long lead, at the left of the upright at x, from `low` upward."""
    reach, rise, turns = 9.0, 9.0, 2
    number = 16 * turns
    return tuple(
        (
            x - reach + reach * cos(2 * pi * turns * place / number),
            low - rise * turns * place / number + reach * sin(2 * pi * turns * place / number),
        )
        for place in range(number + 1)
    )


def probe(tip: Point, come: Point) -> Drawables:
    """The end of a lead: a handle and a bare tip that touches; it comes from `come`."""
    (x, y), long = tip, hypot(come[0] - tip[0], come[1] - tip[1]) or 1.0
    ux, uy = (come[0] - x) / long, (come[1] - y) / long

    def at(along: float, aside: float) -> Point:
        return x + ux * along - uy * aside, y + uy * along + ux * aside

    return (
        Strands((tip, at(5, 0)), (("zline", 2.6, ""), ("zz1", 1.4, ""))),
        body([at(5, -2.6), at(5, 2.6), at(15, 2.6), at(15, -2.6)], "zk2", HAIR),
    )


def link(points: Sequence[Point]) -> Drawables:
    """A lead with a clip at each end, put in for the test and taken off afterwards."""
    ends = (points[0], points[-1])
    return (
        Strands(tuple(points), (("zline", 5.0, ""), ("mark", 3.2, "")), 5.0),
        *(Box(x - 3, y - 3, 6, 6, "zline", HAIR, "zz2") for x, y in ends),
    )


# ---- what stands beside it


@dataclass(frozen=True)
class SeenPoint:
    """A charging point in the column beside the board: its terminals by letter."""

    terminals: tuple[str, ...]
    colours: tuple[str, ...]

    def at(self, letter: str) -> Point:
        """The screw of a terminal."""
        step = RIGHT_SIDE_WIDE / (len(self.terminals) + 0.2)
        place = self.terminals.index(letter)
        return RIGHT_SIDE + step * (place + 0.6), TOP + 46

    @property
    def entry(self) -> Point:
        return RIGHT_SIDE + RIGHT_SIDE_WIDE / 2, FLOOR


def open_point(of: SeenPoint, core_off: bool) -> Drawables:
    """The point without its cover; `core_off`: its cable is off the terminals, each core apart."""
    x, (mid, foot) = RIGHT_SIDE, of.entry
    _, y = of.at(of.terminals[0])
    legs: list[Drawables] = []
    for place, (letter, colour) in enumerate(zip(of.terminals, of.colours)):
        tx = of.at(letter)[0]
        low = mid + (place - (len(of.terminals) - 1) / 2) * 5
        top = core_end(of, letter)[1] + 7 if core_off else y + 25
        bend = max(top + 12, TOP + 84)
        way = ((low, foot - 12), (low, bend + 14), (tx, bend + 4), (tx, top))
        legs.append((conductor(way, CORE_WIDE, colour, 3),))
        if core_off:
            legs.append((bare_end(((tx, top), (tx, top - 7))),))
    return (
        Box(x, TOP, RIGHT_SIDE_WIDE, FLOOR - TOP, "zline", LINE, "zb1", 4),
        Box(x + 16, TOP + 5, RIGHT_SIDE_WIDE - 32, 14, "zline", HAIR, "zw3"),
        *(item for some in legs for item in some),
        Box(x + 1, y - 8, RIGHT_SIDE_WIDE - 2, 33, "ink", HAIR, "plate"),
        *(Disc(*of.at(each), 3, "zline", HAIR, "zz1") for each in of.terminals),
        Box(mid - 12, foot - 13, 24, 13, "zline", HAIR, "zm2"),
    )


def core_end(of: SeenPoint, letter: str) -> Point:
    """The bare end of a core that is off its terminal: the further right, the higher, so that a
    lead from the left meets no other.
    """
    return of.at(letter)[0], TOP + 112 - 9 * of.terminals.index(letter)


def letters(of: SeenPoint) -> Drawables:
    """The letters under the screws of a point."""
    return tuple(
        Lettering(x, y + 20, each, TEXT_SIZE, "middle")
        for each in of.terminals
        for x, y in [of.at(each)]
    )


def protective(points: Sequence[Point], colour: str) -> Strands:
    """A protective conductor outside the board."""
    return conductor(points, CORE_WIDE, colour, 6.0)


def bare_end(points: Sequence[Point]) -> Strands:
    """The bare end of a conductor that is joined to nothing."""
    return Strands(tuple(points), (("zline", 3.0, ""), ("zc1", 1.8, "")))


def earth_terminal() -> Drawables:
    """The main earthing terminal, its conductors below and above it."""
    y = TOP + 50
    return (
        Box(RIGHT_SIDE + 4, y - 9, RIGHT_SIDE_WIDE - 8, 18, "zline", LINE, "zm2"),
        *(Disc(RIGHT_SIDE + 20 + 20 * place, y, 3, "zline", HAIR, "zz1") for place in range(4)),
    )


ADAPTER_HIGH = 50.0
_ADAPTER_LEFT = RIGHT_SIDE - 16  # so that its cable leaves it beside the last socket
ADAPTER_MIDDLE = (_ADAPTER_LEFT + RIGHT_SIDE + RIGHT_SIDE_WIDE) / 2


def closed_point(tethered: bool) -> Drawables:
    """The point with its cover on, and its way up to an adapter: the cable of the adapter, plugged
    into the socket of the point; `tethered`: the lead of the point, plugged into the adapter.
    """
    x, top = RIGHT_SIDE, TOP + 84
    wide = RIGHT_SIDE_WIDE
    out, up = x + wide - 12, TOP + ADAPTER_HIGH
    plug = Box(out - 6, up, 12, 12, "zline", HAIR, "zk2", 2)
    if tethered:
        outlet = Box(out - 7, top + 28, 14, 9, "zline", HAIR, "zk2", 1)
        ends: Drawables = (outlet, plug)
    else:
        ends = (Box(out - 6, top + 26, 12, 14, "zline", HAIR, "zk2", 2),)
    return (
        Box(x, top, wide, FLOOR - top, "ink", LINE, "plate", 8),
        Disc(out, top + 34, 10, "zline", HAIR, "zk1"),
        Box(x + 10, top + 10, 40, 9, "zline", FINE, "zglass", 2),
        Strands(((out, top + 30), (out, up)), (("zline", 8, ""), ("zk1", 6, ""))),
        *ends,
    )


@dataclass(frozen=True)
class SeenAdapter:
    """An adapter that stands for the vehicle: sockets by letter, below their letters."""

    sockets: tuple[str, ...]

    def at(self, letter: str) -> Point:
        step = RIGHT_SIDE_WIDE / (len(self.sockets) + 0.2)
        return _ADAPTER_LEFT + step * (self.sockets.index(letter) + 0.6), TOP + ADAPTER_HIGH - 7


def adapter(of: SeenAdapter) -> Drawables:
    """The adapter's box and its sockets, which no finger reaches into."""
    return (
        Box(_ADAPTER_LEFT, TOP, RIGHT_SIDE_WIDE + 16, ADAPTER_HIGH, "ink", LINE, "plate", 5),
        *(Disc(*of.at(each), 3.6, "ink", HAIR, "zhole") for each in of.sockets),
    )


def adapter_words(of: SeenAdapter, state: str) -> Drawables:
    return (
        Lettering(ADAPTER_MIDDLE, TOP + 16, state, TEXT_SIZE, "middle"),
        *(
            Lettering(x, y - 7, each, TEXT_SIZE, "middle", True)
            for each in of.sockets
            for x, y in [of.at(each)]
        ),
    )


# ---- the instrument


@dataclass(frozen=True)
class Instrument:
    """What it shows and what it is set to, in the words of the trade; its sockets by what is
    written on them.
    """

    shows: str
    function: tuple[str, ...]
    sockets: tuple[str, ...]
    left: float = INSTRUMENT_LEFT
    top: float = INSTRUMENT_TOP

    def at(self, socket: str) -> Point:
        """Where a lead leaves it, on its upper edge."""
        step = INSTRUMENT_WIDTH / len(self.sockets)
        return self.left + step * (self.sockets.index(socket) + 0.5), self.top


def instrument(of: Instrument) -> Drawables:
    """The box with its window and sockets."""
    x, y, wide = of.left, of.top, INSTRUMENT_WIDTH
    return (
        Box(x, y, wide, INSTRUMENT_HIGH, "ink", LINE, "plate", 6),
        Box(x + 5, y + 19, wide - 10, 25, "ink", HAIR, "paper", 2),
        *(Box(sx - 4, y - 4, 8, 6, "zline", HAIR, "zk2") for sx, _ in map(of.at, of.sockets)),
    )


def written_sheet(of: Instrument) -> Drawables:
    """A sheet of paper, a corner folded, as large as the instrument that it stands for."""
    x, y, wide, fold = of.left, of.top, INSTRUMENT_WIDTH, 12.0
    edge = ((x, y), (x + wide - fold, y), (x + wide, y + fold))
    low = ((x + wide, y + INSTRUMENT_HIGH), (x, y + INSTRUMENT_HIGH))
    corner = ((x + wide - fold, y), (x + wide - fold, y + fold), (x + wide, y + fold))
    return (
        Stroke((*edge, *low), "ink", HAIR, fill="paper", closed=True),
        Stroke(corner, "ink", HAIR),
        lines([((x + 8, y + 45), (x + wide - 8, y + 45))], FINE, "ink"),
    )


def instrument_words(of: Instrument) -> Drawables:
    y, middle = of.top, of.left + INSTRUMENT_WIDTH / 2
    size = 16.0 if reserved_width(of.shows, 16.0, True) < INSTRUMENT_WIDTH - 14 else TEXT_SIZE
    return (
        *(Lettering(of.at(each)[0], y + 14.5, each, TEXT_SIZE, "middle") for each in of.sockets),
        Lettering(middle, y + 37, of.shows, size, "middle", True),
        *(
            Lettering(middle, y + 59 + 15 * place, each, TEXT_SIZE, "middle")
            for place, each in enumerate(of.function)
        ),
    )


# ---- signs and names


def padlock(x: float, y: float) -> Drawables:
    """A closed padlock, its body's upper left at (x, y)."""
    return (
        Stroke(
            ((x + 3, y), (x + 3, y - 5), (x + 6, y - 9), (x + 10, y - 9), (x + 13, y - 5))
            + ((x + 13, y),),
            "ink",
            LINE,
            round=3,
        ),
        Box(x, y, 16, 13, "ink", LINE, "plate", 2),
        Disc(x + 8, y + 6, 1.8, "", 0, "ink"),
    )


def warning_sign(x: float, y: float) -> Drawables:
    """A triangle with a bar and a dot; (x, y) is its upper left."""
    return (
        Stroke(((x + 9, y), (x + 18, y + 16), (x, y + 16)), "mark", LINE, closed=True),
        lines([((x + 9, y + 5), (x + 9, y + 10.5))], LINE, "mark"),
        Disc(x + 9, y + 13, 1.1, "", 0, "mark"),
    )


def bar_leader(board: SeenBoard, screw: str) -> tuple[Point, ...]:
    """The way from above to the bar of a screw, to an end that lies away from that screw: clear of
    devices and of the other bar, down beside them where they lie above it.
    """
    at = board.spots[screw]
    bar = next(each for each in board.bars if _holds(each, at))
    x0, y0, x1, y1 = bar
    middle = (y0 + y1) / 2
    upright = y1 - y0 > x1 - x0
    goal = (x0 + x1) / 2, y0 + 2
    if not upright:
        goal = (x0 + 4 if at[0] > (x0 + x1) / 2 else x1 - 4), y0 + 2
    others = [each.body for each in board.devices]
    others += [each for each in board.bars if each != bar]

    def clear(x: float) -> bool:
        return not any(left - 3 < x < right + 3 and top < y0 for left, top, right, _ in others)

    if clear(goal[0]):
        return (goal,)
    ways = [x for x in range(int(board.case[0]) + 5, int(board.case[2]) - 3) if clear(x)]
    beside = min(ways, key=lambda x: abs(x - goal[0]), default=goal[0])
    if upright or x0 <= beside <= x1:
        return (beside, y0 - 7), (goal[0], y0 - 7), goal
    return (beside, middle), (x1 - 2 if beside > x1 else x0 + 2, middle)


def _holds(box: tuple[float, float, float, float], at: Point) -> bool:
    return box[0] - 2 <= at[0] <= box[2] + 2 and box[1] - 2 <= at[1] <= box[3] + 2


def named_above(items: Sequence[tuple[str, tuple[Point, ...]]], level: float) -> Drawables:
    """Names in one line at `level`, each with a leader along its way, none on another."""
    ordered = sorted(items, key=lambda each: each[1][0][0])
    wide = [reserved_width(text, TEXT_SIZE, True) for text, _ in ordered]
    starts = [way[0][0] - width / 2 for (_, way), width in zip(ordered, wide)]
    starts[0] = max(3.0, starts[0])
    for place in range(1, len(starts)):
        starts[place] = max(starts[place], starts[place - 1] + wide[place - 1] + 8)
    limit = 397.0
    for place in reversed(range(len(starts))):
        starts[place] = min(starts[place], limit - wide[place])
        limit = starts[place] - 8
    found: list[Drawables] = []
    for (text, way), start, width in zip(ordered, starts, wide):
        x = min(max(way[0][0], start + 4), start + width - 4)
        found.append(
            (
                *words(start, level, text),
                Stroke(((x, level + 4), *way), width=HAIR),
                Disc(*way[-1], 2.0, "", 0, "ink"),
            )
        )
    return tuple(item for some in found for item in some)


def earth_letter(rules: str) -> str:
    """What is written on the terminal of the protective conductor."""
    return GROUND if rules == "nec" else "PE"
