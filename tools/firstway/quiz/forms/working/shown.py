"""Quiz, working: its fields on a page, its room on the answer sheet."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import WRITING_LINE, Slots, decimal_box, text


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    yield (
        '<p class="quiz-hint">Work the figures in their order. A later figure worked rightly'
        " from an earlier slip still counts.</p>"
    )
    for part, (ask, unit) in enumerate(shown.parts, 1):
        spoken = f", in {text(unit)}" if unit else ""
        yield (
            f'<p class="quiz-number"><label for="{place}-{part}-a">{part}. {slots.marked(ask)}'
            f"{spoken}</label> {decimal_box(f'{place}-{part}')}</p>"
        )


def room(shown: Shown) -> str:
    return "".join(
        f"<span>{part}: {WRITING_LINE} {text(unit)}</span> "
        for part, (_, unit) in enumerate(shown.parts, 1)
    )
