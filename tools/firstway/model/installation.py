"""Model: one installation, frozen, in the words and units of its file.

Every attribute is the key of the file with the same name (`from` is `from_`). Numbers carry their
unit in the name. A value may be an `Absent` word instead, unless its key is required (a file
without it is refused); an absent key reads `UNKNOWN`. Every value carries the path of its key;
reading a key that is assumed notes it (`model/evidence.py`).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from firstway.model.evidence import note_assumed
from firstway.model.values import (
    CHOOSE,
    NONE,
    UNDECLARED,
    Absent,
    Placed,
    a_day,
    count,
    flag,
    identities,
    identity,
    known_by,
    number,
    positive,
    prose,
    section,
    sections,
    sections_or_words,
    terminals,
    word,
    words_of,
)

Amount = float | Absent
Trade = str | Absent
YesNo = bool | Absent

RULE_SETS = ("bs7671", "iec60364", "nec")
LINES = ("L1", "L2", "L3")
RESIDUAL_TYPES = ("AC", "A", "F", "B")
DELAYS = ("none", "S", "G")


@dataclass(frozen=True)
class Premises(Placed):
    use: Trade = word("dwelling", "site")
    used_by: Trade = word("ordinary-persons", "instructed-persons", "skilled-persons")
    public: YesNo = flag()
    lightning_protection: YesNo = flag()
    service_work: Trade = word("new", "replaced", also=(NONE,))


@dataclass(frozen=True)
class Cable(Placed):
    """A cable or a set of single cores. Resistances and capacities come from the tables."""

    construction: Trade = word("single-core", "flat-twin-and-earth", "armoured", "multicore", "nm")
    insulation: Trade = word("thermoplastic-70", "thermosetting-90", "thhn90")
    cores: Amount = count(at_least=1, at_most=7)
    csa_mm2: Amount = positive(CHOOSE, at_most=400)
    protective: Trade = word("core", "armour", "separate", also=(NONE,))
    cpc_mm2: Amount = positive(CHOOSE, NONE, at_most=400)
    size_awg: Trade = prose(CHOOSE)
    egc_awg: Trade = prose(CHOOSE, NONE)
    wiring_method: Trade = word("raceway", "nm-cable", "mc-cable")
    armour_earthed: Trade = word("board-end", "far-end", "both-ends", "neither-end")
    terminals_c: Amount = positive(at_most=110)
    colours: Trade = word("harmonised", "red-black", "nec")
    data_pair_v: Amount = positive(NONE, at_most=1000)


@dataclass(frozen=True)
class Stretch(Placed):
    """One part of a route, run in one way."""

    method: str = word(
        "A",
        "A1",
        "A2",
        "B",
        "B1",
        "B2",
        "C",
        "D1",
        "D2",
        "E",
        "F",
        "100",
        "101",
        "102",
        "103",
        "raceway",
        "nm-cable",
        "buried",
        required=True,
    )
    length_m: float = positive(at_most=2000, required=True, usual=(0.1, 2000))
    ambient_c: Amount = number(at_least=-40, at_most=80)
    ground_c: Amount = number(at_least=-20, at_most=50)
    soil_k_m_per_w: Amount = positive(at_most=5)
    depth_m: Amount = positive(at_most=5, usual=(0.02, 5))
    grouped_circuits: Amount = count(at_least=1, at_most=40)
    grouped_as: Trade = word("bunched", "single-layer")
    thermal_insulation_length_mm: Amount = number(at_least=1, or_zero=True, at_most=100_000)
    depth_in_wall_mm: Amount = number(at_least=1, or_zero=True, at_most=1000)
    current_carrying: Amount = count(at_least=1, at_most=40)


@dataclass(frozen=True)
class Lead(Placed):
    """One wire by itself: of a surge protective device, an electrode, a main earthing terminal."""

    length_m: Amount = positive(at_most=100)
    csa_mm2: Amount = positive(at_most=400)
    size_awg: Trade = prose()


@dataclass(frozen=True)
class ProspectiveFaultCurrent(Placed):
    line_neutral: Amount = positive(at_most=200)
    line_earth: Amount = positive(NONE, at_most=200)
    line_line: Amount = positive(at_most=200)
    three_phase: Amount = positive(at_most=200)


@dataclass(frozen=True)
class ServiceDevice(Placed):
    device: Trade = word("fuse", "circuit-breaker", "switch-fuse")
    standard: Trade = prose()
    rating_a: Amount = positive(at_most=6300, usual=(5, 3000))
    poles: Amount = count(at_least=1, at_most=4)
    curve: Trade = word("B", "C", "D")
    breaking_capacity_ka: Amount = number(UNDECLARED, at_least=0.1, at_most=200, usual=(0.5, 200))


@dataclass(frozen=True)
class ResidualCurrentDevice(Placed):
    standard: Trade = prose()
    residual_type: Trade = word(*RESIDUAL_TYPES)
    rated_residual_current_ma: Amount = number(at_least=4, at_most=3000, usual=(5, 3000))
    delay: Trade = word(*DELAYS)
    covers: tuple[str, ...] | Absent = identities()


@dataclass(frozen=True)
class Supply(Placed):
    system: str = word("TN-S", "TN-C-S", "TT", "grounded", required=True)
    phases: int = count(at_least=1, at_most=3, required=True)
    line_to_earth_v: float = positive(at_most=1000, required=True, usual=(50, 1000))
    line_to_line_v: Amount = positive(at_most=1000, usual=(80, 1000))
    ze_ohm: Amount = positive(NONE, at_most=1000)
    line_neutral_loop_ohm: Amount = positive(at_most=100)
    source_electrode_ohm: Amount = positive(at_most=1000, usual=(0.05, 1000))
    prospective_fault_current_ka: ProspectiveFaultCurrent | Absent = section(
        ProspectiveFaultCurrent
    )
    service_device: ServiceDevice | Absent = section(ServiceDevice)
    upstream_rcd: ResidualCurrentDevice | Absent = section(ResidualCurrentDevice, NONE)
    isolator: YesNo = flag()
    looped: YesNo = flag()
    double_or_reinforced_insulation: YesNo = flag()
    earthing_conductor: Lead | Absent = section(Lead)
    cable: Cable | Absent = section(Cable)
    route: tuple[Stretch, ...] = sections(Stretch)


@dataclass(frozen=True)
class LineLoad(Placed):
    maximum_demand_a: Amount = number(at_least=0, at_most=10_000)
    at_once_a: Amount = number(at_least=0, at_most=10_000)


@dataclass(frozen=True)
class ExistingLoad(Placed):
    """Load of the installation without the new points."""

    L1: LineLoad | Absent = section(LineLoad)
    L2: LineLoad | Absent = section(LineLoad)
    L3: LineLoad | Absent = section(LineLoad)
    basis: Trade = word("measured", "calculated", "estimated")


@dataclass(frozen=True)
class Senses(Placed):
    lines: tuple[str, ...] | Absent = words_of(*LINES)
    place: Trade = word("before-split", "after-split")
    arrow: Trade = word("to-load", "to-supply")


@dataclass(frozen=True)
class LoadLimiter(Placed):
    limit_a: Amount = positive(at_most=6300)
    senses: Senses | Absent = section(Senses)
    on_lost_signal_a: Amount = number(at_least=0, at_most=1000)
    documented: YesNo = flag()


EARTHED_BY = ("earth-bar", "conductor")


@dataclass(frozen=True)
class BoardEnclosure(Placed):
    """Of an existing board or a charging point.

    `earthed_by`: what joins its metal to the protective conductor.
    """

    material: Trade = word("steel", "plastic", "aluminium")
    earthed_by: Trade = word(*EARTHED_BY, also=(NONE,))
    protective_mm2: Amount = positive(at_most=400)


@dataclass(frozen=True)
class ExistingBoard(Placed):
    name: str = identity(required=True)
    year: Amount = count(at_least=1900, at_most=2100)
    colours: Trade = word("harmonised", "red-black", "nec")
    enclosure: BoardEnclosure | Absent = section(BoardEnclosure)
    spare_ways: Amount = count()
    main_bonding_mm2: Amount = positive(NONE, at_most=400)
    protective_conductor: Lead | Absent = section(Lead)
    rcds: tuple[ResidualCurrentDevice, ...] = sections(ResidualCurrentDevice)


@dataclass(frozen=True)
class Feed(Placed):
    """From the existing installation to the new board."""

    from_: Trade = word("connector-block", "existing-board-way", "new-service")
    through: tuple[str | ServiceDevice, ...] = sections_or_words(ServiceDevice)
    cable: Cable | Absent = section(Cable)
    route: tuple[Stretch, ...] = sections(Stretch)
    one_opening: YesNo = flag()
    double_or_reinforced_insulation: YesNo = flag()


@dataclass(frozen=True)
class Place(Placed):
    location: Trade = word("indoors", "outdoors")
    ambient_c: Amount = number(at_least=-40, at_most=60)
    meter_box: YesNo = flag()


@dataclass(frozen=True)
class Assembly(Placed):
    standard: Trade = prose()
    rating_a: Amount = positive(at_most=6300)
    rated_diversity_factor: Amount = number(above=0, at_most=1)
    conditional_fault_rating_ka: Amount = positive(at_most=200)
    devices_declared: YesNo = flag()
    main: Trade = word("lugs", "switch", "breaker")
    neutral_bonded: YesNo = flag()
    fault_rating_ka: Amount = positive(at_most=200)
    terminals_c: Amount = positive(at_most=110)


@dataclass(frozen=True)
class Enclosure(Placed):
    material: Trade = word("steel", "plastic", "aluminium")
    width_mm: Amount = positive(at_most=3000, usual=(50, 3000))
    height_mm: Amount = positive(at_most=3000, usual=(70, 3000))
    depth_mm: Amount = positive(at_most=1000, usual=(40, 1000))
    mounting: Trade = word("wall", "flush", "free-standing")
    modules: Amount = count(at_least=1, at_most=200)
    ip: Trade = prose()
    double_or_reinforced_insulation: YesNo = flag()
    earthed_by: Trade = word(*EARTHED_BY, also=(NONE,))
    protective_mm2: Amount = positive(at_most=400)
    feed_enters: Trade = word("top", "bottom", "left", "right", "back")
    circuits_leave: Trade = word("top", "bottom", "left", "right", "back")
    main_switch_end: Trade = word("left", "right", "top", "bottom")
    neutral_bar: Trade = word("left", "right", "top", "bottom")
    earth_bar: Trade = word("left", "right", "top", "bottom")
    spare_ways_blanked: YesNo = flag()


@dataclass(frozen=True)
class Busbar(Placed):
    style: Trade = word("pin", "fork", "tabs", "links", also=(NONE,))
    rating_a: Amount = positive(at_most=6300)
    lines: tuple[str, ...] | Absent = words_of(*LINES)
    pitch_mm: Amount = positive(at_most=100, usual=(10, 60))
    joins_at: Trade = word("top", "bottom", "back")


@dataclass(frozen=True)
class Terminals(Placed):
    torque_nm: Amount = positive(UNDECLARED, at_most=100, usual=(0.2, 15))
    torque_lbf_in: Amount = positive(UNDECLARED, at_most=1000, usual=(2, 400))
    strip_mm: Amount = positive(UNDECLARED, at_most=100, usual=(4, 40))
    min_mm2: Amount = positive(UNDECLARED, at_most=400)
    max_mm2: Amount = positive(UNDECLARED, at_most=400)
    conductors: Amount = count(UNDECLARED, at_least=1, at_most=10)
    ferrule: Trade = word("stranded-only", "always", "never", also=(UNDECLARED,))


@dataclass(frozen=True)
class MainSwitch(Placed):
    name: str = identity(required=True)
    device: Trade = word("switch-disconnector", "isolator", "circuit-breaker")
    standard: Trade = prose()
    switched_poles: Amount = count(at_least=1, at_most=4)
    rating_a: Amount = positive(at_most=6300)
    modules: Amount = count(at_least=1, at_most=12)
    loss_w_per_pole: Amount = number(UNDECLARED, at_least=0, at_most=100)
    terminals: Terminals | Absent = section(Terminals)


@dataclass(frozen=True)
class Leads(Placed):
    line: Lead | Absent = section(Lead)
    neutral: Lead | Absent = section(Lead)
    earth: Lead | Absent = section(Lead)
    through_own_device_m: Amount = number(at_least=0, at_most=100)


@dataclass(frozen=True)
class NeutralEarthModule(Placed):
    continuous_voltage_v: Amount = positive(at_most=1500)
    protection_level_kv: Amount = positive(at_most=20)
    nominal_discharge_current_ka: Amount = positive(at_most=200)


@dataclass(frozen=True)
class LetThrough(Placed):
    """One point of the maker's energy let-through: valid up to its current."""

    fault_current_ka: float = positive(at_most=200, required=True)
    energy_ka2s: float = positive(at_most=100_000, required=True)


