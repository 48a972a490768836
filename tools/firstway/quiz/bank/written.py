"""Quiz: what authors write in the bank, whatever the kind of question: keys as they stand there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from firstway.files.specs import (
    ByName,
    Flag,
    Name,
    Prose,
    Section,
    Texts,
    count,
    key,
    positive,
    word,
)
from firstway.quiz.bank.question import ASKED_VIEWS, DIFFICULTIES, USES

MOST_PLACES = 6
LARGEST_SLACK_PERCENT = 5.0
MOST_MISTAKES = 9
MOST_PARTS = 3
LONGEST_MINUTES = 60.0


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
class WrittenFigure(Written):
    """A figure of a working."""

    step: str = key(Prose(), "the step of the working", "voltage-drop", required=True)
    of: str = key(Prose(), "what the step is of", "slipway", required=True)
    installation: str = key(
        Prose(), "the installation, where the question's own is not meant", "marram"
    )
    symbol: str = key(Prose(), "a symbol of the step's formula, where it is asked for", "I_b")


@dataclass(frozen=True)
class WrittenMistake(Written):
    """A wrong figure that has a name."""

    mistake: str = key(
        Prose(), "what is done wrong, in a few words", "using the device rating", required=True
    )
    arithmetic: str = key(
        Prose(),
        "how the wrong figure comes about: plain arithmetic over `answer` and symbols",
        "m_v * I_n * L / 1000",
        required=True,
    )
    with_: Mapping[str, WrittenFigure] = key(
        ByName(Section(WrittenFigure)),
        "symbols of the arithmetic that the answer's own step has not",
        "{I_n: {step: device-rating, of: slipway}}",
    )
    feedback: str = key(
        Prose(), "what is said to whoever does so", "The load counts.", required=True
    )


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
class WrittenQuestion(Written):
    """What every question says, whatever its kind."""

    id: str = key(
        Name("small"),
        "what it is called for ever: saved answers hold it",
        "surge-point-length",
        required=True,
    )
    outcome: str = key(
        Name("small"), "the outcome it tests, of the same chapter", "surge.leads", required=True
    )
    chapter: str = key(Name("small"), "the chapter it belongs to", "surge", required=True)
    difficulty: int = key(
        count(min(DIFFICULTIES), max(DIFFICULTIES)),
        "1 name or recognise, 2 explain, 3 apply or calculate, 4 judge",
        "3",
        required=True,
        absent=0,
    )
    kind: str = key(Name("small"), "the kind of question", "number", required=True)
    use: str = key(
        word(*USES), "`practice` for the guide, `assigned` for papers alone", required=True
    )
    safety: bool = key(Flag(), "whether it is about safety: told apart in the result")
    installation: str = key(
        Name("small"), "where a figure, a drawing or a reading names none", "marram"
    )
    time_minutes: float = key(
        positive(LONGEST_MINUTES),
        "time to allow, where it is not the usual time of its kind",
        "2",
        absent=0.0,
    )
    source: str = key(
        Prose(),
        "where a right answer comes from that the author typed",
        "IEC 60364-5-53 534.4.8",
    )
    stem: str = key(
        Prose(),
        "what is asked; may quote figures: {step:of} or {key:path}",
        "Which lead is too long?",
        required=True,
    )
    why: str = key(
        Prose(), "why the answer is right; shown after marking", "It adds.", required=True
    )
    drawing: WrittenDrawing | None = key(Section(WrittenDrawing), "the drawing beside it")
    vary: Mapping[str, tuple[str, ...]] = key(
        ByName(Texts()),
        "keys of the installation with the values they take, each worked anew",
        "{circuits.slipway.route.1.length_m: [6, 9, 12]}",
        when="a kind whose answer can be a figure",
    )
    lines_of: Mapping[str, int] = field(default_factory=dict)
