"""The page of fitting: the stage of the labels shows the closed board with all of them."""

from __future__ import annotations

import re

import pytest
from changing import done

from firstway.pages.jobs.stages_part import fitting_page


@pytest.mark.parametrize("name", ("marram", "alder"))
def test_fitting_page__the_labels_are_shown_on_the_closed_board(name: str) -> None:
    job = done(name)
    page = fitting_page(job)
    shown = str(page.parts["stage-labels"])
    for way in job.installation.board.ways:
        assert f"Label of {way.name}" in shown
    ids = re.findall(r' id="([^"]+)"', "".join(map(str, page.parts.values())))
    assert len(ids) == len(set(ids)), "no name stands twice on the page"
