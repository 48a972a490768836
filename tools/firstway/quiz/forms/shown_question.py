"""Quiz: what of a worked question is shown before it is answered: words and fields, nothing of its
key.
"""

from __future__ import annotations

from firstway.frozen import dataclass
from firstway.quiz.forms.drawings import Picture
from firstway.quiz.forms.worked_question import WorkedQuestion, content_text, html_of, text_of
from firstway.rendering.figures import unit_text
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


Lettered = tuple[tuple[str, str], ...]
"""(letter or number, words) in the order shown."""


@dataclass(frozen=True)
class Shown:
    """One question as the learner meets it. `stem_html` names the steps its figures come from;
    `stem` is plain.

    `choices` are options, spots or steps; `parts` are (what to work, unit); `tell_count` says how
    many options are right, or is 0 where that is not told.
    """

    id: str
    kind: str
    form: str
    stem: str
    stem_html: Markup
    safety: bool
    choices: Lettered = ()
    rows: Lettered = ()
    items: Lettered = ()
    parts: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    drawing: Picture | None = None
    points_at_drawing: bool = False
    tell_count: int = 0

    @property
    def texts(self) -> tuple[str, ...]:
        """Every sentence that another set of figures may change, in the order of the places on the
        page.
        """
        return (
            self.stem,
            *(words for _, words in (*self.choices, *self.rows, *self.items)),
            *(ask for ask, _ in self.parts),
        )


def shown_question(worked: WorkedQuestion) -> Shown:
    """The question without what marks it."""
    question = worked.question
    told = sum(option.right for option in worked.options) if worked.tell_count else 0
    return Shown(
        worked.id,
        question.kind,
        worked.key.form,
        text_of(worked.stem),
        html_of(worked.stem),
        question.safety,
        tuple((option.id, content_text(option.content)) for option in worked.options),
        tuple((row.id, content_text(row.content)) for row in worked.rows),
        tuple((item.id, content_text(item.content)) for item in worked.items),
        tuple((text_of(part.ask), unit_text(part.unit)) for part in worked.parts),
        unit_text(worked.unit),
        worked.drawing,
        any(option.spot for option in worked.options),
        told,
    )
