"""Quiz: what authors write in the bank, whatever the kind of question: keys as they stand there,
and how they are turned into figures, sentences and mistakes.

A mistake's arithmetic is read and valued without ever raising at the author.
"""

from __future__ import annotations

import ast
import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import field, replace
from typing import Protocol

from firstway.calculations.formula import FUNCTIONS, Formula
from firstway.files.specs import (
    ByName,
    Flag,
    Name,
    Prose,
    Section,
    Texts,
    attribute_of,
    count,
    key,
    positive,
    word,
)
from firstway.frozen import dataclass
from firstway.quiz.bank.question import (
    DIFFICULTIES,
    USES,
    AuthorWords,
    FigureOf,
    KeyOf,
    NumberMistake,
    Varied,
    Written,
    WrittenDrawing,
    WrongWay,
)

_FIGURE = re.compile(
    r"\{([a-z][A-Za-z0-9-]*):([A-Za-z0-9_.-]+)(?::([A-Za-z0-9_-]*))?(?::([A-Za-z][A-Za-z0-9_]*))?\}"
)
HOW_TO_WRITE = (
    "write {step:of}, {step:of:installation}, {step:of:installation:symbol} or {key:path}"
)


def filled_words(text: str, installation: str) -> tuple[AuthorWords, list[str]]:
    """Split a sentence into text and figures; give what is wrong with it as well.

    `installation` is used where the author names none.
    """
    parts: list[str | FigureOf | KeyOf] = []
    wrong: list[str] = []
    last = 0
    for match in _FIGURE.finditer(text):
        parts.append(text[last : match.start()])
        step, of, named, symbol = match.groups()
        if not (named or installation):
            wrong.append(f"{match.group(0)} names no installation")
        parts.append(
            KeyOf(of, named or installation)
            if step == "key"
            else FigureOf(step, of, named or installation, symbol or "")
        )
        last = match.end()
    parts.append(text[last:])
    if any(brace in part for part in parts if isinstance(part, str) for brace in "{}"):
        wrong.append("a brace stands here that is no figure")
    return tuple(part for part in parts if part != ""), wrong


LONGEST_ARITHMETIC = 200
_RESULT = "wrong_value"


def formula_of(arithmetic: str) -> tuple[Formula | None, str]:
    """The arithmetic as a formula, or None and what is wrong with it."""
    if len(arithmetic) > LONGEST_ARITHMETIC or "=" in arithmetic:
        return None, "only the right-hand side, on one short line"
    try:
        tree = ast.parse(arithmetic, mode="eval")
        names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)} - set(FUNCTIONS)
        formula = Formula(
            "a mistake",
            f"{_RESULT} = {arithmetic}",
            dict.fromkeys(names | {_RESULT}, ""),
            "the question bank",
            standing="computed",
        )
        formula.symbols
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        return None, "it cannot be read"
    return formula, ""


def value_of(arithmetic: str, figures: Mapping[str, float]) -> tuple[float | None, str]:
    """The value with these figures, or None and the reason."""
    formula, reason = formula_of(arithmetic)
    if formula is None:
        return None, reason
    missing = [symbol for symbol in formula.symbols if symbol not in figures]
    if missing:
        return None, f"'{missing[0]}' is not known here (known: {', '.join(sorted(figures))})"
    try:
        value = formula.value(figures)
    except (ArithmeticError, ValueError, TypeError):
        return None, "it has no value with these figures"
    if isinstance(value, complex) or not math.isfinite(value):
        return None, "it has no value with these figures"
    return value, ""


MOST_PLACES = 6
LARGEST_SLACK_PERCENT = 5.0
MOST_MISTAKES = 9
MOST_PARTS = 3
LONGEST_MINUTES = 60.0


@dataclass(frozen=True)
class WrittenFigure(Written):
    """A figure of a working."""

    step: str = key(Prose(), "the step of the working", "voltage-drop", required=True)
    of: str = key(Prose(), "what the step is of", "slipway", required=True)
    installation: str = key(
        Prose(), "the installation, where the question's own is not meant", "marram"
    )
    symbol: str = key(Prose(), "a symbol of the step's formula, where it is asked for", "I_b")

    def meant(self, installation: str) -> FigureOf:
        """Where the figure comes from; of this installation where it names none."""
        return FigureOf(self.step, self.of, self.installation or installation, self.symbol)


