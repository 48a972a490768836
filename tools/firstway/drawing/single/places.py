"""Drawing, single-line, third stage: where everything of the path lies, in units of the sheet; the
path runs down. No inks, no weights.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from firstway.drawing.more_symbols import (
    Bar,
    Battery,
    BothWays,
    Changeover,
    Generator,
    Inverter,
    PhotovoltaicModules,
)
from firstway.drawing.sheet import SMALLEST, Point
from firstway.drawing.single.call_outs import CalledOut, CallOut
from firstway.drawing.single.path import (
    AUTHORISED_ONLY,
    PathLabel,
    PathPoint,
    PathRun,
    PathSource,
    PathStop,
    PathSurge,
    PathWay,
    StopKind,
    SupplyPath,
)
from firstway.drawing.symbols import (
    CableSheath,
    ConductorStrokes,
    ContactorSymbol,
    DrawnSymbol,
    EarthElectrode,
    Isolator,
    OnBoardCharger,
    OpenPenDevice,
    PenSplit,
    ProtectiveEarth,
    ResidualCurrentDeviceSymbol,
    VehicleInlet,
)
from firstway.drawing.text_width import wrapped
from firstway.model.nec_words import GROUND, in_nec_words

WIDTH = 900.0
KEY_WIDTH = 236.0
LINE_HEIGHT = 15.0
MARK = 23.0  # from one call-out to the next
DOOR = 7.0  # from the drop of the control link to the charging point
BRANCH = 14.0  # from the bar to a way
_COLUMN = 172.0  # between ways
_LABEL = 34.0  # from the path to its labels
_TOP = 16.0
_ASIDE = 38.0  # from the protective conductor at the left to what feeds in beside the path


@dataclass(frozen=True)
class PlacedSymbol:
    """A symbol with its supply terminal at (x, y)."""

    name: str
    element: DrawnSymbol
    x: float
    y: float
    title: str = ""

    @property
    def load(self) -> float:
        """The y of its load terminal."""
        return self.y - float(self.element.anchors["load"][1])


@dataclass(frozen=True)
class PlacedText:
    """One line; `look` is plain, bold or soft."""

    x: float
    y: float
    words: str
    anchor: str = "start"
    look: str = "plain"


@dataclass(frozen=True)
class PlacedWords:
    """Lines of text and call-outs beside the path, each at its place. A narrow screen shows a
    number in the room of the words and says `told` in a list; without it they are left out there.
    """

    name: str
    lines: tuple[PlacedText, ...]
    marks: tuple[tuple[CallOut, Point], ...] = ()
    bottom: float = 0.0
    told: "NumberedPlace | None" = None


@dataclass(frozen=True)
class NumberedPlace:
    """What a number says on a narrow screen, the label whose marks it stands for, and where: right
    (1) or left (-1) of `x`, below (1), above (-1) or level with (0) `y`.
    """

    lines: tuple[str, ...]
    label: str
    x: float
    y: float
    side: int = 1
    down: int = 1


@dataclass(frozen=True)
class PlacedWire:
    """A line through points. Without a name it is a piece of the path; `dots` are its joints."""

    points: tuple[Point, ...]
    name: str = ""
    title: str = ""
    dots: tuple[Point, ...] = ()
    texts: tuple[PlacedText, ...] = ()
    senses: bool = False


@dataclass(frozen=True)
class PlacedBox:
    """A board, a charging point or a vehicle round what lies in it."""

    name: str
    title: str
    x: float
    y: float
    width: float
    height: float
    round: float
    texts: tuple[PlacedText, ...] = ()


@dataclass(frozen=True)
class PlacedBar:
    """The earth bar."""

    name: str
    title: str
    ends: tuple[Point, Point]


@dataclass(frozen=True)
class PlacedLink:
    """The control link: lines, and the points its arrows end at."""

    title: str
    lines: tuple[tuple[Point, ...], ...]
    tips: tuple[tuple[Point, Point], ...]


Thing = PlacedSymbol | PlacedWords | PlacedWire | PlacedBox | PlacedBar | PlacedLink


@dataclass(frozen=True)
class SinglePlaces:
    """Everything at its place. `beside`: the key of figures has room at the right."""

    things: tuple[Thing, ...]
    width: float
    bottom: float
    beside: bool


@dataclass(frozen=True)
class _Frame:
    """What places hang on: the supply path's x, the x of the main earthing terminal and its y."""

    path: SupplyPath
    called: CalledOut
    main_x: float
    earth_x: float
    met_y: float = 0.0

    def said(self, text: str) -> str:
        return in_nec_words(text) if self.path.nec else text


@dataclass(frozen=True)
class _Part:
    """What one function places, the y it ends at, and what later places hang on: `met`, the y of
    the main earthing terminal, `order`, where the limiter's link begins, and `aside`, the y that
    what hangs left of the path ends at.
    """

    things: tuple[Thing, ...]
    y: float
    met: float | None = None
    order: Point | None = None
    aside: float = 0.0


@dataclass(frozen=True)
class _Column:
    way: PathWay
    x: float


