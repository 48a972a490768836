"""The guide in Firefox, a second browser engine: from file://, without a network, with its strict
rule for local files on.
"""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from firefox import Firefox, firefox_path, started

from firstway.cli import main

KINDS = (
    "index.html",
    "about.html",
    "glossary.html",
    "symbols.html",
    "teach.html",
    "colours.html",
    "chapters/*.html",
    "cards/*.html",
    "refresh/*.html",
    "jobs/index.html",
    "jobs/*/index.html",
    "jobs/*/circuit-*.html",
    "jobs/*/curves.html",
    "jobs/*/charging-*.html",
    "jobs/*/fitting.html",
    "jobs/*/paths.html",
    "jobs/*/readings.html",
    "jobs/*/board.html",
    "mistakes/*.html",
    "quizzes/*.html",
    "rules/*.html",
    "tables/*.html",
    "one-file/[!q]*.html",
    "one-file/quiz-*.html",
)
pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(
        firefox_path() is None,
        reason="no Firefox found; on Debian: apt-get install --no-install-recommends firefox-esr",
    ),
]


@pytest.fixture
def one(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firefox]:
    """A fresh Firefox for each test: what one test did to the focus or the downloads is no other's
    business.
    """
    with started(tmp_path_factory.mktemp("firefox")) as found:
        found.size(1280, 900)
        yield found


@pytest.fixture
def firefox(one: Firefox) -> Iterator[Firefox]:
    """The same; no trouble may be left at the end."""
    yield one
    time.sleep(0.3)  # what goes wrong is told a moment later
    assert one.troubles == []


def test_firefox__keeps_its_strict_rule_and_its_troubles_are_seen(
    one: Firefox, built_site: Path, tmp_path: Path
) -> None:
    """A page may not read the file beside it, as for a reader; and what goes wrong on an invented
    page is told.
    """
    one.show(built_site / "about.html")
    assert one.ask("fetch('index.html').then(() => 'read', () => 'refused')") == "refused"
    path = tmp_path / "broken.html"
    path.write_text(
        "<!doctype html><title>Broken</title><script"
        ' src="none.js"></script><script>nowhere()</script><img src="http://example.invalid/x.png"'
        ' alt="">',
        "utf-8",
    )
    one.troubles.clear()
    one.show(path)
    time.sleep(0.5)
    told = "\n".join(one.troubles)
    assert (
        "none.js" in told and "nowhere is not defined" in told and "//example.invalid/x.png" in told
    ), told


