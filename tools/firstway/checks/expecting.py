"""Checks: the readings to expect in the order of testing, and what a reading in the file says beside them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Iterator, Literal

from firstway.checks.case import Case
from firstway.model.installation import Circuit, Reading
from firstway.model.nec_words import in_nec_words
from firstway.model.values import is_known
from firstway.tables.found import Gap
from firstway.tables.looking_up_more import insulation_test_voltage_v, least_insulation_mohm, longest_trip_time_ms
from firstway.wiring.circuit import Circuit as Network, States, circuit_of
from firstway.wiring.source import electrode_ohm
from firstway.wiring.readings import AT_MOST, NOT_KNOWN, OVER_RANGE, Shown, continuity, insulation, loop, prospective_current, residual_test, voltage

FURTHER_APART = 0.2     # common practice: beyond a fifth, look for the reason
SMALLEST_OHM = 0.02     # what a tester's last digits and its leads may add
DEAD, LIVE = "dead", "live"
AUTHORISED = "authorised person only"
PRACTICE = "no limit of the rules; local code and the maker decide"     # common practice
Verdict = Literal["agrees", "differs", "against the limit", "nothing to compare with"]


@dataclass(frozen=True)
class Limit:
    """`at_most` or at least a figure; `words` where it is no figure."""

    value: float | None = None
    unit: str = ""
    at_most: bool = True
    words: str = ""


@dataclass(frozen=True)
class Expected:
    """One line of the table. `key` and `of` name it: `zs slipway`. `step` is the step of the working that gives the same figure."""

    key: str
    of: str
    phase: Literal["dead", "live"]
    test: str
    where: str
    shown: Shown
    limit: Limit
    because: str
    step: str = ""


def expected_readings(case: Case) -> tuple[Expected, ...]:
    """Every reading the circuit can give, in the order of testing: dead tests first."""
    network = circuit_of(case.installation, case.wiring)
    circuits = case.installation.circuits
    if case.installation.rules == "nec":
        return tuple(_nec_readings(case, network))
    found: list[Expected] = [*_earth_bar(network)]
    for each in circuits:
        found += _continuity(case, network, each)
    for each in circuits:
        found += _insulation(case, network, each)
    for each in circuits:
        found += _polarity(case, network, each)
    found += _electrodes(case)
    found += _at_the_origin(case, network)
    found += _at_the_board(case, network)
    for each in circuits:
        found += _live(case, network, each)
    return tuple(found)


def _dead(case: Case, circuit: Circuit, *more: str, bridges: tuple[tuple[str, str], ...] = ()) -> States:
    """Isolated at the origin, its device off, every point and cartridge off the cables."""
    points = {point.name for point in case.installation.charging_points}
    surge = {way.name for way in case.installation.board.ways if way.device == "spd"}
    return States(open=frozenset({"origin", case.installation.way_feeding(circuit.name).name, *more}), out=frozenset(points | surge), bridges=bridges)


def _earth_end(network: Network, point: str) -> str:
    return f"{point}.parked.PE" if network.wiring.terminal(f"{point}.parked.PE") else f"{point}.PE"


def _earth_bar(network: Network) -> Iterator[Expected]:
    shown = continuity(network, States(open=frozenset({"origin"}), out=frozenset(point.name for point in network.installation.charging_points)), "earth-bar.1", network.wiring.main_earth)
    yield Expected("earth-bar", "board", DEAD, "continuity", "earth bar to main earthing terminal", shown, Limit(words="joined"),
                   "leads not nulled; a parallel way through bonding or armour lowers it")


def _continuity(case: Case, network: Network, circuit: Circuit) -> Iterator[Expected]:
    way = case.installation.way_feeding(circuit.name).name
    for line in circuit.lines:  # type: ignore[union-attr]
        for point in case.installation.points_of(circuit)[:1]:
            states = _dead(case, circuit, bridges=((f"{way}.load.{line}", "earth-bar.1"),))
            first = line == circuit.lines[0]  # type: ignore[index]
            yield Expected("r1-plus-r2", circuit.name, DEAD, "continuity, R1+R2", f"{line} to protective conductor at {point.name}, the two linked at the board; take the link off afterwards",
                           continuity(network, states, f"{point.name}.{line}", _earth_end(network, point.name)), Limit(words="near the design"),
                           "temperature (0.4 % for each degree), length as laid, armour in parallel, a poor joint", "r1-plus-r2-reading" if first else "")


def _insulation(case: Case, network: Network, circuit: Circuit) -> Iterator[Expected]:
    least = least_insulation_mohm("up-to-500-v")
    volts = insulation_test_voltage_v("up-to-500-v")
    limit = Limit(words="table missing") if isinstance(least, Gap) else Limit(least.value, "MΩ", at_most=False)
    test_v = 500.0 if isinstance(volts, Gap) else volts.value
    live = [*circuit.lines, *(["N"] if circuit.neutral is True else [])]  # type: ignore[misc]
    for point in case.installation.points_of(circuit)[:1]:
        ends = [f"{point.name}.{name}" for name in live]
        earth = _earth_end(network, point.name)
        states = _dead(case, circuit)
        out = "surge protective device out, charging point off the cable"
        yield Expected("insulation", circuit.name, DEAD, f"insulation, {test_v:g} V", f"live conductors of {circuit.name} together to earth; {out}",
                       insulation(network, states, ends, [earth], test_v), limit,
                       "megohms of a sound cable are not foretold; moisture, damage, or something left connected lowers them")
        if len(ends) > 1:
            yield Expected("insulation-between", circuit.name, DEAD, f"insulation, {test_v:g} V", f"between the live conductors of {circuit.name}; {out}",
                           insulation(network, states, ends[:1], ends[1:], test_v), limit, "a load or an indicator left connected reads as a fault")
    for way in case.installation.board.ways:
        if way.device == "spd" and circuit is case.installation.circuits[0]:
            yield _surge_in(case, network, way.name, circuit)


def _surge_in(case: Case, network: Network, surge: str, circuit: Circuit) -> Expected:
    line = next(terminal.id for terminal in case.wiring.terminals_of(surge) if terminal.function.startswith("L"))
    states = States(open=frozenset({"origin"}), out=frozenset(point.name for point in case.installation.charging_points))
    shown = insulation(network, states, [line], [f"{surge}.PE"], 500.0)
    return Expected("surge-in", surge, DEAD, "insulation, 500 V, to understand a low reading", f"{surge} left in by mistake: line to earth",
                    shown, Limit(words="take it out, or test at 250 V"), "the device conducts above its voltage at 1 mA: that is no fault of the cable")


def _polarity(case: Case, network: Network, circuit: Circuit) -> Iterator[Expected]:
    way = case.installation.way_feeding(circuit.name).name
    for point in case.installation.points_of(circuit)[:1]:
        for name in [*circuit.lines, *(["N"] if circuit.neutral is True else [])]:  # type: ignore[misc]
            near = f"{way}.load.{name}"
            if network.wiring.terminal(near) is None:
                continue
            yield Expected("polarity", circuit.name, DEAD, "polarity, by ohmmeter", f"{near} to {point.name}.{name}",
                           continuity(network, _dead(case, circuit), near, f"{point.name}.{name}"), Limit(words="joined; every other pair open"),
                           "cores exchanged at one end: the reading appears on another pair")


def _electrodes(case: Case) -> Iterator[Expected]:
    for item in case.installation.electrodes:
        ohm = electrode_ohm(item)
        shown = Shown(ohm, "ohm") if ohm is not None else Shown(None, "ohm", NOT_KNOWN, f"measure the electrode '{item.name}'")
        step = case.step("electrode-resistance-limit", item.name)
        limit = Limit(step.value, "ohm") if step and step.value is not None else Limit(words="as the design asks")
        yield Expected("electrode", item.name, DEAD, "electrode, its lead off for the test and put back before energising", item.name, shown, limit,
                       "dry or frozen soil; metal nearby; test electrodes too close")


def _at_the_origin(case: Case, network: Network) -> Iterator[Expected]:
    supply = case.installation.supply
    line = next((terminal.function for terminal in network.wiring.terminals_of("origin") if terminal.function.startswith("L")), "L1")
    if network.wiring.terminal("origin.PE") is not None:
        shown = Shown(float(supply.ze_ohm), "ohm") if is_known(supply.ze_ohm) else Shown(None, "ohm", NOT_KNOWN, "measure it, or ask the distributor")  # type: ignore[arg-type]
        yield Expected("ze", "supply", LIVE, "external loop, Ze", f"origin; {AUTHORISED}; by whoever is authorised at the origin", shown,
                       Limit(words="as the distributor declares"), "the network changes")
    yield Expected("prospective-fault-current", "supply", LIVE, "prospective fault current", f"origin, line to neutral; {AUTHORISED}; by whoever is authorised at the origin",
                   prospective_current(network, States(), f"origin.{line}", "origin.N"), Limit(words="below the breaking capacity of every device"),
                   "the tester's scatter is large close to a transformer")


def _at_the_board(case: Case, network: Network) -> Iterator[Expected]:
    volts = "the network's voltage of the day; it may lie 6 to 10 % away"
    bar = "grounding bar" if case.installation.rules == "nec" else "earth bar"
    lines = [terminal.function for terminal in network.wiring.terminals_of("origin") if terminal.function.startswith("L")]
    for line in lines:
        here = next((terminal.id for terminal in network.wiring.terminals_of("bar") if terminal.function == line), f"origin.{line}")
        there = f"; {AUTHORISED}" if here.startswith("origin.") else ""
        yield Expected("voltage", f"board {line}", LIVE, "voltage", f"{line} to neutral bar{there}", voltage(network, States(), here, "neutral-bar.1"), Limit(words="within the network's limits"), volts)
        yield Expected("voltage", f"board {line} earth", LIVE, "polarity, live", f"{line} to {bar}{there}", voltage(network, States(), here, "earth-bar.1"), Limit(words="as line to neutral"), volts)
    yield Expected("voltage", "board neutral", LIVE, "polarity, live", f"neutral bar to {bar}", voltage(network, States(), "neutral-bar.1", "earth-bar.1"),
                   Limit(words="a few volts"), "load elsewhere lifts it by a volt or two; line voltage means line and neutral are crossed")
    if len(lines) > 1:
        one, other = (next((t.id for t in network.wiring.terminals_of("bar") if t.function == line), f"origin.{line}") for line in lines[:2])
        there = f"; {AUTHORISED}" if "origin." in (one[:7], other[:7]) else ""
        yield Expected("voltage", "board lines", LIVE, "voltage", f"{lines[0]} to {lines[1]}{there}", voltage(network, States(), one, other), Limit(words="within the network's limits"), volts)


def _raises_loop(case: Case, circuit: Circuit) -> str:
    return "dry or frozen soil" if case.step("source-electrode", circuit.name) is not None else "warm conductors"


def _live(case: Case, network: Network, circuit: Circuit) -> Iterator[Expected]:
    way = case.installation.way_feeding(circuit.name)
    for point in case.installation.points_of(circuit)[:1]:
        line = str(circuit.lines[0])  # type: ignore[index]
        step = case.step("loop-impedance-reading-limit", circuit.name)
        limit = Limit(step.value, "ohm") if step and step.value is not None else Limit(words="as the design asks")
        yield Expected("zs", circuit.name, LIVE, "earth fault loop, Zs", f"{line} to earth at {point.name}", loop(network, States(), f"{point.name}.{line}", f"{point.name}.PE"), limit,
                       f"a range that does not trip the device scatters; parallel earths lower it; {_raises_loop(case, circuit)} raise it", "loop-impedance-reading")
        if way.device not in ("rcbo", "rcd") or not is_known(way.rated_residual_current_ma):
            continue
        found = residual_test(network, States(), f"{point.name}.{line}", f"{point.name}.PE", float(way.rated_residual_current_ma))  # type: ignore[arg-type]
        words = found.get(way.name, "no reading")
        longest = longest_trip_time_ms(str(way.delay) if way.delay == "S" else "none", 1)
        limit = Limit(words="its maker's time") if isinstance(longest, Gap) else Limit(longest.value, "ms")
        yield Expected("rcd-time", circuit.name, LIVE, f"residual current, {way.rated_residual_current_ma:g} mA alternating", f"load side of {way.name}, both half-waves, the longer counts",
                       Shown(None, "", words, "its time is not foretold"), limit, "the point's own device may open first; leakage already there helps it trip")
        yield Expected("button", circuit.name, LIVE, "test button", way.name, Shown(None, "", "opens"), Limit(words="opens"), "no supply at its neutral: nothing happens")


def _nec_readings(case: Case, network: Network) -> Iterator[Expected]:
    """The short table of rule set nec: no loop limit and no least insulation is claimed. Common practice."""
    circuits = case.installation.circuits
    yield from (replace(line, where=in_nec_words(line.where), because=in_nec_words(line.because)) for line in _earth_bar(network))
    for each in circuits:
        for point in case.installation.points_of(each)[:1]:
            yield Expected("continuity", each.name, DEAD, "continuity, equipment grounding conductor", f"grounding bar to {point.name}",
                           continuity(network, _dead(case, each), "earth-bar.1", _earth_end(network, point.name)), Limit(words="joined"),
                           "metal raceway or building steel in parallel lowers it; a poor joint raises it")
    for each in circuits:
        for line in _insulation(case, network, each):
            # A device for 120 V to ground conducts at 250 V too: it is taken out, whatever the test voltage.
            limit = Limit(words="take it out") if line.key == "surge-in" else Limit(words=PRACTICE) if line.limit.value is not None else line.limit
            yield replace(line, where=in_nec_words(line.where), limit=limit)
    for each in circuits:
        yield from _polarity(case, network, each)
    yield from _at_the_board(case, network)
    for each in circuits:
        way = case.installation.way_feeding(each.name)
        for point in case.installation.points_of(each)[:1]:
            yield Expected("breaker", each.name, LIVE, "function of the breaker", f"{way.name} off: every line at {point.name}", Shown(None, "", "no voltage"),
                           Limit(words="no voltage on any line"), "another circuit or a second source feeds the point; this reading does not prove isolation")
            yield Expected("function", point.name, LIVE, "function of the point", f"{point.name}, by the maker's procedure", Shown(None, "", "starts, charges, stops"),
                           Limit(words="as the maker states"), "wiring, setting or vehicle; the maker's list of messages tells which")


# Readings of the file beside them

@dataclass(frozen=True)
class Beside:
    """One reading of the file, what was foretold, and how they stand."""

    reading: Reading
    value: float
    unit: str
    expected: Expected | None
    verdict: Verdict
    look_for: str


_UNITS = (("ohm", "ohm"), ("megohm", "MΩ"), ("ms", "ms"), ("ka", "kA"), ("v", "V"))


def readings_beside(case: Case, expected: tuple[Expected, ...]) -> tuple[Beside, ...]:
    """Each reading of the file beside the one that was foretold."""
    found = []
    for reading in case.installation.readings:
        value, unit = next(((float(amount), unit) for key, unit in _UNITS if is_known(amount := getattr(reading, key))), (None, ""))
        if value is not None:
            line = _line_for(reading, expected)
            found.append(Beside(reading, value, unit, line, *_verdict(value, unit, line)))
    return tuple(found)


def _line_for(reading: Reading, expected: tuple[Expected, ...]) -> Expected | None:
    of = reading.circuit if is_known(reading.circuit) else reading.at if is_known(reading.at) else None
    lines = [line for line in expected if line.key == reading.test]
    named = [line for line in lines if of in (line.of, "origin" if line.of == "supply" else None) or str(line.of).split(" ", maxsplit=1)[0] == of]
    return (named or (lines if len(lines) == 1 and of is None else []) or [None])[0]  # type: ignore[list-item]


def _verdict(value: float, unit: str, line: Expected | None) -> tuple[Verdict, str]:
    if line is None:
        return "nothing to compare with", "nothing was foretold for this place"
    limit = line.limit
    if limit.value is not None and limit.unit == unit and (value > limit.value if limit.at_most else value < limit.value):
        return "against the limit", f"do not energise, or isolate, and find out why: {line.because}"
    foretold = line.shown.value
    if foretold is None:
        if line.shown.words == OVER_RANGE and unit == "MΩ" or line.shown.words == "trips" and unit == "ms":
            return "agrees", ""
        return "nothing to compare with", line.shown.ask
    if line.shown.unit != ("megohm" if unit == "MΩ" else unit):
        return "nothing to compare with", "another unit was foretold"
    allowed = FURTHER_APART * foretold + (SMALLEST_OHM if unit == "ohm" else 0.0)
    if line.shown.words == AT_MOST and value <= foretold + allowed:
        return "agrees", ""
    return ("agrees", "") if abs(value - foretold) <= allowed else ("differs", f"further apart than a fifth; look for: {line.because}")
