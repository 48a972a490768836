"""Quiz, point: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.keys import Keys
from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.spot_keys import AskedSpots, spots_of_keys


def read(keys: Keys, beside: GivenBeside) -> AskedSpots:
    spots = spots_of_keys(keys, "point", beside)
    rights = sum(spot.right for spot in spots)
    if spots and rights != 1:
        keys.reader.say(
            keys.line_of("spots"),
            f"{keys.what}: {rights} spots are right",
            "mark one with `right: true`",
        )
    return AskedSpots(spots)
