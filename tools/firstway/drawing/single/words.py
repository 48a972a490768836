"""Drawing: what is written on the single-line diagram: labels, the figures called out, and its
alternative text.
"""

from collections.abc import Sequence

from firstway.calculations.adding import added
from firstway.choosing.completing import Completed
from firstway.drawing.part_words import CONSTRUCTION, amount, rating_words, several_words
from firstway.model.installation import (
    Cable,
    ChargingPoint,
    Circuit,
    Electrode,
    ExistingBoard,
    Installation,
    LoadLimiter,
    OtherSource,
    ResidualCurrentDevice,
    ServiceDevice,
    Stretch,
    SurgeDeviceElsewhere,
    Vehicle,
    Way,
)
from firstway.model.lines import residual_device_at_origin
from firstway.model.nec_words import in_nec_words
from firstway.model.values import NONE, UNKNOWN, Absent, is_known
from firstway.rendering.figures import figure_in_formula, shown, symbol_parts, symbol_text
from firstway.rendering.html import caution_line
from firstway.workings.shared.step import Step

# Where on the path a figure is called out: kind of place -> step ids, in reading order.
CALLED_OUT = {
    "supply": ("maximum-demand", "open-pen-voltage"),
    "feed": ("corrected-capacity", "voltage-drop"),
    "board": ("fault-current-at-board", "fault-current-with-sources", "enclosure-rise"),
    "spd": ("spd-lead-length", "effective-protection-level"),
    "surge": ("surge-cable-between", "surge-strain"),
    "device": ("design-current", "device-rating"),
    "cable": ("corrected-capacity", "voltage-drop", "voltage-drop-percent", "r1-plus-r2-reading"),
    "point": (
        "loop-impedance",
        "loop-impedance-limit",
        "earth-fault-current",
        "disconnection-time",
    ),
    "earthing": ("touch-voltage",),
    "electrode": ("electrode-resistance", "electrode-resistance-limit"),
    "vehicle": ("charge-energy",),
    "source": ("current-fed-in", "source-fault-current"),
}
STEP_WORDS = {
    "maximum-demand": "demand with the new points",
    "open-pen-voltage": "earth terminal, PEN lost",
    "corrected-capacity": "capacity where it is run",
    "voltage-drop": "voltage drop",
    "fault-current-at-board": "largest fault current here",
    "enclosure-rise": "air inside above the room",
    "spd-lead-length": "SPD leads, live side and earth",
    "effective-protection-level": "protection level with leads",
    "surge-cable-between": "cable to the next SPD",
    "surge-strain": "of one surge of its rating, by our run",
    "design-current": "design current",
    "device-rating": "rating of the device",
    "voltage-drop-percent": "of the nominal voltage",
    "r1-plus-r2-reading": "R1 + R2 to expect, 20 °C",
    "loop-impedance": "loop impedance, hot",
    "loop-impedance-limit": "its limit",
    "earth-fault-current": "smallest earth fault current",
    "disconnection-time": "disconnection time",
    "touch-voltage": "touch voltage in an earth fault",
    "electrode-resistance": "electrode resistance",
    "electrode-resistance-limit": "its limit",
    "charge-energy": "energy of one charge",
    "current-fed-in": "current fed in, at most",
    "source-fault-current": "current it gives into a fault",
    "fault-current-with-sources": "the same with every source",
}
# Rule set nec names no limit of a loop and no reading of two conductors in series: its single-line
# diagram leaves them out.
NEC_CALLED_OUT = {
    **CALLED_OUT,
    "cable": ("corrected-capacity", "voltage-drop", "voltage-drop-percent"),
    "point": (),
    "source": (),
}
NEC_STEP_WORDS = {"corrected-capacity": "ampacity where it is run"}
_SYSTEM_WORDS = {
    "TN-C-S": "TN-C-S: earth from the supply's PEN",
    "TN-S": "TN-S: earth from the supply's own conductor",
    "TT": "TT: earth from own electrodes",
    "grounded": "grounded system",
}


UP_SYMBOL = "Up"
"""The symbol of a protection level, before its value."""


def called_out(rules: str) -> dict[str, tuple[str, ...]]:
    """Which figures stand where on the path under a rule set."""
    return NEC_CALLED_OUT if rules == "nec" else CALLED_OUT


