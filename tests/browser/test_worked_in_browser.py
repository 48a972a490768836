"""Practising in a browser, from the file system with the network off: worked examples that fade,
the job's sheet, what is explained in words, one question on the wall; with and without a store.

The way of the stages is our own; nothing outside the project proves it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.browser
RECORD = "firstway.guide.record.1"
REFUSED = """Object.defineProperty(window, "localStorage",
    { get() { throw new DOMException("refused", "SecurityError"); } });"""


def data(page: Any) -> Any:
    return json.loads(page.locator(".worked-data").text_content())


def shown_set(page: Any) -> int:
    return int(page.locator(".worked-set:visible").get_attribute("data-set"))


def stage(page: Any) -> str:
    return str(page.locator(".worked-stages [aria-pressed=true]").inner_text())


def fill(page: Any, right: bool = True) -> None:
    """Type what is asked, from the page's own data."""
    one = data(page)["sets"][shown_set(page)]
    boxes = page.locator(".worked-blank input:visible")
    number = boxes.count()
    for place in range(number):
        value = one["values"][3 - number + place]
        boxes.nth(place).fill(f"{value if right else value * 7 + 3:.9g}")
    page.get_by_role("button", name="Check my figures").click()


def test_worked__fades_after_a_right_one_and_comes_back_after_a_miss(
    offline_page: Any, built_site: Path
) -> None:
    page = offline_page.show(built_site / "worked" / "loop.html")
    assert stage(page) == "Whole" and page.locator(".worked-blank").count() == 0
    first = shown_set(page)
    page.get_by_role("button", name="I have followed it").click()
    assert stage(page) == "Last step yours" and shown_set(page) != first
    assert page.locator(".worked-blank").count() == 1
    fill(page)
    page.get_by_role("button", name="Go on with other figures").click()
    assert stage(page) == "First step given" and page.locator(".worked-blank").count() == 2
    fill(page, right=False)
    assert page.locator(".worked-set:visible details[open]").count() == 3, "workings are told"
    page.get_by_role("button", name="Go on with other figures").click()
    assert stage(page) == "Last step yours"
    page.reload()
    assert stage(page) == "Last step yours", "it is kept"
    for after in ("First step given", "Alone"):
        fill(page)
        page.get_by_role("button", name="Go on with other figures").click()
        assert stage(page) == after
    fill(page)
    assert "alone" in page.locator(".worked-said").inner_text()
    record = page.evaluate("firstwayProgress.record()")
    assert record["worked"]["loop"][1] == 4
    assert [row[1:4] for row in record["met"]] == [["fault.loop", "fault-loop-working", "right"]]
    page.goto((built_site / "worked" / "index.html").as_uri())
    assert page.locator("[data-worked=loop]").inner_text() == "done alone"
    assert offline_page.troubles == []


def test_worked__an_installer_begins_alone_and_named_slips_are_told(
    offline_page: Any, built_site: Path
) -> None:
    page = offline_page.show(built_site / "worked" / "leads.html")
    page.get_by_label("an installer").check()
    assert stage(page) == "Alone"
    boxes = page.locator(".worked-blank input")
    one = data(page)["sets"][shown_set(page)]
    wrong = one["parts"][1]["wrong"][0]
    boxes.nth(0).fill("0,28 kV")  # the unit does not fit
    boxes.nth(1).fill(str((wrong["low"] + wrong["high"]) / 2))
    page.get_by_role("button", name="Check my figures").click()
    told = page.locator(".worked-mark").all_inner_texts()
    assert "asked in m" in told[0] and told[2] == "Type a figure first."
    assert "worked" not in (page.evaluate("firstwayProgress.record().worked.leads") or [])
    length, half = one["values"][0], one["values"][2]
    boxes.nth(0).fill(f"{length:.9g} m")
    boxes.nth(2).fill(f"{half:.9g}")
    page.get_by_role("button", name="Check my figures").click()
    told = page.locator(".worked-mark").all_inner_texts()
    assert wrong["mistake"] in told[1] and told[0] == "Right."
    page.get_by_role("button", name="Go on").click()
    assert stage(page) == "First step given"
    assert offline_page.troubles == []


def test_record__two_devices_become_one_and_an_older_file_is_read(
    offline_page: Any, built_site: Path
) -> None:
    page = offline_page.show(built_site / "worked" / "index.html")
    told = page.evaluate(
        """() => {
          const pure = firstwayProgress.pure, one = pure.empty(), two = pure.empty();
          one.worked.loop = [5, 1, 3]; two.worked.loop = [9, 2, 4]; two.worked.drop = [1, 0, 1];
          one.sheet.a = [7, "1.5"]; two.sheet.a = [6, "9"]; one.reader = ["trainee", 3];
          const old = pure.read(JSON.stringify({kind: "firstway-progress", version: 2, ticks: {},
            until: ["", 0], met: [], results: []}));
          const hostile = pure.read(JSON.stringify({...one,
            worked: {loop: ["x", 1, 1], "__proto__x": 1},
            sheet: {a: [1, "x".repeat(41)]}, reader: ["root", 1]}));
          return [pure.merged(one, two), pure.merged(two, one), old.whole, hostile];
        }"""
    )
    both, other, old, hostile = told
    assert both == other and old
    assert both["worked"] == {"loop": [9, 2, 4], "drop": [1, 0, 1]}
    assert both["sheet"] == {"a": [7, "1.5"]} and both["reader"] == ["trainee", 3]
    assert not hostile["whole"]
    assert (hostile["record"]["worked"], hostile["record"]["sheet"]) == ({}, {})
    assert hostile["record"]["reader"] == ["", 0]


