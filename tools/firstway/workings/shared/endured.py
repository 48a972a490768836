"""Workings: what a conductor goes through while a fault lasts, and what a device must break.

Behind a breaker the energy peaks at the beginning of a cable, where the current is largest; behind
a fuse the time peaks at its end, where the current is smallest. Both ends are worked, at the
largest and at the smallest current.
"""

from collections.abc import Iterator
from dataclasses import replace

from firstway.frozen import dataclass
from firstway.model.installation import LINES, Cable, Way
from firstway.model.values import is_known
from firstway.tables import looking_up as tables
from firstway.tables.reading import Gap, Read
from firstway.wiring.faults import Flow
from firstway.wiring.graph import Conductor
from firstway.wiring.places import FaultPlace
from firstway.workings.shared.opening_times import (
    MILLI,
    Device,
    Opens,
    energy_a2s,
    opens,
    overcurrent_opens,
)
from firstway.workings.shared.sweep import COLD, Currents, FaultKind, Sweep, joined_nodes, scaled

LONGEST_S = 5.0  # BS 7671 434.5.2 and 543.1.3: beyond it heat flows out and the law does not hold
_AT_ONCE_S = 0.1
_BREAKERS = ("circuit-breaker", "rcbo")
NO_CURRENT_A = 1e-6  # what is joined already, or joined to nothing: no current comes of a fault
# Common practice: the least of the usual insulations, for a wire whose own is not in the file.
_INSIDE = "thermoplastic-70"


@dataclass(frozen=True)
class Endured:
    """The gravest fault of one conductor. `energy_a2s` None: not known (`ask`), or nothing is sure
    to open.

    `at` is the end of the conductor, `device` what opens, `within_s` the longest time. `counted`:
    it is the limit of a standard, and the maker of the breaker `device` may show less.
    """

    at: str
    kind: FaultKind
    device: str
    ampere: float
    within_s: float | None
    energy_a2s: float | None
    counted: bool = False
    ask: str = ""


def endured(sweep: Sweep, conductor: Conductor) -> tuple[Endured, ...]:
    """Every fault whose current a conductor carries: at both ends, smallest and largest."""
    found: list[Endured] = []
    for end in ("start", "end"):
        place = sweep.place(f"{conductor.id}:{end}")
        if place is not None:
            for kind in _kinds(sweep, conductor):
                found += _at(sweep, place, kind, f"{conductor.id}:{end}")
    return tuple(found)


def _kinds(sweep: Sweep, conductor: Conductor) -> tuple[FaultKind, ...]:
    if conductor.function in ("PE", "PEN"):
        return ("earth",)
    if conductor.function == "N":
        return ("neutral",)
    # Through two electrodes flow amperes: a line that survives its fault to neutral survives those.
    return (
        ("neutral", "line")
        if sweep.installation.supply.system == "TT"
        else ("earth", "neutral", "line")
    )


def _at(sweep: Sweep, place: FaultPlace, kind: FaultKind, name: str) -> Iterator[Endured]:
    """The faults of a place, under the name of the conductor's end that is there."""
    for found in sweep.kept(
        ("endured", place.id, kind), lambda: tuple(_faults(sweep, place, kind))
    ):
        yield replace(found, at=name)


def _faults(sweep: Sweep, place: FaultPlace, kind: FaultKind) -> Iterator[Endured]:
    """The smallest and the largest."""
    name, currents = place.id, sweep.currents(place, kind)
    if currents is None or (currents.most_a is not None and currents.most_a < NO_CURRENT_A):
        return
    if currents.least_a is None or currents.most_a is None:
        ask = f"what the fault current depends on: {', '.join(currents.missing)}"
        yield Endured(name, kind, "", 0.0, None, None, ask=ask)
        return
    least = min(currents.least, key=lambda flow: flow.ampere)
    yield _ended(sweep, place, kind, name, least, currents.least_a / least.ampere)
    most = max(_severe(sweep, place, kind, currents), key=lambda flow: flow.ampere)
    yield _ended(sweep, place, kind, name, most, _highest(sweep))


def _highest(sweep: Sweep) -> float:
    assert isinstance(sweep.highest, Read)
    return sweep.highest.value


def _severe(
    sweep: Sweep, place: FaultPlace, kind: FaultKind, currents: Currents
) -> tuple[Flow, ...]:
    """The largest current, of the larger of the stated and the worked source."""
    by_loop = replace(COLD, source_times=sweep.stated_times)
    return max(
        currents.most,
        sweep.flows(by_loop, joined_nodes(place, kind)),
        key=lambda flows: max((flow.ampere for flow in flows), default=0.0),
    )


