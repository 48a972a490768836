"""Lifelike view: what is painted before what, so that nothing nearer to the eye is hidden by
something behind it.

Two bodies are parted by an axis, which says which of them is in front. A piece of a conductor is
asked point by point: does the way from there to the eye pass the body? Two conductors are compared
where they come nearest on the paper. What follows from that is sorted; where three things stand
round about each other, what lies furthest back goes first.
"""

from __future__ import annotations

from collections.abc import Sequence
from heapq import heapify, heappop, heappush
from math import dist

from firstway.drawing.labels import Bounds
from firstway.drawing.lifelike.eye import Eye
from firstway.drawing.lifelike.lines import Curve, Tube, spot_on
from firstway.drawing.lifelike.shapes import Body, around_points, paper_bounds
from firstway.drawing.sheet import Point
from firstway.frozen import dataclass
from firstway.layout.plan import XYZ, Solid

_CROWDED = 34.0
"""mm before a gland within which cores crowd."""
_TOUCH = 0.8
"""Share of a conductor's radius by which a body grows when it is asked whether it hides it: what
lies against it lies outside."""
PaperSpot = tuple[float, float, float, XYZ]
"""Paper x and y, nearness, and the point itself."""


@dataclass(frozen=True)
class PaintedThing:
    """A body, or one piece of a tube: where it stands on the paper, and how near it is.

    Near a gland, `tail` is its name and how near the tube comes to it: where cores crowd into one
    hole they keep the order in which they come.
    """

    body: Body | None
    tube: int
    place: int
    bounds: Bounds
    nearness: float
    spots: tuple[PaperSpot, ...] = ()
    radius: float = 0.0
    tail: tuple[str, float] | None = None


def thing_of_body(eye: Eye, body: Body) -> PaintedThing:
    """A body to be sorted."""
    box = body.box
    middle = box.middle(0), box.middle(1), box.middle(2)
    return PaintedThing(body, -1, 0, paper_bounds(eye, box), eye.nearness(middle))


def things_of_tube(eye: Eye, number: int, tube: Tube) -> tuple[PaintedThing, ...]:
    """The pieces of a tube to be sorted."""
    first, tail = _tail_of(eye, tube)
    return tuple(
        _thing_of_piece(eye, number, place, curve, tube.radius, tail if place >= first else None)
        for place, curve in enumerate(tube.pieces)
    )


def _tail_of(eye: Eye, tube: Tube) -> tuple[int, tuple[str, float] | None]:
    """From which piece on a tube crowds into its gland, and how near it comes, measured square to
    the way into it.
    """
    if not tube.entry:
        return len(tube.pieces), None
    end = tube.pieces[-1][-1]
    first = len(tube.pieces) - 1
    while first and dist(tube.pieces[first - 1][0], end) < _CROWDED:
        first -= 1
    a, b = tube.pieces[-1][0], end
    axis = max((0, 1), key=lambda each: abs(a[each] - b[each]))
    start = list(tube.pieces[first][0])
    start[axis] = 0.0
    return first, (tube.entry, eye.nearness((start[0], start[1], start[2])))


