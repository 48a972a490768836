"""Quiz, order: in the terms of the open standards for items."""

from __future__ import annotations

from collections.abc import Sequence

from firstway.quiz.forms.order.answers import OrderKey
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Term,
    declared,
    if_right,
    matches,
    option_name,
    prompted,
    simple_choices,
)
from firstway.quiz.forms.shown_question import Shown


def exported(
    key: OrderKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """Steps to put in order."""
    right = [option_name(step.id) for step in key.steps]
    body = prompted(
        "qti-order-interaction",
        shown.stem,
        {"shuffle": "false"},
        *simple_choices(shown.choices),
        picture=picture,
    )
    response = declared("RESPONSE", "ordered", "identifier", right)
    return ItemTerms((response,), body, (if_right(matches("RESPONSE")),))
