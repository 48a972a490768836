"""Pages: the clauses to confirm, to tick with the book open: one list of the whole guide, and one
of each job.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from firstway.checks.running import rules
from firstway.choosing.completing import Completed
from firstway.model.read_copy import ENDING
from firstway.pages.reference.rules_page import rule_page
from firstway.pages.shared.markup import inert
from firstway.pages.shared.project import Project, told_of
from firstway.pages.shared.sheet import NOT_SEARCHED, PageSheet, part_mark
from firstway.rendering.citing import RULE_WORDS, clauses_of_source, note_words, standing_words
from firstway.rendering.html import Markup, caution_fold_html, counted, joined, table_html, tag
from firstway.tables.clauses import BOOKS, clause_standing
from firstway.tables.reading import sources, table

_PAGE = "clauses"
GUIDE_PATH = "rules/clauses.md"
_KEPT = (
    "A tick on this page is not kept: print it, or note each clause in a file beside the job's own,"
    " `NAME{ending}`, with clause, edition, day and initials, and a remark in your own words or"
    " none. The guide then shows whose note it is beside every figure that rests on the clause."
    " Verdicts and standings stay as they are. No text of a standard belongs in that file."
)
_MOST_NAMED = 2  # of what rests on a clause: the page stays one that can be printed
_DIGITS = re.compile(r"(\d+)")
_STRETCH = re.compile(r",? stretch \d+")

Uses = dict[str, dict[str, str]]
"""Clause -> what rests on it in words -> where that stands, `""` for nowhere."""


def clauses_page(project: Project) -> PageSheet:
    """Every clause that a check, a table or a working of the guide names, book by book."""
    uses = {book: _of_guide(book) for book in BOOKS}
    jobs = told_of(project.jobs, "clauses", clauses_of)
    for job in jobs:
        for clause, rests in job["uses"].items():
            uses[job["book"]].setdefault(clause, rests)
    notes = [(job["title"], job["notes"]) for job in jobs if job["notes"]]
    parts = {"caution": caution_fold_html()} | {
        f"book-{book}": _from_its_folder(
            _table(
                book, own, [note for job in jobs if job["book"] == book for note in job["notes"]]
            )
        )
        for book, own in uses.items()
        if own
    }
    text = [
        f"{NOT_SEARCHED}# Clauses to confirm",
        (
            "For whoever holds the book. Every clause the guide rests on, in the order of the book,"
            " with what rests on it.\n{ .for }"
        ),
        part_mark("caution"),
        _KEPT.format(ending=ENDING),
    ]
    for book, own in uses.items():
        if own:
            text += [
                f"## {RULE_WORDS[book]}, {counted(len(own), 'clause')} {{#{book}}}",
                part_mark(f"book-{book}"),
            ]
    if notes:
        parts["read"] = joined(
            tag("h3", title) + tag("ul", joined(tag("li", words) for _, words in read))
            for title, read in notes
        )
        text += [
            "## What readers noted {#read}",
            "Theirs, and no finding of this guide.",
            part_mark("read"),
        ]
    return PageSheet(
        GUIDE_PATH,
        "Clauses to confirm",
        "\n\n".join(text) + "\n",
        parts,
        "Every clause the guide rests on, to tick with the book open.",
    )


def _from_its_folder(html: Markup) -> Markup:
    """The links written from the folder the page stands in: hundreds of them, a few bytes each."""
    return Markup(str(html).replace(f'="{{root}}{GUIDE_PATH.partition("/")[0]}/', '="'))


def job_clauses_page(completed: Completed) -> PageSheet:
    """The clauses one job rests on."""
    installation = completed.installation
    uses, notes = _of_job(completed), _notes_of(completed)
    parts = {"caution": caution_fold_html(), "clauses": _table(installation.rules, uses, notes)}
    strays = [words for clause, words in notes if clause not in uses]
    text = [
        f"{NOT_SEARCHED}# Clauses to confirm: {inert(installation.title)}",
        (
            f"For whoever holds {RULE_WORDS[installation.rules]}: {counted(len(uses), 'clause')}"
            " this job rests on, in the order of the book. [Back to the job](index.md).\n{"
            " .for }"
        ),
        part_mark("caution"),
        _KEPT.format(ending=ENDING),
        part_mark("clauses"),
    ]
    if strays:
        parts["strays"] = tag("ul", joined(tag("li", words) for words in strays))
        text += [
            "## Noted too {#noted-too}",
            "Nothing in this job rests on these.",
            part_mark("strays"),
        ]
    return PageSheet(
        f"jobs/{installation.name}/{_PAGE}.md",
        f"Clauses to confirm: {installation.title}",
        "\n\n".join(text) + "\n",
        parts,
        f"The clauses {installation.title} rests on, to tick with the book open.",
    )


def clauses_link(completed: Completed) -> str:
    """Markdown for the job's page."""
    return (
        f"[{counted(len(_of_job(completed)), 'clause')} to confirm]({_PAGE}.md), to tick with the"
        " book open."
    )


