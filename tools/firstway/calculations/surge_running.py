"""Calculations: a surge run: its parts are put together, stepped through time, and recorded."""

import math
from collections.abc import Callable, Sequence

from firstway.calculations.adding import added
from firstway.calculations.surge import (
    GapLaw,
    Refused,
    SurgeCase,
    SurgeModel,
    SurgeRun,
    Varistor,
    refusal,
    travel_time_s,
)
from firstway.calculations.surge_parts import (
    Clamp,
    Contactor,
    Plan,
    capacitor,
    capacitor_siemens,
    charging_point,
    combination_wave,
    current_impulse,
    end_of_line,
    line,
    long_impulse,
    rectifier,
    ring_wave,
    spark_gap,
    started,
    varistor,
    wave_siemens,
)
from firstway.frozen import dataclass

FINE_ENOUGH_S = 3.3e-9
"""In s: where a third of the shorter cable is less, a step may be longer than that; what rings in
so short a cable no figure shows (assumed; held to ngspice)."""
_Send = Callable[[float], float]


def surge_run(case: SurgeCase, model: SurgeModel) -> SurgeRun | Refused:
    """Run a case. The same case and model give the same run to the last digit."""
    refused = refusal(case, model)
    if refused:
        return refused
    plan = plan_of(case, model)
    return _recorded(case, plan, _stepped(case, model, plan))


def plan_of(case: SurgeCase, model: SurgeModel) -> Plan:
    """Steps in s, and how many of each: whole ones for the supply cable, three or more for the
    shorter one, so that what rings there lasts; of a very short one, one.
    """
    first, second = travel_time_s(case.supply_m, model), travel_time_s(case.cable_m, model)
    window, t = case.window_s or model.window_s, 0.0
    plan: list[tuple[float, int]] = []
    untils = (*(begin for begin, _ in model.steps[1:]), window)
    for (_, longest), until in zip(model.steps, untils):
        fine = max(min(first, second) / 3, min(first, second, FINE_ENOUGH_S))
        step = first / math.ceil(first / min(longest, fine) - 1e-9)
        count = math.ceil((min(until, window) - t) / step - 1e-9)
        if count > 0:
            plan.append((step, count))
            t += step * count
    return plan


# ---- assemble


@dataclass(frozen=True)
class _Cable:
    """A lossless line with half of the cable's resistance at each end: `ohm` as a node sees it,
    `turned` of what does not pass is sent back.
    """

    ohm: float
    turned: float


def _cables(case: SurgeCase, model: SurgeModel) -> tuple[_Cable, _Cable]:
    """The supply cable and the charging cable."""
    wave = model.line_ohm
    near, far = (case.loss_ohm_per_m * metres / 2 for metres in (case.supply_m, case.cable_m))
    return (
        _Cable(wave + near, (wave - near) / (wave + near)),
        _Cable(wave + far, (wave - far) / (wave + far)),
    )


def _device(
    law: Varistor | None,
    gap: GapLaw | None,
    lead_m: float,
    earth_ohm: float,
    behind: Callable[[float], float],
    case: SurgeCase,
    model: SurgeModel,
    plan: Plan,
) -> _Send | None:
    """What holds the voltage of a node, on its leads and its earth."""
    henry, ohm = model.lead_henry_per_m * lead_m, model.lead_ohm_per_m * lead_m + earth_ohm
    if gap is not None:
        return started(spark_gap(gap, law, henry, ohm, behind, case.mains_v, plan))
    if law is None:
        return None
    return started(varistor(law, henry, ohm, behind, case.mains_v, plan))


def _board(
    case: SurgeCase, model: SurgeModel, plan: Plan
) -> Callable[[tuple[float, float]], tuple[float, float]]:
    near, _ = _cables(case, model)

    def behind(step: float) -> float:
        return 1 / (1 / near.ohm + _generator_siemens(case, model, step))

    device = _device(
        case.spd, case.spd_gap, case.lead_m, case.board_earth_ohm, behind, case, model, plan
    )
    part = end_of_line(near.ohm, started(_generator(case, model, plan)), device, behind, plan)
    next(part)
    return part.send


def _generator(case: SurgeCase, model: SurgeModel, plan: Plan) -> Clamp:
    if case.source == "combination-wave":
        return combination_wave(case.surge_v, model, plan)
    if case.source == "ring-wave":
        return ring_wave(case.surge_v, case.ring_ohm, model, plan)
    if case.source == "long-impulse":
        return long_impulse(case.impulse_a, model, plan)
    return current_impulse(case.impulse_a, model, plan)


def _generator_siemens(case: SurgeCase, model: SurgeModel, step: float) -> float:
    if case.source == "combination-wave":
        return 1 / model.generator_output_ohm + wave_siemens(model, step)
    return 1 / case.ring_ohm if case.source == "ring-wave" else 0.0


def _point(
    case: SurgeCase, model: SurgeModel, plan: Plan
) -> Callable[[tuple[float, float, float]], tuple[float, float, float]]:
    near, far = _cables(case, model)
    farad, ohm = case.point_farad, model.capacitor_ohm + case.point_earth_ohm

    def behind(step: float) -> float:
        own = capacitor_siemens(farad, ohm, step) if farad else 0.0
        return 1 / (1 / near.ohm + Contactor.of(case, model, far.ohm, step).siemens + own)

    drive = started(capacitor(farad, ohm, plan)) if farad else None
    device = _device(
        case.second_spd,
        case.second_gap,
        case.second_lead_m,
        case.point_earth_ohm,
        behind,
        case,
        model,
        plan,
    )
    part = charging_point(case, model, near.ohm, far.ohm, drive, device, behind, plan)
    next(part)
    return part.send


