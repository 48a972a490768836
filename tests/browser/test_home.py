"""Home on a phone: new to the guide, and come back; what the lists say of a reader.

How much fits two screens of a phone is our own promise; nothing outside the project proves it.
"""

from __future__ import annotations

from pathlib import Path

import pytest

PHONE = {"viewport": {"width": 390, "height": 844}}
SCREENS = 2 * 844
MET = """() => {
  const kept = window.firstwayProgress;
  kept.tick('before-you-start', true);
  kept.result('the-cable', 7, 9, 8);
}"""


def wait_for_tick(page, name: str) -> None:
    """Asked again and again from here: a page's policy lets nothing be polled inside it."""
    for _ in range(100):
        if page.evaluate("name => firstwayProgress.record().ticks[name]", name):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"{name} is not ticked")


def words(page, found: str) -> str:
    return " ".join(page.locator(found).inner_text().split())


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True, ids=["390"])
def test_home__new_here_and_been_here_each_fit_two_screens(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "index.html")
    assert page.evaluate("document.documentElement.scrollHeight") <= SCREENS
    assert page.locator("p.lead").is_visible() and not page.locator(".been-here").is_visible()
    page.evaluate(MET)
    page.reload()
    assert page.evaluate("document.documentElement.scrollHeight") <= SCREENS
    assert not page.locator("p.lead").is_visible()
    assert words(page, ".here-done") == "Chapters done: 2 of 18."
    assert words(page, ".here-next") == "Next to read: Should it have its own board?"
    assert words(page, ".here-last").startswith("Last result: The cable, 7 of 9 points")
    assert words(page, ".here-back") == "Comes back today: nothing."
    assert page.locator(".been-here .here-go").count() == 1
    page.locator(".here-go").click()
    page.wait_for_url("**/chapters/own-board.html")
    assert offline_page.troubles == []


def test_chapters__are_done_when_read_or_their_quiz_is_handed_in(
    offline_page, built_site: Path
) -> None:
    """Read: its end was seen, or it was ticked by hand; a tick taken away counts until the quiz is
    handed in again. What is no chapter (a mock, a job) is never counted.
    """
    page = offline_page.show(built_site / "chapters" / "own-board.html")
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    wait_for_tick(page, "own-board")
    page.evaluate(
        """() => {
          const kept = window.firstwayProgress;
          kept.result('the-cable', 0, 9, 3);
          kept.result('mock', 30, 40, 40);
          kept.tick('job.marram', true);
          kept.tick('the-device', true);
          kept.tick('the-device', false);
        }"""
    )
    page.wait_for_timeout(300)
    page = offline_page.show(built_site / "index.html")
    assert words(page, ".here-done") == "Chapters done: 2 of 18."
    page = offline_page.show(built_site / "chapters" / "index.html")
    ticked = page.locator("[data-chapter]:has(input:checked)")
    assert sorted(each.get_attribute("data-chapter") for each in ticked.all()) == [
        "own-board",
        "the-cable",
    ]
    assert "2 of 18 chapters done." in words(page, ".progress-count")
    page.locator("[data-chapter=the-cable] input").uncheck()
    page.wait_for_timeout(300)
    assert words(offline_page.show(built_site / "index.html"), ".here-done").endswith("1 of 18.")
    names = {path.stem for path in (built_site / "quizzes").glob("*.html")}
    page = offline_page.show(built_site / "chapters" / "index.html")
    chapters = page.locator("[data-chapter]").all()
    assert {each.get_attribute("data-chapter") for each in chapters} <= names
    assert offline_page.troubles == []


def test_home__what_comes_back_stands_there_by_its_words(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "index.html")
    page.evaluate(
        """() => {
          const kept = window.firstwayProgress, day = 86400000, record = kept.record();
          record.met.push([Date.now() - 3 * day, 'start.isolation', 'q', 'slip', 0, 1]);
          kept.tick('none', false);
        }"""
    )
    page.reload()
    assert "safe isolation" in words(page, ".here-outcomes")
    assert page.locator(".here-outcomes a").first.get_attribute("href").startswith("chapters/")
    assert offline_page.troubles == []


def test_lists__say_in_words_what_was_read_and_tried(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "mistakes" / "board-01.html")
    page.locator("details.answer > summary").click()
    page.evaluate(MET)
    page = offline_page.show(built_site / "jobs" / "marram" / "readings.html")
    page.evaluate("scrollTo(0, document.documentElement.scrollHeight)")
    wait_for_tick(page, "job.marram")
    for where, told in (
        ("mistakes", "tried"),
        ("jobs", "read"),
        ("quizzes", "tried, 7 of 9 points"),
    ):
        page = offline_page.show(built_site / where / "index.html")
        said = [each for each in page.locator(".state").all_inner_texts() if each]
        assert said == [told], where
    page = offline_page.show(built_site / "chapters" / "index.html")
    assert page.locator("[data-chapter=before-you-start] input").is_checked()
    assert offline_page.troubles == []
