"""Quiz: `spots:` of a question, places of its drawing to point at."""

from __future__ import annotations

import re
from dataclasses import dataclass

from firstway.files.yaml_reader import Node
from firstway.quiz.bank.keys import Keys, keys_of
from firstway.quiz.bank.own_keys import GivenBeside, sentence_of
from firstway.quiz.bank.question import AuthorWords

MOST_SPOTS = 8
PLACE_FORM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*(?:\.[A-Za-z0-9_-]+)*\Z")


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


def spots_of_keys(keys: Keys, kind: str, beside: GivenBeside) -> tuple[SpotAt, ...]:
    """`spots:` of a question that has a drawing."""
    if beside.drawing is None and "drawing" not in keys.entries.values:
        keys.reader.say(
            keys.line,
            f"{keys.what}: a question of kind '{kind}' needs a drawing",
            "add `drawing: {view: wiring, of: ...}`",
        )
    spots = tuple(
        spot
        for node in keys.items("spots", required=True)
        if (spot := _spot(keys, node, beside.installation))
    )
    places = [spot.place for spot in spots]
    for spot in spots:
        if places.count(spot.place) > 1 and places.index(spot.place) != spots.index(spot):
            keys.reader.say(
                spot.line, f"{keys.what}: the spot '{spot.place}' stands twice", "keep one of them"
            )
    if len(spots) > MOST_SPOTS:
        keys.reader.say(
            keys.line_of("spots"),
            f"{keys.what}: {len(spots)} spots",
            f"give at most {MOST_SPOTS}",
        )
    return spots


def _spot(question: Keys, node: Node, installation: str) -> SpotAt | None:
    keys = keys_of(question.reader, node, f"{question.what}, a spot")
    if keys is None:
        return None
    place = keys.text("place", required=True)
    if place and not PLACE_FORM.match(place):
        keys.reader.say(
            keys.line_of("place"),
            f"{keys.what}: '{place[:60]}' is no place of a drawing",
            "write a terminal (F1.L1), a part (F1) or a conductor (lead.PE.F1)",
        )
    right = keys.flag("right")
    mistake = keys.text("mistake", required=not right)
    feedback = sentence_of(keys, "feedback", installation, required=not right)
    if right and mistake:
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right answer names a mistake",
            "remove `mistake:` or `right:`",
        )
    keys.finish()
    return SpotAt(place, right, mistake, feedback, keys.line) if place else None
