"""Calculations: a surge from the board to the vehicle, by travelling waves; knows no file, table or
page.

One loop (line to protective conductor, or line to neutral):

    generator - board - supply cable - charging point - contactor - charging cable - vehicle
                  |                         |                                          |
                 SPD on its leads       second SPD                              what the vehicle
                                        holds

Each cable is a lossless line: what leaves one end arrives at the other a travel time later, so each
node is one equation of its own (Bergeron). Inductors and capacitors stand as their trapezoidal
companions, and the law of a varistor is solved by Newton's method from above, where it is convex
and cannot overshoot.

`mains_v` is the mains at the instant of the surge, taken as standing still: it is part of every
voltage. Models of this kind teach order and slope; absolute volts hang on the law of the varistor,
and no result here passes or fails a design.

Sources of the method: H. W. Dommel, "Digital computer solution of electromagnetic transients in
single- and multiphase networks", IEEE Trans. PAS-88, 1969 (lines and companions); IEC 61051-1
(power law of a varistor).
"""

from typing import Literal

from firstway.frozen import dataclass

VehicleEnd = Literal["open", "capacitor", "varistor", "varistor-and-capacitor", "rectifier"]
"""What the input of a vehicle is to a surge."""
SurgeSource = Literal["combination-wave", "current-impulse", "long-impulse", "ring-wave"]
"""What the generator sends: 1.2/50 us and 8/20 us together (IEC 61000-4-5), the current of 8/20 us
alone, the current of 10/350 us of a direct lightning stroke (IEC 62305-1), or a wave that rings
with 100 kHz (IEC 61000-4-12).
"""
IMPULSES = ("current-impulse", "long-impulse")
"""The sources that drive their current whatever stands against it; `impulse_a` is its peak in A."""
SHORTEST_S = 0.25e-9
"""A cable that a wave passes faster is no line of its own: a run would take a million steps."""


@dataclass(frozen=True)
class Varistor:
    """V = k I^alpha + R I. `volts_at_1_a` is k in V, `alpha` without unit (0 to 0.1), `series_ohm`
    is R.
    """

    volts_at_1_a: float
    alpha: float
    series_ohm: float = 0.0

    def volts(self, ampere: float) -> float:
        """Voltage at a current in A.

        >>> round(Varistor(749.93, 0.07).volts(20000.0))
        1500
        """
        return float(self.volts_at_1_a * ampere**self.alpha + self.series_ohm * ampere)


@dataclass(frozen=True)
class GapLaw:
    """A spark gap: it fires at `fires_v`, burns at `arc_v` (both V), and goes out with its
    current.
    """

    fires_v: float
    arc_v: float


@dataclass(frozen=True)
class SurgeModel:
    """What no installation states: the generator, the lines, the inputs of a vehicle.

    All SI units.
    """

    generator_farad: float
    generator_volt_per_volt: float  # charging voltage for one volt of open-circuit surge
    generator_discharge_ohm: float
    generator_series_ohm: float
    generator_henry: float
    generator_output_ohm: float
    impulse_scale: float  # i = scale Ip (t / us)^3 exp(-t / tau)
    impulse_tau_s: float
    # i = Ip / correction x / (1 + x) exp(-t / tail), x = (t / front)^10 (IEC 62305-1 annex B)
    long_correction: float
    long_front_s: float
    long_tail_s: float
    # u = scale Up (1 - exp(-t / rise)) exp(-t / fall) cos(2 pi f t)
    ring_scale: float
    ring_rise_s: float
    ring_fall_s: float
    ring_hertz: float
    lead_henry_per_m: float
    lead_ohm_per_m: float
    line_ohm: float  # surge impedance of a cable
    line_m_per_s: float
    contact_ohm: float
    open_contact_farad: float
    open_contact_ohm: float
    open_end_ohm: float
    capacitor_ohm: float
    vehicle_varistor: Varistor
    rectifier_volt: float  # forward voltage of its diodes
    rectifier_ohm: float  # diodes and connections together
    rectifier_farad: float
    rectifier_charged_volt: float
    steps: tuple[
        tuple[float, float], ...
    ]  # from when in s, and the longest step from there on in s
    window_s: float


@dataclass(frozen=True)
class SurgeCase:
    """One run. Lengths in m; `lead_m` is both leads of the SPD together."""

    supply_m: float
    cable_m: float
    spd: Varistor | None = None
    lead_m: float = 0.5
    source: SurgeSource = "combination-wave"
    surge_v: float = 6000.0  # combination wave, open circuit; its short circuit is half of it in A
    impulse_a: float = 20000.0  # peak of the current impulse
    second_spd: Varistor | None = None
    second_lead_m: float = 0.3
    contactor_closed: bool = True
    vehicle: VehicleEnd = "open"
    vehicle_farad: float = 1e-6
    loop_ohm: float = 0.0
    mains_v: float = 0.0
    window_s: float | None = None
    ring_ohm: float = 12.0  # of the generator of the ring wave: 12 or 30 (IEC 61000-4-12)
    # A gap stands in series with the varistor of its device, or alone where there is none.
    spd_gap: GapLaw | None = None
    second_gap: GapLaw | None = None
    # Earths of their own: what the device at the board drives its current through, and the point.
    # 0 where point and board share one: then the rise of that earth is no voltage between them.
    board_earth_ohm: float = 0.0
    point_earth_ohm: float = 0.0
    point_farad: float = 0.0  # a capacitor at the input of the point
    loss_ohm_per_m: float = 0.0  # of the cables, out and back


