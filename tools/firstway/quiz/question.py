"""Quiz: what a question is, as it stands in the bank: no number is worked yet."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Mapping, Union

KINDS = ("one-answer", "number")
USES = ("practice", "assigned")
DIFFICULTIES = (1, 2, 3, 4)
"""1 name or recognise, 2 explain, 3 apply or calculate, 4 judge."""

DEFAULT_SLACK_PERCENT = 1.0
"""Two middle values rounded to three figures are each at most 0.5 % off; their product or quotient at most 1 %."""


@dataclass(frozen=True)
class FigureOf:
    """Where a figure comes from: a step of an installation's working, or one symbol put into it."""

    step: str
    of: str
    installation: str
    symbol: str = ""

    def __str__(self) -> str:
        place = f"{self.step} of {self.of} in {self.installation}"
        return f"{self.symbol} in {place}" if self.symbol else place


Words = tuple[Union[str, FigureOf], ...]
"""A sentence of the bank: text, with figures where the author wrote `{step:of}`."""


@dataclass(frozen=True)
class Stated:
    """An answer typed by the author; only with its source."""

    value: float
    unit: str
    places: int
    source: str


@dataclass(frozen=True)
class WrongWay:
    """A value reached by a named mistake: plain arithmetic over figures of the working.

    `answer` stands for the right value; symbols of the answer's own step may be used as they are;
    `figures` names further ones.
    """

    arithmetic: str
    figures: Mapping[str, FigureOf] = field(default_factory=dict)


@dataclass(frozen=True)
class Option:
    """One thing to choose: words, a figure of the working, or the figure a mistake leads to."""

    content: Words | FigureOf | WrongWay
    right: bool
    mistake: str
    feedback: Words
    line: int


@dataclass(frozen=True)
class NumberMistake:
    """A wrong number that has a name, and what to say to the learner who types it."""

    mistake: str
    wrong_way: WrongWay
    feedback: Words
    line: int


@dataclass(frozen=True)
class Question:
    """One question of the bank."""

    id: str
    outcome: str
    chapter: str
    difficulty: int
    kind: str
    use: str
    must_pass: bool
    stem: Words
    why: Words
    source: str
    file: str
    line: int
    options: tuple[Option, ...] = ()
    answer: FigureOf | Stated | None = None
    places: int | None = None
    slack_percent: float = DEFAULT_SLACK_PERCENT
    mistakes: tuple[NumberMistake, ...] = ()
