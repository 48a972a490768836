"""Quiz, point: places of a drawing with their letters, as a mistake to be found has them too."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from firstway.files.near import suggestion
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.spot_keys import AskedSpots, SpotAt
from firstway.quiz.forms.words import Filled, text_of
from firstway.quiz.forms.worked_options import keys_of_options
from firstway.quiz.forms.worked_question import (
    LETTERS,
    WorkedOption,
    WorkedQuestion,
    content_text,
)

OTHER_GROUPS = ("enclosure", "rail", "line-bar")
"""Groups of the wiring drawing that are neither terminal, part nor conductor."""


def worked_point(look: Look, asked: AskedSpots, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """A lettered spot of the drawing."""
    return spots_with(look, stem, why, asked.spots, lambda spot: spot.right)


def spots_with(
    look: Look,
    stem: Filled,
    why: Filled,
    spots: Sequence[SpotAt],
    is_right: Callable[[SpotAt], bool],
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


def complain_of_places(look: Look, spots: Sequence[SpotAt]) -> None:
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
