"""tables: reads one CSV of standards' numbers into rows that remember source, edition and
standing.
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import field
from functools import cache
from pathlib import Path

from firstway.frozen import dataclass

TABLES_FOLDER = Path(__file__).parent
"""Where the CSV files of the standards' numbers lie."""
LAST_COLUMNS = ("edition", "source", "standing")
"""What every row ends with: the edition, the id of its source, and how far it may be relied on."""
STANDINGS = ("found", "from memory", "common practice", "computed", "assumed")
"""How far a row may be relied on: read in a source, remembered, what the trade does, worked out
from a formula, or supposed.
"""


@dataclass(frozen=True)
class Row:
    """One case of a table: its cells by column name, and where it stands (table name, line of the
    CSV).
    """

    table: str
    line: int
    cells: Mapping[str, str] = field(compare=False, repr=False)

    def text(self, column: str) -> str:
        """The cell as printed."""
        return self.cells[column]

    def number(self, column: str) -> float:
        """The cell as a number, in the unit its column name carries."""
        return float(self.cells[column])

    def number_or_none(self, column: str) -> float | None:
        """The cell as a number; None when the table leaves it blank."""
        printed = self.cells[column]
        return float(printed) if printed else None

    @property
    def edition(self) -> str:
        """The edition in which the row was read."""
        return self.cells["edition"]

    @property
    def source(self) -> str:
        """An id in sources.csv."""
        return self.cells["source"]

    @property
    def standing(self) -> str:
        """One of STANDINGS: how far the row may be relied on."""
        return self.cells["standing"]


@dataclass(frozen=True)
class Source:
    """Where rows come from, in our own words."""

    id: str
    title: str
    edition: str
    note: str


@dataclass(frozen=True)
class Table:
    """All rows of one CSV in the order of the file."""

    name: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    _indexes: dict[tuple[str, ...], dict[tuple[str, ...], tuple[Row, ...]]] = field(
        default_factory=dict, compare=False, repr=False
    )

    def where(self, **wanted: str | float) -> tuple[Row, ...]:
        """The rows whose cells equal every wanted word or number, in the order of the file."""
        columns = tuple(sorted(wanted))
        if columns not in self._indexes:
            self._indexes[columns] = self._index(columns)
        return self._indexes[columns].get(
            tuple(column_word(wanted[column]) for column in columns), ()
        )

    def _index(self, columns: tuple[str, ...]) -> dict[tuple[str, ...], tuple[Row, ...]]:
        # One index for each set of key columns asked for: `work` makes hundreds of look-ups.
        index: dict[tuple[str, ...], list[Row]] = {}
        for row in self.rows:
            index.setdefault(tuple(row.cells[column] for column in columns), []).append(row)
        return {key: tuple(rows) for key, rows in index.items()}


def column_word(value: str | float) -> str:
    """A key as it is printed in a table: 6.0 is "6", 2.5 is "2.5", words stay.

    >>> column_word(6.0), column_word(2.5), column_word("C")
    ('6', '2.5', 'C')
    """
    return value if isinstance(value, str) else f"{value:.10g}"


@cache
def table(name: str) -> Table:
    """The table of that name, e.g. table("current_capacity") for current_capacity.csv.

    A wrong name is a bug of the caller and raises FileNotFoundError.
    """
    with (TABLES_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return table_from_lines(name, file)


def table_from_lines(name: str, lines: Iterable[str]) -> Table:
    """A table from the lines of a CSV; apart from `table` so that a test can break a copy in
    memory.
    """
    reader = csv.reader(lines)
    columns = tuple(next(reader, ()))
    rows = tuple(Row(name, reader.line_num, dict(zip(columns, cells))) for cells in reader if cells)
    return Table(name, columns, rows)


@cache
def sources() -> dict[str, Source]:
    """Every source by id."""
    return {
        row.text("id"): Source(
            row.text("id"), row.text("title"), row.text("edition"), row.text("note")
        )
        for row in table("sources").rows
    }


def source(identity: str) -> Source:
    """The source of that id; a missing id is a bug in a table and raises KeyError."""
    return sources()[identity]


def table_names() -> tuple[str, ...]:
    """The names of all tables on disk, sorted; `sources` and `gaps` are among them."""
    return tuple(sorted(path.stem for path in TABLES_FOLDER.glob("*.csv")))


def standings_counted(name: str = "", **wanted: str) -> Counter[str]:
    """How many rows are of each standing: of every table, or of those of one that equal
    `wanted`.
    """
    names = (
        [name] if name else [each for each in table_names() if "standing" in table(each).columns]
    )
    return Counter(
        row.standing
        for each in names
        for row in table(each).rows
        if all(row.cells[column] == word for column, word in wanted.items())
    )