def step_words(step: Step, rules: str) -> str:
    """A called-out figure in few words."""
    said = STEP_WORDS.get(step.id, step.title)
    return NEC_STEP_WORDS.get(step.id, in_nec_words(said)) if rules == "nec" else said


def figure_words(step: Step) -> str:
    """Symbol and value of a called-out figure, equal to the working."""
    return f"{symbol_text(step.symbol)} {shown(step)}" if step.symbol else shown(step)


def lowered(step: Step) -> tuple[int, int]:
    """From where to where the symbol of `figure_words` has its subscript, else 0, 0."""
    letter, below = symbol_parts(step.symbol) if step.symbol else ("", "")
    return (len(letter), len(letter) + len(below)) if below else (0, 0)


def supply_words(installation: Installation) -> list[str]:
    supply = installation.supply
    phases = "one phase" if supply.phases == 1 else "three phases"
    volts = (
        f"{amount(supply.line_to_line_v, 'V')} / "
        if supply.phases == 3 and is_known(supply.line_to_line_v)
        else ""
    )
    if supply.system == "grounded":
        # The nec names such a supply by its lower voltage first, 120/240 V: two lines and the
        # grounded conductor between them.
        higher = (
            f"/{amount(supply.line_to_line_v, 'V')}" if is_known(supply.line_to_line_v) else " V"
        )
        return [
            f"Utility's source, {phases}",
            f"{amount(supply.line_to_earth_v, 'V').removesuffix(' V')}{higher}",
            "grounded system",
        ]
    return [
        f"Distributor's source, {phases}",
        f"{volts}{amount(supply.line_to_earth_v, 'V')}",
        _SYSTEM_WORDS.get(str(supply.system), str(supply.system)),
    ]


def service_words(installation: Installation) -> list[str]:
    device = installation.supply.service_device
    if isinstance(device, Absent):
        return ["Service device: not known"]
    return [f"Service {device_phrase(device)}"]


def device_phrase(device: ServiceDevice) -> str:
    standard = f"{device.standard} " if is_known(device.standard) else ""
    return f"{device.device} {standard}{amount(device.rating_a, 'A')}"


def residual_words(device: ResidualCurrentDevice) -> str:
    kind = f", type {device.residual_type}" if is_known(device.residual_type) else ""
    delay = ", delayed (S)" if device.delay == "S" else ""
    return f"RCD {amount(device.rated_residual_current_ma, 'mA')}{kind}{delay}"


def existing_words(board: ExistingBoard) -> list[str]:
    year = f", {figure_in_formula(float(board.year))}" if is_known(board.year) else ""
    lines = [f"{board.name}{year}"]
    lines += [residual_words(rcd) for rcd in board.rcds]
    return lines


def limiter_words(limiter: LoadLimiter) -> list[str]:
    return ["Load limiter", f"holds {amount(limiter.limit_a, 'A')}"]


def conductor_functions(circuit: Circuit) -> tuple[str, ...]:
    return (*circuit.lines, *(("N",) if circuit.neutral is True else ()), "PE")


def cable_lines(name: str, cable: Cable | Absent, route: tuple[Stretch, ...]) -> list[str]:
    """Size, kind, methods and length of a cable."""
    if isinstance(cable, Absent):
        return [f"{name}: cable not known"]
    size = (
        f"{figure_in_formula(float(cable.csa_mm2))} mm²"
        if is_known(cable.csa_mm2)
        else (f"{cable.size_awg} AWG" if is_known(cable.size_awg) else "size not known")
    )
    earth = (
        f" + {figure_in_formula(float(cable.cpc_mm2))} mm² PE"
        if is_known(cable.cpc_mm2)
        else (f" + {cable.egc_awg} AWG ground" if is_known(cable.egc_awg) else "")
    )
    kind = CONSTRUCTION.get(str(cable.construction), "")
    cores = (
        f"{int(cable.cores)}-core "
        if is_known(cable.cores) and cable.construction in ("armoured", "multicore")
        else ""
    )
    lines = [f"{name}: {size}{earth}", f"{cores}{kind}".strip()]
    if route:
        length = figure_in_formula(added(float(part.length_m) for part in route))
        methods = ", ".join(dict.fromkeys(str(part.method) for part in route))
        lines.append(
            f"{length} m, {'methods' if len({part.method for part in route}) > 1 else 'method'}"
            f" {methods}"
        )
    return [line for line in lines if line]


