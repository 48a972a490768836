"""Wiring: the graph as an electrical circuit: links with resistance, and a state that says which of them are closed.

Resistances are those at 20 C, and beside them those at the operating limit of the conductor. A conductor
whose length or size is not known has an unknown resistance (None), which is never taken for zero. None by definition
have bars and the short wires between the devices of one board: the trade's loop, Zs = Ze + R1 + R2, counts the cables
alone, and so do the tables of largest loops made for it; a wire of 6 mm2 and 0.3 m would add 0.001 ohm.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import Literal

from firstway.calculations.cable import RESISTANCE_AT_TEMPERATURE
from firstway.calculations.earthing import ROD_RESISTANCE, SEVERAL_RODS
from firstway.calculations.nec import RESISTANCE_20C
from firstway.model.evidence import alone, resting
from firstway.model.installation import ChargingPoint, Electrode, Installation, Way
from firstway.model.values import is_known
from firstway.tables.found import Gap, Read, read_one
from firstway.tables.looking_up import armour_resistance_20c_ohm_per_km, resistance_20c_ohm_per_km, temperature_coefficient_per_k
from firstway.tables.looking_up_nec import resistance_75c_ohm_per_km
from firstway.wiring.graph import Conductor, Part, Wiring

Kind = Literal["conductor", "pole", "surge", "gap", "supply", "earth", "load", "electronics"]
TRUE_EARTH = "true-earth"
STAR = "supply.star"
CUT_OUT = "supply.cut-out"
SOURCES = ("origin", "second-supply", "other-board")
OPEN_PEN = "open-pen"
SWITCHED_PARTS = ("main-switch", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor")


@dataclass(frozen=True)
class Link:
    """One way a current can take. `ohm` (at 20 C) None: joined, resistance not known.

    `warms` is how many times that it has at its operating limit, None where that is not known; what does not warm with
    its load (a pole, the supply, soil) keeps 1. `evidence`: assumed paths of the file it rests on; `missing`: paths to
    be found out where the resistance is not known.

    `opened_by` names what opens it: a device, `origin`, `POINT.open-pen`; a point's own name opens its contactor.
    `volts` is the force in it, in V. For a surge element `v_1ma` is its voltage at 1 mA, None when not stated.
    """

    id: str
    start: str
    end: str
    ohm: float | None
    kind: Kind
    of: str
    opened_by: str = ""
    volts: complex = 0j
    v_1ma: float | None = None
    warms: float | None = 1.0
    evidence: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()

    @property
    def hot_ohm(self) -> float | None:
        """Resistance at the operating limit, in ohm; None where it or the limit is not known."""
        return None if self.ohm is None or self.warms is None else self.ohm * self.warms


@dataclass(frozen=True)
class States:
    """What is open, taken off, plugged in or lost. The default: everything closed, no vehicle.

    `open`: devices that are off, `origin` when the supply is isolated there, `POINT.open-pen` when that device has acted;
    a point's name when its contactor is open. `off`: conductors taken off, or lost (`supply.PEN`, `supply.N`, `supply.PE`).
    `out`: parts taken out for a test: a surge protective device's cartridge, a point's electronics. `charging` and
    `feeding`: points whose vehicle takes or gives. `bridges`: test links between two terminals. `loaded`: the other
    load of the premises runs, in ampere by line.
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
class Circuit:
    """Every link of an installation, open or closed, and the wiring they were made from."""

    links: tuple[Link, ...]
    wiring: Wiring
    installation: Installation

    def closed(self, states: States, surge: bool = False) -> tuple[Link, ...]:
        """The links a current can take in this state; surge elements only where asked for (they conduct at high voltage only)."""
        found = [link for link in self.links if _is_closed(link, states) and (surge or link.kind not in ("surge", "gap"))]
        found += [Link(f"bridge.{place}", one, other, 0.0, "conductor", "bridge") for place, (one, other) in enumerate(states.bridges, 1)]
        for line, ampere in states.loaded:
            if ampere > 0:
                found.append(Link(f"premises.{line}", f"origin.{line}", "origin.N", self.installation.supply.line_to_earth_v / ampere,  # type: ignore[operator]
                                  "load", "premises"))
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