@dataclass(frozen=True)
class WarmRating(Placed):
    ambient_c: float = number(at_least=-40, at_most=100, required=True)
    rating_a: float = positive(at_most=6300, required=True)


@dataclass(frozen=True)
class Way(Placed):
    """One device on the rail. Which keys mean something depends on `device`."""

    name: str = identity(required=True)
    device: str = word(
        "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "blank", "contactor", required=True
    )
    modules: int = count(at_least=1, at_most=24, required=True)
    fed_from: Trade = identity()
    line: Trade = word(*LINES)
    feeds: Trade = identity()
    standard: Trade = prose()
    protected_poles: Amount = count(at_least=1, at_most=4)
    switched_poles: Amount = count(at_least=1, at_most=4)
    rating_a: Amount = positive(CHOOSE, at_most=6300)
    curve: Trade = word("B", "C", "D")
    rated_residual_current_ma: Amount = number(at_least=4, at_most=3000, usual=(5, 3000))
    residual_type: Trade = word(*RESIDUAL_TYPES)
    delay: Trade = word(*DELAYS)
    breaking_capacity_ka: Amount = number(UNDECLARED, at_least=0.1, at_most=200, usual=(0.5, 200))
    supply_end: Trade = word("top", "bottom", "either", also=(UNDECLARED,))
    bidirectional: YesNo = flag(UNDECLARED)
    loss_w_per_pole: Amount = number(UNDECLARED, at_least=0, at_most=100)
    let_through: tuple[LetThrough, ...] = sections(LetThrough)
    rating_when_warm: tuple[WarmRating, ...] = sections(WarmRating)
    type: Amount = count(at_least=1, at_most=3)
    connection: Trade = word("CT1", "CT2", "lines-neutral-earth")
    continuous_voltage_v: Amount = positive(at_most=1500, usual=(50, 1500))
    protection_level_kv: Amount = positive(at_most=20, usual=(0.3, 20))
    nominal_discharge_current_ka: Amount = positive(at_most=200, usual=(0.5, 200))
    neutral_earth: NeutralEarthModule | Absent = section(NeutralEarthModule)
    short_circuit_rating_ka: Amount = positive(UNDECLARED, at_most=300)
    voltage_at_1_ma_v: Amount = positive(UNDECLARED, at_most=3000, usual=(50, 3000))
    own_protection: Trade = word("internal", "external", also=(NONE, UNDECLARED))
    backup_fuse_max_a: Amount = positive(UNDECLARED, at_most=6300)
    state: Trade = word("healthy", "worn")
    leads: Leads | Absent = section(Leads)
    terminals_c: Amount = positive(at_most=110)
    terminals: Terminals | Absent = section(Terminals)
    data_sheet: Trade = prose()