def main_switch_words(installation: Installation) -> list[str]:
    switch = installation.board.main_switch
    if isinstance(switch, Absent):
        return [
            (
                "main lugs, no main switch"
                if installation.rules == "nec" and switch == NONE
                else "no main switch"
            )
        ]
    poles = f", {int(switch.switched_poles)} poles" if is_known(switch.switched_poles) else ""
    return [
        switch.name,
        str(switch.device) if is_known(switch.device) else "main switch",
        f"{amount(switch.rating_a, 'A')}{poles}",
    ]


def surge_words(device: SurgeDeviceElsewhere) -> list[str]:
    """A surge protective device that stands elsewhere than in the new board."""
    kind = f" type {figure_in_formula(float(device.type))}" if is_known(device.type) else ""
    connection = f", {device.connection}" if is_known(device.connection) else ""
    level = (
        [f"{UP_SYMBOL} {amount(device.protection_level_kv, 'kV')}"]
        if is_known(device.protection_level_kv)
        else []
    )
    window = {"healthy": [], "worn": ["worn: protects nothing"]}.get(
        str(device.state) if is_known(device.state) else "", ["window: not looked at"]
    )
    return [f"{device.name}: SPD{kind}{connection}", *level, *window]


def way_words(way: Way) -> list[str]:
    if way.device == "spd":
        kind = f" type {figure_in_formula(float(way.type))}" if is_known(way.type) else ""
        connection = (
            f", {way.connection}"
            if is_known(way.connection) and str(way.connection).startswith("CT")
            else ""
        )
        level = (
            [f"{UP_SYMBOL} {amount(way.protection_level_kv, 'kV')}"]
            if is_known(way.protection_level_kv)
            else []
        )
        return [way.name, f"SPD{kind}{connection}", *level]
    lines = [
        way.name,
        (
            f"{str(way.device).upper() if way.device in ('rcbo', 'rcd') else _spaced(way.device)}"
            f" {rating_words(way)}"
        ),
    ]
    if is_known(way.rated_residual_current_ma):
        lines.append(
            f"{amount(way.rated_residual_current_ma, 'mA')}, type"
            f" {way.residual_type if is_known(way.residual_type) else 'not known'}"
        )
    if way.device == "circuit-breaker" and switched_neutral(way) == "switched":
        lines.append("opens line and neutral")
    if way.device == "rcbo":
        several = is_known(way.protected_poles) and way.protected_poles > 1
        lines.append(
            f"opens {'lines' if several else 'line'} and neutral"
            if switched_neutral(way) == "switched"
            else "neutral not switched"
        )
    return lines


def _spaced(device: object) -> str:
    return str(device).replace("-", " ")


def switched_neutral(way: Way) -> str:
    if not is_known(way.switched_poles) or not is_known(way.protected_poles):
        return "none"
    return "switched" if way.switched_poles > way.protected_poles else "solid"


def point_words(point: ChargingPoint) -> list[str]:
    current = f" {amount(point.current_a, 'A')}" if is_known(point.current_a) else ""
    outlet = {
        "tethered": "tethered lead",
        "socket": "socket-outlet",
        "receptacle": "receptacle",
    }.get(str(point.outlet), "")
    detection = (
        "no d.c. detection"
        if point.dc_detection == NONE
        else {
            "rdc-dd": "detects direct current (RDC-DD)",
            "type-b": "detects direct current (type B)",
        }.get(
            str(point.dc_detection) if is_known(point.dc_detection) else "",
            "d.c. detection: ask the maker",
        )
    )
    return [
        line
        for line in (
            point.name,
            f"charging point{current}",
            outlet,
            detection,
            *built_in_words(point),
            *open_pen_words(point),
        )
        if line
    ]


