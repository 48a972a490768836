"""Pages: everything the guide is made from, as one frozen value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from firstway.choosing.completing import Completed
from firstway.drawing.sheet import Sheet as Drawing
from firstway.drawing.svg import Drawn
from firstway.model.mistakes import Mistake
from firstway.pages.chapters.front_matter import FrontMatter
from firstway.pages.shared.glossary import Entry
from firstway.pages.shared.sheet import PageSheet
from firstway.quiz.bank.outcomes import ChapterOutcomes as Outcomes
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.values import WorkedQuestion
from firstway.workings.shared.step import Step

PAGE_VIEWS = ("single-line", "board", "wiring")


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
class Guide:
    """`drawings` are found by installation and view; every tuple is in the order of its file names.

    `broken` names installations that must be put right first: what only follows from that is not
    told. `outcomes` are the chapters in reading order with what is learnt in each; `bank` are all
    questions, and `questions` those for practice that chapters show, worked, by id; `layouts` are
    the wiring drawings as values, by installation; `answered` is each hand-written page by its
    path, its directives answered: Markdown without its head, and the parts set in later. `here` is
    the hand-written page whose directives are being answered.
    """

    jobs: tuple[Completed, ...] = ()
    drawings: Mapping[tuple[str, str], Drawn] = field(default_factory=dict)
    quizzes: tuple[PageSheet, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    broken: tuple[str, ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    glossary: tuple[Entry, ...] = ()
    outcomes: tuple[Outcomes, ...] = ()
    bank: tuple[Question, ...] = ()
    questions: Mapping[str, WorkedQuestion] = field(default_factory=dict)
    here: Chapter | None = None
    layouts: Mapping[str, Drawing] = field(default_factory=dict)
    answered: Mapping[str, tuple[str, Mapping[str, str]]] = field(default_factory=dict)

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
