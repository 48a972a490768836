"""Quiz, several answers: its options found and put in order."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.flaws import Flaw
from firstway.quiz.forms.option_keys import AskedOptions
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey
from firstway.quiz.forms.words import Filled, text_of
from firstway.quiz.forms.worked_options import (
    chosen_flaws,
    keys_of_options,
    lettered_options,
    option_content,
    worked_options,
)
from firstway.quiz.forms.worked_question import WorkedQuestion, content_text, without_stop


def worked_several(
    look: Look, asked: AskedOptions, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """Several right answers; arithmetic counts from the first right figure."""
    first = next((option for option in asked.options if option.right), None)
    right = option_content(look, first, None) if first else None
    if right is None:
        return None
    ordered = lettered_options(look, worked_options(look, asked.options, right))
    answer: Filled = (
        "; ".join(without_stop(content_text(option.content)) for option in ordered if option.right),
    )
    return WorkedQuestion(
        look.question,
        stem,
        why,
        answer,
        SeveralAnswersKey(keys_of_options(ordered), text_of(answer), text_of(why)),
        options=ordered,
        tell_count=asked.tell_count,
    )


def flaws(key: SeveralAnswersKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    yield from chosen_flaws(worked)
    rights, of = sum(option.right for option in worked.options), len(worked.options)
    if not 2 <= rights < of:
        yield Flaw(
            worked.question.line,
            f"{rights} of {of} options are right",
            "two or more must be, and one must not",
        )
