"""Workings: nec cable: sizes in AWG, ampacity in two columns, resistances, grounding conductor and
voltage drop.
"""

from dataclasses import replace

from firstway.calculations import nec as formulas
from firstway.frozen import dataclass
from firstway.model.evidence import each, note
from firstway.model.installation import Amount, Cable, Circuit, Stretch, Trade
from firstway.model.values import NONE, is_known, place_of
from firstway.tables import looking_up_nec as tables
from firstway.tables.looking_up import rating_not_below_a, temperature_coefficient_per_k
from firstway.tables.reading import Gap, Read, rule_limit
from firstway.workings.shared.book import Book, row_read, topic
from firstway.workings.shared.step import Step

_LINE = "Line conductor"
GROUNDING = "Equipment grounding conductor"
STANDARD_RATINGS = "UL 489"


@dataclass(frozen=True)
class LugEnd:
    """One end of a cable: where it is, and the temperature marked on its terminals."""

    where: str
    marked_c: Amount


@topic
def circuit_voltage(book: Book, circuit: Circuit) -> Step:
    """Voltage between the two conductors of a circuit: both lines, or line and neutral."""
    found = book.find("circuit-voltage", circuit.name)
    if found:
        return found
    supply = book.installation.supply
    voltage = supply.line_to_line_v if len(circuit.lines) == 2 else supply.line_to_earth_v
    return book.fact(
        "circuit-voltage",
        circuit.name,
        "Voltage between the two conductors of the circuit",
        "U",
        voltage,
        "V",
        places=0,
    )


@topic
def awg_sizes(book: Book, of: str, cable: Cable) -> None:
    """Line conductor and equipment grounding conductor: the word is AWG, the value its area."""
    _size(book, "conductor-size", of, _LINE, "S", cable.size_awg)
    _size(book, "protective-conductor-size", of, GROUNDING, "S_p", cable.egc_awg)


def _size(book: Book, step_id: str, of: str, title: str, symbol: str, size: Trade) -> None:
    if not is_known(size):
        ask = (
            "there is none: ask what serves instead, such as a metal raceway (250.118)"
            if size == NONE
            else f"read the size of the {title.lower()} in AWG"
        )
        book.not_known(step_id, of, title, symbol, "mm2", "fact", (size,), ask)
        return
    found = tables.area_mm2(str(size))
    step = book.look_up(
        step_id,
        of,
        f"{title}: {size} AWG",
        symbol,
        found,
        "mm2",
        (size,),
        note="its area in square millimetres beside the AWG size",
    )
    if place_of(size) in book.choices and step.value is not None:
        book.chosen(step, size)


@topic
def ampacity(
    book: Book, of: str, cable: Cable, route: tuple[Stretch, ...], near: LugEnd, far: LugEnd
) -> None:
    """Ampacity at the terminals (uncorrected) and where the cable is run, at its worst stretch."""
    at_terminals = _at_terminals(book, of, cable, near, far)
    insulation = _in_insulation_column(book, of, cable)
    worst = [
        _stretch(book, of, stretch, place, at_terminals, insulation)
        for place, stretch in enumerate(each(route), 1)
    ]
    if not worst:
        for step_id, symbol in (("required-capacity", "I_t"), ("corrected-capacity", "I_z")):
            book.not_known(
                step_id,
                of,
                _TITLES[step_id],
                symbol,
                "A",
                "formula",
                (route,),
                "measure the route and how it is run",
            )
        _largest_device(book, of)
        return
    unknown = next((item for item in worst if item[0].value is None), None)
    own, factors, place = unknown or min(worst, key=lambda item: item[0].value or 0.0)
    note = (
        f"stretch {place} ({route[place - 1].method}, {route[place - 1].length_m:g} m) is the worst"
        f" of {len(route)}"
        if len(route) > 1
        else ""
    )
    book.formula(
        "required-capacity",
        of,
        _TITLES["required-capacity"],
        formulas.REQUIRED_AMPACITY,
        {
            "I_cl": book.read("continuous-load-current", of),
            "I_b": book.read("design-current", of),
            **factors,
        },
        places=1,
        note=note,
    )
    book.formula(
        "corrected-capacity",
        of,
        _TITLES["corrected-capacity"],
        formulas.CORRECTED_AMPACITY,
        {"I_ins": insulation, "I_col": at_terminals, **factors},
        places=1,
        note="; ".join(
            part
            for part in (note, _decides(own, at_terminals, book.read("terminal-column", of)))
            if part
        ),
    )
    _largest_device(book, of)


