"""Wiring: the graph as an electrical circuit: links with resistance, and a state that says which of
them are closed.

Resistances are those at 20 C, and beside them those at the operating limit of the conductor. A
conductor whose length or size is not known has an unknown resistance (None), which is never taken
for zero. None by definition have bars and the short wires between the devices of one board: the
trade's loop, Zs = Ze + R1 + R2, counts the cables alone, and so do the tables of largest loops made
for it; a wire of 6 mm2 and 0.3 m would add 0.001 ohm.
"""

from collections.abc import Sequence
from functools import partial

from firstway.calculations.cable import RESISTANCE_AT_TEMPERATURE
from firstway.calculations.nec import RESISTANCE_20C
from firstway.calculations.phasors import line_phasor
from firstway.frozen import dataclass
from firstway.model.evidence import alone, resting
from firstway.model.installation import ChargingPoint, Installation, ServiceDevice, Way
from firstway.model.lines import lines_of
from firstway.model.values import Absent, is_known
from firstway.tables.looking_up import (
    armour_resistance_20c_ohm_per_km,
    resistance_20c_ohm_per_km,
    temperature_coefficient_per_k,
)
from firstway.tables.looking_up_nec import resistance_75c_ohm_per_km
from firstway.tables.reading import Gap, Read
from firstway.wiring.downstream import outlet
from firstway.wiring.graph import VEHICLE_LEAD, Conductor, Part, Wiring
from firstway.wiring.links import Link
from firstway.wiring.metal import cable_and_route
from firstway.wiring.source import electrode_links, supply_links
from firstway.wiring.upstream import device_at

SOURCES = ("origin", "second-supply", "other-board")
"""Parts that supply: the origin, and what a change of the wiring may bring in."""
OPEN_PEN = "open-pen"
"""Ends the name of the pole by which a charging point opens its own protective conductor."""
SOLID_OR_STRANDED, FLEXIBLE = "1 and 2", "5"
"""Classes of conductors by IEC 60228: 1 solid and 2 stranded, 5 flexible."""
_ENDS = ("start", "end")  # of a link that something assumed joins
SWITCHED_PARTS = (
    "main-switch",
    "rcbo",
    "rcd",
    "circuit-breaker",
    "fuse",
    "contactor",
    "switch-fuse",
    "isolator",
    "existing-way",
)
"""Kinds of parts whose poles open and close."""


@dataclass(frozen=True)
class States:
    """What is open, taken off, plugged in or lost. The default: everything closed, no vehicle.

    `open`: devices that are off, `origin` when the supply is isolated there, another source by its
    name when that is isolated, `POINT.open-pen` when that device has acted; a point's name when its
    contactor is open. `off`: conductors taken off,
    or lost (`supply.PEN`, `supply.N`, `supply.PE`). `out`: parts taken out for a test: a surge
    protective device's cartridge, a point's electronics. `charging` and `feeding`: points whose
    vehicle takes or gives. `bridges`: test links between two terminals. `loaded`: the other load of
    the premises runs, in ampere by line.
    """

    open: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()
    out: frozenset[str] = frozenset()
    worn: frozenset[str] = frozenset()
    charging: frozenset[str] = frozenset()
    feeding: frozenset[str] = frozenset()
    bridges: tuple[tuple[str, str], ...] = ()
    loaded: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class WiredCircuit:
    """Every link of an installation, open or closed, and the wiring they were made from."""

    links: tuple[Link, ...]
    wiring: Wiring
    installation: Installation

    def closed(self, states: States, surge: bool = False) -> tuple[Link, ...]:
        """The links a current can take in this state; surge elements only where asked for (they
        conduct at high voltage only).
        """
        found = [
            link
            for link in self.links
            if _is_closed(link, states) and (surge or link.kind not in ("surge", "gap"))
        ]
        found += [
            Link(f"bridge.{place}", one, other, 0.0, "conductor", "bridge")
            for place, (one, other) in enumerate(states.bridges, 1)
        ]
        for line, ampere in states.loaded:
            if ampere > 0:
                found.append(
                    Link(
                        f"premises.{line}",
                        f"origin.{line}",
                        "origin.N",
                        self.installation.supply.line_to_earth_v / ampere,
                        "load",
                        "premises",
                    )
                )
        return tuple(found)


def _is_closed(link: Link, states: States) -> bool:
    if link.opened_by and link.opened_by in states.open or link.id in states.off:
        return False
    if link.kind in ("surge", "gap"):
        return link.of not in states.out and link.of not in states.worn
    if link.kind == "electronics":
        return link.of not in states.out
    if link.kind == "load":
        return link.of in (states.feeding if link.volts else states.charging)
    return True


def circuit_of(installation: Installation, wiring: Wiring) -> WiredCircuit:
    """The circuit of a complete installation; sizes and lengths are those of the wiring, not of the
    file.

    What is read here is in the evidence of the links, not in the caller's.
    """
    makers = (_conductors, _poles, _surge, _points, supply_links, electrode_links)
    return WiredCircuit(
        tuple(link for make in makers for link in alone(partial(make, installation, wiring))[0]),
        wiring,
        installation,
    )


