"""Quiz: one question as HTML, with the fields to answer it, and the answer sheet of a printed quiz.

Neither holds anything that marks it. Every answer is one string (see `quiz/scripts/fields.js`).
Options are plain text: the mark-up of a figure would tell which one came from the working.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.quiz.forms.drawings import PageDrawings
from firstway.quiz.forms.registry import FORMS
from firstway.quiz.forms.shown_question import WRITING_LINE, Shown, Slots
from firstway.rendering.html import Markup, joined, tag


def question_html(
    shown: Shown,
    number: int | str,
    of: int | str,
    place: str,
    drawings: PageDrawings,
    *,
    varied: bool = False,
    stem_html: Markup = Markup(),
    pictures: Markup = Markup(),
    buttons: Markup = Markup(),
) -> Markup:
    """The question as one entry of the page's list.

    `place` begins every id in it; `varied` marks the words that another set of figures changes;
    `stem_html` replaces the plain stem; `buttons` stand below the fields.
    """
    slots = Slots(varied)
    stem = tag("span", stem_html or shown.stem, class_="quiz-stem", data_slot=slots.next())
    must = (
        tag("span", "Safety: know this one for sure.", class_="quiz-must") if shown.safety else ""
    )
    figure = pictures or (drawings.figure(shown.drawing) if shown.drawing else "")
    body = joined(FORMS[shown.form].fields(shown, place, slots))
    inside = (
        tag("div", figure, tag("div", body), class_="quiz-beside") if figure else tag("div", body)
    )
    return tag(
        "li",
        tag(
            "fieldset",
            tag(
                "legend",
                tag("span", f"Question {number} of {of}", class_="quiz-place"),
                " ",
                stem,
                must,
            ),
            inside,
            buttons,
            tag("div", role="status"),
            id=place,
        ),
        class_="quiz-question",
        data_question=shown.id,
        data_form=shown.form,
    )


def sheet_html(
    title: str, questions: Sequence[Shown], facts: Sequence[tuple[str, str]] = ()
) -> Markup:
    """The sheet, shown in print alone.

    `facts` are printed at its head; an empty one is a line to write on.
    """
    head = joined(
        (
            tag("span", f"{name}: ", value if value else WRITING_LINE, class_="quiz-fact")
            for name, value in facts
        ),
        " ",
    )
    rows = joined((tag("li", FORMS[shown.form].room(shown)) for shown in questions), "\n")
    return tag(
        "section",
        tag("h2", f"Answer sheet: {title}"),
        tag("p", head),
        tag(
            "p",
            (
                "One choice: mark one letter. Several: mark every right letter. Order: write the"
                " letters in order, the first step first. A changed answer: strike it out and"
                " write the new one beside it."
            ),
        ),
        tag("ol", "\n", rows, "\n"),
        class_="quiz-sheet",
        aria_hidden="true",
    )