def clauses_of(completed: Completed) -> dict[str, Any]:
    """What the list of the whole guide says of a job, as plain data."""
    installation = completed.installation
    return {
        "book": installation.rules,
        "title": installation.title,
        "uses": _of_job(completed),
        "notes": _notes_of(completed),
    }


def _of_job(completed: Completed) -> Uses:
    """The clauses that findings and steps of a job name in its own book."""
    book, uses = completed.installation.rules, Uses()
    titles = {module.RULE.id: module.RULE.title for module in rules()}
    for finding in completed.findings:
        _add(
            uses,
            clauses_of_source(finding.source, book),
            titles.get(finding.id, finding.id),
            _rule_address(finding.id, book),
        )
    for step in completed.case.workings:
        for source in (step.source, *(row.source for row in step.rows)):
            _add(
                uses,
                clauses_of_source(source, book),
                f"working: {_STRETCH.sub('', step.title)}",
                "",
            )
    return uses


def _of_guide(book: str) -> Uses:
    """The clauses that checks and tables name, whatever the jobs."""
    uses = Uses()
    for row in table("clause_standing").where(rule_set=book):
        uses.setdefault(row.text("clause"), {})
    for source in sources().values():
        words = source.title.partition(BOOKS[book])[2]
        if words:
            _add(
                uses,
                clauses_of_source(source.id, book)[:1],
                f"table rows: {words.split(', ')[-1]}",
                f"{{root}}about.html#source-{source.id}",
            )
    for module in rules():
        if book in module.RULE.rule_sets:
            _add(
                uses,
                clauses_of_source(module.RULE.source, book),
                module.RULE.title,
                _rule_address(module.RULE.id, book),
            )
    return uses


def _rule_address(rule_id: str, book: str) -> str:
    return f"{{root}}{rule_page(rule_id, book)}.html#rule-{rule_id}"


def _add(uses: Uses, clauses: Iterable[str], words: str, where: str) -> None:
    for clause in clauses:
        uses.setdefault(clause, {}).setdefault(words, where)


def _notes_of(completed: Completed) -> list[list[str]]:
    """Clause, and what a reader noted of it, in words."""
    return [[note.clause.partition("(")[0], note_words(note)] for note in completed.read]


def _table(
    book: str, uses: Mapping[str, Mapping[str, str]], notes: Sequence[Sequence[str]]
) -> Markup:
    """A row a clause: a box, its number, how the guide holds it, what rests on it, and whose note
    there is, else room for one.
    """
    rows = (_row(book, clause, uses[clause], notes) for clause in sorted(uses, key=_in_the_book))
    head = ("done", "clause", "held here", "what rests on it", "read: day, initials")
    name = f"Clauses of {RULE_WORDS[book]}"
    return table_html(head, rows, name, "plain rows clauses", named_by=1)


def _row(
    book: str, clause: str, uses: Mapping[str, str], notes: Sequence[Sequence[str]]
) -> tuple[str, ...]:
    shown = [
        tag("a", words, href=where) if where else words
        for words, where in list(uses.items())[:_MOST_NAMED]
    ]
    if len(uses) > _MOST_NAMED:
        shown.append(f"and {len(uses) - _MOST_NAMED} more")
    own = tag("br").join(words for noted, words in notes if noted == clause)
    return (
        tag("input", type="checkbox", aria_label=clause),
        clause,
        standing_words(clause_standing(book, clause)).partition(",")[0],
        joined(shown, "; ") or "named in chapters",
        tag("span", own, class_="reader") if own else "",
    )


def _in_the_book(clause: str) -> tuple[int, tuple[tuple[int, str], ...]]:
    """Numbered clauses in their order, then tables, annexes and parts."""
    pieces = tuple(
        (int(piece), "") if piece.isdigit() else (0, piece)
        for piece in _DIGITS.split(clause)
        if piece
    )
    return (0 if clause[0].isdigit() else 1, pieces)