_TITLES = {
    "required-capacity": (
        "Tabulated ampacity the route asks for: 125 % before correction, or the load after it"
    ),
    "corrected-capacity": (
        "Ampacity of the conductor where it is run, never above that of its terminals"
    ),
}


@topic
def _largest_device(book: Book, of: str) -> None:
    """The largest device that protects the conductor as it is run."""
    size, own = book.read("conductor-size", of), book.read("corrected-capacity", of)
    title = (
        "Largest device that protects the conductor: the next standard rating up, or the limit of a"
        " small conductor"
    )
    if size.value is None or own.value is None:
        book.not_known(
            "largest-device",
            of,
            title,
            "I_max",
            "A",
            "look-up",
            (own if own.value is None else size,),
            own.ask or size.ask,
        )
        return
    book.look_up(
        "largest-device",
        of,
        title,
        "I_max",
        largest_device_a(awg_of(size), own.value),
        "A",
        (size, own),
        places=0,
    )


def largest_device_a(size_awg: str, ampacity_a: float) -> Read | Gap:
    """240.4(B) and (D): the standard rating not below the ampacity; 14, 12 and 10 AWG have their
    own limits.
    """
    upward, highest = (
        rating_not_below_a("circuit-breaker", STANDARD_RATINGS, ampacity_a),
        rule_limit("nec", "next-rating-up-allowed-to-a"),
    )
    if isinstance(upward, Gap) or isinstance(highest, Gap) or upward.value > highest.value:
        return (
            upward
            if isinstance(upward, Gap)
            else Gap(
                "standard_ratings",
                f"a rating up to which the next one may be taken, above {ampacity_a:g} A",
            )
        )
    small = tables.small_conductor_device_a(size_awg)
    return small if isinstance(small, Read) and small.value < upward.value else upward


def _decides(own: Step, at_terminals: Step, column: Step) -> str:
    if own.value is None or at_terminals.value is None:
        return ""
    return (
        f"the {column.value:g} °C column decides"
        if own.value == at_terminals.value
        else "heat along the route decides"
    )


def _at_terminals(book: Book, of: str, cable: Cable, near: LugEnd, far: LugEnd) -> Step:
    device = book.read("device-rating", of)
    column = book.formula(
        "terminal-column",
        of,
        "Column the terminals and the wiring method allow",
        formulas.COLUMN,
        {
            "t_1": _terminal(book, "terminal-near", of, "t_1", near, device),
            "t_2": _terminal(book, "terminal-far", of, "t_2", far, device),
            "t_m": _method(book, of, cable),
        },
        places=0,
    )
    return _ampacity(
        book,
        "terminal-capacity",
        of,
        "Ampacity in the column the terminals and the wiring method allow, before any correction",
        "I_col",
        column,
    )


def _terminal(book: Book, step_id: str, of: str, symbol: str, end: LugEnd, device: Step) -> Step:
    title = f"Temperature for which the terminals of {end.where} are made"
    if is_known(end.marked_c):
        return book.fact(step_id, of, title, symbol, end.marked_c, "C", places=0)
    if device.value is None:
        return book.not_known(step_id, of, title, symbol, "C", "look-up", (device,), device.ask)
    return book.look_up(
        step_id,
        of,
        title,
        symbol,
        tables.unmarked_termination_c(device.value),
        "C",
        (device,),
        places=0,
        note=(
            f"no mark is stated ({place_of(end.marked_c)}): read as the code reads terminals"
            " without one"
        ),
    )


