"""Quiz, number: its field on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import WRITING_LINE, Slots, decimal_box
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
