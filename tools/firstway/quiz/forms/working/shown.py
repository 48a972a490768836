"""Quiz, working: on a page, on the answer sheet and in the terms of the open standards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Response,
    Term,
    between,
    declared,
    figure_response,
    float_value,
    middle,
    paragraphs,
    qti_term,
    text_entry,
    variable,
)
from firstway.quiz.forms.shown_question import WRITING_LINE, Shown, Slots, decimal_box
from firstway.quiz.forms.working.answers import PartKey, WorkingKey, boxes_of
from firstway.rendering.html import Markup, joined, tag


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    yield (
        tag(
            "p",
            (
                "Work the figures in their order. A later figure worked rightly from an earlier"
                " slip still counts."
            ),
            class_="quiz-hint",
        )
    )
    for part, (ask, unit) in enumerate(shown.parts, 1):
        spoken = f", in {unit}" if unit else ""
        yield (
            tag(
                "p",
                tag("label", part, ". ", slots.marked(ask), spoken, for_=f"{place}-{part}-a"),
                " ",
                decimal_box(f"{place}-{part}"),
                class_="quiz-number",
            )
        )


def room(shown: Shown) -> Markup:
    return joined(
        Markup("<span>{}: {} {}</span> ").format(part, WRITING_LINE, unit)
        for part, (_, unit) in enumerate(shown.parts, 1)
    )


FOLLOW_THROUGH = (
    "Each figure is marked by itself here: marks for a later figure that follows from an earlier"
    " slip are given in our own pages only."
)


def exported(
    key: WorkingKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """A box for each figure, a point for each that lies in its window."""
    names = [f"FIGURE{place}" for place in range(1, len(key.parts) + 1)]
    boxes = (
        qti_term("p", {}, f"{ask}: ", text_entry(name), f" {unit}")
        for name, (ask, unit) in zip(names, shown.parts)
    )
    return ItemTerms(
        tuple(
            declared(name, "single", "float", [middle(part.low, part.high)])
            for name, part in zip(names, key.parts)
        ),
        (*paragraphs(shown.stem, picture), qti_term("p", {}, FOLLOW_THROUGH), *boxes),
        tuple(_one_more(name, part) for name, part in zip(names, key.parts)),
    )


def _one_more(name: str, part: PartKey) -> Term:
    """A point more where a figure lies in its window."""
    more = qti_term("qti-sum", {}, variable("SCORE"), float_value("1"))
    counted = qti_term("qti-set-outcome-value", {"identifier": "SCORE"}, more)
    inside = between(name, part.low, part.high)
    return qti_term("qti-response-condition", {}, qti_term("qti-response-if", {}, inside, counted))


def responses(key: WorkingKey, given: str, names: Mapping[str, str]) -> list[Response]:
    boxes = enumerate(boxes_of(key, given), 1)
    return [figure_response(f"FIGURE{place}", box) for place, box in boxes]
