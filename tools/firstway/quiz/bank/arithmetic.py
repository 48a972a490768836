"""Quiz: the arithmetic of a named mistake, read and valued without ever raising at the author."""

from __future__ import annotations

import ast
import math
from collections.abc import Mapping

from firstway.calculations.formula import FUNCTIONS, Formula

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
