"""Workings: surge: what reaches the vehicle when a surge comes in at the board, with and without
the device there.

Simulated, so every figure is a run of the solver, made when somebody asks for the figure; a figure
of the file that is missing leaves it not known. The vehicle's own withstand is unknown unless its
maker states it: nothing here passes or fails.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from firstway.calculations import surge_law
from firstway.calculations.surge import Refused, SurgeCase, refusal
from firstway.model.evidence import each
from firstway.model.installation import ChargingPoint, Circuit, Installation, Way
from firstway.model.values import is_known
from firstway.tables.looking_up import rated_impulse_voltage_kv
from firstway.workings.shared.book import Book, topic
from firstway.workings.shared.lazy_step import Worked
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.shared.step import Step, Workings
from firstway.workings.surge.loops import (
    SurgeLoop,
    SurgeMode,
    case_of_loop,
    loop_of,
    main_mode,
    mode_words,
    paths_of_device,
    surge_modes,
    two_earths,
)
from firstway.workings.surge.model import model_row, surge_model
from firstway.workings.surge.runs import KeptRun, run_of
from firstway.workings.surge.waves import (
    USUAL_SURGE,
    USUAL_WAVE,
    AskedSurge,
    SentWave,
    wave_sent,
    wave_words,
)

SOLVER = "our run of travelling waves"
ILLUSTRATIVE = (
    "the order of the effects is dependable, the absolute figure is not: judge no design by it"
)
_SHORT_CIRCUIT = "its short-circuit current is half of it in A"
PATH_NOTES: dict[tuple[SurgeMode, int], str] = {
    ("neutral-to-earth", 1): "where neutral and earth are joined at the origin, little of it comes"
    " from outside",
    ("line-to-neutral", 2): "an upper figure where neutral and earth are joined at the origin: that"
    " way helps",
}


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
def at_the_point(
    book: Book, circuit: Circuit, point: ChargingPoint, asked: AskedSurge = USUAL_SURGE
) -> None:
    """Every surge step of one charging point."""
    of = point.name
    way = surge_device(book.installation)
    _cable_and_surge(book, of, point, asked)
    wave = wave_sent(book, of, way, asked.wave)
    two_earths(book, point)
    mode = main_mode(book.installation, circuit, point, way)
    _withstand_lines(book, of, mode)
    bare, fitted = (_loop(book, circuit, point, device, mode, wave) for device in (None, way))
    without = _run(
        book,
        bare,
        of,
        "surge-at-vehicle-without-spd",
        "Highest voltage at the vehicle without a surge protective device, from a line",
        "U_0v",
        "V",
        lambda run: run.vehicle_peak_v,
        note=f"{_run_with(bare)}; the same to earth and to neutral; neutral to earth it is less"
        " where the two are joined at the origin",
    )
    if way is None:
        _run(
            book,
            bare,
            of,
            "surge-at-vehicle",
            "Highest voltage at the vehicle: the board holds no working surge protective device",
            "U_v",
            "V",
            lambda run: run.vehicle_peak_v,
            note=without.note,
        )
    else:
        _with_device(book, fitted, of, way)
        for each_mode in surge_modes(circuit):
            _along_path(book, _loop(book, circuit, point, way, each_mode, wave), point)
        _at_the_pilot(book, of)
        _vehicle_varistor(book, fitted, of, "", "with the device in the board")
    _vehicle_varistor(book, bare, of, "-without-spd", "without a device in the board")


def _loop(
    book: Book,
    circuit: Circuit,
    point: ChargingPoint,
    way: Way | None,
    mode: SurgeMode,
    wave: SentWave = USUAL_WAVE,
) -> SurgeLoop:
    loop = loop_of(book.find, book.installation, circuit, point, way, mode)
    assert loop is not None  # its steps are written before
    return replace(loop, wave=wave)


def _run_with(loop: SurgeLoop) -> str:
    """What a run is made with, as its note says it."""
    volts = float(loop.shared[-1].figure or 0)
    return f"open end, contactor closed, {wave_words(loop.wave.name, volts)}"


def _cable_and_surge(book: Book, of: str, point: ChargingPoint, asked: AskedSurge) -> None:
    book.fact(
        "charging-cable-length",
        of,
        f"Length of the charging cable at {of}",
        "l_2",
        point.lead_m,
        "m",
        ask=f"measure the charging cable used at {of}",
        places=1,
    )
    title, note = "Open-circuit voltage of the surge that is run", _SHORT_CIRCUIT
    if asked.volts is not None:
        given = "asked for in this study"
        book.constant(
            "surge-voltage", of, title, "U_s", asked.volts, "V", given, places=0, note=note
        )
        return
    book.look_up(
        "surge-voltage",
        of,
        title,
        "U_s",
        model_row("surge-v"),
        "V",
        places=0,
        note=f"a strong test surge; {note}",
    )


def _along_path(book: Book, loop: SurgeLoop, point: ChargingPoint) -> None:
    """One path from the board to the vehicle, with what protects it."""
    of, mode, words = point.name, loop.mode, mode_words(loop.mode)
    title = f"Every path: highest voltage at the vehicle {words}, with the device in the board"
    at_vehicle = _run(
        book,
        loop,
        of,
        f"surge-at-vehicle-{mode}",
        title,
        "U_v",
        "V",
        lambda run: run.vehicle_peak_v,
        bound=True,
        note=f"in this path: {loop.words}; {path_note(loop)}",
    )
    if not loop.earths:
        return
    _run(
        book,
        loop,
        of,
        f"surge-current-{mode}",
        f"Highest current through the device in the board, {words}",
        "I_s",
        "A",
        lambda run: run.spd_peak_a,
    )
    book.later(
        f"rise-between-earths-{mode}",
        of,
        f"Rise of the board's earth above that of {of}, {words}",
        surge_law.EARTH_RISE,
        {"I_s": book.read(f"surge-current-{mode}", of), "R_b": loop.earths[0]},
        places=0,
    )
    after = _run(
        book,
        loop,
        of,
        f"surge-at-vehicle-{mode}-with-second-spd",
        f"Highest voltage at the vehicle {words} with a second device on the earth of {of}",
        "U_n",
        "V",
        lambda run: run.vehicle_peak_v,
        change=_second_device,
        note="for a qualified person: it holds the line to the earth the vehicle stands on",
    )
    book.later(
        f"gain-of-second-spd-{mode}",
        of,
        f"Less at the vehicle {words} with a second device on the earth of {of}",
        surge_law.SURGE_GAIN,
        {"U_v": at_vehicle, "U_n": after},
        places=0,
    )


def _at_the_pilot(book: Book, of: str) -> None:
    """What the cable hands from line to the pilot's conductor: the data line has no key."""
    coupling = book.formula(
        "pilot-coupling",
        of,
        f"Capacitance from line and neutral to the pilot's conductor, charging cable of {of}",
        surge_law.PILOT_COUPLING,
        {
            "c": book.look_up(
                "pilot-coupling-per-metre",
                of,
                "The same for each metre of charging cable",
                "c",
                model_row("pilot-coupling-pf-per-m"),
                "pF/m",
                places=0,
            ),
            "l": book.read("charging-cable-length", of),
        },
        places=0,
    )
    least = book.look_up(
        "pilot-least-capacitance",
        of,
        "Least capacitance of a point's pilot to the protective conductor",
        "C_e",
        model_row("pilot-least-capacitance-pf"),
        "pF",
        places=0,
    )
    book.later(
        "surge-at-pilot",
        of,
        "Highest voltage of the pilot at the vehicle, to the protective conductor",
        surge_law.PILOT_SURGE,
        {
            "U_v": book.read("surge-at-vehicle-line-to-earth", of),
            "C_c": coupling,
            "C_e": least,
        },
        places=0,
        note=(
            "at most, of what the charging cable hands over, if nothing in point or vehicle limits"
            " it; whether something does only their makers can say"
        ),
    )


