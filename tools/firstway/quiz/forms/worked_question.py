"""Quiz: what a question is once its numbers are filled in: a value for pages, papers and marking.

First its sentences: the author writes `{voltage-drop:slipway}`, or
`{key:circuits.slipway.route.1.length_m}` for a key of the installation; the working and the file
fill it in. Last what may be wrong with it; each form looks for its own flaws.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import fields, is_dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any, NamedTuple

from firstway.frozen import dataclass
from firstway.model.installation import Installation
from firstway.model.values import is_known
from firstway.quiz.bank.question import AuthorWords, FigureOf, KeyOf, Question
from firstway.quiz.forms.drawings import Picture
from firstway.quiz.marking.marking import Key
from firstway.quiz.marking.typed import Windows
from firstway.rendering.figures import (
    figure_html,
    figure_in_formula,
    full,
    number_text,
    shown,
    with_unit,
)
from firstway.rendering.html import Markup, escape, joined, tag
from firstway.workings.shared.step import Step

_UNITS = {
    "m": "m",
    "mm": "mm",
    "mm2": "mm2",
    "a": "A",
    "ma": "mA",
    "ka": "kA",
    "v": "V",
    "kv": "kV",
    "w": "W",
    "kw": "kW",
    "kwh": "kWh",
    "va": "VA",
    "kva": "kVA",
    "ohm": "ohm",
    "c": "C",
    "percent": "percent",
    "s": "s",
    "ms": "ms",
    "h": "h",
    "nm": "N m",
}
"""The last word of a key says its unit."""


@dataclass(frozen=True)
class KeyFigure:
    """The value of a key, as a reader sees it."""

    path: str
    value: object

    @property
    def unit(self) -> str:
        return (
            _UNITS.get(self.path.rpartition("_")[2], "")
            if "_" in self.path.rpartition(".")[2]
            else ""
        )

    @property
    def text(self) -> str:
        if isinstance(self.value, bool):
            return "yes" if self.value else "no"
        if isinstance(self.value, (int, float)):
            return with_unit(figure_in_formula(float(self.value)), self.unit)
        return str(self.value)

    @property
    def html(self) -> Markup:
        return escape(self.text)


def key_figure(installation: Installation, path: str) -> tuple[KeyFigure | None, str]:
    """The value at `path` (`circuits.slipway.route.1.length_m`: items by name, or by place from 1),
    or why there is none.
    """
    value: Any = installation
    for name in path.split("."):
        value = _inside(value, name)
        if value is None:
            return None, f"'{path}' names nothing in {installation.name} ({name})"
    if not is_known(value) or isinstance(value, tuple) or is_dataclass(value):
        return None, f"'{path}' of {installation.name} is not known, or no single value"
    return KeyFigure(path, value), ""


def _inside(value: Any, name: str) -> Any:
    if isinstance(value, tuple):
        return next(
            (
                each
                for place, each in enumerate(value, 1)
                if getattr(each, "name", None) == name
                or name == str(place)
                and not hasattr(each, "name")
            ),
            None,
        )
    if not is_dataclass(value):
        return None
    item = next(
        (
            each
            for each in fields(value)
            if each.name.rstrip("_") == name and "spec" in each.metadata
        ),
        None,
    )
    return None if item is None else getattr(value, item.name)


StepOf = Callable[[str, str, str], Step | None]
"""step_of(installation name, step id, of): the step, or None when there is none."""


@dataclass(frozen=True)
class Figure:
    """A figure that was found: a whole step, or one symbol put into its formula."""

    step: Step
    installation: str
    symbol: str = ""

    @property
    def value(self) -> float | None:
        if not self.symbol:
            return self.step.value
        return self.step.figures.values[self.symbol] if self.step.figures else None

    @property
    def unit(self) -> str:
        if not self.symbol or self.step.figures is None:
            return self.step.unit
        return self.step.figures.formula.units[self.symbol]

    @property
    def places(self) -> int:
        """Decimals it is shown with; a symbol put into a formula has what it needs, at most six."""
        if not self.symbol:
            return self.step.places
        return len(f"{self.value or 0.0:.6f}".rstrip("0").partition(".")[2])

    @property
    def text(self) -> str:
        if not self.symbol:
            return shown(self.step)
        return with_unit(figure_in_formula(self.value or 0.0), self.unit)

    @property
    def html(self) -> Markup:
        if not self.symbol:
            return figure_html(self.step, self.installation)
        return tag(
            "data",
            self.text,
            class_="figure-put-in",
            value=full(self.value or 0.0),
            data_step=self.step.id,
            data_of=self.step.of,
            data_symbol=self.symbol,
            data_unit=self.unit,
            data_installation=self.installation,
        )


Filled = tuple[str | Figure | KeyFigure, ...]
"""A sentence whose figures are known."""

KeyIn = Callable[[str, str], tuple[KeyFigure | None, str]]
"""key_of(installation name, path): the value of a key, or None and the reason."""


def figure_of(reference: FigureOf, step_of: StepOf) -> tuple[Figure | None, str]:
    """The figure a reference names, or None and the reason."""
    step = step_of(reference.installation, reference.step, reference.of)
    if step is None:
        return (
            None,
            f"there is no step {reference.step} of {reference.of} in {reference.installation}",
        )
    if reference.symbol:
        known = sorted(step.figures.values) if step.figures else []
        if reference.symbol not in known:
            return (
                None,
                (
                    f"no symbol {reference.symbol} is put into {reference.step} of {reference.of}"
                    f" (there: {', '.join(known) or 'none'})"
                ),
            )
    elif step.value is None:
        return None, f"{reference} is not known" + (f": {step.ask}" if step.ask else "")
    return Figure(step, reference.installation, reference.symbol), ""


def filled(words: AuthorWords, step_of: StepOf, key_of: KeyIn) -> tuple[Filled, list[str]]:
    """The sentence with its figures, and what could not be found."""
    parts: list[str | Figure | KeyFigure] = []
    wrong: list[str] = []
    for part in words:
        if isinstance(part, str):
            parts.append(part)
            continue
        figure: Figure | KeyFigure | None
        figure, reason = (
            key_of(part.installation, part.path)
            if isinstance(part, KeyOf)
            else figure_of(part, step_of)
        )
        if figure is None:
            wrong.append(reason)
        else:
            parts.append(figure)
    return tuple(parts), wrong


def text_of(sentence: Filled) -> str:
    """The sentence as plain text."""
    return "".join(part if isinstance(part, str) else part.text for part in sentence)


def html_of(sentence: Filled) -> Markup:
    """The sentence for a page; text of the bank is shown as text, whatever it holds."""
    return joined(part if isinstance(part, str) else part.html for part in sentence)


LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True)
class Computed:
    """A number that is not a step: a typed answer with its source, a reading, or where a mistake
    leads.
    """

    value: float
    unit: str
    places: int

    @property
    def text(self) -> str:
        return with_unit(number_text(self.value, self.places), self.unit)


Content = Filled | Figure | Computed


@dataclass(frozen=True)
class WorkedOption:
    """An option, a spot or a step as the learner sees it.

    `id` is the letter shown. `place` is its place in the bank (from 0), the same for every learner.
    `spot` is the place in the drawing.
    """

    id: str
    content: Content
    right: bool
    mistake: str
    feedback: Filled
    line: int
    place: int = 0
    spot: str = ""


@dataclass(frozen=True)
class WorkedMistake:
    """A named mistake of a number question, with the window that betrays it.

    `part` counts from 1 in a working.
    """

    mistake: str
    value: Computed
    low: float
    high: float
    feedback: Filled
    line: int
    part: int = 0


@dataclass(frozen=True)
class WorkedRow:
    """A row of a match: its number, what it says, the letter of its partner."""

    id: str
    content: Content
    item: str
    mistake: str
    feedback: Filled
    line: int


@dataclass(frozen=True)
class WorkedItem:
    """An item of a match: its letter, what it says, its place in the bank (rows' partners first,
    then spare ones).
    """

    id: str
    content: Content
    place: int
    line: int


@dataclass(frozen=True)
class WorkedPart:
    """One figure of a working: what is asked, the answer, its unit and decimals; `figure` is what
    the working has of it, where it was asked there.
    """

    ask: Filled
    answer: Figure | Computed
    unit: str
    places: int
    line: int
    figure: Figure | None = None


@dataclass(frozen=True)
class WorkedQuestion:
    """A question ready for a page, a paper or marking.

    `variant` 0 is the installation as it stands.
    """

    question: Question
    stem: Filled
    why: Filled
    answer: Content
    key: Key
    options: tuple[WorkedOption, ...] = ()
    mistakes: tuple[WorkedMistake, ...] = ()
    unit: str = ""
    places: int = 0
    drawing: Picture | None = None
    variant: int = 0
    rows: tuple[WorkedRow, ...] = ()
    items: tuple[WorkedItem, ...] = ()
    parts: tuple[WorkedPart, ...] = ()
    tell_count: bool = False

    @property
    def id(self) -> str:
        return self.question.id


def content_text(content: Content) -> str:
    """What an option or an answer says, as plain text."""
    return text_of(content) if isinstance(content, tuple) else content.text


def without_stop(text: str) -> str:
    return text.removesuffix(".")


def content_value(content: Content) -> float:
    """The figure of an option or an answer, in its unit; 0 where it is words."""
    return 0.0 if isinstance(content, tuple) else float(content.value or 0.0)


def window(value: float, places: int, slack_percent: float) -> tuple[float, float]:
    """Lowest and highest number accepted for `value`.

    Half a unit of the last shown place, which is what rounding the result may do, plus
    `slack_percent` of the value, which is what rounding middle values to three figures may do.
    The bounds are widened to three places more than shown and never end in a figure that
    rounding could give: no sensible answer sits on one.
    """
    half = 0.5 * 10.0**-places + abs(value) * slack_percent / 100
    grid, aside = Decimal(1).scaleb(-(places + 2)), Decimal(3).scaleb(-(places + 3))
    low = Decimal(repr(value - half)).quantize(grid, ROUND_FLOOR) - aside
    high = Decimal(repr(value + half)).quantize(grid, ROUND_CEILING) + aside
    return float(low), float(high)


FEWEST_OPTIONS = 3
_CATCH_ALL = re.compile(
    r"\b(?:all|none|both|neither|any) of (?:the )?(?:above|these|them)\b|\ball the above\b",
    re.IGNORECASE,
)


class Flaw(NamedTuple):
    """A flaw at a line, and what to do. `mixes`: right and wrong cannot be told apart."""

    line: int
    message: str
    hint: str
    mixes: bool = False


class AskedFigure(NamedTuple):
    """A figure of a question as it is marked. `part` counts from 1 in a working."""

    part: int
    windows: Windows
    value: float
    places: int
    line: int


def catch_all_flaws(texts: Iterable[tuple[int, str]], others: str) -> Iterator[Flaw]:
    """Things to choose, (line, words), that point at the others."""
    for line, text in texts:
        if _CATCH_ALL.search(text):
            yield Flaw(line, f"'{text[:60]}' points at other {others}", "say what is meant")


def twice_flaws(
    texts: Sequence[tuple[int, str]], what: str, hint: str, mixes: bool
) -> Iterator[Flaw]:
    """Things that read alike, (line, words)."""
    words = [text for _, text in texts]
    for line, text in texts:
        if words.count(text) > 1:
            yield Flaw(line, f"two {what} read '{text[:60]}'", hint, mixes)


def option_flaws(worked: WorkedQuestion) -> Iterator[Flaw]:
    """Options or steps that read alike, point at each other, or are too few."""
    texts = [(option.line, content_text(option.content)) for option in worked.options]
    yield from twice_flaws(
        texts, "options", "make them differ, or choose other figures", mixes=True
    )
    yield from catch_all_flaws(texts, "options")
    if len(texts) < FEWEST_OPTIONS:
        yield Flaw(worked.question.line, f"{len(texts)} options", f"give {FEWEST_OPTIONS} or more")


def figure_flaws(worked: WorkedQuestion, figures: Sequence[AskedFigure]) -> Iterator[Flaw]:
    """Figures whose windows do not do what they are for."""
    for figure in figures:
        if not figure.windows.low < round(figure.value, figure.places) < figure.windows.high:
            yield Flaw(figure.line, "the rounded answer lies outside its window", "check `places:`")
    if not worked.mistakes:
        yield Flaw(worked.question.line, "no wrong number is foreseen", "add one under `mistakes:`")
    taken = {
        each.part: [(each.windows.low, each.windows.high, "the right answer")] for each in figures
    }
    for mistake in worked.mistakes:
        for low, high, name in taken[mistake.part]:
            if mistake.low <= high and low <= mistake.high:
                yield Flaw(
                    mistake.line,
                    f"the mistake '{mistake.mistake}' cannot be told from {name} here"
                    f" ({mistake.value.text})",
                    "choose another mistake or another installation",
                    mixes=True,
                )
        taken[mistake.part].append((mistake.low, mistake.high, f"'{mistake.mistake}'"))
        if not mistake.feedback:
            yield Flaw(
                mistake.line, f"the mistake '{mistake.mistake}' has no feedback", "add `feedback:`"
            )