@dataclass(frozen=True)
class Board(Placed):
    place: Place | Absent = section(Place)
    assembly: Assembly | Absent = section(Assembly)
    enclosure: Enclosure | Absent = section(Enclosure)
    busbar: Busbar | Absent = section(Busbar)
    main_switch: MainSwitch | Absent = section(MainSwitch, NONE)
    ways: tuple[Way, ...] = sections(Way, required=True)


@dataclass(frozen=True)
class Circuit(Placed):
    name: str = identity(required=True)
    supplies: tuple[str, ...] = identities(required=True)
    lines: tuple[str, ...] = words_of(*LINES, required=True)
    neutral: YesNo = flag()
    cable: Cable = section(Cable, required=True)
    route: tuple[Stretch, ...] = sections(Stretch, required=True)


@dataclass(frozen=True)
class OpenPen(Placed):
    measure: Trade = word("three-phase-balance", "electrode", "device", also=(NONE,))
    senses: Trade = word(
        "earth-voltage", "line-neutral-voltage", "three-lines", "protective-current"
    )
    opens_protective_conductor: YesNo = flag(UNDECLARED)
    acts_within_s: Amount = positive(UNDECLARED, at_most=60)
    recloses: YesNo = flag(UNDECLARED)
    standard: Trade = prose(NONE, UNDECLARED)


