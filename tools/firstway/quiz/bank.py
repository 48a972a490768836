"""Quiz: the bank's YAML text to questions, with every problem of the file at once."""

from __future__ import annotations

from firstway.calculations.formula import Formula
from firstway.files.yaml_reader import Entries, Node, data_from_yaml
from firstway.problems import Problem
from firstway.quiz.arithmetic import formula_of
from firstway.quiz.keys import Keys, Reader, keys_of
from firstway.quiz.question import (
    DEFAULT_SLACK_PERCENT, DIFFICULTIES, KINDS, USES, FigureOf, NumberMistake, Option, Question, Stated, Words, WrongWay,
)
from firstway.quiz.words import HOW_TO_WRITE, words_of

MOST_PLACES = 6
LARGEST_SLACK_PERCENT = 5.0


def questions_from_yaml(text: str, file: str) -> tuple[list[Question], list[Problem]]:
    """Read one file of the bank: `topic:` and a list of `questions:`.

    Gives the questions that could be read and every problem; a file with problems is not used.
    """
    data, problems = data_from_yaml(text, file)
    reader = Reader(file, list(problems))
    top = keys_of(reader, data, "the bank") if data is not None else None
    if top is None:
        return [], sorted(reader.problems)
    top.text("topic", required=True)
    questions = [question for node in top.items("questions", required=True)
                 if (question := _question(reader, node)) is not None]
    top.finish()
    _same_ids(reader, questions)
    return questions, sorted(set(reader.problems))


def ids_used_twice(questions: list[Question]) -> list[Problem]:
    """A problem for each id that stands in two places, over all files of the bank."""
    first: dict[str, Question] = {}
    problems = []
    for question in questions:
        other = first.setdefault(question.id, question)
        if other is not question:
            problems.append(Problem(question.file, question.line,
                                    f"the id '{question.id}' is used already ({other.file}:{other.line})",
                                    "give this question an id of its own"))
    return problems


def _same_ids(reader: Reader, questions: list[Question]) -> None:
    reader.problems.extend(ids_used_twice(questions))


def _question(reader: Reader, node: Node) -> Question | None:
    keys = keys_of(reader, node, "a question")
    if keys is None:
        return None
    before = len(reader.problems)
    id_ = keys.identity("id")
    keys.what = f"question {id_}" if id_ else "a question"
    installation = keys.identity("installation", required=False)
    kind = keys.choice("kind", KINDS)
    common = dict(
        id=id_, outcome=keys.identity("outcome"), chapter=keys.identity("chapter"), difficulty=_difficulty(keys),
        kind=kind, use=keys.choice("use", USES), must_pass=keys.flag("must_pass"),
        stem=_words(keys, "stem", installation), why=_words(keys, "why", installation),
        file=reader.file, line=keys.line)
    source = keys.text("source")
    own = _number(keys, installation) if kind == "number" else _one_answer(keys, installation, source) if kind else {}
    if kind:
        keys.finish()
    return Question(source=source, **common, **own) if len(reader.problems) == before else None  # type: ignore[arg-type]


def _difficulty(keys: Keys) -> int:
    text = keys.choice("difficulty", tuple(str(item) for item in DIFFICULTIES))
    return int(text) if text else 0


def _words(keys: Keys, key: str, installation: str, required: bool = True) -> Words:
    text = keys.text(key, required)
    words, wrong = words_of(text, installation)
    for reason in wrong:
        hint = "add `installation:` to the question" if "names no installation" in reason else HOW_TO_WRITE
        keys.reader.say(keys.line_of(key), f"{keys.what}, {key}: {reason}", hint)
    return words


def _number(keys: Keys, installation: str) -> dict[str, object]:
    answer_keys = keys.inner("answer", required=True)
    answer: FigureOf | Stated | None = None
    places, slack = None, DEFAULT_SLACK_PERCENT
    if answer_keys is not None:
        stated = "value" in answer_keys.entries.values
        places = _places(answer_keys, required=stated)
        answer = _stated(answer_keys, places) if stated else _figure(answer_keys, installation)
        slack = _slack(answer_keys)
        answer_keys.finish()
    mistakes = tuple(mistake for node in keys.items("mistakes", required=True)
                     if (mistake := _mistake(keys, node, installation)) is not None)
    return {"answer": answer, "places": places, "slack_percent": slack, "mistakes": mistakes}


def _stated(keys: Keys, places: int | None) -> Stated | None:
    value, unit = keys.number("value", required=True), keys.text("unit")
    source = keys.text("source", required=True)
    if value is None or places is None or not source:
        return None
    return Stated(value, unit, places, source)


