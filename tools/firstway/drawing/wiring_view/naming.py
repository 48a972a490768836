"""Wiring view: the words of conductors and parts, and the free room they stand in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import dist

from firstway.choosing.completing import Completed
from firstway.drawing.part_words import (
    amount,
    bar_called,
    bar_words,
    far_words,
    label_words,
    through_words,
)
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import SMALLEST, Point
from firstway.drawing.text_width import reserved_width, wrapped
from firstway.drawing.wiring_view.flat import FlatBoard, FlatWire
from firstway.drawing.wiring_view.free_room import FreeLabel, FreeRoom, away_from
from firstway.drawing.wiring_view.outside import (
    METER,
    PLACE_WIDTH,
    TERMINAL_WORD,
    AskedOutside,
    OutsidePlace,
    OutsidePlan,
)
from firstway.frozen import dataclass
from firstway.model.installation import LoadLimiter
from firstway.model.nec_words import in_nec_words
from firstway.wiring.graph import MAIN_EARTH, ORIGIN_EARTH

METER_SIDE = (("Meter side", True), ("authorised person only", False))
NUMBERS = 10.0  # a row of numbers outside a wall
_APART = 5.0  # between those and the name of the bar, in units
_SAMPLE, _CLEAR, _MOST = 14.0, 8.0, 7  # units between anchors; to another line; anchors tried


@dataclass(frozen=True)
class FoundNames:
    """Words with their places: beside conductors inside, of bars (middle of the base line and turn)
    and of the lines of the line bar, and the conductors that found none.
    """

    inside: dict[str, FreeLabel]
    bars: dict[str, tuple[float, float, float]]
    tags: tuple[tuple[str, float, float], ...]
    missing: tuple[str, ...]


def place_lines(completed: Completed, name: str) -> list[tuple[str, bool]]:
    """Lines of text on a place around the board."""
    part = completed.case.wiring.drawn.part(name)
    assert part is not None
    installation = completed.installation
    return far_words(installation, part, PLACE_WIDTH - TERMINAL_WORD - 14)


def limiter_lines(completed: Completed) -> list[tuple[str, bool]]:
    """Lines of text on the limiter; none where there is none."""
    limiter = completed.installation.load_limiter
    if not isinstance(limiter, LoadLimiter):
        return []
    return [("Load limiter", True), (f"holds {amount(limiter.limit_a, 'A')}", False)]


def through_lines(completed: Completed) -> list[tuple[str, ...]]:
    """The words of each device the feed runs through, that nearest the origin first."""
    nec = completed.installation.rules == "nec"
    found = through_words(completed.installation)
    found = [in_nec_words(words) for words in found] if nec else found
    found = [words.replace("circuit-breaker", "circuit- breaker") for words in found]  # the box
    return [wrapped(words, SMALLEST, 78) for words in found]


def asked_outside(completed: Completed) -> AskedOutside:
    """What has to find a place outside the enclosure."""
    wiring = completed.case.wiring.drawn
    rules = completed.installation.rules
    limiter = wiring.limiter
    earthed = any({ORIGIN_EARTH, MAIN_EARTH} == {c.start, c.end} for c in wiring.conductors)
    return AskedOutside(
        (
            *(
                OutsidePlace(
                    part.name,
                    len(place_lines(completed, part.name)),
                    tuple(terminal.id for terminal in wiring.terminals_of(part.name)),
                )
                for part in wiring.parts
                if part.place == "around"
            ),
            *([OutsidePlace(METER, len(METER_SIDE), (ORIGIN_EARTH,))] if earthed else []),
        ),
        {
            each.id: reserved_width(" ".join(label_words(each, rules)), SMALLEST)
            for each in wiring.conductors
        },
        len(through_lines(completed)),
        len(limiter_lines(completed)),
        tuple(sensor.line for sensor in limiter.sensors) if limiter else (),
        tuple(limiter.holds) if limiter else (),
        len(METER_SIDE),
    )


def names_of(
    completed: Completed, board: FlatBoard, outside: OutsidePlan, sheet: Rect
) -> FoundNames:
    """A free place for the words of every conductor whose words do not stand in a row outside."""
    wiring, rules = completed.case.wiring.drawn, completed.installation.rules
    room = FreeRoom(sheet.width, sheet.height)
    _take(completed, room, board, outside)
    lines = {name: list(zip(wire.points, wire.points[1:])) for name, wire in board.wires.items()}
    inside: dict[str, FreeLabel] = {}
    missing = []
    bars = {}
    for name, (box, side) in board.bars.items():
        words = words_of_bar(completed, name)
        at = _bar_place(words, box, side, board.enclosure, room)
        if at is not None:
            bars[name] = at
        elif label := room.beside(
            [(box.x + box.width / 2, box.y + 3), (box.x + 3, box.y + box.height / 2)],
            [_plate((words,))],
        ):
            inside[f"bar.{name}"] = label
    tags: list[tuple[str, float, float]] = []
    for line, rail in board.rails.items():
        tag = _rail_tag(rail, room)
        if tag is not None:
            tags.append((line, *tag))
        elif label := room.beside(_free_of(list(lines.values()), _along(rail)), [_plate((line,))]):
            inside[f"rail.{line}"] = label
    if board.rails:
        words = bar_words(completed.installation)
        anchors = _free_of(list(lines.values()), _along(list(board.rails.values())[-1]))
        label = room.beside(anchors, [_plate((words,))])
        if label:
            inside["line-bar"] = label
    waiting = [
        each
        for each in wiring.conductors
        if each.id in board.wires and each.id not in outside.labels
    ]
    for each in sorted(waiting, key=lambda one: _length(board.wires[one.id].points)):
        others = [piece for name, own in lines.items() if name != each.id for piece in own]
        anchors = list(_anchors(board, board.wires[each.id], others))
        words = " ".join(label_words(each, rules))
        shapes = [_plate((words,))]
        broken = wrapped(words, SMALLEST, shapes[0][1] * 0.6)
        if len(broken) == 2:
            shapes.append(_plate(broken))
        label = room.beside(anchors, shapes)
        if label is None:
            missing.append(each.id)
        else:
            inside[each.id] = label
    return FoundNames(inside, bars, tuple(tags), tuple(missing))


def _plate(lines: tuple[str, ...]) -> tuple[tuple[str, ...], float, float]:
    return lines, max(reserved_width(line, SMALLEST) for line in lines), 13.0 * len(lines) + 3


def _length(points: Sequence[Point]) -> float:
    return max((dist(a, b) for a, b in zip(points, points[1:])), default=0.0)


def _anchors(
    board: FlatBoard, wire: FlatWire, others: Sequence[tuple[Point, Point]]
) -> Iterator[Point]:
    """Places on a conductor that can be seen and lie on no other, spread along it."""
    found = []
    bodies = [*board.devices.values(), *(box for box, _ in board.bars.values())]
    for (ax, ay), (bx, by) in zip(wire.points, wire.points[1:]):
        length = dist((ax, ay), (bx, by))
        for step in range(1, int(length / _SAMPLE) + 1):
            share = step * _SAMPLE / (length + _SAMPLE)
            at = ax + (bx - ax) * share, ay + (by - ay) * share
            if any(
                box.x - 6 < at[0] < box.x + box.width + 6
                and box.y - 6 < at[1] < box.y + box.height + 6
                for box in bodies
            ):
                continue
            found.append(at)
    clear = [at for at in found if away_from(at, others, _CLEAR)]
    chosen = clear or found or [wire.points[len(wire.points) // 2]]
    spread = max(len(chosen) / _MOST, 1.0)
    for place in range(min(len(chosen), _MOST)):
        yield chosen[int(place * spread)]


def _take(completed: Completed, room: FreeRoom, board: FlatBoard, outside: OutsidePlan) -> None:
    """Everything that words must keep clear of."""
    for box in (
        *board.devices.values(),
        *(body for body, _ in board.bars.values()),
        *outside.places.values(),
        *outside.through,
        *(each for each in (outside.limiter, outside.meter) if each),
    ):
        room.take((box.x - 4, box.y - 4, box.x + box.width + 4, box.y + box.height + 4))
    inner = board.enclosure
    for box, side in board.bars.values():  # with its numbers, up to the wall or beyond it
        room.take(
            (
                max(box.x - 22, inner.x),
                max(box.y - 20, inner.y),
                min(box.x + box.width + 22, inner.x + inner.width),
                min(box.y + box.height + 20, inner.y + inner.height),
            ),
            False,
        )
        if number_room(box, side, inner) < 1:
            room.take(_beyond_wall(box, side, inner), False)
    for point in board.terminals.values():
        room.take((point[0] - 8, point[1] - 8, point[0] + 8, point[1] + 8))
    for name, at in outside.labels.items():
        wide = asked_width(completed, name)
        room.take((at[0] - 2, at[1] - 11, at[0] + wide + 2, at[1] + 4))
    outer = board.enclosure
    edges = ((outer.x, outer.y), (outer.x + outer.width, outer.y + outer.height))
    (left, top), (right, bottom) = edges
    for wall in (
        ((left, top), (right, top)),
        ((right, top), (right, bottom)),
        ((left, bottom), (right, bottom)),
        ((left, top), (left, bottom)),
    ):
        room.take_line(wall, 3.0)
    for wire in board.wires.values():
        room.take_line(wire.points, 6.0)
    for way in (*outside.ways.values(), outside.tails, *outside.pairs):
        if way:
            room.take_line(way, 6.0)
    for comb in board.combs.values():
        room.take_line(comb, 7.0)
    if board.line_bar:
        box = board.line_bar
        room.take((box.x - 4, box.y - 2, box.x + box.width + 4, box.y + box.height + 2), False)
    for each in completed.case.layout.parts.openings:
        if each.side == "back":
            x, y = board.scale.at(each.at[:2])
            reach = each.hole_mm * board.scale.units / 2 + 3
            room.take((x - reach, y - reach, x + reach, y + reach), False)
    for box in outside.cables.values():
        room.take((box.x - 8, box.y, box.x + box.width + 8, box.y + box.height), False)


def _beyond_wall(box: Rect, side: str, outer: Rect) -> tuple[float, float, float, float]:
    """Where the numbers of a bar stand outside its wall."""
    right, bottom = box.x + box.width, box.y + box.height
    return {
        "top": (box.x, outer.y - NUMBERS - 1, right, outer.y),
        "bottom": (box.x, outer.y + outer.height, right, outer.y + outer.height + NUMBERS + 1),
        "left": (outer.x - NUMBERS - 1, box.y, outer.x, bottom),
        "right": (outer.x + outer.width, box.y, outer.x + outer.width + NUMBERS + 1, bottom),
    }[side]


def asked_width(completed: Completed, conductor: str) -> float:
    """How wide the words of a conductor are."""
    each = next(one for one in completed.case.wiring.drawn.conductors if one.id == conductor)
    return reserved_width(" ".join(label_words(each, completed.installation.rules)), SMALLEST)


def words_of_bar(completed: Completed, name: str) -> str:
    """What stands beside a bar."""
    words = bar_called(completed.case.wiring.drawn, name)
    if completed.installation.rules != "nec":
        return words
    return in_nec_words(words).replace("grounding bar", "ground bar")


def number_room(box: Rect, side: str, outer: Rect) -> float:
    """What is spare on both sides of a bar's numbers between it and its wall, in units; under 1
    they stand outside the wall.
    """
    gap = {
        "top": box.y - outer.y,
        "bottom": outer.y + outer.height - box.y - box.height,
        "left": box.x - outer.x,
        "right": outer.x + outer.width - box.x - box.width,
    }[side]
    return (gap - SMALLEST * 0.96) / 2


def _bar_place(
    words: str, box: Rect, side: str, outer: Rect, room: FreeRoom
) -> tuple[float, float, float] | None:
    """Where the name of a bar stands, outside the wall it is at, as near its middle as may be."""
    half = reserved_width(words, SMALLEST, True) / 2
    level = side in ("top", "bottom")
    beyond = 0.0 if number_room(box, side, outer) >= 1 else NUMBERS + _APART
    wall = {
        "left": outer.x - 18 - beyond,
        "right": outer.x + outer.width + 8 + beyond,
        "top": outer.y - 18 - beyond,
        "bottom": outer.y + outer.height + 8 + beyond,
    }[side]
    middle = box.x + box.width / 2 if level else box.y + box.height / 2
    for step in range(12):
        at = middle + (step + 1) // 2 * 14 * (1 if step % 2 else -1)
        bounds = (
            (at - half - 3, wall, at + half + 3, wall + 10)
            if level
            else (wall, at - half - 3, wall + 10, at + half + 3)
        )
        if room.free(bounds):
            room.take(bounds)
            if level:
                return at, wall + 9, 0
            return (wall + 9, at, -90) if side == "left" else (wall + 1, at, 90)
    return None


def _along(rail: tuple[Point, Point]) -> list[Point]:
    (ax, ay), (bx, by) = rail
    shares = (0.02, 0.15, 0.35, 0.5, 0.65, 0.85, 0.98)
    return [(ax + (bx - ax) * share, ay + (by - ay) * share) for share in shares]


def _free_of(
    lines: Sequence[Sequence[tuple[Point, Point]]], anchors: Sequence[Point]
) -> Sequence[Point]:
    """Those places no conductor lies over; all, where there is none."""
    pieces = [piece for own in lines for piece in own]
    return [at for at in anchors if away_from(at, pieces, _CLEAR)] or anchors


def _rail_tag(rail: tuple[Point, Point], room: FreeRoom) -> Point | None:
    """Middle and base line of the letters of a line: beside an end of its rail, else close along
    it; None where neither is free. The place is taken.
    """
    low, high = rail
    level = low[1] == high[1]
    places: list[Point] = []
    for at, sign in ((low, -1), (high, 1)):
        places.append(
            (at[0] + sign * 22, at[1] + 4.3)
            if level
            else (at[0], at[1] + (-12 if sign < 0 else 21))
        )
    for x, y in _along(rail):
        places += [(x, y + 22), (x, y - 14)] if level else [(x + 20, y + 4.3), (x - 20, y + 4.3)]
    found = next((at for at in places if room.free(_tag_bounds(at))), None)
    if found is not None:
        room.take(_tag_bounds(found))
    return found


def _tag_bounds(at: Point) -> tuple[float, float, float, float]:
    return at[0] - 10, at[1] - 10, at[0] + 10, at[1] + 3
