"""Wiring: what a fault between two places of the circuit drives, and where: nodal figures, pure
numbers.

One network a state of the resistances, solved once; every fault by superposition. The protective
devices keep a microhm, so that the current of each pole can be told; a main switch and a contactor
are joints. Resistances that are not known are taken very small and very large: where the result
then differs it is not known, and says of what.
"""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from typing import Literal

from firstway.calculations.adding import added_phasors
from firstway.calculations.impedances import Column, Impedances, after, short_circuit
from firstway.calculations.nodal import Branch, Volts
from firstway.calculations.phasors import magnitude
from firstway.frozen import dataclass
from firstway.tables.looking_up import (
    most_armour_resistance_20c_ohm_per_km,
    thinnest_lead_20c_ohm_per_km,
)
from firstway.tables.reading import Gap
from firstway.wiring.circuit import States, WiredCircuit
from firstway.wiring.graph import VEHICLE_LEAD
from firstway.wiring.links import CUT_OUT, STAR, TRUE_EARTH, Link

Temperature = Literal["cold", "hot"]
"""Conductors at 20 C, or at their operating limit."""
SourceTaken = Literal["resistance", "reactance"]
"""Whether the source's impedance, known by its amount alone, is taken as a resistance or as a
reactance.
"""

_POLE_OHM = (
    1e-7  # so that the currents of a device's poles can be told apart; nothing beside any conductor
)
SMALLEST_OHM, LARGEST_OHM = 1e-6, 1e5
"""What stands in ohm for a resistance that is not known, once small and once large."""
HOTTEST = 2.0
"""Times the resistance at 20 C: more than any conductor reaches in operation."""
NOTHING = 1e-9
"""Share of the fault current below which what carries it has no part in the fault."""
PROTECTIVE_PARTS = ("rcbo", "rcd", "circuit-breaker", "fuse", "switch-fuse", "existing-way")
"""Kinds of parts that may open a fault."""


@dataclass(frozen=True)
class State:
    """How the network is taken: its conductors, its source, and the share of its loop that is PEN.

    The impedance of the source is known by its size alone. Added as a resistance it gives the
    smallest current, at right angles to the resistances (as a reactance) the largest; the truth
    lies between. `source_times` scales it, where a stated current asks for less than the stated
    impedance, `line_times` the lines alone, where the file states the current between them.
    """

    temperature: Temperature = "hot"
    source: SourceTaken = "resistance"
    pen_share: float | None = None
    source_times: float = 1.0
    line_times: float = 1.0


@dataclass(frozen=True)
class Through:
    """What a device carries while a fault lasts, in A: its largest line, and the sum of all its
    poles.
    """

    device: str
    line_a: float
    residual_a: float


def highest(rises: Sequence[tuple[str, float]]) -> tuple[str, float]:
    """The node that stands highest, and its volts; of nodes alike the first named, for which of
    them is a last bit higher differs from one machine's mathematics to another's.
    """
    most = max(volts for _, volts in rises)
    return next(each for each in rises if each[1] >= most * (1 - 1e-9))


@dataclass(frozen=True)
class Flow:
    """A fault: the current at its place in A, and what it drives into each of the nodes it joins.

    The volts of every place, and what each link carries, are worked when somebody asks: most faults
    are asked for one thing.
    """

    ampere: float
    network: "Network"
    nodes: Sequence[str]
    driven: Sequence[Volts]

    @cached_property
    def column(self) -> Column:
        """The volts of every place of the network while it lasts."""
        return after(self.network.impedances, self.network.before, self.nodes, self.driven)

    def volts(self, node: str) -> Volts | None:
        """Volts of a node against the star point of the source; None where nothing holds it."""
        places = self.network.impedances.places
        if node not in places:
            return None
        place = places[node]
        return 0.0 if place is None else self.column[place]

    def through(self, devices: Iterable[str]) -> tuple[Through, ...]:
        """What each of the devices carries."""
        found = []
        for device in devices:
            poles = [
                (is_line, way.ampere(self.column))
                for is_line, way in self.network.poles.get(device, ())
            ]
            lines = [magnitude(ampere) for is_line, ampere in poles if is_line]
            residual = magnitude(added_phasors(ampere for _, ampere in poles))
            found.append(Through(device, max(lines, default=0.0), residual))
        return tuple(found)

    def to_true_earth(self, nodes: Iterable[str]) -> tuple[str, float] | None:
        """The node that stands highest against true earth, and its volts; None where true earth is
        held by nothing.
        """
        earth = self.volts(TRUE_EARTH)
        if earth is None:
            return None
        held = [(node, volts) for node in nodes if (volts := self.volts(node)) is not None]
        rises = [(node, magnitude(volts - earth)) for node, volts in held]
        return highest(rises) if rises else None

    @cached_property
    def carrying(self) -> tuple[Link, ...]:
        """The links that have a part in the fault."""
        return tuple(way.link for way in self.network.ways if self._carries(way))

    @cached_property
    def assumed(self) -> tuple[str, ...]:
        """The assumed keys of the links that have a part in the fault."""
        carried = (
            evidence
            for evidence, ways in self.network.assumed.items()
            if any(self._carries(way) for way in ways)
        )
        return tuple(dict.fromkeys(path for evidence in carried for path in evidence))

    def _carries(self, way: "_Way") -> bool:
        return magnitude(way.ampere(self.column)) > NOTHING * self.ampere


