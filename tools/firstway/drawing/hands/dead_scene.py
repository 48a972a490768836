"""Drawing, pictures for the hands: a dead test as a frozen hook-up, and how it is seen: board open,
what is off and out, which link is in, where the leads touch.
"""

from collections.abc import Sequence

from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.frame import Detail, group
from firstway.drawing.hands.hook_up_parts import Instrument, SeenBoard, SeenPoint
from firstway.drawing.hands.strokes import TEXT_SIZE, Drawables, ring, words
from firstway.drawing.sheet import Group, Lettering, Point
from firstway.frozen import dataclass

BOARD, POINT, CORE_END, TERMINAL = "board", "point", "core-end", "main-earth"
DEAD_SIGN = "Isolated at its origin, locked off, proved dead|(indicator proved before and after)"
EARTH_JOINT = parts.RIGHT_SIDE + 20, parts.TOP + 50
"""The screw of the main earthing terminal that takes the conductor from the board."""
TouchedPlace = tuple[str, str]


@dataclass(frozen=True)
class TestLead:
    """A lead from a socket of the instrument to a place."""

    socket: str
    to: TouchedPlace
    kind: str


@dataclass(frozen=True)
class HookUp:
    """A dead test: what is off and out, which link is in, where the leads touch, what is shown.

    Without a point, the main earthing terminal stands beside the board; `joined` says whether the
    conductor between the two ends there. `long_lead` is the socket whose lead is a long one.
    """

    board: SeenBoard
    cores: tuple[str, ...]
    opening: str
    length: str
    leads: tuple[TestLead, ...]
    shows: str
    function: tuple[str, ...]
    names: tuple[tuple[str, str], ...]
    off: frozenset[str]
    out: frozenset[str] = frozenset()
    link: tuple[str, str] | None = None
    point: SeenPoint | None = None
    core_off: bool = False
    beside: str = ""
    joined: bool = True
    long_lead: str = ""
    wrong: tuple[Point, ...] = ()
    """Where a ring stands round what is wrong."""


# ---- the scene


def scene(of: HookUp) -> Detail:
    """The test as wide as a sheet."""
    shown = Instrument(of.shows, of.function, tuple(each.socket for each in of.leads))
    tips = {each.socket: _tip(of, each.to) for each in of.leads}
    groups = [
        group("sign", parts.padlock(8, 16), title="Locked off"),
        group("case", parts.open_case(of.board), title="Board, cover off"),
        group("cores", parts.cores(of.board, of.cores)),
        group("devices", parts.open_devices(of.board, of.off, of.out)),
        *_beside(of),
    ]
    if of.link:
        path = link_way(of.board, *of.link)
        groups.append(group("link", parts.link(path), title="Link, put in for the test"))
    for place, each in enumerate(of.leads):
        path = _lead_path(of, shown.at(each.socket), each.to, place)
        if each.socket == of.long_lead:
            (x, y), *rest = path
            path = (x, y), *parts.coil(x, y - 15), *rest
        groups.append(
            group(
                f"lead.{place}",
                (parts.lead(path[:-1] + (_before(path),), each.kind),),
                parts.probe(path[-1], path[-2]),
                title=f"Lead {each.socket}",
            )
        )
    groups.append(group("instrument", parts.instrument(shown), title="Instrument"))
    groups.append(group("names", _names(of), parts.instrument_words(shown)))
    groups.append(group("wrong", tuple(ring(*each, 11) for each in of.wrong)))
    foot = parts.CABLE_AT + 8 + (16 if of.length else 0)
    drawn = tuple(each for each in groups if each.items)
    return Detail(400, foot + 8, drawn, {f"tip.{name}": tip for name, tip in tips.items()})


def _before(path: Sequence[Point]) -> Point:
    """Where the handle begins: the lead ends there."""
    (x, y), (fx, fy) = path[-1], path[-2]
    long = abs(fx - x) + abs(fy - y) or 1.0
    return x + (fx - x) * 12 / long, y + (fy - y) * 12 / long


