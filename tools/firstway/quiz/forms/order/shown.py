"""Quiz, order: its steps on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import LETTER_ROOM, Slots
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