def circuit_of(installation: Installation, wiring: Wiring) -> Circuit:
    """The circuit of a complete installation; sizes and lengths are those of the wiring, not of the file."""
    links = [*_conductors(installation, wiring), *_poles(installation, wiring), *_surge(installation, wiring), *_points(installation, wiring),
             *_supply(installation, wiring), *_electrodes(installation, wiring)]
    return Circuit(tuple(links), wiring, installation)


# Conductors

def conductor_ohm(installation: Installation, conductor: Conductor) -> float | None:
    """Resistance at 20 C, its joint included; None where length, size or table fails.

    A bar, and what is counted elsewhere or not at all (`counted_in`), adds its joint only.
    """
    if conductor.kind == "bar" or conductor.counted_in:
        return conductor.contact_ohm
    if conductor.length_m is None:
        return None
    each = _ohm_per_km(installation, conductor)
    return None if each is None else each * conductor.length_m / 1000 + conductor.contact_ohm


def _ohm_per_km(installation: Installation, conductor: Conductor) -> float | None:
    circuit = next((each for each in installation.circuits if each.name == conductor.cable), None)
    if conductor.kind == "armour":
        cable = circuit.cable if circuit else None
        if cable is None or not is_known(cable.cores) or not is_known(cable.csa_mm2):
            return None
        return _value(armour_resistance_20c_ohm_per_km(int(cable.cores), float(cable.csa_mm2)))  # type: ignore[arg-type]
    if conductor.csa_mm2 is not None:
        return _value(resistance_20c_ohm_per_km(conductor.csa_mm2))
    if conductor.size.endswith(" AWG"):
        hot, alpha = _value(resistance_75c_ohm_per_km(conductor.size.removesuffix(" AWG"))), _value(temperature_coefficient_per_k("copper"))
        return None if hot is None or alpha is None else RESISTANCE_20C.value({"r_75": hot, "alpha": alpha})
    return None


def warms(conductor: Conductor) -> float | None:
    """How many times its resistance at 20 C a conductor has at its operating limit; None where that is not known.

    The coefficient is the trade's 0.004 (armour too: its true figure is higher, its temperature lower), or copper's own
    where sizes in AWG are read at 75 C.
    """
    if conductor.operating_c is None:
        return None
    alpha = _value(temperature_coefficient_per_k("copper" if conductor.size.endswith(" AWG") else "trade"))
    return None if alpha is None else RESISTANCE_AT_TEMPERATURE.value({"R_20": 1.0, "alpha": alpha, "t": conductor.operating_c})


def _value(found: Read | Gap) -> float | None:
    return None if isinstance(found, Gap) else found.value


def _conductors(installation: Installation, wiring: Wiring) -> list[Link]:
    found = [_of_conductor(installation, each) for each in wiring.conductors]
    for circuit in installation.circuits:
        # The gland of the far end joins the armour to the metal of the point.
        if is_known(circuit.cable.armour_earthed) and circuit.cable.armour_earthed in ("far-end", "both-ends"):
            for point in installation.points_of(circuit)[:1]:
                if wiring.terminal(f"{point.name}.armour") and wiring.terminal(f"{point.name}.PE"):
                    found.append(Link(f"{point.name}.gland", f"{point.name}.armour", f"{point.name}.PE", 0.0, "conductor", circuit.name))
    return found


def _of_conductor(installation: Installation, conductor: Conductor) -> Link:
    ohm, evidence = alone(lambda: conductor_ohm(installation, conductor))
    return resting(Link(conductor.id, conductor.start, conductor.end, ohm, "conductor", conductor.cable or conductor.id,
                        warms=1.0 if conductor.kind == "bar" or conductor.counted_in else warms(conductor), evidence=evidence,
                        missing=conductor.missing if ohm is None else ()))


# Devices

def switched_neutral(installation: Installation, part: Part) -> bool:
    """Whether a device opens its neutral; one that does not say opens it only if it is a main switch with a neutral pole."""
    if part.kind == "main-switch":
        return True  # the wiring gives it a neutral pole only where the file counts one
    way = installation.way(part.name)
    if way.device in ("circuit-breaker", "fuse"):
        return False
    lines = _protected_lines(installation, way)
    return is_known(way.switched_poles) and way.switched_poles > lines


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
            if terminal.id != f"{part.name}.supply.{terminal.function}" or wiring.terminal(load) is None:
                continue
            opens = terminal.function != "N" or switched_neutral(installation, part)
            found.append(Link(f"pole.{part.name}.{terminal.function}", terminal.id, load, 0.0, "pole", part.name, part.name if opens else ""))
    return found


