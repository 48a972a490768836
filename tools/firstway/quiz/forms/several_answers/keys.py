"""Quiz, several answers: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.specs import Flag, key
from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.option_keys import (
    AskedOptions,
    WrittenChoice,
    complain_of_typed,
    options_of,
)


@dataclass(frozen=True)
class WrittenChoices(WrittenChoice):
    """Several answers are right."""

    tell_count: bool = key(Flag(), "whether learners are told how many are right")


def read(question: WrittenChoices, beside: GivenBeside) -> AskedOptions:
    options = options_of(question.options, beside, several=True)
    complain_of_typed(question, options, beside)
    rights = sum(option.right for option in options)
    if rights < 2 or rights == len(options):
        beside.say(
            question.line,
            f"{rights} of {len(options)} options are right",
            "mark two or more right, and leave one wrong",
        )
    return AskedOptions(options, question.tell_count)
