"""Published values carried the whole way: formula, HTML and MathML, read back as a browser would,
and compared.

The rows of tests/published come from outside the project (an independent solver, a second published
source or a law) or say that they do not (`transcription of a table`, `our own arithmetic`): those
are counted apart and are no proof. Rounding is checked with exact decimals: half a unit of the last
place goes away from zero.
"""

from __future__ import annotations

import csv
import math
import re
from collections import Counter
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from bs4 import BeautifulSoup, NavigableString, Tag

from firstway.calculations.every_formula import FORMULAS
from firstway.calculations.formula import Formula
from firstway.rendering.figures import figure_html, unit_text
from firstway.rendering.formulas import working_mathml, working_text
from firstway.workings.shared.step import Figures, Step

FOLDER = Path(__file__).parents[1] / "published"
PROOF = ("independent solver", "second published source or law")
NOT_PROOF = ("transcription of a table", "our own arithmetic")
FEWEST_PROOF_ROWS = 300
# Files whose rows name no formula (runs of the surge solver) are carried by the test of what they
# prove.
ROWS = [
    row
    for path in sorted(FOLDER.glob("*.csv"))
    for row in csv.DictReader(path.read_text(encoding="utf-8").splitlines())
    if row.get("formula")
]
FUNCTIONS = {"sqrt": math.sqrt, "ln": math.log, "exp": math.exp, "min": min, "max": max}
# a figure in a working is printed with four significant digits, and with every digit before the
# point
ASKED_DIGITS = 4


def figures_of(row: dict[str, str]) -> dict[str, float]:
    return {
        symbol.strip(): float(value)
        for symbol, _, value in (part.partition("=") for part in row["inputs"].split(";"))
    }


def step_of(row: dict[str, str]) -> Step:
    formula = FORMULAS[row["formula"]]
    figures = figures_of(row)
    return Step(
        row["id"],
        "published",
        "Published value",
        formula.result,
        formula.value(figures),
        formula.units[formula.result],
        "formula",
        (),
        formula.source,
        formula.edition,
        int(row["places"]),
        figures=Figures(formula, figures),
    )


def rounded(value: float, places: int) -> Fraction:
    """Half a unit goes away from zero; exact, and without the decimal module's own rounding."""
    scaled = Fraction(Decimal(repr(value))) * 10**places
    whole = math.floor(abs(scaled) + Fraction(1, 2))
    return Fraction(-whole if scaled < 0 else whole, 10**places)


def number_in(text: str, unit: str) -> tuple[Fraction, int]:
    """The number of a printed figure and how many decimal places it shows."""
    printed = unit_text(unit)
    assert text.endswith(f" {printed}") if printed else True, text
    number = text.removesuffix(printed).strip().replace("−", "-")
    return Fraction(number), len(number.partition(".")[2])


def evaluated(line: str) -> float:
    """A printed right-hand side, worked out by Python."""
    line = re.sub(r"√([\d.]+)", r"sqrt(\1)", line)
    for sign, ours in (
        ("×", "*"),
        ("−", "-"),
        ("√", "sqrt"),
        ("²", "**2"),
        ("³", "**3"),
        ("^", "**"),
    ):
        line = line.replace(sign, ours)
    return float(eval(line, {"__builtins__": {}}, FUNCTIONS))


def allowed_by_rounding(formula: Formula, figures: Mapping[str, float]) -> float:
    """How far the value can move when each figure that is rounded for the eye moves by half a unit
    of its last digit.
    """
    value, moved = formula.value(figures), 0.0
    for symbol, figure in figures.items():
        decimals = ASKED_DIGITS - 1 - math.floor(math.log10(abs(figure))) if figure else 0
        if not figure or round(figure, max(0, decimals)) == figure:
            continue
        half = 0.5 * 10 ** -max(0, decimals)
        moved += max(
            abs(formula.value({**figures, symbol: figure + sign * half}) - value)
            for sign in (-1, 1)
        )
    return moved * 1.001 + abs(value) * 1e-12


def arithmetic(element: Tag) -> str:
    """A piece of MathML as arithmetic, by the meaning of its elements (MathML Core)."""
    if isinstance(element, NavigableString):
        return str(element).strip()
    inside = [child for child in element.children if isinstance(child, Tag)]
    if element.name == "mfrac":
        return f"(({arithmetic(inside[0])}) / ({arithmetic(inside[1])}))"
    if element.name == "msup":
        return f"(({arithmetic(inside[0])}) ^ ({arithmetic(inside[1])}))"
    if element.name == "msqrt":
        return f"sqrt({''.join(arithmetic(child) for child in inside)})"
    return "".join(arithmetic(child) for child in element.children)


