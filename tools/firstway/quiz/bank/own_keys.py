"""Quiz: keys of a question that several kinds share, read from the bank's data."""

from __future__ import annotations

import re
from dataclasses import dataclass

from firstway.calculations.formula import Formula
from firstway.files.yaml_reader import Entries, Items, Node, Text
from firstway.quiz.bank.arithmetic import formula_of
from firstway.quiz.bank.author_words import HOW_TO_WRITE, filled_words
from firstway.quiz.bank.keys import Keys, keys_of
from firstway.quiz.bank.question import (
    ASKED_VIEWS,
    DEFAULT_SLACK_PERCENT,
    AuthorWords,
    Drawing,
    FigureOf,
    NumberMistake,
    Varied,
    WrongWay,
)

MOST_PLACES = 6
LARGEST_SLACK_PERCENT = 5.0
MOST_MISTAKES = 9
MOST_PARTS = 3
MOST_VALUES = 20
PATH_FORM = re.compile(r"[a-z][a-z0-9_]*(?:\.[A-Za-z0-9_-]+)+\Z")


@dataclass(frozen=True)
class GivenBeside:
    """What a question says beside the keys of its kind."""

    installation: str
    source: str
    drawing: Drawing | None


def sentence_of(keys: Keys, key: str, installation: str, required: bool = True) -> AuthorWords:
    """A sentence of the bank, its figures found."""
    words, wrong = filled_words(keys.text(key, required), installation)
    for reason in wrong:
        hint = (
            "add `installation:` to the question"
            if "names no installation" in reason
            else HOW_TO_WRITE
        )
        keys.reader.say(keys.line_of(key), f"{keys.what}, {key}: {reason}", hint)
    return words


def drawing_of_keys(question: Keys, installation: str) -> Drawing | None:
    """`drawing:` of a question; None where it has none or it cannot be read."""
    keys = question.inner("drawing")
    if keys is None:
        return None
    view = keys.choice("view", ASKED_VIEWS)
    found = Drawing(
        view,
        keys.identity("of", required=False) or installation,
        keys.identity("stage", required=False),
        keys.identity("overlay", required=False),
        keys.identity("mistake", required=False),
        keys.identity("chart", required=False),
        keys.text("circuit"),
        keys.line,
    )
    keys.finish()
    if not found.of:
        keys.reader.say(
            keys.line,
            f"{keys.what}: no installation is named",
            "add `of:`, or `installation:` to the question",
        )
    for key in ("stage", "overlay"):
        if getattr(found, key) and view != "wiring":
            keys.reader.say(
                keys.line_of(key),
                f"{keys.what}: '{key}' belongs to the view 'wiring'",
                f"remove `{key}:` or write `view: wiring`",
            )
    if found.stage and found.overlay:
        keys.reader.say(
            keys.line, f"{keys.what}: a stage and an overlay stand side by side", "keep one of them"
        )
    for key in ("chart", "circuit"):
        if getattr(found, key) and view != "chart":
            keys.reader.say(
                keys.line_of(key),
                f"{keys.what}: '{key}' belongs to the view 'chart'",
                f"remove `{key}:` or write `view: chart`",
            )
    if view == "chart" and not found.chart:
        keys.reader.say(keys.line, f"{keys.what}: 'chart' is missing", "add `chart:`")
    return found if view and found.of else None


def vary_of_keys(question: Keys, kind: str, varies: bool, installation: str) -> tuple[Varied, ...]:
    """`vary:` of a question: keys of its installation with the values each takes."""
    keys = question.inner("vary")
    if keys is None:
        return ()
    line = question.line_of("vary")
    if not varies:
        keys.reader.say(
            line,
            f"{keys.what}: a question of kind '{kind}' has no figures to vary",
            "remove `vary:`",
        )
    if not installation:
        keys.reader.say(
            line, f"{keys.what}: no installation is named", "add `installation:` to the question"
        )
    found = []
    for path in keys.entries.values:
        values = texts_of(keys, path)
        if not PATH_FORM.match(path):
            keys.reader.say(
                keys.line_of(path),
                f"{keys.what}: '{path[:60]}' is no key of an installation file",
                "write it with dots: circuits.slipway.route.1.length_m",
            )
        elif values and (len(set(values)) != len(values) or len(values) > MOST_VALUES):
            keys.reader.say(
                keys.line_of(path),
                f"{keys.what}: '{path[:60]}' takes a value twice, or more than {MOST_VALUES}",
                "list each value once",
            )
        elif values:
            found.append(Varied(path, values, keys.line_of(path)))
    if not keys.entries.values:
        keys.reader.say(
            line, f"{keys.what}: nothing varies", "name a key and its values, or remove `vary:`"
        )
    return tuple(found)


def texts_of(keys: Keys, key: str, form: re.Pattern[str] | None = None) -> tuple[str, ...]:
    """A list of plain values."""
    found = []
    for node in keys.items(key):
        if (
            isinstance(node, Text)
            and node.text.strip()
            and (form is None or form.match(node.text.strip()))
        ):
            found.append(node.text.strip())
        else:
            keys.reader.say(
                node.line,
                f"{keys.what}: '{key[:60]}' holds something that cannot stand there",
                "write plain values: [a, b]",
            )
    if isinstance(keys.entries.values.get(key), Items) and not keys.items(key):
        keys.reader.say(
            keys.line_of(key),
            f"{keys.what}: '{key[:60]}' is an empty list",
            "list its values, or remove the key",
        )
    return tuple(found)


