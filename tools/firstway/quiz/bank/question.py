"""Quiz: what a question is, as it stands in the bank: no number is worked yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

QUESTION_KINDS = (
    "one-answer",
    "several-answers",
    "number",
    "order",
    "match",
    "point",
    "find-the-mistake",
    "foretell",
    "working",
    "read-a-chart",
)
POINTING = ("point", "find-the-mistake")
VARYING = (
    "one-answer",
    "several-answers",
    "number",
    "match",
    "foretell",
    "working",
    "read-a-chart",
)
"""Kinds whose answer can be a figure: only these may have `vary:`."""
USES = ("practice", "assigned")
DIFFICULTIES = (1, 2, 3, 4)
"""1 name or recognise, 2 explain, 3 apply or calculate, 4 judge."""
ASKED_VIEWS = ("single-line", "board", "wiring", "chart")
TESTS = ("continuity", "insulation", "voltage", "loop", "residual", "load")

MINUTES: Mapping[str, float] = {
    "one-answer": 1.0,
    "several-answers": 1.5,
    "number": 3.0,
    "order": 2.0,
    "match": 2.0,
    "point": 1.0,
    "find-the-mistake": 2.0,
    "foretell": 2.0,
    "working": 5.0,
    "read-a-chart": 1.5,
}
"""Time allowed where the question states none (common practice: about a minute a choice)."""

DEFAULT_SLACK_PERCENT = 1.0
"""Two middle values rounded to three figures are each at most 0.5 % off; their product or quotient
at most 1 %."""
CHART_SLACK_PERCENT = 10.0
"""A figure read off a chart with logarithmic scales, by eye (common practice)."""


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
class Stated:
    """An answer typed by the author; only with its source."""

    value: float
    unit: str
    places: int
    source: str


@dataclass(frozen=True)
class ReadingOf:
    """A reading to foretell: the test as `shown_by` of the mistakes writes it, and the mistake made
    first.

    With a mistake and nothing else it is the very test that shows the mistake. `installation` is
    the board.
    """

    installation: str
    mistake: str = ""
    test: str = ""
    between: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    out: tuple[str, ...] = ()
    bridge: tuple[str, ...] = ()
    test_v: float | None = None
    places: int | None = None
    line: int = 0


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

    content: AuthorWords | FigureOf | WrongWay
    right: bool
    mistake: str
    feedback: AuthorWords
    line: int


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
class OrderStep:
    """One step to put in order; `because` is said when this is the first one out of place."""

    text: AuthorWords
    because: AuthorWords
    line: int


@dataclass(frozen=True)
class StagesOf:
    """The stages of a job's fitting as the steps; `only` keeps some of them."""

    job: str
    only: tuple[str, ...]
    line: int


@dataclass(frozen=True)
class MatchRow:
    """A left-hand row and its right partner; the mistake is named when the row is wrong."""

    text: AuthorWords | FigureOf
    item: AuthorWords | FigureOf
    mistake: str
    feedback: AuthorWords
    line: int


@dataclass(frozen=True)
class Spare:
    """An item that belongs to no row."""

    content: AuthorWords | FigureOf
    line: int


@dataclass(frozen=True)
class SpotAt:
    """A place to point at: the name of a terminal, part, conductor or call-out.

    Its words come from the drawing.
    """

    place: str
    right: bool
    mistake: str
    feedback: AuthorWords
    line: int


@dataclass(frozen=True)
class WorkingPart:
    """One of the three figures of a working.

    `uses` maps symbols of its formula to earlier parts, counted from 1.
    """

    ask: AuthorWords
    answer: FigureOf
    uses: Mapping[str, int]
    places: int | None
    line: int


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
    options: tuple[Option, ...] = ()
    answer: FigureOf | Stated | ReadingOf | None = None
    places: int | None = None
    slack_percent: float = DEFAULT_SLACK_PERCENT
    mistakes: tuple[NumberMistake, ...] = ()
    installation: str = ""
    drawing: Drawing | None = None
    minutes: float = 0.0
    tell_count: bool = False
    steps: tuple[OrderStep, ...] | StagesOf = ()
    rows: tuple[MatchRow, ...] = ()
    spare: tuple[Spare, ...] = ()
    spots: tuple[SpotAt, ...] = ()
    parts: tuple[WorkingPart, ...] = ()
    vary: tuple[Varied, ...] = ()

    @property
    def time_minutes(self) -> float:
        """Minutes to allow: as stated, else by kind."""
        return self.minutes or MINUTES.get(self.kind, 1.0)
