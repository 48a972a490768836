"""Checks: the dead tests in their order, on what is isolated at its origin and proved dead."""

from collections.abc import Iterator

from firstway.checks import reading_limits as limits
from firstway.checks.expected import DEAD, Bench, Expected, live_names, pairs
from firstway.checks.reading_limits import Limit
from firstway.model.installation import Circuit, Electrode
from firstway.wiring.circuit import States
from firstway.wiring.readings import READING_NOT_KNOWN, ShownReading, continuity, insulation
from firstway.wiring.source import electrode_ohm

LEFT_IN = "take it out; only where it cannot be taken out: 250 V, still at least 1 MΩ"


def electrode_leads(bench: Bench) -> Iterator[Expected]:
    """Before anything else: the lead from the main earthing terminal to each electrode that serves.

    A lost electrode is never looked for with a live loop test: that test would put line voltage on
    everything that is earthed through it.
    """
    for item in bench.installation.electrodes:
        far = _other_end(bench, item) if item.use != "measuring" else ""
        if far:
            states = bench.at_origin()
            # The soil is a way as well, through whatever else is earthed: not the lead's.
            states = States(
                open=states.open, out=states.out, off=frozenset({f"electrode.{item.name}"})
            )
            shown = continuity(bench.network, states, f"{item.name}.PE", far)
            yield Expected(
                "electrode-lead",
                str(item.name),
                DEAD,
                "continuity of the electrode's lead, before anything is energised",
                f"clamp of {item.name} to {_spoken(far)}",
                (
                    shown
                    if shown.value != 0.0
                    else ShownReading(None, "", "joined", "its length is not in the file")
                ),
                limits.whole_conductor(),
                "a loose clamp or a cut lead; never look for it with a live loop test",
            )


def _other_end(bench: Bench, item: Electrode) -> str:
    """Where the lead of an electrode ends."""
    clamp = f"{item.name}.PE"
    for each in bench.network.wiring.conductors:
        if clamp in (each.start, each.end):
            return each.end if each.start == clamp else each.start
    return ""


def _spoken(terminal: str) -> str:
    return (
        "the main earthing terminal"
        if terminal == "met.PE"
        else f"the earth of {terminal.partition('.')[0]}"
    )


def earth_bar(bench: Bench) -> Iterator[Expected]:
    network = bench.network
    shown = continuity(network, bench.at_origin(), "earth-bar.1", network.wiring.main_earth)
    if bench.installation.electrode_of_board is not None:
        yield Expected(
            "continuity",
            "board",
            DEAD,
            "continuity",
            "earth bar to main earthing terminal: two earths that no metal joins",
            shown,
            limits.earths_apart(),
            "through the soil alone; far less: armour, a core or a pipe joins the two",
        )
        return
    yield Expected(
        "continuity",
        "board",
        DEAD,
        "continuity",
        "earth bar to main earthing terminal",
        shown,
        limits.earth_bar_joined(bench.case),
        "leads not nulled; a parallel way through bonding or armour lowers it",
    )


