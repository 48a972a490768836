"""Wiring view: where the places around the enclosure stand, and how its conductors run on to them.

Outside the enclosure the drawing is a scheme: each place is a named box above or below; a conductor
leaves through its opening, turns once, and comes to its terminal in a row of its own, with its
words above it. Decided here once; strokes only follow.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from firstway.calculations.adding import added
from firstway.drawing.rect import Rect
from firstway.drawing.sheet import Point
from firstway.frozen import dataclass
from firstway.layout.entries import EARTHS, opening_for
from firstway.layout.plan import Layout, Side
from firstway.wiring.graph import ORIGIN_EARTH, Conductor, Wiring

PLACE_WIDTH, TERMINAL_WORD = (
    192.0,
    34.0,
)  # width of a place; of that, for the words at its terminals
TERMINAL_ROW, PLACE_LINE = 24.0, 14.5
_APART, _DECK, _SPREAD = 16.0, 38.0, 12.0  # between places; from the wall to the first; of a fan
_LANE, _NEAR, _ATTACH, _TURN = 12.0, 16.0, 3.8, 11.0
_DEVICE, _BESIDE = 100.0, 20.0  # a device of the feed on its rows; from a wall to the first lane
_FANS = 26.0  # between the fans of two openings
BAR_NAME = 22.0  # the name of a bar outside its wall
_PITCH = 9.0  # of conductors that leave by one opening
_LOOP = 60.0  # of a link between two terminals of one place
METER = "meter-side"


@dataclass(frozen=True)
class OutsidePlace:
    """A place around the board that is to be drawn: the lines of text it needs, by its width."""

    name: str
    lines: int
    terminals: tuple[str, ...]


@dataclass(frozen=True)
class AskedOutside:
    """What has to find a place outside: the boxes, how wide the words of each conductor are, how
    many devices the feed runs through, whether a limiter stands there, which conductors its sensors
    are clipped round, and which places it holds back.
    """

    places: tuple[OutsidePlace, ...]
    words: Mapping[str, float]
    through: int
    limiter_lines: int
    sensed: tuple[str, ...]
    holds: tuple[str, ...]
    meter_lines: int


@dataclass(frozen=True)
class OutsidePlan:
    """Places, terminals and ways outside the enclosure. `facing` is the side of a place at which
    its terminals are. `ways` run from the opening to the terminal, or from end to end for
    conductors that lie wholly outside. `labels` are the left ends of the words' base lines.
    """

    places: dict[str, Rect]
    facing: dict[str, str]
    terminals: dict[str, Point]
    ways: dict[str, tuple[Point, ...]]
    labels: dict[str, Point]
    cables: dict[str, Rect]
    through: tuple[Rect, ...]
    limiter: Rect | None
    meter: Rect | None
    tails: tuple[Point, ...]
    sensors: tuple[tuple[str, Point, Point], ...]
    pairs: tuple[tuple[Point, ...], ...]
    bounds: Rect

    def moved(self, dx: float, dy: float) -> OutsidePlan:
        """The same, elsewhere on the paper."""

        def point(at: Point) -> Point:
            return at[0] + dx, at[1] + dy

        def rect(box: Rect) -> Rect:
            return Rect(box.x + dx, box.y + dy, box.width, box.height)

        return OutsidePlan(
            {name: rect(box) for name, box in self.places.items()},
            self.facing,
            {name: point(at) for name, at in self.terminals.items()},
            {name: tuple(map(point, way)) for name, way in self.ways.items()},
            {name: point(at) for name, at in self.labels.items()},
            {name: rect(box) for name, box in self.cables.items()},
            tuple(map(rect, self.through)),
            rect(self.limiter) if self.limiter else None,
            rect(self.meter) if self.meter else None,
            tuple(map(point, self.tails)),
            tuple((name, point(one), point(other)) for name, one, other in self.sensors),
            tuple(tuple(map(point, pair)) for pair in self.pairs),
            rect(self.bounds),
        )


@dataclass(frozen=True)
class _Exit:
    """Where a conductor leaves the plan, and the lane beyond the wall it turns into."""

    id: str
    at: Point
    lane: float = 0.0
    aside: float = 0.0


@dataclass(frozen=True)
class _Bundle:
    """What leaves by one opening, the places it comes to in their order, and how it runs."""

    name: str
    side: Side
    exits: tuple[_Exit, ...]
    places: tuple[str, ...]
    up: bool
    leftward: bool = True


@dataclass(frozen=True)
class _Row:
    """One row in front of a place: the conductor in it, "" for a terminal nothing is joined to, and
    whether its words stand here.
    """

    conductor: str
    terminal: str
    told: bool
    linked: str = ""


@dataclass(frozen=True)
class _RowEnd:
    """A row's y, where its conductor is held, and how far before that it turns to it."""

    y: float
    at: Point
    turn: float


