"""Quiz, order: its steps on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import LETTER_ROOM, Slots, text


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    """An ordered list with real buttons; without scripts the letters are written down in their
    order.
    """
    yield '<p class="quiz-hint">Put them in order, the first one on top.</p><ol class="quiz-steps">'
    for letter, words in shown.choices:
        spoken = escape(words)
        yield (
            f'<li data-value="{escape(letter)}"><b>{text(letter)}</b> <span'
            f' class="quiz-step"{slots.next()}>{text(words)}</span> <span class="quiz-moves"'
            f' hidden><button type="button" aria-label="Move up: {spoken}">Move up</button><button'
            f' type="button" aria-label="Move down: {spoken}">Move down</button></span></li>'
        )
    yield "</ol>"


def room(shown: Shown) -> str:
    return LETTER_ROOM * len(shown.choices)
