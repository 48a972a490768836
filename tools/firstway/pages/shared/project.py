"""Pages: everything that was read of a project folder, its installations worked, as one frozen
value.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from firstway.choosing.completing import Completed
from firstway.model.mistakes import Mistake
from firstway.pages.shared.front_matter import FrontMatter
from firstway.pages.shared.glossary import Entry
from firstway.quiz.bank.question import ChapterOutcomes as Outcomes
from firstway.quiz.shelf import Shelf
from firstway.workings.shared.step import Step


@dataclass(frozen=True)
class Chapter:
    """A hand-written page. `path` is its place in content/, `text` the whole file."""

    path: str
    file: str
    text: str
    front: FrontMatter = FrontMatter()

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


@dataclass(frozen=True)
class Project:
    """Every tuple is in the order of its file names.

    `broken` names installations that must be put right first: what only follows from that is not
    told.
    """

    root: Path = Path()
    jobs: tuple[Completed, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    broken: tuple[str, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    glossary: tuple[Entry, ...] = ()
    shelf: Shelf = Shelf()

    @property
    def outcomes(self) -> tuple[Outcomes, ...]:
        """The chapters in reading order with what is learnt in each."""
        return self.shelf.chapters

    def job(self, name: str) -> Completed | None:
        """The installation of that name."""
        return next((job for job in self.jobs if job.installation.name == name), None)

    def step(self, name: str, step_id: str, of: str) -> Step | None:
        """One step of the working of one installation."""
        job = self.job(name)
        return job.case.step(step_id, of) if job else None

    def entry(self, word: str) -> Entry | None:
        """The glossary's entry of a word in any of its forms."""
        wanted = word.lower()
        return next(
            (
                entry
                for entry in self.glossary
                if wanted in (name.lower() for name in (entry.term, *entry.also))
            ),
            None,
        )

    def outcomes_of(self, chapter: str) -> Outcomes | None:
        """What is learnt in a chapter, by its id."""
        return next((each for each in self.outcomes if each.id == chapter), None)

    def chapter_page(self, chapter: str) -> Chapter | None:
        """The hand-written page of a chapter, by its id; None while it is still to come."""
        return next((page for page in self.chapters if page.front.chapter == chapter), None)
