"""Quiz: `options:` of a question, as choices of one and of several write them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from firstway.files.specs import ByName, Flag, Prose, Section, Sections, key
from firstway.quiz.bank.own_keys import (
    GivenBeside,
    figure_written,
    need,
    sentence_of,
    source_needed,
    wrong_way_of,
)
from firstway.quiz.bank.question import AuthorWords, FigureOf, WrongWay
from firstway.quiz.bank.written import Written, WrittenFigure, WrittenQuestion

MOST_OPTIONS = 9


@dataclass(frozen=True)
class WrittenOption(Written):
    """One thing to choose; exactly one of text, figure and arithmetic."""

    text: str = key(Prose(), "its words", "The lead is too long")
    figure: WrittenFigure | None = key(Section(WrittenFigure), "a figure of the working")
    arithmetic: str = key(Prose(), "the figure a mistake leads to", "2 * answer")
    with_: Mapping[str, WrittenFigure] = key(
        ByName(Section(WrittenFigure)),
        "symbols of the arithmetic that the answer's own step has not",
        "{I_n: {step: device-rating, of: slipway}}",
        when="arithmetic",
    )
    right: bool = key(Flag(), "whether it is right")
    mistake: str = key(Prose(), "the mistake a wrong one tests", "adds both leads twice")
    feedback: str = key(Prose(), "what is said to whoever chooses it", "Each counts once.")


@dataclass(frozen=True)
class WrittenChoice(WrittenQuestion):
    """One answer is right."""

    options: tuple[WrittenOption, ...] = key(
        Sections(WrittenOption, at_least=1, at_most=MOST_OPTIONS),
        "what is chosen from",
        required=True,
    )


@dataclass(frozen=True)
class Option:
    """One thing to choose: words, a figure of the working, or the figure a mistake leads to."""

    content: AuthorWords | FigureOf | WrongWay
    right: bool
    mistake: str
    feedback: AuthorWords
    line: int


@dataclass(frozen=True)
class AskedOptions:
    """Options to choose from."""

    options: tuple[Option, ...]
    tell_count: bool = False


def options_of(
    written: Sequence[WrittenOption], beside: GivenBeside, several: bool = False
) -> tuple[Option, ...]:
    """The options that can be shown."""
    found = (_option(each, beside, several) for each in written)
    return tuple(option for option in found if option is not None)


def _option(written: WrittenOption, beside: GivenBeside, several: bool) -> Option | None:
    given = [name for name in ("text", "figure", "arithmetic") if name in written.lines]
    if len(given) != 1:
        beside.say(
            written.line,
            f"an option has {len(given)} of text, figure and arithmetic",
            "give exactly one of the three",
        )
    if not written.right:
        need(written, beside, "mistake", "feedback")
    elif written.mistake or written.arithmetic and not several:
        beside.say(
            written.line, "the right answer names a mistake", "remove `mistake:` or `right:`"
        )
    elif written.arithmetic:
        beside.say(
            written.line,
            "the right answer is worked by arithmetic",
            "name its step under `figure:`",
        )
    content: AuthorWords | FigureOf | WrongWay | None = sentence_of(written, "text", beside)
    if written.figure is not None:
        content = figure_written(written.figure, beside)
    elif written.arithmetic:
        content = wrong_way_of(written, beside)
    if not content or len(given) != 1:
        return None
    feedback = sentence_of(written, "feedback", beside)
    return Option(content, written.right, written.mistake, feedback, written.line)


def complain_of_typed(
    question: WrittenQuestion, options: tuple[Option, ...], beside: GivenBeside
) -> None:
    """A right option in the author's words needs a source."""
    if any(option.right and isinstance(option.content, tuple) for option in options):
        source_needed(question, beside, "the right answer is typed and has no source")
