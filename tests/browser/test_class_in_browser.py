"""A class from recipe to report in a real browser: learners answer their own file from the file
system with the network off, save it, the tutor marks what was saved and opens the report.

What each learner should get is counted here from what they did: right answers are read off the key,
one point for each figure, row or right option, as the answer sheet says. No outside reference marks
our own papers.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from desk_class import right_answer

from firstway.cli import main
from firstway.desk.answers.answer_files import LARGEST_FILE
from firstway.desk.papers.key import PaperKey, Version, key_from_text
from firstway.quiz.forms.match.answers import MatchKey
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.order.answers import OrderKey
from firstway.quiz.forms.registry import QUESTION_KINDS
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey
from firstway.quiz.forms.working.answers import WorkingKey

pytestmark = pytest.mark.browser
LONG_KINDS, SHORT_KINDS = (
    tuple(QUESTION_KINDS),
    ("one-answer", "several-answers", "number", "order"),
)
MOST_TABS = 400


@dataclass(frozen=True)
class Learner:
    """`plan` says for each question what is answered; `keys`: by the keyboard alone."""

    code: str
    plan: Callable[[Version], tuple[str, int]]
    keys: bool = False


# ---- plans: what is answered, and the points it is worth ----


def whole(version: Version) -> tuple[str, int]:
    """Everything right; numbers with a decimal comma and the unit."""
    key = version.key
    answer = right_answer(version)
    if isinstance(key, NumberKey):
        return answer.replace(".", ",") + (f" {key.spellings[0]}" if key.spellings else ""), 1
    return answer, (
        len(key.parts)
        if isinstance(key, WorkingKey)
        else (
            len(key.rows)
            if isinstance(key, MatchKey)
            else (
                sum(option.right for option in key.options)
                if isinstance(key, SeveralAnswersKey)
                else 1
            )
        )
    )


def wrong(version: Version) -> tuple[str, int]:
    """Everything wrong: another option, a figure a thousand times too large, the steps turned
    round, all rows with one wrong item.
    """
    key = version.key
    if isinstance(key, OneAnswerKey):
        return next(option.id for option in key.options if not option.right), 0
    if isinstance(key, SeveralAnswersKey):
        return next(option.id for option in key.options if not option.right), 0
    if isinstance(key, NumberKey):
        return f"{abs(key.high) * 1000 + 7:.0f}", 0
    if isinstance(key, OrderKey):
        return " ".join(step.id for step in reversed(key.steps)), 0
    if isinstance(key, MatchKey):
        spare = {row.id: next(item for item in key.items if item != row.item) for row in key.rows}
        return " ".join(f"{row}={item}" for row, item in spare.items()), 0
    return (
        " ; ".join(f"{abs(part.high) * 1000 + 7:.0f}" for part in key.parts[:1])
        + " ;" * (len(key.parts) - 1),
        0,
    )


def part(version: Version) -> tuple[str, int]:
    """One part of what has parts, nothing of the rest."""
    key = version.key
    if isinstance(key, SeveralAnswersKey):
        return next(option.id for option in key.options if option.right), 1
    if isinstance(key, MatchKey):
        return f"{key.rows[0].id}={key.rows[0].item}", 1
    if isinstance(key, WorkingKey):
        return right_answer(version).split(" ; ")[0] + " ;" * (len(key.parts) - 1), 1
    return "", 0


def nothing(version: Version) -> tuple[str, int]:
    return "", 0


# ---- answering a page ----


def answer_by_hand(question: Any, version: Version, answer: str) -> None:
    """With a pointer: click, choose, type."""
    key = version.key
    if isinstance(key, OrderKey):
        for place, value in enumerate(answer.split()):
            step = question.locator(f'.quiz-steps li[data-value="{value}"]')
            for _ in range(_place(question, value) - place):
                step.get_by_role("button", name=re.compile("^Move up")).click()
    elif isinstance(key, MatchKey):
        for pair in answer.split():
            row, _, item = pair.partition("=")
            question.locator("select").nth(int(row) - 1).select_option(item)
    elif isinstance(key, (NumberKey, WorkingKey)):
        for box, text in zip(question.locator("input[type=text]").all(), answer.split(";")):
            box.fill(text.strip())
    else:
        for letter in answer.split():
            question.locator(f'input[value="{letter}"]').check()


def answer_by_keys(page: Any, question: Any, version: Version, answer: str) -> None:
    """With Tab, arrows, Space, Enter and letters alone; the focus moves on from where it is."""
    key = version.key
    if isinstance(key, OneAnswerKey):
        first = question.locator("input").first
        tab_to(page, first)
        wanted = [
            option.get_attribute("value") for option in question.locator("input").all()
        ].index(answer)
        page.keyboard.press("Space")
        for _ in range(wanted):
            page.keyboard.press("ArrowDown")
    elif isinstance(key, SeveralAnswersKey):
        for box in question.locator("input").all():
            tab_to(page, box)
            if box.get_attribute("value") in answer.split():
                page.keyboard.press("Space")
    elif isinstance(key, OrderKey):
        for place, value in enumerate(answer.split()):
            steps = _place(question, value) - place
            if steps:
                tab_to(page, question.locator(f'.quiz-steps li[data-value="{value}"] button').first)
                for _ in range(steps):
                    page.keyboard.press("Enter")
    elif isinstance(key, MatchKey):
        for select, pair in zip(question.locator("select").all(), answer.split()):
            tab_to(page, select)
            page.keyboard.type(pair.partition("=")[2])
    else:
        for box, text in zip(question.locator("input[type=text]").all(), answer.split(";")):
            tab_to(page, box)
            page.keyboard.type(text.strip())


def tab_to(page: Any, target: Any) -> None:
    """Press Tab until the target has the focus: forwards, and back where it lies before."""
    for key, times in (("Tab", MOST_TABS), ("Shift+Tab", MOST_TABS)):
        for _ in range(times):
            if target.evaluate(
                "node => document.activeElement === node || (node.type === 'radio' && node.name ==="
                " document.activeElement.name)"
            ):
                return
            if not page.evaluate("document.activeElement === document.body") or key == "Tab":
                page.keyboard.press(key)
            if key == "Tab" and target.evaluate(
                "node => !!(document.activeElement &&"
                " (document.activeElement.compareDocumentPosition(node) &"
                " Node.DOCUMENT_POSITION_PRECEDING))"
            ):
                break
    raise AssertionError("the keyboard does not reach this field")


def _place(question: Any, value: str) -> int:
    return [
        step.get_attribute("data-value") for step in question.locator(".quiz-steps li").all()
    ].index(value)


def sit(browser: Any, page_file: Path, key: PaperKey, learner: Learner, answers: Path) -> int:
    """Open the file, answer, save; the points it should be given."""
    context = browser.new_context(offline=True, accept_downloads=True)
    page, troubles, due = context.new_page(), [], 0
    page.on(
        "request",
        lambda request: (
            troubles.append(request.url)
            if not request.url.startswith(("file:", "blob:", "data:"))
            else None
        ),
    )
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.goto(page_file.as_uri())
    questions = page.locator(".quiz-question")
    sheet = key.sheets[learner.code].asked
    assert questions.count() == len(sheet)
    for place, (id_, name) in enumerate(sheet):
        version = key.by_id[id_].versions[name]
        answer, points = learner.plan(version)
        due += points
        if answer.replace(";", "").strip():
            (
                answer_by_keys(page, questions.nth(place), version, answer)
                if learner.keys
                else answer_by_hand(questions.nth(place), version, answer)
            )
    save = page.get_by_role("button", name="Save my answers")
    with page.expect_download() as saved:
        if learner.keys:
            tab_to(page, save)
            page.keyboard.press("Enter")
        else:
            save.click()
    name = saved.value.suggested_filename
    assert name == f"{key.paper}-{learner.code}-answers.json"
    saved.value.save_as(answers / name)
    assert (
        "Hand this file to your tutor" in page.locator(".quiz-kept").inner_text() and not troubles
    )
    context.close()
    return due


def papers(
    folder: Path, kinds: tuple[str, ...], codes: list[str], sealed: bool
) -> tuple[Path, PaperKey]:
    rows = "\n".join(f"  - {{kind: {kind}, number: 1}}" for kind in kinds)
    (folder / "recipe.yaml").write_text(
        "id: browser-class\ntitle: Driven in a browser\nuse: assigned\nseed: held by the"
        f" test\ndraw:\n{rows}\n",
        encoding="utf-8",
    )
    (folder / "class.csv").write_text(
        "code,name\n" + "".join(f"{code},Somebody\n" for code in codes), encoding="utf-8"
    )
    out = folder / "out"
    more = ["--key", str(folder / "tutor.pem")] if sealed else []
    assert (
        main(
            [
                "paper",
                str(folder / "recipe.yaml"),
                "--class",
                str(folder / "class.csv"),
                "-o",
                str(out),
                *more,
            ]
        )
        == 0
    )
    key = key_from_text((out / "paper/desk/key.json").read_text("utf-8"))
    assert key is not None
    return out, key


def marked(out: Path, *more: str) -> dict[str, str]:
    assert main(["mark", str(out), *more]) == 0
    with (out / "marked/marks.csv").open(encoding="utf-8-sig", newline="") as file:
        return {row["code"]: row["points"] for row in csv.DictReader(file)}


def report_is_read(browser: Any, out: Path, learners: int) -> None:
    """The report opens from the file system with the network off, says what it should, and scrolls
    sideways nowhere on a phone.
    """
    context = browser.new_context(offline=True, viewport={"width": 390, "height": 844})
    page = context.new_page()
    for file in (out / "marked/report.html", *sorted((out / "marked/feedback").glob("*.html"))[:1]):
        page.goto(file.as_uri())
        assert (
            page.evaluate("document.documentElement.scrollWidth") <= 390
            and page.locator("h1").count() == 1
        )
        assert "Caution" in page.locator(".caution").inner_text()
    page.goto((out / "marked/report.html").as_uri())
    assert (
        f"{learners}\nmarked" in page.locator(".figures").inner_text()
        and "too few to judge" in page.content().casefold()
    )
    context.close()


def whole_class(
    browser: Any, folder: Path, kinds: tuple[str, ...], learners: list[Learner], sealed: bool
) -> None:
    pytest.importorskip("cryptography") if sealed else None
    out, key = papers(folder, kinds, [learner.code for learner in learners], sealed)
    due = {
        learner.code: str(
            sit(
                browser,
                out / f"paper/hand-out/browser-class-{learner.code}.html",
                key,
                learner,
                out / "answers",
            )
        )
        for learner in learners
    }
    saved = [json.loads(path.read_text("utf-8")) for path in (out / "answers").glob("*.json")]
    assert {each["format"] for each in saved} == {
        "firstway sealed answers 1" if sealed else "firstway answers 2"
    }
    assert all(path.stat().st_size < LARGEST_FILE / 10 for path in (out / "answers").glob("*.json"))
    conforms_to_the_schema(saved)
    assert marked(out, *(["--key", str(folder / "tutor.pem")] if sealed else [])) == due
    report_is_read(browser, out, len(learners))


def conforms_to_the_schema(saved: list[Any]) -> None:
    """What the page really saves is what the published schema says."""
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    schema = json.loads((Path(__file__).parents[2] / "quiz/answers.schema.json").read_text("utf-8"))
    for each in saved:
        jsonschema.validate(each, schema, cls=jsonschema.Draft202012Validator)


def test_two_learners_one_by_the_keyboard(browser: Any, tmp_path: Path) -> None:
    whole_class(
        browser,
        tmp_path,
        SHORT_KINDS,
        [Learner("K1", whole, keys=True), Learner("K2", wrong)],
        sealed=False,
    )


@pytest.mark.long
@pytest.mark.parametrize("sealed", [False, True], ids=["plain", "sealed"])
def test_five_learners_every_kind(browser: Any, tmp_path: Path, sealed: bool) -> None:
    learners = [
        Learner("K1", whole),
        Learner("K2", wrong),
        Learner("K3", part),
        Learner("K4", whole, keys=True),
        Learner("K5", nothing),
    ]
    whole_class(browser, tmp_path, LONG_KINDS, learners, sealed)
