"""Pages: everything that was read of a project folder, its installations worked, as one frozen
value.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from firstway.choosing.completing import Completed
from firstway.files.reads import MadeOnce, note_read
from firstway.frozen import dataclass
from firstway.model.mistakes import Mistake
from firstway.pages.shared.front_matter import FrontMatter
from firstway.pages.shared.glossary import Entry
from firstway.quiz.bank.question import ChapterOutcomes as Outcomes
from firstway.quiz.bank.question import Question
from firstway.quiz.shelf import Shelf
from firstway.workings.shared.step import Step


@dataclass(frozen=True)
class Chapter:
    """A hand-written page. `path` is its place in content/, `text` the whole file."""

    path: str
    file: str
    text: str
    front: FrontMatter = FrontMatter()

    def __getattribute__(self, name: str) -> Any:
        if name == "text":
            note_read(f"text {object.__getattribute__(self, 'path')}")
        return object.__getattribute__(self, name)

    @property
    def has_sections(self) -> bool:
        """Whether its text has headings below its title."""
        note_read(f"sections {self.path}")
        return "\n## " in self.unnoted_text()

    def unnoted_text(self) -> str:
        """The text, for one who notes himself what he makes of it."""
        found: str = object.__getattribute__(self, "text")
        return found

    @property
    def html_path(self) -> str:
        """Its place in the built guide."""
        return self.path.removesuffix(".md") + ".html"


@dataclass(frozen=True)
class LeftOut:
    """An installation that was read without a problem but cannot be worked yet."""

    name: str
    title: str
    why: str


class Jobs(Sequence[Completed]):
    """Jobs by their names, each worked when it is asked for; the latest are held.

    `told` holds of each what pages about all jobs say of it (`told_of`), as JSON texts, and needs
    no working.
    """

    def __init__(
        self, told: Mapping[str, Mapping[str, str]], job: Callable[[str], Completed]
    ) -> None:
        self.names, self._told, self._job = tuple(told), told, MadeOnce(job, _HELD)

    def __len__(self) -> int:
        note_read("jobs")
        return len(self.names)

    def __getitem__(self, place: Any) -> Any:
        note_read("jobs")
        return self.whole(self.names[place])

    def step(self, name: str, step_id: str, of: str) -> Step | None:
        """One step of a job: whoever asks rests on nothing else of it."""
        note_read(f"step {name} {step_id} {of}")
        return self._job(name).case.step(step_id, of) if name in self.names else None

    def work_ahead(self, names: Sequence[str]) -> None:
        """Work the first of these, as many as are held, with what everybody asks for."""
        for name in names[:_HELD]:
            case = self._job(name).case
            case.workings, case.wiring

    def told(self, what: str) -> list[Any]:
        """One thing that is told of every job."""
        note_read("jobs", *(f"job {name}" for name in self.names))
        return [json.loads(each[what]) for each in self._told.values()]

    def named(self, name: str) -> Completed | None:
        """The job of that name."""
        note_read(f"job {name}")
        return self.whole(name) if name in self.names else None

    def whole(self, name: str) -> Completed:
        """The same of a name that is there."""
        note_read(f"job {name}")
        return self._job(name)


def work_ahead(jobs: Sequence[Completed], names: Iterable[str]) -> None:
    """Work jobs now that would be worked on asking, for processes that are forked next: the first
    of `names` that there are.
    """
    if isinstance(jobs, Jobs):
        jobs.work_ahead([name for name in names if name in jobs.names])


def told_of(jobs: Sequence[Completed], what: str, tell: Callable[[Completed], Any]) -> list[Any]:
    """What pages about all jobs say of each, as plain data: kept beside its pages, or told now."""
    return jobs.told(what) if isinstance(jobs, Jobs) else [tell(job) for job in jobs]


def names_of_jobs(jobs: Sequence[Completed]) -> tuple[str, ...]:
    """The names of jobs; none is worked for that."""
    if isinstance(jobs, Jobs):
        note_read("jobs")
        return jobs.names
    return tuple(job.installation.name for job in jobs)


_HELD = 10  # jobs: each is some 4 MB once all is asked of it, in every process
_PARTS = frozenset(("root", "left_out", "broken", "chapters", "mistakes", "glossary", "shelf"))


@dataclass(frozen=True)
class Project:
    """Every tuple is in the order of its file names.

    Whatever is read of it is noted (`files/reads.py`), in as small a part as was asked for: so a
    page that is kept is made anew when something that it was made from has changed.

    `broken` names installations that must be put right first: what only follows from that is not
    told.
    """

    root: Path = Path()
    jobs: Sequence[Completed] = ()
    left_out: tuple[LeftOut, ...] = ()
    broken: tuple[str, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    glossary: tuple[Entry, ...] = ()
    shelf: Shelf = Shelf()

    def __getattribute__(self, name: str) -> Any:
        if name in _PARTS:
            note_read(name)
        return object.__getattribute__(self, name)

    def unnoted(self, name: str) -> Any:
        """A part of it, read for one who notes himself what he makes of it."""
        return object.__getattribute__(self, name)

    @property
    def outcomes(self) -> tuple[Outcomes, ...]:
        """The chapters in reading order with what is learnt in each."""
        note_read("outcomes")
        found: Shelf = self.unnoted("shelf")
        return found.chapters

    def job(self, name: str) -> Completed | None:
        """The installation of that name."""
        if isinstance(self.jobs, Jobs):
            return self.jobs.named(name)
        return next((job for job in self.jobs if job.installation.name == name), None)

    def step(self, name: str, step_id: str, of: str) -> Step | None:
        """One step of the working of one installation."""
        if isinstance(self.jobs, Jobs):
            return self.jobs.step(name, step_id, of)
        job = self.job(name)
        return job.case.step(step_id, of) if job else None

    def entry(self, word: str) -> Entry | None:
        """The glossary's entry of a word in any of its forms."""
        wanted = word.lower()
        note_read(f"entry {word}")
        return next(
            (
                entry
                for entry in self.unnoted("glossary")
                if wanted in (name.lower() for name in (entry.term, *entry.also))
            ),
            None,
        )

    def outcomes_of(self, chapter: str) -> Outcomes | None:
        """What is learnt in a chapter, by its id."""
        note_read(f"outcomes_of {chapter}")
        return next((each for each in self.unnoted("shelf").chapters if each.id == chapter), None)

    def chapter_page(self, chapter: str) -> Chapter | None:
        """The hand-written page of a chapter, by its id; None while it is still to come."""
        note_read(f"chapter_page {chapter}")
        return next(
            (page for page in self.unnoted("chapters") if page.front.chapter == chapter), None
        )

    def question(self, name: str) -> Question | None:
        """The question of that id, shown with its answer or assigned."""
        note_read(f"question {name}")
        found: Shelf = self.unnoted("shelf")
        return found.question(name)
