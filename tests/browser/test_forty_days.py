"""Three learners over forty days, the clock set for each: what comes back, and when, is what the
rule says, worked here anew from what the learner did; two devices, a store that is lost, a reload.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
import quiz_samples as samples

from firstway.quiz.bank.question import ChapterOutcomes, ConfusedPair, Outcome
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.paper.coming_back import (
    SESSIONS,
    question_path,
    question_script,
    session_html,
    session_index,
)
from firstway.quiz.paper.page import practice_html
from firstway.quiz.paper.practice_sets import MANY_SETS, PracticeSet, practice_sets
from firstway.quiz.paper.scripts import practice_script, session_script
from firstway.rendering.html import Markup

pytestmark = [pytest.mark.browser, pytest.mark.long]
FIRST = date(2026, 12, 1)
UNTIL = date(2027, 1, 30)
DAYS, MOST_MINUTES = 40, 15
OUTCOMES = [f"topic.part-{place:02}" for place in range(24)]
PAIRS = ((OUTCOMES[3], OUTCOMES[17]), (OUTCOMES[8], OUTCOMES[9]))

ANSWER = """([name, right]) => {
    const item = document.querySelector(".quiz").quiz.items.find(each => each.id === name), key = item.key;
    const type = (input, text) => { input.value = text; input.dispatchEvent(new Event("input")); };
    const middle = part => String((part.low + part.high) / 2);
    if (key.kind === "number") type(item.texts[0], right ? middle(key) : "-987654");
    else if (key.kind === "working") item.texts.forEach((input, place) => type(input, right ? middle(key.parts[place]) : "-987654"));
    else if (key.kind === "match") item.selects.forEach((select, row) => {
        select.value = right ? key.rows[row].item : key.items.find(each => each !== key.rows[row].item);
        select.dispatchEvent(new Event("change")); });
    else if (key.kind === "order") {
        const ids = key.steps.map(step => step.id);
        (right ? ids : ids.reverse()).forEach(id => item.list.appendChild(item.list.querySelector(`[data-value="${id}"]`)));
        item.moved = true; }
    else item.inputs.forEach(input => {
        const wanted = key.options.find(option => option.id === input.value).right;
        const chosen = right ? wanted : !wanted && !item.inputs.some(other => other.checked && other !== input);
        if (input.checked !== chosen) input.click(); });
    item.element.querySelector(".quiz-mark-one").click();
    return [item.outcome, item.element.dataset.state, item.element.querySelector(".quiz-stem").textContent]; }"""
READY = ".quiz-live, .session-said:not(:empty)"
ASKED = """() => document.querySelector(".quiz").quiz ? document.querySelector(".quiz").quiz.items.map(item =>
    [item.id, item.outcome, item.element.getClientRects().length > 0]) : []"""


class Learner:
    """What one person did, by outcome, and what has to follow from it."""

    def __init__(self) -> None:
        self.days: dict[str, dict[date, bool]] = {}

    def did(self, outcome: str, day: date, right: bool) -> None:
        own = self.days.setdefault(outcome, {})
        own[day] = own.get(day, True) and right

    def due(self, day: date) -> set[str]:
        """The rule in its own words: missed, the next day; recalled, after a fifth of the time left
        up to four weeks before the date, a tenth from half a year on, evenly between.
        """
        found = set()
        for outcome, days in self.days.items():
            last = max(days)
            left = (UNTIL - last).days
            share = 0.2 if left <= 28 else 0.1 if left >= 182 else 0.2 - 0.1 * (left - 28) / 154
            gap = max(1, int(share * left + 0.5)) if days[last] else 1
            if last + timedelta(gap) <= day:
                found.add(outcome)
        return found


def at(page: Any, day: date, path: Path, hour: int = 12) -> None:
    page.clock.set_fixed_time(f"{day.isoformat()}T{hour:02}:00:00")
    page.goto(path.as_uri())
    page.wait_for_selector(READY, state="attached")


def answered(page: Any, learner: Learner, day: date, draw: Random, miss: float) -> list[str]:
    """Every question of the page, answered by chance; gives the outcomes in their order."""
    asked = page.evaluate(ASKED)
    for name, outcome, _ in asked:
        right = draw.random() >= miss
        told = page.evaluate(ANSWER, [name, right])
        assert told[0] == outcome and (told[1] == "right") is right, told
        learner.did(outcome, day, right)
    return [outcome for _, outcome, _ in asked]


def of_outcome(place: int) -> list[tuple[PracticeSet, ...]]:
    """Two questions of one outcome, of other kinds; a number has twelve sets of figures."""
    kinds = samples.one_of_each()

    def named(worked: WorkedQuestion, which: str) -> WorkedQuestion:
        question = replace(
            worked.question, id=f"q-{place}-{which}", outcome=OUTCOMES[place], minutes=2.0
        )
        return replace(worked, question=question)

    def figures(which: str) -> tuple[PracticeSet, ...]:
        made = [samples.number(value=4.0 + 1.25 * turn, variant=turn) for turn in range(12)]
        first, *others = [named(each, which) for each in made]
        return practice_sets(first, others, MANY_SETS)

    return [practice_sets(named(kinds[place % len(kinds)], "a")), figures("b")]


@pytest.fixture(scope="module")
def small_guide(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What comes back, its questions, and one quiz that asks the first of each outcome."""
    folder = tmp_path_factory.mktemp("guide")
    assets = folder / "assets"
    (assets / "questions").mkdir(parents=True)
    (folder / "quizzes").mkdir()
    for name in ("quiz.css", "progress.js"):
        (assets / name).write_bytes((root / "content/assets" / name).read_bytes())
    (assets / "quiz.js").write_text(practice_script(), "utf-8")
    (assets / "session.js").write_text(session_script(), "utf-8")
    waiting = {name: of_outcome(place) for place, name in enumerate(OUTCOMES)}
    for name, own in waiting.items():
        (folder / question_path(name)).write_text(question_script(own), "utf-8")
    outcomes = tuple(Outcome(name, f"Do {name}") for name in OUTCOMES)
    index = session_index(
        [sets for own in waiting.values() for sets in own],
        [ChapterOutcomes("topic", "Topic", outcomes)],
        [ConfusedPair(*pair, "one and other") for pair in PAIRS],
    )
    scripts = "".join(
        f'<script src="../assets/{name}.js"></script>' for name in ("progress", "quiz")
    )
    bodies = {
        each.id: session_html(
            each, index, {}, Markup(scripts + '<script src="../assets/session.js"></script>')
        )
        for each in SESSIONS
    }
    bodies["first"] = practice_html(
        "First",
        [own[0] for own in waiting.values()],
        "seed",
        quiz_id="first",
        outcomes=dict(zip(OUTCOMES, OUTCOMES)),
    ) + Markup(scripts)
    for name, body in bodies.items():
        (folder / "quizzes" / f"{name}.html").write_text(
            '<!doctype html><html lang="en"><meta charset="utf-8"><title>Quiz</title><meta'
            ' http-equiv="Content-Security-Policy" content="default-src \'none\'; script-src'
            " 'self' file:; style-src 'self' file:\">"
            f'<link rel="stylesheet" href="../assets/quiz.css"><h1>{name}</h1>{body}</html>',
            "utf-8",
        )
    return folder