@dataclass(frozen=True)
class ChargingPoint(Placed):
    name: str = identity(required=True)
    current_a: Amount = number(at_least=6, at_most=400)
    power_kw: Amount = number(at_least=0.72, at_most=300)
    setting_locked: YesNo = flag()
    lines: tuple[str, ...] = words_of(*LINES, required=True)
    location: Trade = word("indoors", "outdoors")
    charges_outdoors: YesNo = (
        flag()
    )  # of a point indoors: whether a vehicle outdoors can be reached from it
    outlet: Trade = word("tethered", "socket", "receptacle")
    lead_m: Amount = positive(at_most=100, usual=(0.5, 30))
    lead_mm2: Amount = positive(UNDECLARED, at_most=400)
    lead_protective_mm2: Amount = positive(UNDECLARED, at_most=400)
    enclosure: BoardEnclosure | Absent = section(BoardEnclosure)
    hard_wired: YesNo = flag()
    listed: YesNo = flag()
    dc_detection: Trade = word("rdc-dd", "rdc-pd", "rdc-md", "type-b", also=(NONE, UNDECLARED))
    built_in_rcd: Trade = word("ccid-20", "type-a", "type-b", "type-f", also=(NONE, UNDECLARED))
    bidirectional: YesNo = flag(UNDECLARED)
    ip: Trade = prose()
    spd: Trade = prose(NONE)
    earthed_by: Trade = identity()
    open_pen: OpenPen | Absent = section(OpenPen)
    distance_to_other_earth_m: Amount = number(at_least=0, at_most=10_000)
    distance_below_ground_m: Amount = number(at_least=0, at_most=10_000)


