"""Quiz, number: its figure found, its mistakes led to where they lead."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.figures import known_figures, wrong_numbers
from firstway.quiz.forms.flaws import AskedFigure, Flaw, figure_flaws
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.number.keys import AskedNumber, Stated
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.units import spellings
from firstway.quiz.forms.words import Figure, Filled, text_of
from firstway.quiz.forms.worked_question import (
    Computed,
    WorkedQuestion,
    content_text,
    content_value,
    window,
)
from firstway.rendering.figures import unit_text


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
    key = NumberKey(
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


def flaws(key: NumberKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    value = content_value(worked.answer)
    figure = AskedFigure(0, key, value, worked.places, worked.question.line)
    return figure_flaws(worked, [figure])