# Conductors


def conductor_ohm(installation: Installation, conductor: Conductor) -> float | None:
    """Resistance at 20 C, its joint included; None where length, size or table fails, or where it
    may not be there.

    A bar, and what is counted elsewhere or not at all (`counted_in`), adds its joint only.
    """
    if conductor.doubt:
        return None
    if _adds_nothing(conductor):
        return conductor.contact_ohm
    if conductor.length_m is None:
        return None
    each = _ohm_per_km(installation, conductor)
    return None if each is None else each * conductor.length_m / 1000 + conductor.contact_ohm


def _adds_nothing(conductor: Conductor) -> bool:
    """A bar, but for the line lead of a surge protective device, whose length and size the file
    states.
    """
    is_bar = conductor.kind == "bar" and (conductor.length_m is None or not conductor.size)
    return is_bar or bool(conductor.counted_in)


def _ohm_per_km(installation: Installation, conductor: Conductor) -> float | None:
    if conductor.kind == "armour":
        cable = cable_and_route(installation, conductor.cable)[0]
        if isinstance(cable, Absent) or not is_known(cable.cores) or not is_known(cable.csa_mm2):
            return None
        return _value(armour_resistance_20c_ohm_per_km(int(cable.cores), float(cable.csa_mm2)))
    if conductor.csa_mm2 is not None:
        strands = FLEXIBLE if conductor.id.startswith(VEHICLE_LEAD) else SOLID_OR_STRANDED
        return _value(resistance_20c_ohm_per_km(conductor.csa_mm2, strands))
    if conductor.size.endswith(" AWG"):
        hot, alpha = (
            _value(resistance_75c_ohm_per_km(conductor.size.removesuffix(" AWG"))),
            _value(temperature_coefficient_per_k(awg=True)),
        )
        return (
            None
            if hot is None or alpha is None
            else RESISTANCE_20C.value({"r_75": hot, "alpha": alpha})
        )
    return None


def warms(conductor: Conductor) -> float | None:
    """How many times its resistance at 20 C a conductor has at its operating limit; None where that
    is not known.

    The coefficient is the trade's 0.004 (armour too: its true figure is higher, its temperature
    lower), or copper's own where sizes in AWG are read at 75 C.
    """
    if conductor.operating_c is None:
        return None
    alpha = _value(temperature_coefficient_per_k(awg=conductor.size.endswith(" AWG")))
    return (
        None
        if alpha is None
        else RESISTANCE_AT_TEMPERATURE.value(
            {"R_20": 1.0, "alpha": alpha, "t": conductor.operating_c}
        )
    )


def _value(found: Read | Gap) -> float | None:
    return None if isinstance(found, Gap) else found.value


def _conductors(installation: Installation, wiring: Wiring) -> list[Link]:
    return [_of_conductor(installation, each) for each in wiring.conductors]


def _of_conductor(installation: Installation, conductor: Conductor) -> Link:
    ohm = conductor_ohm(installation, conductor)
    # The supply is isolated between the tails and the origin.
    at_origin = conductor.end.startswith("origin.") and conductor.function != "PE"
    still = _adds_nothing(conductor)
    link = Link(
        conductor.id,
        conductor.start,
        conductor.end,
        ohm,
        "conductor",
        conductor.cable or conductor.id,
        "origin" if at_origin else "",
        warms=1.0 if still else warms(conductor),
        evidence=conductor.joined_by if still else conductor.evidence,
        missing=(*conductor.doubt, *conductor.missing) if ohm is None else (),
    )
    return resting(link, "ohm", "warms", "missing", *(_ENDS if conductor.joined_by else ()))


# Devices


def _switched_neutral(installation: Installation, part: Part) -> bool:
    """Whether a device opens its neutral; one that does not say opens it only if it is a main
    switch with a neutral pole.
    """
    if part.kind == "main-switch":
        return True  # the wiring gives it a neutral pole only where the file counts one
    if part.place == "beyond":
        return _switched_ahead(installation, part)
    way = installation.way(part.name)
    lines = _protected_lines(installation, way)
    return is_known(way.switched_poles) and way.switched_poles > lines


def _switched_ahead(installation: Installation, part: Part) -> bool:
    """Common practice: an isolator and a residual current device open all poles; a fuse or breaker
    only those it counts.
    """
    if part.kind in ("isolator", "rcd"):
        return True
    device = device_at(installation, part)
    return (
        isinstance(device, ServiceDevice)
        and is_known(device.poles)
        and device.poles > len(lines_of(installation))
    )


def _protected_lines(installation: Installation, way: Way) -> int:
    if is_known(way.feeds):
        return len(installation.circuit(str(way.feeds)).lines)
    return int(way.protected_poles) if is_known(way.protected_poles) else 1


