"""Quiz: one question as HTML: its words, its drawing and the fields to answer it with. Holds
nothing that marks it.

Every answer is one string (see `content/assets/quiz.js`, "fields"). Options are plain text: the
mark-up of a figure would tell which one came from the working.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from firstway.quiz.forms.drawings import PageDrawings
from firstway.quiz.forms.shown_question import Lettered, Shown


def question_html(
    shown: Shown,
    number: int | str,
    of: int | str,
    place: str,
    drawings: PageDrawings,
    *,
    varied: bool = False,
    stem_html: str = "",
    pictures: str = "",
    buttons: str = "",
) -> str:
    """The question as one entry of the page's list.

    `place` begins every id in it; `varied` marks the words that another set of figures changes;
    `stem_html` replaces the plain stem; `buttons` stand below the fields.
    """
    slots = Slots(varied)
    stem = f'<span class="quiz-stem"{slots.next()}>{stem_html or text(shown.stem)}</span>'
    must = '<span class="quiz-must">Safety: know this one for sure.</span>' if shown.safety else ""
    figure = pictures or (drawings.figure(shown.drawing) if shown.drawing else "")
    body = "".join(_fields(shown, place, slots))
    inside = (
        f'<div class="quiz-beside">{figure}<div>{body}</div></div>'
        if figure
        else f"<div>{body}</div>"
    )
    return (
        f'<li class="quiz-question" data-question="{escape(shown.id)}"'
        f' data-form="{shown.form}"><fieldset id="{place}"><legend><span'
        f' class="quiz-place">Question {number} of {of}</span>'
        f' {stem}{must}</legend>{inside}{buttons}<div role="status"></div></fieldset></li>'
    )


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


def _fields(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    if shown.form == "number":
        yield _number(place, "Your answer" + (f", in {shown.unit}" if shown.unit else ""))
    elif shown.form == "working":
        yield (
            '<p class="quiz-hint">Work the figures in their order. A later figure worked rightly'
            " from an earlier slip still counts.</p>"
        )
        for part, (ask, unit) in enumerate(shown.parts, 1):
            yield _part(f"{place}-{part}", part, ask, unit, slots)
    elif shown.form == "order":
        yield from _steps(shown.choices, slots)
    elif shown.form == "match":
        yield from _rows(shown, slots)
    else:
        yield from _options(shown, place, slots)


def _number(place: str, label: str) -> str:
    described = f' aria-describedby="{place}-h"'
    return (
        f'<p class="quiz-number"><label for="{place}-a">{text(label)}</label>'
        f' {_box(place, described)} <span class="quiz-hint" id="{place}-h">A decimal point or a'
        " comma will do.</span></p>"
    )


def _part(place: str, part: int, ask: str, unit: str, slots: Slots) -> str:
    spoken = f", in {text(unit)}" if unit else ""
    return (
        f'<p class="quiz-number"><label for="{place}-a">{part}. {slots.marked(ask)}{spoken}</label>'
        f" {_box(place)}</p>"
    )


def _box(place: str, more: str = "") -> str:
    return f'<input id="{place}-a" type="text" inputmode="decimal" maxlength="200"{more}>'


def _options(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    kind = "checkbox" if shown.form == "several-answers" else "radio"
    if kind == "checkbox":
        yield f'<p class="quiz-hint">Tick {shown.tell_count or "every right one"}.</p>'
    if shown.points_at_drawing:
        yield '<p class="quiz-hint">Choose a letter here, or point at it in the drawing.</p>'
    yield '<div class="quiz-options">'
    for letter, words in shown.choices:
        yield (
            f'<label><input type="{kind}" name="{place}"'
            f' value="{escape(letter)}"><b>{text(letter)}</b> {slots.marked(words)}</label>'
        )
    yield "</div>"


def _steps(steps: Lettered, slots: Slots) -> Iterator[str]:
    """An ordered list with real buttons; without scripts the letters are written down in their
    order.
    """
    yield '<p class="quiz-hint">Put them in order, the first one on top.</p><ol class="quiz-steps">'
    for letter, words in steps:
        spoken = escape(words)
        yield (
            f'<li data-value="{escape(letter)}"><b>{text(letter)}</b> <span'
            f' class="quiz-step"{slots.next()}>{text(words)}</span> <span class="quiz-moves"'
            f' hidden><button type="button" aria-label="Move up: {spoken}">Move up</button><button'
            f' type="button" aria-label="Move down: {spoken}">Move down</button></span></li>'
        )
    yield "</ol>"


def _rows(shown: Shown, slots: Slots) -> Iterator[str]:
    """A choice of letters for each row; the items stand above, so that no closed list cuts them
    off.
    """
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
