"""Quiz: a question of the bank with its numbers filled in from the workings."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from hashlib import sha256
from typing import Union

from firstway.problems import Problem
from firstway.quiz.arithmetic import value_of
from firstway.quiz.marking import Key, NumberKey, OneAnswerKey, OptionKey, WrongNumber
from firstway.quiz.question import FigureOf, NumberMistake, Option, Question, Stated, WrongWay
from firstway.quiz.units import spellings
from firstway.quiz.words import Figure, Filled, StepOf, figure_of, filled, html_of, text_of
from firstway.rendering.figures import number_text, with_unit
from firstway.rendering.symbols import unit_text


@dataclass(frozen=True)
class Computed:
    """A number that is not a step: a typed answer with its source, or where a mistake leads."""

    value: float
    unit: str
    places: int

    @property
    def text(self) -> str:
        return with_unit(number_text(self.value, self.places), self.unit)


Content = Union[Filled, Figure, Computed]


@dataclass(frozen=True)
class WorkedOption:
    """An option as the learner sees it."""

    id: str
    content: Content
    right: bool
    mistake: str
    feedback: Filled
    line: int


@dataclass(frozen=True)
class WorkedMistake:
    """A named mistake of a number question, with the window that betrays it."""

    mistake: str
    value: Computed
    low: float
    high: float
    feedback: Filled
    line: int


@dataclass(frozen=True)
class WorkedQuestion:
    """A question ready for a page, a paper or marking."""

    question: Question
    stem: Filled
    why: Filled
    answer: Content
    key: Key
    options: tuple[WorkedOption, ...] = ()
    mistakes: tuple[WorkedMistake, ...] = ()
    unit: str = ""
    places: int = 0

    @property
    def id(self) -> str:
        return self.question.id


def content_text(content: Content) -> str:
    """What an option or an answer says, as plain text."""
    return text_of(content) if isinstance(content, tuple) else content.text


def window(value: float, places: int, slack_percent: float) -> tuple[float, float]:
    """Lowest and highest number accepted for `value`.

    Half a unit of the last shown place, which is what rounding the result may do, plus
    `slack_percent` of the value, which is what rounding middle values to three figures may do.
    The bounds are widened to three places more than shown and never end in a figure that
    rounding could give: no sensible answer sits on one.
    """
    half = 0.5 * 10.0**-places + abs(value) * slack_percent / 100
    grid, aside = Decimal(1).scaleb(-(places + 2)), Decimal(3).scaleb(-(places + 3))
    low = Decimal(repr(value - half)).quantize(grid, ROUND_FLOOR) - aside
    high = Decimal(repr(value + half)).quantize(grid, ROUND_CEILING) + aside
    return float(low), float(high)


def worked(question: Question, step_of: StepOf, seed: str = "") -> tuple[WorkedQuestion | None, list[Problem]]:
    """Fill in the numbers of one question; the seed sets the order of worded options.

    Gives None with the problems when a step is missing, not known, or a mistake has no value.
    """
    complaints = _Complaints(question)
    stem = complaints.keep(question.line, *filled(question.stem, step_of))
    why = complaints.keep(question.line, *filled(question.why, step_of))
    make = _worked_number if question.kind == "number" else _worked_choice
    made = make(question, stem, why, step_of, seed, complaints)
    return (None, sorted(set(complaints.problems))) if complaints.problems else (made, [])


class _Complaints:
    def __init__(self, question: Question) -> None:
        self.question = question
        self.problems: list[Problem] = []

    def say(self, line: int, message: str, hint: str) -> None:
        self.problems.append(Problem(self.question.file, line, f"question {self.question.id}: {message}", hint))

    def keep(self, line: int, sentence: Filled, wrong: list[str]) -> Filled:
        for reason in wrong:
            self.say(line, reason, "name a step that the installation's working holds")
        return sentence


def _worked_number(question: Question, stem: Filled, why: Filled, step_of: StepOf, seed: str,
                   complaints: _Complaints) -> WorkedQuestion | None:
    answer = _answer(question.answer, question, step_of, complaints)
    if answer is None:
        return None
    value, unit, places = _number_of(answer, question.places)
    if question.places is not None and isinstance(answer, Figure):
        answer = Computed(value, unit, places) if places != _places_of(answer) else answer
    low, high = window(value, places, question.slack_percent)
    mistakes = tuple(item for mistake in question.mistakes
                     if (item := _worked_mistake(mistake, question, answer, value, unit, places, step_of, complaints)))
    key = NumberKey(unit_text(unit), spellings(unit), low, high,
                    tuple(WrongNumber(item.mistake, item.low, item.high, text_of(item.feedback)) for item in mistakes),
                    content_text(answer), text_of(why))
    return WorkedQuestion(question, stem, why, answer, key, mistakes=mistakes, unit=unit, places=places)


def _answer(reference: FigureOf | Stated | None, question: Question, step_of: StepOf,
            complaints: _Complaints) -> Figure | Computed | None:
    if isinstance(reference, Stated):
        return Computed(reference.value, reference.unit, reference.places)
    if reference is None:
        return None
    figure, reason = figure_of(reference, step_of)
    if figure is None:
        complaints.say(question.line, reason, "name a step that the installation's working holds and knows")
    return figure


def _places_of(content: Figure | Computed) -> int:
    return content.step.places if isinstance(content, Figure) else content.places


def _number_of(content: Figure | Computed, places: int | None) -> tuple[float, str, int]:
    return float(content.value or 0.0), content.unit, _places_of(content) if places is None else places


def _known_figures(answer: Figure | Computed, value: float, way: WrongWay, step_of: StepOf) -> tuple[dict[str, float], list[str]]:
    known: dict[str, float] = {}
    if isinstance(answer, Figure) and answer.step.figures:
        known.update(answer.step.figures.values)
    known["answer"] = value
    wrong = []
    for symbol, reference in way.figures.items():
        figure, reason = figure_of(reference, step_of)
        if figure is None:
            wrong.append(reason)
        else:
            known[symbol] = float(figure.value or 0.0)
    return known, wrong


def _where_it_leads(way: WrongWay, answer: Figure | Computed, value: float, line: int, step_of: StepOf,
                    complaints: _Complaints) -> float | None:
    known, wrong = _known_figures(answer, value, way, step_of)
    if not wrong:
        led, reason = value_of(way.arithmetic, known)
        if led is not None:
            return led
        wrong = [f"{way.arithmetic}: {reason}"]
    for reason in wrong:
        complaints.say(line, reason, "name the symbol under `with:` or put the arithmetic right")
    return None


def _worked_mistake(mistake: NumberMistake, question: Question, answer: Figure | Computed, value: float, unit: str,
                    places: int, step_of: StepOf, complaints: _Complaints) -> WorkedMistake | None:
    led = _where_it_leads(mistake.wrong_way, _source_of(question, answer, step_of), value, mistake.line, step_of, complaints)
    feedback = complaints.keep(mistake.line, *filled(mistake.feedback, step_of))
    if led is None:
        return None
    # A mistake far smaller than the answer would drown in the answer's places: keep three figures of it.
    finer = places if led == 0 else max(places, 2 - math.floor(math.log10(abs(led))))
    low, high = window(led, finer, question.slack_percent)
    return WorkedMistake(mistake.mistake, Computed(led, unit, finer), low, high, feedback, mistake.line)


def _source_of(question: Question, answer: Figure | Computed, step_of: StepOf) -> Figure | Computed:
    """The step behind the answer, though it may be shown with other places."""
    if isinstance(answer, Computed) and isinstance(question.answer, FigureOf):
        return figure_of(question.answer, step_of)[0] or answer
    return answer


def _worked_choice(question: Question, stem: Filled, why: Filled, step_of: StepOf, seed: str,
                   complaints: _Complaints) -> WorkedQuestion | None:
    right = _right_content(question, step_of, complaints)
    options = [item for index, option in enumerate(question.options)
               if (item := _worked_option(option, index, question, right, step_of, seed, complaints))]
    ordered = tuple(sorted(options, key=_size if all(not isinstance(item.content, tuple) for item in options) else _by_hash))
    if right is None:
        complaints.say(question.line, "no option is right", "mark one option with `right: true`")
        return None
    key = OneAnswerKey(tuple(OptionKey(item.id, item.right, item.mistake, text_of(item.feedback)) for item in ordered),
                       _without_stop(content_text(right)), text_of(why))
    return WorkedQuestion(question, stem, why, right, key, options=ordered)


def _without_stop(text: str) -> str:
    return text.removesuffix(".")


def _size(option: WorkedOption) -> tuple[float, str]:
    assert not isinstance(option.content, tuple)
    return float(option.content.value or 0.0), option.id


def _by_hash(option: WorkedOption) -> tuple[float, str]:
    return 0.0, option.id


def _right_content(question: Question, step_of: StepOf, complaints: _Complaints) -> Content | None:
    for option in question.options:
        if option.right and isinstance(option.content, tuple) and not isinstance(option.content, WrongWay):
            return filled(option.content, step_of)[0]
        if option.right and isinstance(option.content, FigureOf):
            return _answer(option.content, question, step_of, complaints)
    return None


def _worked_option(option: Option, index: int, question: Question, right: Content | None, step_of: StepOf, seed: str,
                   complaints: _Complaints) -> WorkedOption | None:
    feedback = complaints.keep(option.line, *filled(option.feedback, step_of))
    content: Content | None
    if isinstance(option.content, WrongWay):
        content = _mistaken(option.content, option.line, right, step_of, complaints)
    elif isinstance(option.content, FigureOf):
        content = _answer(option.content, question, step_of, complaints)
    else:
        content = complaints.keep(option.line, *filled(option.content, step_of))
    if content is None:
        return None
    return WorkedOption(option_id(seed, question.id, index), content, option.right, option.mistake, feedback, option.line)


def _mistaken(way: WrongWay, line: int, right: Content | None, step_of: StepOf, complaints: _Complaints) -> Computed | None:
    if right is None or isinstance(right, tuple):
        complaints.say(line, "arithmetic needs a right answer that is a figure", "give the right option a `figure:`")
        return None
    value, unit, places = _number_of(right, None)
    led = _where_it_leads(way, right, value, line, step_of, complaints)
    return None if led is None else Computed(led, unit, places)


def option_id(seed: str, question_id: str, index: int) -> str:
    """The name an answer file uses for an option: tells nothing about place or truth."""
    return "o" + sha256(f"{seed}|{question_id}|{index}".encode()).hexdigest()[:7]
