"""Quiz, point: what its author writes, and how that becomes a question with a key."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from firstway.files.plain_values import suggestion
from firstway.files.specs import Flag, Name, Prose, Sections, key
from firstway.frozen import dataclass
from firstway.quiz.bank.written import GivenBeside, Written, WrittenQuestion, need, sentence_of
from firstway.quiz.forms.form import Look, QuestionKind
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.options import keys_of_options
from firstway.quiz.forms.worked_question import (
    LETTERS,
    Filled,
    WorkedOption,
    WorkedQuestion,
    content_text,
    text_of,
)

MOST_SPOTS = 8


@dataclass(frozen=True)
class WrittenSpot(Written):
    """A place to point at; its words come from the drawing."""

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


def check_spots(question: WrittenSpots, beside: GivenBeside) -> None:
    """What is wrong with `spots:`, and with a question of spots that has no drawing."""
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
        _check_spot(each, beside)


def _check_spot(written: WrittenSpot, beside: GivenBeside) -> None:
    if not written.right:
        need(written, beside, "mistake", "feedback")
    elif written.mistake:
        beside.say(
            written.line, "the right answer names a mistake", "remove `mistake:` or `right:`"
        )
    sentence_of(written, "feedback", beside)


def read(question: WrittenSpots, beside: GivenBeside) -> WrittenSpots:
    check_spots(question, beside)
    rights = sum(spot.right for spot in question.spots)
    if rights != 1:
        beside.say(
            question.line_of("spots"), f"{rights} spots are right", "mark one with `right: true`"
        )
    return question


OTHER_GROUPS = ("enclosure", "rail", "line-bar")
"""Groups of the wiring drawing that are neither terminal, part nor conductor."""


def worked_point(
    look: Look, asked: WrittenSpots, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """A lettered spot of the drawing."""
    return spots_with(look, stem, why, asked.spots, lambda spot: spot.right)


def spots_with(
    look: Look,
    stem: Filled,
    why: Filled,
    spots: Sequence[WrittenSpot],
    is_right: Callable[[WrittenSpot], bool],
) -> WorkedQuestion | None:
    shown = look.shuffled(spots)
    places, letters = [spot.place for _, spot in shown], list(LETTERS[: len(shown)])
    drawn = look.pictured({spot.place: spot.line for _, spot in shown}, letters)
    if drawn is None:
        complain_of_places(look, spots)
    words = dict(
        zip(
            (place for place in places if drawn is None or place not in drawn.missing),
            drawn.words if drawn else places,
        )
    )
    options = tuple(
        WorkedOption(
            letter,
            (words.get(spot.place, spot.place),),
            is_right(spot),
            "" if is_right(spot) else spot.mistake,
            look.words(spot.line, spot.feedback),
            spot.line,
            place,
            spot.place,
        )
        for letter, (place, spot) in zip(letters, shown)
    )
    right = next((option for option in options if option.right), None)
    if right is None:
        look.say(look.question.line, "no spot is right", "mark one with `right: true`")
        return None
    key = OneAnswerKey(
        keys_of_options(options), f"{right.id}, {content_text(right.content)}", text_of(why)
    )
    return WorkedQuestion(
        look.question,
        stem,
        why,
        right.content,
        key,
        options=options,
        drawing=drawn.drawn if drawn else None,
    )


def complain_of_places(look: Look, spots: Sequence[WrittenSpot]) -> None:
    """Without the drawing itself: whether the wiring knows the places."""
    drawing = look.question.drawing
    job = look.job(drawing.of) if drawing and drawing.view == "wiring" else None
    if job is None or drawing is None:
        return
    wiring = job.case.wiring.drawn
    known = {
        *(each.id for each in wiring.terminals),
        *(each.name for each in wiring.parts),
        *(each.id for each in wiring.conductors),
        *OTHER_GROUPS,
    }
    for spot in spots:
        if spot.place not in known and not drawing.mistake:
            look.say(
                spot.line,
                f"the drawing does not show '{spot.place}'",
                suggestion(spot.place, sorted(known))
                or "name a terminal, part or conductor that is drawn",
            )


KIND = QuestionKind("point", 1.0, WrittenSpots, read, worked_point, varies=False)
