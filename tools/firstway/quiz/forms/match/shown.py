"""Quiz, match: its rows and items on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import LETTER_ROOM, Slots
from firstway.rendering.html import Markup, joined, tag


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    rows = [(number, slots.marked(words)) for number, words in shown.rows]
    listed = joined(
        tag("li", tag("b", letter), " ", slots.marked(words)) for letter, words in shown.items
    )
    choices = joined(tag("option", letter) for letter, _ in shown.items)
    yield tag("ol", listed, class_="quiz-items")
    for number, words in rows:
        yield (
            tag(
                "label",
                tag("span", f"{number}. ", words),
                tag("select", tag("option", "Choose", value=""), choices),
                class_="quiz-row",
            )
        )


def room(shown: Shown) -> Markup:
    return joined((f"{number} " + LETTER_ROOM for number, _ in shown.rows), " ")
