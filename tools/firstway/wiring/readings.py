"""Wiring: what a tester would show between two terminals in a state. What the circuit cannot give
is not given.

Two-pole voltage indicator, low-resistance ohmmeter, insulation tester, loop tester and residual
current tester. Every reading is at 20 C. Live readings are for skilled persons; the program only
foretells them.
"""

import heapq
from collections.abc import Callable, Sequence

from firstway.calculations.nodal import (
    Branch,
    current_a,
    merged,
    potentials,
    resistance_ohm,
    voltage_v,
)
from firstway.calculations.phasors import magnitude
from firstway.frozen import dataclass
from firstway.wiring.circuit import States, WiredCircuit
from firstway.wiring.faults import LARGEST_OHM, SMALLEST_OHM
from firstway.wiring.joined_groups import source_terminals
from firstway.wiring.links import Link
from firstway.wiring.upstream import device_at

OPEN = "open"
"""What an instrument shows of a way that is broken."""
NO_READING = "no reading"
"""What it shows where it finds nothing to measure."""
OVER_RANGE = "over range"
"""What it shows of more than its range."""
READING_NOT_KNOWN = "not known"
"""What stands for a reading that no figure of the file decides."""
AT_MOST = "at most"
"""Stands before a figure that the reading does not exceed."""
DECIDES = "an impedance of the supply or an electrode decides it: measure it or ask"
"""What to ask where a figure that is not known moves the reading."""
_POLE_OHM = 1e-4  # so that currents through the poles of one device can be told apart
SAME = 0.01
"""A part that is not known may move a reading by this share and no more."""
HIGHEST_CONTINUITY_OHM = 2000.0
"""Common practice: beyond this, in ohm, a low-resistance ohmmeter shows open."""
HIGHEST_LOOP_OHM = 3000.0
"""Common practice: what a loop tester still shows, in ohm."""
TEST_MA = 1.0
"""IEC 61557-2: an insulation tester drives 1 mA at its nominal voltage, at least."""


@dataclass(frozen=True)
class ShownReading:
    """A reading: `value` with `unit`, or `words` alone.

    `ask` says what to find out where it is not known.
    """

    value: float | None
    unit: str
    words: str = ""
    ask: str = ""
    about: bool = False

    @property
    def known(self) -> bool:
        """Whether the file decides what is read."""
        return self.words != READING_NOT_KNOWN


def _branches(
    links: Sequence[Link],
    unknown: float | None,
    forces: bool = True,
    told_apart: frozenset[str] = frozenset(),
) -> list[Branch]:
    """Links as branches; a resistance that is not known is `unknown`, or left out where that is
    None.

    Poles of the devices `told_apart` get a little resistance, so that each has a current of its
    own.
    """
    found = []
    for link in links:
        ohm = link.ohm if link.ohm is not None else unknown
        if ohm is None:
            continue
        if link.kind == "pole" and link.of in told_apart:
            ohm = max(ohm, _POLE_OHM)
        volts = link.volts if forces else 0j
        found.append(Branch(link.start, link.end, max(ohm, 1e-6) if volts else ohm, volts))
    return found


@dataclass(frozen=True)
class _Band:
    """A result with unknown resistances very small, and very large: whatever they are, it lies
    between.
    """

    low: float | None
    high: float | None

    @property
    def agree(self) -> bool:
        if self.low is None or self.high is None:
            return self.low is None and self.high is None
        return abs(self.low - self.high) <= SAME * max(abs(self.low), abs(self.high)) + 1e-4


def _band(
    links: Sequence[Link], work: Callable[[list[Branch]], float | None], forces: bool
) -> _Band:
    if all(link.ohm is not None for link in links):
        value = work(_branches(links, None, forces))
        return _Band(value, value)
    return _Band(
        work(_branches(links, SMALLEST_OHM, forces)), work(_branches(links, LARGEST_OHM, forces))
    )


def _with_test(links: Sequence[Link]) -> tuple[Link, ...]:
    return tuple(link for link in links if link.kind != "electronics")


def voltage(circuit: WiredCircuit, states: States, one: str, other: str) -> ShownReading:
    """Two-pole voltage indicator between two terminals, in V. Two parts with no conducting way
    between them: no reading.
    """
    links = _with_test(circuit.closed(states))

    def shown(branches: list[Branch]) -> float | None:
        found = voltage_v(branches, one, other)
        return None if found is None else magnitude(found)

    band = _band(links, shown, True)
    if not band.agree:
        return ShownReading(None, "V", READING_NOT_KNOWN, DECIDES)
    return ShownReading(None, "V", NO_READING) if band.low is None else ShownReading(band.low, "V")


def is_live(circuit: WiredCircuit, states: States, terminal: str) -> bool:
    """Whether any link joins a terminal to a source: no dead test may be made there."""
    links = [link for link in circuit.closed(states) if link.kind in ("conductor", "pole", "load")]
    sources = source_terminals(circuit, states)
    found = merged({terminal, *sources}, ((link.start, link.end) for link in links))
    return any(found[terminal] == found[source] for source in sources)


