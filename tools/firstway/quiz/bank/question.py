"""Quiz: what a question is, as it stands in the bank, no number worked yet; and the outcomes that
questions test.

Outcomes are read by chapter from `quiz/outcomes.yaml`; what a paper asks of each is counted here:
how many questions, of which kinds, how difficult.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from typing import Any, Protocol

from firstway.files.plain_values import suggestion
from firstway.files.specs import Name, Prose, Sections, key, word
from firstway.files.typed_reader import section_from_yaml
from firstway.frozen import dataclass
from firstway.problems import Problem

USES = ("practice", "assigned")
DIFFICULTIES = (1, 2, 3, 4)
"""1 name or recognise, 2 explain, 3 apply or calculate, 4 judge."""
ASKED_VIEWS = ("single-line", "board", "wiring", "chart", "hands")

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
    line: int = field(repr=False)
    part: int = 0


@dataclass(frozen=True)
class Written:
    """A section of the bank; `lines` are those of its keys, `path` is where it stands."""

    path: str = field(default="", repr=False)
    line: int = field(default=0, repr=False)
    lines: Mapping[str, int] = field(default_factory=dict, repr=False)

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
    picture: str = key(Name("small"), "the picture for the hands", "site", when="view: hands")
    part: str = key(
        Prose(), "what of the installation the picture is made for", "post-1", when="view: hands"
    )


@dataclass(frozen=True)
class Varied:
    """A key of the installation and the values it takes, as they are written in a file."""

    path: str
    values: tuple[str, ...]
    line: int = field(repr=False)


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
    line: int = field(repr=False)
    own: Any = None
    """What its kind asks for beside these, a frozen value of `form.py` in its folder."""
    installation: str = ""
    drawing: WrittenDrawing | None = None
    minutes: float = 0.0
    vary: tuple[Varied, ...] = ()
    few_sets: str = ""


@dataclass(frozen=True)
class Outcome:
    """What a learner can do after a chapter."""

    id: str = key(
        Name("small"),
        "what it is called; it never changes its meaning, for answer files hold it",
        "start.who-may",
        required=True,
    )
    text: str = key(
        Prose(), "what a learner can do", "Say who may do which part of the job", required=True
    )
    section: str = key(
        Prose(), "the heading of its chapter below which it is taught", "Who may do which part?"
    )
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class ChapterOutcomes:
    """A chapter of the guide and its outcomes, in reading order."""

    id: str = key(
        Name("small"), "the name of the chapter's file", "before-you-start", required=True
    )
    title: str = key(Prose(), "its title", "Before you start", required=True)
    outcomes: tuple[Outcome, ...] = key(
        Sections(Outcome), "what a learner can do after it", required=True
    )


@dataclass(frozen=True)
class ConfusedPair:
    """Two outcomes that learners take for one another: they come back side by side."""

    one: str = key(Name("small"), "an outcome", "device.letters", required=True)
    other: str = key(Name("small"), "what it is taken for", "device.residual-type", required=True)
    what: str = key(
        Prose(), "what is taken for what", "curve B, and residual current type B", required=True
    )
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class OutcomesFile:
    """All outcomes of the guide."""

    chapters: tuple[ChapterOutcomes, ...] = key(
        Sections(ChapterOutcomes), "the chapters in reading order", required=True
    )
    confused: tuple[ConfusedPair, ...] = key(
        Sections(ConfusedPair), "outcomes that are taken for one another"
    )


def outcomes_from_yaml(text: str, file: str) -> tuple[list[ChapterOutcomes], list[Problem]]:
    """Read the chapters with their outcomes, and every problem of the file."""
    found, problems = section_from_yaml(text, file, OutcomesFile)
    chapters = list(found.chapters) if found is not None else []
    return chapters, problems or [
        *_same_ids(chapters, file),
        *_unknown_pairs(found.confused if found else (), list(outcome_texts(chapters)), file),
    ]


def confused_from_yaml(text: str, file: str) -> tuple[ConfusedPair, ...]:
    """The pairs of the same file; what is wrong with it `outcomes_from_yaml` says."""
    found, _ = section_from_yaml(text, file, OutcomesFile)
    return found.confused if found is not None else ()


def _unknown_pairs(pairs: Sequence[ConfusedPair], known: list[str], file: str) -> Iterator[Problem]:
    for pair in pairs:
        for name in (pair.one, pair.other):
            if name not in known:
                yield Problem(
                    file,
                    pair.line,
                    f"there is no outcome '{name}'",
                    suggestion(name, known) or "name one of the outcomes above",
                )


def outcome_texts(chapters: list[ChapterOutcomes]) -> dict[str, str]:
    """Outcome id to its sentence, in reading order."""
    return {outcome.id: outcome.text for chapter in chapters for outcome in chapter.outcomes}


def unknown_outcomes(questions: list[Question], chapters: list[ChapterOutcomes]) -> list[Problem]:
    """A problem for each question whose outcome or chapter stands in no chapter."""
    of_chapter = {outcome.id: chapter.id for chapter in chapters for outcome in chapter.outcomes}
    names = [chapter.id for chapter in chapters]
    problems = []
    for question in questions:
        if question.outcome not in of_chapter:
            problems.append(
                _problem(
                    question,
                    f"there is no outcome '{question.outcome}'",
                    question.outcome,
                    list(of_chapter),
                )
            )
        elif question.chapter not in names:
            problems.append(
                _problem(
                    question, f"there is no chapter '{question.chapter}'", question.chapter, names
                )
            )
        elif of_chapter[question.outcome] != question.chapter:
            problems.append(
                Problem(
                    question.file,
                    question.line,
                    f"question {question.id}: the outcome"
                    f" '{question.outcome}' belongs to the chapter"
                    f" '{of_chapter[question.outcome]}'",
                    "name that chapter, or another outcome",
                )
            )
    return problems


def _problem(question: Question, message: str, word: str, known: list[str]) -> Problem:
    return Problem(
        question.file,
        question.line,
        f"question {question.id}: {message}",
        suggestion(word, known) or "add it to quiz/outcomes.yaml",
    )


def _same_ids(chapters: list[ChapterOutcomes], file: str) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for outcome in (outcome for chapter in chapters for outcome in chapter.outcomes):
        first = seen.setdefault(outcome.id, outcome.line)
        if first != outcome.line:
            yield Problem(
                file,
                outcome.line,
                f"the outcome '{outcome.id}' stands twice (first in line {first})",
                "give it an id of its own",
            )


@dataclass(frozen=True)
class AskedCount:
    """One outcome of a paper: how many of its questions are of each kind and each difficulty, and
    how many are on safety.
    """

    chapter: str
    outcome: str
    questions: int
    kinds: tuple[tuple[str, int], ...]
    difficulties: tuple[tuple[int, int], ...]
    safety: int


class Counted(Protocol):
    """What is counted of a question, of the bank or of a key."""

    @property
    def outcome(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def difficulty(self) -> int: ...
    @property
    def safety(self) -> bool: ...


def asked_of(
    questions: Sequence[Counted], outcomes: Sequence[tuple[str, str, str]]
) -> list[AskedCount]:
    """What a paper asks, by outcome.

    `outcomes` are (chapter, outcome id, what a learner can) in the order in which they are learnt.
    """
    found = []
    for chapter, id_, text in outcomes:
        own = [question for question in questions if question.outcome == id_]
        if own:
            kinds, levels = (
                Counter(question.kind for question in own),
                Counter(question.difficulty for question in own),
            )
            found.append(
                AskedCount(
                    chapter,
                    text,
                    len(own),
                    tuple(sorted(kinds.items())),
                    tuple(sorted(levels.items())),
                    sum(question.safety for question in own),
                )
            )
    return found


def asked_line(row: AskedCount) -> str:
    """One outcome in one line of plain text."""
    kinds = ", ".join(f"{number} {kind.replace('-', ' ')}" for kind, number in row.kinds)
    levels = " and ".join(str(level) for level, _ in row.difficulties)
    return (
        f"{row.questions:3}  {row.outcome} ({kinds}; difficulty"
        f" {levels}{'; safety' if row.safety else ''})"
    )
