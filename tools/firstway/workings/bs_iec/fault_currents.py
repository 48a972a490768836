"""Workings: fault currents at the board and the protective conductor that survives one."""

import math
from collections.abc import Iterator

from firstway.calculations import cable as cables
from firstway.calculations import faults
from firstway.model.installation import Amount, Circuit
from firstway.model.values import in_place_of, is_known, key_of
from firstway.tables import looking_up as tables
from firstway.workings.bs_iec.loops import line_alone
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.step import Step

OPENING_TIME_WITHOUT_DATA_S = 0.1


@topic
def at_the_board(book: Book) -> None:
    """Largest fault current at the board's incoming terminals: every kind of fault, feed cold,
    highest voltage.
    """
    supply = book.installation.supply
    factor = book.look_up(
        "voltage-factor-largest",
        "board",
        "Factor for the highest voltage",
        "C",
        tables.voltage_factor("c_max"),
        "",
    )
    voltage = book.fact(
        "voltage-to-earth", "board", "Voltage to earth", "U", supply.line_to_earth_v, "V", places=0
    )
    round_trip = _feed_line_and_neutral(book)
    origin = _origin(book, "line-neutral", supply.line_neutral_loop_ohm, "line_neutral", voltage)
    neutral = _with_feed(book, "line-neutral", origin, round_trip)
    line_neutral = book.formula(
        "line-neutral-fault-at-board",
        "board",
        "Largest fault current between line and neutral",
        faults.FAULT_CURRENT_KA,
        {"C": factor, "U": voltage, "Z": neutral},
        places=3,
    )
    line_earth = _line_earth(book, factor, voltage)
    currents: dict[str, Step | float] = {"I_LN": line_neutral, "I_LE": line_earth}
    if through_electrodes(book):
        # The fault to earth passes two electrodes there: it is never the larger one, known, assumed
        # or not.
        currents["I_LE"] = line_earth.figure or 0.0
    title, law = "Largest fault current at the board's incoming terminals", faults.LARGEST_CURRENT
    if supply.phases == 3:
        currents, law = (
            {
                **currents,
                **_three_phase(book, factor, round_trip),
            },
            faults.LARGEST_CURRENT_THREE_PHASE,
        )
    stated = tuple(_as_stated(book))  # read before the step is written: it rests on them too
    _band(
        book,
        book.formula("fault-current-at-board", "board", title, law, currents, places=3),
        stated,
    )


def _band(book: Book, current: Step, stated_ka: tuple[float, ...]) -> None:
    """The band of the largest current: as added, and as if the source were wholly reactive.

    Magnitudes added understate the largest current where the source is reactive, and the file may
    state a larger one; what must break or survive it is compared with `high`.
    """
    if current.value is None:
        return
    # Not the impedance to earth of a TT supply: two electrodes are in it, and no reactance to speak
    # of.
    names = (
        "line-neutral",
        "line",
        "line-line",
        *(() if _through_soil(book) else ("line-earth",)),
    )
    impedances = [
        step for name in names if (step := book.find(f"{name}-impedance-at-board", "board"))
    ]
    high = current.value * max(map(_growth, impedances), default=1.0)
    book.amend(current, low=current.value, high=max([high, *stated_ka]))


def _through_soil(book: Book) -> bool:
    """Whether a fault to the earth of the board goes back through electrodes."""
    return through_electrodes(book) or book.installation.electrode_of_board is not None


def _as_stated(book: Book) -> Iterator[float]:
    """Currents at the board, in kA, by the prospective currents of the file: what is stated counts
    where it is the larger.
    """
    supply = book.installation.supply
    factor = book.read("voltage-factor-largest", "board").value
    # Which impedance as far as the board, which voltage, and how many times the impedance of one
    # line the fault passes.
    for key, name, volts, times in (
        ("line_neutral", "line-neutral", supply.line_to_earth_v, 1.0),
        ("line_earth", "line-earth", supply.line_to_earth_v, 1.0),
        ("line_line", "line", supply.line_to_line_v, 2.0),
        ("three_phase", "line", supply.line_to_line_v, 3**0.5),
    ):
        if key == "line_earth" and _through_soil(book):
            continue  # the network's figure is that of another earth
        stated = key_of(supply.prospective_fault_current_ka, key)
        if not is_known(stated) or not is_known(volts) or factor is None:
            continue
        impedance = book.find(f"{name}-impedance-at-board", "board")
        parts = impedance.figures.values if impedance is not None and impedance.figures else {}
        if "R_f" not in parts:
            continue
        own = float(volts) / times
        yield factor * own / 1000 / math.hypot(own / (1000 * float(stated)), parts["R_f"])


