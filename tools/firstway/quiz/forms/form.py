"""Quiz: what a kind of question is, and what a form: one folder each below this one.

The ten kinds are what authors write; a kind's `form.py` holds `KIND`. The six forms are how a
question is answered, each with a key of its own class, and its folder's `form.py` holds `FORM` too:
a point at a drawing is answered as one answer. `registry.py` finds both. Whoever marks, shows,
exports, simulates or tells of a question asks its form, never the class of its key.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from firstway.quiz.bank.written import GivenBeside, WrittenQuestion
from firstway.quiz.forms.answered import Relettered, figures_from_paper, figures_in_words
from firstway.quiz.forms.qti_terms import ItemTerms, LetteredSpot, Response, Term
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.shown_question import Shown, Slots
from firstway.quiz.forms.worked_question import Filled, Flaw, WorkedQuestion
from firstway.quiz.marking.marking import Key, Mark
from firstway.rendering.html import Markup

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
