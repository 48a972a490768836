"""Quiz: the answer sheet of a printed quiz: one line a question, a page of its own.

Holds no answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from firstway.quiz.forms.registry import FORMS
from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.slots import WRITING_LINE


def sheet_html(
    title: str, questions: Sequence[Shown], facts: Sequence[tuple[str, str]] = ()
) -> str:
    """The sheet, shown in print alone.

    `facts` are printed at its head; an empty one is a line to write on.
    """
    head = " ".join(
        f'<span class="quiz-fact">{escape(name)}: {escape(value) if value else WRITING_LINE}</span>'
        for name, value in facts
    )
    rows = "\n".join(f"<li>{FORMS[shown.form].room(shown)}</li>" for shown in questions)
    return (
        '<section class="quiz-sheet" aria-hidden="true"><h2>Answer sheet:'
        f" {escape(title)}</h2><p>{head}</p><p>One choice: mark one letter. Several: mark every"
        " right letter. Order: write the letters in order, the first step first. A changed answer:"
        f" strike it out and write the new one beside it.</p><ol>\n{rows}\n</ol></section>"
    )
