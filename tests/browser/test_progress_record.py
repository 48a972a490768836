"""The record of progress: what comes back and when, two devices, older files, a store that refuses.

The rule for gaps follows Cepeda and others 2008 (Psychological Science 19, 1095-1102; abstract at
ERIC, ED505660): the best gap was about a fifth of the delay for delays of a few weeks, and fell
to about a twentieth for one of a year. We stop at a tenth: common practice.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.browser
STORE, OLDER, ASIDE = (
    "firstway.guide.record.1",
    "firstway.guide.progress.1",
    "firstway.guide.record.1.unread",
)
NOON = 1_796_126_400_000
"""1 December 2026, 12:00 UTC."""
DAY = 86_400_000
REFUSED = """Object.defineProperty(window, "localStorage",
    { get() { throw new DOMException("refused", "SecurityError"); } });"""
FULL = """Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };"""


def met(days: int, outcome: str, mark: str, sure: int = -1, question: str = "q") -> list[Any]:
    return [NOON + days * DAY, outcome, question, mark, 0, sure]


def record(*rows: list[Any], until: str = "", **ticks: list[int]) -> dict[str, Any]:
    return {
        "kind": "firstway-progress",
        "version": 2,
        "ticks": ticks,
        "until": [until, 1 if until else 0],
        "met": list(rows),
        "results": [],
    }


@pytest.fixture
def page(root: Path, tmp_path: Path, offline_page: Any) -> Any:
    """An empty page that holds the record's script, at noon of the first day."""
    script = (root / "content/assets/progress.js").read_text("utf-8")
    path = tmp_path / "page.html"
    path.write_text(
        '<!doctype html><meta charset="utf-8"><title>x</title><input type=file>'
        f"<script>{script}</script>",
        "utf-8",
    )
    shown = offline_page.page
    shown.clock.install(time=NOON / 1000)
    shown.goto(path.as_uri())
    yield shown
    assert offline_page.troubles == []


def summary(page: Any, *chapters: str) -> dict[str, Any]:
    return page.evaluate("chapters => firstwayProgress.summary(chapters)", list(chapters))


def kept(page: Any, text: Any) -> None:
    page.evaluate(
        "([name, text]) => localStorage.setItem(name, text)",
        [STORE, text if isinstance(text, str) else json.dumps(text)],
    )
    page.reload()


def test_gap__is_a_fifth_of_the_time_left_and_a_tenth_of_a_long_one(page: Any) -> None:
    gaps = page.evaluate("[...Array(400).keys()].map(firstwayProgress.pure.gapFor)")
    for left, gap in enumerate(gaps[1:], 1):
        low, high = left * 0.1, left * 0.2
        assert gap == 1 and high < 1.5 or low - 0.5 <= gap <= high + 0.5, (left, gap)
    assert gaps[28] == 6 and gaps[182] == 18, "a fifth of four weeks, a tenth of half a year"


def test_summary__says_what_is_next_what_comes_back_and_what_was_last(page: Any) -> None:
    assert summary(page, "one", "two") == {
        "next": "one",
        "done": [],
        "comesBack": [],
        "slipped": [],
        "keepsSlipping": [],
        "last": None,
        "until": "",
        "trouble": "",
    }
    page.evaluate("firstwayProgress.tick('one', true)")
    page.evaluate("firstwayProgress.met('cable-drop', 'cable.drop', 'slip', 0, 1)")
    page.evaluate("firstwayProgress.met('fault-loop', 'fault.loop', 'right', 0, -1)")
    page.evaluate("firstwayProgress.result('the-cable', 3, 8, 8)")
    page.reload()
    told = summary(page, "one", "two")
    assert (told["next"], told["done"], told["comesBack"]) == ("two", ["one"], [])
    assert told["slipped"] == ["cable.drop"]
    assert told["last"]["quiz"] == "the-cable" and told["last"]["points"] == 3
    page.clock.set_system_time((NOON + DAY) / 1000)
    assert summary(page)["comesBack"] == ["cable.drop"], "a miss comes back on the next day"
    page.clock.set_system_time((NOON + 6 * DAY) / 1000)
    assert summary(page)["comesBack"] == ["cable.drop", "fault.loop"], "a fifth of 30 days"