def both_conductors(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    """R1+R2 of every line, the line and the earth bar linked at the board."""
    way = bench.way(circuit).name
    limit = limits.both_conductors_limit(bench.case, circuit)
    for point in bench.installation.points_of(circuit):
        for line in (name for name in live_names(circuit) if name != "N"):
            states = bench.isolated(circuit, ((f"{way}.load.{line}", "earth-bar.1"),))
            ends = f"{point.name}.{line}", bench.earth_of(str(point.name))
            yield Expected(
                "r1-plus-r2",
                str(circuit.name),
                DEAD,
                "continuity, R1+R2",
                f"{line} to protective conductor at {point.name}, the two linked at the board;"
                " take the link off afterwards",
                continuity(bench.network, states, *ends),
                limit,
                "temperature (0.4 % a degree), length as laid, armour in parallel, a poor joint",
                "r1-plus-r2-reading",
                between=(line, "PE"),
            )


def insulations(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    """Every live conductor to earth, and every two of them."""
    names, limit = live_names(circuit), limits.insulation_limit(bench.case)
    volts = limits.test_voltage_v()
    for point in bench.installation.points_of(circuit)[:1]:
        ends = {name: f"{point.name}.{name}" for name in names}
        ends["PE"] = bench.earth_of(str(point.name))
        for one, other in (*((name, "PE") for name in names), *pairs(names)):
            shown = insulation(
                bench.network, bench.isolated(circuit), [ends[one]], [ends[other]], volts
            )
            yield Expected(
                "insulation",
                str(circuit.name),
                DEAD,
                f"insulation, {volts:g} V",
                f"{one} to {bench.earth_word if other == 'PE' else other}, {circuit.name}",
                shown,
                limit,
                _lowers(other),
                between=(one, other),
            )


def _lowers(other: str) -> str:
    if other == "PE":
        return (
            "megohms of a sound cable are not foretold; moisture, damage, or something left"
            " connected lowers them"
        )
    return "a load or an indicator left connected reads as a fault"


def surge_left_in(bench: Bench) -> Iterator[Expected]:
    """What the tester shows where somebody forgot the cartridge: so that it is understood."""
    for way in bench.installation.board.ways:
        if way.device == "spd":
            terminals = bench.network.wiring.terminals_of(str(way.name))
            line = next(each.id for each in terminals if each.function.startswith("L"))
            ends = [line], [f"{way.name}.PE"]
            yield Expected(
                "surge-in",
                str(way.name),
                DEAD,
                "insulation, 500 V, to understand a low reading",
                f"{way.name} left in by mistake: line to earth",
                insulation(bench.network, bench.at_origin(), *ends, 500.0),
                # A device for 120 V to ground conducts at 250 V too: it is taken out.
                Limit(words="take it out" if bench.is_nec else LEFT_IN),
                "the device conducts above its voltage at 1 mA: that is no fault of the cable",
            )


def with_equipment(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    """Once everything is connected: the lower voltage, live conductors joined together to earth.

    BS 7671 643.3.3, since A2:2022. What filters and electronics leave is not foretold.
    """
    ask = "the electronics of the points and the surge protective device are on it"
    yield Expected(
        "insulation",
        str(circuit.name),
        DEAD,
        f"insulation, {limits.lower_test_voltage_v():g} V, everything connected",
        f"live conductors of {circuit.name} joined together, to earth",
        ShownReading(None, "megohm", READING_NOT_KNOWN, ask),
        limits.insulation_limit(bench.case),
        "surge protective devices and filters lower it; ask their makers what is sound",
        between=(*live_names(circuit), "PE"),
    )


def polarities(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    way = bench.way(circuit).name
    for point in bench.installation.points_of(circuit):
        for name in live_names(circuit):
            near, far = f"{way}.load.{name}", f"{point.name}.{name}"
            if bench.has(near):
                yield Expected(
                    "polarity",
                    str(circuit.name),
                    DEAD,
                    "polarity, by ohmmeter",
                    f"{near} to {far}",
                    continuity(bench.network, bench.isolated(circuit), near, far),
                    Limit(words="joined; every other pair open"),
                    "cores exchanged at one end: the reading appears on another pair",
                    between=(name, name),
                )


def electrode_tests(bench: Bench) -> Iterator[Expected]:
    for item in bench.installation.electrodes:
        ohm = electrode_ohm(item)
        ask = f"measure the electrode '{item.name}'"
        shown = (
            ShownReading(None, "ohm", READING_NOT_KNOWN, ask)
            if ohm is None
            else ShownReading(ohm, "ohm")
        )
        yield Expected(
            "electrode",
            str(item.name),
            DEAD,
            "electrode, its lead off for the test and put back before energising",
            str(item.name),
            shown,
            limits.electrode_limit(bench.case, item),
            "dry or frozen soil; metal nearby; test electrodes too close",
        )