def path_note(loop: SurgeLoop) -> str:
    """How far the figure of a path may be trusted."""
    elements = int(loop.elements.figure or 0) if loop.elements is not None else 0
    return PATH_NOTES.get((loop.mode, elements), ILLUSTRATIVE)


def _withstand_lines(book: Book, of: str, mode: SurgeMode) -> None:
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
    if book.installation.rules != "nec":
        ends = "to-earth" if mode == "line-to-earth" else "between-lines"
        book.look_up(
            "vehicle-test-level",
            of,
            f"Surge that type approval tests a charging vehicle with, {mode_words(mode)}",
            "U_T",
            model_row(f"vehicle-test-{ends}-kv"),
            "kV",
            places=1,
            note="tested, not promised: what a vehicle withstands only its maker can say",
        )


def _with_device(book: Book, loop: SurgeLoop, of: str, way: Way) -> None:
    words = mode_words(loop.mode)
    _run(
        book,
        loop,
        of,
        "surge-at-board",
        f"Highest voltage at the board {words}, with the device and its leads",
        "U_b",
        "V",
        lambda run: run.board_peak_v,
        bound=True,
        note=f"simulated, beside the rule of thumb; {ILLUSTRATIVE}",
    )
    at_vehicle = _run(
        book,
        loop,
        of,
        "surge-at-vehicle",
        f"Highest voltage at the vehicle {words}, with the device in the board",
        "U_v",
        "V",
        lambda run: run.vehicle_peak_v,
        bound=True,
        note=f"{_run_with(loop)}; low: two-term law, high: single power law; {path_note(loop)}",
    )
    _run(
        book,
        loop,
        of,
        "surge-current-of-spd",
        f"Highest current through {way.name} in this surge",
        "I_s",
        "A",
        lambda run: run.spd_peak_a,
    )
    if loop.lead is not None:
        _changes(book, loop, of, at_vehicle, way, loop.lead)
        _other_waves(book, loop, of, way)
    for name, whose, read in (
        ("surge-current-of-spd-beside-second", way.name, lambda run: run.spd_peak_a),
        ("surge-current-of-second-spd", "the second device", lambda run: run.second_spd_peak_a),
    ):
        _run(
            book,
            loop,
            of,
            name,
            f"Highest current through {whose} where a second device stands at the charging point",
            "I_s",
            "A",
            read,
            change=_second_device,
            note="the same surge; the two share by what the cable between them adds",
        )


