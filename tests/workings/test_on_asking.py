"""Steps that are asked for by name are those of the whole working (regression: nothing here proves
a figure).
"""

from __future__ import annotations

import pytest
from changing import done
from sampling import JOBS

from firstway.workings import working_through
from firstway.workings.shared.book import Book
from firstway.workings.shared.plan_of_board import PlanOfBoard
from firstway.workings.working_through import workings_of, workings_on_asking


@pytest.mark.parametrize("name", JOBS)
def test_the_steps_are_the_same_in_the_same_order(name: str) -> None:
    job = done(name)
    whole = workings_of(job.installation, job.log)
    asked = workings_on_asking(job.installation, job.log, PlanOfBoard(job.installation))
    for step in asked.by_identity.values():  # before anybody asked for more
        assert repr(whole.find(step.id, step.of)) == repr(step)
    assert asked.find("no-such-step", "board") is None
    for step in whole:  # also what was left until somebody asked
        assert repr(asked.find(step.id, step.of)) == repr(step)
    assert [repr(step) for step in asked] == [repr(step) for step in whole]
    assert [step.assumed for step in asked] == [step.assumed for step in whole]


def test_a_surge_nobody_asks_for_is_not_worked(monkeypatch: pytest.MonkeyPatch) -> None:
    job = done("marram")

    def refused(book: Book) -> None:
        raise LookupError("no row for this size")

    monkeypatch.setattr(working_through, "_from_the_surge_on", refused)
    asked = workings_on_asking(job.installation, job.log, PlanOfBoard(job.installation))
    assert asked.value("design-current", "slipway")
    assert asked.find("surge-at-vehicle", "post-1") is None
