"""Quiz: one question as HTML: its words, its drawing and the fields to answer it with. Holds nothing that marks it.

Every answer is one string (see `content/assets/quiz.js`, "fields"). Options are plain text: the mark-up of a figure
would tell which one came from the working.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import Iterator

from firstway.quiz.drawings import PageDrawings
from firstway.quiz.shown import Lettered, Shown

LONGEST_SHORT_ITEM = 30
"""Characters of an item that a closed list still shows on a narrow screen; longer ones are written out above."""


def question_html(shown: Shown, number: int, of: int, place: str, drawings: PageDrawings, *, varied: bool = False, stem_html: str = "",
                  pictures: str = "", buttons: str = "") -> str:
    """The question as one entry of the page's list.

    `place` begins every id in it; `varied` marks the words that another set of figures changes; `stem_html`
    replaces the plain stem; `buttons` stand below the fields.
    """
    slots = Slots(varied)
    stem = f'<span class="quiz-stem" tabindex="-1"{slots.next()}>{stem_html or text(shown.stem)}</span>'
    must = '<span class="quiz-must">Safety: know this one for sure.</span>' if shown.must_pass else ""
    figure = pictures or (drawings.figure(shown.drawing) if shown.drawing else "")
    body = "".join(_fields(shown, place, slots))
    inside = f'<div class="quiz-beside">{figure}<div>{body}</div></div>' if figure else f"<div>{body}</div>"
    return (f'<li class="quiz-question" data-question="{escape(shown.id)}" data-form="{shown.form}"><fieldset id="{place}">'
            f'<legend><span class="quiz-place">Question {number} of {of}</span> {stem}{must}</legend>'
            f'{inside}{buttons}<div class="quiz-said" id="{place}-said" role="status"></div></fieldset></li>')


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


def _fields(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    if shown.form == "number":
        yield _number(place, "Your answer" + (f", in {shown.unit}" if shown.unit else ""), shown.unit)
    elif shown.form == "working":
        yield '<p class="quiz-hint">Work the figures in their order. A later figure worked rightly from an earlier slip still counts.</p>'
        for part, (ask, unit) in enumerate(shown.parts, 1):
            yield _part(f"{place}-{part}", part, ask, unit, slots)
    elif shown.form == "order":
        yield from _steps(shown.choices, slots)
    elif shown.form == "match":
        yield from _rows(shown, slots)
    else:
        yield from _options(shown, place, slots)


def _number(place: str, label: str, unit: str) -> str:
    described = f' aria-describedby="{place}-h"'
    return (f'<p class="quiz-number"><label for="{place}-a">{text(label)}</label> {_box(place, described)}{_unit(unit)}'
            f' <span class="quiz-hint" id="{place}-h">A decimal point or a comma will do.</span></p>')


def _part(place: str, part: int, ask: str, unit: str, slots: Slots) -> str:
    spoken = f", in {text(unit)}" if unit else ""
    return f'<p class="quiz-number"><label for="{place}-a">{part}. <span{slots.next()}>{text(ask)}</span>{spoken}</label> {_box(place)}{_unit(unit)}</p>'


def _box(place: str, more: str = "") -> str:
    return f'<input id="{place}-a" type="text" inputmode="decimal" autocomplete="off" spellcheck="false" maxlength="200" size="10"{more}>'


def _unit(unit: str) -> str:
    return f' <span class="quiz-unit" aria-hidden="true">{text(unit)}</span>' if unit else ""


def _options(shown: Shown, place: str, slots: Slots) -> Iterator[str]:
    kind = "checkbox" if shown.form == "several-answers" else "radio"
    if kind == "checkbox":
        yield f'<p class="quiz-hint">Tick {shown.tell_count or "every right one"}.</p>'
    if shown.points_at_drawing:
        yield '<p class="quiz-hint">Choose a letter here, or point at it in the drawing.</p>'
    for letter, words in shown.choices:
        yield (f'<label class="quiz-option"><input type="{kind}" name="{place}" value="{escape(letter)}"><b>{text(letter)}</b>'
               f" <span{slots.next()}>{text(words)}</span></label>")


def _steps(steps: Lettered, slots: Slots) -> Iterator[str]:
    """An ordered list with real buttons; without scripts the letters are written down in their order."""
    yield '<p class="quiz-hint">Put them in order, the first one on top.</p><ol class="quiz-steps">'
    for letter, words in steps:
        spoken = escape(words)
        yield (f'<li data-value="{escape(letter)}"><b>{text(letter)}</b> <span class="quiz-step"{slots.next()}>{text(words)}</span>'
               f' <span class="quiz-moves" hidden><button type="button" aria-label="Move up: {spoken}">Move up</button>'
               f'<button type="button" aria-label="Move down: {spoken}">Move down</button></span></li>')
    yield "</ol>"


def _rows(shown: Shown, slots: Slots) -> Iterator[str]:
    rows = [(number, words, slots.next()) for number, words in shown.rows]
    items = [(letter, words, slots.next()) for letter, words in shown.items]
    short = all(len(words) <= LONGEST_SHORT_ITEM for _, words, _ in items)
    listed = "".join(f"<li><b>{text(letter)}</b> <span{slot}>{text(words)}</span></li>" for letter, words, slot in items)
    choices = "".join(f'<option value="{escape(letter)}"{slot and slot + _before(letter)}>{text(letter)}: {text(words)}</option>'
                      for letter, words, slot in items)
    yield f'<ol class="quiz-items{" quiz-short" if short else ""}">{listed}</ol>'
    for number, words, slot in rows:
        yield (f'<label class="quiz-row"><span>{text(number)}. <span{slot}>{text(words)}</span></span>'
               f'<select><option value="">Choose</option>{choices}</select></label>')


def _before(letter: str) -> str:
    return f' data-before="{escape(letter)}: "'