def _method(book: Book, of: str, cable: Cable) -> Step:
    title = "Hottest column the wiring method may use"
    if not is_known(cable.wiring_method):
        return book.not_known(
            "wiring-method-column",
            of,
            title,
            "t_m",
            "C",
            "look-up",
            (cable.wiring_method,),
            "find out the wiring method",
        )
    note = (
        "NM cable: the 60 °C column, whatever the terminals are marked"
        if cable.wiring_method == "nm-cable"
        else ""
    )
    return book.look_up(
        "wiring-method-column",
        of,
        title,
        "t_m",
        tables.wiring_method_limit_c(str(cable.wiring_method)),
        "C",
        (cable.wiring_method,),
        places=0,
        note=note,
    )


def _in_insulation_column(book: Book, of: str, cable: Cable) -> Step:
    title = "Column of the insulation, from which heat along the route is corrected"
    if not is_known(cable.insulation):
        column = book.not_known(
            "insulation-column",
            of,
            title,
            "t_i",
            "C",
            "look-up",
            (cable.insulation,),
            "read the marking of the cable",
        )
    else:
        column = book.look_up(
            "insulation-column",
            of,
            title,
            "t_i",
            tables.insulation_column_c(str(cable.insulation)),
            "C",
            (cable.insulation,),
            places=0,
        )
    return _ampacity(
        book, "insulation-capacity", of, "Ampacity in the insulation's column", "I_ins", column
    )


def _ampacity(book: Book, step_id: str, of: str, title: str, symbol: str, column: Step) -> Step:
    size = book.read("conductor-size", of)
    if size.value is None or column.value is None:
        unknown = [step for step in (size, column) if step.value is None]
        return book.not_known(
            step_id, of, title, symbol, "A", "look-up", unknown, size.ask or column.ask
        )
    return book.look_up(
        step_id,
        of,
        title,
        symbol,
        tables.ampacity_a(awg_of(size), column.value),
        "A",
        (size, column),
        places=0,
    )


def awg_of(size: Step) -> str:
    """The AWG word of a size step, which stands in its title; whoever asks rests on it as on the
    value.
    """
    note(*size.assumed)
    return size.title.rpartition(": ")[2].removesuffix(" AWG")


def _stretch(
    book: Book, of: str, stretch: Stretch, place: int, at_terminals: Step, insulation: Step
) -> tuple[Step, dict[str, Step], int]:
    column = book.read("insulation-column", of)
    factors = {
        "C_a": _ambient(book, of, stretch, place, column),
        "C_g": _adjustment(book, of, stretch, place),
    }
    own = book.formula(
        f"corrected-capacity-stretch-{place}",
        of,
        f"Ampacity on stretch {place}",
        formulas.CORRECTED_AMPACITY,
        {"I_ins": insulation, "I_col": at_terminals, **factors},
        places=1,
    )
    return own, factors, place


def _ambient(book: Book, of: str, stretch: Stretch, place: int, column: Step) -> Step:
    value = stretch.ground_c if stretch.method == "buried" else stretch.ambient_c
    step_id = f"ambient-factor-stretch-{place}"
    title = f"Correction for the temperature along stretch {place}"
    if not is_known(value):
        return book.not_known(
            step_id,
            of,
            title,
            "C_a",
            "",
            "look-up",
            (value,),
            f"find out the highest temperature along stretch {place}",
        )
    if column.value is None:
        return book.not_known(step_id, of, title, "C_a", "", "look-up", (column,), column.ask)
    return book.look_up(
        step_id,
        of,
        title,
        "C_a",
        tables.ambient_factor_of_band(column.value, value),
        "",
        (value, column),
    )


def _adjustment(book: Book, of: str, stretch: Stretch, place: int) -> Step:
    step_id, title = (
        f"adjustment-factor-stretch-{place}",
        f"Adjustment for the conductors that carry current together, stretch {place}",
    )
    count = stretch.current_carrying
    if not is_known(count):
        return book.not_known(
            step_id,
            of,
            title,
            "C_g",
            "",
            "look-up",
            (count,),
            f"count the current-carrying conductors in the raceway or bundle of stretch {place}",
        )
    return book.look_up(
        step_id, of, title, "C_g", tables.adjustment_factor_of_band(int(count)), "", (count,)
    )


