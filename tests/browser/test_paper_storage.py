"""Answers of a paper on the device: kept while a learner works, gone once they are saved; and
whatever a browser's storage or a saved file holds, the page goes on and loses nothing that was
typed.

There is no outside reference for our own page. Storage that is refused, full or of another program
is made so in the page, before its script runs; the two windows are two real ones of one profile.
"""

from __future__ import annotations

import json
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import quiz_samples as samples
from conftest import OfflinePage, watched

from firstway.desk.shared.sheets import page_html
from firstway.quiz.paper.page import learner_html
from firstway.quiz.paper.scripts import paper_script

STORE = "firstway:paper:autumn:0123abcd:L07"
REFUSED = """Object.defineProperty(window, "localStorage",
    { get() { throw new DOMException("refused", "SecurityError"); } });"""
FULL = """Storage.prototype.setItem = () => {
    throw new DOMException("full", "QuotaExceededError"); };"""
POISON = [
    "",
    "{",
    "null",
    "7",
    "[]",
    '"text"',
    "[[[[",
    '{"answers":null}',
    '{"answers":[1,2]}',
    '{"answers":{"number":7,"one":["b"]}}',
    '{"answers":{"__proto__":{"x":1},"constructor":"b","toString":"c"}}',
    '{"begun":{"a":1},"answers":{"one":"zz"}}',
    '{"answers":{"match":"9=z 1=zz 1","order":"b b b","several":"a a q","working":";;;;;;;;"}}',
    json.dumps({"answers": {"number": "9" * 100_000}}),
    json.dumps({"answers": {"one": "\ud800\u202e</script>"}}),
    json.dumps({"answers": {str(number): "b" for number in range(20_000)}}),
]


@pytest.fixture()
def paper(root: Path, tmp_path: Path) -> Path:
    """A paper with a question of every kind, as `paper` writes it."""
    return written(root, tmp_path / "paper.html")


def written(root: Path, path: Path, learner: str = "L07", version: str = "0123abcd") -> Path:
    body = learner_html(
        "Autumn paper",
        samples.one_of_each(),
        paper="autumn",
        paper_version=version,
        learner=learner,
        issue="K3F9",
    )
    style = (root / "content/assets/quiz.css").read_text("utf-8")
    path.write_text(page_html("Autumn paper", body, style, script=paper_script()), "utf-8")
    return path


@pytest.fixture()
def window(browser: Any) -> Iterator[Any]:
    """A profile of its own, with the network off; gives new windows of it."""
    context = browser.new_context(offline=True, accept_downloads=True)
    context.set_default_timeout(10_000)
    yield context
    context.close()


def until(page: Any, holds: str, seconds: float = 10) -> None:
    """Wait until a script's expression holds. (The page's own policy forbids what playwright's
    waiting does.)
    """
    end = time.monotonic() + seconds
    while not page.evaluate(holds):
        assert time.monotonic() < end, f"waited in vain for {holds}"
        page.wait_for_timeout(50)


def stored(page: Any) -> dict[str, str]:
    return page.evaluate("Object.fromEntries(Object.entries(localStorage))")


def save(page: Any, into: Path, button: str = ".paper-save") -> dict[str, Any]:
    with page.expect_download() as download:
        page.click(button)
    download.value.save_as(into)
    return json.loads(into.read_text("utf-8"))


def fill(page: Any, number: str = "4.25") -> None:
    page.fill("[data-question=number] input", number)
    page.check("[data-question=one] input[value=b]")


# ---- a shared computer ----


def test_nothing_stays_on_the_device_once_answers_are_saved(
    paper: Path, tmp_path: Path, offline_page: OfflinePage
) -> None:
    """Before, the next learner at the same computer found the answers by opening the file."""
    page = offline_page.show(paper)
    fill(page)
    assert list(stored(page)) == [STORE], "while a learner works, a reload loses nothing"
    page.reload()
    assert page.input_value("[data-question=number] input") == "4.25"
    page.evaluate(
        "localStorage.setItem('firstway:paper:autumn:an-earlier-edition:L07', '{}');"
        " localStorage.setItem('firstway:paper:autumn:0123abcd:L08', '{}')"
    )
    assert save(page, tmp_path / "saved.json")["answers"] == {"number": "4.25", "one": "b"}
    assert list(stored(page)) == ["firstway:paper:autumn:0123abcd:L08"], (
        "what is another learner's stays theirs"
    )
    assert "keeps your answers no longer" in page.inner_text(".quiz-kept")
    page.reload()
    assert page.inner_text(".quiz-total") == "Answered: 0 of 10." and offline_page.troubles == []


