"""Rendering: a formula as plain text and as MathML, from its one declaration."""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping

from firstway.calculations.formula import Formula
from firstway.rendering.figures import (
    figure_in_formula,
    figure_put_in,
    full,
    number_text,
    shown,
    symbol_parts,
    symbol_text,
    unit_text,
)
from firstway.rendering.html import Markup, escape, tag
from firstway.workings.shared.step import Step

_SIGNS = {ast.Add: " + ", ast.Sub: " − ", ast.Mult: " × ", ast.Div: " / ", ast.Pow: "^"}
_RAISED = {2.0: "²", 3.0: "³"}
_STRENGTH = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 2, ast.Pow: 4}


def formula_text(formula: Formula) -> str:
    """`Vd = mv × Ib × L / 1000`."""
    return f"{symbol_text(formula.result)} = {_text(formula.tree, symbol_text)}"


def put_in_text(formula: Formula, values: Mapping[str, float]) -> str:
    """The right-hand side with figures in place of symbols."""
    return _text(formula.tree, lambda symbol: _bracketed(figure_put_in(values[symbol])))


def working_text(step: Step) -> str:
    """One line: formula, figures put in, result with unit; or just the value where there is no
    formula.
    """
    if step.figures is None:
        return f"{symbol_text(step.symbol)} = {shown(step)}" if step.symbol else shown(step)
    formula = step.figures.formula
    return f"{formula_text(formula)} = {put_in_text(formula, step.figures.values)} = {shown(step)}"


def working_in(step: Step, name: Callable[[str], Markup]) -> Markup:
    """`working_text` with another way to write a symbol."""
    if step.figures is None:
        return escape(working_text(step))
    formula = step.figures.formula
    # beside the symbols stand figures, brackets and signs only: nothing to escape
    return Markup(f"{name(formula.result)} = {_text(formula.tree, name)} = ") + (
        f"{put_in_text(formula, step.figures.values)} = {shown(step)}"
    )


def _bracketed(number: str) -> str:
    return f"({number})" if number.startswith("−") else number


def _text(tree: ast.expr, name: Callable[[str], str]) -> str:
    if isinstance(tree, ast.Constant) and isinstance(tree.value, (int, float)):
        return figure_in_formula(float(tree.value))
    if isinstance(tree, ast.Name):
        return name(tree.id)
    if isinstance(tree, ast.UnaryOp):
        return f"−{_inside(tree.operand, 3, name)}"
    if isinstance(tree, ast.Call):
        assert isinstance(tree.func, ast.Name)
        if tree.func.id == "sqrt":
            return (
                f"√({_text(tree.args[0], name)})"
                if not isinstance(tree.args[0], ast.Constant)
                else f"√{_text(tree.args[0], name)}"
            )
        return f"{tree.func.id}({', '.join(_text(item, name) for item in tree.args)})"
    assert isinstance(tree, ast.BinOp)
    strength = _STRENGTH[type(tree.op)]
    right = strength + 1 if isinstance(tree.op, (ast.Sub, ast.Div)) else strength
    left = strength + 1 if isinstance(tree.op, ast.Pow) else strength
    if (
        isinstance(tree.op, ast.Pow)
        and isinstance(tree.right, ast.Constant)
        and isinstance(tree.right.value, (int, float))
        and tree.right.value in _RAISED
    ):
        return f"{_inside(tree.left, left, name)}{_RAISED[tree.right.value]}"
    before, after = _inside(tree.left, left, name), _inside(tree.right, right, name)
    return f"{before}{_SIGNS[type(tree.op)]}{after}"


def _inside(tree: ast.expr, strength: int, name: Callable[[str], str]) -> str:
    text = _text(tree, name)
    own = (
        _STRENGTH[type(tree.op)]
        if isinstance(tree, ast.BinOp)
        else 3
        if isinstance(tree, ast.UnaryOp)
        else 9
    )
    return f"({text})" if own < strength else text


