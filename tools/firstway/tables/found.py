"""tables: what a look-up gives back, value and row together, or a gap."""

from __future__ import annotations

from collections.abc import Sequence

from firstway.frozen import dataclass
from firstway.tables.reading import Row, column_word, table


@dataclass(frozen=True)
class Read:
    """A number with the row it was read from.

    `through` holds rows that sent the reader there: "D1 is printed as column D", "BS EN 61009-1
    reads as ...".
    """

    value: float
    row: Row
    through: tuple[Row, ...] = ()


@dataclass(frozen=True)
class ReadWord:
    """A word (a colour, a conductor size such as 1/0) with the row it was read from."""

    value: str
    row: Row
    through: tuple[Row, ...] = ()


@dataclass(frozen=True)
class Gap:
    """No row for what was wanted. A gap is refused, not skipped."""

    table: str
    wanted: str

    @property
    def message(self) -> str:
        """One sentence for a finding or a problem."""
        return f"the table {self.table} has no row for {self.wanted}"


def gap(name: str, **wanted: str | float) -> Gap:
    """A gap worded from the key that found nothing."""
    return Gap(
        name, ", ".join(f"{column} {column_word(value)}" for column, value in wanted.items())
    )


def read_one(
    name: str, column: str, /, through: Sequence[Row] = (), **wanted: str | float
) -> Read | Gap:
    """The number in `column` of the one row that equals `wanted`; a gap when there is no row or the
    cell is blank.
    """
    rows = table(name).where(**wanted)
    if not rows or not rows[0].text(column):
        return gap(name, **wanted)
    return Read(rows[0].number(column), rows[0], tuple(through))


def read_word(name: str, column: str, /, **wanted: str | float) -> ReadWord | Gap:
    """The word in `column` of the one row that equals `wanted`."""
    rows = table(name).where(**wanted)
    return ReadWord(rows[0].text(column), rows[0]) if rows else gap(name, **wanted)


def read_at_or_above(
    name: str, column: str, key: str, least: float, /, **wanted: str | float
) -> Read | Gap:
    """The number in `column` of the row with the smallest `key` not below `least`, among rows that
    equal `wanted`.

    Nothing is interpolated: the row that was used says for which `key` it was printed.
    """
    rows = [row for row in table(name).where(**wanted) if row.number(key) >= least]
    if not rows:
        return gap(name, **wanted, **{f"{key} not below": least})
    row = min(rows, key=lambda row: row.number(key))
    return Read(row.number(column), row)
