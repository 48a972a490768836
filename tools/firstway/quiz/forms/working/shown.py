"""Quiz, working: its fields on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import WRITING_LINE, Slots, decimal_box
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
