"""Quiz, number: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.quiz.bank.keys import Keys
from firstway.quiz.bank.own_keys import (
    LARGEST_SLACK_PERCENT,
    GivenBeside,
    figure_of_keys,
    mistakes_of_keys,
    places_of_keys,
    slack_of_keys,
)
from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT, FigureOf, NumberMistake


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


def number_of_keys(
    keys: Keys,
    beside: GivenBeside,
    usual_slack: float = DEFAULT_SLACK_PERCENT,
    largest_slack: float = LARGEST_SLACK_PERCENT,
) -> AskedNumber:
    """`answer:` and `mistakes:`."""
    answer_keys = keys.inner("answer", required=True)
    answer: FigureOf | Stated | None = None
    places, slack = None, usual_slack
    if answer_keys is not None:
        stated = "value" in answer_keys.entries.values
        places = places_of_keys(answer_keys, required=stated)
        answer = (
            _stated(answer_keys, places)
            if stated
            else figure_of_keys(answer_keys, beside.installation)
        )
        slack = slack_of_keys(answer_keys, usual_slack, largest_slack)
        answer_keys.finish()
    return AskedNumber(answer, places, slack, mistakes_of_keys(keys, beside.installation))


def _stated(keys: Keys, places: int | None) -> Stated | None:
    value, unit = keys.number("value", required=True), keys.text("unit")
    source = keys.text("source", required=True)
    if value is None or places is None or not source:
        return None
    return Stated(value, unit, places, source)