def continuity(circuit: WiredCircuit, states: States, one: str, other: str) -> ShownReading:
    """Low-resistance ohmmeter between two terminals, leads nulled, in ohm.

    Refused where a source is joined to either.
    """
    if is_live(circuit, states, one) or is_live(circuit, states, other):
        return ShownReading(
            None, "ohm", NO_READING, "a source is joined to it: isolate, prove dead, then test"
        )
    links = tuple(link for link in _with_test(circuit.closed(states)) if link.kind != "load")
    band = _band(links, lambda branches: resistance_ohm(branches, one, other), False)
    if band.high is None:
        return ShownReading(None, "ohm", OPEN)
    if not band.agree:
        if band.high < HIGHEST_CONTINUITY_OHM:
            return ShownReading(
                band.high, "ohm", AT_MOST, "a parallel way has a resistance that is not known"
            )
        return ShownReading(
            None, "ohm", READING_NOT_KNOWN, "joined, but a resistance on the way is not known"
        )
    return (
        ShownReading(None, "ohm", OPEN)
        if band.high > HIGHEST_CONTINUITY_OHM
        else ShownReading(band.high, "ohm")
    )


def insulation(
    circuit: WiredCircuit, states: States, ones: Sequence[str], others: Sequence[str], test_v: float
) -> ShownReading:
    """Insulation tester between two sets of terminals, each joined together, in megohm.

    Sound cables read over range: their megohms are not foretold. A metal way reads zero. A surge
    protective device left in reads its voltage at 1 mA over 1 mA when the test voltage is above it.
    """
    if any(is_live(circuit, states, name) for name in (*ones, *others)):
        return ShownReading(
            None, "megohm", NO_READING, "a source is joined to it: isolate, prove dead, then test"
        )
    links = circuit.closed(states, surge=True)
    metal = [
        (link.start, link.end) for link in links if link.kind not in ("surge", "gap", "electronics")
    ]
    tied = [(ones[0], name) for name in ones[1:]] + [(others[0], name) for name in others[1:]]
    held = merged(
        {*ones, *others, *(end for link in links for end in (link.start, link.end))}, metal + tied
    )
    if held[ones[0]] == held[others[0]]:
        return ShownReading(0.0, "megohm")
    edges = [
        (held[link.start], held[link.end], link)
        for link in links
        if link.kind in ("surge", "gap", "electronics")
    ]
    if not _ways(edges, held[ones[0]], held[others[0]], lambda link: True):
        return ShownReading(None, "megohm", OVER_RANGE)
    if _ways(edges, held[ones[0]], held[others[0]], lambda link: link.kind == "electronics"):
        return ShownReading(
            None,
            "megohm",
            READING_NOT_KNOWN,
            "the charging point's electronics are on it: take the point off, or follow its"
            " instructions",
        )
    if not _ways(edges, held[ones[0]], held[others[0]], lambda link: link.kind == "surge"):
        return ShownReading(
            None,
            "megohm",
            READING_NOT_KNOWN,
            "a spark gap stands between: take the surge protective device out",
        )
    least = _least_v(edges, held[ones[0]], held[others[0]])
    if least is None:
        return ShownReading(
            None,
            "megohm",
            READING_NOT_KNOWN,
            "the voltage of the surge protective device at 1 mA; ask its maker, or take it out",
        )
    if test_v > 1.1 * least:
        return ShownReading(least / TEST_MA / 1000, "megohm", about=True)
    if test_v < 0.8 * least:
        return ShownReading(
            None,
            "megohm",
            OVER_RANGE,
            "the device leaks a little: anything from a few megohms up",
            about=True,
        )
    return ShownReading(
        None,
        "megohm",
        READING_NOT_KNOWN,
        "the test voltage lies close to the device's voltage at 1 mA",
    )


MeasuredLink = tuple[str, str, Link]
"""The two groups of terminals that a link joins, and the link."""


def _ways(
    edges: Sequence[MeasuredLink], start: str, end: str, keep: Callable[[Link], bool]
) -> bool:
    found = merged({start, end}, ((one, other) for one, other, link in edges if keep(link)))
    return found[start] == found[end]


def _least_v(edges: Sequence[MeasuredLink], start: str, end: str) -> float | None:
    """The smallest sum of voltages at 1 mA on a way through surge elements; None where one on the
    way is not stated.
    """
    if any(link.kind == "surge" and link.v_1ma is None for _, _, link in edges):
        return None
    queue, seen = [(0.0, start)], set()
    while queue:
        volts, node = heapq.heappop(queue)
        if node == end:
            return volts
        if node in seen:
            continue
        seen.add(node)
        for one, other, link in edges:
            if link.kind == "surge" and node in (one, other):
                heapq.heappush(
                    queue, (volts + float(link.v_1ma or 0.0), other if node == one else one)
                )
    return None