def _ended(
    sweep: Sweep, place: FaultPlace, kind: FaultKind, name: str, flow: Flow, factor: float
) -> Endured:
    """By the device that lets least through: whichever opens first ends the fault."""
    asks: list[str] = []
    ends: list[Endured] = []
    # A breaker that opens by its heat: its maker's curve is quicker than its standard's hour.
    slow = ""
    ampere = factor * flow.ampere
    for through in flow.through(place.ahead):
        carried = scaled(through, factor)
        device = sweep.device(through.device)
        found = (
            opens(device, carried.line_a, carried.residual_a)
            if device
            else Opens(None, ask=f"what {through.device} is")
        )
        if found.ask:
            asks.append(found.ask)
        if device is None or found.within_s is None:
            continue
        if device.kind in _BREAKERS and found.within_s > LONGEST_S:
            slow = slow or device.name
        energy, counted = _energy(sweep, device, carried.line_a, found)
        ends.append(Endured(name, kind, device.name, ampere, found.within_s, energy, counted))
    if ends:
        least = min(ends, key=lambda each: each.energy_a2s or 0.0)
        return replace(least, counted=True, device=slow) if slow and least.device != slow else least
    return Endured(name, kind, "", ampere, None, None, ask=asks[0] if asks else "")


def _energy(sweep: Sweep, device: Device, line_a: float, found: Opens) -> tuple[float, bool]:
    """The energy in A2s, and whether it is the standard's time, not the maker's figure, that was
    counted.
    """
    energy = energy_a2s(device, line_a, found)
    assert energy is not None
    at_once = (
        device.kind in _BREAKERS
        and (overcurrent_opens(device, line_a).within_s or LONGEST_S) <= _AT_ONCE_S
    )
    if not at_once:
        return energy, False
    stated = _let_through_a2s(sweep, device, line_a)
    return (energy, True) if stated is None or stated > energy else (stated, False)


def _let_through_a2s(sweep: Sweep, device: Device, line_a: float) -> float | None:
    """The maker's figure at the listed current next above; None where no figure reaches it."""
    way: Way | None = next(
        (way for way in sweep.installation.board.ways if way.name == device.name), None
    )
    rows = (
        []
        if way is None
        else [row for row in way.let_through if float(row.fault_current_ka) * MILLI >= line_a]
    )
    nearest = min(rows, key=lambda row: float(row.fault_current_ka), default=None)
    return None if nearest is None else float(nearest.energy_ka2s) * MILLI


def least_size_mm2(energy: float, k: float) -> float:
    """The smallest conductor that survives: sqrt(E) / k (BS 7671 434.5.2, 543.1.3)."""
    return float(energy**0.5 / k)


def heat_constant(sweep: Sweep, conductor: Conductor) -> Read | Gap:
    """k of a conductor by its function and the insulation of its cable."""
    cable = cable_of(sweep, conductor)
    insulation = (
        str(cable.insulation) if cable is not None and is_known(cable.insulation) else _INSIDE
    )
    if conductor.kind == "armour":
        return tables.adiabatic_k("armour", insulation)
    if conductor.function in ("PE", "PEN") and (cable is not None or conductor.kind == "core"):
        apart = cable is None or cable.protective == "separate"
        return tables.adiabatic_k("separate" if apart else "core-in-cable", insulation)
    return tables.adiabatic_k("live", insulation)


def cable_of(sweep: Sweep, conductor: Conductor) -> Cable | None:
    """The cable of the file that a conductor runs in; None for a wire inside the board."""
    installation = sweep.installation
    sections = {
        "feed": installation.feed,
        "supply": installation.supply,
        **{circuit.name: circuit for circuit in installation.circuits},
    }
    section = sections.get(conductor.cable)
    cable = getattr(section, "cable", None) if section is not None and is_known(section) else None
    return cable if cable is not None and is_known(cable) else None


@dataclass(frozen=True)
class Largest:
    """The largest current a device may have to break, in kA, and the place; None with an `ask`
    where it is not known.
    """

    at: str
    kiloampere: float | None
    ask: str = ""


def largest_behind(sweep: Sweep, device: str) -> Largest | None:
    """A fault of any kind just behind a device; None where no place is.

    The larger of the stated and the worked source counts. No fault further on is larger: resistance
    only adds up.
    """
    places = {
        place.id: place
        for line in LINES
        if (place := sweep.place(f"{device}.load.{line}")) is not None
    }
    found = [
        _largest(sweep, place, kind)
        for place in places.values()
        for kind in _every_kind(sweep)
        if joined_nodes(place, kind)
    ]
    known = [each for each in found if each is not None]
    unknown = next((each for each in known if each.kiloampere is None), None)
    return unknown or max(known, key=lambda each: each.kiloampere or 0.0, default=None)


def _every_kind(sweep: Sweep) -> tuple[FaultKind, ...]:
    kinds: tuple[FaultKind, ...] = ("neutral", "line", "lines")
    return kinds if sweep.installation.supply.system == "TT" else ("earth", *kinds)


def _largest(sweep: Sweep, place: FaultPlace, kind: FaultKind) -> Largest | None:
    currents = sweep.currents(place, kind)
    if currents is None:
        return None
    if currents.most_a is None:
        return Largest(
            place.id, None, f"what the fault current depends on: {', '.join(currents.missing)}"
        )
    return Largest(
        place.id,
        max((flow.ampere for flow in _severe(sweep, place, kind, currents)), default=0.0)
        * _highest(sweep)
        / MILLI,
    )
