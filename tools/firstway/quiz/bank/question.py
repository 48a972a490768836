"""Quiz: what a question is, as it stands in the bank: no number is worked yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from firstway.files.specs import Name, Prose, key, word

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
class Written:
    """A section of the bank; `lines` are those of its keys, `path` is where it stands."""

    path: str = ""
    line: int = 0
    lines: Mapping[str, int] = field(default_factory=dict)

    def line_of(self, name: str) -> int:
        """The line of a key, or of the section where it has none."""
        return self.lines.get(name, self.line)


@dataclass(frozen=True)
class WrittenDrawing(Written):
    """The drawing beside a question."""

    view: str = key(word(*ASKED_VIEWS), "which drawing it is", required=True)
    of: str = key(
        Name("small"), "the installation, where the question's own is not meant", "marram"
    )
    stage: str = key(
        Name("small"), "a stage of the fitting that is drawn", "spd-leads", when="view: wiring"
    )
    overlay: str = key(
        Name("small"), "what is laid over the drawing", "fault-path", when="view: wiring"
    )
    mistake: str = key(
        Name("small"), "the mistake that is made on the board", "surge-device-without-earth"
    )
    chart: str = key(Name("small"), "which chart it is", "time-current", when="view: chart")
    circuit: str = key(Prose(), "the circuit the chart is of", "slipway", when="view: chart")


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
    drawing: WrittenDrawing | None = None
    minutes: float = 0.0
    vary: tuple[Varied, ...] = ()
