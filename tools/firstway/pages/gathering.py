"""Pages: reads the project's data once, makes what its pages show, answers what authors ask for,
and gives every problem at once.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from functools import partial
from hashlib import sha256
from pathlib import Path
from typing import Any

from firstway.drawing.svg import Drawn
from firstway.drawing.wiring_diagram import wiring_layout
from firstway.files.disk import name_problems, text_if_there, text_of_file
from firstway.files.keeping import found_again, in_use, kept, remember
from firstway.files.reads import MadeOnce, note_read
from firstway.model.mistakes import Mistake, mistakes_from_yaml
from firstway.model.read_copy import beside
from firstway.pages.chapters.bench_pages import bench_pages
from firstway.pages.chapters.chapter_check import chapters_problems
from firstway.pages.chapters.directives import ANSWERED_EACH, answers
from firstway.pages.chapters.job_through import job_page
from firstway.pages.chapters.practice import practice_questions
from firstway.pages.chapters.reading_length import minutes
from firstway.pages.chapters.safe_markup import markup_problems
from firstway.pages.chapters.say_why_page import say_why_page
from firstway.pages.made_jobs import (
    DRAWN_BY,
    JobFile,
    MadeJob,
    drawings_of_job,
    job_made_away,
    keep_job,
    known_job,
    made_job,
    sheets_of_job,
    steps_of_job,
    worked_job,
)
from firstway.pages.quizzes.quiz_pages import quiz_sheets
from firstway.pages.quizzes.wall_page import WALL
from firstway.pages.quizzes.worked_pages import worked_pages
from firstway.pages.shared.front_matter import front_matter
from firstway.pages.shared.glossary import GLOSSARY_FILE as GLOSSARY
from firstway.pages.shared.glossary import Entry, glossary_from_yaml
from firstway.pages.shared.guide import Guide, MadeOnAsking
from firstway.pages.shared.project import Chapter, Jobs, LeftOut, Project, work_ahead
from firstway.pages.shared.sheet import PageSheet, SheetHead, sheet_data
from firstway.problems import Problem
from firstway.quiz.shelf import shelf_from
from firstway.spreading.spread import do_ahead, spread
from firstway.spreading.workers import ONE_PROCESS, Workers

GatheringProgress = Callable[[str], None]
NOT_INSTALLATIONS = ("mistakes.yaml",)
_HELD = 24  # layouts and drawings
_ANSWERED = "chapters"


def quiet(_: str) -> None:
    """No progress."""


def gathered(
    root: Path, progress: GatheringProgress = quiet, by: Workers = ONE_PROCESS
) -> tuple[Guide, list[PageSheet], list[Problem]]:
    """The guide of the project folder `root`, its hand-written pages answered, and all problems.

    Only what has changed is made; jobs that have are worked by the workers.
    """
    problems: list[Problem] = []
    broken: list[str] = []
    chapters = tuple(_chapters(root, problems))
    files = {file.name: file for file in _job_files(root, chapters, problems, broken)}
    made, anew = _made_jobs(files, progress, by)
    for job in made.values():
        problems += job.problems
    whole = [name for name, job in made.items() if job.heads]
    jobs = Jobs({name: made[name].told for name in whole}, lambda name: worked_job(files[name]))
    shelf, found = shelf_from(root)
    project = Project(
        root,
        jobs,
        tuple(LeftOut(name, job.title, job.why) for name, job in made.items() if job.why),
        (*broken, *(name for name, job in made.items() if job.problems)),
        chapters,
        _mistakes(root, problems),
        _glossary(root, problems),
        shelf,
    )
    problems += [*found, *chapters_problems(project)]
    stands = _Standing(project, files, whole)
    progress("reading the questions")
    marked, question_files, found = quiz_sheets(project, stands, by)
    stands.quizzes = tuple(each for each in marked if each.path != WALL)
    by_themselves = [each for each in marked if each.path == WALL]
    problems += found
    wrong: list[Problem] = []
    sheets: MadeOnce[str, dict[str, PageSheet]] = MadeOnce(
        lambda name: sheets_of_job(files[name]), 1
    )
    guide = Guide(
        project,
        MadeOnAsking(whole, lambda name: wiring_layout(jobs.whole(name)), _HELD),
        MadeOnAsking(
            ((name, view) for name in whole for view in DRAWN_BY),
            lambda key: stands.drawing(*key),
            _HELD,
        ),
        stands.quizzes,
        question_files,
        practice_questions(project, wrong),
        tuple(
            SheetHead(path, title, description, digest, partial(_of_job, sheets, name, path))
            for name in whole
            for path, title, description, digest in made[name].heads
        ),
        stands,
    )
    again = [name for name in anew if name in whole]
    written, found = _hand_written(guide, wrong, progress, by, again)
    practised, more = _practised(guide)
    found += more
    whole_guide = replace(guide, practised=(*by_themselves, *practised))
    return whole_guide, written, sorted({*problems, *found})


def _practised(guide: Guide) -> tuple[list[PageSheet], list[Problem]]:
    """Worked examples, the one job, what is to be explained, tasks for the hands."""
    sheets: list[PageSheet] = []
    problems: list[Problem] = []
    if guide.project.broken:  # what only follows from that is not told
        return sheets, problems
    for name, make in _PRACTISED.items():
        own, found = kept(
            "practised",
            name,
            "",
            partial(make, guide),
            data=lambda made: None if made[1] else [sheet_data(sheet) for sheet in made[0]],
            thing=lambda data: ([PageSheet(**each) for each in data], []),
            stands=guide.stands,
        )
        sheets += own
        problems += found
    return sheets, problems


_PRACTISED = {
    "worked": worked_pages,
    "job": job_page,
    "say-why": say_why_page,
    "bench": bench_pages,
}


def _of_job(sheets: Callable[[str], Mapping[str, PageSheet]], name: str, path: str) -> PageSheet:
    return sheets(name)[path]


def _made_jobs(
    files: Mapping[str, JobFile], progress: GatheringProgress, by: Workers
) -> tuple[dict[str, MadeJob], list[str]]:
    """Each job, and the names of those that had changed."""
    known = {name: known_job(file) for name, file in files.items()}
    changed = [files[name] for name, job in known.items() if job is None]
    for file, job in zip(changed, _worked(changed, by)):
        progress(f"working {file.shown_as}")
        known[file.name] = job
    for name in files:
        keep_job(name)
    return {name: job for name, job in known.items() if job}, [file.name for file in changed]


def _worked(changed: list[JobFile], by: Workers) -> Iterator[MadeJob]:
    """Jobs by the workers; those of a cluster share no cache folder with us."""
    if not by.address:
        yield from spread(made_job, changed, by)
        return
    for job, away in spread(job_made_away, changed, by):
        for each in away:
            remember(*each)
        yield job


class _Standing:
    """How a part of the project stands now, as a number: the same as long as it is the same."""

    def __init__(self, project: Project, files: Mapping[str, JobFile], names: list[str]) -> None:
        self._project, self._files = project, files
        self._names = names
        self._steps = MadeOnce[str, dict[str, str]](lambda name: steps_of_job(files[name]), _HELD)
        self._drawn = MadeOnce[str, dict[str, Drawn]](lambda name: drawings_of_job(files[name]), 1)
        self._known: dict[str, str] = {}
        self.quizzes: tuple[PageSheet, ...] = ()

    def __call__(self, part: str) -> str:
        if part not in self._known:
            self._known[part] = sha256(repr(self._now(*part.partition(" "))).encode()).hexdigest()
        return self._known[part]

    def drawing(self, name: str, view: str) -> Drawn:
        """A drawing of a job: whoever shows it rests on nothing else of the job."""
        note_read(f"drawing {name} {view}")
        return self._drawn(name)[view]

    def _now(self, part: str, _: str, name: str) -> Any:
        project, unnoted = self._project, self._project.unnoted
        if part == "job":
            return name in self._names and self._files[name].digest
        if part == "step":
            job, _, step = name.partition(" ")
            return self._steps(job).get(step) if job in self._names else None
        if part == "drawing":
            job, _, view = name.partition(" ")
            return self._drawn(job).get(view) if job in self._names else None
        if part == "jobs":
            return self._names
        if part == "chapters":
            return [_head(page) for page in unnoted("chapters")]
        if part == "text":
            return [page.text for page in unnoted("chapters") if page.path == name]
        if part == "sections":
            return [page.has_sections for page in unnoted("chapters") if page.path == name]
        if part == "minutes":
            return [minutes(page.text) for page in unnoted("chapters") if page.path == name]
        if part == "chapter_page":
            return _head(project.chapter_page(name))
        if part == "quizzes":
            return [(each.path, each.title, each.description) for each in self.quizzes]
        if part == "outcomes":
            return project.outcomes
        if part in ("outcomes_of", "entry", "question"):
            return getattr(project, part)(name)
        if part in ("left_out", "broken", "mistakes", "glossary", "shelf"):
            return unnoted(part)
        return os.urandom(16)  # whoever reads anything else is always made anew


def _head(page: Chapter | None) -> Any:
    return page and (page.path, page.front)


def _hand_written(
    guide: Guide,
    of_questions: list[Problem],
    progress: GatheringProgress,
    by: Workers,
    again_worked: Collection[str],
) -> tuple[list[PageSheet], list[Problem]]:
    """Every hand-written page with its directives answered, and what is wrong with them; of the
    jobs that changed all is asked, of the others little.
    """

    def answered(page: Chapter) -> tuple[PageSheet, list[Problem]]:
        progress(f"answering {page.file}")
        told = len(of_questions)
        text, parts, found = answers(page, guide, of_questions)
        front = page.front
        sheet = PageSheet(page.path, front.title, text, parts, front.description)
        return sheet, [*found, *of_questions[told:]]

    def again(data: Any) -> tuple[PageSheet, list[Problem]]:
        return PageSheet(**data), []

    def answered_once(page: Chapter) -> tuple[PageSheet, list[Problem]]:
        return kept(
            _ANSWERED,
            page.path,
            "",
            lambda: answered(page),
            data=lambda made: None if made[1] else sheet_data(made[0]),
            thing=again,
            stands=guide.stands,
        )

    pages = guide.project.chapters
    found = {
        page.path: found_again(_ANSWERED, page.path, "", thing=again, stands=guide.stands)
        for page in pages
    }
    for page in pages:
        in_use(ANSWERED_EACH, page.path)
    changed = [page for page in pages if found[page.path] is None]
    do_ahead(answered_once, changed, by, lambda: work_ahead(guide.project.jobs, again_worked))
    made = [found[page.path] or answered_once(page) for page in pages]
    return [sheet for sheet, _ in made], [problem for _, wrong in made for problem in wrong]


def _job_files(
    root: Path, pages: Collection[Chapter], problems: list[Problem], broken: list[str]
) -> Iterator[JobFile]:
    """Every installation as text, what a reader noted beside it, and the decisions it shows."""
    for path in sorted((root / "diagrams").glob("*.yaml")):
        if path.name in NOT_INSTALLATIONS:
            continue
        shown_as = path.relative_to(root).as_posix()
        text, found = text_of_file(path, shown_as)
        found += name_problems(path.stem, shown_as)
        read, wrong = beside(path, shown_as)
        problems += [*found, *wrong]
        if found:
            broken.append(path.stem)
        else:
            decisions = sorted(
                (page.front.place, page.front.title, page.path)
                for page in pages
                if path.stem in page.front.jobs
            )
            shown = tuple((title, page) for _, title, page in decisions)
            yield JobFile(path.stem, shown_as, text, read, shown)


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
