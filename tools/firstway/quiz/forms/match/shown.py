"""Quiz, match: its rows and items on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import LETTER_ROOM, Slots, text


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    rows = [(number, slots.marked(words)) for number, words in shown.rows]
    listed = "".join(
        f"<li><b>{text(letter)}</b> {slots.marked(words)}</li>" for letter, words in shown.items
    )
    choices = "".join(f"<option>{text(letter)}</option>" for letter, _ in shown.items)
    yield f'<ol class="quiz-items">{listed}</ol>'
    for number, words in rows:
        yield (
            f'<label class="quiz-row"><span>{text(number)}. {words}</span>'
            f'<select><option value="">Choose</option>{choices}</select></label>'
        )


def room(shown: Shown) -> str:
    return " ".join(f"{text(number)} {LETTER_ROOM}" for number, _ in shown.rows)
