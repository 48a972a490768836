"""Checks: every test of a job in the order of testing, with what a tester is foretold to show."""

from collections.abc import Iterator
from dataclasses import replace

from firstway.checks import expecting_dead as dead
from firstway.checks import expecting_functions as functions
from firstway.checks import expecting_live as live
from firstway.checks import reading_limits as limits
from firstway.checks.expected import DEAD, LIVE, Bench, Expected
from firstway.checks.reading_limits import Limit
from firstway.checks.rule import Case
from firstway.model.installation import Circuit
from firstway.model.nec_words import in_nec_words
from firstway.wiring.readings import ShownReading, continuity


def expected_readings(case: Case) -> tuple[Expected, ...]:
    """Every test the job asks for: dead tests first, then live ones, then what must work.

    Worked once for a case: each picture of a test looks its line up.
    """

    def made() -> tuple[Expected, ...]:
        bench = Bench(case, case.circuit)
        return tuple(_of_nec(bench) if bench.is_nec else _of_iec(bench))

    return case.kept("expected readings", made)


def _of_iec(bench: Bench) -> Iterator[Expected]:
    circuits = bench.installation.circuits
    yield from dead.electrode_leads(bench)
    yield from dead.earth_bar(bench)
    for each in circuits:
        yield from dead.both_conductors(bench, each)
    for each in circuits:
        yield from dead.insulations(bench, each)
    yield from dead.surge_left_in(bench)
    for each in circuits:
        yield from dead.polarities(bench, each)
    yield from dead.electrode_tests(bench)
    if bench.installation.rules == "bs7671":
        for each in circuits:
            yield from dead.with_equipment(bench, each)
    yield from live.external_loop(bench)
    yield from live.fault_currents(bench)
    yield from live.voltages(bench)
    yield from live.sequences(bench)
    for each in circuits:
        yield from live.loops(bench, each)
        yield from live.residual_device(bench, each)
    yield from live.residual_device_of_the_origin(bench)
    yield from functions.handed_over(bench)


def _of_nec(bench: Bench) -> Iterator[Expected]:
    """The short list of rule set nec: no loop limit, no least insulation. Common practice."""
    circuits = bench.installation.circuits
    yield from (_in_nec_words(each) for each in dead.earth_bar(bench))
    for each in circuits:
        yield from _grounding_conductor(bench, each)
    for each in circuits:
        yield from (_in_nec_words(line) for line in dead.insulations(bench, each))
    yield from (_in_nec_words(line) for line in dead.surge_left_in(bench))
    for each in circuits:
        yield from dead.polarities(bench, each)
    yield from live.voltages(bench)
    for each in circuits:
        yield from functions.breakers(bench, each)
    yield from (_in_nec_words(line) for line in functions.handed_over(bench))
    for _, point in bench.points():
        yield Expected(
            "function",
            str(point.name),
            LIVE,
            "function of the point",
            f"{point.name}, by the maker's procedure",
            ShownReading(None, "", "starts, charges, stops"),
            Limit(words="as the maker states"),
            "wiring, setting or vehicle; the maker's list of messages tells which",
        )


def _grounding_conductor(bench: Bench, circuit: Circuit) -> Iterator[Expected]:
    for point in bench.installation.points_of(circuit):
        ends = "earth-bar.1", bench.earth_of(str(point.name))
        yield Expected(
            "continuity",
            str(circuit.name),
            DEAD,
            "continuity, equipment grounding conductor",
            f"ground bar to {point.name}",
            continuity(bench.network, bench.isolated(circuit), *ends),
            limits.whole_conductor(),
            "metal raceway or building steel in parallel lowers it; a poor joint raises it",
        )


def _in_nec_words(line: Expected) -> Expected:
    return replace(
        line,
        test=in_nec_words(line.test),
        where=in_nec_words(line.where),
        because=in_nec_words(line.because),
    )
