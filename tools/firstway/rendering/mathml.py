"""Rendering: a formula and its working as MathML: quantities italic, units and word subscripts
upright.
"""

from __future__ import annotations

import ast
from collections.abc import Callable

from firstway.calculations.formula import Formula
from firstway.rendering.figures import figure_in_formula, figure_put_in, full, number_text
from firstway.rendering.html import Markup, tag
from firstway.rendering.plain import formula_text, working_text
from firstway.rendering.symbols import symbol_parts, unit_text
from firstway.workings.shared.step import Step

THIN_SPACE = "\u2009"
_STRENGTH = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 5, ast.Pow: 4}
_SIGNS = {ast.Add: "+", ast.Sub: "−", ast.Mult: "×"}


def formula_mathml(formula: Formula) -> Markup:
    """The formula alone, as a block."""
    right = _math(formula.tree, symbol_mathml)
    body = tag("mrow", symbol_mathml(formula.result), tag("mo", "="), right)
    return tag("math", body, display="block", alttext=formula_text(formula))


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
        return tag("mrow", tag("mo", "−"), _inside(tree.operand, 3, name))
    if isinstance(tree, ast.Call):
        return _call(tree, name)
    assert isinstance(tree, ast.BinOp)
    if isinstance(tree.op, ast.Div):
        above, below = _math(tree.left, name), _math(tree.right, name)
        return tag("mfrac", tag("mrow", above), tag("mrow", below))
    if isinstance(tree.op, ast.Pow):
        return tag("msup", _inside(tree.left, 5, name), _math(tree.right, name))
    strength = _STRENGTH[type(tree.op)]
    right = strength + 1 if isinstance(tree.op, ast.Sub) else strength
    sign = tag("mo", _SIGNS[type(tree.op)])
    return _inside(tree.left, strength, name) + sign + _inside(tree.right, right, name)


def _call(tree: ast.Call, name: Callable[[str], Markup]) -> Markup:
    assert isinstance(tree.func, ast.Name)
    inside = tag("mo", ",").join(_math(item, name) for item in tree.args)
    if tree.func.id == "sqrt":
        return tag("msqrt", tag("mrow", inside))
    return tag("mrow", tag("mi", tree.func.id), tag("mo", "("), inside, tag("mo", ")"))


def _inside(tree: ast.expr, strength: int, name: Callable[[str], Markup]) -> Markup:
    own = (
        _STRENGTH[type(tree.op)]
        if isinstance(tree, ast.BinOp)
        else 3
        if isinstance(tree, ast.UnaryOp)
        else 9
    )
    text = _math(tree, name)
    return tag("mrow", tag("mo", "("), text, tag("mo", ")")) if own < strength else text
