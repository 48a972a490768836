"""Quiz, number: on a page, on the answer sheet and in the terms of the open standards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

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
from firstway.quiz.forms.shown_question import WRITING_LINE, Shown, Slots, decimal_box
from firstway.rendering.html import Markup, tag


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    label = "Your answer" + (f", in {shown.unit}" if shown.unit else "")
    yield (
        tag(
            "p",
            tag("label", label, for_=f"{place}-a"),
            " ",
            decimal_box(place, f"{place}-h"),
            " ",
            tag("span", "A decimal point or a comma will do.", class_="quiz-hint", id=f"{place}-h"),
            class_="quiz-number",
        )
    )


def room(shown: Shown) -> Markup:
    return WRITING_LINE + f" {shown.unit}"


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
