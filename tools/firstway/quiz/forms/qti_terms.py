"""Quiz: a question in the terms of QTI 3.0 (1EdTech, 2022; from memory), as values; the desk writes
XML from them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from firstway.frozen import dataclass
from firstway.quiz.marking.typed import number_and_unit
from firstway.rendering.figures import digits


@dataclass(frozen=True)
class Term:
    """One element: its name, its attributes, what stands in it."""

    name: str
    attributes: Mapping[str, object]
    inside: tuple[Term | str, ...]


@dataclass(frozen=True)
class ItemTerms:
    """What is declared, shown and worked out of one item, and (option, words) of its feedback."""

    declared: tuple[Term, ...]
    body: tuple[Term, ...]
    processing: tuple[Term, ...]
    feedback: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Response:
    """What a learner gave for one declared response."""

    identifier: str
    cardinality: str
    base: str
    values: tuple[str, ...]


LetteredSpot = tuple[str, str, str]
"""A place of the picture to point at: its letter, its words, its corners as `x1,y1,x2,y2`."""


def qti_term(
    name: str, attributes: Mapping[str, object] | None = None, *inside: Term | str
) -> Term:
    """An element with attributes and children."""
    return Term(name, attributes or {}, inside)


# what is declared


def declared(name: str, cardinality: str, base: str, values: Iterable[str], *inside: Term) -> Term:
    """A response with its right values."""
    right = (qti_term("qti-value", {}, value) for value in values)
    return qti_term(
        "qti-response-declaration",
        {"identifier": name, "cardinality": cardinality, "base-type": base},
        qti_term("qti-correct-response", {}, *right),
        *inside,
    )


def mapping(entries: Sequence[tuple[str, int]], most: int) -> Term:
    """Points for each value that was given, from none to `most`."""
    return qti_term(
        "qti-mapping",
        {"lower-bound": 0, "upper-bound": most, "default-value": 0},
        *(
            qti_term("qti-map-entry", {"map-key": key, "mapped-value": value})
            for key, value in entries
        ),
    )


def middle(low: float, high: float) -> str:
    """The right value of a window."""
    return f"{(low + high) / 2:.9g}"


def option_name(letter: str) -> str:
    """The identifier of an option, a step or an item."""
    return f"choice-{letter}"


def row_name(number: str) -> str:
    """The identifier of a row."""
    return f"row-{number}"


# what is shown


def prompted(
    name: str, stem: str, attributes: Mapping[str, object], *inside: Term, picture: Term | None
) -> tuple[Term, ...]:
    """The picture and an interaction that holds the question."""
    asked = {"response-identifier": "RESPONSE", **attributes}
    shown = qti_term(name, asked, qti_term("qti-prompt", {}, stem), *inside)
    return (picture, shown) if picture else (shown,)


def simple_choices(choices: Iterable[tuple[str, str]]) -> Iterator[Term]:
    """Options or steps by their letters."""
    return (
        qti_term("qti-simple-choice", {"identifier": option_name(letter)}, words)
        for letter, words in choices
    )


def text_entry(name: str) -> Term:
    """A box to type a figure into."""
    return qti_term(
        "qti-text-entry-interaction", {"response-identifier": name, "expected-length": 10}
    )


def paragraphs(stem: str, picture: Term | None) -> tuple[Term, ...]:
    """The question and its picture, where boxes follow."""
    return (qti_term("p", {}, stem), *((picture,) if picture else ()))


# how it is marked


def if_right(condition: Term) -> Term:
    """A point where the condition holds."""
    return qti_term(
        "qti-response-condition",
        {},
        qti_term("qti-response-if", {}, condition, score("1")),
        qti_term("qti-response-else", {}, score("0")),
    )


def mapped() -> Term:
    """The points of the mapping; none where nothing was given."""
    return qti_term(
        "qti-response-condition",
        {},
        qti_term("qti-response-if", {}, is_null("RESPONSE"), score("0")),
        qti_term(
            "qti-response-else",
            {},
            qti_term(
                "qti-set-outcome-value",
                {"identifier": "SCORE"},
                qti_term("qti-map-response", {"identifier": "RESPONSE"}),
            ),
        ),
    )


def score(points: str) -> Term:
    """The score is set."""
    return qti_term("qti-set-outcome-value", {"identifier": "SCORE"}, float_value(points))


def float_value(value: str) -> Term:
    """A number."""
    return qti_term("qti-base-value", {"base-type": "float"}, value)


def variable(name: str) -> Term:
    """What a variable holds."""
    return qti_term("qti-variable", {"identifier": name})


def matches(name: str) -> Term:
    """Whether the right values were given."""
    return qti_term("qti-match", {}, variable(name), qti_term("qti-correct", {"identifier": name}))


def is_null(name: str) -> Term:
    """Whether nothing was given."""
    return qti_term("qti-is-null", {}, variable(name))


def between(name: str, low: float, high: float) -> Term:
    """A number in its window.

    Nothing typed is no number: some players take it for 0, which lies in a window round 0.
    """
    return qti_term(
        "qti-and",
        {},
        qti_term("qti-not", {}, is_null(name)),
        qti_term("qti-gte", {}, variable(name), float_value(digits(low))),
        qti_term("qti-lte", {}, variable(name), float_value(digits(high))),
    )


# what was given


def lettered_response(
    key: object, given: str, names: Mapping[str, str], cardinality: str
) -> list[Response]:
    """Letters by the names of their options; `names` are the same for all learners."""
    values = tuple(names[letter] for letter in given.split() if letter in names)
    return [Response("RESPONSE", cardinality, "identifier", values)]


def figure_response(name: str, typed: str) -> Response:
    """A figure, or what was typed where it is none."""
    value, _ = number_and_unit(typed)
    if value is None:
        return Response(name, "single", "string", (typed.strip(),) if typed.strip() else ())
    return Response(name, "single", "float", (digits(value),))
