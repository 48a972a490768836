"""Quiz: the answer sheet of a printed quiz: one line a question, a page of its own.

Holds no answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

from firstway.quiz.forms.shown_question import Shown


def sheet_html(
    title: str, questions: Sequence[Shown], facts: Sequence[tuple[str, str]] = ()
) -> str:
    """The sheet, shown in print alone.

    `facts` are printed at its head; an empty one is a line to write on.
    """
    head = " ".join(
        f'<span class="quiz-fact">{escape(name)}: {escape(value) if value else _line()}</span>'
        for name, value in facts
    )
    rows = "\n".join(f"<li>{_room(shown)}</li>" for shown in questions)
    return (
        '<section class="quiz-sheet" aria-hidden="true"><h2>Answer sheet:'
        f" {escape(title)}</h2><p>{head}</p><p>One choice: mark one letter. Several: mark every"
        " right letter. Order: write the letters in order, the first step first. A changed answer:"
        f" strike it out and write the new one beside it.</p><ol>\n{rows}\n</ol></section>"
    )


def _room(shown: Shown) -> str:
    """Where the answer to this question is written."""
    if shown.form in ("one-answer", "several-answers"):
        return "".join(f"<b>{escape(letter)}</b>" for letter, _ in shown.choices)
    if shown.form == "order":
        return _box() * len(shown.choices)
    if shown.form == "match":
        return " ".join(f"{escape(number)} {_box()}" for number, _ in shown.rows)
    if shown.form == "working":
        return "".join(
            f"<span>{part}: {_line()} {escape(unit)}</span> "
            for part, (_, unit) in enumerate(shown.parts, 1)
        )
    return f"{_line()} {escape(shown.unit)}"


def _line() -> str:
    return "<i></i>"


def _box() -> str:
    return '<i class="quiz-one"></i>'
