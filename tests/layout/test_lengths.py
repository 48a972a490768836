"""Proves lengths, cutting lengths and loop areas against geometry, and tells which stated leads of
the shipped files cannot be laid.
"""

from __future__ import annotations

from math import dist, pi, sqrt

import pytest
from boards import shipped
from lying import least_radius
from sampling import JOBS
from telling import Tell

from firstway.layout.bending import (
    apart,
    area_between,
    bent_length,
    bent_points,
    corners_of,
    enters,
    tightest,
    with_sets,
)
from firstway.layout.plan import XYZ, Solid

SQUARE: tuple[XYZ, ...] = ((0, 0, 0), (100, 0, 0), (100, 80, 0))


def test_bent_length__a_quarter_bend() -> None:
    # A quarter of a circle instead of two tangents: 2 r less, pi r / 2 more.
    assert bent_length(SQUARE, 20) == pytest.approx(180 - 2 * 20 + pi * 20 / 2)
    assert bent_length(SQUARE[:2], 20) == 100


def test_bent_points__lie_on_the_circle_and_are_as_long() -> None:
    line = bent_points(SQUARE, 20, 400)
    assert sum(dist(a, b) for a, b in zip(line, line[1:])) == pytest.approx(
        bent_length(SQUARE, 20), rel=1e-5
    )
    for point in line[1:-1]:
        assert dist(point, (80, 20, 0)) == pytest.approx(20)
    assert least_radius(bent_points(SQUARE, 20)) == pytest.approx(20)


def test_bent_length__in_space() -> None:
    corner: tuple[XYZ, ...] = ((0, 0, 0), (0, 50, 0), (30, 50, 40))
    assert bent_length(corner, 10) == pytest.approx(100 - 20 + pi * 5)


def test_tightest() -> None:
    assert tightest(SQUARE, 20) == 20
    assert tightest(((0, 0, 0), (10, 0, 0), (10, 80, 0)), 20) == pytest.approx(10)
    assert tightest(SQUARE[:2], 20) is None
    hook: tuple[XYZ, ...] = ((0, 0, 0), (0, 90, 0), (30, 90, 0), (30, 0, 0))
    assert tightest(hook, 20) == pytest.approx(15)


@pytest.mark.parametrize("high", [6.0, 10.0, 30.0])
def test_with_sets__a_jog_becomes_a_set_with_room_for_its_bends(high: float) -> None:
    jog: tuple[XYZ, ...] = ((0, 0, 0), (0, 100, 0), (high, 100, 0), (high, 200, 0))
    made = with_sets(jog, 20)
    assert tightest(jog, 20) < 20  # type: ignore[operator]  # it has bends
    assert tightest(made, 20) == 20
    assert made[0] == jog[0] and made[-1] == jog[-1]
    # A set of two arcs of radius r that shifts by h is sqrt(4 r h - h^2) long along the run.
    run = made[2][1] - made[1][1]
    assert run < sqrt(4 * 22 * high - high**2)


def test_with_sets__a_slight_jog_is_a_slant_of_the_shorter_piece() -> None:
    jog: tuple[XYZ, ...] = ((0, 0, 0), (0, 50, 0), (3, 50, 0), (3, 200, 0))
    assert with_sets(jog, 20) == (jog[0], jog[2], jog[3])


def test_with_sets__leaves_what_has_room() -> None:
    jog: tuple[XYZ, ...] = ((0, 0, 0), (0, 100, 0), (60, 100, 0), (60, 200, 0))
    assert with_sets(jog, 20) == jog


def test_corners_of__drops_what_is_no_corner() -> None:
    assert corners_of(((0, 0, 0), (0, 0, 0), (50, 0, 0), *SQUARE[1:])) == SQUARE


def test_area_between() -> None:
    upper: tuple[XYZ, ...] = ((0, 10, 0), (100, 10, 0))
    lower: tuple[XYZ, ...] = ((0, 0, 0), (100, 0, 0))
    assert area_between(upper, lower) == pytest.approx(1000)
    assert area_between(upper, tuple(reversed(lower))) == pytest.approx(1000)
    assert area_between(upper, ((0, 10, 30), (100, 10, 30))) == pytest.approx(3000)


def test_apart_and_enters() -> None:
    assert apart((0, 0, 0), (10, 0, 0), (5, -5, 3), (5, 5, 3)) == pytest.approx(3)
    assert apart((0, 0, 0), (10, 0, 0), (13, 4, 0), (13, 9, 0)) == pytest.approx(5)
    box = Solid((0, 0, 0), (10, 10, 10))
    assert enters((-5, 5, 5), (15, 5, 5), box)
    assert not enters((-5, 5, 5), (-1, 5, 5), box) and not enters((-5, 0, 5), (15, 0, 5), box)


def test_laid__length_cutting_length_and_loop() -> None:
    plan, _ = shipped("marram")
    link = plan.by_id["link.N.F2"]
    strip, slack = 11 - 7 + 12 - 4.5, 2 * 15  # F2 states 11 mm; its screw sits 7 mm inside
    assert (link.cutting_m - link.length_m) * 1000 == pytest.approx(strip + slack)
    feed = plan.by_id["feed.L1"]
    assert (feed.cutting_m - feed.length_m) * 1000 == pytest.approx(14 - 7 + 15), "one end inside"
    assert feed.partner == "feed.N" and plan.by_id["slipway.N"].partner == "slipway.L1"
    for each in plan.conductors:
        assert (each.loop_cm2 is None) == (each.partner == "")
    lead = plan.by_id["lead.PE.F1"]
    assert lead.partner == "lead.N.F1" and lead.loop_cm2 == pytest.approx(
        area_between(lead.points, plan.by_id["lead.N.F1"].points) / 100
    )


def test_leads__stated_against_straight_and_laid(tell: Tell) -> None:
    """A stated lead below the straight line between the plan's terminals cannot be laid there."""
    counted, short, shorter = 0, [], []
    for name in JOBS:
        plan, wiring = shipped(name)
        for conductor in wiring.conductors:
            laid = plan.by_id.get(conductor.id)
            if conductor.kind != "lead" or laid is None or conductor.length_m is None:
                continue
            counted += 1
            straight = dist(laid.points[0], laid.points[-1]) / 1000
            assert straight <= laid.length_m
            what = (
                f"{name} {conductor.id}: stated {conductor.length_m:.2f},"
                f" straight {straight:.3f}, laid {laid.length_m:.3f} m"
            )
            if conductor.length_m < straight:
                short.append(what)
            elif conductor.length_m < laid.length_m:
                shorter.append(what)
    assert counted > 20
    tell(f"leads: {len(short)} of {counted} stated below the straight line; {len(shorter)} below")
    for what in short:
        tell(f"leads: below the straight line: {what}")
    for what in shorter:
        tell(f"leads: below the laid way: {what}")
