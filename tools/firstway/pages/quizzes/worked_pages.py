"""Pages: worked examples that fade: the same working whole, with the last step left to the reader,
with the first step given, and alone; other figures each time. Without scripts each set of figures
stands as text, its steps folded.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from firstway.pages.quizzes.quiz_drawings import question_sources
from firstway.pages.quizzes.quiz_pages import pages_of_outcomes
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.markup import inert
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.problems import Problem
from firstway.quiz.bank.question import Question
from firstway.quiz.bank.tasks import WORKED_FILE, WorkedExample
from firstway.quiz.forms.registry import data_of_key
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import variants
from firstway.quiz.forms.worked_question import (
    WorkedPart,
    WorkedQuestion,
    content_text,
    content_value,
    html_of,
    text_of,
)
from firstway.quiz.paper.page import json_for_page
from firstway.rendering.figures import unit_text
from firstway.rendering.formulas import working_mathml
from firstway.rendering.html import Markup, caution_fold_html, details_html, joined, sentence, tag

WORKED = "worked/"
WORKED_INDEX = f"{WORKED}index.md"
MOST_WORKED, FEWEST_WORKED = 8, 4
"""Sets of figures a page carries: enough that a stage seldom meets the same again; one a stage."""
STAGES = ("Whole", "Last step yours", "First step given", "Alone")
WORKED_WORDS = {
    "stage": "Stage {stage} of 4: {name}.",
    "read": "I have followed it: go on",
    "check": "Check my figures",
    "go-on": "Go on with other figures",
    "right": "Right.",
    "followed": "Right: it follows from your own figure before.",
    "mistake": "Not right. This comes from a known mistake: {mistake}. {feedback}",
    "wrong": "Not right. Compare with the working.",
    "empty": "Type a figure first.",
    "not-a-number": "This cannot be read as a number.",
    "unit": "This unit does not fit: the figure is asked in {unit}.",
    "unit-none": "This figure has no unit.",
    "up": "All right. Next comes: {name}.",
    "held": "All right, and alone. It stays here with other figures whenever you come back.",
    "down": "The workings are open now. Next comes: {name}.",
    "state-held": "done alone",
    "state": "at: {name}",
}
_INDEX = """\
# Worked examples

For the trainee who wants to see a working before doing one, and for the installer who wants to try
at once. The same working comes whole, then with its last step left to you, then with only the first
step given, then alone: with other figures each time. A right one moves on, a miss moves back.
{{ .for }}

{caution}

{reader}

{examples}

Beside them: [the job through the book](../the-job.md), one job from survey to handing over.
"""
_TEXT = """\
# {title}

A worked example that fades. [All worked examples](index.md).
{{ .for }}

{caution}