def _surge(installation: Installation, wiring: Wiring) -> list[Link]:
    """CT1: an element from each live conductor to earth. CT2: from each line to neutral, a spark gap from neutral to earth."""
    found = []
    for way in installation.board.ways:
        if way.device != "spd" or way.state == "worn" or wiring.part(way.name) is None:
            continue
        v_1ma = float(way.voltage_at_1_ma_v) if is_known(way.voltage_at_1_ma_v) else None
        lines = [terminal.id for terminal in wiring.terminals_of(way.name) if terminal.function.startswith("L")]
        neutral, earth = f"{way.name}.N", f"{way.name}.PE"
        if way.connection == "CT2":
            found += [Link(f"surge.{line}", line, neutral, None, "surge", way.name, v_1ma=v_1ma) for line in lines]
            found.append(Link(f"surge.{neutral}", neutral, earth, None, "gap", way.name))
        else:
            # "lines-neutral-earth" (nec) has elements between lines too; to earth it acts as CT1.
            found += [Link(f"surge.{live}", live, earth, None, "surge", way.name, v_1ma=v_1ma) for live in (*lines, neutral)]
    return found


def outlet(point: str, function: str) -> str:
    """Where a point hands a conductor on to the vehicle's lead."""
    return f"{point}.outlet.{function}"


def _points(installation: Installation, wiring: Wiring) -> list[Link]:
    """Contactor of every live pole, the open-PEN device in the protective conductor, electronics, and the vehicle behind."""
    found = []
    for point in installation.charging_points:
        names = {terminal.function for terminal in wiring.terminals_of(point.name) if terminal.id == f"{point.name}.{terminal.function}"}
        live = sorted(names - {"PE"})
        found += [Link(f"contactor.{point.name}.{name}", f"{point.name}.{name}", outlet(point.name, name), 0.0, "pole", point.name, point.name)
                  for name in live]
        if "PE" in names:
            opens = f"{point.name}.{OPEN_PEN}" if opens_protective(point) else ""
            found.append(Link(f"open-pen.{point.name}.PE", f"{point.name}.PE", outlet(point.name, "PE"), 0.0, "pole", point.name, opens))
        found += [Link(f"electronics.{point.name}.{name}", f"{point.name}.{name}", f"{point.name}.PE", None, "electronics", point.name)
                  for name in live if "PE" in names]
        found += _vehicle(installation, point, live)
    return found


def opens_protective(point: ChargingPoint) -> bool:
    """Whether the point has an open-PEN device that opens the protective conductor."""
    return is_known(point.open_pen) and point.open_pen.measure == "device" and point.open_pen.opens_protective_conductor is True


def may_feed(point: ChargingPoint) -> bool:
    """A vehicle counts as a source unless its point is known not to feed back."""
    return point.bidirectional is not False


def _vehicle(installation: Installation, point: ChargingPoint, live: list[str]) -> list[Link]:
    """The vehicle as a resistance between line and neutral (or between lines), and as a source where it may feed back."""
    lines = [name for name in live if name.startswith("L")]
    if not is_known(point.current_a) and not is_known(point.power_kw):
        return []
    pairs = [(line, "N") for line in lines] if "N" in live else [(lines[0], lines[-1])] if len(lines) > 1 else []
    volts = float(installation.supply.line_to_earth_v)  # type: ignore[arg-type]
    if "N" not in live:
        volts = float(installation.supply.line_to_line_v) if is_known(installation.supply.line_to_line_v) else volts  # type: ignore[arg-type]
    ampere = float(point.current_a) if is_known(point.current_a) else float(point.power_kw) * 1000 / (volts * max(1, len(pairs)))  # type: ignore[arg-type]
    found = []
    for place, (one, other) in enumerate(pairs):
        ends = outlet(point.name, one), outlet(point.name, other)
        found.append(Link(f"vehicle.{point.name}.{one}", *ends, volts / ampere, "load", point.name))
        if may_feed(point):
            found.append(Link(f"vehicle-source.{point.name}.{one}", ends[1], ends[0], volts / ampere / 20, "load", point.name,
                              volts=cmath.rect(volts, -place * 2 * math.pi / 3)))
    return found


