"""A circuit as a list of wires and sources between named places, and one fault in it."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from fault_circuits import rows

EARTH = "true-earth"
JOINT_OHM = 1e-6


@dataclass(frozen=True)
class Ohm:
    """Resistance in ohm at 20 C, and at the operating limit of the conductor.

    `supply`: a piece of what the file states of the supply by its size alone; how much of it is
    reactance is not known.
    """

    cold: float
    hot: float
    supply: bool = False


def as_stated(ohm: float) -> Ohm:
    """An electrode or a joint: the same whatever the conductors' temperature."""
    return Ohm(ohm, ohm)


def of_supply(ohm: float) -> Ohm:
    """An impedance of the supply, as the file states it."""
    return Ohm(ohm, ohm, True)


def copper(csa_mm2: float, metres: float, limit_c: float) -> Ohm:
    return _warming(rows.COPPER_OHM_PER_KM[csa_mm2] * metres / 1000, limit_c)


def flexible(csa_mm2: float, metres: float, limit_c: float) -> Ohm:
    return _warming(rows.FLEXIBLE_OHM_PER_KM[csa_mm2] * metres / 1000, limit_c)


def _warming(cold: float, limit_c: float) -> Ohm:
    return Ohm(cold, cold * (rows.COPPER_ZERO_C + limit_c) / (rows.COPPER_ZERO_C + 20))


def armour(cores: int, csa_mm2: float, metres: float, armour_c: float) -> Ohm:
    cold = rows.ARMOUR_OHM_PER_KM[cores, csa_mm2] * metres / 1000
    return Ohm(cold, cold * (1 + rows.STEEL_PER_K * (armour_c - 20)))


def awg(size: str, metres: float) -> Ohm:
    hot = rows.AWG_OHM_PER_KM_75C[size] * metres / 1000
    return Ohm(hot * (1 + rows.AWG_PER_K * (20 - 75)), hot)


def rod_ohm(soil_ohm_m: float, length_m: float, diameter_mm: float) -> float:
    """BS 7430: R = rho / (2 pi L) (ln(8 L / d) - 1)."""
    return (
        soil_ohm_m / (2 * math.pi * length_m) * (math.log(8 * length_m / (diameter_mm / 1000)) - 1)
    )


def rods_ohm(
    number: int, soil_ohm_m: float, length_m: float, diameter_mm: float, spacing_m: float
) -> float:
    """BS 7430: R_n = R (1 + lambda a) / n with a = rho / (2 pi R s)."""
    one = rod_ohm(soil_ohm_m, length_m, diameter_mm)
    a = soil_ohm_m / (2 * math.pi * one * spacing_m)
    return one * (1 + rows.IN_LINE[number] * a) / number


@dataclass(frozen=True)
class Source:
    """The force of one line, from the star point outward: volts at an angle in degrees."""

    minus: str
    plus: str
    volts: float
    degrees: float


@dataclass(frozen=True)
class Driven:
    """A current that an inverter drives, in A, in step with the line: most it adds to a fault."""

    minus: str
    plus: str
    ampere: float


@dataclass
class Network:
    """Every conductor of a job. `touched` are the places of metal that a person can reach."""

    sources: list[Source] = field(default_factory=list)
    driven: list[Driven] = field(default_factory=list)
    wires: list[tuple[str, str, Ohm]] = field(default_factory=list)
    touched: list[str] = field(default_factory=list)

    def source(self, minus: str, plus: str, volts: float, degrees: float = 0.0) -> None:
        self.sources.append(Source(minus, plus, volts, degrees))

    def wire(self, one: str, other: str, ohm: Ohm) -> None:
        self.wires.append((one, other, ohm))

    def joint(self, *places: str) -> None:
        """Places joined by bars, poles or wire so short that nothing of it is stated."""
        for one, other in zip(places, places[1:]):
            self.wires.append((one, other, as_stated(JOINT_OHM)))

    def places(self) -> set[str]:
        return {place for one, other, _ in self.wires for place in (one, other)}