@pytest.mark.parametrize("width", [390, 1280])
def test_pages__of_every_kind_open_without_a_request_or_an_error(
    firefox: Firefox, built_site: Path, width: int
) -> None:
    firefox.size(width, 860)
    for kind in KINDS:
        path = sorted(
            path
            for path in built_site.glob(kind)
            if path.name != "index.html" or kind.endswith("index.html")
        )[0]
        firefox.show(path)
        firefox.wait("document.readyState === 'complete'")
        assert firefox.ask("document.querySelector('h1').getClientRects().length > 0"), (
            f"{path.name} shows no heading"
        )
        wider = firefox.ask(
            "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        )
        assert wider <= 0, f"{path.name} scrolls sideways by {wider} px"
        assert firefox.troubles == [], path.name


def test_search__finds_a_word_by_keyboard(firefox: Firefox, built_site: Path) -> None:
    firefox.show(built_site / "about.html")
    firefox.press("/")
    firefox.wait("document.activeElement.matches('input.md-search__input')")
    firefox.press(*"neutral")
    firefox.wait("document.querySelectorAll('.md-search-result__item').length > 0")
    assert (
        "neutral"
        in firefox.ask("document.querySelector('.md-search-result__item').textContent").casefold()
    )
    firefox.press("ArrowDown")
    firefox.wait("document.activeElement.matches('.md-search-result__item a')")
    address = firefox.ask("document.activeElement.href")
    firefox.press("Enter")
    firefox.wait(f"location.href.split(/[?#]/)[0] === {json.dumps(address)}.split(/[?#]/)[0]")
    firefox.wait("document.querySelector('h1').getClientRects().length > 0")


def test_search__tab_leads_on_from_it(firefox: Firefox, built_site: Path) -> None:
    """No trap (WCAG 2.2, 2.1.2)."""
    firefox.show(built_site / "index.html")
    firefox.reach(".md-search__input")
    firefox.wait("document.querySelector('#__search').checked")
    firefox.press("Tab")
    assert not firefox.ask("document.activeElement.matches('.md-search__input, body')")
    assert not firefox.ask("document.querySelector('#__search').checked")


def answer(firefox: Firefox, question: dict[str, object]) -> None:
    """The right answer to one question of a quiz, by keyboard alone."""
    key = question["variants"][0]["key"]
    field = f'[data-question="{question["id"]}"]'
    if key["kind"] == "one-answer":
        right = next(option["id"] for option in key["options"] if option["right"])
        firefox.reach(f"{field} input[type=radio]")
        firefox.press("Space")
        for _ in key["options"]:
            if firefox.ask("document.activeElement.value") == right:
                break
            firefox.press("ArrowDown")
        assert (
            firefox.ask("document.activeElement.value + document.activeElement.checked")
            == f"{right}true"
        )
    elif key["kind"] == "several-answers":
        letters = {option["id"] for option in key["options"] if option["right"]}
        firefox.reach(f"{field} input[type=checkbox]")
        for _ in key["options"]:
            if firefox.ask("document.activeElement.value") in letters:
                firefox.press("Space")
            firefox.press("Tab")
    elif key["kind"] == "order":
        wanted = [step["id"] for step in key["steps"]]
        for place, id_ in enumerate(wanted):
            up = f'{field} [data-value="{id_}"] button[aria-label^="Move up"]'
            order = (
                f"[...document.querySelectorAll('{field} .quiz-steps li')].map(step =>"
                " step.dataset.value)"
            )
            if firefox.ask(order).index(id_) > place:
                firefox.reach(up)
            for _ in range(firefox.ask(order).index(id_) - place):
                firefox.press("Enter")
        assert firefox.ask(order) == wanted
    elif key["kind"] == "match":
        for place, row in enumerate(key["rows"]):
            firefox.reach(f"{field} select") if place == 0 else firefox.press("Tab")
            firefox.press(row["item"])
            assert firefox.ask("document.activeElement.value") == row["item"]
    else:
        for place, part in enumerate(key.get("parts", [key])):
            firefox.reach(f"{field} input[type=text]") if place == 0 else firefox.press("Tab")
            firefox.press(*f"{(part['low'] + part['high']) / 2:.5f}".replace(".", ","))


def test_quiz__a_whole_mock_by_keyboard_reloaded_saved_and_loaded_elsewhere(
    firefox: Firefox, built_site: Path, tmp_path: Path
) -> None:
    firefox.show(built_site / "quizzes" / "mock.html")
    data = json.loads(firefox.ask("document.querySelector('script.quiz-data').textContent"))
    questions = data["questions"]
    assert (
        len(questions) == 40
        and len({question["variants"][0]["key"]["kind"] for question in questions}) >= 5
    )
    for question in questions[:20]:
        answer(firefox, question)
    firefox.reload()
    for question in questions[20:]:
        answer(firefox, question)
    firefox.reach(".quiz-hand-in")
    firefox.press("Enter")
    firefox.wait("document.querySelector('.quiz-result').getClientRects().length > 0")
    assert firefox.ask("document.activeElement.textContent") == "Your result"
    score = firefox.ask("document.querySelector('.quiz-score').textContent")
    points = score.removeprefix("Points: ").rstrip(".").split(" of ")
    assert points[0] == points[1], score
    assert firefox.ask(
        "[...document.querySelectorAll('.quiz-question [role=status]')].every(said =>"
        " said.textContent.trim())"
    ), "each question says its mark"
    firefox.reach(".quiz-save")
    firefox.press("Enter")
    saved = firefox.downloaded()
    assert len(json.loads(saved.read_text("utf-8"))["answers"]) == 40
    elsewhere = tmp_path / "another folder"
    shutil.copytree(built_site, elsewhere)
    firefox.show(elsewhere / "quizzes" / "mock.html")
    assert firefox.ask("document.querySelectorAll('.quiz-question input:checked').length") == 0, (
        "another folder knows nothing of this one"
    )
    firefox.choose_file(".quiz-load input", saved)
    firefox.wait("document.querySelector('.quiz-kept').textContent.includes('back')")
    if not firefox.ask("document.querySelector('.quiz-result').getClientRects().length > 0"):
        firefox.reach(".quiz-hand-in")
        firefox.press("Enter")
    assert firefox.ask("document.querySelector('.quiz-score').textContent") == score


def test_progress__is_kept_saved_and_loaded_by_file(
    firefox: Firefox, built_site: Path, tmp_path: Path
) -> None:
    done = "[...document.querySelectorAll('[data-chapter] input')].map(box => box.checked)"
    firefox.show(built_site / "chapters" / "index.html")
    firefox.reach("[data-chapter] input")
    firefox.press("Space")
    chosen = firefox.ask(done)
    assert sum(chosen) == 1
    firefox.reload()
    assert firefox.ask(done) == chosen
    firefox.reach(".progress-save")
    firefox.press("Enter")
    saved = firefox.downloaded()
    elsewhere = tmp_path / "another folder"
    shutil.copytree(built_site, elsewhere)
    firefox.show(elsewhere / "chapters" / "index.html")
    assert sum(firefox.ask(done)) == 0
    firefox.choose_file(".progress-load input", saved)
    firefox.wait("document.querySelector('.progress-count').textContent.startsWith('Loaded.')")
    assert firefox.ask(done) == chosen


@pytest.mark.parametrize("sealed", [False, True], ids=["plain", "sealed"])
def test_paper__saves_answers_that_the_desk_opens(
    firefox: Firefox, root: Path, tmp_path: Path, sealed: bool
) -> None:
    """A learner's own file, answered, reloaded in the middle and saved; what comes out is opened by
    the desk.
    """
    (tmp_path / "class.csv").write_text("code\nF1\n", encoding="utf-8")
    extra = ["--key", str(tmp_path / "tutor.pem")] if sealed else []
    recipe = (root / "quiz/papers/class-first-look.yaml").read_text(encoding="utf-8")
    (tmp_path / "recipe.yaml").write_text(
        recipe.replace("change-this-before-use", "plums and anvils"), encoding="utf-8"
    )
    assert (
        main(
            [
                "paper",
                str(tmp_path / "recipe.yaml"),
                "--class",
                str(tmp_path / "class.csv"),
                "-o",
                str(tmp_path / "out"),
                *extra,
            ]
        )
        == 0
    )
    firefox.show(next((tmp_path / "out/paper/hand-out").glob("*.html")))
    firefox.reach(".quiz-question input[type=radio]")
    firefox.press("Space")
    chosen = firefox.ask("[...document.querySelectorAll('input:checked')].map(box => box.id)")
    firefox.reload()
    assert (
        firefox.ask("[...document.querySelectorAll('input:checked')].map(box => box.id)") == chosen
        and len(chosen) == 1
    )
    firefox.reach(".paper-save")
    firefox.press("Enter")
    shutil.copy(firefox.downloaded(), tmp_path / "out/answers/F1.json")
    assert main(["mark", str(tmp_path / "out"), *extra]) == 0
    assert "F1" in (tmp_path / "out/marked/marks.csv").read_text(encoding="utf-8-sig")
