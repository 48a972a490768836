"""Quiz, match: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.yaml_reader import Entries, Node
from firstway.quiz.bank.keys import Keys, keys_of
from firstway.quiz.bank.own_keys import GivenBeside, inner_figure, sentence_of, source_needed
from firstway.quiz.bank.question import AuthorWords, FigureOf

_FEWEST_ROWS, _MOST_ROWS = 2, 9


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


def read(keys: Keys, beside: GivenBeside) -> AskedMatch:
    installation = beside.installation
    rows = tuple(
        row for node in keys.items("rows", required=True) if (row := _row(keys, node, installation))
    )
    spare = tuple(
        item for node in keys.items("spare") if (item := _spare(keys, node, installation))
    )
    if not _FEWEST_ROWS <= len(rows) <= _MOST_ROWS and "rows" in keys.entries.values:
        keys.reader.say(
            keys.line_of("rows"),
            f"{keys.what}: {len(rows)} rows",
            f"give {_FEWEST_ROWS} to {_MOST_ROWS}",
        )
    if any(isinstance(row.text, tuple) and isinstance(row.item, tuple) for row in rows):
        source_needed(keys, beside, "the right partners are typed and have no source")
    return AskedMatch(rows, spare)


def _row(question: Keys, node: Node, installation: str) -> MatchRow | None:
    keys = keys_of(question.reader, node, f"{question.what}, a row")
    if keys is None:
        return None
    text, item = _said(keys, "text", installation), _said(keys, "item", installation)
    row = (
        MatchRow(
            text,
            item,
            keys.text("mistake", required=True),
            sentence_of(keys, "feedback", installation),
            keys.line,
        )
        if text and item
        else None
    )
    keys.asked += ["mistake", "feedback"]
    keys.finish()
    return row


def _spare(question: Keys, node: Node, installation: str) -> Spare | None:
    keys = keys_of(question.reader, node, f"{question.what}, a spare item")
    if keys is None:
        return None
    content = _said(keys, "text", installation)
    keys.finish()
    return Spare(content, keys.line) if content else None


def _said(keys: Keys, key: str, installation: str) -> AuthorWords | FigureOf | None:
    """Words, or `{figure: {step, of}}` in their place."""
    if not isinstance(keys.entries.values.get(key), Entries):
        return sentence_of(keys, key, installation) or None
    inner = keys.inner(key)
    assert inner is not None
    figure = inner_figure(inner, "figure", installation)
    if "figure" not in inner.entries.values:
        keys.reader.say(
            inner.line,
            f"{inner.what}: 'figure' is missing",
            "write words, or `{figure: {step: ..., of: ...}}`",
        )
    inner.finish()
    return figure
