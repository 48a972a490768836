"""Quiz, several answers: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.keys import Keys
from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.option_keys import AskedOptions, complain_of_typed, options_of_keys


def read(keys: Keys, beside: GivenBeside) -> AskedOptions:
    options = options_of_keys(keys, beside.installation, several=True)
    complain_of_typed(keys, options, beside)
    rights = sum(option.right for option in options)
    if options and (rights < 2 or rights == len(options)):
        keys.reader.say(
            keys.line,
            f"{keys.what}: {rights} of {len(options)} options are right",
            "mark two or more right, and leave one wrong",
        )
    return AskedOptions(options, keys.flag("tell_count"))
