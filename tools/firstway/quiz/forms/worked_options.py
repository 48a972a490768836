"""Quiz: worked options, as choices of one and of several have them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from firstway.quiz.bank.question import FigureOf, WrongWay
from firstway.quiz.forms.figures import known_figures
from firstway.quiz.forms.flaws import Flaw, option_flaws
from firstway.quiz.forms.option_keys import Option
from firstway.quiz.forms.options import OptionKey
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.words import text_of
from firstway.quiz.forms.worked_question import (
    LETTERS,
    Computed,
    Content,
    WorkedOption,
    WorkedQuestion,
    content_text,
    content_value,
)

_DECIMALS = re.compile(r"[0-9]\.([0-9]+)")


def worked_options(look: Look, options: Sequence[Option], right: Content) -> list[WorkedOption]:
    """The options with their figures, in the order of the bank."""
    found = [
        (option_content(look, option, right), look.words(option.line, option.feedback))
        for option in options
    ]
    return [
        WorkedOption("", content, option.right, option.mistake, feedback, option.line, place)
        for place, (option, (content, feedback)) in enumerate(zip(options, found))
        if content is not None
    ]


def option_content(look: Look, option: Option, right: Content | None) -> Content | None:
    if isinstance(option.content, FigureOf):
        return look.figure(option.line, option.content)
    if not isinstance(option.content, WrongWay):
        return look.words(option.line, option.content)
    if right is None or isinstance(right, tuple):
        look.say(
            option.line,
            "arithmetic needs a right answer that is a figure",
            "give the right option a `figure:`",
        )
        return None
    known = known_figures(right, float(right.value or 0.0))
    led = look.led_to(option.content, known, option.line)
    return None if led is None else Computed(led, right.unit, right.places)


def lettered_options(look: Look, options: Sequence[WorkedOption]) -> tuple[WorkedOption, ...]:
    """Options in the order shown, with their letters: figures by size, words by seed."""
    if options and all(not isinstance(option.content, tuple) for option in options):
        ordered = sorted(options, key=lambda option: (content_value(option.content), option.place))
    else:
        by_place = {option.place: option for option in options}
        ordered = [
            by_place[place]
            for place, _ in look.shuffled(range(max(by_place, default=-1) + 1))
            if place in by_place
        ]
    return tuple(replace(option, id=letter) for option, letter in zip(ordered, LETTERS))


def keys_of_options(options: Sequence[WorkedOption]) -> tuple[OptionKey, ...]:
    return tuple(
        OptionKey(item.id, item.right, item.mistake, text_of(item.feedback)) for item in options
    )


def decimals_of(option: WorkedOption) -> int:
    """How many decimals an option shows."""
    match = _DECIMALS.search(content_text(option.content))
    return len(match.group(1)) if match else 0


def chosen_flaws(worked: WorkedQuestion) -> Iterator[Flaw]:
    """Flaws of options that are right or wrong."""
    yield from option_flaws(worked)
    for option in worked.options:
        if not option.right and not (option.mistake and option.feedback):
            yield Flaw(
                option.line,
                "a wrong option without its mistake or feedback",
                "add `mistake:` and `feedback:`",
            )
    contents = [option.content for option in worked.options]
    figures = [content for content in contents if not isinstance(content, tuple)]
    line = worked.question.line
    if figures and len(figures) < len(contents):
        yield Flaw(line, "words and figures stand side by side as options", "use one kind")
    elif figures:
        decimals = {decimals_of(option) for option in worked.options}
        if len(decimals) > 1 or len({figure.unit for figure in figures}) > 1:
            yield Flaw(line, "the options differ in decimals or units", "show them alike")
        sizes = [content_value(figure) for figure in figures]
        if sizes != sorted(sizes):
            yield Flaw(line, "the options are not in order of size", "sort them")
