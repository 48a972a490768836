"""Model: one installation, frozen, in the words and units of its file.

Every attribute is the key of the file with the same name (`from` is `from_`). Numbers carry their
unit in the name. A value may be an `Absent` word instead, unless its key is required (a file
without it is refused); an absent key reads `UNKNOWN`. Every value carries the path of its key;
reading a key that is assumed notes it (`model/evidence.py`).
"""

from __future__ import annotations

from dataclasses import field
from datetime import date

from firstway.files.specs import (
    ByName,
    Day,
    Flag,
    Name,
    Names,
    Number,
    Prose,
    Section,
    Sections,
    SectionsOrNames,
    Texts,
    Word,
    count,
    key,
    positive,
    word,
    words_of,
)
from firstway.frozen import dataclass
from firstway.model.evidence import note_assumed
from firstway.model.values import (
    CHOOSE,
    NONE,
    UNDECLARED,
    UNKNOWN,
    Absent,
    Placed,
    is_known,
    stated,
)

Amount = float | Absent
"""A figure of the file in the unit of its key, or a word about it."""
Trade = str | Absent
"""A word or words of the file, or a word about them."""
YesNo = bool | Absent
"""Yes or no, or a word about it."""

RULE_SETS = ("bs7671", "iec60364", "nec")
"""The rule sets an installation may be worked by."""
LINES = ("L1", "L2", "L3")
"""The line conductors by their names in IEC 60445."""
RESIDUAL_TYPES = ("AC", "A", "F", "B")
"""Types of residual current devices by what they see, as IEC 60755 names them (from memory)."""
DELAYS = ("none", "S", "G")
"""Delays of residual current devices: none, selective (S), short (G)."""
HOW_KNOWN = ("measured", "declared", "data-sheet", "assumed")
"""How a value of the file may be known."""


@dataclass(frozen=True)
class Premises(Placed):
    """Where the installation is, and who uses it."""

    use: Trade = stated(
        word("dwelling", "site"), "what the premises are used for", chosen_by="site"
    )
    used_by: Trade = stated(
        word("ordinary-persons", "instructed-persons", "skilled-persons"),
        "who uses the installation: anybody, or people who were instructed or trained",
        chosen_by="site",
    )
    public: YesNo = stated(
        Flag(), "whether the public can reach the charging points", chosen_by="site"
    )
    lightning_protection: YesNo = stated(
        Flag(), "whether the building has a lightning protection system", chosen_by="site"
    )
    lightning_level: Trade = stated(
        word("I", "II", "III", "IV"),
        "the lightning protection level its designer chose",
        when="lightning_protection: true",
        chosen_by="site",
    )
    service_work: Trade = stated(
        word("new", "replaced"),
        "what is done to the service with this work",
        also=(NONE,),
        when="nec",
        chosen_by="site",
    )


@dataclass(frozen=True)
class Cable(Placed):
    """A cable or a set of single cores. Resistances and capacities come from the tables."""

    construction: Trade = stated(
        word("single-core", "flat-twin-and-earth", "armoured", "multicore", "nm"),
        "how the cable is made, or single cores in trunking or conduit",
        in_blank=True,
        chosen_by="designer",
    )
    insulation: Trade = stated(
        word("thermoplastic-70", "thermosetting-90", "thhn90"),
        "the insulation, by the temperature it bears",
        chosen_by="designer",
    )
    cores: Amount = stated(
        count(at_least=1, at_most=7),
        "how many cores the cable has, the protective one among them",
        "3",
        chosen_by="designer",
        tried="cores",
    )
    csa_mm2: Amount = stated(
        positive(at_most=400),
        "size of the line conductors",
        "6",
        also=(CHOOSE,),
        when="bs7671 and iec60364",
        in_blank=True,
        chosen_by="designer",
        tried="sizes",
    )
    protective: Trade = stated(
        word("core", "armour", "separate"),
        "what serves as protective conductor",
        also=(NONE,),
        chosen_by="designer",
    )
    cpc_mm2: Amount = stated(
        positive(at_most=400),
        "size of the protective conductor",
        "2.5",
        also=(
            CHOOSE,
            NONE,
        ),
        when="bs7671 and iec60364",
        chosen_by="designer",
        tried="sizes",
    )
    size_awg: Trade = stated(
        Prose(),
        "size of the line conductors in the American gauge; in quotes",
        '"6"',
        also=(CHOOSE,),
        when="nec",
        chosen_by="designer",
        tried="gauges",
    )
    egc_awg: Trade = stated(
        Prose(),
        "size of the equipment grounding conductor; in quotes",
        '"10"',
        also=(
            CHOOSE,
            NONE,
        ),
        when="nec",
        chosen_by="designer",
        tried="gauges",
    )
    wiring_method: Trade = stated(
        word("raceway", "nm-cable", "mc-cable"),
        "the wiring method the cable is part of",
        when="nec",
        chosen_by="designer",
    )
    armour_earthed: Trade = stated(
        word("board-end", "far-end", "both-ends", "neither-end"),
        "at which end the armour is joined to earth; of the feed the far end is where it begins",
        when="an armoured cable",
        chosen_by="designer",
    )
    terminals_c: Amount = stated(
        positive(at_most=110),
        "temperature that the terminals of the cable may reach",
        "70",
        chosen_by="maker",
    )
    colours: Trade = stated(
        word("harmonised", "red-black", "nec"), "which colours the cores have", chosen_by="designer"
    )
    data_pair_v: Amount = stated(
        positive(at_most=1000),
        "voltage that the insulation of a pair for data in the same cable is made for",
        "450",
        also=(NONE,),
        chosen_by="maker",
    )


@dataclass(frozen=True)
class Stretch(Placed):
    """One part of a route, run in one way."""

    method: str = stated(
        word(
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
        ),
        "how this part of the route is run: a reference method, or a wiring method of nec",
        "C",
        required=True,
        chosen_by="designer",
    )
    length_m: float = stated(
        positive(at_most=2000, usual=(0.1, 2000)),
        "length of this part",
        "12",
        required=True,
        chosen_by="site",
    )
    ambient_c: Amount = stated(
        Number(at_least=-40, at_most=80),
        "temperature of the air round it",
        "30",
        when="a stretch in air",
        chosen_by="site",
    )
    ground_c: Amount = stated(
        Number(at_least=-20, at_most=50),
        "temperature of the ground round it",
        "15",
        when="a stretch in the ground",
        chosen_by="site",
    )
    soil_k_m_per_w: Amount = stated(
        positive(at_most=5),
        "thermal resistivity of the soil",
        "2.5",
        when="a stretch in the ground",
        chosen_by="site",
    )
    depth_m: Amount = stated(
        positive(at_most=5, usual=(0.02, 5)),
        "how deep it lies",
        "0.6",
        when="a stretch in the ground",
        chosen_by="designer",
        tried="limit",
    )
    grouped_circuits: Amount = stated(
        count(at_least=1, at_most=40),
        "circuits that run together here, this one counted",
        "1",
        chosen_by="site",
    )
    grouped_as: Trade = stated(
        word("bunched", "single-layer"),
        "how they lie",
        when="more than one circuit together",
        chosen_by="designer",
    )
    thermal_insulation_length_mm: Amount = stated(
        Number(at_least=1, or_zero=True, at_most=100000),
        "how far it runs through thermal insulation; 0 if nowhere",
        "0",
        chosen_by="site",
    )
    depth_in_wall_mm: Amount = stated(
        Number(at_least=1, or_zero=True, at_most=1000),
        "how deep it is hidden in a wall; 0 if on the surface",
        "0",
        chosen_by="site",
    )
    current_carrying: Amount = stated(
        count(at_least=1, at_most=40),
        "conductors that carry current in one raceway or cable",
        "2",
        when="nec",
        chosen_by="site",
    )


@dataclass(frozen=True)
class Lead(Placed):
    """One wire by itself: of a surge protective device, an electrode, a main earthing terminal."""

    length_m: Amount = stated(
        positive(at_most=100), "length along the copper", "0.25", chosen_by="site"
    )
    csa_mm2: Amount = stated(
        positive(at_most=400),
        "its size",
        "16",
        when="bs7671 and iec60364",
        chosen_by="designer",
        tried="sizes",
    )
    size_awg: Trade = stated(
        Prose(),
        "its size in the American gauge; in quotes",
        '"6"',
        when="nec",
        chosen_by="designer",
        tried="gauges",
    )


@dataclass(frozen=True)
class SurgeLead(Lead):
    """One lead of a surge protective device; its length may be left to the plan of the board."""

    length_m: Amount = stated(
        positive(at_most=100),
        "length along the copper",
        "0.25",
        also=(CHOOSE,),
        chosen_by="designer",
        tried="laid",
    )


@dataclass(frozen=True)
class ProspectiveFaultCurrent(Placed):
    """Largest fault currents at the origin in kA, by the conductors they flow between."""

    line_neutral: Amount = stated(
        positive(at_most=200),
        "fault current between line and neutral",
        "0.82",
        chosen_by="measurement",
    )
    line_earth: Amount = stated(
        positive(at_most=200),
        "fault current between line and earth",
        "0.82",
        also=(NONE,),
        chosen_by="measurement",
    )
    line_line: Amount = stated(
        positive(at_most=200), "fault current between two lines", "1.4", chosen_by="measurement"
    )
    three_phase: Amount = stated(
        positive(at_most=200),
        "fault current of all three lines together",
        "1.6",
        when="three phases",
        chosen_by="measurement",
    )