@dataclass(frozen=True)
class _Board:
    """The new board: where its ways end by name, and its lower edge."""

    things: tuple[Thing, ...]
    loads: dict[str, float]
    bottom: float
    bar_y: float
    columns: tuple[_Column, ...]


def places_of(path: SupplyPath, called: CalledOut) -> SinglePlaces:
    """Places for the whole path: from the source down to the board, the board, and its circuits."""
    aside = any(way.spd and not way.on_bar for way in path.ways)
    frame = _Frame(path, called, *((334.0, 76.0) if aside else (304.0, 112.0)))
    columns = _columns(path, frame.main_x)
    things: list[Thing] = []
    y, order = _TOP, None
    aside_to = 0.0
    for stop in path.stops[:-1]:
        part = _STOPS[stop.kind](frame, stop, y)
        things += part.things
        y, order = part.y, part.order or order
        aside_to = max(aside_to, part.aside)
        frame = frame if part.met is None else replace(frame, met_y=part.met)
    wire, y = _down(frame, y, aside_to)
    things += wire
    inside = _inside(path, columns)
    board = _board(frame, columns, path.stops[-1], y, inside)
    things += board.things
    bottom = board.bottom
    for source, x in inside:
        part = _from_inside(frame, source, x, board)
        things += part.things
        bottom = max(bottom, part.y)
    doors: list[Point] = []
    drawn: set[str] = set()
    for column in columns:
        if column.way.run is not None:
            part, door = _run(frame, column, column.way.run, board, frozenset(drawn))
            things += part.things
            drawn |= {thing.name for thing in part.things if isinstance(thing, PlacedSymbol)}
            bottom = max(bottom, part.y)
            doors.append(door)
    if order is not None and doors:
        things.append(_control_link(frame, order, doors, board.bottom))
    across = [*(column.x for column in columns), *(x for _, x in inside)]
    furthest = max(across, default=frame.main_x)
    width = max(WIDTH, furthest + 200)
    return SinglePlaces(
        tuple(things), width, bottom + 10, furthest + _LABEL + 150 <= width - KEY_WIDTH
    )


def _columns(path: SupplyPath, main_x: float) -> tuple[_Column, ...]:
    """Ways from the incoming end; what a way feeds stands below it, a surge protective device to
    its left.
    """
    on_bar = [way for way in path.ways if way.on_bar]
    pitch = _COLUMN if len(on_bar) < 4 else max(150.0, min(_COLUMN, 560.0 / (len(on_bar) - 1)))
    limited = any(stop.kind == "limiter" for stop in path.stops)
    link = 20.0 if limited and len(on_bar) > 3 else 0.0  # room for its control link
    columns, x = [], main_x
    behind: dict[str, list[PathWay]] = {}
    for way in path.ways:
        if not way.on_bar:
            behind.setdefault(way.fed_from, []).append(way)
    for way in on_bar:
        stood, x = _family(way, behind, x, pitch)
        columns += stood
        beside = 0.0 if way.spd else link + (34.0 if len(on_bar) > 2 else 0.0)
        x += beside
    for way in behind.get("supply-side", []):
        columns.append(_Column(way, main_x - 84 if way.spd else x))
        x += 0.0 if way.spd else pitch
    return tuple(columns)


def _family(
    way: PathWay, behind: dict[str, list[PathWay]], x: float, pitch: float
) -> tuple[list[_Column], float]:
    """A way and those it feeds, each below it or right of the one before, so that no line runs
    past what it does not feed; and where the next may stand.
    """
    found, at = [_Column(way, x)], x
    for child in behind.get(way.name, []):
        if child.spd:
            found.append(_Column(child, x - 84))
        else:
            stood, at = _family(child, behind, at, pitch)
            found += stood
    return found, max(at, x + pitch)


# Small tools