THIN_SPACE = "\u2009"
_HOLDS = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 5, ast.Pow: 4}
_MARKS = {ast.Add: "+", ast.Sub: "−", ast.Mult: "×"}


def working_mathml(step: Step) -> Markup:
    """Three lines under one another: formula, figures put in, result with its unit."""
    if step.figures is None or step.value is None:
        raise ValueError(f"the step {step.identity} has no written working")
    formula = step.figures.formula
    values = step.figures.values
    rows = (
        _row(symbol_mathml(formula.result), _math(formula.tree, symbol_mathml)),
        _row("", _math(formula.tree, lambda symbol: _number(values[symbol], figure_put_in))),
        _row("", _result(step)),
    )
    return tag(
        "math",
        tag("mtable", *rows),
        display="block",
        class_="working",
        alttext=working_text(step),
    )


def symbol_mathml(symbol: str) -> Markup:
    """A quantity in italic; a subscript that is a word or number upright."""
    letter, below = symbol_parts(symbol)
    if not below:
        return tag("mi", letter)
    return tag("msub", tag("mi", letter), tag("mtext", below))


def unit_mathml(unit: str) -> Markup:
    """Upright, as words are; a thin space parts it from its figure."""
    return tag("mtext", THIN_SPACE + unit_text(unit)) if unit else Markup()


def _row(left: str, right: str) -> Markup:
    """The style sheet aligns the cells; a cell is a row of itself."""
    return tag("mtr", tag("mtd", left), tag("mtd", tag("mo", "=")), tag("mtd", right))


def _result(step: Step) -> Markup:
    assert step.value is not None
    number = number_text(step.value, step.places)
    return tag("mn", number, data_value=full(step.value)) + unit_mathml(step.unit)


def _number(value: float, written: Callable[[float], str] = figure_in_formula) -> Markup:
    text = written(value)
    if text.startswith("−"):
        return tag("mrow", tag("mo", "("), tag("mo", "−"), tag("mn", text[1:]), tag("mo", ")"))
    return tag("mn", text)


def _math(tree: ast.expr, name: Callable[[str], Markup]) -> Markup:
    if isinstance(tree, ast.Constant) and isinstance(tree.value, (int, float)):
        return _number(float(tree.value))
    if isinstance(tree, ast.Name):
        return name(tree.id)
    if isinstance(tree, ast.UnaryOp):
        return tag("mrow", tag("mo", "−"), _grouped(tree.operand, 3, name))
    if isinstance(tree, ast.Call):
        return _call(tree, name)
    assert isinstance(tree, ast.BinOp)
    if isinstance(tree.op, ast.Div):
        above, below = _math(tree.left, name), _math(tree.right, name)
        return tag("mfrac", tag("mrow", above), tag("mrow", below))
    if isinstance(tree.op, ast.Pow):
        return tag("msup", _grouped(tree.left, 5, name), _math(tree.right, name))
    strength = _HOLDS[type(tree.op)]
    right = strength + 1 if isinstance(tree.op, ast.Sub) else strength
    sign = tag("mo", _MARKS[type(tree.op)])
    return _grouped(tree.left, strength, name) + sign + _grouped(tree.right, right, name)


def _call(tree: ast.Call, name: Callable[[str], Markup]) -> Markup:
    assert isinstance(tree.func, ast.Name)
    inside = tag("mo", ",").join(_math(item, name) for item in tree.args)
    if tree.func.id == "sqrt":
        return tag("msqrt", tag("mrow", inside))
    return tag("mrow", tag("mi", tree.func.id), tag("mo", "("), inside, tag("mo", ")"))


def _grouped(tree: ast.expr, strength: int, name: Callable[[str], Markup]) -> Markup:
    own = (
        _HOLDS[type(tree.op)]
        if isinstance(tree, ast.BinOp)
        else 3
        if isinstance(tree, ast.UnaryOp)
        else 9
    )
    text = _math(tree, name)
    return tag("mrow", tag("mo", "("), text, tag("mo", ")")) if own < strength else text
