"""Quiz: what a kind of question is, and what a form: one folder each below this one.

The ten kinds are what authors write; a kind's `form.py` holds `KIND`. The six forms are how a
question is answered, each with a key of its own class, and its folder's `form.py` holds `FORM` too:
a point at a drawing is answered as one answer. `registry.py` finds both. Whoever marks, shows,
exports, simulates or tells of a question asks its form, never the class of its key.

A kind works a question by a `Look`: that finds what the question refers to, in one variant, and
keeps what could not be found as problems.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any, Generic, TypeVar

from firstway.choosing.completing import Completed
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.bank.question import AuthorWords, FigureOf, NumberMistake, Question, WrongWay
from firstway.quiz.bank.written import (
    GivenBeside,
    WrittenFigure,
    WrittenQuestion,
    filled_words,
    value_of,
)
from firstway.quiz.forms.answered import Relettered, figures_from_paper, figures_in_words
from firstway.quiz.forms.qti_terms import ItemTerms, LetteredSpot, Response, Term
from firstway.quiz.forms.shown_question import Shown, Slots
from firstway.quiz.forms.sources import Changes, DrawingOf, Pictured, Sources, with_mistake
from firstway.quiz.forms.worked_question import (
    Computed,
    Figure,
    Filled,
    Flaw,
    KeyFigure,
    WorkedMistake,
    WorkedQuestion,
    figure_of,
    filled,
    key_figure,
    window,
)
from firstway.quiz.marking.marking import Key, Mark
from firstway.rendering.html import Markup
from firstway.workings.shared.step import Step

INSTALLATION_HINT = "name a file of diagrams/ that can be worked"
WORKING_HINT = "name a step that the installation's working holds"
KNOWN_HINT = f"{WORKING_HINT} and knows"
ARITHMETIC_HINT = "name the symbol under `with:` or put the arithmetic right"
_T = TypeVar("_T")


class Look:
    """One question in one variant: asks the sources, collects problems."""

    def __init__(
        self, question: Question, sources: Sources, seed: str, variant: int, changes: Changes
    ) -> None:
        self.question, self.sources, self.seed, self.variant, self.changes = (
            question,
            sources,
            seed,
            variant,
            changes,
        )
        self.problems: list[Problem] = []

    def say(self, line: int, message: str, hint: str) -> None:
        self.problems.append(
            Problem(self.question.file, line, f"question {self.question.id}: {message}", hint)
        )

    def job(self, name: str, line: int = 0) -> Completed | None:
        """An installation; the question's own with the keys of the variant changed.

        Where a line is given, an installation that is not there is told of it.
        """
        if self._is_varied(name):
            found = self.sources.varied(name, self.changes)
        else:
            found = self.sources.completed_of(name)
        if found is None and line:
            self.say(line, f"there is no installation '{name}'", INSTALLATION_HINT)
        return found

    def _is_varied(self, name: str) -> bool:
        return bool(self.changes) and name == self.question.installation

    def step_of(self, installation: str, step: str, of: str) -> Step | None:
        if self.sources.step_of is not None:
            return self.sources.step_of(installation, step, of)
        if self.sources.step_in is not None and not self._is_varied(installation):
            return self.sources.step_in(installation, step, of)
        job = self.job(installation)
        return job.case.step(step, of) if job else None

    def key_of(self, installation: str, path: str) -> tuple[KeyFigure | None, str]:
        job = self.job(installation)
        return (
            key_figure(job.installation, path)
            if job
            else (None, f"there is no installation '{installation}'")
        )

    def words(self, line: int, words: AuthorWords | str) -> Filled:
        """The sentence with its figures; a text is one whose braces were looked at already."""
        if isinstance(words, str):
            words, _ = filled_words(words, self.question.installation)
        sentence, wrong = filled(words, self.step_of, self.key_of)
        for reason in wrong:
            self.say(line, reason, WORKING_HINT)
        return sentence

    def figure(self, line: int, reference: FigureOf | WrittenFigure) -> Figure | None:
        if isinstance(reference, WrittenFigure):
            reference = reference.meant(self.question.installation)
        figure, reason = figure_of(reference, self.step_of)
        if figure is None:
            self.say(line, reason, KNOWN_HINT)
        return figure

    # numbers

    def led_to(self, way: WrongWay, known: dict[str, float], line: int) -> float | None:
        """Where the arithmetic of a mistake leads, with these figures and those it names."""
        figures, wrong = dict(known), []
        for symbol, reference in way.figures.items():
            figure, reason = figure_of(reference, self.step_of)
            if figure is None:
                wrong.append(reason)
            else:
                figures[symbol] = float(figure.value or 0.0)
        if not wrong:
            led, reason = value_of(way.arithmetic, figures)
            if led is not None:
                return led
            wrong = [f"{way.arithmetic}: {reason}"]
        for reason in wrong:
            self.say(line, reason, ARITHMETIC_HINT)
        return None

    def mistake(
        self, mistake: NumberMistake, known: dict[str, float], unit: str, places: int, slack: float
    ) -> WorkedMistake | None:
        """A named mistake with its window."""
        led = self.led_to(mistake.wrong_way, known, mistake.line)
        feedback = self.words(mistake.line, mistake.feedback)
        if led is None:
            return None
        # A mistake far smaller than the answer would drown in the answer's places: keep three
        # figures of it.
        finer = places if led == 0 else max(places, 2 - math.floor(math.log10(abs(led))))
        low, high = window(led, finer, slack)
        return WorkedMistake(
            mistake.mistake,
            Computed(led, unit, finer),
            low,
            high,
            feedback,
            mistake.line,
            mistake.part,
        )

    # order and drawing

    def shuffled(self, items: Sequence[_T]) -> list[tuple[int, _T]]:
        """(place in the bank, item) in the order shown: it hangs on seed, question and
        place alone.
        """
        return sorted(
            enumerate(items), key=lambda each: _rank(self.seed, self.question.id, each[0])
        )

    def pictured(self, places: Mapping[str, int], letters: Sequence[str]) -> Pictured | None:
        """The question's drawing with lettered spots, (place, line); None where it has none, or no
        drawing is to be made.
        """
        wanted, draw = self.question.drawing, self.sources.drawing_of
        if wanted is None:
            return None
        job = self.job(wanted.of, wanted.line)
        if job is None or draw is None:
            return None
        if wanted.mistake:
            job, _, reason = with_mistake(job, self.sources.mistakes, wanted.mistake)
            if job is None:
                self.say(
                    wanted.line,
                    reason,
                    "name a mistake of diagrams/mistakes.yaml that applies to it",
                )
                return None
        prefix = f"q-{self.question.id.replace('.', '-')}" + (
            f"-{self.variant}" if self.changes else ""
        )
        made = draw(
            DrawingOf(
                job,
                wanted.view,
                prefix,
                wanted.stage,
                wanted.overlay,
                wanted.chart,
                wanted.circuit,
                tuple(places),
                tuple(letters),
                wanted.picture,
                wanted.part,
            )
        )
        if made is None:
            what = wanted.stage or wanted.overlay or wanted.chart or wanted.picture or wanted.view
            self.say(
                wanted.line,
                f"there is no drawing '{what}' of {wanted.of}",
                "name a view, stage, path, chart or picture that it has",
            )
            return None
        for place in made.missing:
            self.say(
                places.get(place, wanted.line),
                f"the drawing does not show '{place}'",
                "name a terminal, part or conductor that is drawn",
            )
        return made


def _rank(seed: str, question_id: str, place: int) -> str:
    """The shown order of options, steps, spots and items."""
    return sha256(f"{seed}|{question_id}|{place}".encode()).hexdigest()


K = TypeVar("K", bound=Key)
Own = TypeVar("Own")


@dataclass(frozen=True)
class QuestionKind(Generic[Own]):
    """One kind of question: what its author writes, and how that becomes a question with a key."""

    name: str
    # Time allowed where the question states none (common practice: about a minute a choice).
    minutes: float
    # Its keys as its author writes them, and those of its own as one frozen value, which stands in
    # `Question.own`.
    written: type[WrittenQuestion]
    read: Callable[[Any, GivenBeside], Own]
    worked: Callable[[Look, Own, Filled, Filled], WorkedQuestion | None]
    # Whether its answer can be a figure: only then it may have `vary:`.
    varies: bool = True
    # What is asked beside the stem: two questions that ask the same of the same are told.
    asks: Callable[[Own], str] = lambda own: ""


@dataclass(frozen=True)
class Form(Generic[K]):
    """One way of answering and marking. What has a default is what most forms do.

    An answer is one text in the form's canonical writing (`answers.py` of its folder).
    """

    key: type[K]
    marked: Callable[[K, str], Mark]

    # The fields on a page: (question, what begins each id, slots).
    fields: Callable[[Shown, str, Slots], Iterator[Markup]]
    # Where the answer is written on the answer sheet.
    room: Callable[[Shown], Markup]
    # What to do, for a reader of a chapter.
    how: str

    # Flaws that show once the question is worked.
    flaws: Callable[[K, WorkedQuestion], Iterator[Flaw]]

    # The whole right answer, as the page would save it.
    right: Callable[[K], str]
    # A wrong answer of a simulated learner.
    wrong: Callable[[K, random.Random], str]

    # The item: (key, question, its picture, places of the picture to point at).
    exported: Callable[[K, Shown, Term | None, Sequence[LetteredSpot]], ItemTerms]
    # What was given: (key, answer, names of the letters that are the same for all learners).
    responses: Callable[[K, str, Mapping[str, str]], list[Response]]
    # What xAPI calls it (cmi.interaction, xAPI 1.0.3; from memory).
    interaction: str

    most_points: Callable[[K], int] = lambda key: 1
    # The answer of somebody who makes a named mistake; "" where the question does not show it.
    by_mistake: Callable[[K, str], str] = lambda key, mistake: ""
    # What of an answer can be read, where it cannot be asked for again.
    legible: Callable[[K, str], str] = lambda key, given: given

    # The same answer in other letters; None where no letters are chosen.
    relettered: Callable[[str, Relettered], str] | None = None
    # What was written on paper, as marking reads it.
    from_paper: Callable[[str], str] = figures_from_paper
    # An answer as the learner saw it, with the words of each letter.
    in_words: Callable[[str, Mapping[str, str]], str] = figures_in_words

    # What the marking scheme says of right answers.
    accepted: Callable[[K], str] = lambda key: ""
    # The mistakes that have a name, for the marking scheme, with the words of each letter.
    named_mistakes: Callable[[K, Mapping[str, str]], list[str]] = lambda key, words: []
    # Whether parts of an answer are right by themselves, so that no single answer is the key.
    each_counts: bool = False
    # Answers that are not wholly right, put together in the tutor's tables.
    grouped: Callable[[Mark], str] | None = None
    # An answer in the tutor's tables: (as it is counted, whether it is right).
    chosen_words: Callable[[str, bool], str] = lambda name, right: (
        "the right answer" if right and name == "right" else name
    )
