"""Quiz: what a question is, as it stands in the bank: no number is worked yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

USES = ("practice", "assigned")
DIFFICULTIES = (1, 2, 3, 4)
"""1 name or recognise, 2 explain, 3 apply or calculate, 4 judge."""
ASKED_VIEWS = ("single-line", "board", "wiring", "chart")

DEFAULT_SLACK_PERCENT = 1.0
"""Two middle values rounded to three figures are each at most 0.5 % off; their product or quotient
at most 1 %."""


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


@dataclass(frozen=True)
class KeyOf:
    """A key of the installation file, quoted in a sentence:
    `{key:circuits.slipway.route.1.length_m}`.
    """

    path: str
    installation: str

    def __str__(self) -> str:
        return f"the key {self.path} of {self.installation}"


AuthorWords = tuple[str | FigureOf | KeyOf, ...]
"""A sentence of the bank: text, with figures where the author wrote `{step:of}` or `{key:path}`."""


@dataclass(frozen=True)
class WrongWay:
    """A value reached by a named mistake: plain arithmetic over figures of the working.

    `answer` stands for the right value; symbols of the answer's own step may be used as they are;
    `figures` names further ones.
    """

    arithmetic: str
    figures: Mapping[str, FigureOf] = field(default_factory=dict)


@dataclass(frozen=True)
class NumberMistake:
    """A wrong number that has a name, and what to say to the learner who types it.

    `part` counts from 1 in a working.
    """

    mistake: str
    wrong_way: WrongWay
    feedback: AuthorWords
    line: int
    part: int = 0


@dataclass(frozen=True)
class Drawing:
    """The drawing beside a question."""

    view: str
    of: str
    stage: str = ""
    overlay: str = ""
    mistake: str = ""
    chart: str = ""
    circuit: str = ""
    line: int = 0


@dataclass(frozen=True)
class Varied:
    """A key of the installation and the values it takes, as they are written in a file."""

    path: str
    values: tuple[str, ...]
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
    safety: bool
    stem: AuthorWords
    why: AuthorWords
    source: str
    file: str
    line: int
    own: Any = None
    """What its kind asks for beside these, a frozen value of `form.py` in its folder."""
    installation: str = ""
    drawing: Drawing | None = None
    minutes: float = 0.0
    vary: tuple[Varied, ...] = ()
