"""Pages: reads the project's data once and gives everything the guide is made from, and every
problem at once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from firstway.choosing.completing import Completed, completed
from firstway.drawing.board_front import board_front
from firstway.drawing.single_line import single_line
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.wiring_diagram import wiring_diagram, wiring_layout
from firstway.files.names import name_problems
from firstway.files.text_reader import text_if_there, text_of_file
from firstway.model.installation import Installation
from firstway.model.mistakes import Mistake, mistakes_from_yaml
from firstway.model.read_copy import ReadClause, beside
from firstway.model.reading import installation_from_yaml
from firstway.pages.chapters.chapter_check import chapters_problems
from firstway.pages.chapters.directives import answers
from firstway.pages.chapters.front_matter import front_matter, parted
from firstway.pages.chapters.practice import practice_questions
from firstway.pages.chapters.safe_markup import markup_problems
from firstway.pages.quizzes.quiz_pages import quiz_sheets
from firstway.pages.shared.glossary import GLOSSARY_FILE as GLOSSARY
from firstway.pages.shared.glossary import Entry, glossary_from_yaml
from firstway.pages.shared.guide import Chapter, Guide, LeftOut
from firstway.problems import Problem
from firstway.quiz.bank.shelf import shelf_from
from firstway.workings.shared.working_through import not_worked_yet

GatheringProgress = Callable[[str], None]
DRAWN_BY: dict[str, Callable[[Completed, str], Drawn]] = {
    "single-line": single_line,
    "board": board_front,
    "wiring": wiring_diagram,
}
NOT_INSTALLATIONS = ("mistakes.yaml",)


def quiet(_: str) -> None:
    """No progress."""


def gathered(root: Path, progress: GatheringProgress = quiet) -> tuple[Guide, list[Problem]]:
    """Everything below `root` (the project folder): jobs, drawings, quizzes, chapters; and all
    problems.
    """
    problems: list[Problem] = []
    jobs: list[Completed] = []
    left_out: list[LeftOut] = []
    broken: list[str] = []
    for installation, read in _installations(root, problems, broken):
        progress(f"working {installation.file}")
        why = not_worked_yet(installation)
        if why:
            left_out.append(LeftOut(installation.name, installation.title, why))
            continue
        job, found = completed(installation)
        problems += found
        if job:
            jobs.append(replace(job, read=read))
        else:
            broken.append(installation.name)
    layouts = {job.installation.name: wiring_layout(job) for job in jobs}
    drawings = {
        (name, view): (
            drawn_from(layouts[name], f"{name}-{view}")
            if view == "wiring"
            else draw(job, f"{name}-{view}")
        )
        for job in jobs
        for name in (job.installation.name,)
        for view, draw in DRAWN_BY.items()
    }
    shelf, found = shelf_from(root)
    problems += found
    guide = Guide(
        tuple(jobs),
        drawings,
        (),
        tuple(_chapters(root, problems)),
        tuple(left_out),
        tuple(broken),
        _mistakes(root, problems),
        _glossary(root, problems),
        shelf.chapters,
        shelf.bank,
        layouts=layouts,
    )
    progress("reading the questions")
    quizzes, quiz_problems = quiz_sheets(root, guide, shelf)
    problems += quiz_problems
    guide = replace(
        guide, quizzes=quizzes, questions={} if broken else practice_questions(guide, problems)
    )
    answered = {}
    for chapter in guide.chapters:
        progress(f"answering {chapter.file}")
        text, parts, found = answers(parted(chapter.text)[1], guide, chapter.file)
        answered[chapter.path] = (text.lstrip("\n"), parts)
        problems += found
    problems += chapters_problems(guide)
    return replace(guide, answered=answered), sorted(set(problems))


def _installations(
    root: Path, problems: list[Problem], broken: list[str]
) -> Iterator[tuple[Installation, tuple[ReadClause, ...]]]:
    """Every installation, and what a reader noted beside it."""
    for path in sorted((root / "diagrams").glob("*.yaml")):
        if path.name in NOT_INSTALLATIONS:
            continue
        shown_as = path.relative_to(root).as_posix()
        text, found = text_of_file(path, shown_as)
        found += name_problems(path.stem, shown_as)
        installation = None
        if not found:
            installation, found = installation_from_yaml(text, shown_as, path.stem)
        read, wrong = beside(path, shown_as)
        problems += [*found, *wrong]
        if installation:
            yield installation, read
        else:
            broken.append(path.stem)


def _mistakes(root: Path, problems: list[Problem]) -> tuple[Mistake, ...]:
    """The mistakes of the gallery; a project without the file has no gallery."""
    path = root / "diagrams" / NOT_INSTALLATIONS[0]
    shown_as = path.relative_to(root).as_posix()
    text, found = text_if_there(path, shown_as)
    mistakes: tuple[Mistake, ...] = ()
    if text is not None:
        mistakes, found = mistakes_from_yaml(text, shown_as)
    problems += found
    return mistakes


def _chapters(root: Path, problems: list[Problem]) -> Iterator[Chapter]:
    content = root / "content"
    for path in sorted(content.rglob("*.md")):
        shown_as = path.relative_to(root).as_posix()
        text, found = text_of_file(path, shown_as)
        found += name_problems(path.stem, shown_as)
        front, wrong = front_matter(text, shown_as)
        problems += [*found, *wrong, *markup_problems(text, shown_as)]
        yield Chapter(path.relative_to(content).as_posix(), shown_as, text, front)


def _glossary(root: Path, problems: list[Problem]) -> tuple[Entry, ...]:
    """The words of the guide; a project without the file has none."""
    text, found = text_if_there(root / GLOSSARY, GLOSSARY)
    entries, wrong = glossary_from_yaml(text, GLOSSARY) if text is not None else ((), [])
    problems += [*found, *wrong]
    return entries
