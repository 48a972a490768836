"""Desk: how an answer is worked, line by line, for the marking scheme and for feedback."""

from __future__ import annotations

from firstway.quiz.forms.worked_question import Computed, Figure, WorkedQuestion, text_of
from firstway.rendering.formulas import working_text
from firstway.tables.clauses import cited


def working_lines(made: WorkedQuestion) -> tuple[str, ...]:
    """The formula of each figure with its figures put in, and the source; nothing for answers in
    words.
    """
    if made.parts:
        return tuple(
            line for part in made.parts for line in (f"{text_of(part.ask)}:", *_lines(part.answer))
        )
    return _lines(made.answer) if not isinstance(made.answer, tuple) else ()


def _lines(answer: Figure | Computed) -> tuple[str, ...]:
    if isinstance(answer, Computed):
        return (answer.text,)
    step = answer.step
    source = cited(step.source, step.edition, step.standing)
    return (working_text(step), *((f"Source: {source}",) if source else ()))
