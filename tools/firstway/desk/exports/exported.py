"""Desk: a question in the form an open standard can mark alike; one item for each set of figures.

What a standard cannot mark alike is exported in a form it can: a working loses its follow-through,
a unit becomes a choice of its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from firstway.quiz.bank.question import Question
from firstway.quiz.forms.shown_question import Shown, shown_question
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import variants
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.paper.page import MOST_VARIANTS


@dataclass(frozen=True)
class Item:
    """One exported item: the question, and what is shown of it. `name` is an XML name."""

    name: str
    face: Shown
    made: WorkedQuestion


def items_of(questions: Sequence[Question], sources: Sources, seed: str) -> list[list[Item]]:
    """For each question its items, one a set of figures."""
    return [
        [item_of(made) for made in variants(question, sources, MOST_VARIANTS, seed)]
        for question in questions
    ]


def item_of(made: WorkedQuestion) -> Item:
    """One worked question as an item."""
    name = "q-" + made.question.id.replace(".", "-") + (f"-v{made.variant}" if made.variant else "")
    return Item(name, shown_question(made), made)