_Ends = dict[tuple[str, str], _RowEnd]


def outside_of(
    asked: AskedOutside,
    layout: Layout,
    wiring: Wiring,
    enclosure: Rect,
    at: Callable[[Point], Point],
    names: Mapping[bool, float],
) -> OutsidePlan:
    """Places and ways around an enclosure on the paper; `at` projects places of the plan.

    `names` is the room the numbers and names of bars take outside the upper (True) and the lower
    wall.
    """
    wiring = _earthed_at_meter(wiring) if METER in {each.name for each in asked.places} else wiring
    exits = _exits(layout, wiring, at)
    bundles = _bundles(asked, layout, wiring, enclosure, exits, at)
    made = _Deck(asked, wiring, enclosure, names)
    for up in (True, False):
        here = [bundle for bundle in bundles if bundle.up == up]
        for bundle in _turned(asked, wiring, here, enclosure):
            made.stack(bundle)
    return made.outside()


# What leaves by which opening


def _earthed_at_meter(wiring: Wiring) -> Wiring:
    """The supply's earth with the meter side: it comes with the service cable, ahead of the tails
    (BS 7671 542.1.2.1, 542.1.2.2).
    """
    terminals = [
        replace(each, device=METER) if each.id == ORIGIN_EARTH else each
        for each in wiring.terminals
    ]
    return Wiring.of([*wiring.parts], terminals, [*wiring.conductors], wiring.limiter)


def _exits(layout: Layout, wiring: Wiring, at: Callable[[Point], Point]) -> dict[str, list[_Exit]]:
    found: dict[str, list[_Exit]] = {}
    spots = layout.parts.spots
    for each in wiring.conductors:
        laid = layout.by_id.get(each.id)
        if laid is None:
            opening = layout.parts.opening(each.cable)
            if opening is not None and _free_end(wiring, each):
                found.setdefault(each.cable, []).append(_Exit(each.id, at(opening.at[:2])))
        elif (each.start in spots) != (each.end in spots):
            end = laid.points[-1] if each.start in spots else laid.points[0]
            found.setdefault(opening_for(each, layout.parts.openings), []).append(
                _Exit(each.id, at(end[:2]))
            )
    return found


def _free_end(wiring: Wiring, conductor: Conductor) -> str:
    """The end of a conductor that is left free in the board, held by nothing; "" of any other."""
    for end in (conductor.start, conductor.end):
        terminal = wiring.terminal(end)
        part = wiring.part(terminal.device) if terminal else None
        if part is not None and part.place == "board":
            return end
    return ""