def loop(circuit: WiredCircuit, states: States, line: str, other: str) -> ShownReading:
    """Loop tester between a line and another conductor, in ohm: needs voltage there, then reads the
    impedance behind it.
    """
    present = voltage(circuit, states, line, other)
    if not present.known:
        return ShownReading(None, "ohm", READING_NOT_KNOWN, present.ask)
    lowest = 0.5 * float(circuit.installation.supply.line_to_earth_v)
    if present.value is None or present.value < lowest:
        return ShownReading(None, "ohm", NO_READING)
    links = tuple(
        link
        for link in _with_test(circuit.closed(states))
        if link.kind != "load" or link.of == "premises"
    )
    band = _band(links, lambda branches: resistance_ohm(branches, line, other), False)
    if band.agree and band.high is not None:
        return ShownReading(band.high, "ohm")
    if band.high is not None and band.high < HIGHEST_LOOP_OHM:
        return ShownReading(
            band.high, "ohm", AT_MOST, "a parallel way has a resistance that is not known"
        )
    return ShownReading(None, "ohm", READING_NOT_KNOWN, DECIDES)


def phase_sequence(circuit: WiredCircuit, states: States, terminals: Sequence[str]) -> ShownReading:
    """Phase sequence tester on three terminals: which line follows which, or no reading.

    An impedance that is not known counts as 1 ohm: it turns no voltage by a third of a period.
    """
    found = potentials(_branches(_with_test(circuit.closed(states)), 1.0), "origin.N")
    volts = [at for terminal in terminals if (at := found.get(terminal)) is not None]
    if len(volts) < len(terminals):
        return ShownReading(None, "", NO_READING)
    # The second line lags the first where its voltage is turned back from the first's.
    turn = (complex(volts[1]) * complex(volts[0]).conjugate()).imag
    if abs(turn) < 1.0:
        return ShownReading(None, "", NO_READING)
    return ShownReading(None, "", "L1-L2-L3" if turn < 0 else "L1-L3-L2")


def prospective_current(
    circuit: WiredCircuit, states: States, line: str, other: str
) -> ShownReading:
    """The same tester's fault current, in kA: voltage over loop."""
    impedance, volts = loop(circuit, states, line, other), voltage(circuit, states, line, other)
    if impedance.value is None or volts.value is None or impedance.value == 0:
        return ShownReading(None, "kA", impedance.words or READING_NOT_KNOWN, impedance.ask)
    return ShownReading(volts.value / impedance.value / 1000, "kA")


def residual_currents_a(
    circuit: WiredCircuit, states: States, drawn: Sequence[Branch] = ()
) -> dict[str, float]:
    """What each residual current device sees, of the board and ahead of it: the sum of the currents
    through its poles, in A.

    `drawn` are test loads. A resistance that is not known counts as 1 ohm: beside the kilohms of a
    residual test it decides nothing.
    """
    devices = frozenset(part.name for part in circuit.wiring.parts if part.kind in ("rcbo", "rcd"))
    links = _with_test(circuit.closed(states))
    branches = _branches(links, 1.0, told_apart=devices)
    found = potentials([*branches, *drawn], "origin.N")
    sums: dict[str, complex] = {}
    for link, branch in zip(links, branches):
        if link.kind == "pole" and link.of in devices:
            through = current_a(branch, found)
            sums[link.of] = sums.get(link.of, 0j) + complex(through if through is not None else 0j)
    return {name: magnitude(total) for name, total in sums.items()}


def residual_test(
    circuit: WiredCircuit, states: States, line: str, earth: str, test_ma: float
) -> dict[str, str]:
    """Residual current tester between line and earth: for each device `trips` or `does not trip`;
    empty where it has no voltage.

    Times are not foretold. A device whose neutral supply terminal is not joined to the neutral has
    no sure supply for its electronics.
    """
    present = voltage(circuit, states, line, earth)
    if present.value is None or present.value < 0.5 * float(
        circuit.installation.supply.line_to_earth_v
    ):
        return {}
    ampere = test_ma / 1000
    seen = residual_currents_a(circuit, states, [Branch(line, earth, present.value / ampere)])
    before = residual_currents_a(circuit, states)
    return {
        name: (
            "trips"
            if amount >= 0.9 * rated and has_supply(circuit, states, name)
            else "does not trip"
        )
        for name, total in sorted(seen.items())
        if (rated := _rated_a(circuit, name))
        and (amount := abs(total - before.get(name, 0.0))) >= 0
    }


def _rated_a(circuit: WiredCircuit, name: str) -> float | None:
    part = circuit.wiring.part(name)
    device = (
        device_at(circuit.installation, part)
        if part is not None and part.place == "beyond"
        else circuit.installation.way(name)
    )
    rated = getattr(device, "rated_residual_current_ma", None)
    return float(rated) / 1000 if isinstance(rated, (int, float)) else None


def has_supply(circuit: WiredCircuit, states: States, name: str) -> bool:
    """Whether the device's own supply terminals stand at line and neutral, so that electronics and
    test button can work.
    """
    lines = [
        terminal.id
        for terminal in circuit.wiring.terminals_of(name)
        if terminal.end == "supply" and terminal.function != "N"
    ]
    neutral = f"{name}.supply.N"
    if not lines or circuit.wiring.terminal(neutral) is None:
        return False
    found = voltage(circuit, states, lines[0], neutral)
    return found.value is not None and found.value > 0.5 * float(
        circuit.installation.supply.line_to_earth_v
    )
