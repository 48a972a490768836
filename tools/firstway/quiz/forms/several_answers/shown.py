"""Quiz, several answers: on a page, on the answer sheet and in the terms of the open standards."""

from __future__ import annotations

from collections.abc import Sequence

from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Term,
    declared,
    mapped,
    mapping,
    option_name,
    prompted,
    simple_choices,
)
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey, most_points
from firstway.quiz.forms.shown_question import Shown


def exported(
    key: SeveralAnswersKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """A choice of several: a point for each right one, one off for each wrong one."""
    right = [option_name(option.id) for option in key.options if option.right]
    points = [(option_name(option.id), 1 if option.right else -1) for option in key.options]
    body = prompted(
        "qti-choice-interaction",
        shown.stem,
        {"shuffle": "false", "max-choices": 0},
        *simple_choices(shown.choices),
        picture=picture,
    )
    response = declared(
        "RESPONSE", "multiple", "identifier", right, mapping(points, most_points(key))
    )
    return ItemTerms((response,), body, (mapped(),))
