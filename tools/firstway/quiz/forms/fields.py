"""Quiz: one question as HTML: its words, its drawing and the fields to answer it with. Holds
nothing that marks it.

Every answer is one string (see `quiz/scripts/fields.js`). Options are plain text: the
mark-up of a figure would tell which one came from the working.
"""

from __future__ import annotations

from html import escape

from firstway.quiz.forms.drawings import PageDrawings
from firstway.quiz.forms.registry import FORMS
from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import Slots, text


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
    body = "".join(FORMS[shown.form].fields(shown, place, slots))
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
