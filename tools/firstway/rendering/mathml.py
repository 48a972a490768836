"""Rendering: a formula and its working as MathML: quantities italic, units and word subscripts
upright.
"""

from __future__ import annotations

import ast
from collections.abc import Callable
from html import escape

from firstway.calculations.formula import Formula
from firstway.rendering.figures import figure_in_formula, figure_put_in, full, number_text
from firstway.rendering.plain import formula_text, working_text
from firstway.rendering.symbols import symbol_parts, unit_text
from firstway.workings.shared.step import Step

_STRENGTH = {ast.Add: 1, ast.Sub: 1, ast.Mult: 2, ast.Div: 5, ast.Pow: 4}
_SIGNS = {ast.Add: "+", ast.Sub: "−", ast.Mult: "×"}


def formula_mathml(formula: Formula) -> str:
    """The formula alone, as a block."""
    right = _math(formula.tree, symbol_mathml)
    body = f"<mrow>{symbol_mathml(formula.result)}<mo>=</mo>{right}</mrow>"
    return f'<math display="block" alttext="{escape(formula_text(formula))}">{body}</math>'


def working_mathml(step: Step) -> str:
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
    return (
        f'<math display="block" class="working" alttext="{escape(working_text(step))}">'
        f"<mtable>{''.join(rows)}</mtable></math>"
    )


def symbol_mathml(symbol: str) -> str:
    """A quantity in italic; a subscript that is a word or number upright."""
    letter, below = symbol_parts(symbol)
    if not below:
        return f"<mi>{escape(letter)}</mi>"
    return f'<msub><mi>{escape(letter)}</mi><mi mathvariant="normal">{escape(below)}</mi></msub>'


def unit_mathml(unit: str) -> str:
    return (
        f'<mspace width="0.2em"/><mi mathvariant="normal">{escape(unit_text(unit))}</mi>'
        if unit
        else ""
    )


def _row(left: str, right: str) -> str:
    return (
        '<mtr><mtd style="text-align:right">'
        + (left or "<mrow></mrow>")
        + "</mtd><mtd><mo>=</mo></mtd>"
        f'<mtd style="text-align:left"><mrow>{right}</mrow></mtd></mtr>'
    )


def _result(step: Step) -> str:
    assert step.value is not None
    number = number_text(step.value, step.places)
    return f'<mn data-value="{full(step.value)}">{escape(number)}</mn>{unit_mathml(step.unit)}'


def _number(value: float, written: Callable[[float], str] = figure_in_formula) -> str:
    text = written(value)
    if text.startswith("−"):
        return f"<mrow><mo>(</mo><mo>−</mo><mn>{text[1:]}</mn><mo>)</mo></mrow>"
    return f"<mn>{text}</mn>"


def _math(tree: ast.expr, name: Callable[[str], str]) -> str:
    if isinstance(tree, ast.Constant) and isinstance(tree.value, (int, float)):
        return _number(float(tree.value))
    if isinstance(tree, ast.Name):
        return name(tree.id)
    if isinstance(tree, ast.UnaryOp):
        return f"<mrow><mo>−</mo>{_inside(tree.operand, 3, name)}</mrow>"
    if isinstance(tree, ast.Call):
        return _call(tree, name)
    assert isinstance(tree, ast.BinOp)
    if isinstance(tree.op, ast.Div):
        above, below = _math(tree.left, name), _math(tree.right, name)
        return f"<mfrac><mrow>{above}</mrow><mrow>{below}</mrow></mfrac>"
    if isinstance(tree.op, ast.Pow):
        return f"<msup>{_inside(tree.left, 5, name)}{_math(tree.right, name)}</msup>"
    strength = _STRENGTH[type(tree.op)]
    right = strength + 1 if isinstance(tree.op, ast.Sub) else strength
    sign = f"<mo>{_SIGNS[type(tree.op)]}</mo>"
    return _inside(tree.left, strength, name) + sign + _inside(tree.right, right, name)


def _call(tree: ast.Call, name: Callable[[str], str]) -> str:
    assert isinstance(tree.func, ast.Name)
    inside = "<mo>,</mo>".join(_math(item, name) for item in tree.args)
    if tree.func.id == "sqrt":
        return f"<msqrt><mrow>{inside}</mrow></msqrt>"
    return f"<mrow><mi>{tree.func.id}</mi><mo>(</mo>{inside}<mo>)</mo></mrow>"


def _inside(tree: ast.expr, strength: int, name: Callable[[str], str]) -> str:
    own = (
        _STRENGTH[type(tree.op)]
        if isinstance(tree, ast.BinOp)
        else 3
        if isinstance(tree, ast.UnaryOp)
        else 9
    )
    text = _math(tree, name)
    return f"<mrow><mo>(</mo>{text}<mo>)</mo></mrow>" if own < strength else text