def test_a_learner_may_say_otherwise(
    paper: Path, tmp_path: Path, offline_page: OfflinePage
) -> None:
    page = offline_page.show(paper)
    fill(page)
    page.check(".paper-stay input")
    save(page, tmp_path / "saved.json")
    assert list(stored(page)) == [STORE] and page.inner_text(".quiz-kept").endswith(
        "This device keeps your answers."
    )
    page.reload()
    assert page.inner_text(".quiz-total").startswith("Answered: 2 of 10")


def test_a_button_clears_the_device_and_asks_first(
    paper: Path, tmp_path: Path, offline_page: OfflinePage
) -> None:
    page = offline_page.show(paper)
    fill(page)
    page.click(".paper-clear")
    assert "Press again" in page.inner_text(".quiz-kept") and list(stored(page)) == [STORE]
    page.check("[data-question=one] input[value=a]")
    page.click(".paper-clear")
    assert list(stored(page)) == [STORE], "an answer given in between asks anew"
    page.click(".paper-clear")
    assert stored(page) == {} and page.inner_text(".quiz-total") == "Answered: 0 of 10."
    assert page.input_value("[data-question=number] input") == "" and not page.is_checked(
        "[data-question=one] input[value=a]"
    )
    fill(page)
    save(page, tmp_path / "saved.json")
    page.click(".paper-clear")
    assert page.inner_text(".quiz-total") == "Answered: 0 of 10.", (
        "what is saved is cleared at once"
    )
    text = page.inner_text(".quiz-foot")
    assert "cleared from it, unless you tick the box" in text and offline_page.troubles == []


def test_a_change_after_saving_is_kept_again_and_said(
    paper: Path, tmp_path: Path, offline_page: OfflinePage
) -> None:
    page = offline_page.show(paper)
    fill(page)
    save(page, tmp_path / "saved.json")
    page.fill("[data-question=number] input", "5")
    assert list(stored(page)) == [STORE] and page.inner_text(".quiz-total").endswith(
        "Not saved to a file yet."
    )


# ---- storage that is refused, full or poisoned ----


@pytest.mark.parametrize("broken", [REFUSED, FULL], ids=["refused", "full"])
def test_a_browser_that_keeps_nothing_is_told_and_answers_are_saved(
    paper: Path, tmp_path: Path, window: Any, broken: str
) -> None:
    """Before, nothing was said: a closed window lost an hour's work."""
    page = window.new_page()
    seen = watched(page)
    page.add_init_script(broken)
    page.goto(paper.as_uri())
    fill(page)
    assert "keeps nothing while you work" in page.inner_text(".quiz-kept")
    assert (
        save(page, tmp_path / "saved.json")["answers"] == {"number": "4.25", "one": "b"}
        and seen.troubles == []
    )
    page.click(".paper-clear")
    assert page.inner_text(".quiz-total") == "Answered: 0 of 10."


@pytest.mark.parametrize("place", range(len(POISON)))
def test_whatever_stands_in_the_storage_the_page_works(
    paper: Path, tmp_path: Path, offline_page: OfflinePage, place: int
) -> None:
    page = offline_page.page
    page.add_init_script(
        "if (!sessionStorage.begun) { sessionStorage.begun = 1;"
        f" localStorage.setItem({json.dumps(STORE)}, {json.dumps(POISON[place])}); }}"
    )
    offline_page.show(paper)
    fill(page)
    state = save(page, tmp_path / "saved.json")
    assert (
        state["answers"]["number"] == "4.25"
        and state["answers"]["one"] == "b"
        and state["learner"] == "L07"
    )
    assert isinstance(state["begun"], str) and all(
        isinstance(answer, str) and len(answer) <= 1000 for answer in state["answers"].values()
    )
    assert page.evaluate("({}).x") is None and offline_page.troubles == []


