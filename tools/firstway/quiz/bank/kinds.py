"""Quiz: the keys each kind of question has of its own, read from the bank's data."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from firstway.calculations.formula import Formula
from firstway.files.yaml_reader import Entries, Items, Node, Text
from firstway.quiz.bank.arithmetic import formula_of
from firstway.quiz.bank.keys import ID_FORM, Keys, keys_of
from firstway.quiz.bank.question import (
    ASKED_VIEWS,
    CHART_SLACK_PERCENT,
    DEFAULT_SLACK_PERCENT,
    POINTING,
    TESTS,
    VARYING,
    AuthorWords,
    Drawing,
    FigureOf,
    MatchRow,
    NumberMistake,
    Option,
    OrderStep,
    ReadingOf,
    Spare,
    SpotAt,
    StagesOf,
    Stated,
    Varied,
    WorkingPart,
    WrongWay,
)
from firstway.quiz.forms.words import HOW_TO_WRITE, filled_words

MOST_PLACES = 6
LARGEST_SLACK_PERCENT = 5.0
LARGEST_CHART_SLACK_PERCENT = 15.0
FEWEST_STEPS, MOST_STEPS = 3, 7
FEWEST_ROWS, MOST_ROWS = 2, 9
MOST_OPTIONS = 9
MOST_MISTAKES = 9
_PARTS = 3
MOST_VALUES = 20
PLACE_FORM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*(?:\.[A-Za-z0-9_-]+)*\Z")
PATH_FORM = re.compile(r"[a-z][a-z0-9_]*(?:\.[A-Za-z0-9_-]+)+\Z")


def own_keys(
    kind: str, keys: Keys, installation: str, source: str, drawing: Drawing | None
) -> dict[str, Any]:
    """What the kind asks for beside the common keys, as arguments of a Question."""
    if kind in POINTING and drawing is None and "drawing" not in keys.entries.values:
        keys.reader.say(
            keys.line,
            f"{keys.what}: a question of kind '{kind}' needs a drawing",
            "add `drawing: {view: wiring, of: ...}`",
        )
    return _READERS[kind](keys, installation, source, drawing)


# Common to all kinds


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


def vary_of_keys(question: Keys, kind: str, installation: str) -> tuple[Varied, ...]:
    """`vary:` of a question: keys of its installation with the values each takes."""
    keys = question.inner("vary")
    if keys is None:
        return ()
    line = question.line_of("vary")
    if kind not in VARYING:
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
        values = _texts(keys, path)
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


def _texts(keys: Keys, key: str, form: re.Pattern[str] | None = None) -> tuple[str, ...]:
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


def _figure(keys: Keys, installation: str) -> FigureOf | None:
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


def _places(keys: Keys, required: bool) -> int | None:
    places = keys.number("places", required)
    if places is not None and (places != int(places) or not 0 <= places <= MOST_PLACES):
        keys.reader.say(
            keys.line_of("places"),
            f"{keys.what}: 'places' must be a whole number from 0 to {MOST_PLACES}",
            "write how many decimals the answer is shown with",
        )
        return None
    return None if places is None else int(places)


def _slack(
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


# number, read-a-chart


def _number(keys: Keys, installation: str, source: str, drawing: Drawing | None) -> dict[str, Any]:
    return _number_with(keys, installation, DEFAULT_SLACK_PERCENT, LARGEST_SLACK_PERCENT)


def _number_with(
    keys: Keys, installation: str, usual_slack: float, largest_slack: float
) -> dict[str, Any]:
    answer_keys = keys.inner("answer", required=True)
    answer: FigureOf | Stated | None = None
    places, slack = None, usual_slack
    if answer_keys is not None:
        stated = "value" in answer_keys.entries.values
        places = _places(answer_keys, required=stated)
        answer = _stated(answer_keys, places) if stated else _figure(answer_keys, installation)
        slack = _slack(answer_keys, usual_slack, largest_slack)
        answer_keys.finish()
    return {
        "answer": answer,
        "places": places,
        "slack_percent": slack,
        "mistakes": _mistakes(keys, installation),
    }


def _mistakes(
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


def _stated(keys: Keys, places: int | None) -> Stated | None:
    value, unit = keys.number("value", required=True), keys.text("unit")
    source = keys.text("source", required=True)
    if value is None or places is None or not source:
        return None
    return Stated(value, unit, places, source)


def _mistake(question: Keys, node: Node, installation: str, parts: bool) -> NumberMistake | None:
    keys = keys_of(question.reader, node, f"{question.what}, a mistake")
    if keys is None:
        return None
    name = keys.text("mistake", required=True)
    part = _part_number(keys, "part", _PARTS) if parts else 0
    wrong_way = _wrong_way(keys, installation, required=True)
    feedback = sentence_of(keys, "feedback", installation)
    keys.finish()
    return NumberMistake(name, wrong_way, feedback, keys.line, part) if wrong_way else None


def _part_number(keys: Keys, key: str, most: int) -> int:
    number = keys.number(key, required=True)
    if number is not None and number not in range(1, most + 1):
        keys.reader.say(
            keys.line_of(key),
            f"{keys.what}: '{key[:60]}' must be a whole number from 1 to {most}",
            "count the parts from 1",
        )
        return 1
    return int(number or 1)


def _wrong_way(keys: Keys, installation: str, required: bool) -> WrongWay | None:
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
            figure = _figure(inner_keys, installation)
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


def _read_a_chart(
    keys: Keys, installation: str, source: str, drawing: Drawing | None
) -> dict[str, Any]:
    if drawing is not None and drawing.view != "chart" or "drawing" not in keys.entries.values:
        keys.reader.say(
            keys.line_of("drawing"),
            f"{keys.what}: a chart is read off a drawing of view 'chart'",
            "add `drawing: {view: chart, of: ..., chart: ...}`",
        )
    if "options" in keys.entries.values:
        return _one_answer(keys, installation, source, drawing)
    return _number_with(keys, installation, CHART_SLACK_PERCENT, LARGEST_CHART_SLACK_PERCENT)


# one-answer, several-answers


def _one_answer(
    keys: Keys, installation: str, source: str, drawing: Drawing | None
) -> dict[str, Any]:
    options = _options(keys, installation, "one")
    _source_for_typed(keys, options, source)
    return {"options": options}


def _several_answers(
    keys: Keys, installation: str, source: str, drawing: Drawing | None
) -> dict[str, Any]:
    options = _options(keys, installation, "several")
    _source_for_typed(keys, options, source)
    rights = sum(option.right for option in options)
    if options and (rights < 2 or rights == len(options)):
        keys.reader.say(
            keys.line,
            f"{keys.what}: {rights} of {len(options)} options are right",
            "mark two or more right, and leave one wrong",
        )
    return {"options": options, "tell_count": keys.flag("tell_count")}


def _options(keys: Keys, installation: str, answers: str) -> tuple[Option, ...]:
    options = tuple(
        option
        for node in keys.items("options", required=True)
        if (option := _option(keys, node, installation, answers)) is not None
    )
    if len(options) > MOST_OPTIONS:
        keys.reader.say(
            keys.line_of("options"),
            f"{keys.what}: {len(options)} options",
            f"give at most {MOST_OPTIONS}",
        )
    return options


def _source_for_typed(keys: Keys, options: tuple[Option, ...], source: str) -> None:
    if any(option.right and isinstance(option.content, tuple) for option in options) and not source:
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right answer is typed and has no source",
            "add `source:` (a clause and its edition, a book, or `common practice`)",
        )


def _option(question: Keys, node: Node, installation: str, answers: str) -> Option | None:
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
    figure = _inner_figure(keys, "figure", installation)
    wrong_way = _wrong_way(keys, installation, required=False)
    if right and (mistake or wrong_way and answers == "one"):
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right answer names a mistake",
            "remove `mistake:` or `right:`",
        )
    if right and wrong_way and answers == "several":
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


def _inner_figure(keys: Keys, key: str, installation: str) -> FigureOf | None:
    inner = keys.inner(key)
    if inner is None:
        return None
    figure = _figure(inner, installation)
    inner.finish()
    return figure


# order


def _order(keys: Keys, installation: str, source: str, drawing: Drawing | None) -> dict[str, Any]:
    derived = keys.inner("steps_from")
    if derived is not None:
        if "steps" in keys.entries.values:
            keys.reader.say(
                keys.line_of("steps"),
                f"{keys.what}: 'steps' and 'steps_from' stand side by side",
                "keep one of them",
            )
        keys.asked.append("steps")
        stages = StagesOf(
            derived.identity("stages"), _texts(derived, "only", ID_FORM), derived.line
        )
        derived.finish()
        if stages.only and not FEWEST_STEPS <= len(stages.only) <= MOST_STEPS:
            keys.reader.say(
                derived.line_of("only"),
                f"{keys.what}: {len(stages.only)} steps",
                f"keep {FEWEST_STEPS} to {MOST_STEPS}",
            )
        return {"steps": stages}
    steps = tuple(
        step
        for node in keys.items("steps", required=True)
        if (step := _step(keys, node, installation))
    )
    if not FEWEST_STEPS <= len(steps) <= MOST_STEPS and "steps" in keys.entries.values:
        keys.reader.say(
            keys.line_of("steps"),
            f"{keys.what}: {len(steps)} steps",
            f"give {FEWEST_STEPS} to {MOST_STEPS}",
        )
    _source_for_order(keys, source)
    return {"steps": steps}


def _source_for_order(keys: Keys, source: str) -> None:
    if not source:
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right order is typed and has no source",
            "add `source:` (a clause and its edition, a book, or `common practice`)",
        )


def _step(question: Keys, node: Node, installation: str) -> OrderStep | None:
    keys = keys_of(question.reader, node, f"{question.what}, a step")
    if keys is None:
        return None
    step = OrderStep(
        sentence_of(keys, "text", installation),
        sentence_of(keys, "because", installation, required=False),
        keys.line,
    )
    keys.finish()
    return step


# match


def _match(keys: Keys, installation: str, source: str, drawing: Drawing | None) -> dict[str, Any]:
    rows = tuple(
        row for node in keys.items("rows", required=True) if (row := _row(keys, node, installation))
    )
    spare = tuple(
        item for node in keys.items("spare") if (item := _spare(keys, node, installation))
    )
    if not FEWEST_ROWS <= len(rows) <= MOST_ROWS and "rows" in keys.entries.values:
        keys.reader.say(
            keys.line_of("rows"),
            f"{keys.what}: {len(rows)} rows",
            f"give {FEWEST_ROWS} to {MOST_ROWS}",
        )
    if (
        any(isinstance(row.text, tuple) and isinstance(row.item, tuple) for row in rows)
        and not source
    ):
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right partners are typed and have no source",
            "add `source:` (a clause and its edition, a book, or `common practice`)",
        )
    return {"rows": rows, "spare": spare}


def _row(question: Keys, node: Node, installation: str) -> MatchRow | None:
    keys = keys_of(question.reader, node, f"{question.what}, a row")
    if keys is None:
        return None
    text, item = _said(keys, "text", installation), _said(keys, "item", installation)
    row = (
        MatchRow(
            text,
            item,
            keys.text("mistake", required=True),
            sentence_of(keys, "feedback", installation),
            keys.line,
        )
        if text and item
        else None
    )
    keys.asked += ["mistake", "feedback"]
    keys.finish()
    return row


def _spare(question: Keys, node: Node, installation: str) -> Spare | None:
    keys = keys_of(question.reader, node, f"{question.what}, a spare item")
    if keys is None:
        return None
    content = _said(keys, "text", installation)
    keys.finish()
    return Spare(content, keys.line) if content else None


def _said(keys: Keys, key: str, installation: str) -> AuthorWords | FigureOf | None:
    """Words, or `{figure: {step, of}}` in their place."""
    if not isinstance(keys.entries.values.get(key), Entries):
        return sentence_of(keys, key, installation) or None
    inner = keys.inner(key)
    assert inner is not None
    figure = _inner_figure(inner, "figure", installation)
    if "figure" not in inner.entries.values:
        keys.reader.say(
            inner.line,
            f"{inner.what}: 'figure' is missing",
            "write words, or `{figure: {step: ..., of: ...}}`",
        )
    inner.finish()
    return figure


# point, find-the-mistake


def _point(keys: Keys, installation: str, source: str, drawing: Drawing | None) -> dict[str, Any]:
    spots = _spots(keys, installation)
    rights = sum(spot.right for spot in spots)
    if spots and rights != 1:
        keys.reader.say(
            keys.line_of("spots"),
            f"{keys.what}: {rights} spots are right",
            "mark one with `right: true`",
        )
    return {"spots": spots}


def _find_the_mistake(
    keys: Keys, installation: str, source: str, drawing: Drawing | None
) -> dict[str, Any]:
    spots = _spots(keys, installation)
    if sum(spot.right for spot in spots) > 1:
        keys.reader.say(
            keys.line_of("spots"),
            f"{keys.what}: several spots are right",
            "mark one, or none: the place of the mistake is known",
        )
    if drawing is not None and not (drawing.mistake and drawing.view == "wiring"):
        keys.reader.say(
            keys.line_of("drawing"),
            f"{keys.what}: the drawing holds no mistake",
            "add `mistake:` and `view: wiring` to the drawing",
        )
    return {"spots": spots}


def _spots(keys: Keys, installation: str) -> tuple[SpotAt, ...]:
    spots = tuple(
        spot
        for node in keys.items("spots", required=True)
        if (spot := _spot(keys, node, installation))
    )
    places = [spot.place for spot in spots]
    for spot in spots:
        if places.count(spot.place) > 1 and places.index(spot.place) != spots.index(spot):
            keys.reader.say(
                spot.line, f"{keys.what}: the spot '{spot.place}' stands twice", "keep one of them"
            )
    if len(spots) > MOST_OPTIONS - 1:
        keys.reader.say(
            keys.line_of("spots"),
            f"{keys.what}: {len(spots)} spots",
            f"give at most {MOST_OPTIONS - 1}",
        )
    return spots


def _spot(question: Keys, node: Node, installation: str) -> SpotAt | None:
    keys = keys_of(question.reader, node, f"{question.what}, a spot")
    if keys is None:
        return None
    place = keys.text("place", required=True)
    if place and not PLACE_FORM.match(place):
        keys.reader.say(
            keys.line_of("place"),
            f"{keys.what}: '{place[:60]}' is no place of a drawing",
            "write a terminal (F1.L1), a part (F1) or a conductor (lead.PE.F1)",
        )
    right = keys.flag("right")
    mistake = keys.text("mistake", required=not right)
    feedback = sentence_of(keys, "feedback", installation, required=not right)
    if right and mistake:
        keys.reader.say(
            keys.line,
            f"{keys.what}: the right answer names a mistake",
            "remove `mistake:` or `right:`",
        )
    keys.finish()
    return SpotAt(place, right, mistake, feedback, keys.line) if place else None


# foretell


def _foretell(
    keys: Keys, installation: str, source: str, drawing: Drawing | None
) -> dict[str, Any]:
    reading = keys.inner("reading", required=True)
    found = _reading(reading, installation) if reading is not None else None
    options = _options(keys, installation, "one") if "options" in keys.entries.values else ()
    mistakes = _mistakes(keys, installation, required=False)
    keys.asked.append("options")
    if any(option.right for option in options):
        keys.reader.say(
            keys.line_of("options"),
            f"{keys.what}: the right reading is worked, not typed",
            "remove `right:`; name the wrong ones alone",
        )
    if bool(options) == bool(mistakes):
        keys.reader.say(
            keys.line,
            f"{keys.what}: a reading in words needs `options`, a reading with a figure needs"
            " `mistakes`",
            "give one of the two",
        )
    return {
        "answer": found,
        "options": options,
        "mistakes": mistakes,
        "places": found.places if found else None,
    }


def _reading(keys: Keys, installation: str) -> ReadingOf | None:
    board = keys.identity("of", required=False) or installation
    mistake = keys.identity("mistake", required=False)
    alone = "test" not in keys.entries.values and "between" not in keys.entries.values
    test = keys.choice("test", TESTS, required=not (mistake and alone))
    between = _texts(keys, "between", PLACE_FORM)
    found = ReadingOf(
        board,
        mistake,
        test,
        between,
        _texts(keys, "open", PLACE_FORM),
        _texts(keys, "out", PLACE_FORM),
        _texts(keys, "bridge", PLACE_FORM),
        keys.number("test_v"),
        _places(keys, required=False),
        keys.line,
    )
    keys.finish()
    if not board:
        keys.reader.say(
            keys.line,
            f"{keys.what}: no installation is named",
            "add `installation:` to the question",
        )
    if test and test != "load" and len(between) != 2:
        keys.reader.say(
            keys.line,
            f"{keys.what}: a test stands between two terminals",
            "add `between: [F1.PE, earth-bar.1]`",
        )
    if found.bridge and len(found.bridge) != 2:
        keys.reader.say(
            keys.line_of("bridge"),
            f"{keys.what}: a test link joins two terminals",
            "write `bridge: [F2.load.L1, earth-bar.1]`",
        )
    if found.test_v is not None and not 0 < found.test_v <= 1000:
        keys.reader.say(
            keys.line_of("test_v"),
            f"{keys.what}: 'test_v' must be above 0 and at most 1000",
            "write the test voltage in volts",
        )
    return found if board else None


# working


def _working(keys: Keys, installation: str, source: str, drawing: Drawing | None) -> dict[str, Any]:
    parts = tuple(
        part
        for place, node in enumerate(keys.items("parts", required=True), 1)
        if (part := _part(keys, node, installation, place))
    )
    if len(parts) != _PARTS and "parts" in keys.entries.values:
        keys.reader.say(
            keys.line_of("parts"), f"{keys.what}: {len(parts)} parts", f"give exactly {_PARTS}"
        )
    if parts and not any(part.uses for part in parts):
        keys.reader.say(
            keys.line_of("parts"),
            f"{keys.what}: no part follows from an earlier one",
            "add `uses: {symbol: 1}` to a later part",
        )
    slack = _slack(keys)
    return {
        "parts": parts,
        "slack_percent": slack,
        "mistakes": _mistakes(keys, installation, parts=True),
    }


def _part(question: Keys, node: Node, installation: str, place: int) -> WorkingPart | None:
    keys = keys_of(question.reader, node, f"{question.what}, part {place}")
    if keys is None:
        return None
    ask, answer, places = (
        sentence_of(keys, "ask", installation),
        _figure(keys, installation),
        _places(keys, required=False),
    )
    uses: dict[str, int] = {}
    inner = keys.inner("uses")
    for symbol in inner.entries.values if inner else ():
        assert inner is not None
        if place == 1:
            keys.reader.say(
                inner.line_of(symbol),
                f"{keys.what}: nothing stands before the first part",
                "remove `uses:`",
            )
            inner.asked.append(symbol)
        else:
            uses[symbol] = _part_number(inner, symbol, place - 1)
    keys.finish()
    return WorkingPart(ask, answer, uses, places, keys.line) if ask and answer else None


_READERS: dict[str, Callable[[Keys, str, str, Drawing | None], dict[str, Any]]] = {
    "one-answer": _one_answer,
    "several-answers": _several_answers,
    "number": _number,
    "order": _order,
    "match": _match,
    "point": _point,
    "find-the-mistake": _find_the_mistake,
    "foretell": _foretell,
    "working": _working,
    "read-a-chart": _read_a_chart,
}
