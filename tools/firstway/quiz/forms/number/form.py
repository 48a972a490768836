"""Quiz, number: what its author writes, and how that becomes a question with a key."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from firstway.files.specs import Number, Prose, Section, Sections, count, key, positive
from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT, FigureOf, NumberMistake
from firstway.quiz.bank.written import (
    LARGEST_SLACK_PERCENT,
    MOST_MISTAKES,
    MOST_PLACES,
    GivenBeside,
    WrittenFigure,
    WrittenMistake,
    WrittenQuestion,
    figure_written,
    mistakes_of,
    need,
)
from firstway.quiz.forms.answered import (
    known_figures,
    named_windows,
    spellings,
    typed_mistake,
    typed_right,
    typed_wrong,
    wrong_numbers,
)
from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.forms.number import answers
from firstway.quiz.forms.number.shown import exported, fields, responses, room
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.worked_question import (
    AskedFigure,
    Computed,
    Figure,
    Filled,
    Flaw,
    WorkedQuestion,
    content_text,
    content_value,
    figure_flaws,
    text_of,
    window,
)
from firstway.rendering.figures import unit_text


@dataclass(frozen=True)
class WrittenAnswer(WrittenFigure):
    """A figure of the working, or a value that the author states with its source."""

    step: str = key(Prose(), "the step of the working", "voltage-drop")
    of: str = key(Prose(), "what the step is of", "slipway")
    value: float | None = key(Number(), "a value that no working gives", "0.5")
    unit: str = key(Prose(), "its unit", "m", when="value")
    source: str = key(Prose(), "where the value comes from", "common practice", when="value")
    places: int | None = key(count(0, MOST_PLACES), "decimals it is shown with", "2")
    slack_percent: float = key(
        positive(LARGEST_SLACK_PERCENT),
        "how far a right answer may lie off",
        "2",
        absent=DEFAULT_SLACK_PERCENT,
    )


@dataclass(frozen=True)
class WrittenNumber(WrittenQuestion):
    """A figure is worked out."""

    answer: WrittenAnswer = key(Section(WrittenAnswer), "the right figure", required=True)
    mistakes: tuple[WrittenMistake, ...] = key(
        Sections(WrittenMistake, at_most=MOST_MISTAKES),
        "wrong figures that learners come to",
        required=True,
    )


@dataclass(frozen=True)
class Stated:
    """An answer typed by the author; only with its source."""

    value: float
    unit: str
    places: int
    source: str


@dataclass(frozen=True)
class AskedNumber:
    """A figure to work out; `places` are those it is shown with where they are not its step's."""

    answer: FigureOf | Stated | None
    places: int | None
    slack_percent: float
    mistakes: tuple[NumberMistake, ...]


def read(question: WrittenNumber, beside: GivenBeside) -> AskedNumber:
    return number_of(question.answer, question.mistakes, beside)


def number_of(
    answer: WrittenAnswer, mistakes: tuple[WrittenMistake, ...], beside: GivenBeside
) -> AskedNumber:
    """A figure to work out, and the wrong ones that have a name."""
    found: FigureOf | Stated | None
    if answer.value is None:
        need(answer, beside, "step", "of")
        found = figure_written(answer, beside)
    else:
        need(answer, beside, "places", "source")
        found = Stated(answer.value, answer.unit, answer.places or 0, answer.source)
    return AskedNumber(found, answer.places, answer.slack_percent, mistakes_of(mistakes, beside))


def worked_number(
    look: Look, asked: AskedNumber, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """A number question, its answer a step or a stated value."""
    stated = asked.answer
    answer: Figure | Computed | None
    if isinstance(stated, Stated):
        answer = Computed(stated.value, stated.unit, stated.places)
    else:
        answer = look.figure(look.question.line, stated) if stated else None
    return number_with(look, asked, stem, why, answer) if answer else None


def number_with(
    look: Look, asked: AskedNumber, stem: Filled, why: Filled, answer: Figure | Computed
) -> WorkedQuestion:
    """A number question with its answer at hand."""
    value, unit, slack = float(answer.value or 0.0), answer.unit, asked.slack_percent
    places = answer.places if asked.places is None else asked.places
    known = known_figures(answer, value)
    if places != answer.places:
        answer = Computed(value, unit, places)
    low, high = window(value, places, slack)
    mistakes = tuple(
        item
        for mistake in asked.mistakes
        if (item := look.mistake(mistake, known, unit, places, slack))
    )
    key = answers.NumberKey(
        unit_text(unit),
        spellings(unit),
        low,
        high,
        wrong_numbers(mistakes),
        content_text(answer),
        text_of(why),
    )
    return WorkedQuestion(
        look.question, stem, why, answer, key, mistakes=mistakes, unit=unit, places=places
    )


def flaws(key: answers.NumberKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    value = content_value(worked.answer)
    figure = AskedFigure(0, key, value, worked.places, worked.question.line)
    return figure_flaws(worked, [figure])


FORM = Form(
    key=answers.NumberKey,
    marked=answers.marked,
    fields=fields,
    room=room,
    how="Work it out on paper, then open the answer.",
    flaws=flaws,
    right=typed_right,
    wrong=typed_wrong,
    by_mistake=typed_mistake,
    exported=exported,
    responses=responses,
    interaction="numeric",
    accepted=lambda key: f"Accepted from {key.low:.4g} to {key.high:.4g} {key.unit}.",
    named_mistakes=named_windows,
)
KIND = QuestionKind(
    "number",
    3.0,
    WrittenNumber,
    read,
    worked_number,
    asks=lambda own: str(own.answer),
)
