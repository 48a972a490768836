"""Calculations: a formula declared once in its trade form; value and every rendering come from it.

The text is plain arithmetic (`V_d = m_v * I_b * L / 1000`): names, numbers, `+ - * / **`,
brackets, and the functions sqrt, ln, exp, min, max. Nothing else is read.
"""

import ast
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import field
from functools import cached_property

from firstway.frozen import dataclass

FUNCTIONS: dict[str, Callable[..., float]] = {
    "sqrt": math.sqrt,
    "ln": math.log,
    "exp": math.exp,
    "min": min,
    "max": max,
}
"""The functions a formula may name, of plain numbers; `ln` is the natural logarithm."""
_WHOLE = re.compile(r"(?<![\w.])(?<![\d.][eE][-+])\d+(?![\w.])")
_OTHER_WHOLE = re.compile(r"(?<!\w)\d+[xXoObB_]")
_OPERATORS: dict[type, Callable[[float, float], float]] = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b,
    ast.Pow: lambda a, b: a**b,
}


@dataclass(frozen=True)
class Formula:
    """One formula.

    `text` is `symbol = arithmetic`; `units` names the unit of every symbol ("" for a plain number);
    `source` is a clause, a book or a law; `edition` that of the clause; `valid` the range it holds
    for. `standing`, which each states, is how far the source may be relied on: `computed` is a law
    of circuits, of heat or of sums.
    """

    name: str
    text: str
    units: Mapping[str, str]
    source: str
    edition: str = ""
    valid: str = ""
    standing: str = field(kw_only=True)

    def __post_init__(self) -> None:
        used = set(self.symbols) | {self.result}
        if used != set(self.units):
            raise ValueError(
                f"formula {self.name}: units given for {sorted(self.units)}, symbols are"
                f" {sorted(used)}"
            )

    @cached_property
    def result(self) -> str:
        """The symbol on the left."""
        return self.text.partition("=")[0].strip()

    @cached_property
    def tree(self) -> ast.expr:
        """The right-hand side as a checked expression tree, in the author's order of terms."""
        tree = ast.parse(self._right, mode="eval").body
        _check(tree, self.name)
        if _OTHER_WHOLE.search(self._right):
            raise ValueError(f"formula {self.name}: write whole numbers by digits alone")
        return tree

    @property
    def _right(self) -> str:
        return self.text.partition("=")[2].strip()

    @cached_property
    def symbols(self) -> tuple[str, ...]:
        """Symbols of the right-hand side in the order they are first read."""
        found: list[str] = []
        _collect(self.tree, found)
        return tuple(found)

    def value(self, figures: Mapping[str, float]) -> float:
        """The result for the given figures, unrounded.

        Raises KeyError for a missing symbol, ZeroDivisionError or ValueError outside the valid
        range.
        """
        return float(self._work(*[figures[symbol] for symbol in self.symbols]))

    @cached_property
    def _work(self) -> Callable[..., float]:
        # The same checked text as a function of its symbols: a working asks hundreds of times.
        # Whole numbers become floats: 9**9**9 in whole numbers has 370 million digits and never
        # ends, in floats it is an OverflowError at once.
        figures = _WHOLE.sub(r"\g<0>.0", self._right)
        worked: Callable[..., float] = eval(
            f"lambda {', '.join(self.symbols)}: {figures}", {"__builtins__": {}, **FUNCTIONS}
        )
        return worked


def evaluated(tree: ast.expr, figures: Mapping[str, float]) -> float:
    """Value of a checked tree."""
    if isinstance(tree, ast.Constant) and isinstance(tree.value, (int, float)):
        return float(tree.value)
    if isinstance(tree, ast.Name):
        return float(figures[tree.id])
    if isinstance(tree, ast.UnaryOp):
        return -evaluated(tree.operand, figures)
    if isinstance(tree, ast.BinOp):
        return _OPERATORS[type(tree.op)](
            evaluated(tree.left, figures), evaluated(tree.right, figures)
        )
    assert isinstance(tree, ast.Call) and isinstance(tree.func, ast.Name)
    return float(FUNCTIONS[tree.func.id](*(evaluated(item, figures) for item in tree.args)))


def _check(tree: ast.expr, name: str) -> None:
    allowed = (
        isinstance(tree, ast.Name)
        or (
            isinstance(tree, ast.Constant)
            and isinstance(tree.value, (int, float))
            and not isinstance(tree.value, bool)
        )
        or (isinstance(tree, ast.UnaryOp) and isinstance(tree.op, ast.USub))
        or (isinstance(tree, ast.BinOp) and type(tree.op) in _OPERATORS)
        or (
            isinstance(tree, ast.Call)
            and isinstance(tree.func, ast.Name)
            and tree.func.id in FUNCTIONS
            and not tree.keywords
        )
    )
    if not allowed:
        raise ValueError(f"formula {name}: {ast.dump(tree)} is not plain arithmetic")
    for child in _children(tree):
        _check(child, name)


def _collect(tree: ast.expr, found: list[str]) -> None:
    if isinstance(tree, ast.Name) and tree.id not in found:
        found.append(tree.id)
    for child in _children(tree):
        _collect(child, found)


def _children(tree: ast.expr) -> list[ast.expr]:
    if isinstance(tree, ast.BinOp):
        return [tree.left, tree.right]
    if isinstance(tree, ast.UnaryOp):
        return [tree.operand]
    return list(tree.args) if isinstance(tree, ast.Call) else []