def _vehicle(
    case: SurgeCase, model: SurgeModel, plan: Plan
) -> Callable[[tuple[float, float]], tuple[float, float]]:
    charges = case.vehicle in ("capacitor", "varistor-and-capacitor")
    _, far = _cables(case, model)
    farad, ohm = case.vehicle_farad, model.capacitor_ohm + case.point_earth_ohm

    def behind(step: float) -> float:
        own = capacitor_siemens(farad, ohm, step) if charges else 0.0
        return 1 / (1 / far.ohm + 1 / model.open_end_ohm + own)

    drive = started(capacitor(farad, ohm, plan)) if charges else None
    held: _Send | None = None
    if case.vehicle == "rectifier":
        held = started(rectifier(model, case.point_earth_ohm, behind, case.mains_v, plan))
    elif case.vehicle in ("varistor", "varistor-and-capacitor"):
        held = _device(
            model.vehicle_varistor, None, 0.0, case.point_earth_ohm, behind, case, model, plan
        )
    part = end_of_line(far.ohm, drive, held, behind, plan)
    next(part)
    return part.send


# ---- step


def _stepped(case: SurgeCase, model: SurgeModel, plan: Plan) -> list[tuple[float, ...]]:
    """Volts at board, point and vehicle, and ampere of what holds them, at each step."""
    first, second = travel_time_s(case.supply_m, model), travel_time_s(case.cable_m, model)
    near, far = _cables(case, model)
    parts = [line(first, plan), line(first, plan), line(second, plan), line(second, plan)]
    to_point, to_board, to_vehicle, back = (next(part) for part in parts)
    lead_on, lead_back, lead_out, lead_home = (part.send for part in parts)
    board, point, vehicle = (
        _board(case, model, plan),
        _point(case, model, plan),
        _vehicle(case, model, plan),
    )
    found: list[tuple[float, ...]] = []
    put, earth_ohm, into = found.append, case.point_earth_ohm, 0.0
    for _ in range(sum(count for _, count in plan)):
        at_board, spd = board((to_board, 0.0))
        at_point, beyond, second_spd = point((to_point, back, earth_ohm * into))
        at_vehicle, into = vehicle((to_vehicle, earth_ohm * second_spd))
        to_point, to_board = (
            lead_on(at_board + near.turned * (at_board - to_board)),
            lead_back(at_point + near.turned * (at_point - to_point)),
        )
        to_vehicle, back = (
            lead_out(beyond + far.turned * (beyond - back)),
            lead_home(at_vehicle + far.turned * (at_vehicle - to_vehicle)),
        )
        put((at_board, at_point, at_vehicle, spd, second_spd, into))
    return found


# ---- record


def _recorded(case: SurgeCase, plan: Plan, found: list[tuple[float, ...]]) -> SurgeRun:
    times = _times(plan)
    board, point, vehicle, spd, second, into = zip((0.0,) * 6, *found)
    mains = case.mains_v
    # Point and vehicle stand on the point's earth: what rises there is no voltage across them.
    risen = [case.point_earth_ohm * (ampere + other) for ampere, other in zip(into, second)]
    at_point = tuple(volts + mains - rise for volts, rise in zip(point, risen))
    at_vehicle = tuple(volts + mains - rise for volts, rise in zip(vehicle, risen))
    has_spd = case.spd is not None or case.spd_gap is not None
    has_second = case.second_spd is not None or case.second_gap is not None
    held = case.vehicle not in ("open", "capacitor")
    return SurgeRun(
        times,
        tuple(volts + mains for volts in board),
        at_point,
        at_vehicle,
        spd if has_spd else (),
        second if has_second else (),
        into if held else (),
        # the current is that of the clamp, the voltage that at the vehicle's terminals
        _integral(times, [volts * ampere for volts, ampere in zip(at_vehicle, into)]),
        _integral(times, into),
        _absorbed(times, case.spd, case.spd_gap, spd),
        _absorbed(times, case.second_spd, case.second_gap, second),
    )


def _absorbed(
    times: Sequence[float], law: Varistor | None, gap: GapLaw | None, ampere: Sequence[float]
) -> float:
    """Energy in J that stays in a device, its leads and its earth left out."""
    arc = gap.arc_v if gap is not None else 0.0
    return _integral(
        times,
        [
            abs(each) * (arc + (law.volts(abs(each)) if law is not None else 0.0)) if each else 0.0
            for each in ampere
        ],
    )


def _times(plan: Plan) -> tuple[float, ...]:
    times, begun = [0.0], 0.0
    for step, count in plan:
        times += [begun + step * done for done in range(1, count + 1)]
        begun += step * count
    return tuple(times)


def _integral(times: Sequence[float], values: Sequence[float]) -> float:
    """By trapezoids."""
    return added(
        (times[at + 1] - times[at]) * (values[at] + values[at + 1]) / 2
        for at in range(len(times) - 1)
    )
