"""The voltage along the cables, from what a run recorded at their ends.

Two cables in one piece are one line, wherever it is cut in the case: what stands at 9 m of a line
cut at 18 m is what ngspice measures at the node of one cut there. The laws are
those of the lossless line (d'Alembert): nothing ahead of the front, twice at an open end.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from surge_netlist import measured, netlist

from firstway.calculations.surge import Refused, SurgeCase, SurgeRun, Varistor, travel_time_s
from firstway.calculations.surge_along import volts_along_cables
from firstway.calculations.surge_running import surge_run
from firstway.workings.surge.model import surge_model

MODEL = surge_model()
DEVICE = Varistor(450 / 0.001**0.03, 0.03, 0.035)
CASE = SurgeCase(18.0, 7.5, DEVICE, 0.3, window_s=4e-6)


def run_of(case: SurgeCase) -> SurgeRun:
    found = surge_run(case, MODEL)
    assert isinstance(found, SurgeRun)
    return found


def along(case: SurgeCase, at_s: float, *metres: float) -> tuple[float, ...]:
    found = volts_along_cables(run_of(case), case, MODEL, at_s, metres)
    assert not isinstance(found, Refused)
    return found


@pytest.mark.parametrize("spd", [DEVICE, None])
def test_volts_along__are_those_of_the_same_line_cut_elsewhere(spd: Varistor | None) -> None:
    case = replace(CASE, spd=spd)
    elsewhere = replace(case, supply_m=9.0, cable_m=16.5)
    run = run_of(elsewhere)
    for at in range(60, len(run.times_s), 300):
        (found,) = along(case, run.times_s[at], 9.0)
        assert found == pytest.approx(run.point_v[at], rel=0.01, abs=0.004 * run.vehicle_peak_v)


def test_volts_along__nothing_stands_ahead_of_the_front() -> None:
    whole = CASE.supply_m + CASE.cable_m
    at = 0.5 * travel_time_s(whole, MODEL)
    ahead = along(CASE, at, 0.51 * whole, 0.75 * whole, whole)
    assert ahead == pytest.approx((0, 0, 0), abs=1e-6)
    assert min(along(CASE, at, 0.0, 0.25 * whole, 0.45 * whole)) > 50


def test_volts_along__meet_the_record_at_both_ends() -> None:
    run = run_of(CASE)
    for at in (60, 200, 700):
        near, far = along(CASE, run.times_s[at], 0.0, 25.5)
        assert near == pytest.approx(run.board_v[at], abs=0.5)
        assert far == pytest.approx(run.vehicle_v[at], abs=0.5)


def test_volts_along__the_open_end_sees_twice_what_arrives() -> None:
    """Before any echo is back: twice what stood at the board one way earlier."""
    run, way = run_of(CASE), travel_time_s(25.5, MODEL)
    at = next(place for place, time in enumerate(run.times_s) if time > 1.6 * way)
    before = next(place for place, time in enumerate(run.times_s) if time >= run.times_s[at] - way)
    (found,) = along(CASE, run.times_s[at], 25.5)
    assert found == pytest.approx(2 * run.board_v[before], rel=0.01)


@pytest.mark.parametrize("change", [{"loss_ohm_per_m": 0.05}, {"contactor_closed": False}])
def test_volts_along__is_refused_where_it_is_no_lossless_line(change: dict[str, float]) -> None:
    case = replace(CASE, **change)  # type: ignore[arg-type]  # names of fields
    assert isinstance(volts_along_cables(run_of(case), case, MODEL, 1e-7, (1.0,)), Refused)


@pytest.mark.long
@pytest.mark.skipif(shutil.which("ngspice") is None, reason="ngspice is not installed")
def test_volts_along__highest_on_the_way_is_what_ngspice_measures_there(
    tmp_path: Path,
) -> None:
    elsewhere = replace(CASE, supply_m=9.0, cable_m=16.5)
    expected = measured(netlist(elsewhere, MODEL, 0.5e-9, 4e-6), tmp_path)["point"]
    run = run_of(CASE)
    found = max(
        value
        for at in run.times_s[1:]
        for value in volts_along_cables(run, CASE, MODEL, at, (9.0,))
        if isinstance(value, float)
    )
    assert found == pytest.approx(expected, rel=0.003)


def test_volts_along__late_and_coarse_are_those_of_a_run_ten_times_as_fine() -> None:
    """Dozens of echoes are added; what is read between long steps must not ring (our own run, so a
    measure of its steps and no proof).
    """
    law = Varistor(302.646, 0.03, 0.014633)  # of a board of 120 V: short steps of its echoes
    case = SurgeCase(14.0, 7.6, law, 0.1414, window_s=2e-5)
    fine = replace(MODEL, steps=((0.0, 0.5e-9),))
    metres = [21.6 * piece / 50 for piece in range(51)]
    coarse = along(case, 3.91e-6, *metres)
    found = surge_run(case, fine)
    assert isinstance(found, SurgeRun)
    wanted = volts_along_cables(found, case, fine, 3.91e-6, metres)
    assert not isinstance(wanted, Refused)
    most = max(abs(one - other) for one, other in zip(coarse, wanted))
    assert most < 0.012 * found.vehicle_peak_v