def _bundles(
    asked: AskedOutside,
    layout: Layout,
    wiring: Wiring,
    enclosure: Rect,
    exits: Mapping[str, list[_Exit]],
    at: Callable[[Point], Point],
) -> list[_Bundle]:
    """One for each opening; those at a side turn up or down where no opening is in their way."""
    units = at((1.0, 0.0))[0] - at((0.0, 0.0))[0]
    widths = {
        each.name: units * (each.hole_mm if each.side == "back" else each.nut_mm)
        for each in layout.parts.openings
    }
    sides: dict[str, Side] = {each.name: each.side for each in layout.parts.openings}
    served = _served(asked, wiring, exits)
    walls = {side for name, side in sides.items() if side in ("top", "bottom") and name in exits}
    beside = sorted(
        (name for name in exits if sides.get(name) in ("left", "right")),
        key=lambda name: exits[name][0].at[1],
    )
    feed_first = "feed" not in beside or beside.index("feed") <= (len(beside) - 1) / 2
    found = []
    for name, own in exits.items():
        side = sides.get(name, "top")
        if side in ("top", "bottom"):
            up = side == "top"
        elif side == "back":
            up = name in ("feed", EARTHS)
        elif walls:
            up = "bottom" in walls
        elif "feed" in beside and sides["feed"] == side:
            place, feed = beside.index(name), beside.index("feed")
            up = place <= feed if feed_first else place < feed
        else:
            up = name in ("feed", EARTHS)
        room = widths.get(name, 0.0)
        bundle = _Bundle(name, side, _side_by_side(own, side, room), served.get(name, ()), up)
        found.append(_fanned(bundle, enclosure))
    return _kept_apart(found)


def _side_by_side(exits: Sequence[_Exit], side: Side, room: float) -> tuple[_Exit, ...]:
    """The conductors of an opening, those that lie before each other in the plan pushed apart as
    far as its width has room.
    """
    axis = 1 if side in ("left", "right") else 0
    order = sorted(exits, key=lambda each: (each.at[axis], each.id))
    if len(order) < 2:
        return tuple(order)
    step = min(_PITCH, (room - 8.0) / (len(order) - 1))
    places: list[float] = []
    for each in order:
        places.append(max(each.at[axis], places[-1] + step) if places else each.at[axis])
    over = added(place - each.at[axis] for place, each in zip(places, order)) / len(order)
    return tuple(
        replace(each, at=(each.at[0], place - over) if axis else (place - over, each.at[1]))
        for place, each in zip(places, order)
    )


def _kept_apart(bundles: Sequence[_Bundle]) -> list[_Bundle]:
    """Fans of one wall beside each other, and lanes at one side behind each other."""
    found: list[_Bundle] = []
    for up in (True, False):
        level = [each for each in bundles if each.up == up and each.side not in ("left", "right")]
        edge = -1e9
        pushed = []
        for each in sorted(level, key=lambda one: one.exits[0].lane):
            by = max(0.0, edge + _FANS - each.exits[0].lane)
            pushed.append(_shifted(each, by, 0.0))
            edge = each.exits[-1].lane + by
        spare = (pushed[-1].exits[-1].lane - _last_lane(level)) / 2 if pushed else 0.0
        found += [_shifted(each, -spare, 0.0) for each in pushed]
        beside = [each for each in bundles if each.up == up and each.side in ("left", "right")]
        lane, at = 0.0, None
        # the one nearest to where they turn has the lanes nearest to the wall
        for each in sorted(beside, key=lambda one: one.exits[0].aside * (1 if up else -1)):
            sign = -1 if each.side == "left" else 1
            turn = 1 if up else -1
            by = 0.0 if at is None else max(0.0, (at - each.exits[0].aside) * turn + _FANS)
            found.append(_shifted(each, sign * lane, by * turn))
            lane += _LANE * len(each.exits) + 6
            at = found[-1].exits[-1].aside
    order = [each.name for each in bundles]
    return sorted(found, key=lambda each: order.index(each.name))


def _last_lane(bundles: Sequence[_Bundle]) -> float:
    """The last lane of fans beside each other."""
    return max(each.exits[-1].lane for each in bundles)


def _shifted(bundle: _Bundle, lane: float, aside: float) -> _Bundle:
    return replace(
        bundle,
        exits=tuple(
            _Exit(each.id, each.at, each.lane + lane, each.aside + aside) for each in bundle.exits
        ),
    )


