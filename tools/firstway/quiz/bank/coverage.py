"""Quiz: what a paper asks of each outcome: how many questions, of which kinds, how difficult."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol


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
