"""Desk: tables of commas, both ways: hostile text to rows, rows to text that is safe to open."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import Any, TypeVar, cast

from firstway.files.specs import specs_of
from firstway.files.typed_reader import section_from_data
from firstway.files.yaml_reader import Entries, Node, Text
from firstway.problems import Problem, visible

DELIMITERS = (",", ";", "\t")
MOST_ROWS = 50_000
"""More than a row for each of the most learners, typed twice; the rest is not even read."""
MOST_COLUMNS = 1_000
_FORMULAS = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
"""Signs that begin a formula, in both widths."""
_FIGURE = re.compile(r"-\d+(\.\d+)?(e-?\d+)?", re.ASCII)  # a number is no formula
CsvRow = tuple[int, list[str]]
_Told = TypeVar("_Told")
_ADDED, _FILLED = re.compile(r"add `(\w+):`"), r"fill in the column `\1`"


def rows_of_csv(text: str, file: str) -> tuple[list[CsvRow], list[Problem]]:
    """The rows that hold anything, each with the line it ends on.

    The delimiter is the one the first row uses most. A table of too many rows or columns is
    refused as a whole: half of it would be read in silence.
    """
    first = next((line for line in io.StringIO(text) if line.strip()), "")
    delimiter = max(DELIMITERS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=False)
    rows: list[CsvRow] = []
    try:
        for cells in reader:
            if len(cells) > MOST_COLUMNS:
                return [], [
                    Problem(
                        file,
                        reader.line_num,
                        f"more than {MOST_COLUMNS} columns",
                        "look at it by hand: no table of the desk has as many",
                    )
                ]
            if any(cell.strip() for cell in cells):
                rows.append((reader.line_num, cells))
            if len(rows) > MOST_ROWS:
                return [], [
                    Problem(
                        file,
                        reader.line_num,
                        f"more than {MOST_ROWS:,} rows",
                        "look at it by hand: no class has as many",
                    )
                ]
    except csv.Error as error:
        return [], [
            Problem(
                file,
                reader.line_num,
                f"this is no table of commas ({error})",
                "save it again as CSV",
            )
        ]
    return rows, []


def heads_of(rows: Sequence[CsvRow]) -> list[str]:
    """The names of the columns, as they are compared."""
    return [" ".join(cell.casefold().split()) for cell in rows[0][1]] if rows else []


def sections_of_rows(
    rows: Sequence[CsvRow], of: type[_Told], file: str
) -> tuple[list[_Told], list[Problem]]:
    """The rows below the heads, each typed as its keys are declared; other columns are left alone.
    An empty cell is a key that is not there.
    """
    heads, specs = heads_of(rows), specs_of(cast(Any, of))
    found: list[_Told] = []
    problems: list[Problem] = []
    for line, cells in rows[1:]:
        told: dict[str, Node] = {
            head: Text(cell.strip(), line, quoted=True)
            for head, cell in zip(heads, cells)
            if head in specs and cell.strip()
        }
        row = Entries(line, told, dict.fromkeys(told, line))
        section, wrong = section_from_data(row, of, file)
        problems += [replace(each, hint=_ADDED.sub(_FILLED, each.hint)) for each in wrong]
        found += [] if wrong else [section]
    return found, problems


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """Rows as a table whose cells no spreadsheet takes for a formula and no terminal obeys."""
    written = io.StringIO()
    csv.writer(written).writerows([safe_cell(cell) for cell in row] for row in rows)
    return written.getvalue()


def safe_cell(text: str) -> str:
    """One such cell."""
    shown = visible(text)
    hidden = shown.startswith(_FORMULAS) and not _FIGURE.fullmatch(shown)
    return f"'{shown}" if hidden else shown