def _poles(installation: Installation, wiring: Wiring) -> list[Link]:
    found = []
    for part in wiring.parts:
        if part.kind not in SWITCHED_PARTS:
            continue
        for terminal in wiring.terminals_of(part.name):
            load = f"{part.name}.load.{terminal.function}"
            if (
                terminal.id != f"{part.name}.supply.{terminal.function}"
                or wiring.terminal(load) is None
            ):
                continue
            opens, evidence = alone(
                lambda: terminal.function != "N" or _switched_neutral(installation, part)
            )
            there = tuple(
                path
                for conductor in wiring.conductors_at(terminal.id)
                for path in conductor.joined_by
            )
            found.append(
                resting(
                    Link(
                        f"pole.{part.name}.{terminal.function}",
                        terminal.id,
                        load,
                        0.0,
                        "pole",
                        part.name,
                        part.name if opens else "",
                        evidence=tuple(dict.fromkeys((*there, *evidence))),
                    ),
                    "opened_by",
                    *_ENDS,
                )
            )
    return found


def _surge(installation: Installation, wiring: Wiring) -> list[Link]:
    """CT1: an element from each live conductor to earth.

    CT2: from each line to neutral, a spark gap from neutral to earth.
    """
    found = []
    for way in installation.board.ways:
        if way.device != "spd" or way.state == "worn" or wiring.part(way.name) is None:
            continue
        v_1ma = float(way.voltage_at_1_ma_v) if is_known(way.voltage_at_1_ma_v) else None
        lines = [
            terminal.id
            for terminal in wiring.terminals_of(way.name)
            if terminal.function.startswith("L")
        ]
        neutral, earth = f"{way.name}.N", f"{way.name}.PE"
        if way.connection == "CT2":
            found += [
                Link(f"surge.{line}", line, neutral, None, "surge", way.name, v_1ma=v_1ma)
                for line in lines
            ]
            found.append(Link(f"surge.{neutral}", neutral, earth, None, "gap", way.name))
        else:
            # "lines-neutral-earth" (nec) has elements between lines too; to earth it acts as CT1.
            found += [
                Link(f"surge.{live}", live, earth, None, "surge", way.name, v_1ma=v_1ma)
                for live in (*lines, neutral)
            ]
    return found


def _points(installation: Installation, wiring: Wiring) -> list[Link]:
    """Contactor of every live pole, the open-PEN device in the protective conductor, electronics,
    and the vehicle behind.
    """
    found = []
    for point in installation.charging_points:
        names = {
            terminal.function
            for terminal in wiring.terminals_of(point.name)
            if terminal.id == f"{point.name}.{terminal.function}"
        }
        live = sorted(names - {"PE"})
        found += [
            Link(
                f"contactor.{point.name}.{name}",
                f"{point.name}.{name}",
                outlet(point.name, name),
                0.0,
                "pole",
                point.name,
                point.name,
            )
            for name in live
        ]
        if "PE" in names:
            opens = f"{point.name}.{OPEN_PEN}" if opens_protective(point) else ""
            found.append(
                Link(
                    f"open-pen.{point.name}.PE",
                    f"{point.name}.PE",
                    outlet(point.name, "PE"),
                    0.0,
                    "pole",
                    point.name,
                    opens,
                )
            )
        found += [
            Link(
                f"electronics.{point.name}.{name}",
                f"{point.name}.{name}",
                f"{point.name}.PE",
                None,
                "electronics",
                point.name,
            )
            for name in live
            if "PE" in names
        ]
        found += _vehicle(installation, point, live)
    return found


def opens_protective(point: ChargingPoint) -> bool:
    """Whether the point has an open-PEN device that opens the protective conductor."""
    return (
        is_known(point.open_pen)
        and point.open_pen.measure == "device"
        and point.open_pen.opens_protective_conductor is True
    )


def may_feed(point: ChargingPoint) -> bool:
    """A vehicle counts as a source unless its point is known not to feed back."""
    return point.bidirectional is not False


def _vehicle(installation: Installation, point: ChargingPoint, live: Sequence[str]) -> list[Link]:
    """The vehicle as a resistance between line and neutral (or between lines), and as a source
    where it may feed back.
    """
    lines = [name for name in live if name.startswith("L")]
    given = point.current_a if is_known(point.current_a) else point.power_kw
    if not is_known(given):
        return []
    pairs = (
        [(line, "N") for line in lines]
        if "N" in live
        else [(lines[0], lines[-1])]
        if len(lines) > 1
        else []
    )
    volts = float(installation.supply.line_to_earth_v)
    if "N" not in live:
        volts = (
            float(installation.supply.line_to_line_v)
            if is_known(installation.supply.line_to_line_v)
            else volts
        )
    ampere = (
        float(given)
        if is_known(point.current_a)
        else float(given) * 1000 / (volts * max(1, len(pairs)))
    )
    found = []
    for place, (one, other) in enumerate(pairs):
        ends = outlet(point.name, one), outlet(point.name, other)
        found.append(Link(f"vehicle.{point.name}.{one}", *ends, volts / ampere, "load", point.name))
        if may_feed(point):
            found.append(
                Link(
                    f"vehicle-source.{point.name}.{one}",
                    ends[1],
                    ends[0],
                    volts / ampere / 20,
                    "load",
                    point.name,
                    volts=line_phasor(volts, place, 3),
                )
            )
    return found
