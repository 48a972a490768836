"""Quiz: `options:` of a question, as choices of one and of several write them."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.yaml_reader import Node
from firstway.quiz.bank.keys import Keys, keys_of
from firstway.quiz.bank.own_keys import (
    GivenBeside,
    inner_figure,
    sentence_of,
    source_needed,
    wrong_way_of_keys,
)
from firstway.quiz.bank.question import AuthorWords, FigureOf, WrongWay

MOST_OPTIONS = 9


@dataclass(frozen=True)
class Option:
    """One thing to choose: words, a figure of the working, or the figure a mistake leads to."""

    content: AuthorWords | FigureOf | WrongWay
    right: bool
    mistake: str
    feedback: AuthorWords
    line: int


@dataclass(frozen=True)
class AskedOptions:
    """Options to choose from."""

    options: tuple[Option, ...]
    tell_count: bool = False


def options_of_keys(keys: Keys, installation: str, several: bool = False) -> tuple[Option, ...]:
    options = tuple(
        option
        for node in keys.items("options", required=True)
        if (option := _option(keys, node, installation, several)) is not None
    )
    if len(options) > MOST_OPTIONS:
        keys.reader.say(
            keys.line_of("options"),
            f"{keys.what}: {len(options)} options",
            f"give at most {MOST_OPTIONS}",
        )
    return options


def _option(question: Keys, node: Node, installation: str, several: bool) -> Option | None:
    keys = keys_of(question.reader, node, f"{question.what}, an option")
    if keys is None:
        return None
    given = [key for key in ("text", "figure", "arithmetic") if key in keys.entries.values]
    if len(given) != 1:
        keys.reader.say(
            keys.line,
            f"{keys.what} has {len(given)} of text, figure and arithmetic",
            "give exactly one of the three",
        )
    right = keys.flag("right")
    mistake = keys.text("mistake", required=not right)
    feedback = sentence_of(keys, "feedback", installation, required=not right)
    words = sentence_of(keys, "text", installation, required=False)
    figure = inner_figure(keys, "figure", installation)
    wrong_way = wrong_way_of_keys(keys, installation, required=False)
    if right and (mistake or wrong_way and not several):
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right answer names a mistake",
            "remove `mistake:` or `right:`",
        )
    if right and wrong_way and several:
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right answer is worked by arithmetic",
            "name its step under `figure:`",
        )
    keys.finish()
    content = words or figure or wrong_way
    return (
        Option(content, right, mistake, feedback, keys.line)
        if content and len(given) == 1
        else None
    )


def complain_of_typed(keys: Keys, options: tuple[Option, ...], beside: GivenBeside) -> None:
    """A right option in the author's words needs a source."""
    if any(option.right and isinstance(option.content, tuple) for option in options):
        source_needed(keys, beside, "the right answer is typed and has no source")
