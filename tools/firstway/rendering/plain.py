"""Rendering: a formula and its working as plain text, in the author's order of terms."""

from __future__ import annotations

import ast
from collections.abc import Callable, Mapping

from firstway.calculations.formula import Formula
from firstway.rendering.figures import figure_in_formula, figure_put_in, shown
from firstway.rendering.html import Markup, escape
from firstway.rendering.symbols import symbol_text
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
