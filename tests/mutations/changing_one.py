"""Helper of tests/mutations: what can be changed by 5 %, one change put in memory, and the tests
that should see it.

Run as a program in a process of its own: `python changing_one.py CHANGE` puts the change (JSON)
into the loaded tables or formulas, runs the fast tests and prints which classes of test failed, as
JSON on the last line.
"""

from __future__ import annotations

import ast
import json
import sys
from collections import Counter
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path

TESTS = Path(__file__).parents[1]
sys.path[:0] = [str(TESTS), str(TESTS.parent / "tools")]

from firstway.calculations.every_formula import FORMULAS  # noqa: E402
from firstway.calculations.formula import Formula  # noqa: E402
from firstway.tables import reading  # noqa: E402

# A published row reads formulas and no table, a table's law reads tables and no formula: each
# change runs what can see it.
FAST_TESTS = {
    "cell": (
        "tables/test_tables.py",
        "tables/test_transcription.py",
        "workings/test_workings.py",
        "workings/test_nec.py",
    ),
    "coefficient": (
        "calculations/test_published.py",
        "workings/test_workings.py",
        "workings/test_nec.py",
    ),
}
# Slow, and about what is unknown or chosen: a changed number is none of their business.
LEFT_OUT = "not (knowing_less or assumed_never or never_a_smaller or choosing_never)"
CLASS_OF_FILE = {
    "test_tables": "law or printed anchor",
    "test_transcription": "transcription",
    "test_workings": "workings anchor",
    "test_nec": "workings anchor",
}
LAWS_BESIDE_COPIES = (
    "follows_annex_g",
    "one_figure_up_to",
    "do_not_differ",
    "times_the_voltage_factor",
    "between_inch_and_metre",
    "by_the_trade_coefficient",
    "rule_sets_agree",
)


@dataclass(frozen=True)
class Change:
    """One number made 5 % larger or smaller: a cell of a table, or a number in the text of a
    formula.
    """

    kind: str  # "cell" or "coefficient"
    where: str  # the table's name, or the formula's
    place: int  # the row's place in the table, or the number's place in the formula's text
    column: str
    factor: float


# ---- what can be changed


@cache
def cells_read() -> set[tuple[str, str]]:
    """Table and column of every number that working, checking and choosing read, for all shipped
    and some drawn installations.
    """
    from random import Random

    from changing import DIAGRAMS
    from random_installations import installation_of, one_phase, three_phase

    from firstway.choosing.completing import completed
    from firstway.model.reading import installation_from_yaml

    seen: set[tuple[str, str]] = set()
    original = reading.Row.number, reading.Row.number_or_none
    reading.Row.number = lambda row, column: (
        seen.add((row.table, column)) or original[0](row, column)
    )
    reading.Row.number_or_none = lambda row, column: (
        seen.add((row.table, column)) or original[1](row, column)
    )
    try:
        for path in sorted(DIAGRAMS.glob("*.yaml")):
            found, _ = installation_from_yaml(
                path.read_text(encoding="utf-8"), path.name, path.stem
            )
            if found is not None:
                completed(found)
        for seed in range(8):
            completed(installation_of(one_phase(Random(seed))))
            completed(installation_of(three_phase(Random(seed))))
    finally:
        reading.Row.number, reading.Row.number_or_none = original
    return seen


def cells() -> list[Change]:
    """Every cell of those columns that holds a number 5 % of which is something."""
    return [
        Change("cell", name, place, column, 1.0)
        for name, column in sorted(cells_read())
        for place, row in enumerate(reading.table(name).rows)
        if row.text(column) and row.number(column) != 0
    ]


def coefficients() -> list[Change]:
    return [
        Change("coefficient", name, place, "", 1.0)
        for name, formula in sorted(FORMULAS.items())
        for place in range(len(numbers_in(formula)))
    ]


def numbers_in(formula: Formula) -> list[ast.Constant]:
    """The numbers of the right-hand side, in the order of the text; 5 % of nothing is no change."""
    found = [
        node for node in ast.walk(formula.tree) if isinstance(node, ast.Constant) and node.value
    ]
    return sorted(found, key=lambda node: node.col_offset)


# ---- one change


def put_in(change: Change) -> str:
    """Make the change in memory; says what it was, in words."""
    if change.kind == "cell":
        row = reading.table(change.where).rows[change.place]
        before = row.text(change.column)
        row.cells[change.column] = f"{float(before) * change.factor:.10g}"
        reading.table(change.where)._indexes.clear()
        return (
            f"{change.where}:{row.line}: {change.column} {before} becomes {row.text(change.column)}"
        )
    formula = FORMULAS[change.where]
    left, _, right = formula.text.partition("=")
    right = right.strip()
    number = numbers_in(formula)[change.place]
    changed = f"{number.value * change.factor:.10g}"
    text = f"{left.strip()} = {right[: number.col_offset]}{changed}{right[number.end_col_offset :]}"
    before = formula.text
    object.__setattr__(formula, "text", text)
    for cached in ("tree", "symbols", "result"):
        formula.__dict__.pop(cached, None)
    return f"{before} becomes {text}"


class Listening:
    """A plugin that notes which classes of test failed."""

    def __init__(self) -> None:
        self.failed: Counter[str] = Counter()

    def pytest_runtest_logreport(self, report: object) -> None:
        if report.failed:
            self.failed[class_of(report)] += 1

    def pytest_collectreport(self, report: object) -> None:
        if report.failed:
            self.failed["collection"] += 1


def class_of(report: object) -> str:
    file = Path(report.nodeid.split("::")[0]).stem
    if file == "test_transcription" and any(words in report.nodeid for words in LAWS_BESIDE_COPIES):
        return "law or printed anchor"
    if file != "test_published":
        return CLASS_OF_FILE[file]
    import test_published

    name = report.nodeid.partition("[")[2].rstrip("]")
    return next((row["class"] for row in test_published.ROWS if row["id"] == name), "published")


def main() -> int:
    import pytest

    given = json.loads(sys.argv[1])
    files = (
        FAST_TESTS[given["kind"]]
        if given
        else sorted({name for names in FAST_TESTS.values() for name in names})
    )
    said = put_in(Change(**given)) if given else "nothing changed"
    listening = Listening()
    pytest.main(
        [
            "-c",
            str(TESTS / "pytest.ini"),
            "-q",
            "--no-header",
            "--tb=no",
            "-p",
            "no:cacheprovider",
            "-m",
            "not long",
            "-k",
            LEFT_OUT,
            *(str(TESTS / name) for name in files),
        ],
        plugins=[listening],
    )
    print("\n" + json.dumps({"change": given, "said": said, "failed": dict(listening.failed)}))
    return 0


def as_json(change: Change | None) -> str:
    return json.dumps(asdict(change) if change else None)


if __name__ == "__main__":
    sys.exit(main())
