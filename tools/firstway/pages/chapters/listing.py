"""Pages: lists of what the guide holds, made from the data so that no page promises what is not
there.
"""

from __future__ import annotations

from collections.abc import Callable

from firstway.rendering.citing import RULE_WORDS
from firstway.rendering.columns import column_words, table_words
from firstway.rendering.html import Markup, table_html
from firstway.tables.reading import STANDINGS, standings_counted, table


def list_of_gaps() -> Markup:
    """Standard sizes the tables do not hold: choosing refuses rather than skip one."""
    gaps = table("gaps")
    head = [column_words(column) for column in gaps.columns]
    words: dict[str, Callable[[str], str]] = {
        "table": table_words,
        "rule_set": lambda name: RULE_WORDS.get(name, name),
    }
    rows = [
        [words.get(column, str)(row.cells[column]) for column in gaps.columns] for row in gaps.rows
    ]
    return table_html(head, rows, "What the tables do not hold")


def list_of_standings() -> Markup:
    """How many rows of the tables, and how many clauses of BS 7671, are of each standing: counted
    while the guide is built.
    """
    rows = standings_counted()
    clauses = standings_counted("clause_standing", rule_set="bs7671")
    cells = [
        (standing, str(rows[standing]), str(clauses[standing] or "")) for standing in STANDINGS
    ]
    return table_html(
        ("standing", "rows of the tables", "clauses of BS 7671 among them"),
        [*cells, ("all", str(rows.total()), str(clauses.total()))],
        "How far the numbers and clauses may be relied on",
    )