@dataclass(frozen=True)
class Refused:
    """Why a case has no meaning, and what to do."""

    message: str
    hint: str


@dataclass(frozen=True)
class SurgeRun:
    """Waves at the times of `times_s` from 0 on, and what is read from them.

    Volts (mains included), ampere, joule.
    """

    times_s: tuple[float, ...]
    board_v: tuple[float, ...]
    point_v: tuple[float, ...]
    vehicle_v: tuple[float, ...]
    spd_a: tuple[float, ...]
    second_spd_a: tuple[float, ...]
    vehicle_a: tuple[float, ...]
    vehicle_energy_j: float
    vehicle_charge_c: float
    spd_energy_j: float
    second_spd_energy_j: float

    @property
    def board_peak_v(self) -> float:
        """Highest voltage at the board in V, mains included."""
        return max(self.board_v)

    @property
    def point_peak_v(self) -> float:
        """Highest voltage at the charging point in V, mains included."""
        return max(self.point_v)

    @property
    def vehicle_peak_v(self) -> float:
        """Highest voltage at the vehicle in V, mains included."""
        return max(self.vehicle_v)

    @property
    def vehicle_lowest_v(self) -> float:
        """Lowest voltage at the vehicle in V, mains included; below 0 where it swings back."""
        return min(self.vehicle_v)

    @property
    def spd_peak_a(self) -> float:
        """Highest current in A through the device at the board; 0 without one."""
        return max(self.spd_a, default=0.0)

    @property
    def second_spd_peak_a(self) -> float:
        """Highest current in A through the device at the charging point; 0 without one."""
        return max(self.second_spd_a, default=0.0)

    @property
    def vehicle_peak_a(self) -> float:
        """Highest current in A into the vehicle; 0 where its input is open."""
        return max(self.vehicle_a, default=0.0)


def two_term_law(
    volts_at_1_ma: float, alpha: float, protection_level_v: float, nominal_a: float
) -> Varistor | Refused:
    """The law through V(1 mA) that meets the protection level at the nominal discharge current.

    Arguments in V, 1, V, A. Refused where the first term alone is above the protection level: then
    the two
    figures do not belong to one disc. Form: a power law fits a part of the range only (IEC
    61051-1).

    >>> round(two_term_law(450.0, 0.03, 1500.0, 20000.0).series_ohm, 5)
    0.03774
    """
    k = volts_at_1_ma / 0.001**alpha
    rest = protection_level_v - k * nominal_a**alpha
    if rest < 0:
        return Refused(
            "the protection level is below what this law gives at the nominal discharge current",
            "check the protection level, the nominal discharge current and the voltage at 1 mA on"
            " the data sheet",
        )
    return Varistor(k, alpha, rest / nominal_a)


def power_law(alpha: float, protection_level_v: float, nominal_a: float) -> Varistor:
    """The single power law through protection level and nominal discharge current: a pessimistic
    bound below it.

    >>> round(power_law(0.07, 1500.0, 20000.0).volts_at_1_a, 2)
    749.93
    """
    return Varistor(protection_level_v / nominal_a**alpha, alpha)


def travel_time_s(length_m: float, model: SurgeModel) -> float:
    """Time a wave takes along a cable, one way."""
    return length_m / model.line_m_per_s


def refusal(case: SurgeCase, model: SurgeModel) -> Refused | None:
    """Why the case cannot be run; None when it can."""
    if case.supply_m <= 0 or case.cable_m <= 0:
        return Refused("a cable has no length", "give both lengths in metres, above zero")
    if (
        min(
            case.lead_m,
            case.second_lead_m,
            case.loop_ohm,
            case.board_earth_ohm,
            case.point_earth_ohm,
            case.point_farad,
            case.loss_ohm_per_m,
        )
        < 0
    ):
        return Refused("a length, a resistance or a capacitance is below zero", "give zero or more")
    if case.source == "ring-wave" and case.ring_ohm <= 0:
        return Refused("the generator of the ring wave has no resistance", "give 12 or 30 ohm")
    if case.source in IMPULSES and case.spd is None and case.spd_gap is None:
        return Refused(
            "an ideal current impulse without an SPD has no finite voltage",
            "fit an SPD in the case, or use the combination wave",
        )
    shortest = travel_time_s(min(case.supply_m, case.cable_m), model)
    if shortest < SHORTEST_S:
        return Refused(
            f"a cable of {min(case.supply_m, case.cable_m):.3g} m is too short to run as a line",
            "count it to its neighbour",
        )
    return None