def identity(row: dict[str, str]) -> str:
    return row["id"]


def test_there_is_enough_proof() -> None:
    assert sum(row["class"] in PROOF for row in ROWS) >= FEWEST_PROOF_ROWS


def test_every_formula_has_a_row() -> None:
    missing = sorted(set(FORMULAS) - {row["formula"] for row in ROWS})
    assert missing == [], "put a row into tests/published/, with a source from outside the project"


def test_every_row_is_complete_and_named_once() -> None:
    assert [name for name, count in Counter(row["id"] for row in ROWS).items() if count > 1] == []
    for row in ROWS:
        assert row["class"] in (*PROOF, *NOT_PROOF), row["id"]
        assert row["source"].strip(), row["id"]
        assert 0 < float(row["tolerance"]) <= max(0.05 * abs(float(row["expected"])), 1.0), (
            f"{row['id']}: a tolerance this wide proves nothing"
        )
        formula = FORMULAS[row["formula"]]
        assert set(figures_of(row)) == set(formula.symbols), row["id"]
        assert row["unit"] == formula.units[formula.result], row["id"]


@pytest.mark.parametrize("row", ROWS, ids=identity)
def test_a_published_value_reaches_the_page(
    row: dict[str, str], published_counts: Counter[str]
) -> None:
    step = step_of(row)
    expected, tolerance, places = (
        Fraction(row["expected"]),
        Fraction(row["tolerance"]),
        int(row["places"]),
    )
    assert step.value is not None

    data = BeautifulSoup(figure_html(step, "published"), "html.parser").find("data")
    assert isinstance(data, Tag)
    assert math.isclose(float(data["value"]), step.value, rel_tol=5e-12), (
        "the attribute keeps twelve digits"
    )
    assert abs(Fraction(str(data["value"])) - expected) <= tolerance
    assert (data["data-step"], data["data-of"], data["data-unit"]) == (
        row["id"],
        "published",
        row["unit"],
    )

    printed, shown_places = number_in(data.get_text(), row["unit"])
    half = Fraction(1, 2 * 10**places)
    assert shown_places == places
    assert printed == rounded(step.value, places)
    assert abs(printed - expected) <= tolerance + half
    if abs(Fraction(Decimal(repr(step.value))) - expected) == 0:
        assert printed == rounded(float(expected), places), "an exact value prints as published"

    line = working_text(step)
    *_, put_in, result = line.split(" = ")
    allowed = float(half) + allowed_by_rounding(FORMULAS[row["formula"]], figures_of(row))
    assert result == data.get_text()
    assert abs(evaluated(put_in) - float(printed)) <= allowed, line

    maths = BeautifulSoup(working_mathml(step), "html.parser")
    rows = maths.find_all("mtr")
    assert maths.math["alttext"] == line and len(rows) == 3
    put_in_cell = rows[1].find_all("mtd")[-1]
    assert abs(evaluated(arithmetic(put_in_cell)) - float(printed)) <= allowed, str(put_in_cell)
    number = rows[2].find("mn")
    assert math.isclose(float(number["data-value"]), step.value, rel_tol=5e-12)
    unit = rows[2].find("mtext")
    assert (
        f"{number.get_text()} {unit.get_text().strip() if unit else ''}".strip() == data.get_text()
    )

    published_counts[row["class"]] += 1


def test_a_changed_formula_would_be_seen() -> None:
    """The comparison can fail: a value off by more than the row's tolerance is no longer the
    published one.
    """
    row = next(row for row in ROWS if row["id"] == "zs-B6")
    value = step_of(row).value
    assert value is not None
    for factor in (0.97, 1.03):
        assert abs(value * factor - float(row["expected"])) > float(row["tolerance"])


@pytest.mark.parametrize(
    "value, places, text",
    [
        (0.5, 0, "1"),
        (1.5, 0, "2"),
        (2.5, 0, "3"),
        (-0.5, 0, "−1"),
        (0.125, 2, "0.13"),
        (2.675, 2, "2.68"),
        (1.005, 2, "1.01"),
        (1e-9, 2, "0.00"),
        (-0.001, 2, "0.00"),
        (1234567.891, 1, "1234567.9"),
        (0.0, 3, "0.000"),
        (1e22, 0, "10000000000000000000000"),
        (4.2496, 2, "4.25"),
    ],
)
def test_number_text__rounds_the_written_number_half_away_from_zero(
    value: float, places: int, text: str
) -> None:
    """As taught in schools and asked of certificates; the written decimal is rounded, not its
    binary neighbour.
    """
    from firstway.rendering.figures import number_text

    assert number_text(value, places) == text
