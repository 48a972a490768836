"""Quiz, working: what its author writes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from firstway.files.specs import ByName, Prose, Sections, count, key, positive
from firstway.quiz.bank.own_keys import GivenBeside, figure_written, mistakes_of, sentence_of
from firstway.quiz.bank.question import (
    DEFAULT_SLACK_PERCENT,
    AuthorWords,
    FigureOf,
    NumberMistake,
)
from firstway.quiz.bank.written import (
    LARGEST_SLACK_PERCENT,
    MOST_MISTAKES,
    MOST_PARTS,
    MOST_PLACES,
    WrittenFigure,
    WrittenMistake,
    WrittenQuestion,
)


@dataclass(frozen=True)
class WrittenPart(WrittenFigure):
    """One of the figures."""

    ask: str = key(Prose(), "what is asked", "Which drop?", required=True)
    uses: Mapping[str, int] = key(
        ByName(count(1, MOST_PARTS - 1)),
        "symbols of its formula that are earlier parts, counted from 1",
        "{I_b: 1}",
    )
    places: int | None = key(count(0, MOST_PLACES), "decimals it is shown with", "2")


@dataclass(frozen=True)
class WrittenPartMistake(WrittenMistake):
    """A wrong figure of one part."""

    part: int = key(count(1, MOST_PARTS), "the part, counted from 1", "2", required=True, absent=0)


@dataclass(frozen=True)
class WrittenWorking(WrittenQuestion):
    """Figures of one calculation are worked out, each from those before."""

    parts: tuple[WrittenPart, ...] = key(
        Sections(WrittenPart, MOST_PARTS, MOST_PARTS), "the figures in their order", required=True
    )
    slack_percent: float = key(
        positive(LARGEST_SLACK_PERCENT),
        "how far a right answer may lie off",
        "2",
        absent=DEFAULT_SLACK_PERCENT,
    )
    mistakes: tuple[WrittenPartMistake, ...] = key(
        Sections(WrittenPartMistake, at_most=MOST_MISTAKES),
        "wrong figures that learners come to",
        required=True,
    )


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
class AskedWorking:
    """Three figures of one calculation."""

    parts: tuple[WorkingPart, ...]
    slack_percent: float
    mistakes: tuple[NumberMistake, ...]


def read(question: WrittenWorking, beside: GivenBeside) -> AskedWorking:
    for place, part in enumerate(question.parts, 1):
        for symbol, number in part.uses.items():
            if number >= place:
                beside.say(
                    part.line_of("uses"),
                    f"'{symbol[:60]}' follows from part {number}, which does not stand before it",
                    "name an earlier part, counted from 1",
                )
    if not any(part.uses for part in question.parts):
        beside.say(
            question.line_of("parts"),
            "no part follows from an earlier one",
            "add `uses: {symbol: 1}` to a later part",
        )
    parts = tuple(
        WorkingPart(sentence_of(part, "ask", beside), answer, part.uses, part.places, part.line)
        for part in question.parts
        if (answer := figure_written(part, beside)) is not None
    )
    return AskedWorking(parts, question.slack_percent, mistakes_of(question.mistakes, beside))