def _beside(of: HookUp) -> list[Group]:
    if of.point is not None:
        goal = of.point.entry[0], of.point.entry[1]
        way = parts.cable_way(of.board, of.opening, goal)
        return [
            group("cable", (parts.cable(way),), title="Cable of the circuit"),
            group("point", parts.open_point(of.point, of.core_off), title="Point, cover off"),
        ]
    way = parts.cable_way(of.board, of.opening, EARTH_JOINT)
    colour = of.board.cores["feed.PE"][1]
    if of.joined:
        drawn: Drawables = (parts.protective(way, colour),)
    else:  # it has come off its screw and hangs beside it
        x, y = EARTH_JOINT
        end = (x, y + 56), (x - 9, y + 42)
        drawn = (
            parts.protective((*way[:-1], *end), colour),
            parts.bare_end((end[-1], (x - 13, y + 34))),
        )
    return [group("main-conductor", drawn), group("main-earth", parts.earth_terminal())]


def _names(of: HookUp) -> Drawables:
    middle = parts.RIGHT_SIDE + parts.RIGHT_SIDE_WIDE / 2
    found = [(text, _leader(of, name)) for text, name in of.names]
    found.append((of.beside, ((middle, parts.TOP if of.point else parts.TOP + 40),)))
    drawn: tuple[Drawables, ...] = (
        words(32, 18, DEAD_SIGN),
        parts.named_above(found, parts.TOP - 22),
        parts.letters(of.point) if of.point else (),
    )
    if of.length:
        x = (parts.BOARD_LEFT + parts.RIGHT_SIDE) / 2 + 60
        drawn += ((Lettering(x, parts.CABLE_AT + 20, of.length, TEXT_SIZE, "middle"),),)
    return tuple(item for some in drawn for item in some)


def _leader(of: HookUp, name: str) -> tuple[Point, ...]:
    """The way to what a name points to: the nose of a device, the bar of a screw, or the link."""
    if name == "link" and of.link:
        path = link_way(of.board, *of.link)
        (x0, y0), (x1, y1) = max(zip(path, path[1:]), key=lambda pair: abs(pair[0][0] - pair[1][0]))
        return ((x0 + (x1 - x0) * 0.5, (y0 + y1) / 2),)
    if name in of.board.spots:
        return parts.bar_leader(of.board, name)
    x0, y0, x1, _ = of.board.device(name).nose
    return (((x0 + x1) / 2 + 4, y0 + 4),)


def _tip(of: HookUp, to: TouchedPlace) -> Point:
    kind, name = to
    if kind == BOARD:
        return of.board.spots[name]
    if kind == TERMINAL:
        return parts.RIGHT_SIDE + 60, parts.TOP + 50
    assert of.point is not None
    return of.point.at(name) if kind == POINT else parts.core_end(of.point, name)


def _rows(board: SeenBoard) -> tuple[float, float]:
    """Top and bottom of the row of devices."""
    return min(each.body[1] for each in board.devices), max(each.body[3] for each in board.devices)


def _lead_path(of: HookUp, start: Point, to: TouchedPlace, place: int) -> tuple[Point, ...]:
    """The way of a lead, its last stretch the handle's."""
    x, y = tip = _tip(of, to)
    if to[0] == CORE_END:
        level = start[1] - 10 - 7 * place
        channel = parts.RIGHT_SIDE - 3 + 3 * place
        return start, (start[0], level), (channel, level), (channel, y), tip
    if to[0] in (POINT, TERMINAL):
        level = y - 22 - 7 * place
        return start, (start[0], level), (x, level), tip
    top, bottom = _rows(of.board)
    channel = parts.INSTRUMENT_LEFT - 6
    if y < top:
        return start, (start[0], y + 22), (x, y + 22), tip
    if y < (top + bottom) / 2:
        level = max(of.board.case[1] + 5, y - 24)
        return start, (start[0], level), (x, level), tip
    # Between the row and the case, from whichever side keeps it off the devices.
    low = of.board.case[3] - 5
    level = next((each for each in (y - 22, y + 22) if bottom + 8 < each < low), y + 24)
    over = start[1] - 9 - 7 * place
    return start, (start[0], over), (channel, over), (channel, level), (x, level), tip


def link_way(board: SeenBoard, one: str, other: str) -> tuple[Point, ...]:
    """From a terminal to a bar, beside the devices where they lie between."""
    (x0, y0), (x1, y1) = board.spots[one], board.spots[other]
    top, bottom = _rows(board)
    above = y0 < (top + bottom) / 2
    if above == (y1 < (top + bottom) / 2):
        level = (y0 + y1) / 2
        return (x0, y0), (x0, level), (x1, level), (x1, y1)
    beside = board.case[0] + 8
    out = y0 - 12 if above else y0 + 12
    near = y1 - 12 if above else y1 + 12
    return (x0, y0), (x0, out), (beside, out), (beside, near), (x1, near), (x1, y1)
