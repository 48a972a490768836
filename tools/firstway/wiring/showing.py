"""Wiring: the reading of the test that shows a mistake, in one word a learner can compare."""

from dataclasses import replace

from firstway.model.mistakes import ShownBy
from firstway.model.values import is_known
from firstway.wiring.circuit import States, WiredCircuit
from firstway.wiring.readings import (
    NO_READING,
    OPEN,
    OVER_RANGE,
    READING_NOT_KNOWN,
    ShownReading,
    continuity,
    insulation,
    loop,
    residual_currents_a,
    residual_test,
    voltage,
)

TEST_WORDS = {
    "continuity": "low-resistance ohmmeter, supply isolated",
    "insulation": "insulation tester, supply isolated",
    "voltage": "two-pole voltage indicator, live, for skilled persons",
    "loop": "loop tester, live, for skilled persons",
    "residual": "residual current tester, live, for skilled persons",
    "load": "load through the point, live, for skilled persons",
}
"""A test by the instrument it is made with, and in which state of the supply."""


def states_of(shown: ShownBy) -> States:
    """The state a test is made in.

    A name no installation has (a switch that is not there) changes nothing.
    """
    as_set = lambda value: frozenset(value) if isinstance(value, tuple) else frozenset()
    bridge = shown.bridge if isinstance(shown.bridge, tuple) else ()
    return States(
        open=as_set(shown.open),
        out=as_set(shown.out),
        bridges=((bridge[0], bridge[1]),) if len(bridge) == 2 else (),
    )


def reading_of(circuit: WiredCircuit, shown: ShownBy) -> ShownReading:
    """What the tester shows; for a residual test the words say whether a device trips."""
    states = states_of(shown)
    if shown.test in ("continuity", "insulation"):  # dead: every source is isolated, not one
        sources = frozenset(str(each.name) for each in circuit.installation.sources)
        states = replace(states, open=states.open | sources)
    one, other = (
        shown.between if isinstance(shown.between, tuple) and len(shown.between) == 2 else ("", "")
    )
    there = (
        {link.start for link in circuit.links}
        | {link.end for link in circuit.links}
        | {terminal.id for terminal in circuit.wiring.terminals}
    )
    if shown.test not in ("load",) and not {one, other} <= there:
        return ShownReading(None, "", NO_READING, "one of the two places is not there")
    if shown.test == "continuity":
        return continuity(circuit, states, one, other)
    if shown.test == "insulation":
        return insulation(
            circuit,
            states,
            [one],
            [other],
            float(shown.test_v) if is_known(shown.test_v) else 500.0,
        )
    if shown.test == "voltage":
        return voltage(circuit, states, one, other)
    if shown.test == "loop":
        return loop(circuit, states, one, other)
    if shown.test == "residual":
        found = residual_test(circuit, states, one, other, 30.0)
        return ShownReading(None, "", "trips" if "trips" in found.values() else "does not trip")
    sums = residual_currents_a(
        circuit,
        States(charging=frozenset(point.name for point in circuit.installation.charging_points)),
    )
    return ShownReading(max(sums.values(), default=0.0), "A", "")


def word_for(before: ShownReading, after: ShownReading) -> str:
    """How the reading changed, in the words of `reads`; "" where it did not change."""
    if (
        after.words == before.words
        and after.value is not None
        and before.value is not None
        and abs(after.value - before.value) <= 1e-6 + 0.01 * abs(before.value)
    ):
        return ""
    if after.unit == "V":
        return "no-volts" if after.value is None or after.value < 25 else "volts"
    if after.unit == "megohm":
        return (
            "over-range"
            if after.words == OVER_RANGE
            else "zero"
            if after.value is not None and after.value < 0.01
            else "below-limit"
        )
    if after.words in (OPEN, NO_READING):
        return "open" if after.words == OPEN else "no-reading"
    if after.words in ("trips", "does not trip"):
        return after.words.replace(" ", "-")
    if before.words == READING_NOT_KNOWN and after.value is not None:
        return "lower"
    if after.words == READING_NOT_KNOWN and before.value is not None:
        return "higher"
    if before.words == OPEN and (after.value is not None or after.words == READING_NOT_KNOWN):
        return (  # a resistance on the way may be unknown; that there is one at all is the sign
            "joined"
        )
    if after.value is not None and before.value is not None:
        return "higher" if after.value > before.value else "lower"
    return after.words
