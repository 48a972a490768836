"""Quiz, several answers: its key, an answer to a mark, and answers as learners would give them.

The answer is the ids of options joined by a space, in any order.
"""

from __future__ import annotations

import random

from firstway.quiz.forms.answered import pieces
from firstway.quiz.forms.options import OptionsKey, right_options, wrong_options
from firstway.quiz.marking.marking import (
    MARK_WORDS,
    Mark,
    filled_in,
    mark_by_sentence,
    mark_in_full,
    mark_in_part,
    said_mistake,
)


class SeveralAnswersKey(OptionsKey):
    """What marks a choice of several: a point for each right one, one off for each wrong one, never
    below nothing.
    """

    form = "several-answers"


def most_points(key: SeveralAnswersKey) -> int:
    """A point for each right option."""
    return sum(option.right for option in key.options)


def marked(key: SeveralAnswersKey, typed: str) -> Mark:
    """The mark of what was ticked."""
    chosen, out_of = pieces(typed), most_points(key)
    known = {option.id for option in key.options}
    if not chosen or len(set(chosen)) != len(chosen) or not known.issuperset(chosen):
        return mark_by_sentence(key, "empty", out_of)
    wrong = [option for option in key.options if option.id in chosen and not option.right]
    hits = len(chosen) - len(wrong)
    if not wrong and hits == out_of:
        return mark_in_full(key, out_of)
    said = [said_mistake("said-mistake", option.mistake, option.feedback) for option in wrong]
    if hits < out_of:
        said.append(filled_in(MARK_WORDS["said-missed"], {"count": str(out_of - hits)}))
    mistakes = [option.mistake for option in wrong]
    return mark_in_part(key, max(0, hits - len(wrong)), out_of, said, mistakes)


def by_mistake(key: SeveralAnswersKey, mistake: str) -> str:
    """The right options and those a named mistake leads to."""
    wrong = [option.id for option in wrong_options(key) if option.mistake == mistake]
    return " ".join(sorted({*right_options(key).split(), *wrong})) if wrong else ""


def wrong(key: SeveralAnswersKey, draw: random.Random) -> str:
    """One right option left out, and a wrong one ticked."""
    rights, ids = right_options(key).split(), [option.id for option in wrong_options(key)]
    return " ".join(sorted([*rights[1:], *([ids[draw.randrange(len(ids))]] if ids else [])]))