# ---- two windows ----


def test_two_windows_of_one_paper_undo_nothing(paper: Path, tmp_path: Path, window: Any) -> None:
    """Before, the window that was touched last wrote its own old answers over those of
    the other.
    """
    one, other = window.new_page(), window.new_page()
    seen = [watched(one), watched(other)]
    for page in (one, other):
        page.goto(paper.as_uri())
    one.fill("[data-question=number] input", "4.25")
    until(other, "document.querySelector('[data-question=number] input').value === '4.25'")
    assert "open in another window" in other.inner_text(".quiz-kept")
    other.check("[data-question=one] input[value=b]")
    until(one, "document.querySelector('[data-question=one] input[value=b]').checked")
    assert save(one, tmp_path / "saved.json")["answers"] == {"number": "4.25", "one": "b"}
    until(other, "document.querySelector('.quiz-total').textContent === 'Answered: 0 of 10.'")
    assert stored(other) == {} and all(each.troubles == [] for each in seen)


def test_windows_of_two_learners_do_not_meet(root: Path, tmp_path: Path, window: Any) -> None:
    pages = []
    for learner in ("L07", "L08"):
        page = window.new_page()
        page.goto(written(root, tmp_path / f"{learner}.html", learner).as_uri())
        pages.append(page)
    pages[0].fill("[data-question=number] input", "4.25")
    pages[1].fill("[data-question=number] input", "7")
    assert [page.input_value("[data-question=number] input") for page in pages] == ["4.25", "7"]
    save(pages[0], tmp_path / "saved.json")
    assert list(stored(pages[1])) == [STORE.replace("L07", "L08")]


# ---- files ----


def loaded(page: Any, path: Path, content: bytes) -> str:
    """What the page says to a file."""
    path.write_bytes(content)
    page.evaluate("document.querySelector('.quiz-kept').textContent = ''")
    page.set_input_files(".quiz-load input", path)
    until(page, "document.querySelector('.quiz-kept').textContent !== ''")
    return page.inner_text(".quiz-kept")


def test_files_of_other_editions_cut_and_merged(
    root: Path, paper: Path, tmp_path: Path, offline_page: OfflinePage
) -> None:
    page = offline_page.show(paper)
    fill(page)
    state = save(page, tmp_path / "saved.json")
    whole = json.dumps(state).encode()
    page.fill("[data-question=number] input", "5")
    unchanged = {
        "cut": whole[:-20],
        "twice": whole + whole,
        "nothing": b"",
        "an array": b"[1]",
        "a practice quiz": b'{"format":"firstway answers 2","quiz":"x","answers":{}}',
        "an older form": whole.replace(b"answers 2", b"answers 1"),
        "a newer form": whole.replace(b"answers 2", b"answers 3"),
        "another learner": whole.replace(b'"L07"', b'"L08"'),
        "another paper": whole.replace(b'"autumn"', b'"spring"'),
        "answers of another kind": whole.replace(b'"answers": {', b'"answers": 7, "x": {'),
        "too large": whole + b" " * 500_001,
    }
    for what, content in unchanged.items():
        assert "Nothing was changed" in loaded(page, tmp_path / "file.json", content), what
        assert page.input_value("[data-question=number] input") == "5", what
    merged = whole.replace(
        b'"answers": {', b'"answers": {"number": "1", "q-of-nobody": "x", '
    ).replace(b'"begun"', b'"answers2": {}, "begun"')
    assert loaded(page, tmp_path / "file.json", merged) == "Your answers are back."
    assert page.input_value("[data-question=number] input") == "4.25", (
        "of a name that stands twice the last counts, as in every reader of JSON in a browser"
    )
    assert "Check each" in loaded(
        page, tmp_path / "file.json", whole.replace(b"0123abcd", b"ffffffff")
    )
    again = save(page, tmp_path / "again.json")
    assert (
        again["answers"] == state["answers"]
        and again["issue"] == "K3F9"
        and again["paper_version"] == "0123abcd"
    )
    assert offline_page.troubles == []
