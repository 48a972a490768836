"""Worked examples, what is to be explained, bench tasks and the job's sheet as pages: figures come
from the working, keys agree with what is published, and all of it reads without scripts.
"""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from firstway.pages.chapters.quoting import Quoting
from firstway.pages.chapters.say_why_page import say_why_page
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Project
from firstway.quiz.bank.tasks import ModelPoint, Prompt
from firstway.quiz.shelf import Shelf

NUMBER = re.compile(r"\d+(?:\.\d+)?")


def soup(path: Path) -> BeautifulSoup:
    return BeautifulSoup(path.read_text("utf-8"), "html.parser")


def example(site: Path, name: str) -> tuple[BeautifulSoup, dict[str, Any]]:
    page = soup(site / "worked" / f"{name}.html")
    return page, json.loads(page.select_one(".worked-data").string)


def stems(page: BeautifulSoup) -> list[list[float]]:
    """The figures of each set's words, in their order."""
    return [
        [float(each) for each in NUMBER.findall(stem.get_text().replace("F2", ""))]
        for stem in page.select(".worked-stem")
    ]


def holds(part: dict[str, Any], value: float) -> bool:
    return bool(part["low"] <= value <= part["high"])


def test_opening_loop__is_that_of_the_published_table(built_site: Path, root: Path) -> None:
    """BS 7671 Table 41.3, types B and C, as transcribed in tests/published/loops.csv."""
    page, data = example(built_site, "opening")
    with (root / "tests/published/loops.csv").open(encoding="utf-8", newline="") as file:
        table = {
            row["id"]: float(row["expected"])
            for row in csv.DictReader(file)
            if row["id"].startswith(("zs-B", "zs-C"))
        }
    sets = list(zip(stems(page), data["sets"], strict=True))
    assert len(sets) >= 4
    for figures, one in sets:
        rating, times = figures[:2]
        row = f"zs-{'B' if times == 5 else 'C'}{rating:g}"
        assert holds(one["parts"][1], table[row]), row
        assert one["parts"][0]["low"] <= times * rating <= one["parts"][0]["high"]


def test_drop_and_leads__are_what_their_words_give_by_hand(built_site: Path) -> None:
    """Sums of the figures a reader sees (leads: the rule of thumb of about 1 kV a metre, common
    practice; drop: millivolts times current times length, BS 7671 Appendix 4, from memory).
    """
    page, data = example(built_site, "leads")
    for figures, one in zip(stems(page), data["sets"], strict=True):
        level, line, earth = figures[:3]
        length, at_board, half = one["parts"]
        assert holds(length, line + earth)
        assert holds(at_board, level + line + earth)
        assert holds(half, (line + earth) / 2)
    page, data = example(built_site, "drop")
    for figures, one in zip(stems(page), data["sets"], strict=True):
        feed, feed_mv, way, way_mv, current, volts = figures
        first = feed * feed_mv * current / 1000
        drop = first + way * way_mv * current / 1000
        for part, value in zip(one["parts"], (first, drop, 100 * drop / volts), strict=True):
            assert holds(part, value), (figures, part)


def test_capacity__rating_over_factors_and_table_times_factors(built_site: Path) -> None:
    """In / (Ca Cc) and Iz = It Ca Cc: BS 7671 Appendix 4, section 5, from memory."""
    page, data = example(built_site, "capacity")
    for figures, one in zip(stems(page), data["sets"], strict=True):
        rating, ground, overload, _, table = figures
        for part, value in zip(
            one["parts"],
            (rating / (ground * overload), table, table * ground * overload),
            strict=True,
        ):
            assert holds(part, value), (figures, part)


def test_each_example__has_a_set_for_each_stage_and_tells_slips_from_right(
    built_site: Path,
) -> None:
    pages = sorted((built_site / "worked").glob("[!i]*.html"))
    assert len(pages) >= 8
    for path in pages:
        page, data = example(built_site, path.stem)
        texts = [stem.get_text() for stem in page.select(".worked-stem")]
        assert len(texts) == len(set(texts)) == len(data["sets"]) >= len(data["stages"]) == 4
        for one in data["sets"]:
            assert len(one["parts"]) == len(one["values"]) == 3
            assert any(part["wrong"] for part in one["parts"]), "slips have names"
            for part, value in zip(one["parts"], one["values"], strict=True):
                assert holds(part, value)
                assert not any(holds(wrong, value) for wrong in part["wrong"])


