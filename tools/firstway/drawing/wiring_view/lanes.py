"""Wiring view: conductors that lie behind each other in the plan, parted side by side on the paper.

The plan stays what it is: only on the flat paper a straight stretch is moved aside, by no more than
`MOST_ASIDE`, where another conductor or a tooth of the line bar would hide it; its screws stay.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import dist, hypot

from firstway.drawing.rect import Rect
from firstway.drawing.sheet import Point
from firstway.frozen import dataclass

LaneSpot = tuple[float, float, float]
"""A place on the paper (units), and its depth in the board (mm)."""

MOST_ASIDE = 22.0  # units
_CORNER = 0.35  # sine of the angle from which on two stretches meet at a corner
_ASIDE = (7.0, 9.0, 11.0, 14.0, 16.0, 19.0, MOST_ASIDE)
_PRICE = 0.9  # of a unit aside, in units of a hidden stretch
_UNTOLD = 7.0  # a shorter hidden stretch is left as it is
_SHORT = 20.0  # a short one on another reads as a joint: it counts as much as this
_OFF = 10.0  # units: nearer than this the bottom of a turn, and its mark, lies on another
_MARK = 6.0  # how much wider than its conductor the mark of a turn is
_HALO = 4.1  # from edge to edge of two conductors, so that neither cuts the other
_HIDES = 5.0  # nearer than this one hides the other, else it only cuts its edge
_STEP, _SLOPE = 4.0, 9.0  # a stretch leaves its screw straight, then goes aside
_LEAST = 4.0  # units that stay of a stretch whose neighbour goes aside
_PULL = 4.5  # how much farther a turn is drawn back at each trial
_LETTER = 10.0  # how wide one is
_ALIKE = 0.1  # sine of the angle between lines that lie along each other
_SHALLOW = 0.4  # sine of the angle under which a crossing hides more than it shows


@dataclass(frozen=True)
class LaneWire:
    """A conductor to be put on the paper: its corners, how wide it is drawn, and its order from the
    back to the eye. `ends` are the places its ends must come to.
    """

    id: str
    spots: tuple[LaneSpot, ...]
    width: float
    depth: float
    ends: tuple[Point, Point]


@dataclass(frozen=True)
class _Piece:
    start: Point
    end: Point
    width: float


def side_by_side(
    wires: Iterable[LaneWire],
    teeth: Iterable[tuple[Point, Point]],
    tooth_width: float,
    letters: Iterable[tuple[Point, Point]],
    devices: Sequence[Rect],
    backs: float,
) -> dict[str, tuple[LaneSpot, ...]]:
    """The corners of each wire on the paper. What is nearest to the eye stays where it is; what
    would lie behind it goes aside, and so does what would run over the `letters` of a screw.
    Behind `devices` (depth under `backs`, mm) nothing is to be seen, and nothing goes aside.
    """
    placed = [_Piece(*tooth, tooth_width) for tooth in teeth if dist(*tooth) > 1]
    marks = [_Piece(*each, _LETTER) for each in letters]
    found = {}
    for wire in sorted(wires, key=lambda one: (-one.depth, one.id)):
        found[wire.id] = tuple(_aside(wire, placed, marks, devices, backs))
    return found


def _aside(
    wire: LaneWire,
    placed: list[_Piece],
    marks: Sequence[_Piece],
    devices: Sequence[Rect],
    backs: float,
) -> Iterator[LaneSpot]:
    """One wire; its pieces are added to what is `placed`."""
    nodes: list[list[LaneSpot]] = []
    for spot in wire.spots:
        if nodes and dist(nodes[-1][0][:2], spot[:2]) < 0.6:
            nodes[-1].append(spot)
        else:
            nodes.append([spot])
    corners = [node[0][:2] for node in nodes]
    last = len(corners) - 1
    if not last:
        yield from wire.spots
        return
    shifts = []
    for place, (a, b) in enumerate(zip(corners, corners[1:])):
        hidden = devices if max(nodes[place][-1][2], nodes[place + 1][0][2]) < backs else ()
        moved = [
            _across(a, b, end) if at else 0.0
            for at, end in ((place == 0, wire.ends[0]), (place == last - 1, wire.ends[1]))
        ]
        wanted = moved[0] or moved[1]
        fixed = (place in (0, last - 1)) and dist(a, b) < 3 * (_STEP + _SLOPE)
        shift = wanted
        if not fixed:
            barred = list(_barred(a, b, wire.width, marks))
            shift = _shift(
                a,
                b,
                wire.width,
                placed,
                hidden,
                wanted,
                _limits(corners, place),
                barred,
                _bends(corners, place),
            )
        shifts.append(shift)
        placed.append(_Piece(_moved(a, b, a, shift), _moved(a, b, b, shift), wire.width))
    for place, node in enumerate(nodes):
        depths = [spot[2] for spot in node]
        if place in (0, last):
            yield from _end(place, corners, shifts, wire.ends[1 if place else 0], depths)
            continue
        a, here, b = corners[place - 1 : place + 2]
        met = _meeting(a, here, b, shifts[place - 1], shifts[place])
        if len(met) > 1:  # the bottom of a turn to the back: the next ones keep off it
            met = _off_others(met, a, here, placed)
            placed.append(_Piece(met[0], met[1], wire.width + _MARK))
        elif len(depths) > 1:
            placed.append(_Piece((met[0][0], met[0][1] - _MARK), (met[0][0], met[0][1] + _MARK), 8))
        for at in met[:1]:
            yield from ((*at, depth) for depth in depths)
        for at in met[1:]:
            yield (*at, depths[-1])


def _limits(corners: Sequence[Point], place: int) -> tuple[float, float]:
    """How far a stretch may go aside until one it meets at a corner would be turned round."""
    a, b = corners[place : place + 2]
    low, high = -MOST_ASIDE, MOST_ASIDE
    for far in (corners[max(place - 1, 0)], corners[min(place + 2, len(corners) - 1)]):
        beside = _across(a, b, far)
        room = max(abs(beside) - _LEAST, 0.0)
        if beside > 0:
            high = min(high, room)
        elif beside < 0:
            low = max(low, -room)
    return low, high


def _bends(corners: Sequence[Point], place: int) -> bool:
    """Whether a stretch that goes aside still meets its neighbours at one corner each."""
    a, b = corners[place : place + 2]
    return all(
        far == near or abs(_across(a, b, far)) > _CORNER * dist(far, near)
        for far, near in (
            (corners[max(place - 1, 0)], a),
            (corners[min(place + 2, len(corners) - 1)], b),
        )
    )


def _barred(
    a: Point, b: Point, width: float, marks: Sequence[_Piece]
) -> Iterator[tuple[float, float]]:
    """From where to where beside a stretch it would run over letters."""
    for mark in marks:
        lying = _lying(a, b, mark)
        if lying:
            reach = (width + mark.width) / 2 + _HALO
            yield lying[2] - reach, lying[2] + reach


def _end(
    place: int, corners: Sequence[Point], shifts: Sequence[float], end: Point, depths: list[float]
) -> Iterator[LaneSpot]:
    """A screw or an opening, and the way from it to the lane beside it."""
    a, b = (corners[0], corners[1]) if place == 0 else (corners[-2], corners[-1])
    own = a if place == 0 else b
    shift = shifts[0 if place == 0 else -1]
    away = shift - _across(a, b, end)
    spots: list[LaneSpot] = [(*end, depth) for depth in depths]
    if abs(away) > 0.6:
        long = dist(a, b)
        ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
        if place:
            ux, uy = -ux, -uy
        depth = depths[-1] if place == 0 else depths[0]
        lane = _moved(a, b, own, shift)
        step = (end[0] + ux * _STEP, end[1] + uy * _STEP, depth)
        lane_at = (lane[0] + ux * (_STEP + _SLOPE), lane[1] + uy * (_STEP + _SLOPE), depth)
        spots = [*spots, step, lane_at] if place == 0 else [lane_at, step, *spots]
    yield from spots


def _across(a: Point, b: Point, at: Point) -> float:
    """How far a place lies beside the line through a and b; 0 where it is hardly aside."""
    long = dist(a, b)
    off = ((b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0])) / long
    return off if abs(off) > 0.3 else 0.0


def _moved(a: Point, b: Point, at: Point, shift: float) -> Point:
    long = dist(a, b)
    return at[0] - (b[1] - a[1]) / long * shift, at[1] + (b[0] - a[0]) / long * shift


def _meeting(a: Point, here: Point, b: Point, before: float, after: float) -> tuple[Point, ...]:
    """Where two stretches meet that went aside: one corner, or two where they run on in line."""
    one, other = _moved(a, here, here, before), _moved(here, b, here, after)
    if dist(one, other) < 0.3:
        return (one,)
    ux, uy = here[0] - a[0], here[1] - a[1]
    vx, vy = b[0] - here[0], b[1] - here[1]
    turn = ux * vy - uy * vx
    if abs(turn) > _CORNER * hypot(ux, uy) * hypot(vx, vy):
        share = ((other[0] - one[0]) * vy - (other[1] - one[1]) * vx) / turn
        corner = one[0] + ux * share, one[1] + uy * share
        if dist(corner, here) < 3 * MOST_ASIDE and share > -1:
            return (corner,)
    step = 1.5 * dist(one, other)
    long = hypot(ux, uy)
    if ux * vx + uy * vy > 0 and long > 3 * step:  # on in line: aside at a slope
        one = one[0] - ux / long * step, one[1] - uy / long * step
    return one, other


def _off_others(
    turn: tuple[Point, ...], a: Point, here: Point, placed: Sequence[_Piece]
) -> tuple[Point, ...]:
    """A turn drawn back a little along its wire where its bottom would lie on another."""
    long = dist(a, here)
    ux, uy = (here[0] - a[0]) / long, (here[1] - a[1]) / long
    for pull in (place * _PULL for place in range(int(long / 2 / _PULL) + 1)):
        one, other = ((x - ux * pull, y - uy * pull) for x, y in turn)
        lying = (_lying(one, other, piece) for piece in placed)
        if not any(each and abs(each[2]) < _OFF for each in lying):
            return one, other
    return turn


def _shift(
    a: Point,
    b: Point,
    width: float,
    placed: Sequence[_Piece],
    hidden: Sequence[Rect],
    wanted: float,
    limits: tuple[float, float],
    barred: Sequence[tuple[float, float]],
    bends: bool,
) -> float:
    """How far aside a stretch is least hidden, within limits and not where it is barred; its own
    place where that will do. For a crossing at a small angle it goes aside only where it `bends` at
    its corners.
    """
    reach = MOST_ASIDE + width + 10
    left, right = min(a[0], b[0]) - reach, max(a[0], b[0]) + reach
    top, bottom = min(a[1], b[1]) - reach, max(a[1], b[1]) + reach
    near = [
        piece
        for piece in placed
        if max(piece.start[0], piece.end[0]) > left
        and min(piece.start[0], piece.end[0]) < right
        and max(piece.start[1], piece.end[1]) > top
        and min(piece.start[1], piece.end[1]) < bottom
    ]
    along = [each for piece in near if (each := _lying(a, b, piece)) is not None]
    slant = [found for piece in near if (found := _slanting(a, b, piece)) is not None]
    shades = list(_shades(a, b, hidden))
    slant = slant if bends else []
    best = wanted, _price(wanted, along, width, shades) + _crossed(wanted, slant, width)
    if best[1] < _UNTOLD:
        return wanted
    for size in _ASIDE:
        for aside in (wanted + size, wanted - size):
            if not limits[0] <= aside <= limits[1]:
                continue
            if any(low < aside < high for low, high in barred):
                continue
            price = _price(aside, along, width, shades) + _PRICE * size
            price += _crossed(aside, slant, width)
            if price < best[1]:
                best = aside, price
    return best[0]


_Along = tuple[float, float, float, float]  # from, to, beside, width
_Slant = tuple[float, float, float, float, float]  # from, to, beside at either, width


def _lying(a: Point, b: Point, piece: _Piece) -> _Along | None:
    """Where along a stretch a piece runs beside it; None where it crosses it or lies farther on."""
    long = dist(a, b)
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    px, py = piece.end[0] - piece.start[0], piece.end[1] - piece.start[1]
    size = hypot(px, py)
    if size < 1 or abs(ux * py - uy * px) > _ALIKE * size:
        return None
    low = (piece.start[0] - a[0]) * ux + (piece.start[1] - a[1]) * uy
    high = (piece.end[0] - a[0]) * ux + (piece.end[1] - a[1]) * uy
    middle = (piece.start[0] + piece.end[0]) / 2, (piece.start[1] + piece.end[1]) / 2
    beside = ux * (middle[1] - a[1]) - uy * (middle[0] - a[0])
    low, high = max(min(low, high), 0.0), min(max(low, high), long)
    return (low, high, beside, piece.width) if high - low > 1 else None


def _slanting(a: Point, b: Point, piece: _Piece) -> _Slant | None:
    """Where along a stretch a piece passes it at a small angle, and how far beside its ends lie."""
    long = dist(a, b)
    ux, uy = (b[0] - a[0]) / long, (b[1] - a[1]) / long
    px, py = piece.end[0] - piece.start[0], piece.end[1] - piece.start[1]
    size = hypot(px, py)
    if size < 1 or not _ALIKE * size < abs(ux * py - uy * px) < _SHALLOW * size:
        return None
    spots = []
    for x, y in (piece.start, piece.end):
        spots.append(((x - a[0]) * ux + (y - a[1]) * uy, ux * (y - a[1]) - uy * (x - a[0])))
    (low, first), (high, last) = sorted(spots)
    rise = (last - first) / (high - low)
    start, stop = max(low, 0.0), min(high, long)
    if stop - start <= 1:
        return None
    return start, stop, first + rise * (start - low), first + rise * (stop - low), piece.width


def _crossed(aside: float, slant: Sequence[_Slant], width: float) -> float:
    """Units of a stretch at this distance aside that pieces at a small angle cut out of it."""
    total = 0.0
    for low, high, first, last, other in slant:
        reach = (width + other) / 2 + _HALO - 0.5
        rise = (last - first) / (high - low)
        ends = sorted(low + (aside + edge - first) / rise for edge in (-reach, reach))
        length = min(high, ends[1]) - max(low, ends[0])
        total += max(length, _SHORT) if length > 0 else 0.0
    return total


def _shades(a: Point, b: Point, devices: Sequence[Rect]) -> Iterator[tuple[float, float]]:
    """The parts of a level or upright stretch that devices hide."""
    for box in devices:
        for axis, low, high, first, last in (
            (0, box.x, box.x + box.width, box.y, box.y + box.height),
            (1, box.y, box.y + box.height, box.x, box.x + box.width),
        ):
            if abs(a[1 - axis] - b[1 - axis]) < 1 and first < a[1 - axis] < last:
                ends = sorted((abs(low - a[axis]), abs(high - a[axis])))
                if min(a[axis], b[axis]) < low and max(a[axis], b[axis]) > high:
                    yield ends[0], ends[1]


def _price(
    aside: float, along: Sequence[_Along], width: float, shades: Sequence[tuple[float, float]]
) -> float:
    """Units of a stretch that are hidden at this distance aside; a cut edge counts a part."""
    total = 0.0
    for low, high, beside, other in along:
        away = abs(aside - beside)
        if away >= (width + other) / 2 + _HALO - 0.5:
            continue
        length = high - low
        for first, last in shades:
            length -= max(0.0, min(high, last) - max(low, first))
        share = 1.0 if away < _HIDES else 0.4
        total += share * (max(length, _SHORT) if length > 4 else max(length, 0.0))
    return total
