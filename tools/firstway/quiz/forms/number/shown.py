"""Quiz, number: its field on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import WRITING_LINE, Slots, decimal_box, text


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    label = "Your answer" + (f", in {shown.unit}" if shown.unit else "")
    described = f' aria-describedby="{place}-h"'
    yield (
        f'<p class="quiz-number"><label for="{place}-a">{text(label)}</label>'
        f' {decimal_box(place, described)} <span class="quiz-hint" id="{place}-h">A decimal point'
        " or a comma will do.</span></p>"
    )


def room(shown: Shown) -> str:
    return f"{WRITING_LINE} {text(shown.unit)}"
