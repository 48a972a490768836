"""Twins of shipped jobs: four faults put into each, and what the checks must say of every one.

The faults and their levels stand in `spoilt/`, written from the clause named there, not from the
rule.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml
from changing import done
from sampling import EVERY_JOB

from firstway.choosing.completing import Completed

FOLDER = Path(__file__).parent / "spoilt"
SPOILT = {
    path.stem: yaml.safe_load(path.read_text(encoding="utf-8"))
    for path in sorted(FOLDER.glob("*.yaml"))
}
EACH = [(name, place) for name, faults in SPOILT.items() for place in range(len(faults))]
AGAINST = ("danger", "fail")


def changed(fault: dict[str, Any]) -> tuple[str, str]:
    """What stands in the file, the first time, and what instead."""
    old, new = fault["change"]
    return old, new


def told(job: Completed) -> set[tuple[str, ...]]:
    return {(each.level, each.id, each.of, each.place) for each in job.findings}


def test_twins__each_holds_four_faults_of_a_shipped_job() -> None:
    assert len(SPOILT) >= 5
    for name, faults in SPOILT.items():
        assert name in EVERY_JOB and len(faults) == 4, name
        assert all(fault["why"] and fault["found"] for fault in faults), name


@pytest.mark.parametrize(("name", "place"), EACH)
def test_each_fault_alone__is_found_where_it_is(name: str, place: int) -> None:
    fault = SPOILT[name][place]
    found = {tuple(each) for each in fault["found"]}
    now = told(done(name, changed(fault)))
    assert found <= now - told(done(name))
    # whatever else is wrong is said of the same part, or follows from it and is said as gravely
    assert {each for each in now if each[0] in AGAINST} <= found | _following(fault)


def _following(fault: dict[str, Any]) -> set[tuple[str, ...]]:
    return {tuple(each) for each in fault.get("follows", ())}


@pytest.mark.parametrize("name", SPOILT)
def test_all_four_together__are_all_found(name: str) -> None:
    now = told(done(name, *map(changed, SPOILT[name])))
    for fault in SPOILT[name]:
        for level, rule, of, _ in fault["found"]:
            assert any(each[:3] == (level, rule, of) for each in now), fault["change"]
