"""Calculations: a surge run: its parts are put together, stepped through time, and recorded."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from firstway.calculations.adding import added
from firstway.calculations.surge import (
    Refused,
    SurgeCase,
    SurgeModel,
    SurgeRun,
    Varistor,
    refusal,
    travel_time_s,
)
from firstway.calculations.surge_parts import (
    Contactor,
    Plan,
    capacitor,
    capacitor_siemens,
    charging_point,
    combination_wave,
    current_impulse,
    end_of_line,
    line,
    rectifier,
    started,
    varistor,
    wave_siemens,
)

_Send = Callable[[float], float]


def surge_run(case: SurgeCase, model: SurgeModel) -> SurgeRun | Refused:
    """Run a case. The same case and model give the same run to the last digit."""
    refused = refusal(case, model)
    if refused:
        return refused
    plan = plan_of(case, model)
    return _recorded(case, plan, _stepped(case, model, plan))


def plan_of(case: SurgeCase, model: SurgeModel) -> Plan:
    """Steps in s, and how many of each: whole ones for the supply cable, none longer than a wave
    takes along the shorter one.
    """
    first, second = travel_time_s(case.supply_m, model), travel_time_s(case.cable_m, model)
    window, t = case.window_s or model.window_s, 0.0
    plan: list[tuple[float, int]] = []
    untils = (*(begin for begin, _ in model.steps[1:]), window)
    for (_, longest), until in zip(model.steps, untils):
        step = first / math.ceil(first / min(longest, first, second) - 1e-9)
        count = math.ceil((min(until, window) - t) / step - 1e-9)
        if count > 0:
            plan.append((step, count))
            t += step * count
    return plan


# ---- assemble


def _device(
    law: Varistor | None,
    lead_m: float,
    behind: Callable[[float], float],
    case: SurgeCase,
    model: SurgeModel,
    plan: Plan,
) -> _Send | None:
    if law is None:
        return None
    henry, ohm = model.lead_henry_per_m * lead_m, model.lead_ohm_per_m * lead_m
    return started(varistor(law, henry, ohm, behind, case.mains_v, plan))


def _board(
    case: SurgeCase, model: SurgeModel, plan: Plan
) -> Callable[[float], tuple[float, float]]:
    wave = case.source == "combination-wave"

    def behind(step: float) -> float:
        own = 1 / model.generator_output_ohm + wave_siemens(model, step) if wave else 0.0
        return 1 / (1 / model.line_ohm + own)

    drive = (
        combination_wave(case.surge_v, model, plan)
        if wave
        else current_impulse(case.impulse_a, model, plan)
    )
    device = _device(case.spd, case.lead_m, behind, case, model, plan)
    part = end_of_line(model, started(drive), device, behind, plan)
    next(part)
    return part.send


def _point(
    case: SurgeCase, model: SurgeModel, plan: Plan
) -> Callable[[tuple[float, float]], tuple[float, float, float]]:
    def behind(step: float) -> float:
        return 1 / (1 / model.line_ohm + Contactor.of(case, model, step).siemens)

    device = _device(case.second_spd, case.second_lead_m, behind, case, model, plan)
    part = charging_point(case, model, device, behind, plan)
    next(part)
    return part.send


def _vehicle(
    case: SurgeCase, model: SurgeModel, plan: Plan
) -> Callable[[float], tuple[float, float]]:
    charges = case.vehicle in ("capacitor", "varistor-and-capacitor")

    def behind(step: float) -> float:
        own = capacitor_siemens(case.vehicle_farad, model.capacitor_ohm, step) if charges else 0.0
        return 1 / (1 / model.line_ohm + 1 / model.open_end_ohm + own)

    drive = started(capacitor(case.vehicle_farad, model.capacitor_ohm, plan)) if charges else None
    held: _Send | None = None
    if case.vehicle == "rectifier":
        held = started(rectifier(model, behind, case.mains_v, plan))
    elif case.vehicle in ("varistor", "varistor-and-capacitor"):
        held = _device(model.vehicle_varistor, 0.0, behind, case, model, plan)
    part = end_of_line(model, drive, held, behind, plan)
    next(part)
    return part.send


# ---- step


def _stepped(case: SurgeCase, model: SurgeModel, plan: Plan) -> list[tuple[float, ...]]:
    """Volts at board, point and vehicle, and ampere of what holds them, at each step."""
    first, second = travel_time_s(case.supply_m, model), travel_time_s(case.cable_m, model)
    parts = [line(first, plan), line(first, plan), line(second, plan), line(second, plan)]
    to_point, to_board, to_vehicle, back = (next(part) for part in parts)
    lead_on, lead_back, lead_out, lead_home = (part.send for part in parts)
    board, point, vehicle = (
        _board(case, model, plan),
        _point(case, model, plan),
        _vehicle(case, model, plan),
    )
    found: list[tuple[float, ...]] = []
    put = found.append
    for _ in range(sum(count for _, count in plan)):
        at_board, spd = board(to_board)
        at_point, beyond, second_spd = point((to_point, back))
        at_vehicle, into = vehicle(to_vehicle)
        to_point, to_board = lead_on(2 * at_board - to_board), lead_back(2 * at_point - to_point)
        to_vehicle, back = lead_out(2 * beyond - back), lead_home(2 * at_vehicle - to_vehicle)
        put((at_board, at_point, at_vehicle, spd, second_spd, into))
    return found


# ---- record


def _recorded(case: SurgeCase, plan: Plan, found: list[tuple[float, ...]]) -> SurgeRun:
    times = _times(plan)
    board, point, vehicle, spd, second, into = zip((0.0,) * 6, *found)
    mains = case.mains_v
    at_vehicle = tuple(volts + mains for volts in vehicle)
    held = case.vehicle not in ("open", "capacitor")
    return SurgeRun(
        times,
        tuple(volts + mains for volts in board),
        tuple(volts + mains for volts in point),
        at_vehicle,
        spd if case.spd else (),
        second if case.second_spd else (),
        into if held else (),
        # the current is that of the clamp, the voltage that at the vehicle's terminals
        _integral(times, [volts * ampere for volts, ampere in zip(at_vehicle, into)]),
        _integral(times, into),
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