@dataclass(frozen=True)
class ServiceDevice(Placed):
    """One device ahead of the origin, or of the feed."""

    device: Trade = stated(
        word("fuse", "circuit-breaker", "switch-fuse"),
        "what kind of device it is",
        chosen_by="designer",
        tried="by-hand",
    )
    standard: Trade = stated(Prose(), "the standard it is made to", "BS 88-3")
    rating_a: Amount = stated(
        positive(at_most=6300, usual=(5, 3000)),
        "its rated current",
        "80",
        chosen_by="designer",
        tried="ratings",
    )
    poles: Amount = stated(
        count(at_least=1, at_most=4),
        "how many poles it opens",
        "2",
        chosen_by="designer",
        tried="counts",
    )
    curve: Trade = stated(
        word("B", "C", "D"),
        "its instantaneous tripping",
        when="a circuit-breaker",
        chosen_by="designer",
    )
    breaking_capacity_ka: Amount = stated(
        Number(at_least=0.1, at_most=200, usual=(0.5, 200)),
        "the largest current it can break",
        "33",
        also=(UNDECLARED,),
        chosen_by="designer",
        tried="limit",
    )


@dataclass(frozen=True)
class ResidualCurrentDevice(Placed):
    """One residual current device that was there before."""

    standard: Trade = stated(Prose(), "the standard it is made to", "IEC 61008-1")
    residual_type: Trade = stated(
        word(*RESIDUAL_TYPES), "which residual currents it sees", chosen_by="designer"
    )
    rated_residual_current_ma: Amount = stated(
        Number(at_least=4, at_most=3000, usual=(5, 3000)),
        "its rated residual operating current",
        "30",
        chosen_by="designer",
        tried="residual-currents",
    )
    delay: Trade = stated(
        word(*DELAYS), "whether it waits: S selective, G short", chosen_by="designer"
    )
    covers: tuple[str, ...] | Absent = stated(
        Names(), "the parts that lie behind it; without this key everything does", "[sockets]"
    )


@dataclass(frozen=True)
class Supply(Placed):
    """What the network brings to the origin."""

    system: str = stated(
        word("TN-S", "TN-C-S", "TT", "IT", "grounded"),
        "how the supply is earthed; `grounded` is that of nec, `IT` is refused with its reason",
        required=True,
        chosen_by="site",
    )
    phases: int = stated(
        count(at_least=1, at_most=3),
        "phases that enter: 1 or 3",
        "1",
        required=True,
        chosen_by="site",
    )
    line_to_earth_v: float = stated(
        positive(at_most=1000, usual=(50, 1000)),
        "nominal voltage between line and earth",
        "230",
        required=True,
        chosen_by="site",
    )
    line_to_line_v: Amount = stated(
        positive(at_most=1000, usual=(80, 1000)),
        "nominal voltage between two lines",
        "400",
        when="two lines or three",
        chosen_by="site",
    )
    ze_ohm: Amount = stated(
        positive(at_most=1000),
        "earth fault loop impedance outside the installation; `none` for TT",
        "0.28",
        also=(NONE,),
        chosen_by="measurement",
    )
    neutral_csa_mm2: Amount = stated(
        positive(at_most=1000),
        "size of the supply's neutral, as copper, as the network operator states it",
        "25",
        chosen_by="site",
    )
    line_neutral_loop_ohm: Amount = stated(
        positive(at_most=100),
        "impedance of the loop through line and neutral outside the installation",
        "0.28",
        chosen_by="measurement",
    )
    source_electrode_ohm: Amount = stated(
        positive(at_most=1000, usual=(0.05, 1000)),
        "resistance of the earth electrode at the source",
        "10",
        chosen_by="measurement",
    )
    prospective_fault_current_ka: ProspectiveFaultCurrent | Absent = stated(
        Section(ProspectiveFaultCurrent),
        "the fault currents at the origin, as declared or measured",
        chosen_by="measurement",
    )
    service_device: ServiceDevice | Absent = stated(
        Section(ServiceDevice), "the device of the network operator at the origin", chosen_by="site"
    )
    upstream_rcd: ResidualCurrentDevice | Absent = stated(
        Section(ResidualCurrentDevice),
        "the residual current device at the origin",
        also=(NONE,),
        chosen_by="site",
    )
    isolator: YesNo = stated(
        Flag(), "whether an isolator stands ahead of the tails", chosen_by="site"
    )
    looped: YesNo = stated(Flag(), "whether the supply goes on to a neighbour", chosen_by="site")
    shared_mains: YesNo = stated(
        Flag(),
        "whether it comes by mains of the building that others draw from too, as in a block of"
        " flats",
        chosen_by="site",
    )
    shared_mains_agreed: YesNo = stated(
        Flag(),
        "whether whoever owns those mains agreed in writing to the load of the points",
        when="shared_mains: true",
        chosen_by="site",
    )
    tails_metal: Trade = stated(
        word("copper", "aluminium"),
        "what the conductors of the tails are made of",
        chosen_by="site",
    )
    double_or_reinforced_insulation: YesNo = stated(
        Flag(),
        "whether the tails and what they run through are of class II or equivalent",
        chosen_by="site",
    )
    earthing_conductor: Lead | Absent = stated(
        Section(Lead), "the conductor from the means of earthing to the main earthing terminal"
    )
    cable: Cable | Absent = stated(Section(Cable), "the tails", chosen_by="site")
    route: tuple[Stretch, ...] = stated(
        Sections(Stretch), "how the tails run, part by part", chosen_by="site"
    )


@dataclass(frozen=True)
class LineLoad(Placed):
    """The load of one line in A without the new points."""

    maximum_demand_a: Amount = stated(
        Number(at_least=0, at_most=10000),
        "highest demand of this line, the new points left out",
        "41",
        chosen_by="measurement",
    )
    at_once_a: Amount = stated(
        Number(at_least=0, at_most=10000),
        "what runs on this line at once while a vehicle charges",
        "30",
        chosen_by="measurement",
    )


@dataclass(frozen=True)
class ExistingLoad(Placed):
    """Load of the installation without the new points."""

    L1: LineLoad | Absent = stated(Section(LineLoad), "load of line 1")
    L2: LineLoad | Absent = stated(Section(LineLoad), "load of line 2", when="two lines or three")
    L3: LineLoad | Absent = stated(Section(LineLoad), "load of line 3", when="three phases")
    basis: Trade = stated(
        word("measured", "calculated", "estimated"),
        "where the figures come from",
        chosen_by="measurement",
    )


@dataclass(frozen=True)
class Senses(Placed):
    """What the sensor of a load limiter measures, and which way round."""

    lines: tuple[str, ...] | Absent = stated(
        words_of(*LINES),
        "the lines whose current it senses",
        "[L1]",
        chosen_by="designer",
        tried="by-hand",
    )
    place: Trade = stated(
        word("before-split", "after-split"),
        "where the sensor sits: before or after the supply parts for the new board",
        chosen_by="designer",
    )
    arrow: Trade = stated(
        word("to-load", "to-supply"), "where the arrow on the sensor points", chosen_by="designer"
    )


@dataclass(frozen=True)
class LoadLimiter(Placed):
    """What holds the points back so that the supply is not overloaded."""

    limit_a: Amount = stated(
        positive(at_most=6300),
        "the current it keeps the supply within",
        "70",
        chosen_by="designer",
        tried="settings",
    )
    senses: Senses | Absent = stated(
        Section(Senses), "what it senses, and how its sensor is placed"
    )
    on_lost_signal_a: Amount = stated(
        Number(at_least=0, at_most=1000),
        "the current each point falls to when it loses its signal",
        "0",
        chosen_by="designer",
        tried="settings",
    )
    documented: YesNo = stated(
        Flag(), "whether marks and papers on the spot tell of it", chosen_by="designer"
    )


