"""Quiz, number: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.specs import Number, Prose, Section, Sections, count, key, positive
from firstway.quiz.bank.own_keys import GivenBeside, figure_written, mistakes_of, need
from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT, FigureOf, NumberMistake
from firstway.quiz.bank.written import (
    LARGEST_SLACK_PERCENT,
    MOST_MISTAKES,
    MOST_PLACES,
    WrittenFigure,
    WrittenMistake,
    WrittenQuestion,
)


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