# Supply and earth

def _supply(installation: Installation, wiring: Wiring) -> list[Link]:
    """Source, impedances as the file gives them (half of the loop of line and neutral is the line), and the earth it brings."""
    supply = installation.supply
    volts = float(supply.line_to_earth_v)  # type: ignore[arg-type]
    loop = float(supply.line_neutral_loop_ohm) if is_known(supply.line_neutral_loop_ohm) else _loop_from_current(installation)
    earth = float(supply.ze_ohm) if is_known(supply.ze_ohm) else None  # type: ignore[arg-type]
    combined = supply.system in ("TN-C-S", "grounded")
    half = None if loop is None else loop / 2
    if combined and loop is not None and earth is not None:
        half = min(loop, earth) / 2
    found = []
    lines = [terminal.function for terminal in wiring.terminals_of("origin") if terminal.function.startswith("L")]
    for place, line in enumerate(lines):
        turn = place * (math.pi if supply.phases == 1 else 2 * math.pi / 3)
        found.append(Link(f"supply.{line}", STAR, f"origin.{line}", half, "supply", "supply", "origin", cmath.rect(volts, -turn)))
    if combined:
        found.append(Link("supply.PEN", STAR, CUT_OUT, half, "supply", "supply"))
        found.append(Link("supply.N", CUT_OUT, "origin.N", _rest(loop, half), "supply", "supply", "origin"))
        found.append(Link("supply.PE", CUT_OUT, "origin.PE", None if earth is None else _rest(earth, half), "supply", "supply"))
    else:
        found.append(Link("supply.N", STAR, "origin.N", half, "supply", "supply", "origin"))
        if supply.system == "TN-S":
            found.append(Link("supply.PE", STAR, "origin.PE", None if earth is None or half is None else max(earth - half, 0.0), "supply", "supply"))
    far = float(supply.source_electrode_ohm) if is_known(supply.source_electrode_ohm) else None
    found.append(Link("supply.electrode", STAR, TRUE_EARTH, far, "earth", "supply"))
    return found


def _rest(whole: float | None, half: float | None) -> float | None:
    return None if whole is None or half is None else max(whole - 2 * half, 0.0)


def _loop_from_current(installation: Installation) -> float | None:
    given = installation.supply.prospective_fault_current_ka
    if not is_known(given) or not is_known(given.line_neutral):
        return None
    return float(installation.supply.line_to_earth_v) / (float(given.line_neutral) * 1000)  # type: ignore[arg-type]


def _electrodes(installation: Installation, wiring: Wiring) -> list[Link]:
    return [Link(f"electrode.{item.name}", f"{item.name}.PE", TRUE_EARTH, electrode_ohm(item), "earth", item.name)
            for item in installation.electrodes if wiring.terminal(f"{item.name}.PE")]


def electrode_ohm(item: Electrode) -> float | None:
    """Resistance as measured, or from rods and soil by BS 7430; None where that is not known."""
    if is_known(item.resistance_ohm):
        return float(item.resistance_ohm)  # type: ignore[arg-type]
    if not all(is_known(each) for each in (item.rods, item.length_m, item.diameter_mm, item.soil_ohm_m)):
        return None
    rho, length, diameter = float(item.soil_ohm_m), float(item.length_m), float(item.diameter_mm) / 1000  # type: ignore[arg-type]
    one = ROD_RESISTANCE.value({"rho": rho, "L": length, "d": diameter, "pi": math.pi})
    if item.rods == 1:
        return one
    factor = read_one("rods_in_line", "lambda", rods=int(item.rods))  # type: ignore[arg-type]
    if isinstance(factor, Gap) or not is_known(item.spacing_m):
        return None
    return SEVERAL_RODS.value({"R": one, "lambda_n": factor.value, "rho": rho, "pi": math.pi, "s": float(item.spacing_m), "n": float(item.rods)})  # type: ignore[arg-type]
