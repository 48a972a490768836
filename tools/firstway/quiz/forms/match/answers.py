"""Quiz, match: its key, an answer to a mark, and answers as learners would give them.

The answer is `row=item` for each answered row, joined by a space.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Mapping, Sequence

from firstway.frozen import dataclass
from firstway.quiz.forms.answered import Relettered, pieces
from firstway.quiz.marking.marking import (
    MARK_WORDS,
    Key,
    Mark,
    filled_in,
    mark_by_sentence,
    mark_in_full,
    mark_in_part,
    said_mistake,
)


@dataclass(frozen=True)
class RowKey:
    """One row of a match: the id of its partner, and the mistake that is named when another stands
    there.
    """

    id: str
    item: str
    mistake: str
    feedback: str


@dataclass(frozen=True)
class MatchKey(Key):
    """What marks a match: a point for each row. `items` are the ids of all that may be chosen."""

    form = "match"
    rows: tuple[RowKey, ...]
    items: tuple[str, ...]
    answer: str
    why: str


def most_points(key: MatchKey) -> int:
    """A point for each row."""
    return len(key.rows)


def marked(key: MatchKey, typed: str) -> Mark:
    """The mark of the partners that were chosen."""
    chosen, out_of = _chosen(key, typed), most_points(key)
    if not chosen:
        return mark_by_sentence(key, "empty", out_of)
    wrong = [row for row in key.rows if chosen.get(row.id) != row.item]
    if not wrong:
        return mark_in_full(key, out_of)
    said = [
        said_mistake("said-row", row.mistake, row.feedback, row=row.id)
        if row.id in chosen
        else filled_in(MARK_WORDS["said-row-empty"], {"row": row.id})
        for row in wrong
    ]
    mistakes = [row.mistake for row in wrong if row.id in chosen]
    return mark_in_part(key, out_of - len(wrong), out_of, said, mistakes)


def _chosen(key: MatchKey, typed: str) -> dict[str, str]:
    """Row to item; nothing where a pair does not fit."""
    rows = [row.id for row in key.rows]
    chosen: dict[str, str] = {}
    for pair in pieces(typed):
        of, equals, item = pair.partition("=")
        if not equals or of not in rows or item not in key.items or of in chosen:
            return {}
        chosen[of] = item
    return chosen


def row_pairs(given: str) -> Iterator[tuple[str, str]]:
    """Row and item of each pair."""
    return ((row, item) for row, _, item in (pair.partition("=") for pair in given.split()))


def right(key: MatchKey) -> str:
    return _joined(key, [row.item for row in key.rows])


def wrong(key: MatchKey, draw: random.Random) -> str:
    """The partners of two neighbours changed about."""
    items = [row.item for row in key.rows]
    place = draw.randrange(len(items) - 1)
    items[place], items[place + 1] = items[place + 1], items[place]
    return _joined(key, items)


def _joined(key: MatchKey, items: Sequence[str]) -> str:
    return " ".join(f"{row.id}={item}" for row, item in zip(key.rows, items))


def relettered(given: str, to: Relettered) -> str:
    return " ".join(f"{row}={to(item)}" for row, item in row_pairs(given))


def from_paper(text: str) -> str:
    found = re.findall(r"([0-9]+)\s*[=:.)-]?\s*([a-z])(?![a-z])", text.casefold())
    return " ".join(f"{row}={item}" for row, item in sorted(found, key=lambda pair: int(pair[0])))


def in_words(given: str, words: Mapping[str, str]) -> str:
    return "; ".join(f"{row}: {words.get(item, item)}" for row, item in row_pairs(given))


def grouped(mark: Mark) -> str:
    return f"{mark.points:g} of {mark.out_of:g} rows right"


def chosen_words(name: str, right: bool) -> str:
    return "all rows" if right else name
