"""The papers of three jobs as a browser would print them: no drawing is cut, none is lost."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from changing import done

from firstway.record.making import papers_of

PX_IN_MM = 96 / 25.4
WIDE_MM, HIGH_MM = 210 - 2 * 12, 297 - 10 - 14  # A4 within the margins of record.css
FIGURES = """() => [...document.querySelectorAll("figure.drawing")].map(each => ({
  high: each.getBoundingClientRect().height,
  wide: each.querySelector("svg").getBoundingClientRect().width,
  shown: getComputedStyle(each).display !== "none",
  whole: !each.classList.contains("part-of-it")}))"""


@pytest.mark.long
@pytest.mark.parametrize("job", ["marram", "sallow", "alder"])
def test_papers__each_drawing_stands_whole_on_one_page(
    browser: Any, tmp_path: Path, job: str
) -> None:
    path = tmp_path / "papers.html"
    path.write_text(papers_of(done(job))["all-sheets.html"], "utf-8")
    page = browser.new_page(viewport={"width": round(WIDE_MM * PX_IN_MM), "height": 1000})
    page.emulate_media(media="print")
    page.goto(path.as_uri())
    figures = page.evaluate(FIGURES)
    page.close()
    assert len([each for each in figures if each["whole"]]) == 4
    for each in figures:
        assert each["shown"] and 100 < each["high"] <= HIGH_MM * PX_IN_MM
        assert 100 < each["wide"] <= WIDE_MM * PX_IN_MM + 1