{worked}
"""
_SCRIPTS = tag("script", src="{root}assets/progress.js") + tag(
    "script", src="{root}assets/worked.js", defer=True
)
_STYLE = tag("link", rel="stylesheet", href="{root}assets/tasks.css")


def worked_pages(guide: Guide) -> tuple[list[PageSheet], list[Problem]]:
    """The list of worked examples and a page each; none where the project has none."""
    project = guide.project
    examples = project.shelf.worked
    if not examples or project.broken:
        return [], []
    sources = question_sources(project, drawn=False)
    places = pages_of_outcomes(project)
    sheets, problems = [], list[Problem]()
    for example in examples:
        question = project.question(example.question)
        sets = _sets(question, sources, example) if question else ()
        if question is None or len(sets) < FEWEST_WORKED:
            said = f"'{example.question}' has {len(sets)} sets of figures that work out"
            hint = f"give it a `vary:` of {FEWEST_WORKED} or more: each stage takes its own"
            problems.append(Problem(WORKED_FILE, example.line, said, hint))
            continue
        sheets.append(_sheet(example, question, sets, places.get(question.outcome)))
    index = PageSheet(
        WORKED_INDEX,
        "Worked examples",
        _INDEX.format(**{name: part_mark(name) for name in ("caution", "reader", "examples")}),
        {
            "caution": caution_fold_html(),
            "reader": _STYLE + _reader_html(),
            "examples": _list_html(examples) + _SCRIPTS,
        },
        "The same working whole, half, and alone, with other figures each time.",
    )
    return [index, *sheets], problems


def _sets(
    question: Question, sources: Sources, example: WorkedExample
) -> tuple[WorkedQuestion, ...]:
    return variants(question, sources, MOST_WORKED, example.id)


def _list_html(examples: Sequence[WorkedExample]) -> Markup:
    items = joined(
        tag(
            "li",
            tag("a", each.title, class_="way-title", href=f"{each.id}.html"),
            " ",
            tag("span", class_="state", data_worked=each.id),
        )
        for each in examples
    )
    data = {"stages": STAGES, "words": WORKED_WORDS}
    return tag("ul", items, class_="way-list worked-list") + tag(
        "script", json_for_page(data), type="application/json", class_="worked-data"
    )


def _reader_html() -> Markup:
    choices = (
        ("trainee", "a trainee: begin with the whole working"),
        ("installer", "an installer: begin alone"),
    )
    return tag(
        "fieldset",
        tag("legend", "I am"),
        joined(
            tag(
                "label",
                tag("input", type="radio", name="worked-reader", value=who),
                f" {words}",
            )
            for who, words in choices
        ),
        class_="worked-reader",
        hidden=True,
    )


def _sheet(
    example: WorkedExample,
    question: Question,
    sets: Sequence[WorkedQuestion],
    place: tuple[str, str] | None,
) -> PageSheet:
    data: dict[str, Any] = {
        "id": example.id,
        "question": question.id,
        "outcome": question.outcome,
        "stages": STAGES,
        "words": WORKED_WORDS,
        "sets": [_set_data(each) for each in sets],
    }
    more = (
        tag("p", "Taught in ", tag("a", place[0], href=place[1]), ".", class_="cite")
        if place
        else ""
    )
    source = tag("p", f"Source: {question.source}", class_="cite") if question.source else ""
    html = tag(
        "section",
        _reader_html(),
        tag("div", class_="worked-stages", role="group", aria_label="Stage", hidden=True),
        tag("p", role="status", class_="worked-said"),
        joined(_set_html(number, each) for number, each in enumerate(sets)),
        tag(
            "p",
            tag("button", WORKED_WORDS["check"], type="button", class_="worked-check"),
            class_="quiz-buttons",
            hidden=True,
        ),
        tag("p", class_="worked-kept"),
        details_html("Why it is worked so", tag("p", html_of(sets[0].why)) + source, "more"),
        more,
        tag("script", json_for_page(data), type="application/json", class_="worked-data"),
        class_="worked",
        id=f"worked-{example.id}",
    )
    text = _TEXT.format(
        title=inert(example.title), caution=part_mark("caution"), worked=part_mark("worked")
    )
    parts = {"caution": caution_fold_html(), "worked": _STYLE + html + _SCRIPTS}
    described = f"{example.title}: whole, half, and alone, with other figures each time."
    return PageSheet(f"{WORKED}{example.id}.md", example.title, text, parts, described)


def _set_data(worked: WorkedQuestion) -> Mapping[str, Any]:
    parts = data_of_key(worked.key)["parts"]
    return {"parts": parts, "values": [content_value(part.answer) for part in worked.parts]}


def _set_html(number: int, worked: WorkedQuestion) -> Markup:
    """One set of figures; of the first the steps are open."""
    head = "The whole working" if number == 0 else f"The same with other figures: {number}"
    stem = html_of(worked.stem) if number == 0 else text_of(worked.stem)
    return tag(
        "div",
        tag("h2", head, class_="worked-head"),
        tag("p", stem, class_="worked-stem"),
        tag("ol", joined(_part_html(part, number == 0) for part in worked.parts)),
        class_="worked-set",
        data_set=str(number),
    )


def _part_html(part: WorkedPart, first: bool) -> Markup:
    unit = unit_text(part.unit)
    ask = html_of(part.ask) if first else text_of(part.ask)
    answer = (
        part.figure.html
        if first and part.figure is not None and part.figure is part.answer
        else content_text(part.answer)
    )
    step = part.figure.step if part.figure is not None and not part.figure.symbol else None
    written = working_mathml(step) if step and step.figures and step.value is not None else ""
    note = tag("p", sentence(step.note), class_="cite") if step is not None and step.note else ""
    return tag(
        "li",
        tag("p", ask, class_="worked-ask"),
        tag(
            "details",
            tag("summary", "Working"),
            written,
            note,
            tag("p", tag("strong", answer), class_="worked-answer"),
            class_="more",
            open=first,
        ),
        data_unit=unit,
    )
