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

from __future__ import annotations

import math
from typing import Literal

from firstway.calculations.adding import added
from firstway.frozen import dataclass

VehicleEnd = Literal["open", "capacitor", "varistor", "varistor-and-capacitor", "rectifier"]
"""What the input of a vehicle is to a surge."""
SurgeSource = Literal["combination-wave", "current-impulse"]
"""What the generator sends: 1.2/50 us and 8/20 us together (IEC 61000-4-5), or the current of 8/20
us alone.
"""
# relative step at which Newton stops: the error left is about its square times the exponent
_NEWTON = 1e-5
_NO_CURRENT = (
    0.25  # below this share of its one-ampere voltage a varistor takes less than a microampere
)


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
    step_s: float
    window_s: float


@dataclass(frozen=True)
class SurgeCase:
    """One run.

    Lengths in m; `lead_m` is both leads of the SPD together; `step_s` None lets the run choose.
    """

    supply_m: float
    cable_m: float
    spd: Varistor | None = None
    lead_m: float = 0.5
    source: SurgeSource = "combination-wave"
    surge_v: float = 6000.0  # combination wave, open circuit; its short circuit is half of it in A
    impulse_a: float = 20000.0  # current impulse 8/20
    second_spd: Varistor | None = None
    second_lead_m: float = 0.3
    contactor_closed: bool = True
    vehicle: VehicleEnd = "open"
    vehicle_farad: float = 1e-6
    loop_ohm: float = 0.0
    mains_v: float = 0.0
    step_s: float | None = None
    window_s: float | None = None


@dataclass(frozen=True)
class Refused:
    """Why a case has no meaning, and what to do."""

    message: str
    hint: str


@dataclass(frozen=True)
class SurgeRun:
    """Waves sampled every `step_s` from t = 0, and what is read from them.

    Volts (mains included), ampere, joule.
    """

    step_s: float
    board_v: tuple[float, ...]
    point_v: tuple[float, ...]
    vehicle_v: tuple[float, ...]
    spd_a: tuple[float, ...]
    second_spd_a: tuple[float, ...]
    vehicle_a: tuple[float, ...]
    vehicle_energy_j: float
    vehicle_charge_c: float

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
    if case.lead_m < 0 or case.second_lead_m < 0 or case.loop_ohm < 0:
        return Refused("a length or a resistance is below zero", "give zero or more")
    if case.source == "current-impulse" and case.spd is None:
        return Refused(
            "an ideal current impulse without an SPD has no finite voltage",
            "fit an SPD in the case, or use the combination wave",
        )
    shortest = travel_time_s(min(case.supply_m, case.cable_m), model)
    if case.step_s is not None and case.step_s > shortest * (1 + 1e-9):
        return Refused(
            f"the step of {case.step_s * 1e9:.3g} ns is longer than the shortest line"
            f" ({shortest * 1e9:.3g} ns)",
            "take a shorter step, or count the short cable to its neighbour",
        )
    if shortest < model.step_s / 20:
        return Refused(
            f"a cable of {min(case.supply_m, case.cable_m):.3g} m is too short to run as a line",
            "count it to its neighbour",
        )
    return None


