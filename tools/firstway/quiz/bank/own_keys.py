"""Quiz: what several kinds of questions write, turned into figures, sentences and mistakes."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from firstway.files.specs import attribute_of
from firstway.quiz.bank.arithmetic import formula_of
from firstway.quiz.bank.author_words import HOW_TO_WRITE, filled_words
from firstway.quiz.bank.question import (
    AuthorWords,
    Drawing,
    FigureOf,
    NumberMistake,
    Varied,
    WrongWay,
)
from firstway.quiz.bank.written import Written, WrittenFigure, WrittenMistake, WrittenQuestion

MOST_VALUES = 20
PATH_FORM = re.compile(r"[a-z][a-z0-9_]*(?:\.[A-Za-z0-9_-]+)+\Z")


@dataclass(frozen=True)
class GivenBeside:
    """What a question says beside the keys of its kind; `say` tells (line, message, hint)."""

    installation: str
    source: str
    drawing: Drawing | None
    say: Callable[[int, str, str], None]


def sentence_of(section: Written, name: str, beside: GivenBeside) -> AuthorWords:
    """A sentence of the bank, its figures found."""
    of: type = type(section)
    words, wrong = filled_words(getattr(section, attribute_of(of, name)), beside.installation)
    for reason in wrong:
        named = "names no installation" in reason
        hint = "add `installation:` to the question" if named else HOW_TO_WRITE
        beside.say(section.line_of(name), f"in '{name}': {reason}", hint)
    return words


def need(section: Written, beside: GivenBeside, *names: str) -> None:
    """Keys that this section must have, as the rest of it stands."""
    for name in names:
        if name not in section.lines:
            beside.say(section.line, f"'{name}' is missing", f"add `{name}:`")


def drawing_written(question: WrittenQuestion, beside: GivenBeside) -> Drawing | None:
    """The drawing of a question; None where it has none or it cannot be drawn."""
    told = question.drawing
    if told is None:
        return None
    found = Drawing(
        told.view,
        told.of or beside.installation,
        told.stage,
        told.overlay,
        told.mistake,
        told.chart,
        told.circuit,
        told.line,
    )
    if not found.of:
        beside.say(
            told.line,
            "the drawing names no installation",
            "add `of:`, or `installation:` to the question",
        )
    for names, view in ((("stage", "overlay"), "wiring"), (("chart", "circuit"), "chart")):
        for name in names:
            if name in told.lines and found.view != view:
                beside.say(
                    told.line_of(name),
                    f"'{name}' belongs to the view '{view}'",
                    f"remove `{name}:` or write `view: {view}`",
                )
    if found.stage and found.overlay:
        beside.say(told.line, "a stage and an overlay stand side by side", "keep one of them")
    if found.view == "chart":
        need(told, beside, "chart")
    return found if found.of else None


def vary_of(question: WrittenQuestion, varies: bool, beside: GivenBeside) -> tuple[Varied, ...]:
    """Keys of the question's installation with the values each takes."""
    if "vary" not in question.lines:
        return ()
    line = question.line_of("vary")
    if not varies:
        beside.say(
            line, f"a question of kind '{question.kind}' has no figures to vary", "remove `vary:`"
        )
    if not beside.installation:
        beside.say(line, "'vary' names no installation", "add `installation:` to the question")
    if not question.vary:
        beside.say(line, "nothing varies", "name a key and its values, or remove `vary:`")
    found = []
    for path, values in question.vary.items():
        here = question.lines_of[f"{question.path}.vary.{path}"]
        if not PATH_FORM.match(path):
            beside.say(
                here,
                f"'{path[:60]}' is no key of an installation file",
                "write it with dots: circuits.slipway.route.1.length_m",
            )
        elif len(values) > MOST_VALUES:
            beside.say(
                here, f"'{path[:60]}' takes more than {MOST_VALUES} values", "leave some out"
            )
        else:
            found.append(Varied(path, values, here))
    return tuple(found)


def figure_written(written: WrittenFigure, beside: GivenBeside) -> FigureOf | None:
    """A figure of a working, of the question's installation where it names none."""
    named = written.installation or beside.installation
    if not named:
        beside.say(
            written.line,
            "a figure names no installation",
            "add `installation:`, here or to the question",
        )
        return None
    return FigureOf(written.step, written.of, named, written.symbol)


class ByArithmetic(Protocol):
    """A section that says how a wrong figure comes about."""

    @property
    def arithmetic(self) -> str: ...
    @property
    def with_(self) -> Mapping[str, WrittenFigure]: ...
    def line_of(self, name: str) -> int: ...


def wrong_way_of(section: ByArithmetic, beside: GivenBeside) -> WrongWay | None:
    """A wrong figure; None where its arithmetic cannot be read."""
    formula, reason = formula_of(section.arithmetic)
    if formula is None:
        beside.say(
            section.line_of("arithmetic"),
            f"'{section.arithmetic[:80]}' is not plain arithmetic ({reason})",
            "use names, numbers, + - * / **, brackets, sqrt, ln, min and max",
        )
        return None
    found = {symbol: figure_written(each, beside) for symbol, each in section.with_.items()}
    for symbol in found:
        if symbol not in formula.symbols:
            beside.say(
                section.line_of("with"),
                f"'{symbol}' is not used in the arithmetic",
                "use it or remove it",
            )
    return WrongWay(
        section.arithmetic, {symbol: each for symbol, each in found.items() if each is not None}
    )


def mistakes_of(
    mistakes: Sequence[WrittenMistake], beside: GivenBeside
) -> tuple[NumberMistake, ...]:
    """Wrong figures with their names; in a working each says its part."""
    return tuple(
        NumberMistake(
            each.mistake,
            wrong_way,
            sentence_of(each, "feedback", beside),
            each.line,
            getattr(each, "part", 0),
        )
        for each in mistakes
        if (wrong_way := wrong_way_of(each, beside)) is not None
    )


def source_needed(question: WrittenQuestion, beside: GivenBeside, what: str) -> None:
    """Whatever is right because the author says so has a source."""
    if not beside.source:
        beside.say(
            question.line,
            what,
            "add `source:` (a clause and its edition, a book, or `common practice`)",
        )
