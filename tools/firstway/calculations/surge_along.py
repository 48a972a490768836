"""Calculations: a surge run as it stands along its cables at one instant, from what was recorded at
their ends.
"""

from bisect import bisect_right
from collections.abc import Sequence

from firstway.calculations.adding import added
from firstway.calculations.surge import Refused, SurgeCase, SurgeModel, SurgeRun, travel_time_s


def volts_along_cables(
    run: SurgeRun, case: SurgeCase, model: SurgeModel, at_s: float, metres: Sequence[float]
) -> tuple[float, ...] | Refused:
    """Voltages in V at distances from the board (0 to both cables together), at a time within the
    run in s.

    Each cable carries a wave away from either end, and the voltage between them is the sum of both
    (d'Alembert; Bergeron). What leaves an end is what stands there less what has just arrived, so
    it follows from the voltages at both ends alone. Refused where cables lose, for then the waves
    shrink on their way, where the contactor is open, and where what was recorded is not the voltage
    of the wave alone: with the mains in it, or from an earth of the point's own.
    """
    if case.loss_ohm_per_m or not case.contactor_closed or case.mains_v or case.point_earth_ohm:
        return Refused(
            "the record is not that of lossless cables joined, from one earth, without the mains",
            "run it without loss, mains and an earth of the point's own, the contactor closed",
        )
    volts = []
    for place in metres:
        supply = place <= case.supply_m
        near, far = (run.board_v, run.point_v) if supply else (run.point_v, run.vehicle_v)
        whole = travel_time_s(case.supply_m if supply else case.cable_m, model)
        gone = travel_time_s(place if supply else place - case.supply_m, model)
        volts.append(
            _leaving(run.times_s, near, far, at_s - gone, whole)
            + _leaving(run.times_s, far, near, at_s - (whole - gone), whole)
        )
    return tuple(volts)


def _leaving(
    times_s: Sequence[float],
    own: Sequence[float],
    other: Sequence[float],
    at_s: float,
    way_s: float,
) -> float:
    """The wave that leaves an end: its own voltage, less what left the other end a way ago, which
    is that voltage, less what left this end a way before, and so on until all was quiet.
    """
    parts: list[float] = []
    ends, turn = (own, other), 0
    while at_s - turn * way_s > 0:
        value = _between(times_s, ends[turn % 2], at_s - turn * way_s)
        parts.append(-value if turn % 2 else value)
        turn += 1
    return added(parts)


def _between(times_s: Sequence[float], values: Sequence[float], at_s: float) -> float:
    """On the cubic through the two samples on either side (Lagrange), as the solver itself reads
    between its steps; on a straight line the sum above would ring.
    """
    first = min(max(bisect_right(times_s, at_s) - 2, 0), len(times_s) - 4)
    found = 0.0
    for one in range(first, first + 4):
        weight = values[one]
        for other in range(first, first + 4):
            if other != one:
                weight *= (at_s - times_s[other]) / (times_s[one] - times_s[other])
        found += weight
    return found