@dataclass(frozen=True)
class Electrode(Placed):
    name: str = identity(required=True)
    use: str = word(
        "installation", "charging-point", "holds-down-open-pen", "measuring", required=True
    )
    resistance_ohm: Amount = positive(at_most=100_000, usual=(0.5, 100_000))
    rods: Amount = count(CHOOSE, at_least=1, at_most=50)
    spacing_m: Amount = positive(at_most=100)
    length_m: Amount = positive(at_most=50, usual=(0.3, 50))
    diameter_mm: Amount = positive(at_most=100, usual=(5, 100))
    soil_ohm_m: Amount = positive(at_most=100_000, usual=(1, 100_000))
    lead: Lead | Absent = section(Lead)


@dataclass(frozen=True)
class Vehicle(Placed):
    name: str = identity(required=True)
    at: str = identity(required=True)
    on_board_charger_kw: Amount = positive(at_most=100, usual=(1, 100))
    phases: Amount = count(at_least=1, at_most=3)
    battery_kwh: Amount = positive(at_most=2000, usual=(3, 2000))
    from_percent: Amount = number(at_least=0, at_most=100)
    to_percent: Amount = number(at_least=0, at_most=100)
    efficiency_percent: Amount = number(above=0, at_most=100)
    surge_input: Trade = word("open", "capacitor", "varistor", "rectifier")


@dataclass(frozen=True)
class Reading(Placed):
    """One test that was made.

    `at` names a part (or `origin`, `board`), `between` the two conductors it stood on. `state` is
    the simulated state of the control pilot, `result` the finding where there is no figure.
    """

    test: str = word(
        "ze",
        "zs",
        "r1-plus-r2",
        "insulation",
        "rcd-time",
        "prospective-fault-current",
        "electrode",
        "polarity",
        "voltage",
        "electrode-lead",
        "continuity",
        "phase-sequence",
        "test-button",
        "main-switch",
        "state",
        "lock",
        "open-pen",
        "limiter",
        required=True,
    )
    at: Trade = identity()
    circuit: Trade = identity()
    between: tuple[str, ...] | Absent = words_of(*LINES, "N", "PE")
    ohm: Amount = number(at_least=0, at_most=1_000_000)
    megohm: Amount = number(at_least=0, at_most=100_000)
    ms: Amount = number(at_least=1, or_zero=True, at_most=100_000)
    ka: Amount = number(at_least=0, at_most=200)
    v: Amount = number(at_least=0, at_most=1000)
    a: Amount = number(at_least=0, at_most=6300)
    s: Amount = number(at_least=0, at_most=1000)
    test_v: Amount = positive(at_most=1000)
    surge_device: Trade = word("in", "out")
    sequence: Trade = word("L1-L2-L3", "L1-L3-L2")
    state: Trade = word("A", "B", "C", "D", "E", "F", "protective-conductor-open", "signal-lost")
    result: Trade = word("satisfactory", "unsatisfactory")
    day: date | Absent = a_day()


