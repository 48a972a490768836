"""Pages: the pages of one job from its file: plain text in, plain data out, so that any process may
make them; kept as long as the file stays the same.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import field, replace
from functools import lru_cache
from hashlib import sha256

from firstway.choosing.completing import Completed, completed
from firstway.drawing.front.board_front import board_front
from firstway.drawing.lifelike.picture import box_pictured, lifelike
from firstway.drawing.single.single_line import single_line
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.wiring_diagram import wiring_diagram, wiring_layout
from firstway.files.keeping import KeptAway, in_use, kept, kept_away, recalled
from firstway.frozen import dataclass
from firstway.model.read_copy import ReadClause
from firstway.model.reading import installation_from_yaml
from firstway.pages.jobs.job_cards import job_card, job_verdict
from firstway.pages.made_pages import job_sheets
from firstway.pages.reference.clauses_page import clauses_of
from firstway.pages.reference.colours_page import has_earlier_colours
from firstway.pages.reference.glossary_page import symbols_of
from firstway.pages.reference.mistakes_pages import MAKABLE, is_faulty, told_of_board
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import PageSheet, sheet_data
from firstway.problems import Problem
from firstway.workings.working_through import not_worked_yet

_HEADS, _SHEETS, _STEPS, _DRAWN = "jobs", "job-sheets", "job-steps", "job-drawings"
DRAWN_BY: dict[str, Callable[[Completed, str], Drawn]] = {
    "lifelike": lifelike,
    "single-line": single_line,
    "board": board_front,
    "wiring": wiring_diagram,
}


@dataclass(frozen=True)
class JobFile:
    """The file of an installation as text, what a reader noted beside it, and the decisions that
    it shows: title and path of each.
    """

    name: str
    shown_as: str
    text: str
    read: tuple[ReadClause, ...] = ()
    decisions: tuple[tuple[str, str], ...] = ()

    @property
    def digest(self) -> str:
        """All that its pages hang on, as one number."""
        own = (self.name, self.shown_as, self.text, self.read, self.decisions)
        return sha256(repr(own).encode()).hexdigest()


@dataclass(frozen=True)
class MadeJob:
    """`why` it cannot be worked yet, or the heads of its pages (path, title, description, digest)
    and what pages about all jobs say of it, as JSON texts: those of a thousand jobs are held. With
    problems it has neither.
    """

    title: str = ""
    why: str = ""
    heads: list[list[str]] = field(default_factory=list)
    told: dict[str, str] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def made_job(file: JobFile) -> MadeJob:
    """What the guide must know of a job without working it; its pages are kept beside."""
    return kept(
        _HEADS,
        file.name,
        file.digest,
        lambda: _made(file),
        data=lambda made: None if made.problems else {**vars(made), "problems": []},
        thing=lambda data: MadeJob(**data),
    )


def job_made_away(file: JobFile) -> tuple[MadeJob, list[KeptAway]]:
    """The same by a worker on any computer, with what it made for the cache folder of this one."""
    with kept_away() as told:
        return made_job(file), told


def known_job(file: JobFile) -> MadeJob | None:
    """The same where it was kept; None where it must be made."""
    found = recalled(_HEADS, file.name, file.digest)
    return MadeJob(**found["data"]) if found else None


def keep_job(name: str) -> None:
    """What is kept of a job stays, also where nobody looked into it."""
    for kind in (_HEADS, _SHEETS, _STEPS, _DRAWN, MAKABLE):
        in_use(kind, name)


def sheets_of_job(file: JobFile, guide: Guide | None = None) -> dict[str, PageSheet]:
    """Its pages by their paths; `guide` of the job where it is drawn already."""

    def make() -> list[PageSheet]:
        own = guide or guide_of_job(worked_job(file))
        return job_sheets(own.project.jobs[0], own, file.decisions)

    sheets = kept(
        _SHEETS,
        file.name,
        file.digest,
        make,
        data=lambda made: [sheet_data(sheet) for sheet in made],
        thing=lambda data: [PageSheet(**each) for each in data],
    )
    return {sheet.path: sheet for sheet in sheets}


def drawings_of_job(file: JobFile, guide: Guide | None = None) -> dict[str, Drawn]:
    """Its drawings by their views; `guide` of the job where it is drawn already."""

    def make() -> dict[str, Drawn]:
        own = guide or guide_of_job(worked_job(file))
        return {view: drawn for (_, view), drawn in own.drawings.items()}

    return kept(
        _DRAWN,
        file.name,
        file.digest,
        make,
        data=lambda made: {view: vars(drawn) for view, drawn in made.items()},
        thing=lambda data: {
            view: Drawn(**{**each, **{name: tuple(each[name]) for name in ("key", "besides")}})
            for view, each in data.items()
        },
    )


def steps_of_job(file: JobFile, job: Completed | None = None) -> dict[str, str]:
    """A number for each of its steps, by id and place: the same as long as all is the same that the
    step says. `job` where it is worked already.
    """
    return kept(
        _STEPS,
        file.name,
        file.digest,
        lambda: _step_digests(job or worked_job(file)),
        data=lambda made: made,
        thing=lambda data: {str(name): str(digest) for name, digest in data.items()},
    )


def _step_digests(job: Completed) -> dict[str, str]:
    return {
        step.identity: sha256(repr(step).encode()).hexdigest()[:16]
        for step in (*job.case.workings, *job.case.faults)
    }


def worked_job(file: JobFile) -> Completed:
    """The job worked through; only of one that `made_job` gives without a problem."""
    job = _worked(file)
    if isinstance(job, MadeJob):
        raise LookupError(file.name)
    return job


@lru_cache(maxsize=1)  # a job that changed is made, and next is asked for its figures
def _worked(file: JobFile) -> Completed | MadeJob:
    """The job worked through, or why it is not."""
    installation, problems = installation_from_yaml(file.text, file.shown_as, file.name)
    if installation is None or problems:
        return MadeJob(problems=problems)
    why = not_worked_yet(installation)
    if why:
        return MadeJob(installation.title, why)
    job, problems = completed(installation)
    if job is None or problems:
        return MadeJob(problems=problems)
    return replace(job, read=file.read)


def guide_of_job(job: Completed) -> Guide:
    """What its own pages show: the job with its drawings."""
    name = job.installation.name
    layout, box = wiring_layout(job), box_pictured(job, f"{name}-lifelike")
    made = {"lifelike": box.drawn, "wiring": drawn_from(layout, f"{name}-wiring")}
    drawings = {
        (name, view): made.get(view) or draw(job, f"{name}-{view}")
        for view, draw in DRAWN_BY.items()
    }
    return Guide(Project(jobs=(job,)), {name: layout}, drawings, boxes={name: box})


def _made(file: JobFile) -> MadeJob:
    job = _worked(file)
    if isinstance(job, MadeJob):
        return job
    guide = guide_of_job(job)
    sheets = sheets_of_job(file, guide).values()
    drawings_of_job(file, guide)
    steps_of_job(file, job)
    heads = [[each.path, each.title, each.description, each.digest] for each in sheets]
    told = {
        "card": str(job_card(job)),
        "verdict": str(job_verdict(job)),
        "clauses": clauses_of(job),
        "symbols": symbols_of(job),
        "faulty": is_faulty(job),
        "board": told_of_board(job),
        "earlier": has_earlier_colours(job),
    }
    texts = {what: json.dumps(each) for what, each in told.items()}
    return MadeJob(job.installation.title, heads=heads, told=texts)
