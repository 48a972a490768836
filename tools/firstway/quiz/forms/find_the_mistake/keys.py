"""Quiz, find the mistake: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.keys import Keys
from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.spot_keys import AskedSpots, spots_of_keys


def read(keys: Keys, beside: GivenBeside) -> AskedSpots:
    spots = spots_of_keys(keys, "find-the-mistake", beside)
    if sum(spot.right for spot in spots) > 1:
        keys.reader.say(
            keys.line_of("spots"),
            f"{keys.what}: several spots are right",
            "mark one, or none: the place of the mistake is known",
        )
    drawing = beside.drawing
    if drawing is not None and not (drawing.mistake and drawing.view == "wiring"):
        keys.reader.say(
            keys.line_of("drawing"),
            f"{keys.what}: the drawing holds no mistake",
            "add `mistake:` and `view: wiring` to the drawing",
        )
    return AskedSpots(spots)