CONTACTS = (
    "sound",
    "loose",
    "over-tight",
    "beside-the-clamp",
    "insulation-under-the-clamp",
    "cut-strands",
    "high-resistance",
)


@dataclass(frozen=True)
class WiringChange(Placed):
    """One change to the wiring that follows from the rest of the file; exactly one of the first
    five keys.

    `remove`, `move` and `set` name a conductor, `swap` two terminals whose conductors change
    places, `add` names a new conductor. `end` is `start` or `end` of the conductor.
    """

    remove: Trade = prose()
    move: Trade = prose()
    swap: tuple[str, ...] | Absent = terminals()
    add: Trade = prose()
    set: Trade = prose()
    end: Trade = word("start", "end")
    from_: Trade = prose()
    to: Trade = prose()
    function: Trade = word("L1", "L2", "L3", "N", "PE")
    csa_mm2: Amount = positive(at_most=400)
    length_m: Amount = positive(at_most=2000)
    colour: Trade = prose()
    contact: Trade = word(*CONTACTS)
    contact_ohm: Amount = number(at_least=0, at_most=1000)


@dataclass(frozen=True)
class Installation(Placed):
    """One installation. `lines_of` maps a path such as `circuits.slipway.route` to its line."""

    title: str = prose(required=True)
    story: Trade = prose()
    rules: str = word(*RULE_SETS, required=True)
    edition: str = prose(required=True)
    work_begins: date = a_day(required=True)
    premises: Premises | Absent = section(Premises)
    supply: Supply = section(Supply, required=True)
    existing_load: ExistingLoad | Absent = section(ExistingLoad)
    load_limiter: LoadLimiter | Absent = section(LoadLimiter, NONE)
    existing_boards: tuple[ExistingBoard, ...] = sections(ExistingBoard)
    feed: Feed | Absent = section(Feed)
    board: Board = section(Board, required=True)
    circuits: tuple[Circuit, ...] = sections(Circuit, required=True)
    charging_points: tuple[ChargingPoint, ...] = sections(ChargingPoint, required=True)
    electrodes: tuple[Electrode, ...] = sections(Electrode)
    vehicles: tuple[Vehicle, ...] = sections(Vehicle)
    readings: tuple[Reading, ...] = sections(Reading, at_most=400)
    wiring: tuple[WiringChange, ...] = sections(WiringChange)
    known_by: dict[str, str] = known_by()
    name: str = ""
    file: str = ""
    lines_of: dict[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        super().__post_init__()
        note_assumed(self)

    def circuit(self, wanted: str) -> Circuit:
        return next(circuit for circuit in self.circuits if circuit.name == wanted)

    def way(self, wanted: str) -> Way:
        return next(way for way in self.board.ways if way.name == wanted)

    def point(self, wanted: str) -> ChargingPoint:
        return next(point for point in self.charging_points if point.name == wanted)

    def electrode(self, wanted: str) -> Electrode | None:
        return next((item for item in self.electrodes if item.name == wanted), None)

    def way_feeding(self, circuit_name: str) -> Way:
        return next(way for way in self.board.ways if way.feeds == circuit_name)

    def points_of(self, circuit: Circuit) -> tuple[ChargingPoint, ...]:
        return tuple(point for point in self.charging_points if point.name in circuit.supplies)

    def how_known(self, path: str) -> str | None:
        """How a value is known: the entry of the path or of the nearest path above it."""
        while path:
            if path in self.known_by:
                return self.known_by[path]
            path = path.rpartition(".")[0]
        return None
