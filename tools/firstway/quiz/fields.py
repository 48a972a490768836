"""Quiz: one question as HTML: its words, its drawing and the fields to answer it with. Holds nothing that marks it.

Every answer is one string (see `content/assets/quiz.js`, "fields"). Options are plain text: the mark-up of a figure
would tell which one came from the working.
"""

from __future__ import annotations

from html import escape
from typing import Iterator

from firstway.quiz.drawings import PageDrawings
from firstway.quiz.shown import Lettered, Shown

LONGEST_SHORT_ITEM = 30
"""Characters of an item that a closed list still shows on a narrow screen; longer ones are written out above."""


def question_html(shown: Shown, number: int, of: int, place: str, drawings: PageDrawings, *, stem_html: str = "",
                  pictures: str = "", buttons: str = "", said: bool = True) -> str:
    """The question as one entry of the page's list.

    `place` begins every id in it; `stem_html` replaces the plain stem; `buttons` stand below the fields.
    """
    must = '<span class="quiz-must">Safety: know this one for sure.</span>' if shown.must_pass else ""
    figure = pictures or (drawings.figure(shown.drawing) if shown.drawing else "")
    body = "\n".join(_fields(shown, place))
    inside = f'<div class="quiz-beside">{figure}<div class="quiz-fields">{body}</div></div>' if figure else body
    status = f'<div class="quiz-said" id="{place}-said" role="status"></div>' if said else ""
    return (f'<li class="quiz-question" data-question="{escape(shown.id)}" data-form="{shown.form}"><fieldset id="{place}">'
            f'<legend><span class="quiz-place">Question {number} of {of}</span>'
            f' <span class="quiz-stem" data-slot="0" tabindex="-1">{stem_html or escape(shown.stem)}</span>{must}</legend>\n'
            f"{inside}\n{buttons}{status}</fieldset></li>")


def _fields(shown: Shown, place: str) -> Iterator[str]:
    slot = iter(range(1, len(shown.texts)))
    if shown.form == "number":
        yield _number(place, "Your answer" + (f", in {shown.unit}" if shown.unit else ""), shown.unit)
    elif shown.form == "working":
        yield '<p class="quiz-hint">Work the three figures in their order. A later figure worked rightly from an earlier slip still counts.</p>'
        for part, (ask, unit) in enumerate(shown.parts, 1):
            yield _number(f"{place}-{part}", ask, unit, slot=next(slot), part=part)
    elif shown.form == "order":
        yield from _steps(shown.choices, place, slot)
    elif shown.form == "match":
        yield from _rows(shown, place, slot)
    else:
        if shown.form == "several-answers":
            yield f'<p class="quiz-hint">Tick {shown.tell_count} of them.</p>' if shown.tell_count else '<p class="quiz-hint">Tick every right one.</p>'
        if shown.points_at_drawing:
            yield '<p class="quiz-hint">Choose a letter here, or point at it in the drawing.</p>'
        yield from _options(shown, place, slot)


def _number(place: str, label: str, unit: str, slot: int | None = None, part: int = 0) -> str:
    spoken = f', in {escape(unit)}' if part and unit else ""
    words = escape(label) if slot is None else f'{part}. <span data-slot="{slot}">{escape(label)}</span>{spoken}'
    after = f' <span class="quiz-unit" aria-hidden="true">{escape(unit)}</span>' if unit else ""
    hint = "" if part else f' <span class="quiz-hint" id="{place}-h">A decimal point or a comma will do.</span>'
    described = "" if part else f' aria-describedby="{place}-h"'
    return (f'<p class="quiz-number"><label for="{place}-a">{words}</label> <input id="{place}-a" type="text" inputmode="decimal"'
            f' autocomplete="off" spellcheck="false" maxlength="200" size="10"{described}>'
            f"{after}{hint}</p>")


def _options(shown: Shown, place: str, slot: Iterator[int]) -> Iterator[str]:
    kind = "checkbox" if shown.form == "several-answers" else "radio"
    for letter, words in shown.choices:
        name = f"{place}-{escape(letter)}"
        yield (f'<p class="quiz-option"><input type="{kind}" name="{place}" id="{name}" value="{escape(letter)}">'
               f'<label for="{name}"><span class="quiz-letter">{escape(letter)}</span> <span data-slot="{next(slot)}">{escape(words)}</span></label></p>')


def _steps(steps: Lettered, place: str, slot: Iterator[int]) -> Iterator[str]:
    """An ordered list with real buttons; without scripts the letters are written down in their order."""
    yield f'<p class="quiz-hint">Put them in order, the first one on top.</p><ol class="quiz-steps" id="{place}-steps">'
    for letter, words in steps:
        text = escape(words)
        yield (f'<li data-value="{escape(letter)}"><span class="quiz-letter">{escape(letter)}</span>'
               f' <span class="quiz-step" data-slot="{next(slot)}">{text}</span> <span class="quiz-moves" hidden>'
               f'<button type="button" aria-label="Move up: {text}">Move up</button>'
               f'<button type="button" aria-label="Move down: {text}">Move down</button></span></li>')
    yield "</ol>"


def _rows(shown: Shown, place: str, slot: Iterator[int]) -> Iterator[str]:
    rows = [(number, words, next(slot)) for number, words in shown.rows]
    items = [(letter, words, next(slot)) for letter, words in shown.items]
    short = all(len(words) <= LONGEST_SHORT_ITEM for _, words, _ in items)
    listed = "".join(f'<li><span class="quiz-letter">{escape(letter)}</span> <span data-slot="{at}">{escape(words)}</span></li>' for letter, words, at in items)
    yield f'<ol class="quiz-items{" quiz-short" if short else ""}">{listed}</ol>'
    for number, words, at in rows:
        name = f"{place}-{escape(number)}"
        choices = "".join(f'<option value="{escape(letter)}" data-slot="{slot_of}" data-before="{escape(letter)}: ">{escape(letter)}: {escape(item)}</option>'
                          for letter, item, slot_of in items)
        yield (f'<p class="quiz-row"><label for="{name}">{escape(number)}. <span data-slot="{at}">{escape(words)}</span></label>'
               f'<select id="{name}"><option value="">Choose</option>{choices}</select></p>')