def _words(
    frame: _Frame,
    told: PathLabel,
    x: float,
    top: float,
    width: float = 150.0,
    anchor: str = "start",
) -> PlacedWords:
    """A label: lines of text, the note, then call-outs in rows, in the order of reading."""
    lines: list[PlacedText] = []
    y = top
    for index, text in enumerate(told.lines):
        look = "plain" if index else "bold"
        for line in wrapped(frame.said(text), SMALLEST, width, not index):
            y += LINE_HEIGHT
            lines.append(PlacedText(x, y - 4, line, anchor, look))
    if told.note:
        y += LINE_HEIGHT
        lines.append(PlacedText(x, y - 4, told.note, anchor, "soft"))
    marks = frame.called.marks.get(told.name, ())
    in_row = max(int(width // MARK), 1)
    placed = []
    for row in range(0, len(marks), in_row):
        these = marks[row : row + in_row]
        first = x + 11 if anchor == "start" else x + 11 - MARK * len(these)
        placed += [(mark, (first + MARK * place, y + 11)) for place, mark in enumerate(these)]
        y += MARK
    said = tuple(frame.said(text) for text in (*told.lines, *([told.note] if told.note else [])))
    spot = NumberedPlace(said, told.name, x, top + 2, 1 if anchor == "start" else -1)
    return PlacedWords(f"label.{told.name}", tuple(lines), tuple(placed), y, spot)


def _number_at(label: PlacedWords, x: float, y: float, side: int = 1, down: int = 1) -> PlacedWords:
    """A label whose number does not stand where its words begin."""
    assert label.told is not None
    return replace(label, told=replace(label.told, x=x, y=y, side=side, down=down))


def _down(frame: _Frame, y: float, to: float) -> tuple[tuple[Thing, ...], float]:
    """The path from y on down, where it is not there yet."""
    if to <= y:
        return (), y
    return (PlacedWire(((frame.main_x, y), (frame.main_x, to))),), to


def _cable(
    name: str,
    x: float,
    y: float,
    length: float,
    conductors: tuple[str, ...],
    armoured: bool | None,
    nec: bool,
) -> tuple[Thing, ...]:
    """A stretch of line with its conductor strokes; a cable has its sheath beside it."""
    marks = ", ".join(GROUND if nec and each == "PE" else each for each in conductors)
    sheath: tuple[Thing, ...] = ()
    if armoured is not None:
        sheath = (PlacedSymbol(f"cable.{name}", CableSheath(length, armoured), x, y),)
    strokes = ConductorStrokes(conductors)
    return (
        PlacedWire(((x, y), (x, y + length))),
        *sheath,
        PlacedSymbol(f"strokes.{name}", strokes, x, y + length / 2, f"Conductors: {marks}"),
    )


# From the source to the board


def _source(frame: _Frame, stop: PathStop, y: float) -> _Part:
    assert stop.symbol is not None and stop.told is not None
    x, star = frame.main_x, y + 27
    source = PlacedSymbol(stop.name, stop.symbol(), x, y, stop.title)
    title = frame.said("Earth electrode of the source")
    return _Part(
        (
            source,
            PlacedWire(((x - 13, star), (x - 60, star))),
            PlacedSymbol("source-electrode", EarthElectrode(), x - 60, star, title),
            _words(frame, frame.path.source_electrode, x - 82, star - 26, 160, "end"),
            _words(frame, stop.told, x + _LABEL, y - 4, 290),
        ),
        source.load,
    )


def _service_line(frame: _Frame, stop: PathStop, y: float) -> _Part:
    x, length = frame.main_x, 58.0
    text = PlacedText(x + _LABEL, y + length - 22, "service line", look="soft")
    line = _cable(stop.name, x, y, length, stop.conductors, None, frame.path.nec)
    return _Part((*line, PlacedWords("service-line", (text,))), y + length)


def _meter(frame: _Frame, stop: PathStop, y: float) -> _Part:
    assert stop.symbol is not None and stop.told is not None
    x = frame.main_x
    meter = PlacedSymbol(stop.name, stop.symbol(), x, y, stop.title)
    unit = PlacedWords("meter-words", (PlacedText(x, y + 38, "kWh", "middle"),))
    wire, end = _down(frame, meter.load, meter.load + 8)
    return _Part((meter, unit, _words(frame, stop.told, x + _LABEL, y + 8), *wire), end)


def _earthing(frame: _Frame, stop: PathStop, y: float) -> _Part:
    """The main earthing terminal, what earths it, and where the supply's earth leaves the line."""
    assert stop.told is not None
    met, level = y + 4, y + 16
    x, earth_x, tt = frame.main_x, frame.earth_x, frame.path.system == "TT"
    top = level - 20 - LINE_HEIGHT * (tt + len(stop.told.lines) - 1)
    label = _words(frame, stop.told, earth_x + 18, top, 170)
    things: list[Thing] = [
        PlacedSymbol(stop.name, ProtectiveEarth(), earth_x, met, stop.title),
        _number_at(label, earth_x + 18, level - 6, down=-1),
    ]
    if not tt:
        title = (
            "Neutral and ground are joined here, at the service, and only here"
            if frame.path.nec
            else "The supply's earth leaves the line here"
        )
        things += [
            PlacedWire(((x, y), (x, level))),
            PlacedSymbol("pen-split", PenSplit(), x, level, title),
            PlacedWire(((x - 14, level), (earth_x + 12, level))),
        ]
        wire, y = _down(frame, level, level + 10)
        things += wire
    for index, rod in enumerate(stop.rods):
        at = 36.0 + 44.0 * index
        things.append(PlacedWire(((earth_x - 12, level), (at, level), (at, level + 12))))
        things.append(PlacedSymbol(rod.name, EarthElectrode(), at, level + 12, rod.title))
        things.append(_words(frame, rod.told, 12.0, level + 40 + 60 * index, 88))
    return _Part(tuple(things), y, met=met)


def _device(
    frame: _Frame, stop: PathStop, y: float, words_below: float = 6.0, after: float = 8.0
) -> _Part:
    """A symbol on the path and its words beside it."""
    assert stop.symbol is not None
    placed = PlacedSymbol(stop.name, stop.symbol(), frame.main_x, y, stop.title)
    if stop.told is None:
        return _Part((placed,), placed.load)
    label = _words(frame, stop.told, frame.main_x + _LABEL, y + words_below, 290)
    wire, end = _down(frame, placed.load, max(label.bottom, placed.load) + after)
    return _Part((placed, label, *wire), end)


def _service(frame: _Frame, stop: PathStop, y: float) -> _Part:
    return _device(frame, stop, y, 0.0, 4.0)


def _limiter(frame: _Frame, stop: PathStop, y: float) -> _Part:
    """The link to the points it slows down is placed when these stand."""
    wire, y = _down(frame, y, y + 4)
    part = _device(frame, stop, y)
    placed = part.things[0]
    assert isinstance(placed, PlacedSymbol)
    dx, dy = placed.element.anchors["order"]
    return replace(
        part, things=(*wire, *part.things), order=(frame.main_x + float(dx), y - float(dy))
    )


def _branch_off(frame: _Frame, stop: PathStop, y: float) -> _Part:
    """The connector block: the existing boards branch off to the left."""
    x, level = frame.main_x, y + 10
    wire, _ = _down(frame, y, level)
    block = PathLabel("connector-block", ("Connector block",), note=AUTHORISED_ONLY)
    things: list[Thing] = [
        *wire,
        PlacedWire((), "connector-block", "Connector block", dots=((x, level),)),
        _words(frame, block, x + _LABEL, level - 12),
    ]
    bottom, aside = level + 24, 0.0
    if stop.told is not None:
        left = frame.earth_x + 22
        texts = _inside_box(stop, left + 7, level + 3)
        height = LINE_HEIGHT * len(texts) + 14
        marks = _words(frame, replace(stop.told, lines=()), left, level - 12 + height, 106)
        inside = NumberedPlace((stop.title, *stop.told.lines), stop.told.name, left + 5, level - 8)
        things += [
            PlacedWire(((x, level), (left + 106, level))),
            PlacedBox(stop.name, stop.title, left, level - 14, 106, height, 4, texts),
            PlacedWire(
                ((left, level + 14), (frame.earth_x, level + 14), *_up_to_met(frame)),
                "existing-earth",
                "Protective conductor of the existing board",
                dots=((frame.earth_x, level + 14),),
            ),
            replace(marks, told=inside),
        ]
        under = level - 14 + height
        bottom = under + (24 if marks.marks else 6)
        out = frame.earth_x + _ASIDE
        beside = _beside(frame, "existing-board", ((out, under), (out, bottom + 4)))
        things += beside.things
        aside = beside.y
    wire, end = _down(frame, level, max(bottom, level + 24))
    return _Part((*things, *wire), end, aside=aside)


def _surge_beside(frame: _Frame, stop: PathStop, y: float) -> _Part:
    """A surge protective device ahead of the new board: from the path to the main earthing
    conductor on its left.
    """
    assert stop.symbol is not None and stop.told is not None
    x, level = frame.main_x, y + 12
    first, _ = _down(frame, y, level)
    placed = PlacedSymbol(stop.name, stop.symbol(), x - 56, level, stop.title)
    foot = placed.load + 6
    label = _words(frame, stop.told, x + _LABEL, level - 12, 290)
    things: list[Thing] = [
        *first,
        PlacedWire(
            ((x, level), (x - 56, level)), f"{stop.name}.line", stop.title, dots=((x, level),)
        ),
        placed,
        PlacedWire(
            ((x - 56, placed.load), (x - 56, foot), (frame.earth_x, foot), *_up_to_met(frame)),
            f"{stop.name}.earth",
            "Its earth lead",
            dots=((frame.earth_x, foot),),
        ),
        label,
    ]
    wire, end = _down(frame, level, max(foot, label.bottom) + 8)
    return _Part((*things, *wire), end)


def _up_to_met(frame: _Frame) -> tuple[Point, ...]:
    """The rest of the way to the main earthing terminal, where the board has an earth of its own
    and no conductor of its comes along there.
    """
    return () if frame.path.board_rod is None else ((frame.earth_x, frame.met_y + 24),)


def _inside_box(stop: PathStop, x: float, y: float) -> tuple[PlacedText, ...]:
    """The words of the existing boards, inside their box."""
    assert stop.told is not None
    lines = [(word, "bold") for word in stop.title.split()]
    lines += [(part, "plain") for line in stop.told.lines for part in wrapped(line, SMALLEST, 96)]
    return tuple(
        PlacedText(x, y + LINE_HEIGHT * place, line, look=look)
        for place, (line, look) in enumerate(lines)
    )


def _through(frame: _Frame, stop: PathStop, y: float) -> _Part:
    """The feed leaves a way of the existing board: the path runs through it."""
    assert stop.told is not None
    x, top = frame.main_x, y + 8
    first, y = _down(frame, y, top + 8)
    start = y
    devices: list[PlacedSymbol] = []
    for name, title in stop.inner:
        devices.append(PlacedSymbol(name, ResidualCurrentDeviceSymbol(), x, y, title))
        y = devices[-1].load
    label = _words(frame, stop.told, x + _LABEL, start - 6, 220)
    inside, y = _down(frame, y, max(label.bottom + 2, y + 8))
    box = PlacedBox(stop.name, stop.title, x - 44, top, 44 + _LABEL + 240, y - top, 4)
    label = _number_at(label, x + _LABEL, (top + y) / 2, down=0)
    level, wall = top + 20, x - 44
    if frame.path.nec:  # the ground goes on with the feeder, not beside it
        earth = PlacedWire(
            ((frame.earth_x, frame.met_y + 24), (frame.earth_x, level), (wall, level)),
            "existing-earth",
            "Ground of the existing panel",
        )
    else:
        earth = PlacedWire(
            ((wall, level), (frame.earth_x, level), *_up_to_met(frame)),
            "existing-earth",
            "Protective conductor of the existing board",
            dots=((frame.earth_x, level),),
        )
    at, out = frame.earth_x + _ASIDE, top + 32
    beside = _beside(frame, "existing-board", ((wall, out), (at, out), (at, max(y, out) + 6)))
    after, y = _down(frame, y, y + 12)
    things = (*first, *devices, label, *inside, box, earth, *beside.things, *after)
    return _Part(things, y, aside=beside.y)


def _feed_cable(frame: _Frame, stop: PathStop, y: float) -> _Part:
    assert stop.told is not None
    x = frame.main_x
    cable = _cable(stop.name, x, y, 66, stop.conductors, stop.armoured, frame.path.nec)
    label = _words(frame, stop.told, x + _LABEL, y - 2, 290)
    wire, end = _down(frame, y + 66, label.bottom + 8)
    return _Part((*cable, label, *wire), end)


# Other sources


def _joined_at_origin(frame: _Frame, stop: PathStop, y: float) -> _Part:
    """Sources that feed in at the origin: each by a changeover, or a joint of the line."""
    x, at = frame.main_x, frame.earth_x + _ASIDE
    things: list[Thing] = []
    for source in frame.path.sources_at("origin"):
        wire, y = _down(frame, y, y + 6)
        things += wire
        start, end = (x, y), y
        dots: tuple[Point, ...] = ((x, y),)
        if source.changeover:
            title = "Changeover: the network or the source, never both"
            placed = PlacedSymbol(f"changeover.{source.name}", Changeover(), x, y, title)
            things.append(placed)
            start, dots, end = (x - 20, y + 11), (), placed.load
        foot = (at, start[1] + 8)
        points = (start, (at, start[1]), foot)
        things.append(PlacedWire(points, f"from.{source.name}", f"From {source.title}", dots))
        part = _stack(frame, source, *foot)
        things += part.things
        wire, y = _down(frame, end, part.y)
        things += wire
    return _Part(tuple(things), y)


def _beside(frame: _Frame, at: str, spine: tuple[Point, ...]) -> _Part:
    """Sources that feed an existing board, one below the other, from its wall or lower edge."""
    things: list[Thing] = []
    x, top = spine[-1]
    y = 0.0
    for source in frame.path.sources_at(at):
        if things:
            back = x - 24
            spine = ((x, top), (back, top), (back, y), (x, y), (x, y + 10))
        name = f"from.{source.name}"
        dots = ((x, top),) if things else ()
        things.append(PlacedWire(spine, name, f"From {source.title}", dots))
        part = _stack(frame, source, *spine[-1])
        things += part.things
        y = part.y
    return _Part(tuple(things), y)


def _inside(path: SupplyPath, columns: Sequence[_Column]) -> tuple[tuple[PathSource, float], ...]:
    """Sources that feed the bars or a way of the new board, right of its ways."""
    ways = {way.name for way in path.ways}
    last = max((column.x for column in columns), default=0.0)
    found = [source for source in path.sources if source.at in {"board", *ways}]
    return tuple((source, last + 206 * place) for place, source in enumerate(found, 1))


def _from_inside(frame: _Frame, source: PathSource, x: float, board: _Board) -> _Part:
    """From the bar, or the load side of a way, out of the board and to the source."""
    foot = (x, board.bottom + 10)
    points: tuple[Point, ...] = ((x, board.bar_y + BRANCH), foot)
    dots: tuple[Point, ...] = ()
    if source.at != "board":
        fed = next(column.x for column in board.columns if column.way.name == source.at)
        level = board.loads[source.at] + 6
        points, dots = ((fed, level), (x, level), foot), ((fed, level),)
    wire = PlacedWire(points, f"from.{source.name}", f"From {source.title}", dots)
    part = _stack(frame, source, *foot)
    return _Part((wire, *part.things), part.y)


def _stack(frame: _Frame, source: PathSource, x: float, y: float) -> _Part:
    """A source from its a.c. side down: its isolators, what makes the alternating current, and what
    drives that; its words at the right.
    """
    top = y
    things: list[Thing] = []
    for name, element, title in _stacked(source):
        placed = PlacedSymbol(f"{source.name}{name}", element, x, y, title)
        things.append(placed)
        if isinstance(element, Generator):
            letter = "G" if source.kind == "generator" else "?"
            text = PlacedText(x, y + 20, letter, "middle", "bold")
            things.append(PlacedWords(f"letter.{source.name}", (text,)))
        y = placed.load
    width = frame.main_x - x - 58 if x < frame.main_x else 136.0
    label = _words(frame, source.told, x + 34, top + 4, width)
    return _Part((*things, label), max(y, label.bottom) + 8)


def _stacked(source: PathSource) -> Iterator[tuple[str, DrawnSymbol, str]]:
    """Symbols of a source from its a.c. side down: name, strokes, title."""
    if source.isolated:
        yield ".isolator", Isolator(), f"Isolator of {source.title}"
    if source.kind == "generator":
        yield "", Generator(), source.title
        return
    yield "", Generator() if source.kind == "other" else Inverter(), source.title
    if source.isolated_dc:
        yield ".isolator-dc", Isolator(), f"Isolator on the d.c. side of {source.title}"
    if source.kind == "photovoltaic":
        yield ".modules", PhotovoltaicModules(), f"Modules of {source.title}"
    elif source.kind == "battery":
        yield ".cells", Battery(), f"Cells of {source.title}"


_STOPS: dict[StopKind, Callable[[_Frame, PathStop, float], _Part]] = {
    "source": _source,
    "line": _service_line,
    "meter": _meter,
    "earthing": _earthing,
    "service": _service,
    "device": _device,
    "limiter": _limiter,
    "branch-off": _branch_off,
    "surge": _surge_beside,
    "through": _through,
    "joined": _joined_at_origin,
    "cable": _feed_cable,
}


# The new board


def _board(
    frame: _Frame,
    columns: Sequence[_Column],
    stop: PathStop,
    top: float,
    inside: Sequence[tuple[PathSource, float]],
) -> _Board:
    """Main switch, bar, ways and earth bar, with the box round them."""
    wire, split = _down(frame, top, top + (26 if frame.path.nec else 10))
    switch, bar_y = _main_switch(frame, stop, split)
    things: list[Thing] = [*wire, *switch]
    on_bar = [column for column in columns if column.way.on_bar]
    if on_bar:
        fed = [x for source, x in inside if source.at == "board"]
        branches = tuple(x - frame.main_x for x in (*(column.x for column in on_bar), *fed))
        things.append(
            PlacedSymbol("bar", Bar(branches, BRANCH, 12.0), frame.main_x, bar_y, "Line bar")
        )
    loads: dict[str, float] = {}
    words_end: list[float] = []
    for column in columns:
        start = bar_y + BRANCH
        if not column.way.on_bar:
            start = loads.get(column.way.fed_from, bar_y) + 22
            things.append(_branch(frame, column, columns, loads, start, split - 4))
        made, loads[column.way.name], below = _way(frame, column, start)
        things += made
        if column.way.spd and not column.way.on_bar:
            words_end.append(below)
    earth = _earth_bar(frame, columns, loads, split, words_end)
    bottom = max([earth.y + 24, *loads.values()]) + 12
    left = min([c.x - (64 if c.way.on_bar else 148) for c in columns] + [frame.main_x - 88])
    right = max([c.x + _LABEL + 146 for c in columns] + [x + 24 for _, x in inside])
    title = "The new panel" if frame.path.nec else "The new board"
    name = PlacedText(left + 8, top + 17, frame.path.board, look="bold")
    where = [
        PlacedText(left + 8, top + 17 + LINE_HEIGHT * row, line, look="soft")
        for row, line in enumerate(wrapped(frame.path.place, SMALLEST, 74), 1)
        if line
    ]
    things += [
        *earth.things,
        PlacedBox("board", title, left, top, right - left, bottom - top, 8),
        PlacedWords(
            "board-name",
            (name, *where),
            told=NumberedPlace(
                (name.words, *filter(None, [frame.path.place])), "", left + 6, top + 4
            ),
        ),
    ]
    return _Board(tuple(things), loads, bottom, bar_y, tuple(columns))


def _main_switch(frame: _Frame, stop: PathStop, y: float) -> tuple[tuple[Thing, ...], float]:
    assert stop.told is not None
    label = _words(frame, stop.told, frame.main_x + _LABEL, y - 4, 260)
    if stop.symbol is None:
        first, end = _down(frame, y, y + 30)
    else:
        placed = PlacedSymbol(stop.name, stop.symbol(), frame.main_x, y, stop.title)
        first, end = (placed,), placed.load
    after, bar_y = _down(frame, end, max(label.bottom, end) + 12)
    return (*first, label, *after), bar_y


def _branch(
    frame: _Frame,
    column: _Column,
    columns: Sequence[_Column],
    loads: dict[str, float],
    start: float,
    ahead: float,
) -> PlacedWire:
    """The line to a way that another way, or the supply side, feeds."""
    way = column.way
    feeder = next((c for c in columns if c.way.name == way.fed_from), None)
    at = (frame.main_x, ahead)
    if feeder is not None and feeder.way.name in loads:
        at = (feeder.x, loads[feeder.way.name] + 10)
    title = f"{way.name} is fed from {way.fed_from}"
    points: tuple[Point, ...] = (at, (column.x, at[1]), (column.x, start))
    if feeder is not None and feeder.way.run is None and feeder.way.name in loads:
        points = ((feeder.x, loads[feeder.way.name]), *points)  # no circuit of its own goes on
    return PlacedWire(points, f"branch.{way.name}", title, dots=(at,))


def _way(frame: _Frame, column: _Column, top: float) -> tuple[tuple[Thing, ...], float, float]:
    """Symbol and label of a way; the y of its load terminal, and that below its words."""
    way, x = column.way, column.x
    placed = PlacedSymbol(f"part.{way.name}", way.symbol(), x, top, way.title)
    things: list[Thing] = [placed]
    if way.neutral:
        text = PlacedText(x + 16, placed.load + 12, "N", "middle")
        things.append(PlacedWords(f"neutral.{way.name}", (text,)))
    aside = way.spd and not way.on_bar
    if way.spd:
        beside = 32 if placed.load - top > 60 else 20  # two symbols in series have a branch
    else:
        beside = 34 if placed.load - top > 50 else 24
    label = _words(
        frame,
        way.told,
        x - beside if aside else x + beside,
        top - 6,
        120,
        "end" if aside else "start",
    )
    things.append(label)
    if way.run is not None and label.bottom + 6 > placed.load:
        things.append(PlacedWire(((x, placed.load), (x, label.bottom + 6))))
        return tuple(things), label.bottom + 6, label.bottom
    return tuple(things), placed.load, label.bottom


def _earth_bar(
    frame: _Frame,
    columns: Sequence[_Column],
    loads: dict[str, float],
    split: float,
    words_end: Sequence[float],
) -> _Part:
    """The earth bar of the new board, below the words it could run through: surge devices end on
    it, the main protective conductor begins it.
    """
    x, path = frame.main_x, frame.path
    spds = [column for column in columns if column.way.spd]
    reached = [loads[column.way.name] for column in spds]
    least = [min(loads.values())] if loads else [split]
    y = max([*(reached or least), *words_end]) + 16
    left = min([column.x for column in spds] + [x - 30]) - 24
    right = max([column.x for column in spds] + [left + 30]) + 12
    circuits = [column.x for column in columns if column.way.run is not None]
    if any(left < at < right for at in circuits):
        right = min(at for at in circuits if at > left) - 20
    things: list[Thing] = [
        PlacedWire(((column.x, end), (column.x, y))) for column, end in zip(spds, reached)
    ]
    bar = path.earth_bar
    title = f"{bar.capitalize()} of the new {'panel' if path.nec else 'board'}"
    things += [
        PlacedBar("earth-bar", title, ((left, y), (right, y))),
        PlacedWords(
            "earth-bar-words",
            (PlacedText(left, y + 18, bar),),
            told=NumberedPlace((bar.capitalize(),), "", left + 5, y - 5, -1, -1),
        ),
    ]
    if path.nec:
        title = "Equipment grounding conductor, brought with the feeder"
        things.append(
            PlacedWire(
                ((x, split), (left + 6, split), (left + 6, y)),
                "main-protective-conductor",
                title,
                ((x, split),),
                (PlacedText(left + 12, split + 17, GROUND),),
            )
        )
        said = NumberedPlace((title,), "", left + 10, split + 5)
        things.append(PlacedWords("main-protective-words", (), told=said))
        return _Part(tuple(things), y)
    earth_x = frame.earth_x
    if path.board_rod is not None:
        rod = path.board_rod
        things += [
            PlacedWire(
                ((left, y), (earth_x, y), (earth_x, y + 12)),
                "main-protective-conductor",
                "Earthing conductor of the board: the supply's earth ends before it",
            ),
            PlacedSymbol(rod.name, EarthElectrode(), earth_x, y + 12, rod.title),
            _words(frame, rod.told, earth_x - 88, y + 44, 110),
        ]
        return _Part(tuple(things), y)
    texts = tuple(
        PlacedText(earth_x - 8, y - 20 + LINE_HEIGHT * index, line, "end")
        for index, line in enumerate(path.protective)
    )
    points = ((earth_x, frame.met_y + 24), (earth_x, y), (left, y))
    name, title = "main-protective-conductor", "Main protective conductor"
    things.append(PlacedWire(points, name, title, texts=texts))
    said = NumberedPlace((title, *(line.words for line in texts)), "", earth_x - 5, y - 30, -1)
    things.append(PlacedWords("main-protective-words", (), told=said))
    return _Part(tuple(things), y)


# From the board to the vehicle


def _run(
    frame: _Frame, column: _Column, run: PathRun, board: _Board, drawn: frozenset[str]
) -> tuple[_Part, Point]:
    """A circuit; and left edge and top of its charging point, where the control link ends."""
    x, top = column.x, board.bottom + 10
    label = _words(frame, run.told, x + 24, top - 4, 140)
    length = max(label.bottom - top + 6, 84.0)
    point, door_y = _point(frame, run.point, x, top + length, drawn)
    vehicle = _vehicle(frame, run, x, point.y)
    rods = [
        thing.bottom
        for thing in point.things
        if isinstance(thing, PlacedWords) and thing.name.startswith("label.electrode.")
    ]
    back: tuple[Thing, ...] = ()
    if run.both_ways:
        title = "Current flows either way: the vehicle feeds back"
        back = (PlacedSymbol(f"both-ways.{run.name}", BothWays(), x - 24, top + 20, title),)
    things = (
        PlacedWire(((x, board.loads[column.way.name]), (x, top))),
        label,
        *_cable(run.name, x, top, length, run.conductors, run.armoured, frame.path.nec),
        *back,
        *point.things,
        *vehicle.things,
    )
    return _Part(things, max([vehicle.y, *rods])), (x - 26, door_y)


def _point(
    frame: _Frame, point: PathPoint, x: float, top: float, drawn: frozenset[str]
) -> tuple[_Part, float]:
    things: list[Thing] = []
    if point.surge is not None:
        made, below = _surge_at_point(frame, point.surge, x, top)
        things += [PlacedWire(((x, top), (x, below))), *made]
        top = below
    start = y = top + 8
    things.append(PlacedWire(((x, top), (x, start))))
    if point.open_pen:
        title = "Open-PEN device: opens line, neutral and protective conductor"
        device = PlacedSymbol(f"open-pen.{point.name}", OpenPenDevice(), x, y, title)
        things.append(device)
        y = device.load
    if point.inside:
        inside = PlacedSymbol(
            f"rcd.{point.name}", ResidualCurrentDeviceSymbol(), x, y, point.inside
        )
        things.append(inside)
        y = inside.load
    title = frame.said("Contactor of the charging point")
    contactor = PlacedSymbol(f"contactor.{point.name}", ContactorSymbol(), x, y, title)
    label = _words(frame, point.told, x + 30, top + 4, 136)
    bottom = max(label.bottom + 6, contactor.load + 8)
    name = f"Charging point {point.name}"
    things += [
        contactor,
        label,
        PlacedWire(((x, contactor.load), (x, bottom + 8))),
        PlacedBox(f"part.{point.name}", name, x - 26, top, 196, bottom - top, 6),
        *_point_earth(frame, point, x, top, start + 22, drawn),
    ]
    return _Part(tuple(things), bottom + 8), top


def _surge_at_point(
    frame: _Frame, surge: PathSurge, x: float, top: float
) -> tuple[list[Thing], float]:
    """A surge protective device at the terminals of a point, from the path to its earth."""
    level = top + 8
    placed = PlacedSymbol(surge.name, surge.symbol(), x + 24, level, surge.title)
    label = _words(frame, surge.told, x + 46, level - 6, 120)
    earth = PlacedSymbol(f"{surge.name}.earth", ProtectiveEarth(), x + 24, placed.load)
    joint = PlacedWire(((x, level), (x + 24, level)), dots=((x, level),))
    return [joint, placed, earth, label], max(label.bottom, earth.load) + 8


def _point_earth(
    frame: _Frame, point: PathPoint, x: float, top: float, sense: float, drawn: frozenset[str]
) -> list[Thing]:
    """An electrode of the point's own, or one its open-PEN device measures against."""
    things: list[Thing] = []
    for rod, level, start, senses in (
        (point.rod, top + 14, x - 26, False),
        (point.measures, sense, x - 14, True),
    ):
        if rod is not None and rod.name not in drawn:
            at = (x - 62, level + 8)
            wire = ((start, level), (x - 62, level), at)
            name = f"{rod.name}.wire" if senses else ""
            things += [
                PlacedWire(wire, name, senses=senses),
                PlacedSymbol(rod.name, EarthElectrode(), *at, rod.title),
                _number_at(
                    _words(frame, rod.told, x - 150, level + 32, 110), x - 78, level + 8, side=-1
                ),
            ]
    return things


def _vehicle(frame: _Frame, run: PathRun, x: float, top: float) -> _Part:
    inlet = PlacedSymbol(f"inlet.{run.name}", VehicleInlet(), x, top, "Vehicle connector and inlet")
    name, told = run.vehicle.name, run.vehicle.told
    if not name:
        return _Part((inlet, _words(frame, told, x + 30, top, 140)), inlet.load + 10)
    box_top = inlet.load + 4
    title = "On-board charger: alternating to direct current"
    charger = PlacedSymbol(f"charger.{name}", OnBoardCharger(), x, box_top + 8, title)
    label = _words(frame, told, x + 30, box_top + 2, 136)
    bottom = max(charger.load, label.bottom) + 6
    return _Part(
        (
            inlet,
            PlacedWire(((x, inlet.load), (x, box_top + 8))),
            charger,
            label,
            PlacedBox(
                f"part.{name}", f"Vehicle {name}", x - 26, box_top, 196, bottom - box_top, 14
            ),
        ),
        bottom,
    )


def _control_link(
    frame: _Frame, order: Point, doors: Sequence[Point], board_bottom: float
) -> PlacedLink:
    """From the limiter past the board to every charging point: it carries orders, no power."""
    aside, under = frame.earth_x + 11, board_bottom + 5
    last = max(x for x, _ in doors) - DOOR
    lines: list[tuple[Point, ...]] = [
        (order, (aside, order[1]), (aside, under), (last, under)),
        *(((x - DOOR, under), (x - DOOR, top + 12), (x - 5, top + 12)) for x, top in doors),
    ]
    tips = tuple(((x - DOOR, top + 12), (x, top + 12)) for x, top in doors)
    points = ", ".join(frame.path.points)
    return PlacedLink(f"Control link from the load limiter to {points}", tuple(lines), tips)
