"""Desk: a question in the form an open standard can mark alike; one item for each set of figures.

What a standard cannot mark alike is exported in a form it can: a working loses its follow-through,
a unit becomes a choice of its own. `exported_key` is the key of that form, so that the desk marks
it the same way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from firstway.quiz.bank.question import Question
from firstway.quiz.forms.shown_question import Shown, shown_question
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import variants
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.marking.marking import Key, NumberKey, WorkingKey
from firstway.quiz.paper.page import MOST_VARIANTS
from firstway.rendering.leaving import digits

UNIT_FAMILIES: tuple[tuple[str, ...], ...] = (
    ("mV", "V", "kV"),
    ("mA", "A", "kA"),
    ("mΩ", "Ω", "kΩ"),
    ("mm", "m", "km"),
    ("W", "kW", "MW"),
    ("ms", "s"),
    ("mm²", "cm²"),
    ("Wh", "kWh"),
    ("%", "V"),
)
"""Units a learner might take one for another."""


@dataclass(frozen=True)
class Item:
    """One exported item: what is shown, and the key it is marked by. `name` is an XML name."""

    name: str
    question: Question
    face: Shown
    key: Key
    made: WorkedQuestion
    units: tuple[str, ...] = ()


def items_of(questions: Sequence[Question], sources: Sources, seed: str) -> list[list[Item]]:
    """For each question its items, one a set of figures."""
    return [
        [item_of(made) for made in variants(question, sources, MOST_VARIANTS, seed)]
        for question in questions
    ]


def item_of(made: WorkedQuestion) -> Item:
    """One worked question as an item."""
    face = shown_question(made)
    name = "q-" + made.question.id.replace(".", "-") + (f"-v{made.variant}" if made.variant else "")
    return Item(name, made.question, face, exported_key(made.key), made, _units(face))


def exported_key(key: Key) -> Key:
    """The key of the exported form: each figure of a working by its own window alone."""
    if isinstance(key, WorkingKey):
        return replace(key, parts=tuple(replace(part, formula=()) for part in key.parts))
    return key


def _units(face: Shown) -> tuple[str, ...]:
    if face.form != "number" or not face.unit:
        return ()
    family = next(
        (
            family
            for family in UNIT_FAMILIES
            if face.unit == family[0] or face.unit in family[:-1] or face.unit in family
        ),
        (),
    )
    return family if face.unit in family else ()


def bounds_of(key: NumberKey) -> tuple[str, str]:
    """The window as two decimal texts."""
    return digits(key.low), digits(key.high)
