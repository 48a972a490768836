"""Quiz, find the mistake: what its author writes, and how that becomes a question with a key."""

from __future__ import annotations

from collections.abc import Sequence

from firstway.model.mistakes import Mistake
from firstway.quiz.bank.written import GivenBeside
from firstway.quiz.forms.form import Look, QuestionKind
from firstway.quiz.forms.point.form import (
    WrittenSpot,
    WrittenSpots,
    check_spots,
    spots_with,
)
from firstway.quiz.forms.sources import bound_mistake
from firstway.quiz.forms.worked_question import Filled, WorkedQuestion


def read(question: WrittenSpots, beside: GivenBeside) -> WrittenSpots:
    check_spots(question, beside)
    if sum(spot.right for spot in question.spots) > 1:
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
    return question


def worked_find(
    look: Look, asked: WrittenSpots, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """The place of a mistake that was made in the drawing; it comes from the mistake itself unless
    a spot is marked right.
    """
    question, drawing = look.question, look.question.drawing
    job = look.job(drawing.of if drawing else "", question.line)
    if drawing is None or job is None:
        return None
    bound, reason = bound_mistake(job, look.sources.mistakes, drawing.mistake)
    if bound is None:
        look.say(
            drawing.line, reason, "name a mistake of diagrams/mistakes.yaml that applies to it"
        )
        return None
    right = next((spot.place for spot in asked.spots if spot.right), bound.found_by.place)
    spots = asked.spots
    if all(spot.place != right for spot in spots):
        spots = (*spots, WrittenSpot(place=right, right=True, line=drawing.line))
    _complain_of_ambiguity(look, bound, spots, right)
    return spots_with(look, stem, why, spots, lambda spot: spot.place == right)


def _complain_of_ambiguity(
    look: Look, mistake: Mistake, spots: Sequence[WrittenSpot], right: str
) -> None:
    """A conductor the mistake moved, cut or added is its place as well: it cannot be a
    wrong spot.
    """
    changed = {
        str(getattr(change, key))
        for change in mistake.wiring
        for key in ("remove", "move", "set", "add")
    }
    for spot in spots:
        if spot.place != right and spot.place in changed:
            look.say(
                spot.line,
                f"the spot '{spot.place}' is a place of the mistake too",
                "choose another spot, or mark this one right",
            )


KIND = QuestionKind("find-the-mistake", 2.0, WrittenSpots, read, worked_find, varies=False)
