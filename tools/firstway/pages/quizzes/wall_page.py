"""Pages: one question on the wall for a class in a room, large, moved by keys or a presenter's
remote. No answer is collected; the questions come from the files that practice uses.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.quiz.paper.page import json_for_page
from firstway.rendering.html import Markup, caution_fold_html, joined, tag

WALL = "tutors/wall.md"
WALL_TITLE = "On the wall"
_TEXT = """\
# {title}

For the tutor with a class in a room: one question at a time, large enough for the back row. First
the question, then time to think, then what some will say, then the answer with its working and
why not the others. No answers are collected, and nothing is kept.
{{ .for }}

{caution}

{choose}

## Keys {{#keys}}

{keys}

A link opens it at a place: behind the address of this page write `#quiz=` and the name of a quiz,
or `#outcome=` and that of an outcome, as they stand in the addresses that *Put it on the wall*
makes.
"""
_KEYS = (
    ("Page down, right, space, Enter", "on: the next part of the question, then the next question"),
    ("Page up, left, Backspace", "back"),
    ("Down, up", "scroll, where a question is longer than the wall"),
    ("B or full stop", "a blank wall, and back"),
    ("Escape", "take it from the wall"),
)
_WORDS = {
    "think": "Think first. Write your own answer down.",
    "some": "Some will say",
    "none": "No wrong answer of this question has a name.",
    "row": "Row {row}",
    "place": "{number} of {of}",
    "missing": "The questions could not be loaded: the guide's folder is not whole.",
    "parts": ["Question", "Think", "Some will say", "Answer", "Why not the others"],
}


def wall_page(index: Mapping[str, Any], quizzes: Sequence[tuple[str, str, list[str]]]) -> PageSheet:
    """The page. `index` is what sessions choose from; `quizzes` are (id, title, questions)."""
    outcomes = [
        [id_, text, [question[0] for question in questions]]
        for id_, text, _, questions in index["outcomes"]
    ]
    data = {"quizzes": quizzes, "outcomes": outcomes, "words": _WORDS}
    choose = (
        tag("noscript", tag("p", "Scripts are off: this page needs one. Print a quiz instead."))
        + tag(
            "p",
            tag("label", "What: ", tag("select", _options(quizzes, outcomes), class_="wall-what")),
            " ",
            tag("button", "Put it on the wall", type="button", class_="wall-begin"),
            " ",
            tag("span", role="status", class_="wall-said"),
            class_="wall-choose",
        )
        + tag("script", json_for_page(data), type="application/json", class_="wall-data")
        + tag("link", rel="stylesheet", href="{root}assets/wall.css")
        + tag("script", src="{root}assets/wall.js", defer=True)
    )
    keys = tag("dl", joined(tag("dt", name) + tag("dd", what) for name, what in _KEYS))
    parts = {"caution": caution_fold_html(), "choose": choose, "keys": keys}
    text = _TEXT.format(title=WALL_TITLE, **{name: part_mark(name) for name in parts})
    described = "One question at a time for a class in a room, with keys of a presenter's remote."
    return PageSheet(WALL, WALL_TITLE, text, parts, described)


def _options(
    quizzes: Sequence[tuple[str, str, list[str]]], outcomes: Sequence[Sequence[Any]]
) -> Markup:
    return joined(
        tag(
            "optgroup",
            joined(
                tag("option", f"{each[1]} ({len(each[2])})", value=f"{kind}={each[0]}")
                for each in those
            ),
            label=label,
        )
        for kind, label, those in (
            ("quiz", "A quiz", quizzes),
            ("outcome", "An outcome", outcomes),
        )
    )