def steps_of(case: SurgeCase, model: SurgeModel) -> tuple[float, int, int]:
    """Step in s and the whole steps of both cables: the sum of the delays is kept, the split as
    near as may be.
    """
    first, second = travel_time_s(case.supply_m, model), travel_time_s(case.cable_m, model)
    if case.step_s is not None:
        return case.step_s, max(1, round(first / case.step_s)), max(1, round(second / case.step_s))
    largest = min(model.step_s, first, second)
    least = math.ceil((first + second) / largest - 1e-9)
    best = (math.inf, 0, 0)
    for total in range(least, least + max(2, least // 4) + 1):
        step = (first + second) / total
        ahead = min(max(1, round(first / step)), total - 1)
        wrong = abs(ahead * step - first)
        if wrong < best[0] - 1e-15:
            best = (wrong, total, ahead)
    _, total, ahead = best
    return (first + second) / total, ahead, total - ahead


def surge_run(case: SurgeCase, model: SurgeModel) -> SurgeRun | Refused:
    """Run a case. The same case and model give the same run to the last digit."""
    refused = refusal(case, model)
    if refused:
        return refused
    return _run(case, model)


def _run(case: SurgeCase, model: SurgeModel) -> SurgeRun:
    """The loop over time, in one piece: calls between its parts would cost more than the parts."""
    dt, n1, n2 = steps_of(case, model)
    steps = round((case.window_s or model.window_s) / dt)
    z0 = model.line_ohm
    mains = case.mains_v

    # generator: capacitor across R1, then R2 and L in series, R3 across the board; or the impulse
    wave = case.source == "combination-wave"
    half_c = dt / (2 * model.generator_farad)
    drain = half_c / model.generator_discharge_ohm
    half_l = dt / (2 * model.generator_henry)
    b_c = half_c / (1 + drain)
    damp = 1 / (1 + half_l * (model.generator_series_ohm + b_c))
    g_l = half_l * damp if wave else 0.0
    keep_c, give_c = (1 - drain) / (1 + drain), half_c / (1 + drain)
    r2 = model.generator_series_ohm
    charged, i_l, u_l = (
        model.generator_volt_per_volt * case.surge_v,
        0.0,
        model.generator_volt_per_volt * case.surge_v,
    )
    source_a = 0.0
    scale, tau = model.impulse_scale * case.impulse_a, model.impulse_tau_s

    # board: everything but the SPD as one voltage behind one resistance
    y_board = 1 / z0 + (1 / model.generator_output_ohm if wave else 0.0) + g_l
    r_board = 1 / y_board
    spd = case.spd
    k1, p1, rest1, zl1 = _branch(spd, case.lead_m, model, dt)
    total1 = r_board + rest1 + zl1
    top1 = _NO_CURRENT * k1
    i1 = ul1 = 0.0
    v1 = last_1 = 0.0

    # charging point: two lines, the contactor between them, perhaps a second SPD
    closed = case.contactor_closed
    through = model.contact_ohm + case.loop_ohm if closed else model.open_contact_ohm
    c_open = 0.0 if closed else 2 * model.open_contact_farad / dt
    g_through = 1 / through + c_open
    past_a = past_u = 0.0  # of the stray capacitor of the open contact
    g_right = 1 / (1 / g_through + z0)
    share = 1 / (1 + g_through * z0)
    y_point = 1 / z0 + g_right
    r_point = 1 / y_point
    second = case.second_spd
    k2, p2, rest2, zl2 = _branch(second, case.second_lead_m, model, dt)
    total2 = r_point + rest2 + zl2
    top2 = _NO_CURRENT * k2
    i2 = ul2 = 0.0
    v2 = last_2 = 0.0

    # vehicle
    end = case.vehicle
    has_c = end in ("capacitor", "varistor-and-capacitor")
    has_v = end in ("varistor", "varistor-and-capacitor")
    half_v = dt / (2 * case.vehicle_farad)
    g_c = 1 / (model.capacitor_ohm + half_v) if has_c else 0.0
    y_end = 1 / z0 + 1 / model.open_end_ohm + g_c
    r_end = 1 / y_end
    own = model.vehicle_varistor
    kv, pv = own.volts_at_1_a, 1 / own.alpha
    total_v = r_end + own.series_ohm
    top_v = _NO_CURRENT * kv
    rectifier = end == "rectifier"
    half_b = dt / (2 * model.rectifier_farad)
    total_r = r_end + model.rectifier_ohm + half_b
    bus = model.rectifier_charged_volt
    c_v = i_c = i_v = 0.0
    vv = last_v = 0.0

    to_point, to_board = [0.0] * n1, [0.0] * n1  # waves under way, by arrival
    to_vehicle, back = [0.0] * n2, [0.0] * n2
    send_point, send_board, send_vehicle, send_back = (
        to_point.append,
        to_board.append,
        to_vehicle.append,
        back.append,
    )
    boards, points, ends = [mains], [mains], [mains]
    spds: list[float] = [0.0]
    seconds: list[float] = [0.0]
    vehicles: list[float] = [0.0]
    put_board, put_point, put_end = boards.append, points.append, ends.append
    put_spd, put_second, put_vehicle = spds.append, seconds.append, vehicles.append
    exp, held_by = math.exp, _volts_held

    vb = vp = v = 0.0
    n = 0
    # step 0 is the rest state; its outgoing waves are zero
    send_point(0.0), send_board(0.0), send_vehicle(0.0), send_back(0.0)
    while n < steps:
        n += 1
        # -- board
        arrived = to_board[n]
        if wave:
            a_c = keep_c * charged - give_c * i_l
            j_l = (i_l + half_l * (a_c + u_l)) * damp
            into = j_l + arrived / z0
        else:
            t = n * dt
            source_a = scale * (t * 1e6) ** 3 * exp(-t / tau)
            into = source_a + arrived / z0
        vb = into * r_board
        if spd is not None:
            past = zl1 * i1 + ul1
            e = vb + past + mains
            sign = 1.0 if e >= 0.0 else -1.0
            e *= sign
            if e < top1:
                v1, i = e, 0.0
            else:
                # guessed from the last two steps: the waves are smooth, so one round of Newton is
                # the rule
                v1, last_1 = held_by(2 * v1 - last_1, e, k1, p1, total1), v1
                i = (e - v1) / total1
            i *= sign
            ul1 = zl1 * (i - i1) - ul1
            i1 = i
            vb -= r_board * i
            put_spd(i)
        if wave:
            i_n = j_l - g_l * vb
            charged = a_c - b_c * i_n
            i_l = i_n
            u_l = charged - r2 * i_n - vb
        put_board(vb + mains)
        send_point(2 * vb - arrived)
        # -- charging point
        arrived = to_point[n]
        after = back[n]
        if closed:
            vp = (arrived / z0 + after * g_right) * r_point
        else:
            past = c_open * past_u + past_a
            vp = (arrived / z0 + after * g_right + past * share) * r_point
        if second is not None:
            e = vp + zl2 * i2 + ul2 + mains
            sign = 1.0 if e >= 0.0 else -1.0
            e *= sign
            if e < top2:
                v2, i = e, 0.0
            else:
                # guessed from the last two steps: the waves are smooth, so one round of Newton is
                # the rule
                v2, last_2 = held_by(2 * v2 - last_2, e, k2, p2, total2), v2
                i = (e - v2) / total2
            i *= sign
            ul2 = zl2 * (i - i2) - ul2
            i2 = i
            vp -= r_point * i
            put_second(i)
        if closed:
            current = (vp - after) * g_right
        else:
            current = (vp - after) * g_right - past * share
            across = vp - after - z0 * current
            past_a = c_open * (across - past_u) - past_a
            past_u = across
        put_point(vp + mains)
        send_board(2 * vp - arrived)
        ve = after + z0 * current
        send_vehicle(2 * ve - after)
        # -- vehicle
        arrived = to_vehicle[n]
        v = arrived / z0
        if has_c:
            past_c = c_v + half_v * i_c
            v += past_c * g_c
        v *= r_end
        if has_v:
            e = v + mains
            sign = 1.0 if e >= 0.0 else -1.0
            e *= sign
            if e < top_v:
                vv, i = e, 0.0
            else:
                # guessed from the last two steps: the waves are smooth, so one round of Newton is
                # the rule
                vv, last_v = held_by(2 * vv - last_v, e, kv, pv, total_v), vv
                i = (e - vv) / total_v
            i_v = i * sign
            v -= r_end * i_v
            put_vehicle(i_v)
        elif rectifier:
            pushed = bus + half_b * i_v
            i = (v + mains - model.rectifier_volt - pushed) / total_r
            if i < 0.0:
                i = 0.0
            bus = pushed + half_b * i
            i_v = i
            v -= r_end * i
            put_vehicle(i)
        if has_c:
            i = (v - past_c) * g_c
            c_v = past_c + half_v * i
            i_c = i
        put_end(v + mains)
        send_back(2 * v - arrived)

    def whole(values: list[float]) -> tuple[float, ...]:
        return tuple(values) if len(values) > 1 else ()

    # trapezoidal sums; the current is that of the clamp, the voltage that at the vehicle's
    # terminals
    energy = (
        dt * (added(map(float.__mul__, ends, vehicles)) - ends[-1] * vehicles[-1] / 2)
        if len(vehicles) > 1
        else 0.0
    )
    charge = dt * (added(vehicles) - vehicles[-1] / 2) if len(vehicles) > 1 else 0.0
    return SurgeRun(
        dt,
        tuple(boards),
        tuple(points),
        tuple(ends),
        whole(spds),
        whole(seconds),
        whole(vehicles),
        energy,
        charge,
    )


def _volts_held(guess: float, e: float, k: float, p: float, ohm: float) -> float:
    """Voltage v of a varistor behind e volts and `ohm`: v + ohm (v / k)^p = e, for e and v above
    zero.

    The left side is convex and rises: from above every round of Newton comes nearer and stays
    above. From below the first round jumps above, perhaps far; there the voltage the whole current
    would give is nearer.
    """
    near = 0.5 * e < guess < e or 0.5 * k < guess < e
    v: float = guess if near else min(e, k * (e / ohm) ** (1 / p))
    while True:
        i = (v / k) ** p
        less = (v + ohm * i - e) / (1 + ohm * p * i / v)
        v -= less
        if less < 0.0 and v > e:
            v = min(e, k * (e / ohm) ** (1 / p))
        elif -_NEWTON * v < less < _NEWTON * v:
            return v


def _branch(
    varistor: Varistor | None, lead_m: float, model: SurgeModel, dt: float
) -> tuple[float, float, float, float]:
    """A varistor on its leads: k, exponent, resistance in series, 2L/dt of the leads."""
    if varistor is None:
        return 1.0, 1.0, 0.0, 0.0
    return (
        varistor.volts_at_1_a,
        1 / varistor.alpha,
        varistor.series_ohm + model.lead_ohm_per_m * lead_m,
        2 * model.lead_henry_per_m * lead_m / dt,
    )