def _changes(book: Book, loop: SurgeLoop, of: str, before: Step, way: Way, lead: Step) -> None:
    half = book.later(
        "shorter-leads",
        of,
        "Leads if each were half as long",
        surge_law.SHORTER_LEADS,
        {"l": lead},
    )
    first = _lead_in_first_way(book, of, way, lead)
    for name, words, changed, change in (
        ("shorter-leads", "each lead half as long", replace(loop, lead=half), _nothing_else),
        ("first-way", "the device in the first way", replace(loop, lead=first), _nothing_else),
        (
            "second-spd",
            "a second device of the same kind at the charging point",
            loop,
            _second_device,
        ),
    ):
        after = _run(
            book,
            changed,
            of,
            f"surge-with-{name}",
            f"Highest voltage at the vehicle with {words}",
            "U_n",
            "V",
            lambda run: run.vehicle_peak_v,
            change=change,
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
    plan, note = book.plan, "" if before else f"{way.name} stands there already"
    row = book.run(
        "row-to-first-way",
        of,
        f"From {way.name} to the first way, along the row",
        "d",
        "m",
        "the places of the devices in the plan of the board",
        (modules,),
        lambda: Worked(row_between_m(plan, way.name, ways[0].name)),
        places=3,
        note=note,
        refused=plan.refused if before else "",
    )
    return book.later(
        "leads-in-first-way",
        of,
        "Leads with the device in the first way",
        surge_law.LEADS_IN_FIRST_WAY,
        {"l": lead, "d": row},
        note=note,
    )


def row_between_m(plan: PlanOfBoard, name: str, first: str) -> float:
    """How far a device stands from the place of the first way, along the row of its board, in m."""
    if name == first:
        return 0.0
    parts = plan.layout.parts
    bodies = {each.name: each.body for each in parts.devices}
    axis = 1 if parts.upright else 0
    return abs(bodies[name].low[axis] - bodies[first].low[axis]) / 1000


def _vehicle_varistor(book: Book, loop: SurgeLoop, of: str, tail: str, words: str) -> None:
    """What is left for a small varistor in the vehicle's charger."""
    for quantity, unit, symbol, read, title, places in (
        ("current", "A", "I_v", lambda run: run.vehicle_peak_a, "Highest current", 0),
        ("energy", "J", "W_v", lambda run: run.vehicle_energy_j, "Energy", 1),
    ):
        _run(
            book,
            loop,
            of,
            f"vehicle-varistor-{quantity}{tail}",
            f"{title} in a small varistor of the vehicle, {words}",
            symbol,
            unit,
            read,
            bound=not tail,
            change=_small_varistor,
            note=f"{mode_words(loop.mode)}; a common small varistor is assumed at the vehicle's"
            f" input; {ILLUSTRATIVE}",
            places=places,
        )


def _other_waves(book: Book, loop: SurgeLoop, of: str, way: Way) -> None:
    """The same path under other waves, and with a capacitor in the point."""
    words = mode_words(loop.mode)
    impulse, ringing = (
        replace(loop, wave=wave_sent(book, of, way, name))
        for name in ("current-impulse", "ring-wave")
    )
    farad = book.look_up(
        "point-capacitor",
        of,
        "Capacitor in the point",
        "C",
        model_row("point-capacitor-nf"),
        "nF",
        places=1,
    )
    for name, told, under, also, change in (
        (
            "in-impulse",
            f"a current of 8/20 µs, as strong as {way.name} is rated for",
            impulse,
            (),
            _nothing_else,
        ),
        (
            "in-ring-wave",
            "a wave that rings with 100 kHz, of the same voltage",
            ringing,
            (),
            _nothing_else,
        ),
        (
            "with-point-capacitor",
            "a capacitor in the point, near the worst of those tried",
            loop,
            (farad,),
            partial(_with_point_capacitor, farad),
        ),
    ):
        _run(
            book,
            under,
            of,
            f"surge-at-vehicle-{name}",
            f"Highest voltage at the vehicle {words}: {told}",
            "U_v",
            "V",
            lambda run: run.vehicle_peak_v,
            bound=True,
            also=also,
            change=change,
            note=ILLUSTRATIVE,
        )


# ---- one figure of a run


def _nothing_else(case: SurgeCase) -> SurgeCase:
    return case


def _second_device(case: SurgeCase) -> SurgeCase:
    return replace(case, second_spd=case.spd, second_gap=case.spd_gap)


def _with_point_capacitor(nano: Step, case: SurgeCase) -> SurgeCase:
    return replace(case, point_farad=1e-9 * float(nano.figure or 0))


def _small_varistor(case: SurgeCase) -> SurgeCase:
    """What a varistor absorbs needs the whole time."""
    return replace(case, vehicle="varistor", window_s=None)


def _run(
    book: Book,
    loop: SurgeLoop,
    of: str,
    step_id: str,
    title: str,
    symbol: str,
    unit: str,
    read: Callable[[KeptRun], float],
    *,
    bound: bool = False,
    also: tuple[Step, ...] = (),
    change: Callable[[SurgeCase], SurgeCase] = _nothing_else,
    note: str = "",
    places: int = 0,
) -> Step:
    """One figure of a run as a step; its band where the pessimistic law is run as well, and where
    board and point have two earths: up to no device at all.
    """
    if loop.gone:
        return book.not_known(
            step_id, of, title, symbol, unit, "run", loop.gone, loop.ask, "no other path's figure"
        )
    steps = (*loop.steps(bound), *also)
    known = all(step.known for step in steps)
    # what refuses a run hangs on no lead: none is laid to know
    refused = refusal(change(case_of_loop(loop, lead_m=0.0)), surge_model()) if known else None

    def worked() -> Worked:
        cases = [change(case_of_loop(loop))]
        if bound and loop.lead is not None:
            cases.append(change(case_of_loop(loop, bound=True)))
            none = change(case_of_loop(loop, fitted=False))
            # No device is no case of a current that flows whatever stands against it.
            cases += [none] if loop.earths and refusal(none, surge_model()) is None else []
        values = [_read(case, read) for case in cases]
        return Worked(values[0], min(values), max(values)) if values[1:] else Worked(values[0])

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


def case_at(
    workings: Workings,
    installation: Installation,
    circuit: Circuit,
    point: ChargingPoint,
    *,
    spd: bool = True,
    bound: bool = False,
    mode: SurgeMode | None = None,
) -> SurgeCase | None:
    """The case behind `surge-at-vehicle` of a worked installation, or another path's, for charts;
    None where something is not known.
    """
    way = surge_device(installation)
    if spd and way is None:
        return None
    path = mode or main_mode(installation, circuit, point, way)
    loop = loop_of(workings.find, installation, circuit, point, way if spd else None, path)
    if loop is None or loop.gone or not all(step.known for step in loop.steps(bound=True)):
        return None
    return case_of_loop(loop, bound=bound)


@topic
def surge_work(book: Book, asked: AskedSurge = USUAL_SURGE) -> None:
    """The laws of the device, then every charging point."""
    way = surge_device(book.installation)
    if way is not None:
        laws(book, way)
        # by all that any circuit has: a path is written once
        modes = {
            mode: None for circuit in book.installation.circuits for mode in surge_modes(circuit)
        }
        paths_of_device(book, way, tuple(modes))
    for circuit in each(book.installation.circuits):
        for point in book.installation.points_of(circuit):
            at_the_point(book, circuit, point, asked)
