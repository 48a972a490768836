"""Quiz, one answer: its key, an answer to a mark, and answers as learners would give them.

The answer is the id of the option.
"""

from __future__ import annotations

import random

from firstway.quiz.forms.options import OptionsKey, wrong_options
from firstway.quiz.marking.marking import Mark, mark_by_sentence, mark_in_full


class OneAnswerKey(OptionsKey):
    """What marks a choice of one."""

    form = "one-answer"


def marked(key: OneAnswerKey, typed: str) -> Mark:
    option = next((option for option in key.options if option.id == typed), None)
    if option is None:
        return mark_by_sentence(key, "empty")
    if option.right:
        return mark_in_full(key, 1)
    return mark_by_sentence(key, "mistake", mistake=option.mistake, feedback=option.feedback)


def by_mistake(key: OneAnswerKey, mistake: str) -> str:
    return next((each.id for each in wrong_options(key) if each.mistake == mistake), "")


def wrong(key: OneAnswerKey, draw: random.Random) -> str:
    """A wrong option; the first ones more often."""
    ids = [option.id for option in wrong_options(key)]
    return ids[min(len(ids) - 1, int(len(ids) * draw.random() ** 1.5))] if ids else ""