def _served(
    asked: AskedOutside, wiring: Wiring, exits: Mapping[str, list[_Exit]]
) -> dict[str, tuple[str, ...]]:
    """Each place with the opening its conductors come from, else that of its neighbour; what is
    joined to nothing stands with the feed.
    """
    by_id = {each.id: each for each in wiring.conductors}
    devices = {each.id: each.device for each in wiring.terminals}
    order: dict[str, list[str]] = {name: [] for name in exits}
    names = {place.name for place in asked.places}
    seen: set[str] = set()
    for name, own in exits.items():
        for leaving in sorted(own, key=lambda each: each.at):
            conductor = by_id[leaving.id]
            for end in (conductor.start, conductor.end):
                if devices[end] in names - seen:
                    seen.add(devices[end])
                    order[name].append(devices[end])
        order[name].sort(key=lambda place: place != "origin")
    grown = True
    while grown:
        grown = False
        for each in wiring.conductors:
            ends = devices[each.start], devices[each.end]
            for one, other in (ends, ends[::-1]):
                if one in seen and other in names - seen:
                    home = next(name for name, own in order.items() if one in own)
                    order[home].insert(order[home].index(one) + 1, other)
                    seen.add(other)
                    grown = True
    first = "feed" if "feed" in order else next(iter(order), "")
    if first:
        order[first] += [place.name for place in asked.places if place.name not in seen]
    for places in order.values():
        places.sort(key=lambda place: place == METER)
    return {name: tuple(own) for name, own in order.items()}


def _fanned(bundle: _Bundle, enclosure: Rect) -> _Bundle:
    """The conductors of an opening spread out beyond the wall, in their order."""
    if bundle.side in ("left", "right"):
        # the one nearest to where it turns has the lane nearest to the wall
        order = sorted(bundle.exits, key=lambda each: each.at[1], reverse=not bundle.up)
        middle = added(each.at[1] for each in order) / len(order)
        sign = -1 if bundle.side == "left" else 1
        wall = enclosure.x if bundle.side == "left" else enclosure.x + enclosure.width
        turn = 1 if bundle.up else -1
        return replace(
            bundle,
            exits=tuple(
                _Exit(
                    each.id,
                    each.at,
                    wall + sign * (_BESIDE + _LANE + _LANE * place),
                    middle + turn * _SPREAD * (place - (len(order) - 1) / 2),
                )
                for place, each in enumerate(order)
            ),
        )
    order = sorted(bundle.exits, key=lambda each: (each.at[0], each.id))
    middle = added(each.at[0] for each in order) / len(order)
    return replace(
        bundle,
        exits=tuple(
            _Exit(each.id, each.at, middle + _SPREAD * (place - (len(order) - 1) / 2))
            for place, each in enumerate(order)
        ),
    )


# Which way each turns


def _turned(
    asked: AskedOutside, wiring: Wiring, bundles: Sequence[_Bundle], enclosure: Rect
) -> list[_Bundle]:
    """Bundles of one direction with the way they turn, those nearest the wall first: nested, so
    that none crosses another.
    """
    lanes = {bundle.side for bundle in bundles} & {"left", "right"}
    order = sorted(bundles, key=lambda bundle: bundle.exits[0].lane)
    if lanes:
        leftward = "right" in lanes
        turned = [replace(bundle, leftward=leftward) for bundle in order]
        return turned if leftward else turned[::-1]

    def height(some: Sequence[_Bundle]) -> float:
        return added(
            _height(asked, place, _rows_of(wiring, bundle, place))
            for bundle in some
            for place in bundle.places
        )

    def cost(left: int) -> float:
        wide = PLACE_WIDTH + max(asked.words.values(), default=0.0) + 60
        out = [wide - (bundle.exits[0].lane - enclosure.x) for bundle in order[:left]]
        out += [
            wide - (enclosure.x + enclosure.width - bundle.exits[-1].lane)
            for bundle in order[left:]
        ]
        return max(height(order[:left]), height(order[left:])) + 8 * max([0.0, *out])

    best = min(range(len(order) + 1), key=lambda left: (cost(left), -left))
    left = [replace(bundle, leftward=True) for bundle in order[:best]]
    right = [replace(bundle, leftward=False) for bundle in order[best:]]
    return [*left, *reversed(right)]


