"""Quiz, one answer: its options found and put in order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT
from firstway.quiz.forms.flaws import Flaw
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.option_keys import AskedOptions
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.words import Filled, text_of
from firstway.quiz.forms.worked_options import (
    chosen_flaws,
    decimals_of,
    keys_of_options,
    lettered_options,
    option_content,
    worked_options,
)
from firstway.quiz.forms.worked_question import (
    Content,
    WorkedOption,
    WorkedQuestion,
    content_text,
    content_value,
    window,
    without_stop,
)


def worked_choice(
    look: Look, asked: AskedOptions, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """One answer of several options."""
    first = next((option for option in asked.options if option.right), None)
    if first is None:
        look.say(look.question.line, "no option is right", "mark one option with `right: true`")
        return None
    right = option_content(look, first, None)
    if right is None:
        return None
    return choice_with(look, stem, why, right, worked_options(look, asked.options, right))


def choice_with(
    look: Look, stem: Filled, why: Filled, right: Content, options: Sequence[WorkedOption]
) -> WorkedQuestion:
    """A question of one answer with its options at hand."""
    ordered = lettered_options(look, options)
    key = OneAnswerKey(keys_of_options(ordered), without_stop(content_text(right)), text_of(why))
    return WorkedQuestion(look.question, stem, why, right, key, options=ordered)


def flaws(key: OneAnswerKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    yield from chosen_flaws(worked)
    rights = [option for option in worked.options if option.right]
    if len(rights) != 1:
        yield Flaw(worked.question.line, f"{len(rights)} options are right", "exactly one must be")
    if any(isinstance(option.content, tuple) for option in worked.options):
        return
    for right in rights:
        low, high = window(content_value(right.content), decimals_of(right), DEFAULT_SLACK_PERCENT)
        for option in worked.options:
            # A wrong figure that nobody who rounds could tell from the right one.
            if not option.right and low <= content_value(option.content) <= high:
                yield Flaw(
                    option.line,
                    f"'{content_text(option.content)}' is right as well, within rounding",
                    "choose another mistake or other figures",
                    mixes=True,
                )