def _figure(keys: Keys, installation: str) -> FigureOf | None:
    step, of = keys.text("step", required=True), keys.text("of", required=True)
    named = keys.text("installation") or installation
    symbol = keys.text("symbol")
    if not named:
        keys.reader.say(keys.line, f"{keys.what}: no installation is named", "add `installation:`, here or to the question")
    return FigureOf(step, of, named, symbol) if step and of and named else None


def _places(keys: Keys, required: bool) -> int | None:
    places = keys.number("places", required)
    if places is not None and (places != int(places) or not 0 <= places <= MOST_PLACES):
        keys.reader.say(keys.line_of("places"), f"{keys.what}: 'places' must be a whole number from 0 to {MOST_PLACES}",
                        "write how many decimals the answer is shown with")
        return None
    return None if places is None else int(places)


def _slack(keys: Keys) -> float:
    slack = keys.number("slack_percent")
    if slack is None:
        return DEFAULT_SLACK_PERCENT
    if not 0 < slack <= LARGEST_SLACK_PERCENT:
        keys.reader.say(keys.line_of("slack_percent"),
                        f"{keys.what}: 'slack_percent' must be above 0 and at most {LARGEST_SLACK_PERCENT:g}",
                        f"leave it out for {DEFAULT_SLACK_PERCENT:g}")
        return DEFAULT_SLACK_PERCENT
    return slack


def _mistake(question: Keys, node: Node, installation: str) -> NumberMistake | None:
    keys = keys_of(question.reader, node, f"{question.what}, a mistake")
    if keys is None:
        return None
    name = keys.text("mistake", required=True)
    wrong_way = _wrong_way(keys, installation, required=True)
    feedback = _words(keys, "feedback", installation)
    keys.finish()
    return NumberMistake(name, wrong_way, feedback, keys.line) if wrong_way else None


def _wrong_way(keys: Keys, installation: str, required: bool) -> WrongWay | None:
    arithmetic = keys.text("arithmetic", required)
    figures = _named_figures(keys, installation)
    if not arithmetic:
        return None
    formula, reason = formula_of(arithmetic)
    if formula is None:
        keys.reader.say(keys.line_of("arithmetic"), f"{keys.what}: '{arithmetic[:80]}' is not plain arithmetic ({reason})",
                        "use names, numbers, + - * / **, brackets, sqrt, ln, min and max")
        return None
    _complain_of_idle(keys, formula, figures)
    return WrongWay(arithmetic, figures)


def _named_figures(keys: Keys, installation: str) -> dict[str, FigureOf]:
    node = keys.node("with")
    if node is None:
        return {}
    if not isinstance(node, Entries):
        keys.reader.say(keys.line_of("with"), f"{keys.what}: 'with' must be symbols with their steps",
                        "write `with: {I_n: {step: device-rating, of: slipway}}`")
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
            keys.reader.say(keys.line_of("with"), f"{keys.what}: '{symbol}' is not used in the arithmetic",
                            "use it or remove it")


def _one_answer(keys: Keys, installation: str, source: str) -> dict[str, object]:
    options = tuple(option for node in keys.items("options", required=True)
                    if (option := _option(keys, node, installation)) is not None)
    typed = any(option.right and isinstance(option.content, tuple) for option in options)
    if typed and not source:
        keys.reader.say(keys.line, f"{keys.what}: the right answer is typed and has no source",
                        "add `source:` (a clause and its edition, a book, or `common practice`)")
    return {"options": options}


def _option(question: Keys, node: Node, installation: str) -> Option | None:
    keys = keys_of(question.reader, node, f"{question.what}, an option")
    if keys is None:
        return None
    given = [key for key in ("text", "figure", "arithmetic") if key in keys.entries.values]
    if len(given) != 1:
        keys.reader.say(keys.line, f"{keys.what} has {len(given)} of text, figure and arithmetic", "give exactly one of the three")
    right = keys.flag("right")
    mistake = keys.text("mistake", required=not right)
    feedback = _words(keys, "feedback", installation, required=not right)
    words = _words(keys, "text", installation, required=False)
    figure_keys = keys.inner("figure")
    figure = _figure(figure_keys, installation) if figure_keys else None
    if figure_keys:
        figure_keys.finish()
    wrong_way = _wrong_way(keys, installation, required=False)
    if right and (mistake or wrong_way):
        keys.reader.say(keys.line, f"{keys.what}: the right answer names a mistake", "remove `mistake:` or `right:`")
    keys.finish()
    content = words or figure or wrong_way
    return Option(content, right, mistake, feedback, keys.line) if content and len(given) == 1 else None
