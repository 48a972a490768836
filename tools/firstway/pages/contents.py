"""Pages: what page stands where in the contents beside every page."""

from __future__ import annotations

import posixpath
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from firstway.pages.chapters.ways_in import CARDS, REFRESH, pages_in
from firstway.pages.jobs.own_job_page import OWN_JOB
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import AnySheet
from firstway.quiz.paper.coming_back import SESSIONS

CHOSEN_WHILE_OPEN = frozenset(session.id for session in SESSIONS)
LEARN = "Learn it"  # the author's entry that the chapters stand in
TUTORS = "tutors/"
_WORDS, _TEACHING, _KEYS = "glossary.md", "teach.md", "what-the-file-says/"
_TASKS = ("the-job.md", "say-why.md")
_READING = ("symbols.md", "colours.md")

Contents = list[Any]
"""Paths of pages, and titles with the contents below them."""
JOBS, CHAPTERS, QUIZZES = "jobs/index.md", "chapters/index.md", "quizzes/index.md"


def contents(by_author: Contents, project: Project, sheets: Sequence[AnySheet]) -> Contents:
    """The author's entries, the chapters within them, and what is made before the last."""
    entries = [
        (
            {LEARN: [*chapter_paths(project), *entry[LEARN]]}
            if isinstance(entry, dict) and LEARN in entry
            else entry
        )
        for entry in by_author
    ]
    return [*entries[:-1], *_made(project, sheets), *entries[-1:]]


def is_of_a_job(path: str) -> bool:
    """Whether a page is one of a job's own: they stand in each other's contents and in nobody
    else's, or every page would grow with the number of jobs.
    """
    return path.startswith("jobs/") and path != JOBS


def _made(project: Project, sheets: Sequence[AnySheet]) -> Contents:
    """Jobs, quizzes, boards, decisions, cards, teaching and reference, where there are any."""

    def below(*folders: str) -> list[str]:
        return [sheet.path for sheet in sheets if sheet.path.startswith(folders)]

    own = {f"quizzes/{chapter.id}.md" for chapter in project.outcomes}
    quizzes = [
        {f"Quiz: {sheet.title}" if sheet.path in own else sheet.title: sheet.path}
        for sheet in sheets
        if sheet.path.startswith("quizzes/")
    ]
    by_hand = [page.path for page in project.chapters if page.path == QUIZZES]
    by_tutors = [page.path for page in pages_in(project, TUTORS)]
    tutors = [*below(_TEACHING), *by_tutors, *below(TUTORS)]
    practise = [
        *_titled("Worked examples", below("worked/")),
        *below(*_TASKS),
        *_titled("Bench tasks", below("bench/")),
    ]
    return [
        *_titled("Jobs", [JOBS]),
        *below(OWN_JOB),
        *_titled("Quizzes", [*by_hand, *quizzes]),
        *_titled("Practise it", practise),
        *_titled("Boards with a mistake", in_tens(below("mistakes/"))),
        *_titled("Decisions", _folder(project, REFRESH)),
        *_titled("Quick cards", _folder(project, CARDS)),
        *(_titled("Teach it", tutors) if len(tutors) > 1 else tutors),
        *_titled("Reading the drawings", below(*_READING)),
        *_titled("All pictures", below("pictures/")),
        *_titled("Rules and tables", below("rules/", "tables/")),
        *below(_WORDS),
        *_titled("What the file says", below(_KEYS)),
    ]


def _titled(title: str, paths: Contents) -> Contents:
    return [{title: paths}] if paths else []


def chapter_paths(project: Project) -> list[str]:
    """Their index, the chapters in the order in which they are learnt, then those that belong to
    none.
    """
    own = [page for page in project.chapters if page.path.startswith("chapters/")]
    order = {chapter.id: place for place, chapter in enumerate(project.outcomes)}
    return [
        page.path
        for page in sorted(
            own,
            key=lambda page: (
                page.path != CHAPTERS,
                order.get(page.front.chapter, len(order)),
                page.path,
            ),
        )
    ]


def learning_path(project: Project, quizzes: Iterable[str]) -> list[str]:
    """The way through the guide: a chapter, its quick quiz, the review that belongs there; the
    mock at the end. `quizzes` are the paths of those that have a page.
    """
    there, recipes = set(quizzes), project.shelf.recipes

    def those(ids: Iterable[str]) -> Iterator[str]:
        return (path for id_ in ids if (path := f"quizzes/{id_}.md") in there)

    found: list[str] = []
    for chapter in project.outcomes:
        page = project.chapter_page(chapter.id)
        found += [page.path] if page else []
        found += those(each.id for each in recipes if each.chapter == chapter.id)
        found += those(each.id for each in recipes if each.review == chapter.id)
    return [*found, *those(each.id for each in recipes if each.mock)]


def ways_on(path: Sequence[str], others: Iterable[str]) -> list[list[str]]:
    """Pages that lead to one another at their foot: the way through the guide, from the list of
    chapters on, and the pages of each other folder. Where a way ends, nothing leads on.

    >>> ways_on(["chapters/a.md", "quizzes/a.md"], ["index.md", "cards/1.md", "cards/2.md", "b.md"])
    [['chapters/index.md', 'chapters/a.md', 'quizzes/a.md'], ['cards/1.md', 'cards/2.md']]
    """
    folders: dict[str, list[str]] = {}
    for each in others:
        folder = posixpath.dirname(each)
        if folder and each not in path and each not in (CHAPTERS, QUIZZES):
            folders.setdefault(folder, []).append(each)
    return [[CHAPTERS, *path], *folders.values()]


def in_tens(paths: list[str]) -> Contents:
    """The index, then the boards ten by ten: a column of fifty hides the rest of the contents."""
    index, boards = paths[:1], paths[1:]
    tens = [boards[first : first + 10] for first in range(0, len(boards), 10)]
    return [
        *index,
        *(
            {f"Boards {10 * place + 1} to {10 * place + len(ten)}": ten}
            for place, ten in enumerate(tens)
        ),
    ]


def _folder(project: Project, folder: str) -> list[str]:
    """The pages of a folder after its index; nothing where there is no page but the index."""
    own = [page.path for page in pages_in(project, folder)]
    index = [page.path for page in project.chapters if page.path == f"{folder}index.md"]
    return [*index, *own] if own else []


def is_one_sheet(path: str) -> bool:
    """Whether a page prints on one sheet of A4."""
    return path.startswith(CARDS) and not path.endswith("index.md")


def is_bench_sheet(path: str) -> bool:
    """Whether a page prints as a task for the hands, on a sheet or two of A4."""
    return path.startswith("bench/") and not path.endswith("index.md")


def stands_alone(path: str, project: Project) -> bool:
    """Whether a page is also one file: chapters and quizzes are opened on phones, which show one
    file without its folder.
    """
    if path.removeprefix("quizzes/").removesuffix(".md") in CHOSEN_WHILE_OPEN:
        return False  # they load their questions from other files
    return (path.startswith("quizzes/") and path != QUIZZES) or any(
        page.path == path and page.front.chapter for page in project.chapters
    )