@dataclass(frozen=True)
class SharedLimit(Placed):
    """One current that several points keep to together, on each line."""

    points: tuple[str, ...] = stated(
        Names(),
        "the charging points that share it",
        "[post-1, post-2]",
        required=True,
        names="charging_points",
    )
    limit_a: Amount = stated(
        Number(at_least=6, at_most=6300),
        "the current they keep to together on each line",
        "40",
        chosen_by="designer",
        tried="settings",
    )
    on_lost_signal_a: Amount = stated(
        Number(at_least=0, at_most=1000),
        "the current each of them falls to when they lose each other",
        "6",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    knows_line_order: YesNo = stated(
        Flag(),
        "whether the order of the lines at each point is set in it",
        when="a point of three lines",
        chosen_by="designer",
    )
    declared: YesNo = stated(
        Flag(), "whether the maker of the points declares the function", chosen_by="maker"
    )
    documented: YesNo = stated(
        Flag(), "whether marks and papers on the spot tell of it", chosen_by="designer"
    )


BOARD_LABELS = (
    "warning",
    "chart",
    "devices-marked",
    "test-button",
    "next-inspection",
    "fed-from",
)
"""Labels and papers that may stand at a board."""
DEVICES_TO_BE_HAD = ("rcbo-all-poles", "rcbo-line-alone", "rcd", "breaker", "breaker-all-poles")
"""Devices a maker may have for a board: a residual current breaker that opens line and neutral or
the line alone, a residual current device that several breakers share, a breaker of one pole, and
one that opens the neutral too.
"""
EARTHED_BY = ("earth-bar", "conductor")
"""What may join the metal of an enclosure to the protective conductor."""


@dataclass(frozen=True)
class BoardEnclosure(Placed):
    """Of an existing board or a charging point.

    `earthed_by`: what joins its metal to the protective conductor.
    """

    material: Trade = stated(
        word("steel", "plastic", "aluminium"), "what it is made of", chosen_by="maker"
    )
    earthed_by: Trade = stated(
        word(*EARTHED_BY),
        "what joins its metal to the protective conductor",
        also=(NONE,),
        when="an enclosure of metal",
        chosen_by="designer",
    )
    protective_mm2: Amount = stated(
        positive(at_most=400),
        "size of the conductor that earths it",
        "6",
        when="earthed_by: conductor",
        chosen_by="designer",
        tried="sizes",
    )


@dataclass(frozen=True)
class ExistingBoard(Placed):
    """One board that was there before."""

    name: str = stated(Name(), "its name, on drawings too", "boathouse", required=True)
    year: Amount = stated(
        count(at_least=1900, at_most=2100), "when it was made or fitted", "1987", chosen_by="site"
    )
    colours: Trade = stated(
        word("harmonised", "red-black", "nec"),
        "which colours its conductors have",
        chosen_by="site",
    )
    enclosure: BoardEnclosure | Absent = stated(
        Section(BoardEnclosure), "its enclosure", chosen_by="site"
    )
    double_or_reinforced_insulation: YesNo = stated(
        Flag(), "whether it is of class II, with no metal inside joined to earth", chosen_by="site"
    )
    rating_a: Amount = stated(
        positive(at_most=6300, usual=(40, 1000)),
        "the current it is rated for, from its plate",
        "100",
        also=(UNDECLARED,),
        when="another source feeds into it",
        chosen_by="site",
    )
    circuit_devices: Trade = stated(
        word("rewirable-fuses", "cartridge-fuses", "breakers"),
        "what protects its circuits; where it has several kinds, the oldest of them",
        when="bs7671 and iec60364",
        chosen_by="site",
    )
    voltage_operated_breaker: YesNo = stated(
        Flag(),
        "whether an earth-leakage breaker of the voltage-operated kind stands between it and its"
        " electrode",
        when="bs7671 and iec60364",
        chosen_by="site",
    )
    borrowed_neutral: YesNo = stated(
        Flag(),
        "whether two of its circuits share one neutral, as lamps of stairs with two switches often"
        " do",
        when="bs7671 and iec60364",
        chosen_by="site",
    )
    spare_ways: Amount = stated(
        count(), "how many of its ways are free, that of the feed counted", "0", chosen_by="site"
    )
    main_bonding_mm2: Amount = stated(
        positive(at_most=400),
        "size of the main bonding conductors",
        "10",
        also=(NONE,),
        chosen_by="designer",
        tried="sizes",
    )
    protective_conductor: Lead | Absent = stated(
        Section(Lead), "from the main earthing terminal to this board"
    )
    spd: Trade = stated(
        Prose(),
        "the surge protective device in it, or ahead of it",
        "type 2",
        also=(NONE,),
        when="board.place.building: detached",
        chosen_by="site",
    )
    rcds: tuple[ResidualCurrentDevice, ...] = stated(
        Sections(ResidualCurrentDevice), "its residual current devices", chosen_by="site"
    )
    devices_to_be_had: tuple[str, ...] | Absent = stated(
        words_of(*DEVICES_TO_BE_HAD),
        "what its maker has for it, of what can guard a charging point",
        "[rcd, breaker]",
        also=(UNDECLARED,),
        chosen_by="maker",
    )


@dataclass(frozen=True)
class CableOpening(Placed):
    """Where a cable passes the wall of the box, and how wide the hole is."""

    left_mm: Amount = stated(
        Number(at_least=0, at_most=3000),
        "from the outer left side of the box to the middle of the hole",
        "80",
        when="it leads through the top, the bottom or the back",
        chosen_by="designer",
        tried="by-hand",
    )
    top_mm: Amount = stated(
        Number(at_least=0, at_most=3000),
        "from the outer top of the box to the middle of the hole",
        "60",
        when="it leads through the left, the right or the back",
        chosen_by="designer",
        tried="by-hand",
    )
    hole_mm: Amount = stated(
        positive(at_most=200, usual=(8, 120)),
        "how wide the hole is in the clear",
        "25",
        chosen_by="designer",
        tried="holes",
    )


@dataclass(frozen=True)
class Feed(Placed):
    """From the existing installation to the new board."""

    from_: Trade = stated(
        word("connector-block", "existing-board-way", "new-service"),
        "where the feed of the new board begins",
        chosen_by="site",
    )
    through: tuple[str | ServiceDevice, ...] = stated(
        SectionsOrNames(ServiceDevice),
        "what it passes: ways of an existing board, or devices of its own",
        "[boathouse.sockets]",
    )
    cable: Cable | Absent = stated(Section(Cable), "the cable of the feed")
    route: tuple[Stretch, ...] = stated(Sections(Stretch), "how the feed runs, part by part")
    one_opening: YesNo = stated(
        Flag(),
        "whether all conductors of the feed pass one opening of a steel enclosure",
        chosen_by="designer",
    )
    opening: CableOpening | Absent = stated(
        Section(CableOpening), "the hole in the new board that the feed comes in by"
    )
    double_or_reinforced_insulation: YesNo = stated(
        Flag(),
        "whether it is of class II or equivalent as far as the first residual current device",
        chosen_by="designer",
    )


@dataclass(frozen=True)
class Cupboard(Placed):
    """A cupboard the new board hangs in, and what is done there against fire."""

    under_stairs: YesNo = stated(Flag(), "whether it is under stairs", chosen_by="site")
    only_way_out: YesNo = stated(
        Flag(),
        "whether those stairs are the only way out of a storey",
        when="under_stairs: true",
        chosen_by="site",
    )
    lined: YesNo = stated(
        Flag(),
        "whether the stairs above it are lined with board that keeps fire from them",
        when="under_stairs: true",
        chosen_by="site",
    )
    alarm: YesNo = stated(
        Flag(),
        "whether a fire alarm is fitted that is heard in the rooms above",
        when="under_stairs: true",
        chosen_by="site",
    )
    kept_clear: YesNo = stated(
        Flag(),
        "whether nothing is stored against the board and it can be reached at once",
        when="under_stairs: true",
        chosen_by="site",
    )


@dataclass(frozen=True)
class Place(Placed):
    """Where the new board hangs."""

    location: Trade = stated(word("indoors", "outdoors"), "where the board hangs", chosen_by="site")
    building: Trade = stated(
        word("same", "detached"),
        "whether it hangs in the building the supply enters, or in another: a garage, a shed,"
        " a quay",
        chosen_by="site",
    )
    ambient_c: Amount = stated(
        Number(at_least=-40, at_most=60), "the warmest air round the board", "25", chosen_by="site"
    )
    meter_box: YesNo = stated(Flag(), "whether it hangs inside a meter box", chosen_by="site")
    meter_box_agreed: YesNo = stated(
        Flag(),
        "whether whoever owns the meter box has agreed to it in writing",
        when="meter_box: true",
        chosen_by="site",
    )
    cupboard: Cupboard | Absent = stated(
        Section(Cupboard), "the cupboard it hangs in", also=(NONE,), chosen_by="site"
    )
    in_sun: YesNo = stated(
        Flag(), "whether the sun shines on its enclosure at some time of the day", chosen_by="site"
    )
    altitude_m: Amount = stated(
        Number(at_least=-500, at_most=9000),
        "how high above the sea it hangs",
        "120",
        chosen_by="site",
    )


@dataclass(frozen=True)
class Assembly(Placed):
    """The new board as its maker declares it."""

    standard: Trade = stated(Prose(), "the standard the board is made to", "BS EN 61439-3")
    rating_a: Amount = stated(
        positive(at_most=6300), "rated current of the board", "100", chosen_by="maker"
    )
    rated_diversity_factor: Amount = stated(
        Number(above=0, at_most=1),
        "the share of their ratings that its outgoing devices may carry together",
        "1.0",
        chosen_by="maker",
    )
    conditional_fault_rating_ka: Amount = stated(
        positive(at_most=200),
        "the fault current it withstands behind the device its maker names",
        "16",
        chosen_by="maker",
    )
    devices_declared: YesNo = stated(
        Flag(), "whether its maker declares the devices fitted in it", chosen_by="maker"
    )
    devices_to_be_had: tuple[str, ...] | Absent = stated(
        words_of(*DEVICES_TO_BE_HAD),
        "what its maker has for it, of what can guard a charging point",
        "[rcd, breaker]",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    warmest_ambient_c: Amount = stated(
        Number(at_least=-40, at_most=80),
        "the warmest air its maker declares it for, with the devices fitted in it",
        "55",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    coldest_ambient_c: Amount = stated(
        Number(at_least=-60, at_most=40),
        "the coldest air its maker declares it for, with the devices fitted in it",
        "-25",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    highest_altitude_m: Amount = stated(
        Number(at_least=0, at_most=9000),
        "the greatest height above the sea its maker declares it for",
        "2500",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    for_sun: YesNo = stated(
        Flag(),
        "whether its maker declares it for sun on its enclosure in the warmest air",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    main: Trade = stated(
        word("lugs", "switch", "breaker"),
        "what the feed arrives at",
        when="nec",
        chosen_by="designer",
    )
    declared_outdoors: YesNo = stated(
        Flag(),
        "whether its maker declares it for sun, rain and frost",
        when="a board outdoors",
        chosen_by="maker",
    )
    neutral_bonded: YesNo = stated(
        Flag(),
        "whether the neutral is bonded to the enclosure in this panel",
        when="nec",
        chosen_by="designer",
    )
    fault_rating_ka: Amount = stated(
        positive(at_most=200),
        "the short-circuit current rating marked on it",
        "10",
        when="nec",
        chosen_by="maker",
    )
    terminals_c: Amount = stated(
        positive(at_most=110), "temperature that its terminals may reach", "75", chosen_by="maker"
    )


@dataclass(frozen=True)
class RowPlace(Placed):
    """Where the row of devices lies in the box, from the outer left and top sides."""

    left_mm: Amount = stated(
        Number(at_least=0, at_most=3000),
        "distance from the outer left side of the box to the devices; blanks and free places count"
        " as devices",
        "45",
        chosen_by="designer",
        tried="by-hand",
    )
    top_mm: Amount = stated(
        Number(at_least=0, at_most=3000),
        "distance from the outer top of the box to the top edge of the devices",
        "70",
        chosen_by="designer",
        tried="by-hand",
    )


@dataclass(frozen=True)
class BarPlace(Placed):
    """Where a neutral or earth bar lies in the box, and how many conductors it holds."""

    left_mm: Amount = stated(
        Number(at_least=0, at_most=3000),
        "distance from the outer left side of the box to the left edge of the bar",
        "30",
        chosen_by="designer",
        tried="by-hand",
    )
    top_mm: Amount = stated(
        Number(at_least=0, at_most=3000),
        "distance from the outer top of the box to the top edge of the bar",
        "6",
        chosen_by="designer",
        tried="by-hand",
    )
    screws: Amount = stated(
        count(at_least=1, at_most=200),
        "how many screws for conductors it has",
        "8",
        chosen_by="maker",
    )


@dataclass(frozen=True)
class Pillar(Placed):
    """What an enclosure that stands by itself meets: hands, blows and vehicles."""

    opens_with: Trade = stated(
        word("hand", "key", "tool"), "what its door opens with", chosen_by="maker"
    )
    impact: Trade = stated(
        word("IK07", "IK08", "IK09", "IK10"),
        "its code for blows, as on its plate",
        chosen_by="maker",
    )
    guarded_from_vehicles: YesNo = stated(
        Flag(), "whether its place, a kerb or a post keeps vehicles off it", chosen_by="site"
    )


@dataclass(frozen=True)
class Enclosure(Placed):
    """The box of the new board."""

    material: Trade = stated(
        word("steel", "plastic", "aluminium"), "what it is made of", chosen_by="designer"
    )
    width_mm: Amount = stated(
        positive(at_most=3000, usual=(50, 3000)), "outer width", "265", chosen_by="maker"
    )
    height_mm: Amount = stated(
        positive(at_most=3000, usual=(70, 3000)), "outer height", "235", chosen_by="maker"
    )
    depth_mm: Amount = stated(
        positive(at_most=1000, usual=(40, 1000)), "outer depth", "100", chosen_by="maker"
    )
    mounting: Trade = stated(
        word("wall", "flush", "free-standing"), "how it is mounted", chosen_by="site"
    )
    pillar: Pillar | Absent = stated(
        Section(Pillar), "the pillar it is", when="mounting: free-standing", chosen_by="site"
    )
    modules: Amount = stated(
        count(at_least=1, at_most=200), "width of the rail in modules", "10", chosen_by="maker"
    )
    ip: Trade = stated(Prose(), "its protection code, or its type in nec", "IP4X")
    double_or_reinforced_insulation: YesNo = stated(
        Flag(), "whether the enclosure is of class II", chosen_by="maker"
    )
    inner_metal_earthed: YesNo = stated(
        Flag(),
        "whether metal inside it, as its rail or a plate, is joined to the protective conductor",
        when="an enclosure of class II",
        chosen_by="designer",
    )
    metal_through_wall: YesNo = stated(
        Flag(),
        "whether metal passes its wall: a gland, a conduit, a screw put in place of one of plastic",
        when="an enclosure of class II",
        chosen_by="site",
    )
    earthed_by: Trade = stated(
        word(*EARTHED_BY),
        "what joins its metal to the protective conductor",
        also=(NONE,),
        when="an enclosure of metal",
        chosen_by="designer",
    )
    protective_mm2: Amount = stated(
        positive(at_most=400),
        "size of the conductor that earths it",
        "6",
        when="earthed_by: conductor",
        chosen_by="designer",
        tried="sizes",
    )
    feed_enters: Trade = stated(
        word("top", "bottom", "left", "right", "back"),
        "the side the feed enters by",
        chosen_by="designer",
    )
    circuits_leave: Trade = stated(
        word("top", "bottom", "left", "right", "back"),
        "the side the circuits leave by",
        chosen_by="designer",
    )
    main_switch_end: Trade = stated(
        word("left", "right", "top", "bottom"),
        "the end of the rail at which the main switch sits",
        chosen_by="designer",
    )
    neutral_bar: Trade = stated(
        word("left", "right", "top", "bottom"), "the side of the neutral bar", chosen_by="designer"
    )
    earth_bar: Trade = stated(
        word("left", "right", "top", "bottom"), "the side of the earth bar", chosen_by="designer"
    )
    row: RowPlace | Absent = stated(Section(RowPlace), "where the devices lie in the box")
    neutral_bar_at: BarPlace | Absent = stated(
        Section(BarPlace), "where the neutral bar lies, and what it holds"
    )
    earth_bar_at: BarPlace | Absent = stated(
        Section(BarPlace), "where the earth bar lies, and what it holds"
    )
    spare_ways_blanked: YesNo = stated(
        Flag(), "whether every open way is closed by a blank", chosen_by="designer"
    )


@dataclass(frozen=True)
class Busbar(Placed):
    """The bar that feeds the devices of the new board."""

    style: Trade = stated(
        word("pin", "fork", "tabs", "links"),
        "how the bar reaches into the devices",
        also=(NONE,),
        chosen_by="designer",
    )
    rating_a: Amount = stated(
        positive(at_most=6300),
        "rated current of the bar",
        "100",
        chosen_by="designer",
        tried="ratings",
    )
    lines: tuple[str, ...] | Absent = stated(
        words_of(*LINES), "the lines the bar carries", "[L1]", chosen_by="designer", tried="by-hand"
    )
    pitch_mm: Amount = stated(
        positive(at_most=100, usual=(10, 60)),
        "distance from tooth to tooth",
        "17.5",
        chosen_by="maker",
    )
    joins_at: Trade = stated(
        word("top", "bottom", "back"),
        "the end of the devices that the bar feeds",
        chosen_by="designer",
    )


@dataclass(frozen=True)
class Terminals(Placed):
    """The terminals of one device as its maker states them."""

    torque_nm: Amount = stated(
        positive(at_most=100, usual=(0.2, 15)),
        "torque that the maker states",
        "2.5",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    torque_lbf_in: Amount = stated(
        positive(at_most=1000, usual=(2, 400)),
        "torque that the maker states",
        "22",
        also=(UNDECLARED,),
        when="nec",
        chosen_by="maker",
    )
    strip_mm: Amount = stated(
        positive(at_most=100, usual=(4, 40)),
        "length of insulation to strip",
        "12",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    min_mm2: Amount = stated(
        positive(at_most=400),
        "smallest conductor the terminal holds",
        "1",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    max_mm2: Amount = stated(
        positive(at_most=400),
        "largest conductor the terminal holds",
        "16",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    conductors: Amount = stated(
        count(at_least=1, at_most=10),
        "how many conductors one terminal holds",
        "1",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    ferrule: Trade = stated(
        word("stranded-only", "always", "never"),
        "whether ferrules belong on the conductors",
        also=(UNDECLARED,),
        chosen_by="maker",
    )


@dataclass(frozen=True)
class MainSwitch(Placed):
    """The switch that isolates the new board."""

    name: str = stated(Name(), "its name, on drawings too", "Q1", required=True)
    device: Trade = stated(
        word("switch-disconnector", "isolator", "circuit-breaker"),
        "what kind of device it is",
        chosen_by="designer",
    )
    standard: Trade = stated(Prose(), "the standard it is made to", "IEC 60947-3")
    switched_poles: Amount = stated(
        count(at_least=1, at_most=4),
        "how many poles it opens",
        "2",
        chosen_by="designer",
        tried="counts",
    )
    rating_a: Amount = stated(
        positive(at_most=6300), "its rated current", "80", chosen_by="designer", tried="ratings"
    )
    modules: Amount = stated(
        count(at_least=1, at_most=12), "its width in modules", "2", chosen_by="maker"
    )
    loss_w_per_pole: Amount = stated(
        Number(at_least=0, at_most=100),
        "power lost in each pole at rated current",
        "2.6",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    terminals: Terminals | Absent = stated(
        Section(Terminals), "what its maker states of its terminals", chosen_by="maker"
    )


@dataclass(frozen=True)
class Leads(Placed):
    """The leads of one surge protective device."""

    line: SurgeLead | Absent = stated(Section(SurgeLead), "the lead to the line", also=(CHOOSE,))
    neutral: SurgeLead | Absent = stated(
        Section(SurgeLead), "the lead to the neutral", also=(CHOOSE,)
    )
    earth: SurgeLead | Absent = stated(
        Section(SurgeLead), "the lead to the earth bar", also=(CHOOSE,)
    )
    through_own_device_m: Amount = stated(
        Number(at_least=0, at_most=100),
        "length of the link through the device ahead of it; 0 if there is none",
        "0",
        chosen_by="designer",
        tried="by-hand",
    )


@dataclass(frozen=True)
class NeutralEarthModule(Placed):
    """The part of a surge protective device between neutral and earth (connection CT2)."""

    continuous_voltage_v: Amount = stated(
        positive(at_most=1500),
        "highest voltage it bears for ever",
        "255",
        chosen_by="designer",
        tried="limit",
    )
    protection_level_kv: Amount = stated(
        positive(at_most=20),
        "voltage it lets through at its nominal discharge current",
        "1.5",
        chosen_by="designer",
        tried="limit",
    )
    nominal_discharge_current_ka: Amount = stated(
        positive(at_most=200),
        "the surge current of its rating",
        "20",
        chosen_by="designer",
        tried="limit",
    )


@dataclass(frozen=True)
class LetThrough(Placed):
    """One point of the maker's energy let-through: valid up to its current."""

    fault_current_ka: float = stated(
        positive(at_most=200),
        "fault current of this point of the maker's curve",
        "1",
        required=True,
        chosen_by="maker",
    )
    energy_ka2s: float = stated(
        positive(at_most=100000),
        "energy the device lets through at that current",
        "7",
        required=True,
        chosen_by="maker",
    )


@dataclass(frozen=True)
class WarmRating(Placed):
    """One point of the maker's rating for warm surroundings."""

    ambient_c: float = stated(
        Number(at_least=-40, at_most=100),
        "temperature of the air round the device",
        "40",
        required=True,
        chosen_by="maker",
    )
    rating_a: float = stated(
        positive(at_most=6300),
        "the current it carries then",
        "38",
        required=True,
        chosen_by="maker",
    )


@dataclass(frozen=True)
class Way(Placed):
    """One device on the rail. Which keys mean something depends on `device`."""

    name: str = stated(Name(), "its name, on drawings too", "F2", required=True)
    device: str = stated(
        word("spd", "rcbo", "rcd", "circuit-breaker", "fuse", "blank", "contactor"),
        "what kind of device it is; `blank` closes a way",
        "rcbo",
        required=True,
        chosen_by="designer",
        tried="by-hand",
    )
    modules: int = stated(
        count(at_least=1, at_most=24), "its width in modules", "2", required=True, chosen_by="maker"
    )
    fed_from: Trade = stated(
        Name(),
        "what feeds it: `bar`, `supply-side` or another way",
        "bar",
        in_blank=True,
        chosen_by="designer",
        tried="feeding",
    )
    line: Trade = stated(
        word(*LINES), "the line it is on", when="a device of one line", chosen_by="designer"
    )
    feeds: Trade = stated(
        Name(), "the circuit it feeds", "slipway", names="circuits", in_blank=True
    )
    standard: Trade = stated(Prose(), "the standard it is made to", "IEC 61009-1")
    protected_poles: Amount = stated(
        count(at_least=1, at_most=4),
        "poles with overcurrent protection",
        "1",
        chosen_by="designer",
        tried="counts",
    )
    switched_poles: Amount = stated(
        count(at_least=1, at_most=4),
        "poles that it opens",
        "2",
        chosen_by="designer",
        tried="counts",
    )
    rating_a: Amount = stated(
        positive(at_most=6300),
        "its rated current",
        "40",
        also=(CHOOSE,),
        in_blank=True,
        chosen_by="designer",
        tried="ratings",
    )
    curve: Trade = stated(
        word("B", "C", "D"),
        "its instantaneous tripping",
        when="a circuit-breaker or rcbo",
        in_blank=True,
        chosen_by="designer",
    )
    rated_residual_current_ma: Amount = stated(
        Number(at_least=4, at_most=3000, usual=(5, 3000)),
        "its rated residual operating current",
        "30",
        when="an rcd or rcbo",
        in_blank=True,
        chosen_by="designer",
        tried="residual-currents",
    )
    residual_type: Trade = stated(
        word(*RESIDUAL_TYPES),
        "which residual currents it sees",
        "A",
        when="an rcd or rcbo",
        in_blank=True,
        chosen_by="designer",
    )
    delay: Trade = stated(
        word(*DELAYS),
        "whether it waits: S selective, G short",
        when="an rcd or rcbo",
        chosen_by="designer",
    )
    own_neutral_bar: YesNo = stated(
        Flag(),
        "whether the neutrals behind it end on a bar of its own; else they do where it has several",
        when="an rcd that feeds other ways",
        chosen_by="designer",
    )
    neutral_bar_at: BarPlace | Absent = stated(
        Section(BarPlace),
        "where that neutral bar lies, and what it holds",
        when="an rcd that feeds other ways",
    )
    breaking_capacity_ka: Amount = stated(
        Number(at_least=0.1, at_most=200, usual=(0.5, 200)),
        "the largest current it can break",
        "6",
        also=(UNDECLARED,),
        chosen_by="designer",
        tried="limit",
    )
    supply_end: Trade = stated(
        word("top", "bottom", "either"),
        "the end at which its maker lets the supply arrive",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    bidirectional: YesNo = stated(
        Flag(),
        "whether it may be fed from either end while it works",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    loss_w_per_pole: Amount = stated(
        Number(at_least=0, at_most=100),
        "power lost in each pole at rated current",
        "4.5",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    let_through: tuple[LetThrough, ...] = stated(
        Sections(LetThrough), "points of the maker's curve of energy let through", chosen_by="maker"
    )
    rating_when_warm: tuple[WarmRating, ...] = stated(
        Sections(WarmRating), "what it carries in warm air, as its maker states", chosen_by="maker"
    )
    type: Amount = stated(
        count(at_least=1, at_most=3),
        "the type of a surge protective device: 1, 2 or 3",
        "2",
        when="spd",
        chosen_by="designer",
        tried="counts",
    )
    connection: Trade = stated(
        word("CT1", "CT2", "lines-neutral-earth"),
        "how a surge protective device is joined to the conductors",
        when="spd",
        chosen_by="designer",
    )
    continuous_voltage_v: Amount = stated(
        positive(at_most=1500, usual=(50, 1500)),
        "highest voltage it bears for ever",
        "275",
        when="spd",
        chosen_by="designer",
        tried="limit",
    )
    protection_level_kv: Amount = stated(
        positive(at_most=20, usual=(0.3, 20)),
        "voltage it lets through at its nominal discharge current",
        "1.3",
        when="spd",
        chosen_by="designer",
        tried="limit",
    )
    nominal_discharge_current_ka: Amount = stated(
        positive(at_most=200, usual=(0.5, 200)),
        "the surge current of its rating",
        "20",
        when="spd",
        chosen_by="designer",
        tried="limit",
    )
    impulse_current_ka: Amount = stated(
        positive(at_most=200, usual=(0.5, 100)),
        "the lightning current each pole is tried with, 10/350 µs",
        "12.5",
        also=(UNDECLARED,),
        when="spd, type 1",
        chosen_by="maker",
    )
    neutral_earth: NeutralEarthModule | Absent = stated(
        Section(NeutralEarthModule),
        "the part between neutral and earth",
        when="spd, connection CT2",
    )
    short_circuit_rating_ka: Amount = stated(
        positive(at_most=300),
        "the fault current it withstands with its backup",
        "25",
        also=(UNDECLARED,),
        when="spd",
        chosen_by="designer",
        tried="limit",
    )
    voltage_at_1_ma_v: Amount = stated(
        positive(at_most=3000, usual=(50, 3000)),
        "voltage of its varistor at one milliampere",
        "430",
        also=(UNDECLARED,),
        when="spd",
        chosen_by="maker",
    )
    own_protection: Trade = stated(
        word("internal", "external"),
        "the device of its own that parts it when it fails",
        also=(NONE, UNDECLARED),
        when="spd",
        chosen_by="maker",
    )
    backup_fuse_max_a: Amount = stated(
        positive(at_most=6300),
        "largest fuse that may stand ahead of it",
        "125",
        also=(UNDECLARED,),
        when="spd",
        chosen_by="maker",
    )
    state: Trade = stated(
        word("healthy", "worn"), "what its window shows", when="spd", chosen_by="measurement"
    )
    leads: Leads | Absent = stated(Section(Leads), "its leads", also=(CHOOSE,), when="spd")
    terminals_c: Amount = stated(
        positive(at_most=110), "temperature that its terminals may reach", "75", chosen_by="maker"
    )
    terminals: Terminals | Absent = stated(
        Section(Terminals), "what its maker states of its terminals", chosen_by="maker"
    )
    data_sheet: Trade = stated(Prose(), "where its figures were read", "the demo maker's sheet")


@dataclass(frozen=True)
class Board(Placed):
    """The new board with its devices in the order of the row."""

    place: Place | Absent = stated(Section(Place), "where the board hangs", chosen_by="site")
    earthed_by: Trade = stated(
        Name(),
        "what earths a board in another building: `supply`, or the name of an electrode there",
        "supply",
        names="electrodes",
        when="board.place.building: detached",
        chosen_by="designer",
    )
    extraneous_parts: YesNo = stated(
        Flag(),
        "whether metal that brings an earth of its own enters that building: pipes, steel in the"
        " ground",
        when="board.place.building: detached",
        chosen_by="site",
    )
    joined_to_house: YesNo = stated(
        Flag(),
        "whether that metal is also joined to the earth of the house, as a metal pipe from there",
        when="board.place.building: detached",
        chosen_by="site",
    )
    main_bonding_mm2: Amount = stated(
        positive(at_most=400),
        "size of the conductors that bond that metal to the earth bar of the board",
        "10",
        also=(NONE,),
        when="board.place.building: detached",
        chosen_by="designer",
        tried="sizes",
    )
    assembly: Assembly | Absent = stated(
        Section(Assembly), "what its maker states of the board as a whole"
    )
    enclosure: Enclosure | Absent = stated(Section(Enclosure), "its enclosure")
    busbar: Busbar | Absent = stated(Section(Busbar), "the bar that feeds the devices")
    main_switch: MainSwitch | Absent = stated(Section(MainSwitch), "the main switch", also=(NONE,))
    labels: tuple[str, ...] | Absent = stated(
        words_of(*BOARD_LABELS),
        "which labels are there; `chart` is a directory too, `fed-from` says what feeds the board",
        "[warning, chart]",
        also=(NONE,),
        chosen_by="site",
    )
    ways: tuple[Way, ...] = stated(
        Sections(Way, at_least=1),
        "the devices on the rail, outward from the main switch",
        required=True,
    )


@dataclass(frozen=True)
class Circuit(Placed):
    """One circuit from its device to its points."""

    name: str = stated(Name(), "its name, on drawings too", "slipway", required=True)
    supplies: tuple[str, ...] = stated(
        Names(),
        "the charging points it supplies",
        "[post-1]",
        required=True,
        names="charging_points",
    )
    also_supplies: tuple[str, ...] | Absent = key(
        Texts(),
        "what hangs on its device besides the charging points; without this key nothing does",
        "[garage sockets]",
        instead=(UNKNOWN,),
        never=tuple(each.value for each in (NONE, CHOOSE, UNDECLARED)),
        absent=(),
        chosen_by="site",
    )
    lines: tuple[str, ...] = stated(
        words_of(*LINES),
        "the lines it takes",
        "[L1]",
        required=True,
        chosen_by="designer",
        tried="by-hand",
    )
    neutral: YesNo = stated(
        Flag(), "whether it has a neutral", chosen_by="designer", tried="by-hand"
    )
    cable: Cable = stated(Section(Cable), "its cable", required=True)
    route: tuple[Stretch, ...] = stated(
        Sections(Stretch, at_least=1),
        "how it runs, part by part: the worst decides the capacity, all add up to the length",
        required=True,
    )
    opening: CableOpening | Absent = stated(
        Section(CableOpening), "the hole in the new board that its cable leaves by"
    )


@dataclass(frozen=True)
class OpenPen(Placed):
    """What a charging point does when the supply's combined conductor breaks."""

    measure: Trade = stated(
        word("three-phase-balance", "electrode", "device"),
        "what protects where the combined conductor of the network breaks",
        also=(NONE,),
        chosen_by="designer",
    )
    senses: Trade = stated(
        word("earth-voltage", "line-neutral-voltage", "three-lines", "protective-current"),
        "what the measure watches",
        chosen_by="designer",
    )
    opens_protective_conductor: YesNo = stated(
        Flag(),
        "whether it opens the protective conductor too",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    acts_within_s: Amount = stated(
        positive(at_most=60), "how fast it acts", "5", also=(UNDECLARED,), chosen_by="maker"
    )
    recloses: YesNo = stated(
        Flag(), "whether it closes again by itself", also=(UNDECLARED,), chosen_by="maker"
    )
    standard: Trade = stated(
        Prose(),
        "the standard it is made to",
        "IET 01",
        also=(
            NONE,
            UNDECLARED,
        ),
        when="a measure is there",
    )


@dataclass(frozen=True)
class ChargingPoint(Placed):
    """One charging point."""

    name: str = stated(Name(), "its name, on drawings too", "post-1", required=True)
    current_a: Amount = stated(
        Number(at_least=6, at_most=400),
        "the current it is set to",
        "32",
        in_blank=True,
        chosen_by="designer",
        tried="settings",
    )
    power_kw: Amount = stated(
        Number(at_least=0.72, at_most=300),
        "its power, where its maker states no current",
        "7.4",
        chosen_by="maker",
    )
    setting_locked: YesNo = stated(
        Flag(),
        "whether the setting cannot be changed without a tool or a code",
        chosen_by="designer",
    )
    lines: tuple[str, ...] = stated(
        words_of(*LINES),
        "the lines it takes",
        "[L1]",
        required=True,
        chosen_by="designer",
        tried="by-hand",
    )
    line_order: tuple[str, ...] | Absent = stated(
        words_of(*LINES),
        "the lines at its terminals L1, L2 and L3, in this order: a vehicle of one phase takes the"
        " first",
        "[L2, L3, L1]",
        when="a point of three lines",
        chosen_by="designer",
        tried="by-hand",
    )
    location: Trade = stated(word("indoors", "outdoors"), "where it stands", chosen_by="site")
    charges_outdoors: YesNo = stated(
        Flag(),
        "whether a vehicle outdoors can be reached from it",
        when="a point indoors",
        chosen_by="site",
    )
    outlet: Trade = stated(
        word("tethered", "socket", "receptacle"), "how a vehicle is joined to it", chosen_by="maker"
    )
    lead_m: Amount = stated(
        positive(at_most=100, usual=(0.5, 30)),
        "length of its lead",
        "7.5",
        when="tethered",
        chosen_by="maker",
    )
    lead_mm2: Amount = stated(
        positive(at_most=400),
        "size of the live conductors of its lead",
        "6",
        also=(UNDECLARED,),
        when="tethered",
        chosen_by="maker",
    )
    lead_protective_mm2: Amount = stated(
        positive(at_most=400),
        "size of the protective conductor of its lead",
        "6",
        also=(UNDECLARED,),
        when="tethered",
        chosen_by="maker",
    )
    enclosure: BoardEnclosure | Absent = stated(Section(BoardEnclosure), "its enclosure")
    hard_wired: YesNo = stated(
        Flag(), "whether it is wired in, not plugged in", chosen_by="designer"
    )
    listed: YesNo = stated(
        Flag(), "whether a laboratory's mark stands on it", when="nec", chosen_by="maker"
    )
    dc_detection: Trade = stated(
        word("rdc-dd", "rdc-pd", "rdc-md", "type-b"),
        "what sees direct residual current",
        also=(NONE, UNDECLARED),
        chosen_by="maker",
    )
    built_in_rcd: Trade = stated(
        word("ccid-20", "type-a", "type-b", "type-f"),
        "the residual current device inside it",
        also=(NONE, UNDECLARED),
        chosen_by="maker",
    )
    built_in_rcd_standard: Trade = stated(
        Prose(),
        "the standard that its maker declares that device to",
        "IEC 61008-1",
        also=(UNDECLARED,),
        when="a residual current device inside",
    )
    built_in_rcd_ma: Amount = stated(
        Number(at_least=4, at_most=3000, usual=(5, 3000)),
        "the rated residual operating current of that device",
        "30",
        also=(UNDECLARED,),
        when="a residual current device inside",
        chosen_by="maker",
    )
    built_in_rcd_poles: Amount = stated(
        count(at_least=1, at_most=4),
        "how many live conductors that device opens",
        "2",
        also=(UNDECLARED,),
        when="a residual current device inside",
        chosen_by="maker",
    )
    bidirectional: YesNo = stated(
        Flag(), "whether a vehicle can feed back through it", also=(UNDECLARED,), chosen_by="maker"
    )
    ip: Trade = stated(Prose(), "its protection code, or its type in nec", "IP54")
    spd: Trade = stated(Prose(), "the surge protective device inside it", "type 2", also=(NONE,))
    earthed_by: Trade = stated(
        Name(),
        "what earths it: `supply`, `separated` (a supply of its own) or the name of an electrode",
        "supply",
        names="electrodes",
    )
    open_pen: OpenPen | Absent = stated(
        Section(OpenPen), "what is done against a broken combined conductor", when="TN-C-S"
    )
    distance_to_other_earth_m: Amount = stated(
        Number(at_least=0, at_most=10000),
        "distance to metal in reach that is joined to another earth",
        "3.1",
        chosen_by="measurement",
    )
    distance_below_ground_m: Amount = stated(
        Number(at_least=0, at_most=10000),
        "distance from its electrode to buried metal on the network's earth",
        "2.5",
        chosen_by="measurement",
    )


@dataclass(frozen=True)
class LaterPoint(Placed):
    """A charging point for a later vehicle: nothing of it is fitted now but its room."""

    name: str = stated(Name(), "its name, on drawings too", "bay-2", required=True)
    current_a: Amount = stated(
        Number(at_least=6, at_most=400),
        "the current it is to be set to",
        "32",
        chosen_by="designer",
        tried="settings",
    )
    lines: tuple[str, ...] = stated(
        words_of(*LINES),
        "the lines it will take",
        "[L1]",
        required=True,
        chosen_by="designer",
        tried="by-hand",
    )
    way: str = stated(
        Name(),
        "the blank way that is kept for its device",
        "S1",
        required=True,
    )
    modules: Amount = stated(
        count(at_least=1, at_most=12),
        "how many modules its device will take",
        "2",
        chosen_by="designer",
        tried="counts",
    )


@dataclass(frozen=True)
class Electrode(Placed):
    """One earth electrode: its resistance measured, or worked from rods and soil."""

    name: str = stated(Name(), "its name, on drawings too", "rod-1", required=True)
    use: str = stated(
        word("installation", "board", "charging-point", "holds-down-open-pen", "measuring"),
        "what it earths",
        required=True,
        chosen_by="designer",
        tried="by-hand",
    )
    resistance_ohm: Amount = stated(
        positive(at_most=100000, usual=(0.5, 100000)),
        "its resistance to earth, measured",
        "85",
        chosen_by="measurement",
    )
    rods: Amount = stated(
        count(at_least=1, at_most=50),
        "how many rods it is made of",
        "2",
        also=(CHOOSE,),
        chosen_by="designer",
        tried="rods",
    )
    spacing_m: Amount = stated(
        positive(at_most=100),
        "distance between rods",
        "4",
        when="more than one rod",
        chosen_by="designer",
        tried="by-hand",
    )
    length_m: Amount = stated(
        positive(at_most=50, usual=(0.3, 50)),
        "length of a rod in the ground",
        "2.4",
        chosen_by="designer",
        tried="by-hand",
    )
    diameter_mm: Amount = stated(
        positive(at_most=100, usual=(5, 100)),
        "diameter of a rod",
        "14",
        chosen_by="designer",
        tried="by-hand",
    )
    soil_ohm_m: Amount = stated(
        positive(at_most=100000, usual=(1, 100000)),
        "resistivity of the soil",
        "60",
        chosen_by="measurement",
    )
    lead: Lead | Absent = stated(Section(Lead), "its lead, to what it earths")


@dataclass(frozen=True)
class Vehicle(Placed):
    """One vehicle that charges."""

    name: str = stated(Name(), "what it is called here", "van", required=True)
    at: str = stated(
        Name(),
        "the charging point it is charged at",
        "post-1",
        required=True,
        names="charging_points",
    )
    on_board_charger_kw: Amount = stated(
        positive(at_most=100, usual=(1, 100)),
        "power of the charger on board",
        "7.4",
        chosen_by="site",
    )
    phases: Amount = stated(
        count(at_least=1, at_most=3), "phases that its charger takes", "1", chosen_by="site"
    )
    battery_kwh: Amount = stated(
        positive(at_most=2000, usual=(3, 2000)), "what its battery holds", "60", chosen_by="site"
    )
    from_percent: Amount = stated(
        Number(at_least=0, at_most=100), "charge when it arrives", "20", chosen_by="site"
    )
    to_percent: Amount = stated(
        Number(at_least=0, at_most=100), "charge when it leaves", "80", chosen_by="site"
    )
    efficiency_percent: Amount = stated(
        Number(above=0, at_most=100),
        "share of the energy that reaches the battery",
        "90",
        chosen_by="site",
    )
    surge_input: Trade = stated(
        word("open", "capacitor", "varistor", "rectifier"),
        "what a surge meets at its inlet",
        chosen_by="site",
    )


@dataclass(frozen=True)
class Reading(Placed):
    """One test that was made.

    `at` names a part (or `origin`, `board`), `between` the two conductors it stood on. `state` is
    the simulated state of the control pilot, `result` the finding where there is no figure.
    """

    test: str = stated(
        word(
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
        ),
        "which test it was",
        required=True,
        chosen_by="measurement",
    )
    at: Trade = stated(Name(), "the part it was made at, or `origin`, `board`", "origin")
    circuit: Trade = stated(Name(), "the circuit it was made on", "slipway", names="circuits")
    between: tuple[str, ...] | Absent = stated(
        words_of(*LINES, "N", "PE"),
        "the two conductors the instrument stood on",
        "[L1, PE]",
        chosen_by="measurement",
    )
    ohm: Amount = stated(
        Number(at_least=0, at_most=1000000),
        "what it read",
        "0.26",
        when="ze, zs, r1-plus-r2, electrode, electrode-lead, continuity",
        chosen_by="measurement",
    )
    megohm: Amount = stated(
        Number(at_least=0, at_most=100000),
        "what it read",
        "199",
        when="insulation",
        chosen_by="measurement",
    )
    ms: Amount = stated(
        Number(at_least=1, or_zero=True, at_most=100000),
        "the time it took",
        "24",
        when="rcd-time",
        chosen_by="measurement",
    )
    ka: Amount = stated(
        Number(at_least=0, at_most=200),
        "what it read",
        "0.82",
        when="prospective-fault-current",
        chosen_by="measurement",
    )
    v: Amount = stated(
        Number(at_least=0, at_most=1000),
        "what it read",
        "231",
        when="voltage",
        chosen_by="measurement",
    )
    a: Amount = stated(
        Number(at_least=0, at_most=6300),
        "what it read",
        "32",
        when="state, limiter",
        chosen_by="measurement",
    )
    s: Amount = stated(
        Number(at_least=0, at_most=1000),
        "the time it took",
        "3",
        when="open-pen",
        chosen_by="measurement",
    )
    test_v: Amount = stated(
        positive(at_most=1000),
        "test voltage of the insulation tester",
        "500",
        when="insulation",
        chosen_by="measurement",
    )
    surge_device: Trade = stated(
        word("in", "out"),
        "whether the surge protective devices were in while it was tested",
        when="insulation",
        chosen_by="measurement",
    )
    sequence: Trade = stated(
        word("L1-L2-L3", "L1-L3-L2"),
        "the order in which the lines turn",
        when="phase-sequence",
        chosen_by="measurement",
    )
    state: Trade = stated(
        word("A", "B", "C", "D", "E", "F", "protective-conductor-open", "signal-lost"),
        "the simulated state of the control pilot",
        when="state, lock",
        chosen_by="measurement",
    )
    result: Trade = stated(
        word("satisfactory", "unsatisfactory"),
        "the finding where there is no figure",
        chosen_by="measurement",
    )
    day: date | Absent = stated(Day(), "the day of the test", "2026-12-01")
    instrument: Trade = stated(
        Prose(), "the instrument it was read on", "tester 3, checked in June"
    )
    by: Trade = stated(Prose(), "who read it", "R. Marsh")


SOURCE_KINDS = ("photovoltaic", "battery", "vehicle", "generator", "other")
"""Kinds of sources beside the network: inverter of photovoltaic modules, battery with its inverter,
vehicle that feeds back, generating set; a wind turbine, a fuel cell or what else there is can be
named, and nothing is worked with it.
"""


@dataclass(frozen=True)
class OtherSource(Placed):
    """One source beside the network, and what keeps it apart from the network."""

    name: str = stated(Name(), "its name", "roof-inverter", required=True)
    kind: str = stated(
        word(*SOURCE_KINDS), "what kind of source it is", required=True, chosen_by="site"
    )
    joined_at: Trade = stated(
        Name(),
        "where it feeds in: `origin`, `board`, an existing board, a way or a charging point",
        "board",
        chosen_by="site",
    )
    standard: Trade = stated(Prose(), "the standard it is made to", "EN 62109")
    power_kw: Amount = stated(
        positive(at_most=1000, usual=(0.3, 500)),
        "the most it feeds in",
        "3.6",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    lines: tuple[str, ...] | Absent = stated(
        words_of(*LINES), "the lines it feeds", "[L1]", when="three phases", chosen_by="site"
    )
    fault_current_a: Amount = stated(
        positive(at_most=50000),
        "the largest current it gives into a fault, on each line",
        "25",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    works_without_network: YesNo = stated(
        Flag(), "whether it can go on feeding while the network is lost", chosen_by="site"
    )
    network_protection: YesNo = stated(
        Flag(),
        "whether it is declared to leave the network by itself when that is lost",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    changeover: YesNo = stated(
        Flag(),
        "whether an interlocked changeover lets only the network or this source feed",
        chosen_by="designer",
    )
    changeover_at: Trade = stated(
        Prose(),
        "where the changeover stands",
        "between the meter and the main switch",
        when="changeover: true",
        chosen_by="site",
    )
    changeover_neutral: YesNo = stated(
        Flag(),
        "whether the changeover opens the neutral too",
        when="changeover: true",
        chosen_by="designer",
    )
    neutral_earth_switch: YesNo = stated(
        Flag(),
        "whether its neutral is joined to earth while the network is lost, and only then",
        when="works_without_network: true",
        chosen_by="designer",
    )
    electrode: Trade = stated(
        Name(),
        "the electrode that earths it while the network is lost",
        "rod-2",
        also=(NONE,),
        when="works_without_network: true",
        names="electrodes",
        chosen_by="designer",
    )
    isolator: YesNo = stated(
        Flag(),
        "whether a device for isolation of its own parts it from what it feeds, on its a.c. side",
        chosen_by="designer",
    )
    isolator_dc: YesNo = stated(
        Flag(),
        "whether a device for isolation parts its modules from it, on its d.c. side",
        when="photovoltaic",
        chosen_by="designer",
    )
    bidirectional_devices: YesNo = stated(
        Flag(),
        "whether the devices it feeds back through, beside ways of the new board, are declared for"
        " both directions",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    labelled: YesNo = stated(
        Flag(),
        "whether labels tell of it at the origin, the meter, its board and each place of isolation",
        chosen_by="designer",
    )
    simple_separation: YesNo = stated(
        Flag(),
        "whether its a.c. side is parted from d.c. by at least simple separation",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    residual_type: Trade = stated(
        word(*RESIDUAL_TYPES),
        "type of the residual current device that it feeds in through",
        also=(NONE,),
        chosen_by="designer",
    )
    residual_type_declared: Trade = stated(
        word(*RESIDUAL_TYPES),
        "the least type of residual current device that its maker declares for it",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    surge_dc: Trade = stated(
        word("type-1", "type-2"),
        "the surge protective device on its d.c. side",
        also=(NONE,),
        when="photovoltaic",
        chosen_by="designer",
    )
    surge_ac: Trade = stated(
        word("type-1", "type-2", "at-the-board"),
        "the surge protective device on its a.c. side; at-the-board: that of the board is near",
        also=(NONE,),
        chosen_by="designer",
    )


SURGE_KINDS = ("varistor", "spark-gap", "gap-and-varistor")
"""What a surge protective device may be made of, as IEC 61643-11 parts them (from memory): one that
limits, one that switches, both in series.
"""


@dataclass(frozen=True)
class SurgeDeviceElsewhere(Placed):
    """One surge protective device that stands elsewhere than in the new board."""

    name: str = stated(Name(), "its name, on drawings too", "V0", required=True)
    at: str = stated(
        Name(),
        "where it stands: `origin`, an existing board, or at or in a charging point",
        "origin",
        required=True,
        chosen_by="site",
    )
    type: Amount = stated(
        count(at_least=1, at_most=3),
        "its type: 1, 2 or 3",
        "1",
        chosen_by="designer",
        tried="counts",
    )
    kind: Trade = stated(
        word(*SURGE_KINDS),
        "what it is made of: it limits, it switches, or both in series",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    year: Amount = stated(
        count(at_least=1950, at_most=2100), "when it was made or fitted", "2009", chosen_by="site"
    )
    state: Trade = stated(
        word("healthy", "worn"),
        "what its window shows; `none`: it has none to look at",
        also=(NONE,),
        chosen_by="measurement",
    )
    connection: Trade = stated(
        word("CT1", "CT2"), "how it is joined to the conductors", chosen_by="designer"
    )
    continuous_voltage_v: Amount = stated(
        positive(at_most=1500, usual=(50, 1500)),
        "highest voltage it bears for ever",
        "275",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    protection_level_kv: Amount = stated(
        positive(at_most=20, usual=(0.3, 20)),
        "voltage it lets through at its nominal discharge current",
        "1.5",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    nominal_discharge_current_ka: Amount = stated(
        positive(at_most=200, usual=(0.5, 200)),
        "the surge current of its rating, 8/20 µs; of type 3 half of its open-circuit voltage"
        " in kV",
        "20",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    impulse_current_ka: Amount = stated(
        positive(at_most=200, usual=(0.5, 100)),
        "the lightning current each pole is tried with, 10/350 µs",
        "12.5",
        also=(UNDECLARED,),
        when="type 1",
        chosen_by="maker",
    )
    short_circuit_rating_ka: Amount = stated(
        positive(at_most=300),
        "the fault current it withstands with its backup",
        "25",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    own_protection: Trade = stated(
        word("internal"),
        "what parts it when it fails, where its maker builds that in",
        also=(NONE, UNDECLARED),
        chosen_by="maker",
    )
    backup_fuse_max_a: Amount = stated(
        positive(at_most=6300),
        "largest fuse that may stand ahead of it",
        "160",
        also=(UNDECLARED,),
        chosen_by="maker",
    )
    fuse_a: Amount = stated(
        positive(at_most=6300),
        "the fuse that stands ahead of it, its own or the nearest towards the supply",
        "100",
        chosen_by="site",
    )
    lead_m: Amount = stated(
        positive(at_most=100),
        "its leads, live side and earth side together",
        "0.4",
        chosen_by="site",
    )
    cable_m: Amount = stated(
        Number(at_least=0, at_most=1000),
        "cable between it and where the feed begins, or the terminals of the charging point;"
        " 0 where it stands there",
        "0",
        chosen_by="site",
    )
    agrees_with: tuple[str, ...] | Absent = stated(
        Names(),
        "the surge protective devices that its maker declares it to be coordinated with",
        "[F1]",
        also=(NONE, UNDECLARED),
        word_kept=True,
        chosen_by="maker",
    )
    least_cable_m: Amount = stated(
        Number(at_least=0, at_most=1000),
        "the least length of cable that its maker asks for between it and the next device;"
        " 0 where none is asked",
        "0",
        also=(UNDECLARED,),
        chosen_by="maker",
    )


CONTACTS = (
    "sound",
    "loose",
    "over-tight",
    "beside-the-clamp",
    "insulation-under-the-clamp",
    "cut-strands",
    "high-resistance",
)
"""How a conductor may sit in its clamp."""


@dataclass(frozen=True)
class WiringChange(Placed):
    """One change to the wiring that follows from the rest of the file; exactly one of the first
    five keys.

    `remove`, `move` and `set` name a conductor, `swap` two terminals whose conductors change
    places, `add` names a new conductor. `end` is `start` or `end` of the conductor.
    """

    remove: Trade = stated(Prose(), "the conductor that is taken out", "lead.PE.F1")
    move: Trade = stated(Prose(), "the conductor of which one end is moved", "lead.N.F1")
    swap: tuple[str, ...] | Absent = stated(
        Texts(), "two terminals whose conductors change places", "[F1.N, F1.PE]"
    )
    add: Trade = stated(Prose(), "name of a conductor that is added", "link.1")
    set: Trade = stated(Prose(), "the conductor that is of another kind", "lead.PE.F1")
    end: Trade = stated(
        word("start", "end"),
        "which of its ends",
        when="move, or set with contact",
        chosen_by="site",
    )
    from_: Trade = stated(Prose(), "where a conductor that is added begins", "F1.PE", when="add")
    to: Trade = stated(Prose(), "where it goes", "earth-bar.1", when="move, add")
    function: Trade = stated(
        word("L1", "L2", "L3", "N", "PE"),
        "what a conductor that is added serves as",
        when="add",
        chosen_by="site",
    )
    csa_mm2: Amount = stated(
        positive(at_most=400), "its size", "6", when="add, set", chosen_by="site"
    )
    length_m: Amount = stated(
        positive(at_most=2000), "its length", "0.4", when="add, set", chosen_by="site"
    )
    colour: Trade = stated(Prose(), "its colour", "blue", when="add, set")
    contact: Trade = stated(
        word(*CONTACTS), "how its end sits in the terminal", when="set", chosen_by="site"
    )
    contact_ohm: Amount = stated(
        Number(at_least=0, at_most=1000),
        "resistance of that contact",
        "0.5",
        when="set",
        chosen_by="site",
    )


@dataclass(frozen=True)
class Installation(Placed):
    """One installation. `lines_of` maps a path such as `circuits.slipway.route` to its line."""

    title: str = stated(
        Prose(),
        "what the installation is called on pages",
        "Marram Boatyard, slipway post",
        required=True,
    )
    story: Trade = stated(
        Prose(),
        "who wants what, where, in a few sentences",
        "A small boatyard wants one charging post.",
    )
    rules: str = stated(
        word(*RULE_SETS), "the rule set it is judged by", required=True, chosen_by="edition"
    )
    edition: str = stated(Prose(), "the edition of the rule set", "2018+A4:2026", required=True)
    work_begins: date = stated(Day(), "the day the work begins", "2026-12-01", required=True)
    premises: Premises | Absent = stated(Section(Premises), "the premises and who uses them")
    supply: Supply = stated(Section(Supply), "what the network operator provides", required=True)
    existing_load: ExistingLoad | Absent = stated(
        Section(ExistingLoad), "load of the installation without the new points"
    )
    load_limiter: LoadLimiter | Absent = stated(
        Section(LoadLimiter),
        "what keeps the supply within its limit by turning charging down",
        also=(NONE,),
    )
    shared_limit: SharedLimit | Absent = stated(
        Section(SharedLimit),
        "what holds several points within one current together",
        also=(NONE,),
    )
    existing_boards: tuple[ExistingBoard, ...] = stated(
        Sections(ExistingBoard), "the boards that are there already"
    )
    feed: Feed | Absent = stated(
        Section(Feed), "the feed, from the existing installation to the new board"
    )
    board: Board = stated(Section(Board), "the new board", required=True)
    circuits: tuple[Circuit, ...] = stated(
        Sections(Circuit, at_least=1), "the circuits of the new board", required=True
    )
    charging_points: tuple[ChargingPoint, ...] = stated(
        Sections(ChargingPoint, at_least=1), "the charging points", required=True
    )
    later_points: tuple[LaterPoint, ...] = stated(
        Sections(LaterPoint), "points for later vehicles that the feed and the board are chosen for"
    )
    electrodes: tuple[Electrode, ...] = stated(Sections(Electrode), "earth electrodes")
    other_sources: tuple[OtherSource, ...] | Absent = stated(
        Sections(OtherSource),
        "sources beside the network; `none` where somebody looked and there is none",
        also=(NONE,),
        word_kept=True,
    )
    surge_devices: tuple[SurgeDeviceElsewhere, ...] = stated(
        Sections(SurgeDeviceElsewhere),
        "surge protective devices elsewhere: at the origin, in an existing board, at a charging"
        " point",
    )
    vehicles: tuple[Vehicle, ...] = stated(
        Sections(Vehicle), "vehicles that are charged here", chosen_by="site"
    )
    readings: tuple[Reading, ...] = stated(
        Sections(Reading, at_most=400),
        "tests that were made, and what they gave",
        chosen_by="measurement",
    )
    wiring: tuple[WiringChange, ...] = stated(
        Sections(WiringChange),
        "changes to the wiring that follows from the rest of the file",
        chosen_by="site",
    )
    known_by: dict[str, str] = key(
        ByName(Word(HOW_KNOWN)),
        "how a value is known, by the path of its key; it speaks for all keys below",
        "{supply.ze_ohm: measured}",
    )
    name: str = "installation"
    file: str = ""
    lines_of: dict[str, int] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        super().__post_init__()
        note_assumed(self)

    def circuit(self, wanted: str) -> Circuit:
        """The circuit of that name (StopIteration without one)."""
        return next(circuit for circuit in self.circuits if circuit.name == wanted)

    def way(self, wanted: str) -> Way:
        """The device of that name (StopIteration without one)."""
        return next(way for way in self.board.ways if way.name == wanted)

    def point(self, wanted: str) -> ChargingPoint:
        """The charging point of that name (StopIteration without one)."""
        return next(point for point in self.charging_points if point.name == wanted)

    def electrode(self, wanted: str) -> Electrode | None:
        """The electrode of that name; None without one."""
        return next((item for item in self.electrodes if item.name == wanted), None)

    @property
    def board_is_detached(self) -> bool:
        """Whether the file says that the board hangs in another building."""
        place = self.board.place
        return isinstance(place, Place) and place.building == "detached"

    @property
    def electrode_of_board(self) -> Electrode | None:
        """The electrode the board stands on, apart from the earth of the supply; None without one,
        and under nec, where no electrode takes the place of the grounding conductor.
        """
        if self.rules == "nec" or not self.board_is_detached:
            return None
        named = self.board.earthed_by
        return None if isinstance(named, Absent) else self.electrode(str(named))

    def way_feeding(self, circuit_name: str) -> Way:
        """The device that feeds a circuit (StopIteration without one)."""
        return next(way for way in self.board.ways if way.feeds == circuit_name)

    @property
    def sources(self) -> tuple[OtherSource, ...]:
        """The sources beside the network that the file names; none where it says nothing."""
        return self.other_sources if is_known(self.other_sources) else ()

    @property
    def surge_ways(self) -> tuple[Way, ...]:
        """The surge protective devices, in the order of the board."""
        return tuple(way for way in self.board.ways if way.device == "spd")

    @property
    def every_surge_device(self) -> tuple[Way | SurgeDeviceElsewhere, ...]:
        """The surge protective devices of the board, then those elsewhere."""
        return (*self.surge_ways, *self.surge_devices)

    def points_of(self, circuit: Circuit) -> tuple[ChargingPoint, ...]:
        """The charging points a circuit supplies, in the order of the file."""
        return tuple(point for point in self.charging_points if point.name in circuit.supplies)

    def how_known(self, path: str) -> str | None:
        """How a value is known: the entry of the path or of the nearest path above it."""
        while path:
            if path in self.known_by:
                return self.known_by[path]
            path = path.rpartition(".")[0]
        return None