def test_comes_back__most_urgent_first_and_a_hint_is_no_recall(page: Any) -> None:
    kept(
        page,
        record(
            met(-9, "late.one", "right"),
            met(-8, "hinted.one", "slip"),
            met(-8, "hinted.one", "hint"),
            met(-2, "missed.one", "slip", 0),
            met(-1, "sure.one", "slip", 1),
            met(-1, "fresh.one", "right"),
            until="2026-12-21",
        ),
    )
    assert summary(page)["comesBack"] == ["sure.one", "hinted.one", "missed.one", "late.one"]


def test_merge__holds_all_of_both_whichever_comes_first(page: Any) -> None:
    one = record(met(-3, "a.b", "right"), met(-1, "a.b", "slip"), until="2027-01-01", x=[5, 1])
    two = record(met(-3, "a.b", "right"), met(-2, "c.d", "hint"), x=[9, 0], y=[1, 1])
    both = [
        page.evaluate("([a, b]) => firstwayProgress.pure.merged(a, b)", pair)
        for pair in ([one, two], [two, one])
    ]
    assert both[0] == both[1]
    assert both[0]["met"] == sorted([*one["met"], two["met"][1]])
    assert both[0]["ticks"] == {"x": [9, 0], "y": [1, 1]} and both[0]["until"][0] == "2027-01-01"
    again = page.evaluate("([a, b]) => firstwayProgress.pure.merged(a, b)", [both[0], one])
    assert again == both[0], "loaded twice it is the same"


def test_older__ticks_and_files_are_read(page: Any, tmp_path: Path) -> None:
    older = json.dumps({"kind": "firstway-progress", "version": 1, "done": ["one", "constructor"]})
    page.evaluate("([name, text]) => localStorage.setItem(name, text)", [OLDER, older])
    page.reload()
    assert summary(page, "one", "two")["next"] == "two"
    assert summary(page)["done"] == ["constructor", "one"]


def test_store__poisoned_is_put_aside_and_said(page: Any) -> None:
    for poison in (
        "{",
        "7",
        '{"kind":"firstway-progress","version":9}',
        json.dumps(record(["x"], met(-9, "a.b", "right"))),
    ):
        page.evaluate("localStorage.clear()")
        kept(page, poison)
        assert "put aside" in summary(page)["trouble"], poison
        page.evaluate("firstwayProgress.tick('one', true)")
        assert page.evaluate(f"localStorage.getItem('{ASIDE}')") == poison
    assert summary(page)["comesBack"] == ["a.b"], "what could be read is there"
    kept(page, record(met(-2, "constructor", "slip"), met(-2, "__proto__", "slip")))
    assert summary(page)["comesBack"] == ["constructor"]


@pytest.mark.parametrize("broken, words", [(REFUSED, "keeps nothing"), (FULL, "no room left")])
def test_store__refused_or_full_is_said_and_the_page_goes_on(
    page: Any, tmp_path: Path, broken: str, words: str
) -> None:
    page.add_init_script(broken)
    page.reload()
    said = page.evaluate("firstwayProgress.met('q', 'a.b', 'slip', 0, 1)")
    assert words in said and summary(page)["slipped"] == ["a.b"]
    with page.expect_download() as download:
        page.evaluate("firstwayProgress.saveFile()")
    saved = tmp_path / "saved.json"
    download.value.save_as(saved)
    assert [row[1:4] for row in json.loads(saved.read_text("utf-8"))["met"]] == [
        ["a.b", "q", "slip"]
    ]


def test_clock__put_right_hides_nothing_for_years(page: Any) -> None:
    kept(page, record(met(4000, "a.b", "right")))
    assert summary(page)["comesBack"] == ["a.b"]
