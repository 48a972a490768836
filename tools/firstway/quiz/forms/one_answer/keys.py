"""Quiz, one answer: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.keys import Keys
from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.option_keys import AskedOptions, complain_of_typed, options_of_keys


def read(keys: Keys, beside: GivenBeside) -> AskedOptions:
    options = options_of_keys(keys, beside.installation)
    complain_of_typed(keys, options, beside)
    return AskedOptions(options)