def _thing_of_piece(
    eye: Eye,
    number: int,
    place: int,
    curve: Curve,
    radius: float,
    tail: tuple[str, float] | None = None,
) -> PaintedThing:
    shares = (0.04, 0.35, 0.65, 0.96) if len(curve) == 2 else (0.03, 0.26, 0.5, 0.74, 0.97)
    spots = []
    for share in shares:
        point = spot_on(curve, share)
        spots.append((*eye.at(point), eye.nearness(point), point))
    reach = radius * eye.scale
    a, b, c, d = around_points([eye.at(each) for each in curve])
    return PaintedThing(
        None,
        number,
        place,
        (a - reach, b - reach, c + reach, d + reach),
        spots[len(spots) // 2][2],
        tuple(spots),
        radius,
        tail,
    )


def in_front(eye: Eye, one: PaintedThing, other: PaintedThing) -> int:
    """1 where `one` is to be painted after `other`, -1 before it, 0 where it is all the same."""
    if one.body is not None and other.body is not None:
        return _by_axes(eye, one.body.box, other.body.box)
    if one.body is not None:
        return -_piece_against(eye, other, one.body)
    if other.body is not None:
        return _piece_against(eye, one, other.body)
    return _at_the_crossing(eye, one, other)


def _by_axes(eye: Eye, a: Solid, b: Solid) -> int:
    """Parted both ways round they cannot meet on the paper."""
    found, widest = 0, -1e-6
    for axis, sign in ((0, eye.side), (1, -1), (2, 1)):
        for gap, verdict in (
            (a.low[axis] - b.high[axis], sign),
            (b.low[axis] - a.high[axis], -sign),
        ):
            if gap < -1e-6:
                continue
            if found and verdict != found and gap > 1e-6 and widest > 1e-6:
                return 0
            if not found or gap > widest:
                found, widest = verdict, gap
    if found:
        return found
    # they share room: the one whose front is nearer to the eye
    near = eye.near
    one = near[0] * a.middle(0) + near[1] * a.middle(1) + near[2] * a.high[2]
    other = near[0] * b.middle(0) + near[1] * b.middle(1) + near[2] * b.high[2]
    return 1 if one > other else -1


def way_through(eye: Eye, point: XYZ, box: Solid, grown: float) -> int:
    """1 where the way from a point to the eye passes a body, -1 where its way on from the eye does,
    0 where neither.
    """
    low, high = -1e9, 1e9
    for axis in (0, 1, 2):
        step = eye.near[axis]
        a = (box.low[axis] - grown - point[axis]) / step
        b = (box.high[axis] + grown - point[axis]) / step
        if a > b:
            a, b = b, a
        if a > low:
            low = a
        if b < high:
            high = b
    if low >= high:
        return 0
    return 1 if low + high > 0 else -1


def _piece_against(eye: Eye, piece: PaintedThing, body: Body) -> int:
    """Votes of the points of a piece; for a point beside the body its rim is asked too."""
    if body.bore is not None:
        axis, plane = body.bore
        middle = piece.spots[len(piece.spots) // 2][3][axis]
        return 1 if (middle - plane) * eye.near[axis] > 0 else -1
    votes, box = 0, body.box
    for spot in piece.spots:
        votes -= way_through(eye, spot[3], box, _TOUCH * piece.radius)
    return (votes > 0) - (votes < 0)


def _at_the_crossing(eye: Eye, one: PaintedThing, other: PaintedThing) -> int:
    if one.tube == other.tube and abs(one.place - other.place) <= 1:
        return 0
    reach = (one.radius + other.radius) * eye.scale
    best, verdict, apart = reach * reach, 0, 0.0
    for a, b in zip(one.spots, one.spots[1:]):
        for c, d in zip(other.spots, other.spots[1:]):
            if (
                max(a[0], b[0]) + reach < min(c[0], d[0])
                or max(c[0], d[0]) + reach < min(a[0], b[0])
                or max(a[1], b[1]) + reach < min(c[1], d[1])
                or max(c[1], d[1]) + reach < min(a[1], b[1])
            ):
                continue
            gap, s, t = nearest_on_paper(a[:2], b[:2], c[:2], d[:2])
            if gap < best:
                best = gap
                deep = a[2] + (b[2] - a[2]) * s - c[2] - (d[2] - c[2]) * t
                verdict, apart = 1 if deep > 0 else -1, abs(deep)
    crowded = verdict and apart < one.radius + other.radius
    if crowded and one.tail and other.tail and one.tail[0] == other.tail[0]:
        return 1 if one.tail[1] > other.tail[1] else -1
    return verdict


def nearest_on_paper(a: Point, b: Point, c: Point, d: Point) -> tuple[float, float, float]:
    """The square of the least distance of two straight pieces on the paper, and the shares of both
    where it is.
    """
    ux, uy, vx, vy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    wx, wy = a[0] - c[0], a[1] - c[1]
    uu, uv, vv = ux * ux + uy * uy, ux * vx + uy * vy, vx * vx + vy * vy
    uw, vw = ux * wx + uy * wy, vx * wx + vy * wy
    whole = uu * vv - uv * uv
    s = min(max((uv * vw - vv * uw) / whole, 0.0), 1.0) if whole > 1e-9 else 0.5
    t = (uv * s + vw) / vv if vv else 0.0
    if not 0 <= t <= 1:
        t = min(max(t, 0.0), 1.0)
        s = min(max((uv * t - uw) / uu, 0.0), 1.0) if uu else 0.0
    x, y = wx + ux * s - vx * t, wy + uy * s - vy * t
    return x * x + y * y, s, t


@dataclass(frozen=True)
class PaintingOrder:
    """Things from the first painted to the last; `forced` counts where a circle was broken."""

    things: tuple[PaintedThing, ...]
    forced: int


def painting_order(eye: Eye, things: Sequence[PaintedThing]) -> PaintingOrder:
    """From behind to the front. Among what may come next bodies go first, and a tube goes on while
    it can, so that most of it is one stroke.
    """
    after, wait = _before_and_after(eye, things)
    ready = [place for place in range(len(things)) if not wait[place]]
    bodies = [(things[place].nearness, place) for place in ready if things[place].body is not None]
    heapify(bodies)
    pieces: dict[int, set[int]] = {}
    for place in ready:
        if things[place].body is None:
            pieces.setdefault(things[place].tube, set()).add(place)
    count: dict[int, int] = {}
    for thing in things:
        count[thing.tube] = count.get(thing.tube, 0) + 1
    done = [False] * len(things)
    found: list[int] = []
    forced, last = 0, -1
    while len(found) < len(things):
        going_on = last >= 0 and things[last].tube in pieces
        if bodies and not going_on:
            place = heappop(bodies)[1]
        elif pieces:
            tube = (
                things[last].tube
                if going_on
                else max(pieces, key=lambda name: (len(pieces[name]) / count[name], -name))
            )
            place = _next_piece(things, pieces[tube], last)
            pieces[tube].discard(place)
            if not pieces[tube]:
                del pieces[tube]
        else:
            forced += 1
            place = min(
                (each for each in range(len(things)) if not done[each]),
                key=lambda each: (things[each].nearness, each),
            )
        last = place
        done[place] = True
        found.append(place)
        if things[place].body is None:
            count[things[place].tube] = max(count[things[place].tube] - 1, 1)
        for follower in after[place]:
            wait[follower] -= 1
            if wait[follower] or done[follower]:
                continue
            if things[follower].body is not None:
                heappush(bodies, (things[follower].nearness, follower))
            else:
                pieces.setdefault(things[follower].tube, set()).add(follower)
    return PaintingOrder(tuple(things[place] for place in _merged(things, found, after)), forced)


def _merged(
    things: Sequence[PaintedThing], order: Sequence[int], after: Sequence[Sequence[int]]
) -> list[int]:
    """Stretches of a tube painted at two times become one where nothing between them minds: each
    joint could show.
    """
    blocks: list[list[int]] = []
    for place in order:
        tube = things[place].tube
        if blocks and tube >= 0 and things[blocks[-1][0]].tube == tube:
            blocks[-1].append(place)
        else:
            blocks.append([place])
    follow = [set(each) for each in after]
    one = 0
    while one < len(blocks):
        tube = things[blocks[one][0]].tube
        other = next(
            (
                each
                for each in range(one + 1, len(blocks))
                if tube >= 0 and things[blocks[each][0]].tube == tube
            ),
            -1,
        )
        if other < 0:
            one += 1
            continue
        between = [place for block in blocks[one + 1 : other] for place in block]
        if not any(follow[place].intersection(between) for place in blocks[one]):
            blocks[other] = blocks[one] + blocks[other]
            del blocks[one]
        elif not any(follow[place].intersection(blocks[other]) for place in between):
            blocks[one] += blocks.pop(other)
        else:
            one += 1
    return [place for block in blocks for place in block]


def _next_piece(things: Sequence[PaintedThing], ready: set[int], last: int) -> int:
    """The piece of a tube beside the one before, else its first."""
    if last >= 0 and things[last].body is None:
        at = things[last].place
        return min(ready, key=lambda place: (abs(things[place].place - at), place))
    return min(ready)


def _before_and_after(
    eye: Eye, things: Sequence[PaintedThing]
) -> tuple[list[list[int]], list[int]]:
    """For each thing what must follow it, and how many must come before it."""
    after: list[list[int]] = [[] for _ in things]
    wait = [0] * len(things)
    active: list[int] = []
    for place in sorted(range(len(things)), key=lambda each: things[each].bounds[0]):
        thing = things[place]
        left, top, _, bottom = thing.bounds
        active = [each for each in active if things[each].bounds[2] > left]
        for each in active:
            bounds = things[each].bounds
            if bounds[1] < bottom and top < bounds[3]:
                verdict = in_front(eye, thing, things[each])
                if verdict:
                    back, front = (each, place) if verdict > 0 else (place, each)
                    after[back].append(front)
                    wait[front] += 1
        active.append(place)
    return after, wait
