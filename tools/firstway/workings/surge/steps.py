"""Workings: surge: what reaches the vehicle when a surge comes in at the board, with and without
the device there.

Simulated, so every figure is a run of the solver, made when somebody asks for the figure; a figure
of the file that is missing leaves it not known. The vehicle's own withstand is unknown unless its
maker states it: nothing here passes or fails.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from firstway.calculations import surge_law
from firstway.calculations.surge import Refused, SurgeCase, Varistor, refusal
from firstway.frozen import dataclass
from firstway.model.evidence import each
from firstway.model.installation import ChargingPoint, Circuit, Installation, Way
from firstway.model.values import is_known
from firstway.tables.looking_up import rated_impulse_voltage_kv
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.lazy_step import Worked
from firstway.workings.shared.step import Step, Workings
from firstway.workings.surge.model import model_row, model_value, surge_model
from firstway.workings.surge.runs import KeptRun, case_for_peaks, run_of

SOLVER = "our run of travelling waves"
ILLUSTRATIVE = (
    "the order of the effects is dependable, the absolute figure is not: judge no design by it"
)


@dataclass(frozen=True)
class Inputs:
    """The steps a run of one point rests on; `law` and `bound` are None where there is no working
    device.
    """

    length: Step
    cable: Step
    surge: Step
    lead: Step | None
    law: tuple[Step, ...]
    bound: tuple[Step, ...]

    @property
    def shared(self) -> tuple[Step, ...]:
        return (self.length, self.cable, self.surge)


def surge_device(installation: Installation) -> Way | None:
    """The device of the board: the first one that its indicator does not call worn."""
    ways = [way for way in installation.board.ways if way.device == "spd"]
    return next((way for way in ways if way.state != "worn"), None)


@topic
def laws(book: Book, way: Way) -> None:
    """The two laws of a device, from its data sheet: the default and its pessimistic bound."""
    of = way.name
    nominal = book.fact(
        "nominal-discharge-current",
        of,
        f"Nominal discharge current of {of}",
        "I_n",
        way.nominal_discharge_current_ka,
        "kA",
        ask=f"read the nominal discharge current on {of}",
        places=0,
    )
    _two_terms(book, way, nominal)
    steeper = book.look_up(
        "spd-power-exponent",
        of,
        "Exponent of the single power law",
        "alpha_P",
        model_row("power-alpha"),
        "",
    )
    book.formula(
        "spd-power-coefficient",
        of,
        "Voltage of the single power law at 1 A, the pessimistic bound",
        surge_law.POWER_COEFFICIENT,
        {"U_p": book.read("protection-level", of), "I_n": nominal, "alpha_P": steeper},
        places=0,
    )


@topic
def _two_terms(book: Book, way: Way, nominal: Step) -> None:
    of, level = way.name, book.read("protection-level", way.name)
    at_1_ma = _voltage_at_1_ma(book, way)
    alpha = book.look_up(
        "spd-exponent", of, "Exponent of the two-term law", "alpha", model_row("two-term-alpha"), ""
    )
    k = book.formula(
        "spd-coefficient",
        of,
        "Voltage of the first term at 1 A",
        surge_law.COEFFICIENT,
        {"U_1": at_1_ma, "alpha": alpha},
        places=0,
    )
    series = book.formula(
        "spd-series-resistance",
        of,
        "Resistance of the second term",
        surge_law.SERIES_RESISTANCE,
        {"U_p": level, "k": k, "I_n": nominal, "alpha": alpha},
        places=4,
    )
    if series.value is not None and series.value < 0:
        # Figures that do not belong to one disc give no law; a guess would look like a result.
        book.refuse(
            series,
            (way.protection_level_kv,),
            f"the protection level of {of} is below what its continuous voltage allows: check both"
            " on the data sheet",
        )


@topic
def _voltage_at_1_ma(book: Book, way: Way) -> Step:
    of, title = way.name, f"Voltage at 1 mA of {way.name}"
    if is_known(way.voltage_at_1_ma_v):
        return book.fact(
            "spd-voltage-at-1-ma", of, title, "U_1", way.voltage_at_1_ma_v, "V", places=0
        )
    continuous = book.fact(
        "spd-continuous-voltage",
        of,
        f"Continuous voltage of {of}",
        "U_c",
        way.continuous_voltage_v,
        "V",
        ask=f"read the continuous voltage on {of}",
        places=0,
    )
    factor = book.look_up(
        "spd-voltage-ratio",
        of,
        "Voltage at 1 mA for each volt of continuous voltage",
        "f",
        model_row("volts-at-1-ma-x-continuous"),
        "",
    )
    step = book.formula(
        "spd-voltage-at-1-ma",
        of,
        title,
        surge_law.VOLTAGE_AT_1_MA,
        {"f": factor, "U_c": continuous},
        places=0,
        note=(
            "the file does not give it: assumed from the continuous voltage; the maker's figure"
            " goes before"
        ),
    )
    return book.guessed(step, way.voltage_at_1_ma_v)


@topic
def at_the_point(book: Book, circuit: Circuit, point: ChargingPoint) -> None:
    """Every surge step of one charging point."""
    of = point.name
    way = surge_device(book.installation)
    inputs = _inputs(book, circuit, point, way)
    _withstand_lines(book, of)
    without = _run(
        book,
        inputs,
        of,
        "surge-at-vehicle-without-spd",
        "Highest voltage at the vehicle without a surge protective device",
        "U_0v",
        "V",
        lambda run: run.vehicle_peak_v,
        spd=False,
        note=(
            "open end, contactor closed, combination wave of 6 kV and 3 kA; a capacitor in the"
            " point can raise it"
        ),
    )
    if way is None:
        _run(
            book,
            inputs,
            of,
            "surge-at-vehicle",
            "Highest voltage at the vehicle: the board holds no working surge protective device",
            "U_v",
            "V",
            lambda run: run.vehicle_peak_v,
            spd=False,
            note=without.note,
        )
    else:
        _with_device(book, inputs, of, way)
    _vehicle_varistor(book, inputs, of, way is not None)


def _inputs(book: Book, circuit: Circuit, point: ChargingPoint, way: Way | None) -> Inputs:
    of = point.name
    cable = book.fact(
        "charging-cable-length",
        of,
        f"Length of the charging cable at {of}",
        "l_2",
        point.lead_m,
        "m",
        ask=f"measure the charging cable used at {of}",
        places=1,
    )
    voltage = book.look_up(
        "surge-voltage",
        of,
        "Open-circuit voltage of the surge that is run",
        "U_s",
        model_row("surge-v"),
        "V",
        places=0,
        note="a strong test surge; its short-circuit current is half of it in A",
    )
    read: Callable[[str], Step] = lambda step_id: book.read(step_id, way.name if way else "")
    return Inputs(
        book.read("length", circuit.name),
        cable,
        voltage,
        read("spd-lead-length") if way else None,
        (
            tuple(map(read, ("spd-coefficient", "spd-exponent", "spd-series-resistance")))
            if way
            else ()
        ),
        tuple(map(read, ("spd-power-coefficient", "spd-power-exponent"))) if way else (),
    )


def _withstand_lines(book: Book, of: str) -> None:
    system = (
        "120/240"
        if book.installation.rules == "nec"
        and float(book.installation.supply.line_to_earth_v) < 150
        else "230/400"
    )
    for category in ("I", "II"):
        book.look_up(
            f"withstand-category-{category.lower()}",
            of,
            f"Rated impulse voltage of equipment of category {category}",
            "U_W",
            rated_impulse_voltage_kv(category, system),
            "kV",
            (book.installation.supply.line_to_earth_v,),
            places=1,
            note=(
                "a line to compare with; the vehicle's own withstand is unknown unless its maker"
                " states it"
            ),
        )


def _with_device(book: Book, inputs: Inputs, of: str, way: Way) -> None:
    mode = "line to neutral" if way.connection == "CT2" else "line to earth"
    what = (
        f"open end, contactor closed, 6 kV and 3 kA, {mode}; low: two-term law, high: single power"
        f" law; {ILLUSTRATIVE}"
    )
    _run(
        book,
        inputs,
        of,
        "surge-at-board",
        "Highest voltage at the board with the device and its leads",
        "U_b",
        "V",
        lambda run: run.board_peak_v,
        bound=True,
        note=f"simulated, beside the rule of thumb; {ILLUSTRATIVE}",
    )
    at_vehicle = _run(
        book,
        inputs,
        of,
        "surge-at-vehicle",
        "Highest voltage at the vehicle with the device in the board",
        "U_v",
        "V",
        lambda run: run.vehicle_peak_v,
        bound=True,
        note=what,
    )
    _run(
        book,
        inputs,
        of,
        "surge-current-of-spd",
        f"Highest current through {way.name} in this surge",
        "I_s",
        "A",
        lambda run: run.spd_peak_a,
    )
    lead = inputs.lead
    assert lead is not None
    _change(
        book,
        inputs,
        of,
        at_vehicle,
        "shorter-leads",
        "each lead half as long",
        lead=book.formula(
            "shorter-leads",
            of,
            "Leads if each were half as long",
            surge_law.SHORTER_LEADS,
            {"l": lead},
        ),
    )
    _change(
        book,
        inputs,
        of,
        at_vehicle,
        "first-way",
        "the device in the first way",
        lead=_lead_in_first_way(book, of, way, lead),
    )
    _change(
        book,
        inputs,
        of,
        at_vehicle,
        "second-spd",
        "a second device of the same kind at the charging point",
        second=True,
    )
    for name, whose, read in (
        ("surge-current-of-spd-beside-second", way.name, lambda run: run.spd_peak_a),
        ("surge-current-of-second-spd", "the second device", lambda run: run.second_spd_peak_a),
    ):
        _run(
            book,
            inputs,
            of,
            name,
            f"Highest current through {whose} where a second device stands at the charging point",
            "I_s",
            "A",
            read,
            second=True,
            note="the same surge; the two share by what the cable between them adds",
        )


def _lead_in_first_way(book: Book, of: str, way: Way, lead: Step) -> Step:
    ways = book.installation.board.ways
    before = ways[: [item.name for item in ways].index(way.name)]
    modules = book.total(
        "modules-before-spd",
        of,
        f"Modules between {way.name} and the main switch",
        "n",
        [item.modules for item in before],
        "",
        "counted along the ways",
        places=0,
    )
    width = book.look_up(
        "module-width", of, "Width of a module", "w", model_row("module-width-mm"), "mm", places=1
    )
    note = "" if before else f"{way.name} stands there already"
    return book.formula(
        "leads-in-first-way",
        of,
        "Leads with the device in the first way",
        surge_law.LEADS_IN_FIRST_WAY,
        {"l": lead, "n": modules, "w": width},
        note=note,
    )


def _change(
    book: Book,
    inputs: Inputs,
    of: str,
    before: Step,
    name: str,
    words: str,
    lead: Step | None = None,
    second: bool = False,
) -> None:
    """One change of the file, run again, and what it gains at the vehicle."""
    after = _run(
        book,
        replace(inputs, lead=lead or inputs.lead),
        of,
        f"surge-with-{name}",
        f"Highest voltage at the vehicle with {words}",
        "U_n",
        "V",
        lambda run: run.vehicle_peak_v,
        second=second,
        note="a change for a qualified person; the same surge, nothing else changed",
    )
    book.later(
        f"gain-of-{name}",
        of,
        f"Less at the vehicle with {words}",
        surge_law.SURGE_GAIN,
        {"U_v": before, "U_n": after},
        places=0,
    )


def _vehicle_varistor(book: Book, inputs: Inputs, of: str, fitted: bool) -> None:
    """What is left for a small varistor in the vehicle's charger."""
    note = f"a common small varistor is assumed at the vehicle's input; {ILLUSTRATIVE}"
    for spd, tail, words in (
        (True, "", "with the device in the board"),
        (False, "-without-spd", "without a device in the board"),
    ):
        if spd and not fitted:
            continue
        for quantity, unit, symbol, read, title, places in (
            ("current", "A", "I_v", lambda run: run.vehicle_peak_a, "Highest current", 0),
            ("energy", "J", "W_v", lambda run: run.vehicle_energy_j, "Energy", 1),
        ):
            _run(
                book,
                inputs,
                of,
                f"vehicle-varistor-{quantity}{tail}",
                f"{title} in a small varistor of the vehicle, {words}",
                symbol,
                unit,
                read,
                spd=spd,
                bound=spd,
                varistor=True,
                note=note,
                places=places,
            )