def built_in_words(point: ChargingPoint) -> list[str]:
    """The residual current device inside a point, where the file tells what it is made to."""
    if not is_known(point.built_in_rcd) or not is_known(point.built_in_rcd_standard):
        return []
    kind = str(point.built_in_rcd).replace("type-", "type ").replace("type b", "type B")
    kind = kind.replace("type a", "type A").replace("type f", "type F")
    rated = f", {amount(point.built_in_rcd_ma, 'mA')}" if is_known(point.built_in_rcd_ma) else ""
    return [f"RCD inside: {kind}{rated}"]


def earthed_words(point: ChargingPoint, electrode: Electrode | None) -> list[str]:
    """What a point of its own earth must say: the supply's earth ends before it."""
    if electrode is not None and electrode.use == "charging-point":
        return [f"earthed by {electrode.name}, not by the supply"]
    return ["separated from the supply's earth"] if point.earthed_by == "separated" else []


def open_pen_words(point: ChargingPoint) -> list[str]:
    measure = getattr(point.open_pen, "measure", UNKNOWN)
    return {
        "device": ["open-PEN device"],
        "three-phase-balance": ["open-PEN by three-phase balance"],
        "electrode": ["open-PEN by electrode"],
        "none": ["no open-PEN measure"],
    }.get(str(measure) if is_known(measure) else "", [])


def vehicle_words(vehicle: Vehicle) -> list[str]:
    return [vehicle.name, f"on-board charger {amount(vehicle.on_board_charger_kw, 'kW')}"]


SOURCE_WORDS = {
    "photovoltaic": "photovoltaic inverter",
    "battery": "battery with inverter",
    "vehicle": "vehicle that feeds back",
    "generator": "generating set",
    "other": "another source",
}


def source_words(source: OtherSource) -> list[str]:
    """A source beside the network: what it is, how it is isolated, what it does without the
    network.
    """
    alone = "stops with the network"
    if source.works_without_network is not False:
        on = source.works_without_network is True
        alone = "feeds on when the network is lost" if on else "without the network: not known"
    lines = [
        source.name,
        SOURCE_WORDS[source.kind],
        amount(source.power_kw, "kW") if is_known(source.power_kw) else "power not known",
        _isolators(source),
        alone,
    ]
    if source.changeover is True:
        both = ", neutral too" if source.changeover_neutral is True else ""
        lines.append(f"changeover{both}")
    if source.neutral_earth_switch is True and source.works_without_network is True:
        lines.append("its neutral joined to earth while it feeds alone")
    return lines


def _isolators(source: OtherSource) -> str:
    if source.isolator is False:
        return "no isolator of its own"
    if not is_known(source.isolator):
        return "isolator: not known"
    return "isolators on both sides" if source.isolator_dc is True else "isolator of its own"


def fed_back_words(source: OtherSource) -> list[str]:
    """A source that feeds in through a charging point, told at its vehicle."""
    power = f" up to {amount(source.power_kw, 'kW')}" if is_known(source.power_kw) else ""
    return [f"{source.name}: feeds back{power}", *source_words(source)[3:]]


def electrode_words(electrode: Electrode) -> list[str]:
    use = {
        "installation": "earth of the installation",
        "board": "earth of the board",
        "charging-point": "earth of the point",
        "holds-down-open-pen": "holds MET down if the PEN is lost",
        "measuring": "for measuring only",
    }.get(str(electrode.use), "")
    return [electrode.name, use]


