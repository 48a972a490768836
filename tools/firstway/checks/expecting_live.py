"""Checks: the live tests in their order, for skilled persons; at the origin the authorised."""

from collections.abc import Iterator

from firstway.checks import reading_limits as limits
from firstway.checks.devices import own_residual
from firstway.checks.expected import AUTHORISED, LIVE, Bench, Expected, live_names, pairs
from firstway.checks.reading_limits import Limit
from firstway.model.installation import Circuit
from firstway.model.lines import residual_device_at_origin
from firstway.model.values import is_known, key_of
from firstway.wiring.circuit import States
from firstway.wiring.readings import (
    NO_READING,
    READING_NOT_KNOWN,
    ShownReading,
    loop,
    phase_sequence,
    prospective_current,
    residual_test,
    voltage,
)

AT_THE_ORIGIN = f"origin; {AUTHORISED}; by whoever is authorised at the origin"
OF_THE_DAY = "the network's voltage of the day; it may lie 6 to 10 % away"
SCATTERS = "the tester's scatter is large close to a transformer"
IN_TURN = "L1-L2-L3"
THREE_PHASE = 2 / 3**0.5  # line to line x 2/sqrt(3): all three lines at once, same impedances


def external_loop(bench: Bench) -> Iterator[Expected]:
    supply = bench.installation.supply
    if not bench.has("origin.PE"):
        return
    shown = ShownReading(None, "ohm", READING_NOT_KNOWN, "measure it, or ask the distributor")
    if is_known(supply.ze_ohm):
        shown = ShownReading(float(supply.ze_ohm), "ohm")
    yield Expected(
        "ze",
        "supply",
        LIVE,
        "external loop, Ze",
        AT_THE_ORIGIN,
        shown,
        limits.external_loop_limit(bench.case),
        "the network changes",
    )


def fault_currents(bench: Bench) -> Iterator[Expected]:
    """Every kind of fault at the origin, and the largest of them: that is the one to write down."""
    lines = bench.lines_at("origin")
    others = ("N", *(("PE",) if bench.has("origin.PE") else ()))
    found = [_current(bench, one, other) for one in lines for other in others]
    found += [_current(bench, one, other) for one, other in pairs(lines)]
    yield from found
    yield _largest(bench, found)


def _current(bench: Bench, one: str, other: str) -> Expected:
    shown = prospective_current(bench.network, States(), f"origin.{one}", f"origin.{other}")
    spoken = {"N": "neutral", "PE": bench.earth_word}.get(other, other)
    return Expected(
        "prospective-fault-current",
        "supply",
        LIVE,
        "prospective fault current",
        f"{one} to {spoken}; {AT_THE_ORIGIN}",
        shown,
        limits.largest_current(bench.case),
        SCATTERS,
        between=(one, other),
    )


def _largest(bench: Bench, found: list[Expected]) -> Expected:
    """The largest reading; with three lines all at once, which no tester shows, by calculation."""
    values = [each.shown.value for each in found if each.shown.value is not None]
    by_lines = [
        each.shown.value for each in found if "N" not in each.between and "PE" not in each.between
    ]
    where = "the largest of all these"
    if len(bench.lines_at("origin")) == 3:
        values += [value * THREE_PHASE for value in by_lines if value is not None]
        where += ", and line to line times 1.15 for all three lines at once"
    unknown = next((each.shown for each in found if each.shown.value is None), None)
    shown = ShownReading(max(values), "kA") if values and unknown is None else unknown
    return Expected(
        "prospective-fault-current",
        "supply",
        LIVE,
        "prospective fault current to write down",
        f"{where}; {AT_THE_ORIGIN}",
        shown or ShownReading(None, "kA", NO_READING),
        limits.largest_current(bench.case),
        SCATTERS,
    )


def voltages(bench: Bench) -> Iterator[Expected]:
    """Each line to neutral and to earth, neutral to earth, every two lines."""
    lines = bench.lines_at("origin")
    for line in lines:
        yield _voltage(
            bench, "voltage", line, "N", limits.network_voltage(bench.case, False), OF_THE_DAY
        )
        yield _voltage(
            bench,
            "polarity, live",
            line,
            "PE",
            limits.network_voltage(bench.case, False),
            OF_THE_DAY,
        )
    yield _voltage(
        bench,
        "polarity, live",
        "N",
        "PE",
        limits.NEUTRAL_TO_EARTH,
        "load elsewhere lifts it by a volt or two; line voltage means line and neutral are crossed",
    )
    for one, other in pairs(lines):
        yield _voltage(
            bench, "voltage", one, other, limits.network_voltage(bench.case, True), OF_THE_DAY
        )


