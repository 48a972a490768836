"""Quiz: the answer sheet of a printed quiz: one line a question, a page of its own.

Holds no answer.
"""

from __future__ import annotations

from collections.abc import Sequence

from firstway.quiz.forms.registry import FORMS
from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import WRITING_LINE
from firstway.rendering.html import Markup, joined, tag


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
