"""Quiz: one set of figures of a question as a page that marks itself needs it: plain data, kept
from build to build, so that a page is put together without working its questions.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from firstway.frozen import dataclass
from firstway.quiz.forms.drawings import PlainPicture
from firstway.quiz.forms.lint import letters_of
from firstway.quiz.forms.registry import data_of_key
from firstway.quiz.forms.shown_question import Shown, shown_question
from firstway.quiz.forms.worked_question import (
    Content,
    Figure,
    WorkedMistake,
    WorkedOption,
    WorkedQuestion,
    WorkedRow,
    html_of,
)
from firstway.rendering.html import Markup, escape, joined, tag

MOST_SETS = 4
"""Sets of figures a page carries for one question."""
ENOUGH_SETS = 12
"""Sets of figures below which its author says why there are no more."""
MANY_SETS = 20
"""Sets of figures a question brings where it comes back."""


@dataclass(frozen=True)
class PracticeSet:
    """`key` is the key as plain data, `fold` what *Answers and why* says of it, `options` the
    letters of its options with whether each is right.
    """

    shown: Shown
    key: Mapping[str, Any]
    fold: Markup
    outcome: str
    minutes: float
    options: tuple[tuple[str, bool], ...]


def practice_sets(
    worked: WorkedQuestion, others: Sequence[WorkedQuestion] = (), most: int = MOST_SETS
) -> tuple[PracticeSet, ...]:
    """The question, and the same with other figures that fit its fields, as many as a page
    carries.
    """
    first = _practice_set(worked)
    sets = (_practice_set(other) for other in others if other is not worked)
    fits = [each for each in sets if _same_fields(each.shown, first.shown)]
    return (first, *fits)[:most]


def _practice_set(worked: WorkedQuestion) -> PracticeSet:
    return PracticeSet(
        shown_question(worked),
        data_of_key(worked.key),
        joined(_fold(worked)),
        worked.question.outcome,
        worked.question.minutes,
        letters_of(worked),
    )


def _same_fields(one: Shown, two: Shown) -> bool:
    """Whether the words of one may stand in the fields of the other."""

    def fields(face: Shown) -> tuple[object, ...]:
        return (
            face.form,
            face.unit,
            [letter for letter, _ in (*face.choices, *face.rows, *face.items)],
            [unit for _, unit in face.parts],
            face.tell_count,
            face.drawing is None,
        )

    return fields(one) == fields(two)


def _fold(worked: WorkedQuestion) -> list[Markup]:
    """The answer, its reason, and what is wrong with each other option: by its letter."""
    source = worked.question.source
    lines = [
        tag("p", tag("strong", _content(worked.answer))),
        tag("p", html_of(worked.why), class_="quiz-why"),
    ]
    wrong = [
        tag("li", tag("b", option.id), " ", _mistake(option))
        for option in worked.options
        if not option.right
    ]
    wrong += [
        tag("li", f"{row.id}, another than ", tag("b", row.item), ": ", _mistake(row))
        for row in worked.rows
    ]
    wrong += [tag("li", f"{item.value.text}: ", _mistake(item)) for item in worked.mistakes]
    if wrong:
        lines.append(tag("p", "Not these:") + tag("ul", *wrong))
    if source:
        lines.append(tag("p", f"Source: {source}", class_="quiz-source"))
    return lines


def _mistake(of: WorkedOption | WorkedMistake | WorkedRow) -> Markup:
    return Markup("<i>{}</i>. <span>{}</span>").format(of.mistake, html_of(of.feedback))


def _content(content: Content) -> Markup:
    if isinstance(content, tuple):
        return html_of(content)
    return content.html if isinstance(content, Figure) else escape(content.text)


# as plain data


def set_data(made: PracticeSet) -> dict[str, Any]:
    """The set as plain data."""
    shown, picture = made.shown, made.shown.drawing
    plain = picture and {
        name: getattr(picture, name) for name in ("svg", "alt", "id", "title", "key")
    }
    return {
        **vars(made),
        "shown": {**vars(shown), "stem_html": str(shown.stem_html), "drawing": plain},
        "fold": str(made.fold),
    }


def set_from_data(data: Mapping[str, Any]) -> PracticeSet:
    """The set of such data; raises what a dictionary raises where it is no such data."""
    shown = dict(data["shown"])
    shown |= {name: _pairs(shown[name]) for name in ("choices", "rows", "items", "parts")}
    shown["stem_html"] = Markup(shown["stem_html"])
    if plain := shown["drawing"]:
        shown["drawing"] = PlainPicture(**{**plain, "key": tuple(plain["key"])})
    return PracticeSet(
        Shown(**shown),
        data["key"],
        Markup(data["fold"]),
        data["outcome"],
        data["minutes"],
        _pairs(data["options"]),
    )


def _pairs(rows: Sequence[Any]) -> tuple[Any, ...]:
    return tuple((first, second) for first, second in rows)