def came_back(page: Any, learner: Learner, day: date) -> list[str]:
    """Opens what comes back today, and holds it against the rule."""
    due = learner.due(day)
    told = page.evaluate("firstwayProgress.summary([]).comesBack")
    assert set(told) == due, (day, set(told) ^ due)
    asked = page.evaluate(ASKED)
    outcomes = [outcome for _, outcome, _ in asked]
    partners = {one: other for pair in PAIRS for one, other in (pair, pair[::-1])}
    for before, outcome in zip([None, *outcomes], outcomes):
        assert outcome in due or partners.get(outcome) == before, "a partner stands beside its own"
    assert len(set(outcomes)) == len(outcomes), "neighbours differ in outcome"
    assert 2 * len(asked) <= MOST_MINUTES and len(asked) >= min(len(due), 7)
    assert bool(asked) is bool(due)
    missed = [each for each in due if not learner.days[each][max(learner.days[each])]]
    if missed and asked:
        assert outcomes[0] in missed, "what was missed comes first"
    return outcomes


def begin(page: Any, guide: Path, learner: Learner, draw: Random, miss: float) -> None:
    at(page, FIRST, guide / "quizzes/first.html")
    answered(page, learner, FIRST, draw, miss)
    page.evaluate("date => firstwayProgress.setUntil(date)", UNTIL.isoformat())


