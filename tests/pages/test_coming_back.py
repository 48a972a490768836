"""What comes back: every question for practice waits in one file of its outcome, none for papers;
the pages say what to do without scripts; pairs that are confused name outcomes.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from firstway.quiz.bank.question import confused_from_yaml, outcomes_from_yaml
from firstway.quiz.forms.registry import key_from_data
from firstway.quiz.paper.coming_back import SESSIONS
from firstway.quiz.paper.practice_sets import ENOUGH_SETS
from firstway.quiz.shelf import shelf_from


@pytest.fixture(scope="module")
def waiting(built_site: Path) -> dict[str, list[dict[str, Any]]]:
    """Outcome to its questions, as the files hold them."""
    found = {}
    for path in sorted((built_site / "assets/questions").glob("*.js")):
        head, _, text = path.read_text("utf-8").partition(" = ")[2].partition(" = ")
        assert path.stem in head
        found[path.stem] = json.loads(text.rstrip().removesuffix(";"))
    return found


def test_files__hold_every_question_for_practice_once_and_no_other(
    root: Path, waiting: dict[str, list[dict[str, Any]]], built_site: Path
) -> None:
    shelf, _ = shelf_from(root)
    asked = [(name, each["id"]) for name, own in waiting.items() for each in own]
    assert sorted(asked) == sorted(
        (question.outcome, question.id) for question in shelf.bank if question.use == "practice"
    )
    text = "".join(
        path.read_text("utf-8") for path in (built_site / "assets/questions").glob("*.js")
    )
    for question in shelf.bank:
        assert question.use == "practice" or f'"{question.id}"' not in text, question.id
    assert "{root}" not in text


def test_files__each_set_of_figures_is_another_question(
    waiting: dict[str, list[dict[str, Any]]],
) -> None:
    for own in waiting.values():
        for each in own:
            stems = [json.dumps(one.get("texts")) for one in each["variants"]]
            assert len(set(stems)) == len(stems), each["id"]
            for one in each["variants"]:
                key_from_data(one["key"])
                assert one["key"]["why"]


def test_files__a_figure_comes_back_in_twelve_sets_or_says_why_not(
    root: Path, waiting: dict[str, list[dict[str, Any]]]
) -> None:
    """Whoever meets a sum once a week must not learn its answer by heart: twelve sets is our own
    measure of it.
    """
    shelf, _ = shelf_from(root)
    figures = {
        question.id: question.few_sets
        for question in shelf.bank
        if question.kind in ("number", "working", "read-a-chart")
    }
    sets = {each["id"]: len(each["variants"]) for own in waiting.values() for each in own}
    few = {name for name in figures if name in sets and sets[name] < ENOUGH_SETS}
    assert few == {name for name, why in figures.items() if why}


@pytest.mark.parametrize("session", SESSIONS, ids=lambda each: each.kind)
def test_pages__say_what_to_do_without_scripts(built_site: Path, session: Any) -> None:
    text = (built_site / f"quizzes/{session.id}.html").read_text("utf-8")
    page = BeautifulSoup(text, "html.parser")
    assert "Take a quiz" in page.select_one("noscript").get_text()
    assert page.select_one(".quiz-session .caution")
    assert not page.select(".quiz-session .quiz-question")
    assert len(text.encode()) < 120_000


def test_confused__a_pair_names_outcomes_of_the_file(root: Path) -> None:
    text = (root / "quiz/outcomes.yaml").read_text("utf-8")
    assert confused_from_yaml(text, "x.yaml") and outcomes_from_yaml(text, "x.yaml")[1] == []
    wrong = text + "  - {one: device.letters, other: device.leters, what: a slip}\n"
    (problem,) = outcomes_from_yaml(wrong, "x.yaml")[1]
    assert "there is no outcome 'device.leters'" in problem.message and problem.line
    assert "device.letters" in problem.hint
