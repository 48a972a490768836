"""Pages: reads the project's data once, makes what its pages show, answers what authors ask for,
and gives every problem at once.
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
from firstway.files.disk import name_problems, text_if_there, text_of_file
from firstway.model.installation import Installation
from firstway.model.mistakes import Mistake, mistakes_from_yaml
from firstway.model.read_copy import ReadClause, beside
from firstway.model.reading import installation_from_yaml
from firstway.pages.chapters.chapter_check import chapters_problems
from firstway.pages.chapters.directives import answers
from firstway.pages.chapters.practice import practice_questions
from firstway.pages.chapters.safe_markup import markup_problems
from firstway.pages.quizzes.quiz_pages import quiz_sheets
from firstway.pages.shared.front_matter import front_matter
from firstway.pages.shared.glossary import GLOSSARY_FILE as GLOSSARY
from firstway.pages.shared.glossary import Entry, glossary_from_yaml
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, LeftOut, Project
from firstway.pages.shared.sheet import PageSheet
from firstway.problems import Problem
from firstway.quiz.shelf import shelf_from
from firstway.workings.working_through import not_worked_yet

GatheringProgress = Callable[[str], None]
DRAWN_BY: dict[str, Callable[[Completed, str], Drawn]] = {
    "single-line": single_line,
    "board": board_front,
    "wiring": wiring_diagram,
}
NOT_INSTALLATIONS = ("mistakes.yaml",)


def quiet(_: str) -> None:
    """No progress."""


def gathered(
    root: Path, progress: GatheringProgress = quiet
) -> tuple[Guide, list[PageSheet], list[Problem]]:
    """The guide of the project folder `root`, its hand-written pages answered, and all problems."""
    project, problems = project_from(root, progress)
    guide, of_questions = guide_of(project, progress)
    sheets, of_pages = hand_written(guide, progress)
    return guide, sheets, sorted({*problems, *of_questions, *of_pages})


def project_from(root: Path, progress: GatheringProgress) -> tuple[Project, list[Problem]]:
    """Everything below `root`, its installations worked; and what is wrong with the files."""
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
    shelf, found = shelf_from(root)
    project = Project(
        root,
        tuple(jobs),
        tuple(left_out),
        tuple(broken),
        tuple(_chapters(root, problems)),
        _mistakes(root, problems),
        _glossary(root, problems),
        shelf,
    )
    return project, [*problems, *found, *chapters_problems(project)]


def guide_of(project: Project, progress: GatheringProgress) -> tuple[Guide, list[Problem]]:
    """The drawings, quizzes and practice questions of a project, and what is wrong with the
    questions once they are worked.
    """
    layouts = {job.installation.name: wiring_layout(job) for job in project.jobs}
    drawings = {
        (name, view): (
            drawn_from(layouts[name], f"{name}-{view}")
            if view == "wiring"
            else draw(job, f"{name}-{view}")
        )
        for job in project.jobs
        for name in (job.installation.name,)
        for view, draw in DRAWN_BY.items()
    }
    progress("reading the questions")
    quizzes, problems = quiz_sheets(project)
    questions, found = practice_questions(project)
    return Guide(project, layouts, drawings, quizzes, questions), [*problems, *found]


def hand_written(
    guide: Guide, progress: GatheringProgress
) -> tuple[list[PageSheet], list[Problem]]:
    """Every hand-written page with its directives answered, and what is wrong with them."""
    sheets, problems = [], []
    for page in guide.project.chapters:
        progress(f"answering {page.file}")
        text, parts, found = answers(page, guide)
        front = page.front
        sheets.append(PageSheet(page.path, front.title, text, parts, front.description))
        problems += found
    return sheets, problems


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
