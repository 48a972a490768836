"""Drawing, single-line, first stage: what stands along the path from source to vehicle, in order,
and what is told beside it; no places, no strokes.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Literal

from firstway.checks.places import way_in_words
from firstway.drawing.more_symbols import LoadLimiterSymbol
from firstway.drawing.part_words import armour_words, several_words
from firstway.drawing.single import words
from firstway.drawing.symbols import (
    CircuitBreaker,
    ContactorSymbol,
    CutOut,
    DrawnSymbol,
    EnergyMeter,
    Fuse,
    Isolator,
    Rcbo,
    ResidualCurrentDeviceSymbol,
    SourceSymbol,
    SurgeDevice,
    SwitchDisconnector,
)
from firstway.model.installation import (
    Cable,
    Circuit,
    Electrode,
    ExistingBoard,
    Feed,
    Installation,
    LoadLimiter,
    OtherSource,
    ResidualCurrentDevice,
    ServiceDevice,
    Vehicle,
    Way,
)
from firstway.model.lines import residual_device_at_origin
from firstway.model.nec_words import in_nec_words
from firstway.model.values import Absent, is_known

AUTHORISED_ONLY = "authorised person only"
StopKind = Literal[
    "source",
    "line",
    "meter",
    "earthing",
    "service",
    "device",
    "limiter",
    "branch-off",
    "surge",
    "joined",
    "through",
    "cable",
    "switch",
]
Symbol = Callable[[], DrawnSymbol]


@dataclass(frozen=True)
class PathLabel:
    """A label: lines (the first is bold), the steps called out, the names whose findings are
    flagged here, and a note.
    """

    name: str
    lines: tuple[str, ...]
    figures: tuple[tuple[str, str], ...] = ()
    places: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True)
class PathRod:
    """An earth electrode beside the path."""

    name: str
    title: str
    told: PathLabel


@dataclass(frozen=True)
class PathStop:
    """One thing on the supply path. `conductors` are those of a line or cable; `armoured` is None
    where it has no sheath; `inner` are devices of an existing board the path runs through.
    """

    kind: StopKind
    name: str
    title: str = ""
    symbol: Symbol | None = None
    told: PathLabel | None = None
    conductors: tuple[str, ...] = ()
    armoured: bool | None = None
    rods: tuple[PathRod, ...] = ()
    inner: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class PathVehicle:
    """What stands at the end; without a vehicle of the file only its connector."""

    name: str
    told: PathLabel


@dataclass(frozen=True)
class PathSurge:
    """A surge protective device that stands elsewhere than in the new board."""

    name: str
    title: str
    symbol: Symbol
    told: PathLabel


@dataclass(frozen=True)
class PathPoint:
    """A charging point: with its open-PEN device, the electrode that earths it, and the one that
    device measures against.
    """

    name: str
    told: PathLabel
    open_pen: bool
    rod: PathRod | None
    measures: PathRod | None
    surge: PathSurge | None
    inside: str


@dataclass(frozen=True)
class PathRun:
    """A circuit from its way to the vehicle; `armoured` as of `PathStop`."""

    name: str
    told: PathLabel
    conductors: tuple[str, ...]
    armoured: bool | None
    point: PathPoint
    vehicle: PathVehicle
    both_ways: bool = False


@dataclass(frozen=True)
class PathWay:
    """A way of the board and what it feeds. `fed_from` is `bar`, `supply-side` or another way."""

    name: str
    title: str
    symbol: Symbol
    told: PathLabel
    fed_from: str
    spd: bool
    neutral: bool
    run: PathRun | None

    @property
    def on_bar(self) -> bool:
        """Whether the line bar feeds it."""
        return self.fed_from == "bar"


@dataclass(frozen=True)
class PathSource:
    """A source beside the network that is drawn by itself. `at` is `origin`, `existing-board`,
    `board` or a way.
    """

    name: str
    title: str
    kind: str
    told: PathLabel
    at: str
    isolated: bool
    isolated_dc: bool
    changeover: bool


@dataclass(frozen=True)
class SupplyPath:
    """All that stands along the path. `protective` are the words at the main protective conductor,
    `points` the charging points a limiter speaks to, `place` says where the board stands.
    """

    stops: tuple[PathStop, ...]
    ways: tuple[PathWay, ...]
    source_electrode: PathLabel
    system: str
    nec: bool
    board: str
    earth_bar: str
    protective: tuple[str, ...]
    board_rod: PathRod | None
    points: tuple[str, ...]
    sources: tuple[PathSource, ...] = ()
    place: str = ""

    def sources_at(self, at: str) -> tuple[PathSource, ...]:
        """Those that feed in at one place."""
        return tuple(source for source in self.sources if source.at == at)


def supply_path(installation: Installation, with_figures: bool = True) -> SupplyPath:
    """The path of an installation; a question about a figure shows it without figures."""
    said = _Said(installation, with_figures)
    return SupplyPath(
        tuple(_stops(said)),
        _ways(said),
        PathLabel("source-electrode", _source_electrode(installation)),
        str(installation.supply.system),
        said.nec,
        said("New board"),
        said("earth bar"),
        _protective(installation),
        _rod(said, own, "Earth electrode")
        if (own := installation.electrode_of_board) is not None
        else None,
        tuple(point.name for point in installation.charging_points),
        tuple(_sources(said)),
        "in another building" if installation.board_is_detached else "",
    )


def labels_of(path: SupplyPath) -> Iterator[PathLabel]:
    """Every label in the order of reading, which is the order of the numbers of its figures."""
    for stop in path.stops:
        yield from (rod.told for rod in stop.rods)
        if stop.told is not None:
            yield stop.told
    if path.board_rod is not None:
        yield path.board_rod.told
    yield from (source.told for source in path.sources)
    yield from (way.told for way in path.ways)
    for way in path.ways:
        if way.run is not None:
            yield way.run.told
            if way.run.point.surge is not None:
                yield way.run.point.surge.told
            yield way.run.point.told
            for rod in (way.run.point.rod, way.run.point.measures):
                if rod is not None:
                    yield rod.told
            yield way.run.vehicle.told


@dataclass(frozen=True)
class _Said:
    """The words of the rule set, and which steps are called out where."""

    installation: Installation
    with_figures: bool

    @property
    def nec(self) -> bool:
        return self.installation.rules == "nec"

    def __call__(self, text: str) -> str:
        return in_nec_words(text) if self.nec else text

    def steps(self, kind: str, of: str) -> tuple[tuple[str, str], ...]:
        if not self.with_figures:
            return ()
        return tuple((step, of) for step in words.called_out(self.installation.rules)[kind])


def _source_electrode(installation: Installation) -> tuple[str, ...]:
    ohms = installation.supply.source_electrode_ohm
    if installation.supply.system == "grounded" and not is_known(ohms):
        # no figure of the nec's working rests on its resistance
        return ("Grounded at the utility's source",)
    value = words.amount(ohms, "ohm").replace("ohm", "Ω") if is_known(ohms) else "not known"
    return ("Source electrode", value)


def _protective(installation: Installation) -> tuple[str, ...]:
    cpc = getattr(getattr(installation.feed, "cable", None), "cpc_mm2", None)
    if not isinstance(cpc, (int, float)):
        return ("PE",)
    return ("PE", f"{words.figure_in_formula(float(cpc))} mm²")


# From the source to the board


def _stops(said: _Said) -> Iterator[PathStop]:
    installation = said.installation
    yield PathStop(
        "source",
        "source",
        said("The distributor's source"),
        SourceSymbol,
        PathLabel("source", tuple(words.supply_words(installation))),
    )
    yield PathStop("line", "service", conductors=_incoming(installation))
    yield from _origin(said)
    limited, limiter = _senses_after_split(installation), tuple(_limiter(said))
    if not limited:
        yield from limiter
    yield from _surge_stops(said)
    feed = installation.feed
    if not isinstance(feed, Absent):
        yield from _feed(said, feed, limiter if limited else ())
    yield _main_switch(said)


def _incoming(installation: Installation) -> tuple[str, ...]:
    supply = installation.supply
    count = 2 if supply.system == "grounded" and supply.phases == 1 else int(supply.phases)
    lines = ("L1", "L2", "L3")[:count]
    ends = {"TN-C-S": ("PEN",), "TT": ("N",), "grounded": ("N",)}
    return (*lines, *ends.get(str(supply.system), ("N", "PE")))


def _origin(said: _Said) -> Iterator[PathStop]:
    installation = said.installation
    supply = installation.supply
    # common practice there: the meter ahead of the service disconnect, where neutral and ground
    # are joined
    ahead = [_meter(), _earthing(said), _service(said)]
    yield from ahead if said.nec else (*ahead[1:], ahead[0])
    upstream = residual_device_at_origin(installation)
    if isinstance(upstream, ResidualCurrentDevice):
        line = words.residual_words(upstream)
        yield _device("upstream-rcd", ResidualCurrentDeviceSymbol, said(line), line)
    if supply.isolator is True:
        yield _device("isolator", Isolator, "Isolator", "Isolator")
    if any(source.at == "origin" for source in _sources(said)):
        yield PathStop("joined", "origin-sources")


def _device(name: str, symbol: Symbol, title: str, line: str) -> PathStop:
    return PathStop("device", name, title, symbol, PathLabel(name, (line,)))


def _service(said: _Said) -> PathStop:
    device = getattr(said.installation.supply.service_device, "device", "")
    breaker = said.nec and device == "circuit-breaker"
    return PathStop(
        "service",
        "service-device",
        "Service disconnect" if said.nec else "Service device of the distributor",
        CircuitBreaker if breaker else CutOut,
        PathLabel(
            "service-device",
            tuple(words.service_words(said.installation)),
            said.steps("supply", "supply"),
            ("supply", "origin"),
            AUTHORISED_ONLY,
        ),
    )


def _meter() -> PathStop:
    told = PathLabel("meter", ("Energy meter",), note=AUTHORISED_ONLY)
    return PathStop("meter", "meter", "Energy meter", EnergyMeter, told)


def _earthing(said: _Said) -> PathStop:
    """The main earthing terminal and what earths it."""
    name = ("Grounding terminal", "of the service") if said.nec else ("Main earthing terminal",)
    held = [
        _rod(said, item, "Earth electrode")
        for item in said.installation.electrodes
        if item.use in ("installation", "holds-down-open-pen")
    ]
    return PathStop(
        "earthing", "met", " ".join(name), told=PathLabel("met", name), rods=tuple(held)
    )


def _rod(said: _Said, item: Electrode, kind: str) -> PathRod:
    lines = tuple(line for line in words.electrode_words(item) if line)
    name = f"electrode.{item.name}"
    told = PathLabel(name, lines, said.steps("electrode", item.name), (item.name,))
    return PathRod(name, f"{kind} {item.name}", told)


def _senses_after_split(installation: Installation) -> bool:
    limiter, feed = installation.load_limiter, installation.feed
    return (
        isinstance(limiter, LoadLimiter)
        and not isinstance(limiter.senses, Absent)
        and limiter.senses.place == "after-split"
        and not isinstance(feed, Absent)
    )


def _limiter(said: _Said) -> Iterator[PathStop]:
    limiter = said.installation.load_limiter
    if isinstance(limiter, LoadLimiter):
        lines = (*words.limiter_words(limiter), "its current transformer senses the line here")
        yield PathStop(
            "limiter",
            "load-limiter",
            "Load limiter with its current transformer",
            LoadLimiterSymbol,
            PathLabel("load-limiter", lines, places=("load_limiter",)),
        )


def _feed(said: _Said, feed: Feed, limiter: tuple[PathStop, ...]) -> Iterator[PathStop]:
    installation = said.installation
    boards = installation.existing_boards
    named = [str(item) for item in feed.through if isinstance(item, str)]
    if feed.from_ == "existing-board-way":
        yield _through_existing(said, boards, named)
    elif feed.from_ == "connector-block":
        yield _branch_off(boards)
    yield from limiter
    devices = [item for item in feed.through if isinstance(item, ServiceDevice)]
    for number, item in enumerate(devices, 1):
        if item.device == "switch-fuse":
            title = "Switch of the feed"
            yield PathStop("device", "feed-switch", title, SwitchDisconnector)
        symbol: Symbol = CircuitBreaker if item.device == "circuit-breaker" else Fuse
        line = f"Feed: {words.device_phrase(item)}"
        yield _device(f"feed-device.{number}", symbol, said(line), line)
    yield _feed_cable(said, feed, named if feed.from_ != "existing-board-way" else [])


def _branch_off(boards: tuple[ExistingBoard, ...]) -> PathStop:
    """The connector block: the existing boards branch off to the left."""
    lines = tuple(line for board in boards for line in words.existing_words(board))
    told = PathLabel("existing-board", lines, places=tuple(board.name for board in boards))
    return PathStop(
        "branch-off",
        "existing-board",
        "Existing board" if len(boards) == 1 else "Existing boards",
        told=told if boards else None,
    )


def _through_existing(said: _Said, boards: tuple[ExistingBoard, ...], named: list[str]) -> PathStop:
    """The feed leaves a way of the existing board: the path runs through it."""
    ahead = [
        words.residual_words(rcd)
        for board in boards
        for rcd in board.rcds
        if is_known(rcd.covers)
        and any(name in (f"{board.name}.{part}" for part in rcd.covers) for name in named)
    ]
    lines = (
        said("Existing board"),
        *(line for board in boards for line in words.existing_words(board)[:1]),
        *(
            f"by way of {way_in_words(name)}"
            for name in named
            if name not in {board.name for board in boards}
        ),
        *ahead,
    )
    return PathStop(
        "through",
        "existing-board",
        said("Existing board"),
        told=PathLabel("existing-board", lines, places=tuple(board.name for board in boards)),
        inner=tuple((f"existing-rcd.{place}", line) for place, line in enumerate(ahead, 1)),
    )


def _feed_cable(said: _Said, feed: Feed, named: list[str]) -> PathStop:
    lines = dict.fromkeys(line for each in said.installation.circuits for line in each.lines)
    cable = feed.cable
    return PathStop(
        "cable",
        "feed",
        conductors=(*(lines or ("L1",)), "N", "PE"),
        armoured=_armoured(cable),
        told=PathLabel(
            "feed",
            (
                *words.cable_lines("Feed", cable, feed.route),
                *armour_words(said.installation),
                *(f"by way of {way_in_words(name)}" for name in named),
            ),
            said.steps("feed", "feed"),
            ("feed",),
        ),
    )


def _armoured(cable: Cable | Absent) -> bool | None:
    """None where there is no sheath to draw: single cores, or a cable that is not known."""
    if isinstance(cable, Absent) or cable.construction == "single-core":
        return None
    return bool(cable.construction == "armoured")


def _main_switch(said: _Said) -> PathStop:
    switch = said.installation.board.main_switch
    known = not isinstance(switch, Absent)
    symbols = {"isolator": Isolator, "circuit-breaker": CircuitBreaker}
    kind = str(getattr(switch, "device", ""))
    name = getattr(switch, "name", "")
    return PathStop(
        "switch",
        f"part.{name}" if known else "",
        f"{name}, main switch" if known else "",
        symbols.get(kind, SwitchDisconnector) if known else None,
        PathLabel(
            "main-switch",
            tuple(words.main_switch_words(said.installation)),
            said.steps("board", "board"),
            ("board", "bar", "earth-bar", "neutral-bar", *([name] if known else [])),
        ),
    )


# Ways and what hangs on them


def _ways(said: _Said) -> tuple[PathWay, ...]:
    """Those on the bar from the incoming end, then those that others feed."""
    made = [_way(said, way) for way in said.installation.board.ways if way.device != "blank"]
    return (*(way for way in made if way.on_bar), *(way for way in made if not way.on_bar))


def _way(said: _Said, way: Way) -> PathWay:
    circuit = next((c for c in said.installation.circuits if c.name == way.feeds), None)
    neutral = words.switched_neutral(way) if way.device == "rcbo" else "none"
    if way.device == "spd":
        figures = said.steps("spd", way.name)
    else:
        figures = said.steps("device", circuit.name) if circuit else ()
    lines = tuple(words.way_words(way))
    return PathWay(
        way.name,
        ", ".join(lines),
        _way_symbol(way, neutral),
        PathLabel(f"way.{way.name}", lines, figures, (way.name,)),
        str(way.fed_from) if is_known(way.fed_from) else "bar",
        way.device == "spd",
        neutral != "none",
        None if circuit is None else _run(said, circuit),
    )


def _way_symbol(way: Way, neutral: str) -> Symbol:
    if way.device == "spd":
        return partial(SurgeDevice, "CT2" if way.connection == "CT2" else "CT1")
    if way.device == "rcbo":
        return partial(Rcbo, neutral)
    others: dict[str, Symbol] = {
        "rcd": ResidualCurrentDeviceSymbol,
        "fuse": Fuse,
        "contactor": ContactorSymbol,
    }
    return others.get(str(way.device), CircuitBreaker)


def _run(said: _Said, circuit: Circuit) -> PathRun:
    cable = circuit.cable
    return PathRun(
        circuit.name,
        PathLabel(
            f"circuit.{circuit.name}",
            tuple(words.cable_lines(circuit.name, cable, circuit.route)),
            said.steps("cable", circuit.name),
            (circuit.name,),
        ),
        words.conductor_functions(circuit),
        _armoured(cable),
        _point(said, circuit),
        _vehicle(said, circuit),
        bool(_through_points(said.installation, circuit)),
    )


def _point(said: _Said, circuit: Circuit) -> PathPoint:
    installation = said.installation
    points = installation.points_of(circuit)
    point = points[0]
    own = installation.electrode(str(point.earthed_by)) if is_known(point.earthed_by) else None
    lines = words.point_words(point)
    if len(points) > 1:
        lines.insert(1, "with " + ", ".join(other.name for other in points[1:]))
    lines += several_words(installation, point)
    lines += words.earthed_words(point, installation.electrode(str(point.earthed_by)))
    figures = said.steps("point", circuit.name)
    for other in points:
        figures += said.steps("earthing", other.name)
    device = getattr(point.open_pen, "measure", None) == "device"
    senses = device and getattr(point.open_pen, "senses", None) == "earth-voltage"
    measuring = next((item for item in installation.electrodes if item.use == "measuring"), None)
    return PathPoint(
        point.name,
        PathLabel(
            f"point.{point.name}", tuple(lines), figures, tuple(each.name for each in points)
        ),
        device,
        _rod(said, own, "Earth electrode") if own and own.use == "charging-point" else None,
        _rod(said, measuring, "Measuring electrode") if measuring and senses else None,
        next(iter(_surges(said, *(each.name for each in points))), None),
        next(iter(words.built_in_words(point)), ""),
    )


def _surges(said: _Said, *places: str) -> tuple[PathSurge, ...]:
    """The surge protective devices that stand at these places."""
    return tuple(
        PathSurge(
            f"part.{device.name}",
            f"{device.name}, surge protective device at {device.at}",
            partial(SurgeDevice, "CT2" if device.connection == "CT2" else "CT1"),
            PathLabel(
                f"surge.{device.name}",
                tuple(words.surge_words(device)),
                said.steps("surge", device.name),
                (device.name,),
            ),
        )
        for device in said.installation.surge_devices
        if device.at in places
    )


def _surge_stops(said: _Said) -> Iterator[PathStop]:
    """Those between the meter and the feed: at the origin, and in existing boards."""
    boards = (board.name for board in said.installation.existing_boards)
    for each in _surges(said, "origin", *boards):
        yield PathStop("surge", each.name, each.title, each.symbol, each.told)


def _vehicle(said: _Said, circuit: Circuit) -> PathVehicle:
    names = {point.name for point in said.installation.points_of(circuit)}
    found: Vehicle | None = next(
        (each for each in said.installation.vehicles if each.at in names), None
    )
    backs = _through_points(said.installation, circuit)
    lines = tuple(line for source in backs for line in words.fed_back_words(source))
    figures = tuple(step for source in backs for step in said.steps("source", source.name))
    places = tuple(str(source.name) for source in backs)
    if found is None:
        told = PathLabel(f"vehicle.{circuit.name}", ("vehicle", *lines), figures, places)
        return PathVehicle("", told)
    told = PathLabel(
        f"vehicle.{found.name}",
        (*words.vehicle_words(found), *lines),
        (*said.steps("vehicle", found.name), *figures),
        (found.name, *places),
    )
    return PathVehicle(found.name, told)


# Other sources


def _through_points(installation: Installation, circuit: Circuit) -> tuple[OtherSource, ...]:
    """Those that feed in by a charging point of the circuit."""
    names = {point.name for point in installation.points_of(circuit)}
    return tuple(each for each in installation.sources if each.joined_at in names)


def _sources(said: _Said) -> Iterator[PathSource]:
    """Those that no charging point shows; one whose place is not known is drawn at the origin, and
    says so.
    """
    job = said.installation
    boards = {board.name for board in job.existing_boards}
    points = {point.name for point in job.charging_points}
    for source in job.sources:
        at = str(source.joined_at) if is_known(source.joined_at) else ""
        if at in points:
            continue
        lines = tuple(words.source_words(source)) + (() if at else ("feeds in: not known where",))
        if len(boards) > 1 and at in boards:
            lines += (f"feeds in at {at}",)
        yield PathSource(
            f"source.{source.name}",
            f"{source.name}, {words.SOURCE_WORDS[source.kind]}",
            source.kind,
            PathLabel(
                f"source.{source.name}",
                lines,
                said.steps("source", source.name),
                (source.name,),
            ),
            "existing-board" if at in boards else at or "origin",
            source.isolator is True,
            source.isolator_dc is True,
            source.changeover is True,
        )
