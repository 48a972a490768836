"""A pillar whose posts share a limit, a flush board under stairs with room for a second vehicle, a
board fed from the left, one in a meter cabinet: four sound jobs, and of each a twin with four
faults.

The jobs are our own invention. What their checks must say was written from the clauses named in
the rules.
"""

from __future__ import annotations

import cmath
import math

import pytest
from changing import done, findings, installation
from four_faults import assert_all_are_found_together, assert_each_is_found_alone, assert_sound

from firstway.workings.shared.sharing import counted_limit

# What is wrong in the twin: words of the file, what stands there instead, and what must say so:
# level, rule, place.
FAULTS: dict[str, tuple[tuple[str, str, str, str, str], ...]] = {
    "avocet": (
        (
            "on_lost_signal_a: 16",
            "on_lost_signal_a: 32",
            "advice",
            "shared-limit-fails-safe",
            "supply",
        ),
        (
            "line_order: [L2, L3, L1]",
            "line_order: [L2, L1, L3]",
            "advice",
            "line-order-turns",
            "west-post",
        ),
        ("opens_with: key", "opens_with: hand", "fail", "pillar-guarded", "board"),
        ("ip: IP54", "ip: IP23", "advice", "outdoor-enclosure", "board"),
    ),
    "wren": (
        ("lined: true", "lined: false", "fail", "cupboard-fire", "board"),
        ("way: S1, modules: 2", "way: S1, modules: 3", "fail", "later-point-room", "S1"),
        (
            "csa_mm2: 25, protective: separate, cpc_mm2: 16",
            "csa_mm2: 6, protective: separate, cpc_mm2: 6",
            "fail",
            "later-point-room",
            "feed",
        ),
        (
            "material: steel, width",
            "material: plastic, width",
            "fail",
            "enclosure-material",
            "board",
        ),
    ),
    "dipper": (
        ("rating_a: 20, curve: B", "rating_a: 10, curve: B", "fail", "design-current", "F2"),
        (
            "senses: three-lines",
            "senses: line-neutral-voltage",
            "advice",
            "line-neutral-watch",
            "carport-point",
        ),
        (
            "protected_poles: 3, switched_poles: 4",
            "protected_poles: 3, switched_poles: 3",
            "fail",
            "line-and-neutral-open",
            "F2",
        ),
        (
            "armour_earthed: board-end",
            "armour_earthed: neither-end",
            "fail",
            "armour-earthed",
            "carport",
        ),
    ),
    "coot": (
        ("meter_box_agreed: true", "meter_box_agreed: false", "fail", "meter-box", "board"),
        (
            "declared_outdoors: true",
            "declared_outdoors: false",
            "advice",
            "board-outdoors",
            "board",
        ),
        (
            "residual_type: A, delay: none, breaking",
            "residual_type: AC, delay: none, breaking",
            "fail",
            "residual-type",
            "F2",
        ),
        ("one_opening: true", "one_opening: false", "fail", "one-opening", "board"),
    ),
}
JOBS = tuple(FAULTS)


@pytest.mark.parametrize("name", JOBS)
def test_the_sound_job_has_no_fail(name: str) -> None:
    assert_sound(name)


@pytest.mark.parametrize("name", JOBS)
def test_each_fault_is_found_alone(name: str) -> None:
    assert_each_is_found_alone(name, FAULTS[name])


@pytest.mark.parametrize("name", JOBS)
def test_the_twin_shows_all_four(name: str) -> None:
    assert_all_are_found_together(name, FAULTS[name])


def test_between_them_a_board_is_fed_from_every_side_that_was_new() -> None:
    """Feed from left, right and back; bars left and right; on a wall, flush, and by itself."""
    boxes = [installation(name).board.enclosure for name in JOBS]
    assert {box.feed_enters for box in boxes} >= {"left", "right", "back"}
    assert {box.neutral_bar for box in boxes} | {box.earth_bar for box in boxes} >= {
        "left",
        "right",
    }
    assert {box.mounting for box in boxes} == {"wall", "flush", "free-standing"}


# ---- the shared limit: a second independent method, phasors by hand, for no published example was
# found


def test_the_feed_carries_the_shared_limit() -> None:
    """40 A a line, not 64; and 64 where it may not be counted."""
    step = done("avocet").case.workings.find("design-current", "feed")
    assert step is not None and step.value == 40.0
    for old, new in (
        ("on_lost_signal_a: 16", "on_lost_signal_a: undeclared"),
        ("on_lost_signal_a: 16", "on_lost_signal_a: 21"),
        (
            "declared: true, documented: true}\nexisting",
            "declared: unknown, documented: true}\nexisting",
        ),
        ("documented: true}\nexisting", "documented: false}\nexisting"),
        ("knows_line_order: true", "knows_line_order: false"),
    ):
        changed = done("avocet", (old, new))
        assert counted_limit(changed.installation) is None
        step = changed.case.workings.find("design-current", "feed")
        assert step is not None and step.value == 64.0, (old, new)


def test_the_turned_lines_spare_the_neutral() -> None:
    """Two vehicles of 32 A on L1 and L2: their phasors add up to 32 A in the neutral."""
    work = done("avocet").case.workings
    turn = cmath.exp(2j * math.pi / 3)
    by_hand = abs(32 + 32 / turn)
    step, alike = (
        work.find("one-phase-neutral", "supply"),
        work.find("one-phase-unturned", "supply"),
    )
    assert step is not None and step.value == pytest.approx(by_hand, rel=1e-6)
    assert alike is not None and alike.value == 64.0


def test_what_the_maker_does_not_state_is_not_known() -> None:
    found = findings(
        done("avocet", ("on_lost_signal_a: 16", "on_lost_signal_a: undeclared")),
        "shared-limit-fails-safe",
    )
    assert [each.level for each in found] == ["unknown"] and "maker" in found[0].message