def test_each_example__reads_without_scripts(built_site: Path) -> None:
    page, _ = example(built_site, "loop")
    sets = page.select(".worked-set")
    assert all(fold.has_attr("open") for fold in sets[0].select("details"))
    assert len(sets[0].select("math")) == 3 and sets[0].select("data.figure")
    for one in sets[1:]:
        assert not any(fold.has_attr("open") for fold in one.select("details"))
        assert len(one.select(".worked-answer")) == 3
        assert not one.select("data.figure"), "other figures are no figures of the job"
    for hidden in (".worked-stages", ".worked-reader", ".worked .quiz-buttons"):
        assert page.select_one(hidden).has_attr("hidden"), "what needs a script waits for it"


def test_chapters__each_ends_with_its_lines_of_the_job_answers_folded(
    built_site: Path, root: Path
) -> None:
    found = 0
    for path in sorted((root / "content/chapters").glob("*.md")):
        if "\nchapter:" not in path.read_text("utf-8"):
            continue
        page = soup(built_site / "chapters" / f"{path.stem}.html")
        blanks = page.select(".job-box .job-blank")
        assert 1 <= len(blanks) <= 2, path.stem
        for blank in blanks:
            fold = blank.select_one("details")
            assert fold and not fold.has_attr("open") and fold.get_text(strip=True)
            assert blank.select_one(".job-field").has_attr("hidden")
        found += len(blanks)
    sheet = soup(built_site / "the-job.html")
    assert len(sheet.select("td.job-yours")) == found
    assert len(sheet.select("td details")) == found


def test_say_why__each_point_names_a_place_that_is_there(built_site: Path) -> None:
    page = soup(built_site / "say-why.html")
    parts = page.select(".say-why")
    assert len(parts) >= 20
    for part in parts:
        points = part.select("li")
        assert 3 <= len(points) <= 6
        for point in points:
            way, _, at = point.select_one(".say-place")["href"].partition("#")
            target = soup(built_site / way)
            assert not at or target.find(id=at) is not None, (way, at)
        box = part.select_one("textarea")
        assert page.select_one(f'label[for="{box["id"]}"]') is not None
    assert page.select("data.figure"), "figures are quoted from the working"


def test_bench__each_sheet_has_its_hold_point_marks_and_lines_to_sign(built_site: Path) -> None:
    pages = sorted((built_site / "bench").glob("[!i]*.html"))
    assert len(pages) >= 8
    for path in [*pages, *(built_site / "bench").glob("ins*.html")]:
        page = soup(path)
        words = page.select_one(".bench-hold").get_text()
        assert "prove dead" in words and "Hold point" in words, path.stem
        assert page.select("aside.caution, .caution") and page.select("article svg")
        assert len(page.select(".bench-marks .bench-box")) >= 3
        signed = page.select_one(".bench-signed").get_text()
        assert all(word in signed for word in ("Learner", "Day", "Assessor"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("See {figure: nowhere voltage-drop a}.", "unknown installation 'nowhere'"),
        ("See {figur: marram voltage-drop a}.", "no directive 'figur' stands in a sentence"),
        ("See {picture: clamp}.", "no directive 'picture' stands in a sentence"),
        ("See {value: no_table a b=c}.", "unknown table 'no_table'"),
    ],
)
def test_quoting__what_cannot_be_quoted_is_told_with_its_line(text: str, said: str) -> None:
    points = tuple(ModelPoint(words, "a.b", line) for line, words in ((4, "A."), (7, text)))
    shelf = Shelf(prompts=(Prompt("a", "Why?", points, 2),))
    _, problems = say_why_page(Guide(Project(shelf=shelf)))
    assert [(each.file, each.line, each.message) for each in problems] == [
        ("quiz/say-why.yaml", 7, said)
    ]


def test_quoting__text_of_a_file_is_text() -> None:
    quoting = Quoting(Guide(), "a.md", "a.yaml")
    assert quoting.words("<b>1 & 2</b>", 1) == "&lt;b&gt;1 &amp; 2&lt;/b&gt;"
    assert quoting.problems == []
