"""The declaration of a formula: what it reads, what it refuses, and how it is written.

Precedence is that of ordinary arithmetic; Python's own arithmetic is the independent evaluator.
"""

from __future__ import annotations

import ast
import math
import re
from importlib import import_module
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies

from firstway.calculations import formula as formula_module
from firstway.calculations.every_formula import FORMULAS
from firstway.calculations.formula import Formula
from firstway.rendering.formulas import formula_text, put_in_text
from firstway.tables.reading import STANDINGS

# Laws that a test or a page asks, and no step of a working.
OF_NO_STEP = {
    "k_factor": "the law behind the table of factors k, which a step reads",
    "open_pen_impedance_limit": "the same limit told as an impedance",
    "loop_beside_a_conductor": "a chapter's table of rules of thumb: no file states such a loop",
    "induced_voltage": "the same table",
    "leads_side_by_side": "the same table: no file states how far leads lie apart",
}
ALLOWED = {"sqrt": math.sqrt, "ln": math.log, "exp": math.exp, "min": min, "max": max}


def formula(text: str) -> Formula:
    tree = ast.parse(text.partition("=")[2].strip(), mode="eval")
    names = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)} - set(ALLOWED)
    return Formula(
        "trial",
        text,
        dict.fromkeys(names | {text.partition("=")[0].strip()}, ""),
        "none",
        standing="computed",
    )


@pytest.mark.parametrize(
    "text, figures, value",
    [
        ("V = m * I * L / 1000", {"m": 7.3, "I": 32.0, "L": 18.0}, 4.2048),
        ("x = a - b - c", {"a": 9.0, "b": 3.0, "c": 2.0}, 4.0),
        ("x = a / b / c", {"a": 12.0, "b": 3.0, "c": 2.0}, 2.0),
        ("x = a ** b ** c", {"a": 2.0, "b": 3.0, "c": 2.0}, 512.0),
        ("x = -a ** 2", {"a": 3.0}, -9.0),
        (
            "x = sqrt(a) + ln(b) + min(a, b) + max(a, b)",
            {"a": 4.0, "b": math.e},
            2 + 1 + math.e + 4,
        ),
        ("x = a * 1e-5 / 2.5e3 + 3", {"a": 5e8}, 5.0),
        ("x = (a + b) * c", {"a": 1.0, "b": 2.0, "c": 3.0}, 9.0),
    ],
)
def test_value(text: str, figures: dict[str, float], value: float) -> None:
    assert formula(text).value(figures) == pytest.approx(value, rel=1e-15)


@pytest.mark.parametrize(
    "text",
    [
        "x = __import__('os')",
        "x = a.b",
        "x = [a]",
        "x = a if b else c",
        "x = a > b",
        "x = 'a'",
        "x = a % b",
        "x = lambda: a",
        "x = f(a)",
        "x = sqrt(a, key=b)",
        "x = +a",
        "x = a // b",
        "x = True",
        "x = 0x9**0x9",
        "x = 1_0**9",
    ],
)
def test_declaration__refuses_what_is_not_plain_arithmetic(text: str) -> None:
    with pytest.raises(ValueError):
        formula(text).value({})


def test_declaration__asks_a_unit_for_every_symbol() -> None:
    with pytest.raises(ValueError, match="units"):
        Formula("trial", "x = a * b", {"x": "", "a": ""}, "none", standing="computed")
    with pytest.raises(ValueError, match="units"):
        Formula("trial", "x = a", {"x": "", "a": "", "b": ""}, "none", standing="computed")


def test_symbols__stand_in_the_order_of_reading() -> None:
    assert FORMULAS["voltage_drop"].symbols == ("m_v", "I_b", "L")
    assert FORMULAS["voltage_drop"].result == "V_d"


def declared() -> dict[str, Formula]:
    """Every formula of the room by the name of its value and its module."""
    room = Path(formula_module.__file__).parent
    modules = [import_module(f"firstway.calculations.{path.stem}") for path in room.glob("*.py")]
    return {
        f"{key} of {module.__name__.rpartition('.')[2]}.py": value
        for module in modules
        for key, value in vars(module).items()
        if isinstance(value, Formula)
    }


