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
    combination_wave,
    current_impulse,
    long_impulse,
    node_of_lines,
    rectifier,
    ring_wave,
    samples_read,
    spark_gap,
    started,
    under_way,
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


@dataclass(frozen=True)
class _Node:
    """A node that waits for its first step; `taken` are the ampere of what holds its voltage, and
    `lifted` holds the volts by which others lift the earth of that. Where lines alone meet, `bare`
    gives their ohm at a step: worked in the loop itself, such a node costs a fifth of a call.
    """

    send: _Send
    taken: list[float]
    lifted: list[float]
    bare: Callable[[float], float] | None


def _node(
    drive: _Send | None, clamp: _Send | None, behind: Callable[[float], float], plan: Plan
) -> _Node:
    taken, lifted = [0.0], [0.0]
    bare = behind if drive is None and clamp is None else None
    send = started(node_of_lines(drive, clamp, behind, taken, lifted, plan))
    return _Node(send, taken, lifted, bare)


def _board(case: SurgeCase, model: SurgeModel, plan: Plan) -> _Node:
    near, _ = _cables(case, model)

    def behind(step: float) -> float:
        return 1 / (1 / near.ohm + _generator_siemens(case, model, step))

    device = _device(
        case.spd, case.spd_gap, case.lead_m, case.board_earth_ohm, behind, case, model, plan
    )
    return _node(started(_generator(case, model, plan)), device, behind, plan)


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


def _point(case: SurgeCase, model: SurgeModel, plan: Plan) -> _Node:
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
    return _node(drive, device, behind, plan)


def _vehicle(case: SurgeCase, model: SurgeModel, plan: Plan) -> _Node:
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
    return _node(drive, held, behind, plan)


# ---- step


@dataclass(frozen=True)
class _Found:
    """Volts at each step, and ampere of what holds them: none where nothing does."""

    board: list[float]
    point: list[float]
    vehicle: list[float]
    spd: list[float]
    second_spd: list[float]
    into_vehicle: list[float]


def _stepped(case: SurgeCase, model: SurgeModel, plan: Plan) -> _Found:
    """Wave by wave: what reaches a node along its lines, what the node does, what it sends back."""
    first, second = travel_time_s(case.supply_m, model), travel_time_s(case.cable_m, model)
    near, far = _cables(case, model)
    board, point, vehicle = (part(case, model, plan) for part in (_board, _point, _vehicle))
    at_board, at_point, at_vehicle = board.send, point.send, vehicle.send
    found = _Found([0.0], [0.0], [0.0], board.taken, point.taken, vehicle.taken)
    put_board, put_point, put_vehicle = (
        each.append for each in (found.board, found.point, found.vehicle)
    )
    near_siemens, far_siemens, earth_ohm = 1 / near.ohm, 1 / far.ohm, case.point_earth_ohm
    near_turned, far_turned = near.turned, far.turned
    # what was sent into the supply cable and into the charging cable, from both their ends
    on: list[float] = []
    home: list[float] = []
    out: list[float] = []
    back: list[float] = []
    stray_a = stray_v = past = 0.0
    before = plan[0][0]
    for step, count in plan:
        whole, _ = samples_read(first, step)  # of whole steps by the plan
        on, home = (under_way(sent, before, step, whole) for sent in (on, home))
        whole, (w0, w1, w2, w3) = samples_read(second, step)
        out, back = (under_way(sent, before, step, whole) for sent in (out, back))
        before, smooth = step, w0 != 0.0
        contactor = Contactor.of(case, model, far.ohm, step)
        siemens, stray = contactor.siemens, contactor.stray
        through = far.ohm * siemens
        point_ohm = point.bare(step) if point.bare else 0.0
        vehicle_ohm = vehicle.bare(step) if vehicle.bare else 0.0
        send_on, send_home, send_out, send_back = (each.append for each in (on, home, out, back))
        for at in range(3, 3 + count):
            to_point, to_board = on[at], home[at]
            to_vehicle, to_beyond = w1 * out[at], w1 * back[at]
            if w2:
                to_vehicle += w2 * out[at + 1]
                to_beyond += w2 * back[at + 1]
            if smooth:
                to_vehicle += w0 * out[at - 1] + w3 * out[at + 2]
                to_beyond += w0 * back[at - 1] + w3 * back[at + 2]
            volts = at_board(to_board * near_siemens)
            put_board(volts)
            send_on(volts + near_turned * (volts - to_board))
            if stray:
                past = (stray * stray_v + stray_a) * contactor.share
            if earth_ohm:
                point.lifted[0] = earth_ohm * found.into_vehicle[-1]
            into = to_point * near_siemens + to_beyond * siemens + past
            volts = into * point_ohm if point_ohm else at_point(into)
            put_point(volts)
            send_home(volts + near_turned * (volts - to_point))
            beyond = to_beyond + through * (volts - to_beyond)
            if stray:
                beyond -= far.ohm * past
                across = volts - beyond
                stray_a = stray * (across - stray_v) - stray_a
                stray_v = across
            send_out(beyond + far_turned * (beyond - to_beyond))
            if earth_ohm:
                vehicle.lifted[0] = earth_ohm * found.second_spd[-1]
            into = to_vehicle * far_siemens
            volts = into * vehicle_ohm if vehicle_ohm else at_vehicle(into)
            put_vehicle(volts)
            send_back(volts + far_turned * (volts - to_vehicle))
    return found