@dataclass(frozen=True)
class _Way:
    """A link of some resistance between two places of the impedances; None is the star point."""

    link: Link
    start: int | None
    end: int | None
    ohm: complex | float
    volts: Volts

    def ampere(self, column: Column) -> Volts:
        start = 0.0 if self.start is None else column[self.start]
        end = 0.0 if self.end is None else column[self.end]
        return (start - end + self.volts) / self.ohm


def _is_line(link: Link) -> bool:
    return link.id.rpartition(".")[2].startswith("L")


@dataclass
class Network:
    """The circuit, everything closed and no load, in one state of its resistances."""

    circuit: WiredCircuit
    state: State
    unknown_ohm: float | None = None

    @cached_property
    def links(self) -> tuple[Link, ...]:
        """What may carry a fault: every closed way but electronics and loads."""
        return tuple(
            link
            for link in self.circuit.closed(States())
            if link.kind not in ("electronics", "load")
        )

    @cached_property
    def branches(self) -> tuple[Branch, ...]:
        """The same with its impedance in ohm and its force in V."""
        return tuple(
            Branch(link.start, link.end, self._ohm(link), link.volts) for link in self.links
        )

    @cached_property
    def impedances(self) -> Impedances:
        """The network solved against the star point of the source, in ohm."""
        return Impedances.of(self.branches, STAR)

    @cached_property
    def before(self) -> Column:
        """What every place stands at before the fault."""
        return self.impedances.at_rest()

    def _ohm(self, link: Link) -> complex | float:
        ohm = link.hot_ohm if self.state.temperature == "hot" else link.ohm
        if ohm is None:
            ohm = (
                SMALLEST_OHM
                if self.unknown_ohm is None
                else min(self.unknown_ohm, self._most.get(link.id, self.unknown_ohm))
            )
        if link.kind == "supply":
            ohm *= (
                self._share(link)
                * self.state.source_times
                * (self.state.line_times if link.volts else 1.0)
            )
            return (
                max(ohm, SMALLEST_OHM) * (1j if self.state.source == "reactance" else 1)
                if link.volts or ohm
                else 0.0
            )
        if link.kind == "pole" and self._protects(link.of):
            return max(ohm, _POLE_OHM)
        return ohm

    @cached_property
    def _most(self) -> Mapping[str, float]:
        """What a conductor of known length has at most, where its own resistance is not known, in
        ohm by id.

        An armour with a free end, for which the table holds no row: the largest row. One that is
        earthed at both ends may as well be left out: a second way back only helps. A vehicle's
        lead: the thinnest core a lead may have. Of what may not be joined nothing is known.
        """
        ends = Counter(node for link in self.links for node in (link.start, link.end))
        armour, lead = most_armour_resistance_20c_ohm_per_km(), thinnest_lead_20c_ohm_per_km()
        each = (
            {"armour": armour.value}
            if isinstance(lead, Gap)
            else {"armour": armour.value, "core": lead.value}
        )
        return {
            conductor.id: each[conductor.kind] * HOTTEST * conductor.length_m / 1000
            for conductor in self.circuit.wiring.conductors
            if conductor.kind in each
            and not conductor.doubt
            and conductor.length_m is not None
            and (
                conductor.id.startswith(VEHICLE_LEAD)
                if conductor.kind == "core"
                else 1 in (ends[conductor.start], ends[conductor.end])
            )
        }

    def _share(self, link: Link) -> float:
        """Line and PEN are half of the supply's loop each, unless a share is asked for, as is done
        where they are one conductor.
        """
        if self.state.pen_share is None:
            return 1.0
        if link.start == STAR and link.end == CUT_OUT:
            return 2 * self.state.pen_share
        return 2 * (1 - self.state.pen_share) if link.volts else 1.0

    def _protects(self, device: str) -> bool:
        return device in self._devices

    @cached_property
    def _devices(self) -> frozenset[str]:
        return frozenset(
            part.name for part in self.circuit.wiring.parts if part.kind in PROTECTIVE_PARTS
        )

    def flow(self, nodes: Sequence[str]) -> Flow | None:
        """The nodes joined by a fault without resistance; None where no current can come of it."""
        currents = short_circuit(self.impedances, self.before, nodes)
        if currents is None:
            return None
        return Flow(max(map(magnitude, currents)), self, nodes, currents)

    @cached_property
    def ways(self) -> tuple[_Way, ...]:
        """The links that have a resistance and are held by the network."""
        places = self.impedances.places
        return tuple(
            _Way(link, places[branch.start], places[branch.end], branch.ohm, branch.volts)
            for link, branch in zip(self.links, self.branches)
            if branch.ohm and branch.start in places
        )

    @cached_property
    def poles(self) -> Mapping[str, tuple[tuple[bool, _Way], ...]]:
        """The poles of each protective device, and of each whether it is a line's."""
        found: dict[str, list[tuple[bool, _Way]]] = {}
        for way in self.ways:
            if way.link.kind == "pole":
                found.setdefault(way.link.of, []).append((_is_line(way.link), way))
        return {device: tuple(ways) for device, ways in found.items()}

    @cached_property
    def assumed(self) -> Mapping[tuple[str, ...], tuple[_Way, ...]]:
        """The links that rest on assumed keys, by these keys: of the others nobody need ask whether
        they carry.
        """
        found: dict[tuple[str, ...], list[_Way]] = {}
        for way in self.ways:
            if way.link.evidence:
                found.setdefault(way.link.evidence, []).append(way)
        return {evidence: tuple(ways) for evidence, ways in found.items()}