@topic
def resistances(book: Book, of: str) -> None:
    """Line and equipment grounding conductor: at 75 °C as tabulated, at 20 °C as a meter reads
    them.
    """
    alpha = book.look_up(
        "temperature-coefficient",
        of,
        "Rise of copper's resistance for each degree, from 20 °C",
        "alpha",
        temperature_coefficient_per_k(awg=True),
        "1/K",
        places=5,
    )
    pairs = [
        (step_id, _resistance(book, of, f"{step_id}-75", size, words, "r_75"), words, symbol)
        for step_id, size, words, symbol in (
            ("line-resistance", "conductor-size", "line conductor", "r_1"),
            (
                "protective-resistance",
                "protective-conductor-size",
                "equipment grounding conductor",
                "r_2",
            ),
        )
    ]
    cold = {
        symbol: book.formula(
            step_id,
            of,
            f"Resistance of the {words} at 20 °C, for each kilometre",
            formulas.RESISTANCE_20C,
            {"r_75": hot, "alpha": alpha},
            places=3,
            symbol=symbol,
        )
        for step_id, hot, words, symbol in pairs
    }
    run = book.read("length", of)
    book.formula(
        "r1-plus-r2-reading",
        of,
        "Line and equipment grounding conductor in series, at 20 °C",
        formulas.LINE_PLUS_GROUNDING,
        {**cold, "L": run},
        places=3,
        note="what a low-resistance ohmmeter should show, leads nulled",
    )
    book.formula(
        "r1-plus-r2-hot",
        of,
        "The same conductors at 75 °C",
        formulas.LINE_PLUS_GROUNDING,
        {"r_1": pairs[0][1], "r_2": pairs[1][1], "L": run},
        places=3,
    )


@topic
def _resistance(book: Book, of: str, step_id: str, size_id: str, words: str, symbol: str) -> Step:
    size = book.read(size_id, of)
    title = f"Resistance of the {words} at 75 °C, for each kilometre"
    if size.value is None:
        return book.not_known(step_id, of, title, symbol, "ohm/km", "look-up", (size,), size.ask)
    return book.look_up(
        step_id,
        of,
        title,
        symbol,
        tables.resistance_75c_ohm_per_km(awg_of(size)),
        "ohm/km",
        (size,),
        places=3,
        note="stranded, uncoated copper, direct current; the code tabulates it at 75 °C",
    )


@topic
def grounding_conductor(book: Book, of: str) -> None:
    """The smallest equipment grounding conductor for the device, and in proportion where the line
    is larger than needed.
    """
    device = book.read("device-rating", of)
    title = "Smallest equipment grounding conductor for the device"
    if device.value is None:
        book.not_known(
            "minimum-protective-conductor",
            of,
            title,
            "S_t",
            "mm2",
            "look-up",
            (device,),
            device.ask,
        )
        return
    least = tables.grounding_conductor_awg(device.value)
    if isinstance(least, Gap):
        book.look_up("minimum-protective-conductor", of, title, "S_t", least, "mm2", (device,))
        return
    area = tables.area_mm2(least.value)
    step = book.look_up(
        "minimum-protective-conductor",
        of,
        f"{title}: {least.value} AWG",
        "S_t",
        area,
        "mm2",
        (device,),
    )
    if step.value is not None:
        book.from_rows(step, row_read(least.row, step.value, "mm2", f"{least.value} AWG"))
    _in_proportion(book, of)


@topic
def _in_proportion(book: Book, of: str) -> None:
    """Written only where the line conductor is larger than the smallest whose ampacity serves."""
    size, smallest = book.read("conductor-size", of), _smallest_that_serves(book, of)
    if smallest.value is None or size.value is None or smallest.value >= size.value:
        return
    book.formula(
        "grounding-conductor-in-proportion",
        of,
        "Equipment grounding conductor enlarged as the line conductor is",
        formulas.GROUNDING_IN_PROPORTION,
        {"S_t": book.read("minimum-protective-conductor", of), "S": size, "S_least": smallest},
        note=(
            "asked where a conductor is larger than it need be, as for voltage drop; a qualified"
            " person may show that less serves"
        ),
    )


