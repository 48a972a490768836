"""The changes of run.py are put in, are seen by the tests that should see them, and leave the files
alone.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from changing_one import Change, cells, coefficients, numbers_in  # noqa: E402
from run import drawn, outcomes, report, tried  # noqa: E402
from telling import Tell

from firstway.calculations.every_formula import FORMULAS  # noqa: E402

HOW_MANY, AIM = 40, 95  # run.py tries a hundred, which takes half an hour


def test_what_can_be_changed_is_what_is_read() -> None:
    places = {(change.where, change.column) for change in cells()}
    assert {
        ("current_capacity", "capacity_a"),
        ("voltage_drop", "mv_per_a_m"),
        ("nec_ampacity", "ampacity_a"),
        ("bending_radius", "x_overall_diameter"),  # lengths follow bends
    } <= places
    assert ("spd_class_one", "charge_as") not in places, "no working reads it"
    assert len(coefficients()) == sum(len(numbers_in(formula)) for formula in FORMULAS.values())


def test_the_same_seed_draws_the_same_changes() -> None:
    assert drawn(20, 1) == drawn(20, 1) != drawn(20, 2)
    assert {change.factor for change in drawn(60, 1)} == {0.95, 1.05}


@pytest.mark.long
@pytest.mark.parametrize(
    "change, seen_by",
    [
        (Change("cell", "conductor_resistance", 4, "ohm_per_km", 1.05), "transcription"),
        (Change("coefficient", "voltage_drop", 0, "", 1.05), "independent solver"),
    ],
)
def test_a_change_is_put_in_and_seen(change: Change, seen_by: str) -> None:
    answer = tried(change)
    assert "becomes" in str(answer["said"]) and seen_by in answer["failed"]


@pytest.mark.long
def test_nearly_every_change_is_seen(tell: Tell) -> None:
    """The figure is a count, not a proof: a change that only the transcription sees is a slip of
    the hand caught.
    """
    found = outcomes(HOW_MANY)
    tell("\n".join(report(found)))
    assert len(found) == HOW_MANY
    assert sum(bool(outcome.seen_by) for outcome in found) >= AIM * HOW_MANY / 100