def test_job__a_line_of_a_chapter_goes_onto_the_sheet(offline_page: Any, built_site: Path) -> None:
    page = offline_page.show(built_site / "chapters" / "the-cable.html")
    blank = page.locator("[data-question=cable-voltage-drop].job-blank")
    blank.locator("input").fill("four")
    blank.locator("button").click()
    assert "not a number" in blank.locator(".job-said").inner_text()
    blank.locator("input").fill("4,25 V")
    blank.locator("input").press("Enter")
    assert blank.locator(".job-said").inner_text().startswith("Right")
    page.goto((built_site / "the-job.html").as_uri())
    assert page.locator("[data-line=cable-voltage-drop]").inner_text() == "4,25 V"
    assert page.locator(".job-count").inner_text().startswith("1 of ")
    assert offline_page.troubles == []


def test_say_why__is_kept_on_the_device_and_apart_from_the_record(
    offline_page: Any, built_site: Path
) -> None:
    page = offline_page.show(built_site / "say-why.html")
    part = page.locator(".say-why").first
    part.locator("textarea").fill("Length <b>counts</b>")
    part.locator("summary").click()
    part.locator(".say-had").nth(1).check()
    assert part.locator(".say-count").inner_text().startswith("You had 1 of ")
    page.reload()
    assert part.locator("textarea").input_value() == "Length <b>counts</b>"
    assert part.locator(".say-had").nth(1).is_checked()
    assert page.evaluate(f"localStorage.getItem('{RECORD}')") is None, "no mark"
    for hostile in ('"x"', '{"short-leads": {"text": 3}}', "not json"):
        page.evaluate("text => localStorage.setItem('firstway:say-why', text)", hostile)
        page.reload()
        assert part.locator("textarea").input_value() == ""
    part.locator("textarea").fill("again")
    page.get_by_role("button", name="Clear all").click()
    assert part.locator("textarea").input_value() == ""
    assert page.evaluate("localStorage.getItem('firstway:say-why')") is None
    assert offline_page.troubles == []


def test_without_a_store__all_of_it_works_and_says_so(offline_page: Any, built_site: Path) -> None:
    offline_page.page.add_init_script(REFUSED)
    page = offline_page.show(built_site / "worked" / "loop.html")
    page.get_by_role("button", name="I have followed it").click()
    assert "keeps nothing" in page.locator(".worked-kept").inner_text()
    fill(page)
    assert "All right" in page.locator(".worked-said").inner_text()
    page = offline_page.show(built_site / "say-why.html")
    page.locator("textarea").first.fill("words")
    assert "keeps nothing" in page.locator(".say-kept").inner_text()
    page = offline_page.show(built_site / "chapters" / "the-cable.html")
    blank = page.locator(".job-blank").first
    blank.locator("input").fill("1")
    blank.locator("button").click()
    assert "keeps nothing" in blank.locator(".job-said").inner_text()


@pytest.mark.parametrize(
    "keys", [("PageDown", "PageUp"), ("ArrowRight", "ArrowLeft"), (" ", "Backspace")]
)
def test_wall__a_remote_moves_through_question_pause_slips_and_answer(
    offline_page: Any, built_site: Path, keys: tuple[str, str]
) -> None:
    on, back = keys
    page = offline_page.show(built_site / "tutors" / "wall.html", "quiz=the-device")
    part = page.locator(".wall-part")
    page.wait_for_selector(".wall .wall-stem")
    assert page.locator(".wall :is(input, select, textarea)").count() == 0, "nothing is collected"
    seen = [part.inner_text()]
    for _ in range(4):
        page.keyboard.press(on)
        seen.append(part.inner_text())
    assert seen == ["Question", "Think", "Some will say", "Answer", "Why not the others"]
    page.keyboard.press(on)
    assert ", 2 of " in page.locator(".wall-where").inner_text()
    page.keyboard.press(back)
    assert part.inner_text() == "Why not the others"
    page.keyboard.press("b")
    assert not page.locator(".wall-stem").is_visible()
    page.keyboard.press("b")
    page.keyboard.press("Escape")
    assert page.locator(".wall").count() == 0
    assert page.evaluate("document.activeElement.className") == "wall-begin"
    assert page.evaluate("localStorage.length") == 0
    assert offline_page.troubles == []


SIZES = [
    {"viewport": {"width": 1280, "height": 720}},
    {"viewport": {"width": 1920, "height": 1080}},
]


@pytest.mark.parametrize("offline_page", SIZES, indirect=True, ids=["720", "1080"])
def test_wall__letters_are_large_and_no_question_is_wider(
    offline_page: Any, built_site: Path
) -> None:
    page = offline_page.show(built_site / "tutors" / "wall.html", "quiz=fitting")
    page.wait_for_selector(".wall .wall-stem")
    wide = page.evaluate("innerWidth / 1280")
    for _ in range(40):
        size = page.evaluate(
            "parseFloat(getComputedStyle(document.querySelector('.wall-stem')).fontSize)"
        )
        assert size >= 28 * wide - 0.1
        assert page.evaluate(
            "(b => b.scrollWidth <= b.clientWidth)(document.querySelector('.wall-body'))"
        )
        page.keyboard.press("PageDown")
    assert "8 of 8" in page.locator(".wall-where").inner_text()
    assert offline_page.troubles == []


def test_wall__what_is_not_there_is_not_shown(offline_page: Any, built_site: Path) -> None:
    page = offline_page.show(built_site / "tutors" / "wall.html", "quiz=<img src=x>")
    assert page.locator(".wall").count() == 0
    page.locator(".wall-what").select_option("outcome=surge.leads")
    page.get_by_role("button", name="Put it on the wall").click()
    page.wait_for_selector(".wall .wall-stem")
    assert page.evaluate("location.hash") == "#outcome=surge.leads"
    assert offline_page.troubles == []
