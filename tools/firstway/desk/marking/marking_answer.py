"""Desk: one answer and the key of its version to a mark, with the tutor's corrections, and to words
for the tables.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from firstway.desk.marking.corrections import Correction, corrected, quoted
from firstway.desk.papers.key import Asked, Version
from firstway.quiz.marking.marking import (
    Key,
    Mark,
    MatchKey,
    NumberKey,
    OneAnswerKey,
    OrderKey,
    SeveralAnswersKey,
    WorkingKey,
    marked,
)
from firstway.quiz.marking.typed import number_and_unit, plain_typed

NOT_READ = ("not-a-number", "unit")


@dataclass(frozen=True)
class MarkedAnswer:
    """One answer of one learner, marked.

    `chosen` is the same text for the same choice of all learners (places in the bank).
    """

    question: str
    version: str
    given: str
    mark: Mark
    chosen: str = ""
    left_out: bool = False


def answer_of(
    asked: Asked, version: Version, given: str, corrections: Sequence[Correction] = ()
) -> MarkedAnswer:
    """One answer, marked, with the tutor's corrections of the key."""
    mark = marked_on_paper(version.key, given)
    chosen = chosen_of(version, given, mark)
    answer = MarkedAnswer(asked.id, version.id, given, mark, chosen)
    mark, left_out = corrected(asked.id, chosen, mark, corrections)
    return replace(answer, mark=mark, left_out=left_out)


def marked_on_paper(key: Key, given: str) -> Mark:
    """Mark an answer that cannot be asked again: a figure that cannot be read counts as no answer,
    the others still count.
    """
    mark = marked(key, given)
    if isinstance(key, WorkingKey) and mark.state in NOT_READ:
        boxes = given.split(";")
        kept = [
            box if _readable(part.spellings, box) else "" for part, box in zip(key.parts, boxes)
        ]
        return marked(key, ";".join(kept))
    return mark


def _readable(spellings: Sequence[str], box: str) -> bool:
    if not plain_typed(box):
        return True
    value, unit = number_and_unit(box)
    return value is not None and (not unit or unit in spellings)


def chosen_of(version: Version, given: str, mark: Mark) -> str:
    """What was answered, in words that are the same for all learners: places in the bank, mistakes
    by name, numbers as typed.
    """
    key = version.key
    if mark.state == "empty" or not given.strip():
        return ""
    place = lambda letter: str(version.places.get(letter, letter))
    if isinstance(key, OneAnswerKey):
        return place(given)
    if isinstance(key, (SeveralAnswersKey, OrderKey)):
        found = [place(letter) for letter in given.split()]
        return " ".join(found if isinstance(key, OrderKey) else sorted(found))
    if isinstance(key, MatchKey):
        return " ".join(
            f"{pair.partition('=')[0]}={place(pair.partition('=')[2])}" for pair in given.split()
        )
    if mark.state == "right":
        return "right"
    if mark.mistakes:
        return "; ".join(mark.mistakes)
    if isinstance(key, NumberKey) and mark.state != "unit":
        value, _ = number_and_unit(given)
        return f"{value:.6g}" if value is not None else quoted(given)
    return quoted(given)  # a unit that does not fit stays beside its number
