"""Pages: lists of what the guide holds, made from the data so that no page promises what is not
there.
"""

from __future__ import annotations

from collections.abc import Callable
from html import escape

from firstway.choosing.completing import Completed
from firstway.pages.jobs.findings_part import summary_html
from firstway.pages.shared.citing import RULE_WORDS
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.markup import counted, list_html, table_html
from firstway.rendering.columns import column_words, table_words
from firstway.tables.reading import STANDINGS, standings_counted, table

_SYSTEM_WORDS = {
    "TN-S": "TN-S",
    "TN-C-S": "TN-C-S (combined earth and neutral in the street)",
    "TT": "TT (own electrode)",
    "grounded": "grounded system",
}


def list_of_jobs(guide: Guide) -> str:
    """A card for each job.

    The links are relative to the guide's first page or to a page one folder below.
    """
    cards = "".join(job_card(job) for job in guide.jobs)
    return f'<div class="cards">{cards}</div>' if cards else "<p>No job yet.</p>"


def job_card(job: Completed) -> str:
    """Title, what it is, and how the checks came out."""
    installation = job.installation
    return (
        f'<a class="card" href="{{root}}jobs/{escape(installation.name)}/index.html">'
        f'<span class="card-title">{escape(installation.title)}</span>'
        f'<span class="card-line">{escape(one_line(job))}</span>{summary_html(job.findings)}</a>'
    )


def one_line(job: Completed) -> str:
    """Supply, number of points and current in one line."""
    installation = job.installation
    supply = installation.supply
    phases = "three phases" if supply.phases == 3 else "one phase"
    points = counted(len(installation.charging_points), "charging point")
    return f"{_SYSTEM_WORDS.get(str(supply.system), str(supply.system))}, {phases}, {points}"


def list_of_quizzes(guide: Guide) -> str:
    """Links to every quiz."""
    cards = "".join(
        f'<a class="card" href="{{root}}{escape(sheet.path.removesuffix(".md"))}.html">'
        f'<span class="card-title">{escape(sheet.title)}</span>'
        f'<span class="card-line">{escape(sheet.description)}</span></a>'
        for sheet in guide.quizzes
    )
    return f'<div class="cards">{cards}</div>' if cards else "<p>No quiz yet.</p>"


def list_of_left_out(guide: Guide) -> str:
    """Installations that were read but cannot be worked yet, and why."""
    if not guide.left_out:
        return "<p>None.</p>"
    return list_html(
        f"<strong>{escape(item.title)}</strong>: {escape(item.why)}" for item in guide.left_out
    )


def list_of_gaps() -> str:
    """Standard sizes the tables do not hold: choosing refuses rather than skip one."""
    gaps = table("gaps")
    head = [escape(column_words(column)) for column in gaps.columns]
    words: dict[str, Callable[[str], str]] = {
        "table": table_words,
        "rule_set": lambda name: RULE_WORDS.get(name, name),
    }
    rows = [
        [escape(words.get(column, str)(row.cells[column])) for column in gaps.columns]
        for row in gaps.rows
    ]
    return table_html(head, rows, "What the tables do not hold")


def list_of_standings() -> str:
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
