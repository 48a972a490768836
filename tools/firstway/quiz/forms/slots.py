"""Quiz: words of a question as HTML, in places that another set of figures may fill anew."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape


def text(words: str) -> str:
    """Words as the content of an element."""
    return escape(words, quote=False)


@dataclass
class Slots:
    """Numbers the words of a question that other figures change, in the order of `Shown.texts`."""

    varied: bool
    used: int = 0

    def next(self) -> str:
        """The mark of the next words, or nothing where nothing varies."""
        self.used += 1
        return f' data-slot="{self.used - 1}"' if self.varied else ""

    def marked(self, words: str) -> str:
        """The next words, in an element of their own where they vary."""
        mark = self.next()
        return f"<span{mark}>{text(words)}</span>" if mark else text(words)


def decimal_box(place: str, more: str = "") -> str:
    """A field to type a figure into."""
    return f'<input id="{place}-a" type="text" inputmode="decimal" maxlength="200"{more}>'


WRITING_LINE = "<i></i>"
"""Room to write on, on the answer sheet."""
LETTER_ROOM = '<i class="quiz-one"></i>'
"""Room for one letter."""