def _rows_of(wiring: Wiring, bundle: _Bundle, place: str) -> list[_Row]:
    """The rows in front of a place, from the enclosure outward: links to places before it, what
    enters, links to places behind it.
    """
    own = {terminal.id for terminal in wiring.terminals_of(place)}
    devices = {each.id: each.device for each in wiring.terminals}
    entering = [each.id for each in bundle.exits]
    if not bundle.leftward:
        entering.reverse()
    by_id = {each.id: each for each in wiring.conductors}
    rows: list[_Row] = []
    for name in entering:
        conductor = by_id[name]
        terminal = conductor.start if conductor.start in own else conductor.end
        if terminal in own:
            rows.append(_Row(name, terminal, True))
    if place == "origin":
        rows.sort(key=lambda row: by_id[row.conductor].function == "PE")
    before: list[_Row] = []
    behind: list[_Row] = []
    known = {row.conductor for row in rows}
    for each in wiring.conductors:
        for end, other in ((each.start, each.end), (each.end, each.start)):
            if end not in own or each.id in known or devices[other] not in bundle.places:
                continue
            if devices[other] == place:
                if each.kind == "bar":  # from terminal to terminal of the place, in no row
                    continue
                if end == each.start:
                    behind.append(_Row(each.id, each.start, True, place))
                    behind.append(_Row(each.id, each.end, False, place))
            elif bundle.places.index(devices[other]) < bundle.places.index(place):
                before.append(_Row(each.id, end, False, devices[other]))
            else:
                behind.append(_Row(each.id, end, True, devices[other]))
    before.reverse()
    rows = [*before, *rows, *behind]
    free = own - {row.terminal for row in rows}
    return rows + [_Row("", name, False) for name in sorted(free)]


def _height(asked: AskedOutside, place: str, rows: Sequence[_Row]) -> float:
    lines = next((each.lines for each in asked.places if each.name == place), 1)
    return max(len(rows) * TERMINAL_ROW, lines * PLACE_LINE + 16) + _APART


# The boxes, one after the other


