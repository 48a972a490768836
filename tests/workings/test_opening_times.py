"""How long a device may take: each row of the standards beside what we say of a device to it.

Rows: BS 7671 Tables 41.3 and 41.4 (0.95 x 230 V over the printed loop), IEC 61008-1 Table 1, IEC
60898-1 Table 7, IEC 60269-1 Table 3 (from memory). Expectations are worked from the printed rows,
not from our tables.
"""

from __future__ import annotations

import pytest

from firstway.workings.shared.opening_times import (
    Device,
    energy_a2s,
    opens,
    overcurrent_opens,
    residual_opens,
)

TAIL_FUSE = Device("service", "fuse", "supply.service_device", "BS 88-3", 80.0)
B40 = Device("F2", "rcbo", "board.ways.F2", "IEC 61009-1", 40.0, "B", 30.0, "none")
SLOW = Device("first", "rcd", "supply.upstream_rcd", "IEC 61008-1", residual_ma=300.0, delay="S")


@pytest.mark.parametrize(
    "standard, rating_a, loop_ohm, seconds",
    [
        ("BS 88-3", 63, 0.68, 5),
        ("BS 88-3", 80, 0.51, 5),
        ("BS 88-3", 100, 0.38, 5),  # Table 41.4
        ("BS 88-2", 16, 2.43, 0.4),
        ("BS 88-2", 32, 0.99, 0.4),  # Table 41.2 of 2011 times 0.95
        ("BS HD 60269-3", 80, 0.51, 5),  # the same fuse by its other name
    ],
)
def test_a_fuse_opens_in_time_at_the_loop_of_the_rules_and_not_above_it(
    standard: str, rating_a: float, loop_ohm: float, seconds: float
) -> None:
    fuse = Device("fuse", "fuse", "", standard, rating_a)
    least = 0.95 * 230 / loop_ohm
    assert overcurrent_opens(fuse, least * 1.0001).within_s == seconds
    slower = overcurrent_opens(fuse, least * 0.9999).within_s
    assert slower is not None and slower > seconds


@pytest.mark.parametrize(
    "curve, rating_a, loop_ohm",
    [("B", 32, 1.37), ("B", 40, 1.09), ("C", 32, 0.68), ("C", 40, 0.55), ("D", 32, 0.34)],
)
def test_a_breaker_opens_at_once_at_the_loop_of_the_rules(
    curve: str, rating_a: float, loop_ohm: float
) -> None:
    """Table 41.3; the last digit of the printed loop is rounded, hence the 1 %."""
    breaker = Device("F1", "circuit-breaker", "", "BS EN 60898-1", rating_a, curve)
    least = 0.95 * 230 / loop_ohm
    assert overcurrent_opens(breaker, least * 1.01).within_s == 0.1
    assert overcurrent_opens(breaker, least * 0.98).within_s == 3600


@pytest.mark.parametrize(
    "delay, times, seconds",
    [
        ("none", 1, 0.3),
        ("none", 2, 0.15),
        ("none", 5, 0.04),
        ("S", 1, 0.5),
        ("S", 2, 0.2),
        ("S", 5, 0.15),
    ],
)
def test_a_residual_device_keeps_the_times_of_its_standard(
    delay: str, times: float, seconds: float
) -> None:
    """IEC 61008-1 Table 1, 100 mA."""
    device = Device("rcd", "rcd", "", residual_ma=100.0, delay=delay)
    assert residual_opens(device, 0.1 * times).within_s == seconds
    assert residual_opens(device, 0.0999).never


def test_up_to_30_ma_a_quarter_ampere_stands_for_five_times() -> None:
    """IEC 61008-1 Table 1, note: 0.25 A instead of five times."""
    assert residual_opens(B40, 0.249).within_s == 0.15
    assert residual_opens(B40, 0.25).within_s == 0.04


def test_the_quicker_part_of_an_rcbo_counts() -> None:
    assert opens(B40, 600.0, 600.0).within_s == 0.04  # a fault to earth: both parts
    assert opens(B40, 600.0, 0.0).within_s == 0.1  # a fault to neutral: overcurrent alone
    assert opens(B40, 3.1, 3.1).within_s == 0.04  # through an electrode: residual alone
    assert opens(B40, 20.0, 0.02).never  # nothing makes it sure to open


def test_a_delayed_device_is_blind_to_a_small_leak_and_a_fuse_to_an_electrode() -> None:
    """0.14 A through 1667 ohm is below 300 mA; 3 A through 75 ohm never melts a fuse of 80 A."""
    assert opens(SLOW, 0.14, 0.14).never
    assert opens(TAIL_FUSE, 3.1, 3.1).never


@pytest.mark.parametrize(
    "device, asks",
    [
        (Device("F1", "circuit-breaker", "", "UL 489", 40.0), "the maker's curve of F1"),
        (Device("F1", "circuit-breaker", "", "IEC 60898-1", None, "B"), "the rating of F1"),
        (Device("fuse", "fuse", "", "BS 1361", 45.0), "the maker's curve of fuse"),
        (Device("fuse", "fuse", "", "", 80.0), "the standard of fuse"),
        (Device("F1", "circuit-breaker", "", "", 40.0, "B"), "the standard of F1"),
        (Device("rcd", "rcd", ""), "the rated residual current and the delay of rcd"),
        (
            Device("rcd", "rcd", "", residual_ma=100.0),
            "the rated residual current and the delay of rcd",
        ),
        (Device("rcd", "rcd", "", delay="S"), "the rated residual current and the delay of rcd"),
    ],
)
def test_what_no_row_says_is_asked(device: Device, asks: str) -> None:
    found = opens(device, 800.0, 800.0)
    assert found.within_s is None and not found.never and found.ask.startswith(asks)


def test_one_known_part_needs_no_other() -> None:
    """The overcurrent part is not known; the residual part opens within its time all the same."""
    assert (
        opens(
            Device("F2", "rcbo", "", "IEC 61009-1", None, "", 30.0, "none"), 800.0, 800.0
        ).within_s
        == 0.04
    )


def test_energy_is_that_of_the_row_for_a_fuse_and_of_the_fault_for_a_breaker() -> None:
    """100 A gG: 1450 A for 0.1 s, 210 kA2s, at any larger current; a breaker: the current for 0.1
    s.
    """
    fuse, breaker = (
        Device("s", "fuse", "", "BS 88-2", 100.0),
        Device("F1", "circuit-breaker", "", "IEC 60898-1", 40.0, "B"),
    )
    assert energy_a2s(fuse, 6000.0, overcurrent_opens(fuse, 6000.0)) == pytest.approx(1450**2 * 0.1)
    assert energy_a2s(fuse, 600.0, overcurrent_opens(fuse, 600.0)) == pytest.approx(580**2 * 5)
    assert energy_a2s(breaker, 2500.0, overcurrent_opens(breaker, 2500.0)) == pytest.approx(
        2500**2 * 0.1
    )
    assert energy_a2s(breaker, 40.0, overcurrent_opens(breaker, 40.0)) is None