@pytest.fixture
def contexts(browser: Any) -> Iterator[Any]:
    """Devices: each a profile of its own, without a network."""
    made = []

    def device() -> Any:
        made.append(browser.new_context(offline=True, timezone_id="Europe/London"))
        made[-1].set_default_timeout(60_000)
        page = made[-1].new_page()
        page.clock.install()
        return page

    yield device
    for context in made:
        context.close()


@pytest.mark.parametrize(
    ("name", "miss", "away"), [("steady", 0.1, 0.0), ("now and then", 0.4, 0.6)]
)
def test_forty_days__what_comes_back_is_what_the_rule_says(
    small_guide: Path, contexts: Any, name: str, miss: float, away: float
) -> None:
    """One comes every day and misses little; one stays away for days, and nothing piles up."""
    page, learner, draw = contexts(), Learner(), Random(name)
    begin(page, small_guide, learner, draw, miss)
    stems: dict[str, list[str]] = {}
    for place in range(1, DAYS):
        day = FIRST + timedelta(place)
        if draw.random() < away:
            continue
        at(page, day, small_guide / "quizzes/today.html")
        came_back(page, learner, day)
        before = page.evaluate(ASKED)
        page.reload()
        page.wait_for_selector(READY, state="attached")
        assert page.evaluate(ASKED) == before, "a reload asks the same"
        for question, _, _ in before:
            stems.setdefault(question, []).append(
                page.inner_text(f'[data-question="{question}"] .quiz-stem')
            )
        answered(page, learner, day, draw, miss)
        page.goto("about:blank")
        at(page, day, small_guide / "quizzes/today.html", 18)
        assert page.evaluate(ASKED) == before, "closed and opened again, it stands as it was left"
    figures = [each for name, each in stems.items() if name.endswith("b") and len(each) > 1]
    assert figures, "a number came back"
    for each in figures:
        assert len(set(each)) == min(len(each), 12), "other figures at every meeting"


def test_forty_days__two_devices_and_a_lost_store(
    small_guide: Path, contexts: Any, tmp_path: Path
) -> None:
    """A learner with a phone and a computer, who carries one file between them; the phone loses
    its store on the way, and nothing of what was saved is lost.
    """
    devices, learner, draw = [contexts(), contexts()], Learner(), Random("two devices")
    begin(devices[0], small_guide, learner, draw, 0.3)
    file = tmp_path / "progress.json"

    def save(page: Any) -> None:
        with page.expect_download() as download:
            page.click(".session-save")
        download.value.save_as(file)

    page = devices[0]
    at(page, FIRST, small_guide / "quizzes/today.html")
    save(page)
    for place in range(1, DAYS, 2):
        day, page = FIRST + timedelta(place), devices[place // 2 % 2]
        if place == 21:
            at(page, day, small_guide / "quizzes/today.html")
            page.evaluate("localStorage.clear()")
        at(page, day, small_guide / "quizzes/today.html")
        held = json.loads(file.read_text("utf-8"))["met"]
        for _ in range(2):  # loaded twice it is the same
            page.evaluate("document.querySelector('.session-kept').textContent = ''")
            page.set_input_files(".session-load", file)
            page.wait_for_selector(".session-kept:has-text('Loaded')")
        at(page, day, small_guide / "quizzes/today.html")
        told = page.evaluate("firstwayProgress.summary([]).comesBack")
        assert set(told) == learner.due(day), day
        answered(page, learner, day, draw, 0.3)
        save(page)
        met = {json.dumps(row) for row in json.loads(file.read_text("utf-8"))["met"]}
        assert {json.dumps(row) for row in held} <= met, "nothing that was saved is lost"
