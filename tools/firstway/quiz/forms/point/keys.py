"""Quiz, point: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.spot_keys import AskedSpots, WrittenSpots, spots_written


def read(question: WrittenSpots, beside: GivenBeside) -> AskedSpots:
    spots = spots_written(question, beside)
    rights = sum(spot.right for spot in spots)
    if rights != 1:
        beside.say(
            question.line_of("spots"), f"{rights} spots are right", "mark one with `right: true`"
        )
    return AskedSpots(spots)
