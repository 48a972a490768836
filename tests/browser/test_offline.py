"""The built guide in a real browser, from the file system, with the network off."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

PHONE = {"viewport": {"width": 390, "height": 844}}
DESK = {"viewport": {"width": 1280, "height": 900}}
DARK = {"color_scheme": "dark"}
WIDTHS = [pytest.param(PHONE, id="390"), pytest.param(DESK, id="1280")]
pytestmark = pytest.mark.browser


def pages_of(site: Path) -> list[Path]:
    """Every page a reader can reach."""
    return [path for path in sorted(site.rglob("*.html")) if path.name != "404.html"]


def one_of_each_kind(site: Path) -> list[Path]:
    """The pages at the top, every page of the healthy and of the faulty job, and two of every other
    folder.
    """
    found: dict[Path, list[Path]] = {}
    for path in pages_of(site):
        found.setdefault(path.parent, []).append(path)
    whole = (site, site / "jobs/marram", site / "jobs/quince")
    few = [
        path
        for folder, paths in found.items()
        if folder.parent != site / "jobs"
        for path in (paths if folder in whole else paths[:2])
    ]
    return few + found[site / "jobs/marram"] + found[site / "jobs/quince"]


def a_quiz(site: Path) -> Path:
    found = site / "quizzes" / "inside-the-board.html"
    assert found.is_file(), "the guide holds no quiz of that chapter"
    return found


@pytest.mark.parametrize(
    "offline_page",
    [
        pytest.param(PHONE, id="390-light", marks=pytest.mark.long),
        pytest.param(DESK, id="1280-light"),
        pytest.param({**PHONE, **DARK}, id="390-dark"),
        pytest.param({**DESK, **DARK}, id="1280-dark", marks=pytest.mark.long),
    ],
    indirect=True,
)
def test_pages__open_without_a_request_an_error_or_a_sideways_scroll(
    offline_page, built_site: Path
) -> None:
    open_all(offline_page, one_of_each_kind(built_site))


@pytest.mark.long
@pytest.mark.parametrize(
    "offline_page", [PHONE, {**DESK, **DARK}], indirect=True, ids=["390-light", "1280-dark"]
)
def test_pages__every_one_opens_so(offline_page, built_site: Path) -> None:
    open_all(offline_page, pages_of(built_site))


def open_all(offline_page, paths: list[Path]) -> None:
    for path in paths:
        page = offline_page.show(path)
        page.wait_for_load_state("load")
        page.evaluate(
            "() => new Promise(done => requestAnimationFrame(() => setTimeout(done, 50)))"
        )
        width = page.evaluate(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert width <= 0, f"{path.name} scrolls sideways by {width} px"
    assert offline_page.troubles == []


@pytest.mark.parametrize("offline_page", WIDTHS, indirect=True)
@pytest.mark.parametrize(
    "word, title", [("neutral", "Inside the board"), ("Marram", "Marram Boatyard, slipway post")]
)
def test_search__finds_a_word_from_the_file_system(
    offline_page, built_site: Path, word: str, title: str
) -> None:
    page = offline_page.show(built_site / "about.html")
    box = page.locator("input.md-search__input")
    if (
        page.viewport_size["width"] < 960
    ):  # the theme keeps the box behind a button on a narrow screen
        page.locator("label[for=__search].md-header__button").click()
    box.click()
    box.press_sequentially(word)
    results = page.locator(".md-search-result__item")
    results.first.wait_for()
    assert title in " ".join(results.all_inner_texts())
    results.first.locator("a").first.click()
    page.wait_for_url(lambda url: "about.html" not in url)
    assert page.locator("h1").first.is_visible()
    assert offline_page.troubles == []


@pytest.mark.parametrize("offline_page", WIDTHS, indirect=True)
def test_quiz__is_answered_and_marked_in_the_page(offline_page, built_site: Path) -> None:
    page = offline_page.show(a_quiz(built_site))
    questions = page.locator(".quiz-question")
    assert questions.count() >= 8
    first = questions.nth(0)
    answer(first)
    first.get_by_role("button", name="Mark this one").click()
    assert first.locator("[role=status]").text_content().strip()
    for place in range(1, questions.count()):
        answer(questions.nth(place))
    page.get_by_role("button", name="Mark all").click()
    for place in range(questions.count()):
        assert questions.nth(place).locator("[role=status]").text_content().strip(), (
            f"question {place + 1} was not marked"
        )
    page.get_by_role("button", name="Hand in").click()
    page.locator(".quiz-result").wait_for(state="visible")
    assert page.locator(".quiz-score").inner_text().strip()
    assert offline_page.troubles == []


@pytest.mark.parametrize("name", ["inside-the-board", "review-2", "mock"])
def test_quiz__the_script_agrees_with_the_key(
    offline_page, built_site: Path, tmp_path: Path, name: str
) -> None:
    """Every question answered by its own key (a number: the middle of its window) is right, so the
    score is full.
    """
    page = offline_page.show(built_site / "quizzes" / f"{name}.html")
    data = json.loads(page.locator("script.quiz-data").inner_text())
    answers = {item["id"]: right_answer(item["variants"][0]["key"]) for item in data["questions"]}
    saved = tmp_path / "answers.json"
    saved.write_text(
        json.dumps(
            {
                "format": "firstway answers 2",
                "quiz": data["quiz"],
                "version": data["version"],
                "answers": answers,
            }
        ),
        "utf-8",
    )
    page.set_input_files(".quiz-load input", saved)
    page.wait_for_function("document.querySelector('.quiz-kept').textContent")
    page.get_by_role("button", name="Hand in").click()
    page.wait_for_function("document.querySelector('.quiz-score')?.textContent.trim()")
    score = page.locator(".quiz-score").inner_text().rstrip(".").split()
    assert score[1] == score[3] and int(score[1]) >= len(answers), score
    assert offline_page.troubles == []


def right_answer(key: dict) -> str:
    """The answer a key asks for, as a saved file holds it."""

    def middle(window: dict) -> str:
        return str((window["low"] + window["high"]) / 2)

    if "options" in key:
        return " ".join(sorted(option["id"] for option in key["options"] if option["right"]))
    if "steps" in key:
        return " ".join(step["id"] for step in key["steps"])
    if "rows" in key:
        return " ".join(f"{row['id']}={row['item']}" for row in key["rows"])
    return " ; ".join(map(middle, key["parts"])) if "parts" in key else middle(key)


SMALLEST_TEXT = """drawing => {
    const scale = drawing.getBoundingClientRect().width / drawing.viewBox.baseVal.width;
    const shown = [...drawing.querySelectorAll("text")].filter(text => text.getClientRects().length);
    return Math.min(...shown.map(text => parseFloat(getComputedStyle(text).fontSize) * scale));
}"""


def answer(question) -> None:
    """Any answer at all."""
    for field in question.locator("input[type=text]").all():
        field.fill("1")
    for field in question.locator("select").all():
        field.select_option(index=1)
    choices, moves = (
        question.locator("input:not([type=text])"),
        question.get_by_role("button", name="Move down"),
    )
    if choices.count():  # by the keyboard: a page that still settles moves a click elsewhere
        choices.first.press("Space")
        assert choices.first.is_checked()
    if moves.count():
        moves.first.click()


@pytest.mark.parametrize("offline_page", [PHONE], indirect=True)
def test_drawings__scroll_inside_their_frame_on_a_phone(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "jobs" / "marram" / "index.html")
    frames = page.locator("figure.drawing .sheet")
    assert frames.count() >= 2
    for place in range(frames.count()):
        frame = frames.nth(place)
        scrolls = frame.evaluate("element => element.scrollWidth > element.clientWidth")
        assert frame.get_attribute("tabindex") == "0" or not scrolls, (
            "what scrolls is reached by keyboard"
        )
        assert frame.locator("svg").evaluate(SMALLEST_TEXT) > 8.99, (
            "no text under 9 px"
        )  # the browser rounds a width


def test_maths__uses_the_bundled_font(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "jobs" / "marram" / "circuit-slipway.html")
    page.evaluate("document.fonts.ready")
    loaded = page.evaluate(
        "[...document.fonts].filter(font => font.status === 'loaded').map(font => font.family)"
    )
    assert any("Firstway Maths" in family for family in loaded)


@pytest.mark.parametrize(
    "offline_page", [{**DESK, "java_script_enabled": False}], indirect=True, ids=["no script"]
)
def test_pages__can_be_read_without_a_script(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "jobs" / "marram" / "index.html")
    assert page.locator("figure.drawing svg").first.is_visible()
    assert page.locator("aside.caution").first.is_visible()
    working = offline_page.show(built_site / "jobs" / "marram" / "circuit-slipway.html")
    assert working.locator("section.step math").first.is_visible()
    chapter = offline_page.show(built_site / "chapters" / "inside-the-board.html")
    assert chapter.get_by_text("Main switch", exact=True).first.is_visible()
    assert offline_page.troubles == []


def test_print__is_ink_on_white_from_a_dark_page(offline_page, built_site: Path) -> None:
    page = offline_page.show(built_site / "jobs" / "marram" / "index.html")
    page.emulate_media(media="print", color_scheme="dark")
    assert (
        page.evaluate("getComputedStyle(document.querySelector('.md-typeset')).color")
        == "rgb(17, 17, 17)"
    )
    assert not page.locator(".md-header").is_visible()
    assert page.locator("aside.caution").first.is_visible()