@topic
def _smallest_that_serves(book: Book, of: str) -> Step:
    """Always written: that a conductor is no larger than it need be rests on all of this too."""
    step_id, title = "smallest-line-that-serves", "Smallest line conductor whose ampacity serves"
    inputs = [
        book.read(name, of)
        for name in (
            "terminal-column",
            "insulation-column",
            "continuous-load-current",
            "design-current",
            "corrected-capacity",
            "device-rating",
        )
    ]
    column_c, insulation_c, needed, load, own, rating = inputs
    if (
        column_c.value is None
        or insulation_c.value is None
        or needed.value is None
        or load.value is None
        or own.value is None
        or rating.value is None
        or own.figures is None
    ):
        return book.not_known(
            step_id,
            of,
            title,
            "S_least",
            "mm2",
            "look-up",
            [step for step in inputs if step.value is None] or [own],
            next((step.ask for step in inputs if step.ask), "an input is missing"),
        )
    factor = own.figures.values["C_a"] * own.figures.values["C_g"]
    for size in tables.sizes_awg():
        column, insulation, area = (
            tables.ampacity_a(size, column_c.value),
            tables.ampacity_a(size, insulation_c.value),
            tables.area_mm2(size),
        )
        if isinstance(column, Gap) or isinstance(insulation, Gap) or isinstance(area, Gap):
            break
        corrected = min(insulation.value * factor, column.value)
        device = largest_device_a(size, corrected)
        if (
            column.value >= needed.value
            and corrected >= load.value
            and not isinstance(device, Gap)
            and device.value >= rating.value
        ):
            row = replace(row_read(area.row, area.value, "mm2"), row=f"{size} AWG")
            return book.read_row(step_id, of, f"{title}: {size} AWG", "S_least", row, inputs)
    return book.not_known(
        step_id,
        of,
        title,
        "S_least",
        "mm2",
        "look-up",
        [own],
        "no size of the table serves this load behind this device",
    )


@topic
def feeder_drop(book: Book) -> None:
    """The feed's share of the voltage drop, both its conductors at 75 °C."""
    book.formula(
        "voltage-drop",
        "feed",
        "Voltage drop of the feed, out and back",
        formulas.NEC_VOLTAGE_DROP,
        {
            "r": book.read("line-resistance-75", "feed"),
            "I_b": book.read("design-current", "feed"),
            "L": book.read("length", "feed"),
        },
    )


@topic
def branch_drop(book: Book, circuit: Circuit) -> None:
    """Drop of the branch circuit, and of feed and circuit together, each as a share of the
    voltage.
    """
    of, voltage = circuit.name, circuit_voltage(book, circuit)
    own = book.formula(
        "voltage-drop-branch",
        of,
        "Voltage drop of the branch circuit alone, out and back",
        formulas.NEC_VOLTAGE_DROP,
        {
            "r": book.read("line-resistance-75", of),
            "I_b": book.read("design-current", of),
            "L": book.read("length", of),
        },
    )
    book.formula(
        "voltage-drop-branch-percent",
        of,
        "The same as a share of the voltage",
        formulas.NEC_VOLTAGE_DROP_PERCENT,
        {"V_d": own, "U": voltage},
    )
    whole = book.formula(
        "voltage-drop",
        of,
        "Voltage drop from the origin to the charging point",
        formulas.VOLTAGE_DROP_TOGETHER,
        {"V_f": book.read("voltage-drop", "feed"), "V_c": own},
    )
    book.formula(
        "voltage-drop-percent",
        of,
        "Voltage drop as a share of the voltage",
        formulas.NEC_VOLTAGE_DROP_PERCENT,
        {"V_d": whole, "U": voltage},
    )