def single_line_description(
    completed: Completed,
    called: Sequence[tuple[int, Step, str]],
    flagged: Sequence[tuple[str, str, str]],
) -> str:
    """The alternative text: the path in order, then the figures by number, then the findings by
    letter.
    """
    installation = completed.installation
    supply = installation.supply
    earth = {
        "TN-C-S": (
            "At the service the combined conductor PEN splits into neutral and protective"
            " conductor; the protective conductor goes to the main earthing terminal."
        ),
        "TN-S": "The supply's own protective conductor goes to the main earthing terminal.",
        "TT": "No earth comes from the supply.",
        "grounded": (
            "Neutral and ground are joined once, at the service; the equipment grounding conductor"
            " of the feeder brings the ground to the new panel."
        ),
    }.get(str(supply.system), "")
    sentences = [
        f"Single-line diagram of {installation.title}, from source to vehicle.",
        ", ".join(supply_words(installation)) + ".",
        earth,
        f"The path runs through: {', '.join(_path(installation))}.",
    ]
    boards = [", ".join(existing_words(board)) for board in installation.existing_boards]
    if boards:
        sentences.append(f"Existing board: {'; '.join(boards)}.")
    for device in installation.surge_devices:
        sentences.append(f"{', '.join(surge_words(device))}, at {device.at}.")
    limiter = installation.load_limiter
    if isinstance(limiter, LoadLimiter):
        place = {"before-split": " before it divides", "after-split": " of the new board"}.get(
            str(getattr(limiter.senses, "place", "")), ""
        )
        sentences.append(
            f"{', '.join(limiter_words(limiter))}: its current transformer senses the line{place},"
            " and a control link tells"
            f" {', '.join(point.name for point in installation.charging_points)} what may be taken."
        )
    for item in installation.electrodes:
        sentences.append(f"Electrode {', '.join(word for word in electrode_words(item) if word)}.")
    for way in installation.board.ways:
        if way.device != "blank":
            sentences.append(
                f"Way {', '.join(way_words(way))}, fed from {_fed(way, installation)}."
            )
    for circuit in installation.circuits:
        points = installation.points_of(circuit)
        sentences.append(
            f"From {installation.way_feeding(circuit.name).name}:"
            f" {', '.join(cable_lines(circuit.name, circuit.cable, circuit.route))} to"
            f" {'; '.join(', '.join(point_words(point)) for point in points)}."
        )
        for point in points:
            told = several_words(installation, point)
            sentences += [f"{point.name}: {', '.join(told)}."] if told else []
        sentences += [
            f"{point.name} is earthed by {_earth_of(point, installation.rules)}."
            for point in points
        ]
    for later in installation.later_points:
        sentences.append(
            f"Way {later.way} is kept for {later.name}, {amount(later.current_a, 'A')}."
        )
    for vehicle in installation.vehicles:
        sentences.append(f"At {vehicle.at}: {', '.join(vehicle_words(vehicle))}.")
    sentences += [
        f"Another source feeds in at {_fed_in(source)}: {', '.join(source_words(source))}."
        for source in installation.sources
    ]
    if called:
        sentences.append(
            "Figures: "
            + "; ".join(
                f"{number}, {step.title}, {figure_words(step)}" for number, step, _ in called
            )
            + "."
        )
    sentences += [f"{letter}: {text}." for letter, _, text in flagged]
    text = " ".join(sentence for sentence in sentences if sentence)
    return (
        f"{in_nec_words(text) if installation.rules == 'nec' else text}"
        f" {caution_line(installation.edition)}"
    )


def _earth_of(point: ChargingPoint, rules: str) -> str:
    if not is_known(point.earthed_by):
        return "an earth not known"
    return (
        "the equipment grounding conductor of its circuit"
        if rules == "nec" and point.earthed_by == "supply"
        else str(point.earthed_by)
    )


def _fed_in(source: OtherSource) -> str:
    if not is_known(source.joined_at):
        return "a place not known"
    at = {"origin": "the origin", "board": "the bars of the new board"}
    return at.get(str(source.joined_at), str(source.joined_at))


def _fed(way: Way, installation: Installation) -> str:
    if way.fed_from == "bar":
        return "the bar"
    return (
        "the supply side of the main switch"
        if way.fed_from == "supply-side"
        else (str(way.fed_from) if is_known(way.fed_from) else "a place not known")
    )


def _path(installation: Installation) -> list[str]:
    supply, feed = installation.supply, installation.feed
    stops = [*service_words(installation), "energy meter"]
    if installation.rules == "nec":
        stops.reverse()
    upstream = residual_device_at_origin(installation)
    if isinstance(upstream, ResidualCurrentDevice):
        stops.append(residual_words(upstream))
    if supply.isolator is True:
        stops.append("isolator")
    if not isinstance(feed, Absent):
        stops.append(
            {
                "connector-block": "connector block, where the existing board branches off",
                "existing-board-way": "existing board",
                "new-service": "new service",
            }.get(str(feed.from_), "origin")
        )
        stops += [
            device_phrase(item) if isinstance(item, ServiceDevice) else str(item)
            for item in feed.through
        ]
        stops += [", ".join(cable_lines("feed", feed.cable, feed.route))]
    return [*stops, "new board", " ".join(main_switch_words(installation))]
