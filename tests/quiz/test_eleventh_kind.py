"""The recipe for a kind of question, tried: one that the program does not have is read, shown,
marked, simulated, exported and fed back, and no other module hears of it.
"""

from __future__ import annotations

import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as XML

import eleventh_kind
import pytest

from firstway.desk.analysis.feedback import feedback_html
from firstway.desk.analysis.simulating import Planted, simulated
from firstway.desk.exports.qti import item_of, item_xml
from firstway.desk.exports.results import qti_results, statements
from firstway.desk.marking.marking_class import Marked, answer_of
from firstway.desk.papers.key import Asked, LearnerSheet, PaperKey, Version, key_from_text
from firstway.desk.papers.key import text_of_key as text_of
from firstway.desk.papers.marking_scheme import scheme_html
from firstway.pages.chapters.question_part import chapter_question_html
from firstway.quiz.forms.lint import flaws_of, is_sound
from firstway.quiz.forms.registry import FORMS, QUESTION_KINDS, data_of_key, marked
from firstway.quiz.forms.values import worked
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.marking.marking import MARK_WORDS
from firstway.quiz.paper import scripts
from firstway.quiz.paper.page import learner_html, quiz_html
from firstway.quiz.questions import questions_from_yaml

BANK = """topic: words
questions:
  - id: bar
    outcome: a.b
    chapter: a
    difficulty: 1
    kind: name-it
    use: practice
    stem: Where do all earths meet?
    why: They meet there.
    source: common practice
    words: [earth bar, earthing bar]
    mistake: took the neutral bar for it
    mistaken_word: neutral bar
"""
GIVEN = ("", "  Earth BAR ", "earthing bar", "neutral bar", "a <b>rail</b>")


