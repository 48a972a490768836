"""Quiz, match: on a page, on the answer sheet and in the terms of the open standards."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from firstway.quiz.forms.match.answers import MatchKey, most_points, row_pairs
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Response,
    Term,
    declared,
    mapped,
    mapping,
    option_name,
    prompted,
    qti_term,
    row_name,
)
from firstway.quiz.forms.shown_question import LETTER_ROOM, Shown, Slots
from firstway.rendering.html import Markup, joined, tag


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    rows = [(number, slots.marked(words)) for number, words in shown.rows]
    listed = joined(
        tag("li", tag("b", letter), " ", slots.marked(words)) for letter, words in shown.items
    )
    choices = joined(tag("option", letter) for letter, _ in shown.items)
    yield tag("ol", listed, class_="quiz-items")
    for number, words in rows:
        yield (
            tag(
                "label",
                tag("span", f"{number}. ", words),
                tag("select", tag("option", "Choose", value=""), choices),
                class_="quiz-row",
            )
        )


def room(shown: Shown) -> Markup:
    return joined((f"{number} " + LETTER_ROOM for number, _ in shown.rows), " ")


def exported(
    key: MatchKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """Rows and items to pair: a point for each pair."""
    right = [f"{row_name(row.id)} {option_name(row.item)}" for row in key.rows]
    points = mapping([(pair, 1) for pair in right], most_points(key))
    rows = (_choice(row_name(number), 1, words) for number, words in shown.rows)
    items = (_choice(option_name(letter), len(shown.rows), words) for letter, words in shown.items)
    body = prompted(
        "qti-match-interaction",
        shown.stem,
        {"shuffle": "false", "max-associations": len(shown.rows)},
        qti_term("qti-simple-match-set", {}, *rows),
        qti_term("qti-simple-match-set", {}, *items),
        picture=picture,
    )
    response = declared("RESPONSE", "multiple", "directedPair", right, points)
    return ItemTerms((response,), body, (mapped(),))


def _choice(name: str, most: int, words: str) -> Term:
    return qti_term("qti-simple-associable-choice", {"identifier": name, "match-max": most}, words)


def responses(key: MatchKey, given: str, names: Mapping[str, str]) -> list[Response]:
    values = tuple(
        f"{row_name(row)} {names[item]}"
        for row, item in row_pairs(given)
        if row.isdigit() and item in names
    )
    return [Response("RESPONSE", "multiple", "directedPair", values)]
