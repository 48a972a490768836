"""Quiz, find the mistake: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.spot_keys import AskedSpots, WrittenSpots, spots_written


def read(question: WrittenSpots, beside: GivenBeside) -> AskedSpots:
    spots = spots_written(question, beside)
    if sum(spot.right for spot in spots) > 1:
        beside.say(
            question.line_of("spots"),
            "several spots are right",
            "mark one, or none: the place of the mistake is known",
        )
    drawing = beside.drawing
    if drawing is not None and not (drawing.mistake and drawing.view == "wiring"):
        beside.say(
            question.line_of("drawing"),
            "the drawing holds no mistake",
            "add `mistake:` and `view: wiring` to the drawing",
        )
    return AskedSpots(spots)
