"""Quiz: `spots:` of a question, places of its drawing to point at."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.specs import Flag, Name, Prose, Sections, key
from firstway.quiz.bank.own_keys import GivenBeside, need, sentence_of
from firstway.quiz.bank.question import AuthorWords
from firstway.quiz.bank.written import Written, WrittenQuestion

MOST_SPOTS = 8


@dataclass(frozen=True)
class WrittenSpot(Written):
    """A place to point at."""

    place: str = key(
        Name("place"),
        "a terminal (F1.L1), a part (F1) or a conductor (lead.PE.F1) of the drawing",
        "F1.L1",
        required=True,
    )
    right: bool = key(Flag(), "whether it is right")
    mistake: str = key(Prose(), "the mistake a wrong one tests", "took the neutral for it")
    feedback: str = key(Prose(), "what is said to whoever points at it", "That is the neutral.")


@dataclass(frozen=True)
class WrittenSpots(WrittenQuestion):
    """Something is pointed at in the drawing."""

    spots: tuple[WrittenSpot, ...] = key(
        Sections(WrittenSpot, at_least=1, at_most=MOST_SPOTS),
        "places of the drawing",
        required=True,
    )


@dataclass(frozen=True)
class SpotAt:
    """A place to point at: the name of a terminal, part, conductor or call-out.

    Its words come from the drawing.
    """

    place: str
    right: bool
    mistake: str
    feedback: AuthorWords
    line: int


@dataclass(frozen=True)
class AskedSpots:
    """Places to point at."""

    spots: tuple[SpotAt, ...]


def spots_written(question: WrittenSpots, beside: GivenBeside) -> tuple[SpotAt, ...]:
    """`spots:` of a question that has a drawing."""
    if question.drawing is None:
        beside.say(
            question.line,
            f"a question of kind '{question.kind}' needs a drawing",
            "add `drawing: {view: wiring, of: ...}`",
        )
    seen: set[str] = set()
    for each in question.spots:
        if each.place in seen:
            beside.say(each.line, f"the spot '{each.place}' stands twice", "keep one of them")
        seen.add(each.place)
    return tuple(_spot(each, beside) for each in question.spots)


def _spot(written: WrittenSpot, beside: GivenBeside) -> SpotAt:
    if not written.right:
        need(written, beside, "mistake", "feedback")
    elif written.mistake:
        beside.say(
            written.line, "the right answer names a mistake", "remove `mistake:` or `right:`"
        )
    feedback = sentence_of(written, "feedback", beside)
    return SpotAt(written.place, written.right, written.mistake, feedback, written.line)
