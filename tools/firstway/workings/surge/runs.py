"""Workings: surge runs by content: worked once, kept in memory and in the cache folder."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import fields, replace
from functools import cache, lru_cache
from itertools import pairwise
from pathlib import Path
from typing import Any

from firstway.calculations import surge, surge_along, surge_parts, surge_running
from firstway.calculations.surge import Refused, SurgeCase, SurgeRun, travel_time_s
from firstway.calculations.surge_along import volts_along_cables
from firstway.calculations.surge_running import surge_run
from firstway.files.keeping import digest_of_files, kept
from firstway.frozen import dataclass
from firstway.workings.surge.model import model_value, surge_model

PEAKS, WAVES, STILLS = "surge", "surge-waves", "surge-stills"
FINE_S, FINE_COLUMNS, COARSE_COLUMNS = 6e-6, 200, 100
SOLVED_DIGITS = 9
"""Significant digits of a peak. The solver's last bits differ from one machine's exp and pow to
another's and grow to some 1e-13 of a run: twelve digits would show it, one figure in ten.
"""
STILL_PIECES = 50  # of the whole way: 0.5 m of a usual one
Wave = tuple[tuple[float, float], ...]  # (microseconds, volts or ampere)


@dataclass(frozen=True)
class KeptRun:
    """Peaks of a run in V, A and J."""

    board_peak_v: float
    point_peak_v: float
    vehicle_peak_v: float
    spd_peak_a: float
    second_spd_peak_a: float
    vehicle_peak_a: float
    vehicle_energy_j: float
    spd_energy_j: float
    second_spd_energy_j: float


@dataclass(frozen=True)
class KeptWaves:
    """Waves of a run, thinned for charts: the extremes of every column of time are kept."""

    board: Wave
    point: Wave
    vehicle: Wave
    spd: Wave


@dataclass(frozen=True)
class KeptStills:
    """A run along its cables at some instants: each is (microseconds, ((metres from the board,
    volts), ...)), the last of them at the vehicle.
    """

    stills: tuple[tuple[float, tuple[tuple[float, float], ...]], ...]


def case_for_peaks(case: SurgeCase) -> SurgeCase:
    """The case over a shorter time: volts peak early; what a varistor absorbs needs the
    whole time.
    """
    return replace(case, window_s=model_value("peak-window-us") * 1e-6)


@lru_cache(maxsize=5000)
def run_of(case: SurgeCase) -> KeptRun | Refused:
    """The peaks of a case, from memory, the cache folder or the solver."""

    def make() -> KeptRun | Refused:
        run = _run(case)
        return run if isinstance(run, Refused) else _peaks(run)

    return kept(
        PEAKS,
        repr(case),
        repr(surge_model()),
        make,
        data=_plain,
        thing=_peaks_from,
        program=_solver(),
    )


@lru_cache(maxsize=200)
def waves_of(case: SurgeCase) -> KeptWaves | Refused:
    """The waves of a case; made only where something is drawn, for they are a hundred times longer
    and few of the runs are drawn.
    """

    def make() -> KeptWaves | Refused:
        run = _run(case)
        return run if isinstance(run, Refused) else _thinned(run)

    return kept(
        WAVES,
        repr(case),
        repr(surge_model()),
        make,
        data=_plain,
        thing=_waves_from,
        program=_solver(),
    )


def way_us(case: SurgeCase) -> float:
    """How long a wave takes from the board to the vehicle, in microseconds."""
    return travel_time_s(case.supply_m + case.cable_m, surge_model()) * 1e6


@lru_cache(maxsize=200)
def stills_of(case: SurgeCase, at_us: tuple[float, ...]) -> KeptStills | Refused:
    """The voltages along the cables of a case at these times; read only where they are drawn."""

    def make() -> KeptStills | Refused:
        run = _run(case)
        return run if isinstance(run, Refused) else _stills(run, case, at_us)

    return kept(
        STILLS,
        repr((case, at_us)),
        repr(surge_model()),
        make,
        data=_plain,
        thing=_stills_from,
        program=_solver(),
    )


def _stills(run: SurgeRun, case: SurgeCase, at_us: tuple[float, ...]) -> KeptStills | Refused:
    whole = case.supply_m + case.cable_m
    metres = [whole * piece / STILL_PIECES for piece in range(STILL_PIECES + 1)]
    found = []
    for at in at_us:
        volts = volts_along_cables(run, case, surge_model(), at * 1e-6, metres)
        if isinstance(volts, Refused):
            return volts
        points = ((round(m, 3), round(v, 1)) for m, v in zip(metres, volts))
        found.append((at, tuple(points)))
    return KeptStills(tuple(found))


@lru_cache(maxsize=1)  # peaks and waves of one case are asked for one after the other
def _run(case: SurgeCase) -> SurgeRun | Refused:
    return surge_run(case, surge_model())


@cache
def _solver() -> str:
    """What the result hangs on beside the case and the model."""
    return digest_of_files(
        (
            Path(__file__),
            *(
                Path(str(each.__file__))
                for each in (surge, surge_along, surge_parts, surge_running)
            ),
        )
    )


def _plain(made: KeptRun | KeptWaves | KeptStills | Refused) -> dict[str, Any] | None:
    return None if isinstance(made, Refused) else dict(vars(made))


def _peaks_from(data: Any) -> KeptRun:
    return KeptRun(**{field.name: float(data[field.name]) for field in fields(KeptRun)})


def _waves_from(data: Any) -> KeptWaves:
    return KeptWaves(
        **{
            field.name: tuple((float(t), float(v)) for t, v in data[field.name])
            for field in fields(KeptWaves)
        }
    )


def _stills_from(data: Any) -> KeptStills:
    return KeptStills(
        tuple(
            (float(at), tuple((float(m), float(v)) for m, v in points))
            for at, points in data["stills"]
        )
    )


def _peaks(run: SurgeRun) -> KeptRun:
    found = (
        run.board_peak_v,
        run.point_peak_v,
        run.vehicle_peak_v,
        run.spd_peak_a,
        run.second_spd_peak_a,
        run.vehicle_peak_a,
        run.vehicle_energy_j,
        run.spd_energy_j,
        run.second_spd_energy_j,
    )
    return KeptRun(*(float(f"{each:.{SOLVED_DIGITS}g}") for each in found))


def _thinned(run: SurgeRun) -> KeptWaves:
    return KeptWaves(
        *(
            _wave(values, run.times_s)
            for values in (run.board_v, run.point_v, run.vehicle_v, run.spd_a)
        )
    )


def _wave(values: Sequence[float], times_s: Sequence[float]) -> Wave:
    """The lowest and the highest value of each column of time, in the order they come; the first
    microseconds finer.
    """
    if not values:
        return ()
    whole = times_s[-1]
    edges = [min(FINE_S, whole) * part / FINE_COLUMNS for part in range(FINE_COLUMNS)]
    rest = max(0.0, whole - FINE_S)
    edges += [FINE_S + rest * part / COARSE_COLUMNS for part in range(COARSE_COLUMNS)]
    begins = [bisect_left(times_s, edge) for edge in edges if edge < whole]
    picked: dict[int, None] = {0: None}
    for start, stop in pairwise([*begins, len(values)]):
        if start < stop:
            part = values[start:stop]
            low, high = part.index(min(part)) + start, part.index(max(part)) + start
            picked.update(dict.fromkeys(sorted((low, high))))
    picked[len(values) - 1] = None
    return tuple((round(times_s[index] * 1e6, 4), round(values[index], 1)) for index in picked)
