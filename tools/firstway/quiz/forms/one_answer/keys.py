"""Quiz, one answer: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.option_keys import (
    AskedOptions,
    WrittenChoice,
    complain_of_typed,
    options_of,
)


def read(question: WrittenChoice, beside: GivenBeside) -> AskedOptions:
    options = options_of(question.options, beside)
    complain_of_typed(question, options, beside)
    return AskedOptions(options)
