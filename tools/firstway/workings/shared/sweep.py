"""Workings: a fault at every place: what flows, what opens, what is touched meanwhile. Worked when
it is asked for.

The smallest current counts for what must open (conductors hot, lowest voltage, the source added as
a resistance), the largest for what must be broken and survived (conductors cold, highest voltage,
the source at right angles).
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property
from typing import Any, Literal

from firstway.calculations.impedances import volts_at
from firstway.calculations.nodal import Volts
from firstway.calculations.phasors import magnitude
from firstway.frozen import dataclass
from firstway.model.evidence import Kept, alone, note
from firstway.model.installation import Circuit as FileCircuit
from firstway.model.installation import Installation, ProspectiveFaultCurrent
from firstway.model.values import is_known
from firstway.tables import looking_up as tables
from firstway.tables.reading import Gap, Read, Row
from firstway.wiring.circuit import WiredCircuit
from firstway.wiring.faults import (
    LARGEST_OHM,
    PROTECTIVE_PARTS,
    SMALLEST_OHM,
    Flow,
    Network,
    SourceTaken,
    State,
    Through,
    highest,
)
from firstway.wiring.joined_groups import groups, only_conductors
from firstway.wiring.links import CUT_OUT, STAR
from firstway.wiring.places import FaultPlace, Places
from firstway.workings.shared.opening_times import Device, Opens, opens
from firstway.workings.shared.protective_devices import device_of

FaultKind = Literal["earth", "neutral", "line", "lines"]
# What of the graph a hand can reach: not the inside of a board.
TOUCHABLE = (
    "main-earthing-terminal",
    "earth-bar",
    "enclosure",
    "charging-point",
    "vehicle",
    "existing-board",
    "bonded-part",
    "electrode",
)
_ALIKE = 1e-6  # of a ratio: less apart is the same figure
LEFT = 0.05  # of the larger result: with less a resistance on the only way decides
HOT, COLD = State("hot", "resistance"), State("cold", "reactance")


@dataclass(frozen=True)
class Currents:
    """The currents of one fault; None where they are not known, then `missing` names what decides.

    `least` and `most` are the flows they were read from: two each where a resistance is not known.
    """

    least_a: float | None
    most_a: float | None
    least: tuple[Flow, ...]
    most: tuple[Flow, ...]
    missing: tuple[str, ...] = ()


@dataclass(frozen=True)
class Opening:
    """What opens in a fault. `device` "": nothing is sure to. `within_s` None with an `ask`: not
    known, and `missing` names what decides.

    `passed_over`: nearer devices that are not sure to open at this current.
    """

    device: str
    within_s: float | None
    by: str = ""
    ask: str = ""
    rows: tuple[Row, ...] = ()
    passed_over: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def nothing(self) -> bool:
        return not self.device and not self.ask


@dataclass(frozen=True)
class Touched:
    """The highest voltage to true earth of what a person can touch, in V, with its band, and which
    terminal it is.
    """

    at: str
    volts: float | None
    low: float | None = None
    high: float | None = None
    missing: tuple[str, ...] = ()


class Sweep(Kept):
    """Every fault of one installation; each figure is worked once, when somebody asks for it."""

    def __init__(self, installation: Installation, circuit: WiredCircuit) -> None:
        super().__init__()
        self.installation, self.circuit = installation, circuit
        self._networks: dict[State, tuple[Network, ...]] = {}

    # Devices and places

    @cached_property
    def protective(self) -> tuple[str, ...]:
        """The names of the protective devices, from the supply on."""
        return tuple(
            part.name for part in self.circuit.wiring.parts if part.kind in PROTECTIVE_PARTS
        )

    def device(self, name: str) -> Device | None:
        """A protective device by its name."""
        return self.kept(
            ("device", name), lambda: device_of(self.installation, self.circuit.wiring, name)
        )

    @cached_property
    def places(self) -> Places:
        return alone(lambda: Places(self.circuit))[0]

    @cached_property
    def every(self) -> tuple[FaultPlace, ...]:
        return alone(lambda: self.places.every)[0]

    def place(self, name: str) -> FaultPlace | None:
        """The place of a terminal, or of an end of a conductor (`feed.L1:start`)."""
        return self._by_name.get(name)

    @cached_property
    def _by_name(self) -> dict[str, FaultPlace]:
        # Alone: which rule asks first must not decide whose finding rests on the whole graph.
        return alone(lambda: self.places.by_name)[0]

    # Currents

    @cached_property
    def lowest(self) -> Read | Gap:
        """Factor on the nominal voltage for the smallest current."""
        return tables.voltage_factor("c_min")

    @cached_property
    def highest(self) -> Read | Gap:
        """Factor on the nominal voltage for the largest current."""
        return tables.voltage_factor("c_max")

    def currents(self, place: FaultPlace, kind: FaultKind) -> Currents | None:
        """The currents of a fault; None where there is nothing to touch."""
        return self.kept(("currents", place.id, kind), lambda: self._worked(place, kind))

    def _worked(self, place: FaultPlace, kind: FaultKind) -> Currents | None:
        if kind == "earth":
            self._read_ways_to_earth()
        nodes = joined_nodes(place, kind)
        if len(nodes) < 2:
            return None
        if self.floats(place, nodes):
            return Currents(0.0, 0.0, (), ())
        times, above = self._between_lines(kind)
        least, most = (self.flows(replace(state, line_times=times), nodes) for state in (HOT, COLD))
        if not least or not most:
            return None
        if isinstance(self.lowest, Gap) or isinstance(self.highest, Gap):
            return Currents(None, None, least, most, ("table voltage_factor",))
        low, high = self.lowest.value * above, self.highest.value * above
        known = bounded([flow.ampere for flow in least])
        return Currents(
            low * min(flow.ampere for flow in least) if known else None,
            high * max(flow.ampere for flow in most) if known else None,
            least,
            most,
            () if known else self._missing(least[0]),
        )

    def _read_ways_to_earth(self) -> None:
        """Read what decides which ways back to the source there are: one that is not joined carries
        nothing, and no link tells that it is not.
        """
        for electrode in self.installation.electrodes:
            electrode.use
        feed = self.installation.feed
        if is_known(feed) and is_known(feed.cable):
            feed.cable.protective, feed.cable.construction, feed.cable.armour_earthed

    def _between_lines(self, kind: FaultKind) -> tuple[float, float]:
        """For a fault between lines: by how much the stated current changes the impedance of a
        line, and the stated voltage the source.

        Half of the loop of line and neutral is the line only where the file states no current
        between lines.
        """
        supply = self.installation.supply
        if kind not in ("line", "lines") or not is_known(supply.line_to_line_v):
            return 1.0, 1.0
        between, phase = float(supply.line_to_line_v), float(supply.line_to_earth_v)
        own = between / (2.0 if supply.phases == 1 else 3**0.5)
        given, half = supply.prospective_fault_current_ka, self._line_ohm
        stated = self._line_as_stated(given, kind, between) if is_known(given) else None
        return (stated / half if stated and half else 1.0), own / phase

    def _line_as_stated(
        self, given: ProspectiveFaultCurrent, kind: FaultKind, between_v: float
    ) -> float | None:
        """Ohm of one line of the supply: by the current of the same fault, else of the other one
        between lines.
        """
        by = {"line": (given.line_line, 2.0), "lines": (given.three_phase, 3**0.5)}
        for current, times in (by[kind], *by.values()):
            if is_known(current):
                return between_v / (times * float(current) * 1000)
        return None

    @cached_property
    def _line_ohm(self) -> float | None:
        return alone(
            lambda: next(
                (link.ohm for link in self.circuit.links if link.kind == "supply" and link.volts),
                None,
            )
        )[0]

    def floats(self, place: FaultPlace, nodes: tuple[str, ...]) -> bool:
        """Whether the line is live and what it touches is joined to nothing: no current comes of
        it, and nothing opens.
        """
        held = alone(lambda: self.networks(HOT)[0].impedances.places)[0]
        return place.line in held and any(node not in held for node in nodes)

    def flows(self, state: State, nodes: tuple[str, ...]) -> tuple[Flow, ...]:
        """The fault in each network of a state; () where one of them drives none. It rests on the
        links that carry it.
        """
        if len(nodes) < 2:
            return ()
        return self.kept(("flows", state, nodes), lambda: self._flows(state, nodes))

    def _flows(self, state: State, nodes: tuple[str, ...]) -> tuple[Flow, ...]:
        flows = alone(lambda: self._in_each(state, nodes))[0]
        note(*self._rests_on(flows))
        return flows

    def _in_each(self, state: State, nodes: tuple[str, ...]) -> tuple[Flow, ...]:
        found = [network.flow(nodes) for network in self.networks(state)]
        flows = tuple(flow for flow in found if flow is not None)
        return flows if len(flows) == len(found) else ()

    def networks(self, state: State) -> tuple[Network, ...]:
        """The network in a state; two where a resistance is not known, very small and
        very large.
        """
        if state not in self._networks:
            self._networks[state] = alone(lambda: self._in_state(state))[0]
        return self._networks[state]

    def _in_state(self, state: State) -> tuple[Network, ...]:
        one = Network(self.circuit, state)
        ohm = (lambda link: link.hot_ohm) if state.temperature == "hot" else (lambda link: link.ohm)
        whole = all(ohm(link) is not None for link in one.links)
        return (
            (one,)
            if whole
            else tuple(
                Network(self.circuit, state, unknown) for unknown in (SMALLEST_OHM, LARGEST_OHM)
            )
        )

    def _missing(self, flow: Flow) -> tuple[str, ...]:
        """What decides: the resistances on the way that are not known."""
        unknown = [link for link in flow.carrying if link.hot_ohm is None]
        return tuple(dict.fromkeys(path for link in unknown for path in link.missing or (link.id,)))

    def _rests_on(self, flows: Iterable[Flow]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(path for flow in flows for path in flow.assumed))

    @property
    def stated_times(self) -> float:
        """How many times the worked impedance of the source a stated prospective current leaves: 1
        where it asks for none less.
        """
        return self.kept("stated times", self._stated_times)

    def _stated_times(self) -> float:
        supply, place = (
            self.installation.supply,
            self.place(f"origin.{next(iter(self._lines), '')}"),
        )
        if place is None:
            return 1.0
        given = supply.prospective_fault_current_ka
        stated: list[tuple[FaultKind, float]] = []
        if is_known(given):
            kinds: tuple[tuple[FaultKind, Any], ...] = (
                ("neutral", given.line_neutral),
                ("earth", given.line_earth),
                ("line", given.line_line),
                ("lines", given.three_phase),
            )
            stated = [(kind, float(ka) * 1000) for kind, ka in kinds if is_known(ka)]
        if supply.system != "TT" and is_known(supply.ze_ohm) and float(supply.ze_ohm):
            # a loop to earth stated smaller than the line alone that the loop to neutral leaves
            stated.append(("earth", float(supply.line_to_earth_v) / float(supply.ze_ohm)))
        ratios = [
            flow.ampere / ampere
            for kind, ampere in stated
            for flow in self.flows(COLD, joined_nodes(place, kind))
        ]
        least = min(ratios, default=1.0)
        return least if least < 1.0 - _ALIKE else 1.0

    @cached_property
    def _lines(self) -> tuple[str, ...]:
        return tuple(
            link.end.rpartition(".")[2]
            for link in self.circuit.links
            if link.kind == "supply" and link.volts
        )

    # What opens

    def opening(self, place: FaultPlace, kind: FaultKind = "earth") -> Opening | None:
        """The nearest device that is sure to open within the limit; else the quickest that is sure
        to open at all.
        """
        return self.kept(("opening", place.id, kind), lambda: self._opening(place, kind))

    def opening_by(self, place: FaultPlace, kind: FaultKind, device: str) -> Opening | None:
        """Whether one of the devices ahead is sure to open, whatever the others do."""
        alone_ahead = replace(place, ahead=(device,))
        return self.kept(
            ("opening by", place.id, kind, device), lambda: self._opening(alone_ahead, kind)
        )

    def _opening(self, place: FaultPlace, kind: FaultKind) -> Opening | None:
        currents = self.currents(place, kind)
        if currents is None:
            return None
        factor = self.lowest
        limit = self.limit(place)
        within = limit.value if isinstance(limit, Read) else 0.0
        if isinstance(factor, Gap):
            return Opening("", None, ask="the voltage factor", missing=("table voltage_factor",))
        found = [
            self._first(
                place, [scaled(each, factor.value) for each in flow.through(place.ahead)], within
            )
            for flow in currents.least
        ]
        if not found:
            return Opening("", None, passed_over=place.ahead)
        one = found[0]
        if any(
            (each.device, each.within_s, each.ask) != (one.device, one.within_s, one.ask)
            for each in found
        ):
            if len({each.device for each in found}) == 1 and all(
                each.within_s is not None and not each.ask for each in found
            ):
                # Whatever is not known, the same device opens: the slowest counts.
                return max(found, key=lambda each: each.within_s or 0.0)
            missing = currents.missing or tuple(
                dict.fromkeys(path for flow in currents.least for path in self._missing(flow))
            )
            return Opening(
                "",
                None,
                ask=f"what the fault current depends on: {', '.join(missing)}",
                missing=missing,
            )
        return one

    def _first(self, place: FaultPlace, carried: Iterable[Through], within_s: float) -> Opening:
        said: list[tuple[str, Opens]] = []
        for through in carried:
            device = self.device(through.device)
            said.append(
                (
                    through.device,
                    (
                        opens(device, through.line_a, through.residual_a)
                        if device is not None
                        else Opens(None, ask=f"what {through.device} is")
                    ),
                )
            )
        sure = [(name, found) for name, found in said if found.within_s is not None]
        chosen = next(
            (each for each in sure if (each[1].within_s or 0.0) <= within_s),
            min(sure, key=lambda each: each[1].within_s or 0.0, default=None),
        )
        asked = [(name, found.ask) for name, found in said if found.ask]
        if chosen is not None and (not asked or (chosen[1].within_s or 0.0) <= within_s):
            name, found = chosen
            nearer = said[: [each for each, _ in said].index(name)]
            return Opening(
                name, found.within_s, found.by, "", found.rows, tuple(each for each, _ in nearer)
            )
        if asked:
            name, ask = asked[0]
            device = self.device(name)
            return Opening("", None, ask=ask, missing=(device.path if device else name,))
        return Opening("", None, passed_over=tuple(name for name, _ in said))

    def limit(self, place: FaultPlace) -> Read | Gap:
        """Longest time by the wording of the rules, in s: of the final circuit the place is on,
        else of a distribution circuit.
        """
        circuit = self.final_circuit(place)
        own_earth = self._on_earth_of_board(place)
        key = ("limit", own_earth, "" if circuit is None else circuit.name)
        return self.kept(key, lambda: self._limit(circuit, own_earth))

    def _on_earth_of_board(self, place: FaultPlace) -> bool:
        """Whether what is touched is joined to the electrode a detached board stands on."""
        own = self.installation.electrode_of_board
        if own is None:
            return False
        metal = self.kept("metal", lambda: groups(self.circuit, keep=only_conductors))
        return metal.get(place.earth, "") == metal.get(f"{own.name}.PE")

    def _limit(self, circuit: FileCircuit | None, own_earth: bool) -> Read | Gap:
        installation = self.installation
        supply = installation.supply
        system = "TT" if own_earth else str(supply.system)
        if circuit is None:
            return tables.disconnection_time_s(
                installation.rules,
                system,
                "distribution",
                False,
                0.0,
                float(supply.line_to_earth_v),
            )
        points = installation.points_of(circuit)
        own = [
            installation.electrode(str(point.earthed_by))
            for point in points
            if is_known(point.earthed_by)
        ]
        socket = any(
            point.outlet in ("socket", "receptacle") and point.hard_wired is not True
            for point in points
        )
        way = installation.way_feeding(circuit.name)
        if not is_known(way.rating_a):
            return Gap("disconnection_time", f"the rating of {way.name}")
        return tables.disconnection_time_s(
            installation.rules,
            "TT" if any(own) else system,
            "final",
            socket,
            float(way.rating_a),
            float(supply.line_to_earth_v),
        )

    def final_circuit(self, place: FaultPlace) -> FileCircuit | None:
        """The final circuit a place is on: that of the nearest device that feeds one."""
        fed = {
            way.name: str(way.feeds) for way in self.installation.board.ways if is_known(way.feeds)
        }
        name = next((fed[device] for device in place.ahead if device in fed), None)
        return None if name is None else self.installation.circuit(name)

    # What is touched

    def touched(self, place: FaultPlace) -> Touched | None:
        """While a fault to earth lasts. The band: other shares of PEN, the source at right angles,
        conductors cold.
        """
        nodes = joined_nodes(place, "earth")
        if len(nodes) < 2:
            return None
        return self._touched(place, nodes)

    def _touched(self, place: FaultPlace, nodes: tuple[str, ...]) -> Touched | None:
        if self.floats(place, nodes):
            whole = magnitude(self._rest(place.line))
            return Touched(place.earth, whole, whole, whole)
        flows = self.flows(HOT, nodes)
        if not flows:
            return None
        rises = [
            rise
            for flow in flows
            if (rise := flow.to_true_earth(self.touchable(place))) is not None
        ]
        if len(rises) < len(flows):
            return Touched(place.earth, None, missing=("true earth",))
        if not bounded([volts for _, volts in rises]):
            return Touched(rises[0][0], None, missing=self._missing(flows[0]))
        band = [
            rise[1]
            for state in self._band_states
            for flow in self.flows(state, nodes)
            if (rise := flow.to_true_earth(self.touchable(place))) is not None
        ]
        node, volts = highest(rises)
        return Touched(node, volts, min([volts, *band]), max([volts, *band]))

    def _rest(self, node: str) -> Volts:
        """Volts of a node against the source's star point before any fault."""
        network = self.networks(HOT)[0]
        return alone(lambda: volts_at(network.impedances, network.before, node))[0]

    @cached_property
    def _band_states(self) -> tuple[State, ...]:
        combined = any(link.start == STAR and link.end == CUT_OUT for link in self.circuit.links)
        shares: tuple[float | None, ...] = (None,)
        if combined:
            shares = tuple(
                read.value
                for which in ("pen-share-low", "pen-share-high")
                if isinstance(read := tables.open_pen(which), Read)
            )
        sources: tuple[SourceTaken, ...] = ("resistance", "reactance")
        return tuple(State("hot", source, share) for share in shares for source in sources)

    def touchable(self, place: FaultPlace) -> tuple[str, ...]:
        """Metal in reach of a hand, that of the place first where it is."""
        return (place.earth, *self._metal) if place.earth in self._metal else self._metal

    @cached_property
    def _metal(self) -> tuple[str, ...]:
        wiring = self.circuit.wiring
        kinds = {part.name: part.kind for part in wiring.parts}
        return tuple(
            terminal.id
            for terminal in wiring.terminals
            if terminal.function == "PE"
            and ".parked." not in terminal.id
            and kinds.get(terminal.device) in TOUCHABLE
        )


def joined_nodes(place: FaultPlace, kind: FaultKind) -> tuple[str, ...]:
    """What a fault joins: two places, or all lines."""
    if kind == "lines":
        return (place.line, *place.lines) if len(place.lines) > 1 else ()
    other = {"earth": place.earth, "neutral": place.neutral, "line": next(iter(place.lines), "")}[
        kind
    ]
    return (place.line, other) if other else ()


def scaled(through: Through, factor: float) -> Through:
    return Through(through.device, factor * through.line_a, factor * through.residual_a)


def bounded(values: list[float]) -> bool:
    """Whether the result is within bounds worth telling, whatever is not known.

    What is not known was taken very small and very large. A way beside others moves the result by a
    share, and the severe end is told; on the only way there is nothing of it is left.
    """
    return min(values) >= LEFT * max(values)
