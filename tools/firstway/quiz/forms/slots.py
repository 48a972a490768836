"""Quiz: words of a question as HTML, in places that another set of figures may fill anew."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.rendering.html import Markup, tag


@dataclass
class Slots:
    """Numbers the words of a question that other figures change, in the order of `Shown.texts`."""

    varied: bool
    used: int = 0

    def next(self) -> int | None:
        """The mark of the next words, or nothing where nothing varies."""
        self.used += 1
        return self.used - 1 if self.varied else None

    def marked(self, words: str) -> str:
        """The next words, in an element of their own where they vary."""
        mark = self.next()
        return words if mark is None else tag("span", words, data_slot=str(mark))


def decimal_box(place: str, described_by: str | None = None) -> Markup:
    """A field to type a figure into."""
    return tag(
        "input",
        id=f"{place}-a",
        type="text",
        inputmode="decimal",
        maxlength=200,
        aria_describedby=described_by,
    )


WRITING_LINE = tag("i")
"""Room to write on, on the answer sheet."""
LETTER_ROOM = tag("i", class_="quiz-one")
"""Room for one letter."""
