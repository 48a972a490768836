"""Quiz, number: in the terms of the open standards for items and results.

A pair of bounds marks a number in every player; its unit becomes a choice of its own.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Response,
    Term,
    between,
    declared,
    figure_response,
    if_right,
    is_null,
    matches,
    middle,
    paragraphs,
    qti_term,
    text_entry,
)
from firstway.quiz.forms.shown_question import Shown

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


def units_of(unit: str) -> tuple[str, ...]:
    """The units to choose from; none where there is nothing to take it for."""
    return next((family for family in UNIT_FAMILIES if unit in family), ())


def exported(
    key: NumberKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """A figure to type, and its unit to choose."""
    response = declared("RESPONSE", "single", "float", [middle(key.low, key.high)])
    inside, beside = between("RESPONSE", key.low, key.high), f" {shown.unit}"
    box, units = text_entry("RESPONSE"), units_of(shown.unit)
    if not units:
        asked = qti_term("p", {}, box, *((beside,) if shown.unit else ()))
        return ItemTerms(
            (response,), (*paragraphs(shown.stem, picture), asked), (if_right(inside),)
        )
    names = {unit: f"unit-{place}" for place, unit in enumerate(units, 1)}
    choices = (qti_term("qti-inline-choice", {"identifier": names[unit]}, unit) for unit in units)
    to_choose = qti_term(
        "qti-inline-choice-interaction",
        {"response-identifier": "UNIT", "shuffle": "false"},
        *choices,
    )
    fits = qti_term("qti-or", {}, is_null("UNIT"), matches("UNIT"))
    return ItemTerms(
        (response, declared("UNIT", "single", "identifier", [names[shown.unit]])),
        (*paragraphs(shown.stem, picture), qti_term("p", {}, box, " ", to_choose)),
        (if_right(qti_term("qti-and", {}, inside, fits)),),
    )


def responses(key: NumberKey, given: str, names: Mapping[str, str]) -> list[Response]:
    return [figure_response("RESPONSE", given)]