def _growth(impedance: Step) -> float:
    """By how much a current grows when source impedance and feed resistance stand at
    right angles.
    """
    parts = impedance.figures.values if impedance.figures else {}
    if not {"Z_o", "R_f"} <= set(parts):
        return 1.0
    return (parts["Z_o"] + parts["R_f"]) / math.hypot(parts["Z_o"], parts["R_f"])


def _three_phase(book: Book, factor: Step, round_trip: Step) -> dict[str, Step]:
    supply = book.installation.supply
    between = book.fact(
        "line-voltage", "board", "Voltage between lines", "U", supply.line_to_line_v, "V", places=0
    )
    three = key_of(supply.prospective_fault_current_ka, "three_phase")
    title = "Impedance of one line of the supply"
    if is_known(three):
        current = book.fact(
            "three-phase-fault-at-origin",
            "board",
            "Three-phase fault current at the origin",
            "I_k",
            three,
            "kA",
        )
        line = book.formula(
            "line-impedance-at-origin",
            "board",
            title,
            faults.SOURCE_IMPEDANCE_THREE_PHASE,
            {"U": between, "I_k": current},
            places=4,
        )
    else:
        line = book.formula(
            "line-impedance-at-origin",
            "board",
            title,
            faults.HALF_LOOP,
            {"Z_LN": book.read("line-neutral-impedance-at-origin", "board")},
            places=4,
        )
    own = book.formula(
        "feed-line-resistance",
        "feed",
        "One line of the feed at 20 °C",
        cables.RESISTANCE_OF_LENGTH,
        {"r": book.read("line-resistance", "feed"), "L": book.read("length", "feed")},
        places=4,
    )
    whole = book.formula(
        "line-impedance-at-board",
        "board",
        "Impedance of one line as far as the board",
        faults.IMPEDANCE_WITH_CONDUCTORS,
        {"Z_o": line, "R_f": own},
        places=4,
    )
    balanced = book.formula(
        "three-phase-fault-at-board",
        "board",
        "Largest three-phase fault current",
        faults.FAULT_CURRENT_THREE_PHASE_KA,
        {"C": factor, "U": between, "Z": whole},
        places=3,
    )
    loop = book.formula(
        "line-line-impedance-at-board",
        "board",
        "Two lines in series as far as the board",
        faults.TWO_LINES,
        {"Z_1": whole},
        places=4,
    )
    two = book.formula(
        "line-line-fault-at-board",
        "board",
        "Largest fault current between two lines",
        faults.FAULT_CURRENT_KA,
        {"C": factor, "U": between, "Z": loop},
        places=3,
    )
    return {"I_LL": two, "I_LLL": balanced}


def _feed_line_and_neutral(book: Book) -> Step:
    return book.formula(
        "feed-line-neutral-resistance",
        "feed",
        "Line and neutral of the feed in series, at 20 °C",
        cables.LINE_NEUTRAL_RESISTANCE,
        {"r_1": book.read("line-resistance", "feed"), "L": book.read("length", "feed")},
        places=4,
    )


def _origin(book: Book, which: str, given: Amount, current_key: str, voltage: Step) -> Step:
    """Source impedance: as given, else worked from the prospective current of the same fault."""
    step_id, title = (
        f"{which}-impedance-at-origin",
        f"Impedance of the supply, {which.replace('-', ' and ')}",
    )
    current = key_of(book.installation.supply.prospective_fault_current_ka, current_key)
    if is_known(given) or not is_known(current):
        return book.fact(
            step_id,
            "board",
            title,
            "Z_o",
            given,
            "ohm",
            ask=(
                f"measure the prospective fault current ({which.replace('-', ' to ')}) at the"
                " origin"
            ),
            places=3,
        )
    there = book.fact(
        f"{which}-fault-at-origin",
        "board",
        "Prospective fault current at the origin",
        "I_k",
        current,
        "kA",
    )
    return book.formula(
        step_id, "board", title, faults.SOURCE_IMPEDANCE, {"U": voltage, "I_k": there}, places=3
    )


def _with_feed(book: Book, which: str, origin: Step, feed: Step) -> Step:
    return book.formula(
        f"{which}-impedance-at-board",
        "board",
        f"The same as far as the board ({which.replace('-', ' and ')})",
        faults.IMPEDANCE_WITH_CONDUCTORS,
        {"Z_o": origin, "R_f": feed},
        places=3,
    )


def through_electrodes(book: Book) -> bool:
    """Whether an earth fault at the board passes two electrodes: on a TT supply, and where the
    board stands on an earth of its own.
    """
    installation = book.installation
    return installation.supply.system == "TT" or installation.electrode_of_board is not None