class _Deck:
    """Puts bundle after bundle on the paper; what is stacked first stands nearest the wall."""

    def __init__(
        self, asked: AskedOutside, wiring: Wiring, enclosure: Rect, names: Mapping[bool, float]
    ) -> None:
        self.names = names
        self.asked, self.wiring, self.enclosure = asked, wiring, enclosure
        self.places: dict[str, Rect] = {}
        self.facing: dict[str, str] = {}
        self.terminals: dict[str, Point] = {}
        self.ways: dict[str, tuple[Point, ...]] = {}
        self.labels: dict[str, Point] = {}
        self.cables: dict[str, Rect] = {}
        self.through: list[Rect] = []
        self.limiter: Rect | None = None
        self.meter: Rect | None = None
        self.tails: tuple[Point, ...] = ()
        self._next: dict[tuple[bool, bool], float] = {}
        self._edge: dict[tuple[bool, bool], float] = {}
        self._feed: tuple[bool, bool] = (True, True)

    def stack(self, bundle: _Bundle) -> None:
        """A bundle's places, and the ways of its conductors to them."""
        key = (bundle.up, bundle.leftward)
        sign = 1 if bundle.leftward else -1  # from the box to its rows
        rows = {place: _rows_of(self.wiring, bundle, place) for place in bundle.places}
        links = sum(bool(row.linked) and row.told for own in rows.values() for row in own)
        told = [self.asked.words.get(row.conductor, 0.0) for own in rows.values() for row in own]
        before = _NEAR + 6 + _TURN * (_crowd(rows) - 1)
        ladder = max(told, default=0.0) + before + 16
        through = self.asked.through if "origin" in bundle.places else 0
        reach = ladder + links * _LANE + through * _DEVICE + 14
        lanes = [each.lane for each in bundle.exits]
        edge = (min(lanes) - reach) if bundle.leftward else (max(lanes) + reach)
        if key in self._edge:
            edge = (min if bundle.leftward else max)(edge, self._edge[key])
        self._edge[key] = edge
        away = self._next.get(key, max(_DECK, _DECK - BAR_NAME + self.names[bundle.up]))
        ends: _Ends = {}
        for place in bundle.places:
            if place == METER and self.asked.limiter_lines:
                self.limiter, away = self._closed(self._limiter_lines(), edge, away, key)
            height = _height(self.asked, place, rows[place]) - _APART
            away = self._box(place, rows[place], edge, away, height, bundle, ends)
        self._next[key] = away
        self._enter(bundle, rows, ends, sign, edge + sign * ladder, before)
        held = {row.terminal for own in rows.values() for row in own}
        for each in self.wiring.conductors:
            if each.kind == "bar" and {each.start, each.end} <= held:
                self.ways.setdefault(each.id, self._strap(each, sign))
        if "origin" in bundle.places:
            self._feed = key
            self._devices(rows["origin"], ends, edge + sign * (ladder + links * _LANE), sign)

    def _limiter_lines(self) -> int:
        return max(self.asked.limiter_lines, len(self.asked.sensed) + 1)

    def _closed(
        self, lines: int, edge: float, away: float, key: tuple[bool, bool]
    ) -> tuple[Rect, float]:
        """A box without terminals, and where the next one begins."""
        up, leftward = key
        height = lines * PLACE_LINE + 16
        top = min(self._y(up, away), self._y(up, away + height))
        x = edge - PLACE_WIDTH if leftward else edge
        return Rect(x, top, PLACE_WIDTH, height), away + height + _APART

    def _y(self, up: bool, away: float) -> float:
        box = self.enclosure
        return box.y - away if up else box.y + box.height + away

    def _strap(self, conductor: Conductor, sign: int) -> tuple[Point, ...]:
        """From terminal to terminal of one place: straight, or round those between them."""
        one, other = self.terminals[conductor.start], self.terminals[conductor.end]
        if abs(other[1] - one[1]) < 1.5 * TERMINAL_ROW:
            return one, other
        lane = one[0] + sign * _TURN
        return one, (lane, one[1]), (lane, other[1]), other

    def _box(
        self,
        place: str,
        rows: Sequence[_Row],
        edge: float,
        away: float,
        height: float,
        bundle: _Bundle,
        ends: _Ends,
    ) -> float:
        top = min(self._y(bundle.up, away), self._y(bundle.up, away + height))
        x = edge - PLACE_WIDTH if bundle.leftward else edge
        self.places[place] = Rect(x, top, PLACE_WIDTH, height)
        self.facing[place] = "right" if bundle.leftward else "left"
        first = away + (height - len(rows) * TERMINAL_ROW) / 2 + TERMINAL_ROW / 2
        ys = [self._y(bundle.up, first + TERMINAL_ROW * number) for number in range(len(rows))]
        held: dict[str, list[tuple[float, str]]] = {}
        for row, y in zip(rows, ys):
            held.setdefault(row.terminal, []).append((y, row.conductor))
        for terminal, own in held.items():
            own.sort()
            middle = own[(len(own) - 1) // 2][0]
            self.terminals[terminal] = (edge, middle)
            for number, (y, conductor) in enumerate(own):
                shift = 2 * _ATTACH * (number - (len(own) - 1) / 2)
                # of two on one side the one farther off turns nearer to the place
                rank = number if y < middle else len(own) - 1 - number
                ends[conductor, terminal] = _RowEnd(y, (edge, middle + shift), _NEAR + _TURN * rank)
        return away + height + _APART

    def _enter(
        self,
        bundle: _Bundle,
        rows: Mapping[str, Sequence[_Row]],
        ends: _Ends,
        sign: int,
        ladder: float,
        before: float,
    ) -> None:
        """The ways of what leaves by the opening, and of the links between places."""
        by_id = {each.id: each for each in self.wiring.conductors}
        turns: list[float] = []
        spans: dict[str, float] = {}
        for (name, _), end in ends.items():
            spans[name] = abs(end.y - spans[name]) if name in spans else end.y
        linked = {row.conductor for own in rows.values() for row in own if row.linked}
        # the shortest has the lane nearest to the places, so that none crosses another
        order = sorted(linked, key=lambda name: (spans[name], name))
        for place in bundle.places:
            for row in rows[place]:
                if not row.conductor:
                    continue
                end = ends[row.conductor, row.terminal]
                y = end.y
                if row.told and row.linked != place:
                    wide = self.asked.words[row.conductor]
                    left = end.at[0] + (before if sign > 0 else -wide - before)
                    self.labels[row.conductor] = (left, y - 8.5)
                if not row.linked:
                    leaving = next(each for each in bundle.exits if each.id == row.conductor)
                    if free := _free_end(self.wiring, by_id[row.conductor]):
                        self.terminals.setdefault(free, leaving.at)
                    self.ways[row.conductor] = (
                        *self._out(bundle, leaving),
                        (leaving.lane, y),
                        *_into(end, sign),
                    )
                    turns.append(y)
                elif row.told:
                    conductor: Conductor = by_id[row.conductor]
                    other = conductor.end if row.terminal == conductor.start else conductor.start
                    far = ends[row.conductor, other]
                    lane = ladder + sign * _LANE * (order.index(row.conductor) + 0.5)
                    if row.linked == place:
                        lane = end.at[0] + sign * _LOOP
                    way = (
                        *reversed(_into(end, sign)),
                        (lane, y),
                        (lane, far.y),
                        *_into(far, sign),
                    )
                    self.ways[row.conductor] = way if row.terminal == conductor.start else way[::-1]
        if bundle.name != "feed" and turns:
            self.cables[bundle.name] = self._sheath(bundle, turns)

    def _out(self, bundle: _Bundle, leaving: _Exit) -> tuple[Point, ...]:
        """Through the wall and out of the fan."""
        x, y = leaving.at
        box = self.enclosure
        if bundle.side in ("left", "right"):
            wall = box.x if bundle.side == "left" else box.x + box.width
            sign = -1 if bundle.side == "left" else 1
            return (
                leaving.at,
                (wall + 2 * sign, y),
                (wall + sign * _BESIDE, leaving.aside),
                (leaving.lane, leaving.aside),
            )
        wall = box.y if bundle.up else box.y + box.height
        beyond = wall + (-_BESIDE if bundle.up else _BESIDE)
        return leaving.at, (x, wall + (-2 if bundle.up else 2)), (leaving.lane, beyond)

    def _sheath(self, bundle: _Bundle, turns: Sequence[float]) -> Rect:
        """Where the conductors of a cable run side by side beyond the wall."""
        lanes = [each.lane for each in bundle.exits]
        near = self._y(bundle.up, _BESIDE + 2)
        if bundle.side in ("left", "right"):
            near = max(each.aside for each in bundle.exits) if not bundle.up else 0.0
            near = min(each.aside for each in bundle.exits) if bundle.up else near
            near += -6 if bundle.up else 6
        far = max(turns) + 10 if bundle.up else min(turns) - 10
        return Rect(
            min(lanes) - 8,
            min(near, far),
            max(lanes) - min(lanes) + 16,
            max(abs(far - near), 0.0),
        )

    def _devices(
        self,
        rows: Sequence[_Row],
        ends: _Ends,
        start: float,
        sign: int,
    ) -> None:
        """The devices the feed runs through, on its live rows, that nearest the origin first."""
        by_id = {each.id: each for each in self.wiring.conductors}
        live = [
            ends[row.conductor, row.terminal].y
            for row in rows
            if row.conductor and not row.linked and by_id[row.conductor].function != "PE"
        ]
        if not live:
            return
        for number in range(self.asked.through):
            low = start + sign * (number * _DEVICE + 6)
            x = low if sign > 0 else low - (_DEVICE - 12)
            top = min(live) - TERMINAL_ROW / 2 - 4
            self.through.append(
                Rect(x, top, _DEVICE - 12, max(live) - min(live) + TERMINAL_ROW + 8)
            )

    def outside(self) -> OutsidePlan:
        """All that was stacked, with the meter side and the limiter beyond the origin."""
        leftward = self._feed[1]
        away = self._next.get(self._feed, _DECK)
        edge = self._edge.get(self._feed, self.enclosure.x)
        outer = edge - PLACE_WIDTH if leftward else edge + PLACE_WIDTH
        sign = -1 if leftward else 1
        sensors: list[tuple[str, Point, Point]] = []
        pairs: tuple[tuple[Point, ...], ...] = ()
        origin = self.places.get("origin")
        if origin is not None:
            self.meter = self.places.pop(METER, None)
            if self.meter is None:
                if self.asked.limiter_lines:
                    lines = self._limiter_lines()
                    self.limiter, away = self._closed(lines, edge, away, self._feed)
                self.meter, _ = self._closed(self.asked.meter_lines, edge, away, self._feed)
            lane = outer + sign * 18
            ys = [origin.y + origin.height / 2, self.meter.y + self.meter.height / 2]
            self.tails = ((outer, ys[1]), (lane, ys[1]), (lane, ys[0]), (outer, ys[0]))
        if self.limiter is not None:
            step = self.limiter.height / (len(self.asked.sensed) + 1)
            for number, name in enumerate(self.asked.sensed):
                y = self.limiter.y + step * (number + 1)
                sensors.append((name, (outer + sign * 18, y), (outer, y)))
            pairs = self._pairs(self.limiter, outer, sign)
        return OutsidePlan(
            self.places,
            self.facing,
            self.terminals,
            self.ways,
            self.labels,
            self.cables,
            tuple(self.through),
            self.limiter,
            self.meter,
            self.tails,
            tuple(sensors),
            pairs,
            self._bounds(pairs),
        )

    def _pairs(self, limiter: Rect, outer: float, sign: int) -> tuple[tuple[Point, ...], ...]:
        """From the limiter round the enclosure to each point it holds back."""
        boxes = [self.enclosure, *self.places.values()]
        low, high = min(each.x for each in boxes), max(each.x + each.width for each in boxes)
        lane = low - 34 if sign < 0 else high + 34
        start_y = limiter.y + limiter.height - 8
        foot = max(each.y + each.height for each in boxes) + 12
        found: list[tuple[Point, ...]] = []
        for place in self.asked.holds:
            if (box := self.places.get(place)) is None:
                continue
            leftward = self.facing[place] == "right"
            side = box.x if leftward else box.x + box.width
            y = box.y + box.height / 2
            start = (outer, start_y)
            if leftward == (sign < 0):
                found.append((start, (lane, start_y), (lane, y), (side, y)))
                continue
            across = side + (-18 if leftward else 18)
            found.append(
                (start, (lane, start_y), (lane, foot), (across, foot), (across, y), (side, y))
            )
        return tuple(found)

    def _bounds(self, pairs: Sequence[Sequence[Point]]) -> Rect:
        boxes = [self.enclosure, *self.places.values(), *self.through]
        boxes += [each for each in (self.limiter, self.meter) if each]
        points = [
            *self.tails,
            *(point for way in self.ways.values() for point in way),
            *(point for pair in pairs for point in pair),
        ]
        xs = [x for box in boxes for x in (box.x, box.x + box.width)] + [x for x, _ in points]
        ys = [y for box in boxes for y in (box.y, box.y + box.height)] + [y for _, y in points]
        return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def _into(end: _RowEnd, sign: int) -> tuple[Point, ...]:
    """From a row into its terminal: straight, or beside what is held there already."""
    if abs(end.y - end.at[1]) < 0.01:
        return (end.at,)
    turn = end.at[0] + sign * end.turn
    return (turn, end.y), (turn, end.at[1]), end.at


def _crowd(rows: Mapping[str, Sequence[_Row]]) -> int:
    """How many conductors come to the fullest terminal."""
    counts: dict[str, int] = {}
    for own in rows.values():
        for row in own:
            counts[row.terminal] = counts.get(row.terminal, 0) + 1
    return max(counts.values(), default=1)
