"""Quiz, match: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.specs import Prose, Section, SectionOrText, Sections, key
from firstway.quiz.bank.own_keys import GivenBeside, figure_written, sentence_of, source_needed
from firstway.quiz.bank.question import AuthorWords, FigureOf
from firstway.quiz.bank.written import Written, WrittenFigure, WrittenQuestion

_FEWEST_ROWS, _MOST_ROWS = 2, 9


@dataclass(frozen=True)
class WrittenContent(Written):
    """A figure in the place of words."""

    figure: WrittenFigure = key(Section(WrittenFigure), "a figure of the working", required=True)


@dataclass(frozen=True)
class WrittenRow(Written):
    """Two that belong together."""

    text: str | WrittenContent = key(
        SectionOrText(WrittenContent), "what stands in the row", "Device", required=True
    )
    item: str | WrittenContent = key(
        SectionOrText(WrittenContent), "its right partner", "limits surges", required=True
    )
    mistake: str = key(
        Prose(), "the mistake a wrong partner tests", "takes it for the filter", required=True
    )
    feedback: str = key(Prose(), "what is said to whoever errs here", "It limits.", required=True)


@dataclass(frozen=True)
class WrittenSpare(Written):
    """An item that belongs to no row."""

    text: str | WrittenContent = key(
        SectionOrText(WrittenContent), "its words", "measures energy", required=True
    )


@dataclass(frozen=True)
class WrittenMatch(WrittenQuestion):
    """Partners are found."""

    rows: tuple[WrittenRow, ...] = key(
        Sections(WrittenRow, _FEWEST_ROWS, _MOST_ROWS), "the rows", required=True
    )
    spare: tuple[WrittenSpare, ...] = key(Sections(WrittenSpare), "items that belong to no row")


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
class AskedMatch:
    """Rows to find the partners of, and items that belong to none."""

    rows: tuple[MatchRow, ...]
    spare: tuple[Spare, ...]


def read(question: WrittenMatch, beside: GivenBeside) -> AskedMatch:
    rows = tuple(
        MatchRow(text, item, each.mistake, sentence_of(each, "feedback", beside), each.line)
        for each in question.rows
        if (text := _said(each, "text", beside)) and (item := _said(each, "item", beside))
    )
    spare = tuple(
        Spare(content, each.line)
        for each in question.spare
        if (content := _said(each, "text", beside))
    )
    if any(isinstance(row.text, tuple) and isinstance(row.item, tuple) for row in rows):
        source_needed(question, beside, "the right partners are typed and have no source")
    return AskedMatch(rows, spare)


def _said(section: Written, name: str, beside: GivenBeside) -> AuthorWords | FigureOf | None:
    """Words, or `{figure: {step, of}}` in their place."""
    content = getattr(section, name)
    if isinstance(content, WrittenContent):
        return figure_written(content.figure, beside)
    return sentence_of(section, name, beside)
