"""Quiz, one answer: on a page, on the answer sheet and in the terms of the open standards."""

from __future__ import annotations

from collections.abc import Sequence

from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.options import OptionKey
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Term,
    declared,
    if_right,
    matches,
    option_name,
    prompted,
    qti_term,
    simple_choices,
)
from firstway.quiz.forms.shown_question import Shown

POINT_HINT = "Choose the letter in the drawing. What each letter stands for:"


def exported(
    key: OneAnswerKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """A choice of one, or of one spot of the picture."""
    right = [option_name(option.id) for option in key.options if option.right]
    body = (
        _pointed(shown, picture, spots)
        if picture and spots
        else prompted(
            "qti-choice-interaction",
            shown.stem,
            {"shuffle": "false", "max-choices": 1},
            *simple_choices(shown.choices),
            picture=picture,
        )
    )
    return ItemTerms(
        (declared("RESPONSE", "single", "identifier", right),),
        body,
        (if_right(matches("RESPONSE")),),
        tuple((option_name(option.id), _said(key, option)) for option in key.options),
    )


def _said(key: OneAnswerKey, option: OptionKey) -> str:
    """Why it is right, or what is wrong with it."""
    wrong = f"{option.mistake}. {option.feedback}".strip()
    return key.why if option.right else wrong


def _pointed(shown: Shown, picture: Term, spots: Sequence[LetteredSpot]) -> tuple[Term, ...]:
    """The words of each letter, and the picture to point at."""
    listed = (
        qti_term("li", {}, qti_term("strong", {}, letter), f" {words}")
        for letter, words in shown.choices
    )
    pointing = prompted(
        "qti-hotspot-interaction",
        shown.stem,
        {"max-choices": 1},
        picture,
        *map(_hotspot, spots),
        picture=None,
    )
    return (qti_term("p", {}, POINT_HINT), qti_term("ul", {}, *listed), *pointing)


def _hotspot(spot: LetteredSpot) -> Term:
    letter, words, corners = spot
    return qti_term(
        "qti-hotspot-choice",
        {
            "identifier": option_name(letter),
            "shape": "rect",
            "hotspot-label": f"{letter}: {words}",
            "coords": corners,
        },
    )
