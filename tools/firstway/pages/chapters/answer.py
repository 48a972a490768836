"""Pages: what answering a directive gives: HTML with the sources it rests on, or what is wrong with
the directive.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from firstway.choosing.completing import Completed
from firstway.files.plain_values import suggestion
from firstway.frozen import dataclass
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.notes_on_tap import Note
from firstway.pages.shared.project import Chapter, Project
from firstway.rendering.html import Markup
from firstway.tables.reading import Row, table, table_names
from firstway.workings.shared.step import Step


@dataclass(frozen=True)
class Answer:
    """HTML, the ids of the sources it rests on, and the notes that open on tap.

    `draws` names a drawing the HTML holds; `refers_to` gives the name and the HTML of one it only
    refers to.
    """

    html: Markup
    sources: tuple[str, ...] = ()
    notes: tuple[Note, ...] = ()
    draws: str = ""
    refers_to: tuple[str, Markup] = ("", Markup())


@dataclass(frozen=True)
class Complaint:
    """What is wrong with a directive; the caller knows file and line."""

    message: str
    hint: str


def answer_data(answer: Answer) -> dict[str, Any]:
    """The answer as plain data."""
    return {
        "html": str(answer.html),
        "sources": answer.sources,
        "notes": [[note.id, note.title, str(note.html)] for note in answer.notes],
        "draws": answer.draws,
        "refers_to": [answer.refers_to[0], str(answer.refers_to[1])],
    }


def answer_from_data(data: Mapping[str, Any]) -> Answer:
    """The answer of such data."""
    name, html = data["refers_to"]
    return Answer(
        Markup(data["html"]),
        tuple(data["sources"]),
        tuple(Note(id, title, Markup(words)) for id, title, words in data["notes"]),
        data["draws"],
        (name, Markup(html)),
    )


Answering = Callable[[Chapter, Guide, tuple[str, ...]], "Answer | Complaint"]


def unknown(what: str, word: str, known: Iterable[str]) -> Complaint:
    """A word that is none of those known, with the nearest of them."""
    choices = list(known)
    some = ", ".join(choices[:12]) + (" ..." if len(choices) > 12 else "")
    return Complaint(f"unknown {what} '{word}'", suggestion(word, choices) or f"known are: {some}")


def job_named(project: Project, name: str) -> Completed | Complaint:
    """The installation of that name."""
    return project.job(name) or unknown(
        "installation", name, [job.installation.name for job in project.jobs]
    )


def rows_where(name: str, keys: Iterable[str]) -> tuple[Row, ...] | Complaint:
    """The rows of a table that have every `column=word`."""
    if name not in table_names():
        return unknown("table", name, table_names())
    pairs = dict(key.partition("=")[::2] for key in keys)
    columns = table(name).columns
    for column in pairs:
        if column not in columns:
            return unknown("column", column, columns)
    return table(name).where(**pairs) if pairs else table(name).rows


def sources_of(step: Step) -> tuple[str, ...]:
    """What a step rests on."""
    return (step.source, *(row.source for row in step.rows))