@dataclass(frozen=True)
class WrittenMistake(Written):
    """A wrong figure that has a name."""

    mistake: str = key(
        Prose(), "what is done wrong, in a few words", "using the device rating", required=True
    )
    arithmetic: str = key(
        Prose(),
        "how the wrong figure comes about: plain arithmetic over `answer` and symbols",
        "m_v * I_n * L / 1000",
        required=True,
    )
    with_: Mapping[str, WrittenFigure] = key(
        ByName(Section(WrittenFigure)),
        "symbols of the arithmetic that the answer's own step has not",
        "{I_n: {step: device-rating, of: slipway}}",
    )
    feedback: str = key(
        Prose(), "what is said to whoever does so", "The load counts.", required=True
    )


@dataclass(frozen=True)
class WrittenQuestion(Written):
    """What every question says, whatever its kind."""

    id: str = key(
        Name("small"),
        "what it is called for ever: saved answers hold it",
        "surge-point-length",
        required=True,
    )
    outcome: str = key(
        Name("small"), "the outcome it tests, of the same chapter", "surge.leads", required=True
    )
    chapter: str = key(Name("small"), "the chapter it belongs to", "surge", required=True)
    difficulty: int = key(
        count(min(DIFFICULTIES), max(DIFFICULTIES)),
        "1 name or recognise, 2 explain, 3 apply or calculate, 4 judge",
        "3",
        required=True,
        absent=0,
    )
    kind: str = key(Name("small"), "the kind of question", "number", required=True)
    use: str = key(
        word(*USES), "`practice` for the guide, `assigned` for papers alone", required=True
    )
    safety: bool = key(Flag(), "whether it is about safety: told apart in the result")
    installation: str = key(
        Name("small"), "where a figure, a drawing or a reading names none", "marram"
    )
    time_minutes: float = key(
        positive(LONGEST_MINUTES),
        "time to allow, where it is not the usual time of its kind",
        "2",
        absent=0.0,
    )
    source: str = key(
        Prose(),
        "where a right answer comes from that the author typed",
        "IEC 60364-5-53 534.4.8",
    )
    stem: str = key(
        Prose(),
        "what is asked; may quote figures: {step:of} or {key:path}",
        "Which lead is too long?",
        required=True,
    )
    why: str = key(
        Prose(), "why the answer is right; shown after marking", "It adds.", required=True
    )
    drawing: WrittenDrawing | None = key(Section(WrittenDrawing), "the drawing beside it")
    vary: Mapping[str, tuple[str, ...]] = key(
        ByName(Texts()),
        "keys of the installation with the values they take, each worked anew",
        "{circuits.slipway.route.1.length_m: [6, 9, 12]}",
        when="a kind whose answer can be a figure",
    )
    few_sets: str = key(
        Prose(),
        "why there are fewer than twelve sets of figures; the tutor reads it",
        "The days stand in a form.",
    )
    lines_of: Mapping[str, int] = field(default_factory=dict, repr=False)


MOST_VALUES = 20
PATH_FORM = re.compile(r"[a-z][a-z0-9_]*(?:\.[A-Za-z0-9_-]+)+\Z")


@dataclass(frozen=True)
class GivenBeside:
    """What a question says beside the keys of its kind; `say` tells (line, message, hint)."""

    installation: str
    source: str
    drawing: WrittenDrawing | None
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


def drawing_written(question: WrittenQuestion, beside: GivenBeside) -> WrittenDrawing | None:
    """The drawing of a question; None where it has none or it cannot be drawn."""
    told = question.drawing
    if told is None:
        return None
    found = replace(told, of=told.of or beside.installation)
    if not found.of:
        beside.say(
            told.line,
            "the drawing names no installation",
            "add `of:`, or `installation:` to the question",
        )
    for names, view in (
        (("stage", "overlay"), "wiring"),
        (("chart", "circuit"), "chart"),
        (("picture", "part"), "hands"),
    ):
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
    if found.view == "hands":
        need(told, beside, "picture")
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
    meant = written.meant(beside.installation)
    if not meant.installation:
        beside.say(
            written.line,
            "a figure names no installation",
            "add `installation:`, here or to the question",
        )
        return None
    return meant


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
