"""Quiz, order: its key, an answer to a mark, and answers as learners would give them.

The answer is the ids of all steps in the learner's order, joined by a space.
"""

from __future__ import annotations

import random

from firstway.frozen import dataclass
from firstway.quiz.forms.answered import Relettered, letters_from_paper, pieces
from firstway.quiz.marking.marking import (
    MARK_WORDS,
    Key,
    Mark,
    filled_in,
    mark_by_sentence,
    mark_in_full,
    mark_in_part,
)


@dataclass(frozen=True)
class StepKey:
    """One step of an order: its id, what it says, and why it stands there ("" when nothing is
    said).
    """

    id: str
    text: str
    because: str


@dataclass(frozen=True)
class OrderKey(Key):
    """What marks an order: the steps as they should stand. All or nothing."""

    form = "order"
    steps: tuple[StepKey, ...]
    answer: str
    why: str


def marked(key: OrderKey, typed: str) -> Mark:
    """The mark of an order; the first step out of place is named."""
    chosen, right = pieces(typed), [step.id for step in key.steps]
    if sorted(chosen) != sorted(right):
        return mark_by_sentence(key, "empty")
    if chosen == right:
        return mark_in_full(key, 1)
    place = next(place for place, id_ in enumerate(right) if chosen[place] != id_)
    step = key.steps[place]
    said = filled_in(
        MARK_WORDS["said-step-because" if step.because else "said-step"],
        {"place": str(place + 1), "step": step.text, "because": step.because},
    )
    return mark_in_part(key, 0, 1, [said], [])


def right(key: OrderKey) -> str:
    return " ".join(step.id for step in key.steps)


def wrong(key: OrderKey, draw: random.Random) -> str:
    """Two neighbours changed about."""
    steps = [step.id for step in key.steps]
    place = draw.randrange(len(steps) - 1)
    return " ".join([*steps[:place], steps[place + 1], steps[place], *steps[place + 2 :]])


def relettered(given: str, to: Relettered) -> str:
    return " ".join(map(to, given.split()))


def from_paper(text: str) -> str:
    return " ".join(letters_from_paper(text))


def chosen_words(name: str, right: bool) -> str:
    """An order in the tutor's tables."""
    steps = ", ".join(str(int(place) + 1) for place in name.split() if place.isdigit())
    return "the right order" if right else f"steps {steps}, numbered as in the right order"