def _run(
    book: Book,
    inputs: Inputs,
    of: str,
    step_id: str,
    title: str,
    symbol: str,
    unit: str,
    read: Callable[[KeptRun], float],
    *,
    spd: bool = True,
    second: bool = False,
    bound: bool = False,
    varistor: bool = False,
    note: str = "",
    places: int = 0,
) -> Step:
    """One figure of a run as a step; its band where the pessimistic law is run as well."""
    steps = inputs.shared
    if spd and inputs.lead is not None:
        steps = (*steps, inputs.lead, *inputs.law, *(inputs.bound if bound else ()))
    case = (
        case_of_inputs(inputs, spd, second, varistor) if all(step.known for step in steps) else None
    )
    refused = None if case is None else refusal(case, surge_model())
    with_bound = bound and spd and inputs.lead is not None

    def worked() -> Worked:
        assert case is not None
        value = _read(case, read)
        if not with_bound:
            return Worked(value)
        other = _read(case_of_inputs(inputs, spd, second, varistor, bound=True), read)
        return Worked(value, min(value, other), max(value, other))

    return book.run(
        step_id,
        of,
        title,
        symbol,
        unit,
        SOLVER,
        steps,
        worked,
        places,
        note,
        refused=f"{refused.message}: {refused.hint}" if refused else "",
    )


