"""Desk: one answer and the key of its version to a mark, with the tutor's corrections, and to words
for the tables.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from firstway.desk.answers.corrections import Correction, corrected, quoted
from firstway.desk.papers.key import Asked, Version
from firstway.quiz.forms.registry import form_of, marked
from firstway.quiz.marking.marking import Key, Mark
from firstway.quiz.marking.typed import number_and_unit

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
    return marked(key, form_of(key).legible(key, given)) if mark.state in NOT_READ else mark


def chosen_of(version: Version, given: str, mark: Mark) -> str:
    """What was answered, in words that are the same for all learners: places in the bank, mistakes
    by name, numbers as typed.
    """
    if mark.state == "empty" or not given.strip():
        return ""
    relettered = form_of(version.key).relettered
    if relettered is not None:
        return relettered(given, lambda letter: str(version.places.get(letter, letter)))
    if mark.state == "right":
        return "right"
    if mark.mistakes:
        return "; ".join(mark.mistakes)
    # A unit that does not fit stays beside its number.
    value = number_and_unit(given)[0] if mark.state != "unit" else None
    return quoted(given) if value is None else f"{value:.6g}"
