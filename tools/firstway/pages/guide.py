"""Pages: everything the guide is made from, as one frozen value."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Mapping

from firstway.choosing.completing import Completed
from firstway.drawing.svg import Drawn
from firstway.model.mistakes import Mistake
from firstway.pages.sheet import Sheet
from firstway.workings.step import Step

VIEWS = ("single-line", "board", "wiring")


@dataclass(frozen=True)
class Chapter:
    """A hand-written page. `path` is its place in content/, `text` the whole file."""

    path: str
    file: str
    text: str


@dataclass(frozen=True)
class LeftOut:
    """An installation that was read without a problem but cannot be worked yet."""

    name: str
    title: str
    why: str


@dataclass(frozen=True)
class Guide:
    """`drawings` are found by installation and view; every tuple is in the order of its file names.

    `broken` names installations that must be put right first: what only follows from that is not told.
    """

    jobs: tuple[Completed, ...] = ()
    drawings: Mapping[tuple[str, str], Drawn] = field(default_factory=dict)
    quizzes: tuple[Sheet, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    broken: tuple[str, ...] = ()
    mistakes: tuple[Mistake, ...] = ()

    def job(self, name: str) -> Completed | None:
        """The installation of that name."""
        return next((job for job in self.jobs if job.installation.name == name), None)

    def step(self, name: str, step_id: str, of: str) -> Step | None:
        """One step of the working of one installation."""
        job = self.job(name)
        return job.case.workings.find(step_id, of) if job else None