# ---- record


def _recorded(case: SurgeCase, plan: Plan, found: _Found) -> SurgeRun:
    volts: tuple[Sequence[float], ...] = (found.board, found.point, found.vehicle)
    spd, second, into = found.spd, found.second_spd, found.into_vehicle
    if case.point_earth_ohm:
        # Point and vehicle stand on the point's earth: what rises there is no voltage across them.
        nothing = [0.0] * len(found.board)
        lifting = zip(into if into[1:] else nothing, second if second[1:] else nothing)
        risen = [case.point_earth_ohm * (one + other) for one, other in lifting]
        volts = (found.board, *([v - rise for v, rise in zip(each, risen)] for each in volts[1:]))
    if case.mains_v:
        volts = tuple([v + case.mains_v for v in each] for each in volts)
    board, point, vehicle = map(tuple, volts)
    held = len(into) > 1
    return SurgeRun(
        _times(plan),
        board,
        point,
        vehicle,
        tuple(spd) if len(spd) > 1 else (),
        tuple(second) if len(second) > 1 else (),
        tuple(into) if held else (),
        # the current is that of the clamp, the voltage that at the vehicle's terminals
        _integral(plan, [v * ampere for v, ampere in zip(vehicle, into)]) if held else 0.0,
        _integral(plan, into) if held else 0.0,
        _absorbed(plan, case.spd, case.spd_gap, spd) if len(spd) > 1 else 0.0,
        _absorbed(plan, case.second_spd, case.second_gap, second) if len(second) > 1 else 0.0,
    )


def _absorbed(
    plan: Plan, law: Varistor | None, gap: GapLaw | None, ampere: Sequence[float]
) -> float:
    """Energy in J that stays in a device, its leads and its earth left out."""
    arc = gap.arc_v if gap is not None else 0.0
    # The law written out: a call of it for every step costs a twentieth of a run.
    k, alpha, ohm = (law.volts_at_1_a, law.alpha, law.series_ohm) if law else (0.0, 0.0, 0.0)
    either = map(abs, ampere)
    return _integral(plan, [i and i * (arc + k * i**alpha + ohm * i) for i in either])


def _times(plan: Plan) -> tuple[float, ...]:
    times, begun = [0.0], 0.0
    for step, count in plan:
        times += [begun + step * done for done in range(1, count + 1)]
        begun += step * count
    return tuple(times)


def _integral(plan: Plan, values: Sequence[float]) -> float:
    """By trapezoids: within a stretch of equal steps, all values less half of its ends."""
    stretches, begun = [], 0
    for step, count in plan:
        stretch = values[begun : begun + count + 1]
        stretches.append(step * (added(stretch) - (stretch[0] + stretch[-1]) / 2))
        begun += count
    return added(stretches)
