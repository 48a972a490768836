"""Quiz, working: its figures found, its mistakes led to where they lead."""

from __future__ import annotations

import ast
from collections.abc import Iterator, Mapping

from firstway.calculations.formula import Formula
from firstway.quiz.forms.figures import known_figures, wrong_numbers
from firstway.quiz.forms.flaws import AskedFigure, Flaw, figure_flaws
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.units import spellings
from firstway.quiz.forms.words import Figure, Filled, text_of
from firstway.quiz.forms.worked_question import (
    Computed,
    WorkedMistake,
    WorkedPart,
    WorkedQuestion,
    content_value,
    window,
)
from firstway.quiz.forms.working.answers import PartKey, WorkingKey
from firstway.quiz.forms.working.keys import AskedWorking, WorkingPart
from firstway.rendering.figures import unit_text

_OPERATORS = {ast.Add: "+", ast.Sub: "-", ast.Mult: "*", ast.Div: "/", ast.Pow: "**"}


def worked_working(
    look: Look, asked: AskedWorking, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """Three figures of one calculation; a later one may be worked with the learner's own earlier
    ones.
    """
    answers = [look.figure(part.line, part.answer) for part in asked.parts]
    if any(answer is None for answer in answers):
        return None
    figures = [answer for answer in answers if answer is not None]
    values = [float(figure.value or 0.0) for figure in figures]
    named = {f"p{place}": value for place, value in enumerate(values, 1)}
    parts, keys = [], []
    mistakes: list[WorkedMistake] = []
    for place, (part, figure) in enumerate(zip(asked.parts, figures), 1):
        places = figure.places if part.places is None else part.places
        own = [mistake for mistake in asked.mistakes if mistake.part == place]
        known = {**named, **known_figures(figure, values[place - 1])}
        found = tuple(
            made
            for mistake in own
            if (made := look.mistake(mistake, known, figure.unit, places, asked.slack_percent))
        )
        low, high = window(values[place - 1], places, asked.slack_percent)
        keys.append(
            PartKey(
                unit_text(figure.unit),
                spellings(figure.unit),
                low,
                high,
                wrong_numbers(found),
                _postfix(look, part, figure, figures),
                0.5 * 10.0**-places,
                asked.slack_percent,
            )
        )
        shown = (
            figure if places == figure.places else Computed(values[place - 1], figure.unit, places)
        )
        parts.append(
            WorkedPart(look.words(part.line, part.ask), shown, figure.unit, places, part.line)
        )
        mistakes += found
    answer: Filled = (
        ", ".join(f"{place}: {part.answer.text}" for place, part in enumerate(parts, 1)),
    )
    key = WorkingKey(tuple(keys), text_of(answer), text_of(why))
    return WorkedQuestion(
        look.question, stem, why, answer, key, mistakes=tuple(mistakes), parts=tuple(parts)
    )


def _postfix(
    look: Look, part: WorkingPart, figure: Figure, figures: list[Figure]
) -> tuple[float | str, ...]:
    """The part's formula with the learner's earlier figures left open; empty where nothing
    follows.
    """
    if not part.uses:
        return ()
    put_in = figure.step.figures
    if put_in is None:
        look.say(
            part.line,
            f"{figure.step.id} of {figure.step.of} has no formula into which an earlier figure"
            " could be put",
            "remove `uses:`",
        )
        return ()
    for symbol, place in part.uses.items():
        earlier, own = figures[place - 1], put_in.values.get(symbol)
        if own is None:
            look.say(
                part.line,
                f"no symbol {symbol} is put into {figure.step.id} of {figure.step.of} (there:"
                f" {', '.join(sorted(put_in.values))})",
                "name one of them",
            )
        elif put_in.formula.units[symbol] != earlier.unit or abs(
            own - float(earlier.value or 0.0)
        ) > 1e-9 * max(1.0, abs(own)):
            look.say(
                part.line,
                f"{symbol} of {figure.step.id} is not the figure of part {place}",
                "name the part whose figure is put in there",
            )
    return postfix(put_in.formula, put_in.values, part.uses)


def postfix(
    formula: Formula, values: Mapping[str, float], uses: Mapping[str, int]
) -> tuple[float | str, ...]:
    """The right-hand side as a postfix list: figures as numbers, an earlier part as `p1`."""
    return tuple(_items(formula.tree, values, uses))


def _items(
    tree: ast.expr, values: Mapping[str, float], uses: Mapping[str, int]
) -> Iterator[float | str]:
    if isinstance(tree, ast.Constant) and isinstance(tree.value, (int, float)):
        yield float(tree.value)
    elif isinstance(tree, ast.Name):
        yield f"p{uses[tree.id]}" if tree.id in uses else float(values[tree.id])
    elif isinstance(tree, ast.UnaryOp):
        yield from _items(tree.operand, values, uses)
        yield "neg"
    elif isinstance(tree, ast.BinOp):
        yield from _items(tree.left, values, uses)
        yield from _items(tree.right, values, uses)
        yield _OPERATORS[type(tree.op)]
    else:
        assert isinstance(tree, ast.Call) and isinstance(tree.func, ast.Name)
        for place, argument in enumerate(tree.args):
            yield from _items(argument, values, uses)
            if place:  # min and max of several: two by two
                yield tree.func.id
        if len(tree.args) == 1 and tree.func.id not in ("min", "max"):
            yield tree.func.id


def flaws(key: WorkingKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    figures = [
        AskedFigure(place, windows, content_value(part.answer), part.places, part.line)
        for place, (part, windows) in enumerate(zip(worked.parts, key.parts), 1)
    ]
    return figure_flaws(worked, figures)