def _voltage(bench: Bench, test: str, one: str, other: str, limit: Limit, because: str) -> Expected:
    earth_bar = "ground bar" if bench.is_nec else "earth bar"
    bars = {"N": ("neutral-bar.1", "neutral bar"), "PE": ("earth-bar.1", earth_bar)}
    here, spoken_here = bars.get(one, (bench.bar(one), one))
    there, spoken_there = bars.get(other, (bench.bar(other), other))
    at_origin = f"; {AUTHORISED}" if "origin." in (here[:7], there[:7]) else ""
    return Expected(
        "voltage",
        "board",
        LIVE,
        test,
        f"{spoken_here} to {spoken_there}{at_origin}",
        voltage(bench.network, States(), here, there),
        limit,
        because,
        between=(one, other),
    )


def sequences(bench: Bench) -> Iterator[Expected]:
    """The order of the lines, at the board and at every point that has three."""
    places = (
        [("board", [bench.bar(line) for line in ("L1", "L2", "L3")])]
        if len(bench.lines_at("origin")) == 3
        else []
    )
    for circuit, point in bench.points():
        if len([name for name in live_names(circuit) if name != "N"]) == 3 and places:
            places.append(
                (str(point.name), [f"{point.name}.{line}" for line in ("L1", "L2", "L3")])
            )
    for of, terminals in places:
        yield Expected(
            "phase-sequence",
            of,
            LIVE,
            "phase sequence",
            f"L1, L2, L3 at {of}",
            phase_sequence(bench.network, States(), terminals),
            Limit(words="L1, L2, L3 in turn"),
            "two lines exchanged at the origin, the board or the point",
        )


def loops(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    """The earth fault loop of every line, at every point."""
    through_soil = bench.case.step("source-electrode", str(circuit.name)) is not None
    raises = "dry or frozen soil" if through_soil else "warm conductors"
    for point in bench.installation.points_of(circuit):
        for line in (name for name in live_names(circuit) if name != "N"):
            ends = f"{point.name}.{line}", f"{point.name}.PE"
            yield Expected(
                "zs",
                str(circuit.name),
                LIVE,
                "earth fault loop, Zs",
                f"{line} to earth at {point.name}",
                loop(bench.network, States(), *ends),
                limits.whole_loop(bench.case, circuit),
                "a range that does not trip the device scatters; parallel earths lower it;"
                f" {raises} raise it",
                "loop-impedance-reading",
                between=(line, "PE"),
            )


def residual_device(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    """One test of alternating current at the rated residual current, then the button."""
    feeding = bench.way(circuit)
    way = own_residual(bench.installation, feeding) or feeding
    points = bench.installation.points_of(circuit)
    if (
        way.device not in ("rcbo", "rcd")
        or not is_known(way.rated_residual_current_ma)
        or not points
    ):
        return
    rated, line = float(way.rated_residual_current_ma), live_names(circuit)[0]
    ends = f"{points[0].name}.{line}", f"{points[0].name}.PE"
    words = residual_test(bench.network, States(), *ends, rated).get(str(way.name), "no reading")
    yield Expected(
        "rcd-time",
        str(circuit.name),
        LIVE,
        f"residual current, {rated:g} mA alternating, once",
        f"load side of {way.name}, both half-waves, the longer counts",
        ShownReading(None, "", words, "its time is not foretold"),
        limits.opening_time(bench.case, way, circuit),
        "the point's own device may open first; leakage already there helps it trip",
    )
    yield Expected(
        "test-button",
        str(circuit.name),
        LIVE,
        "test button",
        str(way.name),
        ShownReading(None, "", "opens"),
        Limit(words="opens"),
        "no supply at its neutral: nothing happens",
    )


def residual_device_of_the_origin(bench: Bench) -> Iterator[Expected]:
    """The residual current device at the origin: what lies ahead of the board's own rests on it
    alone.
    """
    device = residual_device_at_origin(bench.installation)
    rated = key_of(device, "rated_residual_current_ma")
    if not is_known(device) or not is_known(rated):
        return
    at_origin = f"the residual current device at the origin; {AUTHORISED}"
    yield Expected(
        "rcd-time",
        "supply",
        LIVE,
        f"residual current, {rated:g} mA alternating, once",
        f"load side of {at_origin}; both half-waves, the longer counts",
        ShownReading(None, "", "trips", "its time is not foretold"),
        limits.opening_time_at_origin(bench.case),
        "a delayed device waits on purpose; leakage already there helps it trip",
    )
    yield Expected(
        "test-button",
        "supply",
        LIVE,
        "test button",
        at_origin,
        ShownReading(None, "", "opens"),
        Limit(words="opens"),
        "no supply at its neutral: nothing happens",
    )