def test_every_formula__is_listed() -> None:
    listed = set(map(id, FORMULAS.values()))
    missing = [where for where, item in declared().items() if id(item) not in listed]
    assert missing == [], "add each to FORMULAS of its module, and the module to every_formula.py"


def test_every_formula__is_worked_by_a_step() -> None:
    package = Path(formula_module.__file__).parents[1]
    rooms = ("workings", "choosing", "checks", "wiring", "drawing")
    files = [path for room in rooms for path in (package / room).rglob("*.py")]
    words = set(re.findall(r"\w+", " ".join(path.read_text("utf-8") for path in files)))
    unused = [
        where
        for where, item in declared().items()
        if where.split()[0] not in words and item.name not in OF_NO_STEP
    ]
    assert unused == [], "write its step in workings/, or say in OF_NO_STEP who asks it"


@pytest.mark.parametrize("name", sorted(FORMULAS))
def test_every_formula__states_source_and_range(name: str) -> None:
    item = FORMULAS[name]
    assert item.source and item.name == name
    assert item.standing in STANDINGS
    if re.search(r"BS \d+|NFPA|\b\d{3}\.\d", item.source):
        assert item.edition, "a clause needs its edition"


def in_python(line: str) -> str:
    """A printed right-hand side as Python would write it."""
    line = re.sub(r"√([\d.]+)", r"sqrt(\1)", line).replace("√", "sqrt")
    return (
        line.replace("×", "*")
        .replace("−", "-")
        .replace("²", "**2")
        .replace("³", "**3")
        .replace("^", "**")
    )


@pytest.mark.parametrize("name", sorted(FORMULAS))
@settings(max_examples=20, deadline=None, derandomize=True, database=None)
@given(seed=strategies.lists(strategies.integers(11, 99), min_size=8, max_size=8))
def test_the_put_in_line_has_the_value_of_the_formula(name: str, seed: list[int]) -> None:
    """Whole figures pass unrounded into the line, so the line must give the value to the last
    digits.
    """
    item = FORMULAS[name]
    figures = {symbol: float(number) for symbol, number in zip(item.symbols, seed)}
    try:
        value = item.value(figures)
    except (ValueError, ZeroDivisionError, OverflowError):
        return
    if math.isinf(value):  # beyond the largest float like what overflows
        return
    line = put_in_text(item, figures)
    assert eval(in_python(line), {"__builtins__": {}}, ALLOWED) == pytest.approx(value, rel=1e-12)


NAME = strategies.sampled_from("abc")


def terms() -> strategies.SearchStrategy[str]:
    leaf = NAME | strategies.sampled_from(["2", "3", "0.5"])
    return strategies.recursive(
        leaf,
        lambda inner: (
            strategies.builds(
                lambda left, sign, right: f"({left} {sign} {right})",
                inner,
                strategies.sampled_from(["+", "-", "*", "/", "**"]),
                inner,
            )
            | strategies.builds(lambda item: f"(-{item})", inner)
            | strategies.builds(lambda item: f"sqrt({item})", inner)
        ),
        max_leaves=6,
    )


@settings(max_examples=400, deadline=None, derandomize=True, database=None)
@given(
    terms(),
    strategies.tuples(*(strategies.sampled_from([2.0, 3.0, 7.0, -1.5, 0.25]) for _ in range(3))),
)
def test_brackets__are_written_where_the_arithmetic_needs_them(
    text: str, three: tuple[float, float, float]
) -> None:
    item = formula(f"x = {text}")
    figures = dict(zip("abc", three))
    try:
        value = item.value(figures)
    except (ValueError, ZeroDivisionError, OverflowError, TypeError):
        return
    line = in_python(put_in_text(item, figures))
    assert eval(line, {"__builtins__": {}}, ALLOWED) == pytest.approx(value, rel=1e-9), line


def test_formula_text__is_the_trade_form() -> None:
    assert formula_text(FORMULAS["voltage_drop"]) == "Vd = mv × Ib × L / 1000"
    assert formula_text(FORMULAS["electrode_resistance_limit"]) == "R = UT / IΔn"
