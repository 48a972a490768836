"""Quiz, order: on a page, on the answer sheet and in the terms of the open standards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

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
from firstway.quiz.forms.shown_question import LETTER_ROOM, Shown, Slots
from firstway.rendering.html import Markup, tag


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    """An ordered list with real buttons; without scripts the letters are written down in their
    order.
    """
    yield tag("p", "Put them in order, the first one on top.", class_="quiz-hint")
    yield tag("ol", *(_step(*each, slots) for each in shown.choices), class_="quiz-steps")


def _step(letter: str, words: str, slots: Slots) -> Markup:
    moves = (
        tag("button", f"Move {way}", type="button", aria_label=f"Move {way}: {words}")
        for way in ("up", "down")
    )
    return tag(
        "li",
        tag("b", letter),
        " ",
        tag("span", words, class_="quiz-step", data_slot=slots.next()),
        " ",
        tag("span", *moves, class_="quiz-moves", hidden=True),
        data_value=letter,
    )


def room(shown: Shown) -> Markup:
    return LETTER_ROOM * len(shown.choices)


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
