"""Three learners over forty days, the clock set for each, in Chromium and in Firefox: what comes
back, and when, is what the rule says, worked here anew from what the learner did; two devices, a
store that is lost, a reload.

Firefox keeps what a page from a disk stores for that page alone: there a learner carries the file
from the first quiz to what comes back, as the guide says.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random
from typing import Any, Protocol

import pytest
import quiz_samples as samples
from firefox import firefox_path, started

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
CLOCK = """() => { const Real = Date;
    window.Date = class extends Real {
        constructor(...given) { super(...(given.length ? given : [NOW])); }
        static now() { return NOW; } }; }"""
SAVE = "firstwayProgress.saveFile()"
UNSAID = "document.querySelector('.session-kept').textContent = ''"
COMES_BACK = "firstwayProgress.summary([]).comesBack"
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


class Device(Protocol):
    """A browser with a store of its own, without a network, whose clock stands where it is put."""

    def open(self, path: Path, day: date, hour: int = 12) -> None: ...
    def ask(self, script: str) -> Any: ...
    def again(self) -> None: ...
    def save(self, file: Path) -> None: ...
    def load(self, file: Path) -> None: ...


class InChromium:
    """Driven by playwright."""

    def __init__(self, context: Any) -> None:
        context.set_default_timeout(60_000)
        self.page = context.new_page()
        self.page.clock.install()

    def open(self, path: Path, day: date, hour: int = 12) -> None:
        self.page.goto("about:blank")
        self.page.clock.set_fixed_time(f"{day.isoformat()}T{hour:02}:00:00")
        self.page.goto(path.as_uri())
        self.page.wait_for_selector(READY, state="attached")

    def ask(self, script: str) -> Any:
        return self.page.evaluate(script)

    def again(self) -> None:
        self.page.reload()
        self.page.wait_for_selector(READY, state="attached")

    def save(self, file: Path) -> None:
        with self.page.expect_download() as download:
            self.page.evaluate(SAVE)
        download.value.save_as(file)

    def load(self, file: Path) -> None:
        self.page.evaluate(UNSAID)
        self.page.set_input_files(".session-load", file)
        self.page.wait_for_selector(".session-kept:has-text('Loaded')")


class InFirefox:
    """Driven by WebDriver BiDi: the clock is a script that runs before those of a page."""

    def __init__(self, firefox: Any) -> None:
        self.firefox, self.clock = firefox, ""

    def open(self, path: Path, day: date, hour: int = 12) -> None:
        if self.clock:
            self.firefox.call("script.removePreloadScript", script=self.clock)
        now = int(datetime(day.year, day.month, day.day, hour, tzinfo=UTC).timestamp() * 1000)
        self.clock = self.firefox.call(
            "script.addPreloadScript", functionDeclaration=CLOCK.replace("NOW", str(now))
        )["script"]
        self.firefox.call(
            "browsingContext.navigate", context=self.firefox.tab, url="about:blank", wait="complete"
        )
        self.firefox.show(path)
        self._ready()

    def _ready(self) -> None:
        self.firefox.wait(f"document.querySelector({json.dumps(READY)}) !== null", 60)

    def ask(self, script: str) -> Any:
        return self.firefox.ask(script)

    def again(self) -> None:
        self.firefox.reload()
        self._ready()

    def save(self, file: Path) -> None:
        self.firefox.ask(SAVE)
        self.firefox.downloaded().replace(file)

    def load(self, file: Path) -> None:
        self.firefox.ask(UNSAID)
        self.firefox.choose_file(".session-load", file)
        self.firefox.wait("document.querySelector('.session-kept').textContent.includes('Loaded')")


def called(function: str, *given: object) -> str:
    """The expression that calls a function of the page with plain data."""
    return f"({function})({', '.join(map(json.dumps, given))})"


def answered(
    device: Device, learner: Learner, day: date, draw: Random, miss: float, asked: list[Any]
) -> None:
    """These questions of the page, answered by chance."""
    for name, outcome, _ in asked:
        right = draw.random() >= miss
        told = device.ask(called(ANSWER, [name, right]))
        assert told[0] == outcome and (told[1] == "right") is right, told
        learner.did(outcome, day, right)


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


def came_back(device: Device, learner: Learner, day: date) -> list[str]:
    """Holds what comes back today, which is open, against the rule."""
    due = learner.due(day)
    told = device.ask(COMES_BACK)
    assert set(told) == due, (day, set(told) ^ due)
    asked = device.ask(called(ASKED))
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


def begin(
    device: Device, guide: Path, learner: Learner, draw: Random, miss: float, file: Path
) -> None:
    """The first quiz; what it told is carried to the page of what comes back."""
    device.open(guide / "quizzes/first.html", FIRST)
    answered(device, learner, FIRST, draw, miss, device.ask(called(ASKED)))
    device.ask(f"firstwayProgress.setUntil('{UNTIL.isoformat()}')")
    device.save(file)
    device.open(guide / "quizzes/today.html", FIRST)
    device.load(file)


@pytest.fixture(
    params=[
        "chromium",
        pytest.param(
            "firefox",
            marks=pytest.mark.skipif(
                firefox_path() is None,
                reason="no Firefox found; on Debian:"
                " apt-get install --no-install-recommends firefox-esr",
            ),
        ),
    ]
)
def device(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Callable[[], Device]]:
    """Makes devices: each a profile of its own."""
    with ExitStack() as stack:

        def in_chromium() -> Device:
            browser = request.getfixturevalue("browser")
            context = browser.new_context(offline=True, timezone_id="Europe/London")
            stack.callback(context.close)
            return InChromium(context)

        def in_firefox() -> Device:
            found = stack.enter_context(started(tmp_path_factory.mktemp("firefox")))
            return InFirefox(found)

        yield in_chromium if request.param == "chromium" else in_firefox


@pytest.mark.parametrize(
    ("name", "miss", "away"), [("steady", 0.1, 0.0), ("now and then", 0.4, 0.6)]
)
def test_forty_days__what_comes_back_is_what_the_rule_says(
    small_guide: Path,
    device: Callable[[], Device],
    tmp_path: Path,
    name: str,
    miss: float,
    away: float,
) -> None:
    """One comes every day and misses little; one stays away for days, and nothing piles up. The
    page is loaded anew before the first question of a day, between two of them and after the last.
    """
    own, learner, draw = device(), Learner(), Random(name)
    begin(own, small_guide, learner, draw, miss, tmp_path / "progress.json")
    stems: dict[str, list[str]] = {}
    for place in range(1, DAYS):
        day = FIRST + timedelta(place)
        if draw.random() < away:
            continue
        own.open(small_guide / "quizzes/today.html", day)
        came_back(own, learner, day)
        before = own.ask(called(ASKED))
        for question, _, _ in before:
            found = f"document.querySelector('[data-question=\"{question}\"] .quiz-stem').innerText"
            stems.setdefault(question, []).append(own.ask(found))
        half = draw.randrange(len(before) + 1)
        for part in ([], before[:half], before[half:]):
            answered(own, learner, day, draw, miss, part)
            own.again()
            assert own.ask(called(ASKED)) == before, "a reload asks the same, at any moment"
        own.open(small_guide / "quizzes/today.html", day, 18)
        assert own.ask(called(ASKED)) == before, "closed and opened again, it stands as it was left"
    figures = [each for name, each in stems.items() if name.endswith("b") and len(each) > 1]
    assert figures, "a number came back"
    for each in figures:
        assert len(set(each)) == min(len(each), 12), "other figures at every meeting"


def test_forty_days__two_devices_and_a_lost_store(
    small_guide: Path, device: Callable[[], Device], tmp_path: Path
) -> None:
    """A learner with a phone and a computer, who carries one file between them; the phone loses
    its store on the way, and nothing of what was saved is lost.
    """
    devices, learner, draw = [device(), device()], Learner(), Random("two devices")
    file, today = tmp_path / "progress.json", small_guide / "quizzes/today.html"
    begin(devices[0], small_guide, learner, draw, 0.3, file)
    for place in range(1, DAYS, 2):
        day, own = FIRST + timedelta(place), devices[place // 2 % 2]
        if place == 21:
            own.open(today, day)
            own.ask("localStorage.clear()")
        own.open(today, day)
        held = json.loads(file.read_text("utf-8"))["met"]
        for _ in range(2):  # loaded twice it is the same
            own.load(file)
        own.open(today, day)
        assert set(own.ask(COMES_BACK)) == learner.due(day), day
        answered(own, learner, day, draw, 0.3, own.ask(called(ASKED)))
        own.save(file)
        met = {json.dumps(row) for row in json.loads(file.read_text("utf-8"))["met"]}
        assert {json.dumps(row) for row in held} <= met, "nothing that was saved is lost"
