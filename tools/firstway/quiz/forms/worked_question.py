"""Quiz: what a question is once its numbers are filled in: a value for pages, papers and marking;
and what may be wrong with it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import NamedTuple

from firstway.quiz.bank.question import Question
from firstway.quiz.forms.drawings import Picture
from firstway.quiz.forms.words import Figure, Filled, text_of
from firstway.quiz.marking.marking import Key
from firstway.quiz.marking.typed import Windows
from firstway.rendering.figures import number_text, with_unit

LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Computed:
    """A number that is not a step: a typed answer with its source, a reading, or where a mistake
    leads.
    """

    value: float
    unit: str
    places: int

    @property
    def text(self) -> str:
        return with_unit(number_text(self.value, self.places), self.unit)


Content = Filled | Figure | Computed


@dataclass(frozen=True)
class WorkedOption:
    """An option, a spot or a step as the learner sees it.

    `id` is the letter shown. `place` is its place in the bank (from 0), the same for every learner.
    `spot` is the place in the drawing.
    """

    id: str
    content: Content
    right: bool
    mistake: str
    feedback: Filled
    line: int
    place: int = 0
    spot: str = ""


@dataclass(frozen=True)
class WorkedMistake:
    """A named mistake of a number question, with the window that betrays it.

    `part` counts from 1 in a working.
    """

    mistake: str
    value: Computed
    low: float
    high: float
    feedback: Filled
    line: int
    part: int = 0


@dataclass(frozen=True)
class WorkedRow:
    """A row of a match: its number, what it says, the letter of its partner."""

    id: str
    content: Content
    item: str
    mistake: str
    feedback: Filled
    line: int


@dataclass(frozen=True)
class WorkedItem:
    """An item of a match: its letter, what it says, its place in the bank (rows' partners first,
    then spare ones).
    """

    id: str
    content: Content
    place: int
    line: int


@dataclass(frozen=True)
class WorkedPart:
    """One figure of a working: what is asked, the answer, its unit and decimals."""

    ask: Filled
    answer: Figure | Computed
    unit: str
    places: int
    line: int


@dataclass(frozen=True)
class WorkedQuestion:
    """A question ready for a page, a paper or marking.

    `variant` 0 is the installation as it stands.
    """

    question: Question
    stem: Filled
    why: Filled
    answer: Content
    key: Key
    options: tuple[WorkedOption, ...] = ()
    mistakes: tuple[WorkedMistake, ...] = ()
    unit: str = ""
    places: int = 0
    drawing: Picture | None = None
    variant: int = 0
    rows: tuple[WorkedRow, ...] = ()
    items: tuple[WorkedItem, ...] = ()
    parts: tuple[WorkedPart, ...] = ()
    tell_count: bool = False

    @property
    def id(self) -> str:
        return self.question.id


def content_text(content: Content) -> str:
    """What an option or an answer says, as plain text."""
    return text_of(content) if isinstance(content, tuple) else content.text


def without_stop(text: str) -> str:
    return text.removesuffix(".")


def content_value(content: Content) -> float:
    """The figure of an option or an answer, in its unit; 0 where it is words."""
    return 0.0 if isinstance(content, tuple) else float(content.value or 0.0)


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


FEWEST_OPTIONS = 3
_CATCH_ALL = re.compile(
    r"\b(?:all|none|both|neither|any) of (?:the )?(?:above|these|them)\b|\ball the above\b",
    re.IGNORECASE,
)


class Flaw(NamedTuple):
    """A flaw at a line, and what to do. `mixes`: right and wrong cannot be told apart."""

    line: int
    message: str
    hint: str
    mixes: bool = False


class AskedFigure(NamedTuple):
    """A figure of a question as it is marked. `part` counts from 1 in a working."""

    part: int
    windows: Windows
    value: float
    places: int
    line: int


def catch_all_flaws(texts: Iterable[tuple[int, str]], others: str) -> Iterator[Flaw]:
    """Things to choose, (line, words), that point at the others."""
    for line, text in texts:
        if _CATCH_ALL.search(text):
            yield Flaw(line, f"'{text[:60]}' points at other {others}", "say what is meant")


def twice_flaws(
    texts: Sequence[tuple[int, str]], what: str, hint: str, mixes: bool
) -> Iterator[Flaw]:
    """Things that read alike, (line, words)."""
    words = [text for _, text in texts]
    for line, text in texts:
        if words.count(text) > 1:
            yield Flaw(line, f"two {what} read '{text[:60]}'", hint, mixes)


def option_flaws(worked: WorkedQuestion) -> Iterator[Flaw]:
    """Options or steps that read alike, point at each other, or are too few."""
    texts = [(option.line, content_text(option.content)) for option in worked.options]
    yield from twice_flaws(
        texts, "options", "make them differ, or choose other figures", mixes=True
    )
    yield from catch_all_flaws(texts, "options")
    if len(texts) < FEWEST_OPTIONS:
        yield Flaw(worked.question.line, f"{len(texts)} options", f"give {FEWEST_OPTIONS} or more")


def figure_flaws(worked: WorkedQuestion, figures: Sequence[AskedFigure]) -> Iterator[Flaw]:
    """Figures whose windows do not do what they are for."""
    for figure in figures:
        if not figure.windows.low < round(figure.value, figure.places) < figure.windows.high:
            yield Flaw(figure.line, "the rounded answer lies outside its window", "check `places:`")
    if not worked.mistakes:
        yield Flaw(worked.question.line, "no wrong number is foreseen", "add one under `mistakes:`")
    taken = {
        each.part: [(each.windows.low, each.windows.high, "the right answer")] for each in figures
    }
    for mistake in worked.mistakes:
        for low, high, name in taken[mistake.part]:
            if mistake.low <= high and low <= mistake.high:
                yield Flaw(
                    mistake.line,
                    f"the mistake '{mistake.mistake}' cannot be told from {name} here"
                    f" ({mistake.value.text})",
                    "choose another mistake or another installation",
                    mixes=True,
                )
        taken[mistake.part].append((mistake.low, mistake.high, f"'{mistake.mistake}'"))
        if not mistake.feedback:
            yield Flaw(
                mistake.line, f"the mistake '{mistake.mistake}' has no feedback", "add `feedback:`"
            )