@topic
def _line_earth(book: Book, factor: Step, voltage: Step) -> Step:
    return book.formula(
        "line-earth-fault-at-board",
        "board",
        "Largest fault current between line and earth",
        faults.FAULT_CURRENT_KA,
        {"C": factor, "U": voltage, "Z": _to_earth(book, voltage)},
        places=3,
    )


def _to_earth(book: Book, voltage: Step) -> Step:
    supply = book.installation.supply
    own = book.installation.electrode_of_board
    feed = book.read("r1-plus-r2-reading", "feed")
    if not through_electrodes(book):
        return _with_feed(
            book,
            "line-earth",
            _origin(book, "line-earth", supply.ze_ohm, "line_earth", voltage),
            feed,
        )
    if own is not None:
        # The return leaves the cable of the feed for the soil.
        line_alone(book, "feed")
        feed = book.read("line-alone-reading", "feed")
    electrode = (
        own.name
        if own is not None
        else next(
            (item.name for item in book.installation.electrodes if item.use == "installation"), None
        )
    )
    if electrode is None:
        return book.not_known(
            "line-earth-impedance-at-board",
            "board",
            "Line to earth as far as the board",
            "Z",
            "ohm",
            "formula",
            (book.installation.electrodes,),
            "name the electrode of the installation and measure it",
        )
    loop = book.read("line-neutral-impedance-at-origin", "board")
    half = book.formula(
        "supply-line-impedance",
        "board",
        "The supply's line alone",
        faults.HALF_LOOP,
        {"Z_LN": loop},
        places=3,
    )
    far = book.fact(
        "source-electrode",
        "board",
        "Electrode of the source",
        "R_B",
        supply.source_electrode_ohm,
        "ohm",
        ask="measure the loop with a tester, or ask the distributor",
        places=1,
    )
    return book.formula(
        "line-earth-impedance-at-board",
        "board",
        "Line to earth as far as the board",
        faults.LOOP_AT_BOARD_TT,
        {"Z_l": half, "R_f": feed, "R_A": book.read("electrode-resistance", electrode), "R_B": far},
        places=1,
    )


@topic
def minimum_protective_conductor(book: Book, circuit: Circuit) -> None:
    """Smallest protective conductor by the adiabatic law, from the maker's let-through or from 0.1
    s.
    """
    of, cable = circuit.name, circuit.cable
    title = "Smallest protective conductor that survives the fault"
    role = {"core": "core-in-cable", "armour": "armour", "separate": "separate"}.get(
        str(cable.protective), ""
    )
    if not role or not is_known(cable.insulation):
        book.not_known(
            "minimum-protective-conductor",
            of,
            title,
            "S",
            "mm2",
            "formula",
            (cable.insulation if role else cable.protective,),
            "find out what serves as protective conductor, and its insulation",
        )
        return
    constant = book.look_up(
        "adiabatic-factor",
        of,
        "Heat constant of the protective conductor",
        "k",
        tables.adiabatic_k(role, str(cable.insulation)),
        "A.s0.5/mm2",
        (cable.protective, cable.insulation),
        places=0,
        note="by the cable's own insulation: the fault heats it, not the terminals",
    )
    current = book.read("line-earth-fault-at-board", "board")
    way = book.installation.way_feeding(of)
    rows = sorted((row for row in way.let_through), key=lambda row: row.fault_current_ka)
    above = next(
        (
            row
            for row in rows
            if current.value is not None and row.fault_current_ka >= current.value
        ),
        None,
    )
    if above is not None:
        energy = book.fact(
            "let-through-energy",
            of,
            f"Energy {way.name} lets through at {above.fault_current_ka:g} kA, the maker's figure"
            " next above the largest earth fault",
            "E",
            in_place_of(above.energy_ka2s, above.energy_ka2s * 1000),
            "A2s",
            places=0,
            note="makers print thousands of A²s as kA²s",
        )
        book.formula(
            "minimum-protective-conductor",
            of,
            title,
            faults.PROTECTIVE_FROM_ENERGY,
            {"E": energy, "k": constant},
            note="from the maker's let-through energy",
        )
        return
    amperes = book.formula(
        "largest-earth-fault-current",
        of,
        "Largest earth fault current, in ampere",
        faults.IN_AMPERE,
        {"I_k": current},
        places=0,
    )
    time = book.constant(
        "opening-time-without-data",
        of,
        "Time counted where the maker gives no let-through",
        "t",
        OPENING_TIME_WITHOUT_DATA_S,
        "s",
        "common practice: the shortest time for which the law holds",
        places=1,
        standing="common practice",
    )
    book.formula(
        "minimum-protective-conductor",
        of,
        title,
        faults.PROTECTIVE_FROM_CURRENT,
        {"I": amperes, "t": time, "k": constant},
        note="from the largest earth fault current for 0.1 s: no let-through figure reaches it",
    )