@pytest.fixture(autouse=True)
def known(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[None]:
    """The kind in its registry, and its script beside those of the others."""
    monkeypatch.setitem(QUESTION_KINDS, "name-it", eleventh_kind.KIND)
    monkeypatch.setitem(FORMS, "a-word", eleventh_kind.FORM)
    quiz = Path(scripts.__file__).parents[1]
    for path in (*quiz.glob("scripts/*.js"), *quiz.glob("forms/*/marked.js")):
        copy = tmp_path / "quiz" / path.relative_to(quiz)
        copy.parent.mkdir(parents=True, exist_ok=True)
        copy.write_text(path.read_text("utf-8"), "utf-8")
    folder = tmp_path / "quiz/forms/name_it"
    folder.mkdir()
    (folder / "marked.js").write_text(eleventh_kind.SCRIPT, "utf-8")
    monkeypatch.setattr(scripts, "QUIZ_FOLDER", tmp_path / "quiz")
    yield


def made(bank: str = BANK) -> WorkedQuestion:
    questions, problems = questions_from_yaml(bank, "w.yaml")
    assert problems == []
    found, problems = worked(questions[0], lambda installation, step, of: None)
    assert problems == [] and found is not None
    return found


def paper() -> PaperKey:
    """A paper of this one question, given to two learners."""
    one = made()
    version = Version("v0a0", one.key, "Where?", one.key.answer, one.key.why)
    asked = Asked("bar", "a.b", "a", "name-it", 1, False, {"v0a0": version}, alias="x1")
    sheets = {code: LearnerSheet(code, "K3F9", (("bar", "v0a0"),)) for code in ("L1", "L2")}
    return PaperKey("words", "01ab", "Words", "none", {"a.b": "Name it"}, (asked,), sheets)


def test_it_is_read_and_judged() -> None:
    questions, _ = questions_from_yaml(BANK, "w.yaml")
    assert questions[0].minutes == 1.0 and questions[0].own.words[1] == "earthing bar"
    assert flaws_of(made()) == [] and is_sound(made())
    twice = made(BANK.replace("mistaken_word: neutral bar", "mistaken_word: earth bar"))
    assert not is_sound(twice) and "right as well" in str(flaws_of(twice)[0])


@pytest.mark.parametrize(
    ("good", "broken", "said"),
    [
        (
            "    words: [earth bar, earthing bar]\n",
            "",
            "w.yaml:3: 'questions.bar.words' is missing",
        ),
        ("    source: common practice\n", "", "the word is typed and has no source"),
        ("mistaken_word", "mistook", "unknown key 'mistook'"),
        ("    words:", "    vary: {circuits.a.b: [1]}\n    words:", "has no figures to vary"),
    ],
)
def test_what_its_author_breaks_is_told(good: str, broken: str, said: str) -> None:
    questions, problems = questions_from_yaml(BANK.replace(good, broken, 1), "w.yaml")
    assert questions == [] and any(said in str(problem) for problem in problems), problems


def test_it_is_shown_without_its_key() -> None:
    shown = learner_html(
        "Words", [made()], paper="words", paper_version="1", learner="L1", issue="K3F9"
    )
    assert 'data-form="a-word"' in shown and "Your word" in shown and "<i></i>" in shown
    assert "earth bar" not in shown and "neutral bar" not in shown
    assert "Write the word down" in chapter_question_html(made())


def test_its_marks() -> None:
    key = made().key
    states = [marked(key, given).state for given in GIVEN]
    assert states == ["empty", "right", "right", "mistake", "wrong"]
    assert "took the neutral bar for it" in marked(key, "neutral bar").feedback


RUN = """
const [script, given] = process.argv.slice(1);
require("vm").runInThisContext(script);
const asked = JSON.parse(given);
console.log(JSON.stringify(asked.given.map(typed => firstwayQuiz.marked(asked.key, typed, asked.words))));
"""


@pytest.mark.skipif(
    shutil.which("node") is None, reason="node is not installed: apt-get install nodejs"
)
def test_its_script_marks_like_python() -> None:
    key = made().key
    asked = {"key": data_of_key(key), "words": dict(MARK_WORDS), "given": GIVEN}
    ran = subprocess.run(
        ["node", "-e", RUN, scripts.practice_script(), json.dumps(asked)],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    theirs = [(mark["points"], mark["state"], mark["feedback"]) for mark in json.loads(ran.stdout)]
    mine = [marked(key, given) for given in GIVEN]
    assert theirs == [(mark.points, mark.state, mark.feedback) for mark in mine]


def test_its_field_is_read_and_filled_in_a_browser(tmp_path: Path, offline_page: Any) -> None:
    body = quiz_html("Words", [made()], "s", quiz_id="words", outcomes={"a.b": "Name it"})
    path = tmp_path / "page.html"
    run = f"<script>{scripts.practice_script()}</script>"
    path.write_text(f"<!doctype html><title>Words</title>{body}{run}", "utf-8")
    page = offline_page.show(path)
    page.fill(".quiz-question input", "Earth bar")
    page.click(".quiz-mark-one")
    assert page.inner_text(".quiz-question [role=status]").startswith("Question 1: Right.")
    page.reload()  # what was typed is kept
    assert page.input_value(".quiz-question input") == "Earth bar"
    assert offline_page.troubles == []


def test_a_class_is_simulated_marked_and_told() -> None:
    read_back = key_from_text(text_of(paper()))
    assert read_back == paper()
    held = Planted({"took the neutral bar for it": 1.0})
    answers = simulated(read_back, ["L1", "L2"], held, "seed")["L1"].answers
    version = read_back.by_id["bar"].versions["v0a0"]
    assert marked(version.key, answers["x1"]).state == "mistake"
    given = answer_of(read_back.by_id["bar"], version, "a <b>rail</b>")
    own = Marked("L1", "x.json", "2026-11-23T19:00:00Z", (given,))
    page = feedback_html(read_back, own, "", {"a": "A chapter"})
    assert "You answered: a &lt;b&gt;rail&lt;/b&gt;." in page and "0 of 1" in page
    scheme = scheme_html(read_back, "")
    assert "Accepted: earth bar, earthing bar." in scheme and "neutral bar: took the" in scheme
    result = XML.fromstring(qti_results(read_back, own))
    assert [each.text for each in result.iter() if each.tag.endswith("}value")][2] == (
        "a <b>rail</b>"
    )
    assert statements(read_back, own)[0]["object"]["definition"]["interactionType"] == "fill-in"


@pytest.mark.parametrize(("version", "box"), [("3.0", "qti-text-entry"), ("2.1", "textEntry")])
def test_it_is_exported(version: str, box: str) -> None:
    item = item_xml(item_of(made()), version)
    assert f"<{box}" in item and "earth bar" in item and XML.fromstring(item) is not None
