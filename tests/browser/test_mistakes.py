"""A board with a mistake: asked where it is, why, how urgent it is and which test
shows it; without a script the question and the folded
answer stand as they are.
"""

import json
from pathlib import Path

import pytest

BOARD = "mistakes/board-01.html"


@pytest.fixture
def asked(offline_page, built_site: Path):
    page = offline_page.show(built_site / BOARD)
    page.locator(".find-mistake option").nth(1).wait_for(state="attached")
    return page


def answered(page, place: str, why: int, **others: str) -> str:
    form = page.locator(".find-mistake")
    form.locator("select").select_option(place)
    form.locator("[name=why]").nth(why).check()
    for asked, value in {
        name: form.get_attribute(f"data-{name}") for name in ("urgent", "test")
    }.items():
        value = others.get(asked, value)
        form.locator(f"[name={asked}][value='{value}']").check()
    form.locator("button").click()
    return form.locator(".find-told").text_content()


def key_of(page) -> tuple[list[str], int]:
    form = page.locator(".find-mistake")
    return json.loads(form.get_attribute("data-places")), int(form.get_attribute("data-why"))


def test_a_board__is_held_when_all_that_is_asked_is_right(asked, built_site: Path) -> None:
    places, why = key_of(asked)
    told = answered(asked, places[0], why)
    assert "Place: right. Reason: right. Urgency: right. Test: " in told
    assert asked.locator("details.answer").evaluate("each => each.open")
    asked.goto((built_site / "mistakes/index.html").as_uri())
    held = asked.locator(".card").first.locator("[data-word=held]")
    assert held.text_content() == "held"
    assert asked.locator(".card").nth(1).locator("[data-word=held]").text_content() == ""


def test_a_board__is_not_held_by_half_an_answer(asked, built_site: Path) -> None:
    places, why = key_of(asked)
    told = answered(asked, places[0], (why + 1) % 4)
    assert "Place: right. Reason: not this one." in told
    assert "Place: not there. Reason: right." in answered(asked, "enclosure", why)
    told = answered(asked, places[0], why, urgent="paper")
    assert "Reason: right. Urgency: another, see below." in told
    assert "Test: another, see below." in answered(asked, places[0], why, test="load")
    asked.goto((built_site / "mistakes/index.html").as_uri())
    assert asked.locator(".card").first.locator("[data-word=held]").text_content() == ""


def test_a_board__says_what_is_still_to_be_chosen(asked) -> None:
    asked.locator(".find-mistake button").click()
    assert "reason first" in asked.locator(".find-told").text_content()
    assert not asked.locator("details.answer").evaluate("each => each.open")


def test_a_board__what_is_tapped_in_its_drawing_is_chosen(asked) -> None:
    box = asked.evaluate(
        """() => { const g = document.querySelector(".fw-wiring g.part.spd");
           g.scrollIntoView({block: "center"}); const b = g.getBoundingClientRect();
           return [b.x + b.width / 2, b.y + b.height / 2]; }"""
    )
    asked.mouse.click(*box)
    chosen = asked.locator(".find-mistake select").evaluate("each => each.value")
    assert chosen == "F1"


def test_index__shows_a_drawing_of_each_board_and_none_of_its_mistake(
    offline_page, built_site: Path
) -> None:
    page = offline_page.show(built_site / "mistakes/index.html")
    cards = page.locator(".card")
    seen = cards.evaluate_all(
        """all => all.map(each => { const found = each.querySelector("svg.small-board");
            return found && [...found.querySelectorAll("use")].filter(use =>
                document.querySelector(use.getAttribute("href")) && use.getBoundingClientRect().width > 1).length; })"""
    )
    assert len(seen) >= 50 and all(each and each >= 8 for each in seen), seen
    assert page.locator(".card :is(text, title, .mark)").count() == 0
    assert "Fails" not in page.locator("main").inner_text()


def test_jobs__are_told_by_what_they_are_and_judged_where_one_opens_it(
    offline_page, built_site: Path
) -> None:
    page = offline_page.show(built_site / "jobs/index.html")
    assert page.locator(".card").count() >= 20 and page.locator(".card .verdict").count() == 0
    tally = page.locator("details:has-text('How many findings')")
    assert not tally.locator(".verdict").first.is_visible()
    tally.locator("summary").click()
    assert tally.locator("li li .verdict").first.is_visible()


def test_every_board__has_drawings_four_reasons_and_a_place_to_find(
    browser, built_site: Path
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    boards = sorted((built_site / "mistakes").glob("board-*.html"))
    assert len(boards) >= 45
    for path in boards[::5]:
        page.goto(path.as_uri())
        assert page.locator(".fw-lifelike, .fw-wiring").count() >= 2, path.name
        reasons = page.locator(".find-mistake label:has([name=why])").all_text_contents()
        assert len(set(reasons)) == 4, path.name
        assert not page.locator(".find-mistake button, .find-mistake select").first.is_visible()
        answer = page.locator("details.answer")
        assert not answer.evaluate("each => each.open")
        # what a pointer over a drawing tells is no answer; who cannot see it opens its words
        titles = page.locator("figure:not(details.answer figure) title").all_text_contents()
        assert len(titles) > 30 and not [
            each for each in titles if " from " in each and not each.startswith("Data pair")
        ], path.name
        in_words = page.locator("details:has(> summary:has-text('cannot see'))")
        assert not in_words.evaluate("each => each.open")
        assert in_words.locator("li").count() > 8, path.name
        own = " ".join(answer.text_content().split())
        _, why = key_of(page)
        assert reasons[why].strip() in own, path.name
        form = page.locator(".find-mistake")
        for asked in ("urgent", "test"):  # the answer says the same in its own words
            value = form.get_attribute(f"data-{asked}")
            said = form.locator(f"label:has([name={asked}][value='{value}'])").text_content()
            assert said.strip().rstrip(".") in own, (path.name, asked)
    context.close()