def figure_of_keys(keys: Keys, installation: str) -> FigureOf | None:
    step, of = keys.text("step", required=True), keys.text("of", required=True)
    named = keys.text("installation") or installation
    symbol = keys.text("symbol")
    if not named:
        keys.reader.say(
            keys.line,
            f"{keys.what}: no installation is named",
            "add `installation:`, here or to the question",
        )
    return FigureOf(step, of, named, symbol) if step and of and named else None


def places_of_keys(keys: Keys, required: bool) -> int | None:
    places = keys.number("places", required)
    if places is not None and (places != int(places) or not 0 <= places <= MOST_PLACES):
        keys.reader.say(
            keys.line_of("places"),
            f"{keys.what}: 'places' must be a whole number from 0 to {MOST_PLACES}",
            "write how many decimals the answer is shown with",
        )
        return None
    return None if places is None else int(places)


def slack_of_keys(
    keys: Keys, usual: float = DEFAULT_SLACK_PERCENT, largest: float = LARGEST_SLACK_PERCENT
) -> float:
    slack = keys.number("slack_percent")
    if slack is None:
        return usual
    if not 0 < slack <= largest:
        keys.reader.say(
            keys.line_of("slack_percent"),
            f"{keys.what}: 'slack_percent' must be above 0 and at most {largest:g}",
            f"leave it out for {usual:g}",
        )
        return usual
    return slack


def mistakes_of_keys(
    keys: Keys, installation: str, parts: bool = False, required: bool = True
) -> tuple[NumberMistake, ...]:
    nodes = keys.items("mistakes", required=required)
    if len(nodes) > MOST_MISTAKES:
        keys.reader.say(
            keys.line_of("mistakes"),
            f"{keys.what}: {len(nodes)} mistakes",
            f"give at most {MOST_MISTAKES}: those that learners make",
        )
    return tuple(
        mistake
        for node in nodes[:MOST_MISTAKES]
        if (mistake := _mistake(keys, node, installation, parts)) is not None
    )


def _mistake(question: Keys, node: Node, installation: str, parts: bool) -> NumberMistake | None:
    keys = keys_of(question.reader, node, f"{question.what}, a mistake")
    if keys is None:
        return None
    name = keys.text("mistake", required=True)
    part = part_number(keys, "part", MOST_PARTS) if parts else 0
    wrong_way = wrong_way_of_keys(keys, installation, required=True)
    feedback = sentence_of(keys, "feedback", installation)
    keys.finish()
    return NumberMistake(name, wrong_way, feedback, keys.line, part) if wrong_way else None


def part_number(keys: Keys, key: str, most: int) -> int:
    number = keys.number(key, required=True)
    if number is not None and number not in range(1, most + 1):
        keys.reader.say(
            keys.line_of(key),
            f"{keys.what}: '{key[:60]}' must be a whole number from 1 to {most}",
            "count the parts from 1",
        )
        return 1
    return int(number or 1)


def wrong_way_of_keys(keys: Keys, installation: str, required: bool) -> WrongWay | None:
    arithmetic = keys.text("arithmetic", required)
    figures = _named_figures(keys, installation)
    if not arithmetic:
        return None
    formula, reason = formula_of(arithmetic)
    if formula is None:
        keys.reader.say(
            keys.line_of("arithmetic"),
            f"{keys.what}: '{arithmetic[:80]}' is not plain arithmetic ({reason})",
            "use names, numbers, + - * / **, brackets, sqrt, ln, min and max",
        )
        return None
    _complain_of_idle(keys, formula, figures)
    return WrongWay(arithmetic, figures)


def _named_figures(keys: Keys, installation: str) -> dict[str, FigureOf]:
    node = keys.node("with")
    if node is None:
        return {}
    if not isinstance(node, Entries):
        keys.reader.say(
            keys.line_of("with"),
            f"{keys.what}: 'with' must be symbols with their steps",
            "write `with: {I_n: {step: device-rating, of: slipway}}`",
        )
        return {}
    figures = {}
    for symbol, inner in node.values.items():
        inner_keys = keys_of(keys.reader, inner, f"{keys.what}, {symbol}", node.key_lines[symbol])
        if inner_keys is not None:
            figure = figure_of_keys(inner_keys, installation)
            inner_keys.finish()
            if figure:
                figures[symbol] = figure
    return figures


def _complain_of_idle(keys: Keys, formula: Formula, figures: dict[str, FigureOf]) -> None:
    for symbol in figures:
        if symbol not in formula.symbols:
            keys.reader.say(
                keys.line_of("with"),
                f"{keys.what}: '{symbol}' is not used in the arithmetic",
                "use it or remove it",
            )


def inner_figure(keys: Keys, key: str, installation: str) -> FigureOf | None:
    inner = keys.inner(key)
    if inner is None:
        return None
    figure = figure_of_keys(inner, installation)
    inner.finish()
    return figure


def source_needed(keys: Keys, beside: GivenBeside, what: str) -> None:
    """Whatever is right because the author says so has a source."""
    if not beside.source:
        keys.reader.say(
            keys.line,
            f"{keys.what}: {what}",
            "add `source:` (a clause and its edition, a book, or `common practice`)",
        )