def _read(case: SurgeCase, read: Callable[[KeptRun], float]) -> float:
    run = run_of(case)
    assert not isinstance(run, Refused)  # asked before
    return read(run)


def case_of_inputs(
    inputs: Inputs,
    spd: bool = True,
    second: bool = False,
    varistor: bool = False,
    bound: bool = False,
) -> SurgeCase:
    """The case of known inputs; a step that is run names them all as its own."""

    def value(step: Step | None) -> float:
        assert step is not None and step.figure is not None
        return float(step.figure)

    device = None
    if spd and inputs.lead is not None:
        device = Varistor(*map(value, inputs.bound)) if bound else Varistor(*map(value, inputs.law))
    case = SurgeCase(
        value(inputs.length),
        value(inputs.cable),
        device,
        value(inputs.lead) if device else 0.5,
        surge_v=value(inputs.surge),
        second_spd=device if second else None,
        second_lead_m=model_value("second-lead-m"),
        vehicle="varistor" if varistor else "open",
    )
    return case if varistor else case_for_peaks(case)


def case_at(
    workings: Workings,
    installation: Installation,
    circuit: Circuit,
    point: ChargingPoint,
    *,
    spd: bool = True,
    bound: bool = False,
) -> SurgeCase | None:
    """The case behind `surge-at-vehicle` of a worked installation, for charts; None where something
    is not known.
    """
    way = surge_device(installation)
    wanted = [
        ("length", circuit.name),
        ("charging-cable-length", point.name),
        ("surge-voltage", point.name),
    ]
    if spd and way is not None:
        wanted += [
            (name, way.name)
            for name in (
                "spd-lead-length",
                "spd-coefficient",
                "spd-exponent",
                "spd-series-resistance",
                "spd-power-coefficient",
                "spd-power-exponent",
            )
        ]
    steps = [workings.find(*name) for name in wanted]
    known = [step for step in steps if step is not None and step.value is not None]
    if len(known) < len(wanted) or (spd and way is None):
        return None
    length, cable, voltage, *own = known
    return case_of_inputs(
        Inputs(length, cable, voltage, own[0] if own else None, tuple(own[1:4]), tuple(own[4:])),
        spd,
        bound=bound,
    )


@topic
def surge_work(book: Book) -> None:
    """The laws of the device, then every charging point."""
    way = surge_device(book.installation)
    if way is not None:
        laws(book, way)
    for circuit in each(book.installation.circuits):
        for point in book.installation.points_of(circuit):
            at_the_point(book, circuit, point)
