"""Desk: marks of a class to what it got wrong: questions, topics, named mistakes, and files that
are strangely alike.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence

from firstway.calculations.adding import added
from firstway.desk.analysis import statistics as figures
from firstway.desk.marking.marking_class import ClassMarks, Marked, MarkedAnswer
from firstway.desk.papers.key import Asked
from firstway.frozen import dataclass

FEWEST_FOR_A_GUESS = 10  # below this a figure that compares learners says nothing (common practice)
HARD, EASY = 0.30, 0.90  # facility outside this band asks for a look (common practice)
LOW_LINK = 0.10  # corrected correlation below this asks for a look (common practice)
DEAD_SHARE = 0.05  # an option chosen by fewer does no work (common practice)
WEAK_TOPIC = 0.60  # share of points below which a topic is taught again (common practice)
OTHER = "another answer, each given once"


@dataclass(frozen=True)
class Choice:
    """One answer given to a question: how many gave it, and its share in the bottom, middle and top
    third.
    """

    chosen: str
    words: str
    right: bool
    count: int
    thirds: tuple[float, float, float]


@dataclass(frozen=True)
class QuestionFigures:
    """What the class's answers say about one question.

    A figure that is not defined or too unsure is None.
    """

    asked: Asked
    stem: str
    answered: int
    silent: int
    facility: float | None
    discrimination: float | None
    link: float | None
    link_low: float | None
    link_high: float | None
    choices: tuple[Choice, ...]
    advice: tuple[str, ...]
    weak: bool
    doubted: bool
    """Whether the strongest gave another answer more often than the right one: the key may be
    wrong."""


@dataclass(frozen=True)
class Topic:
    """One outcome: the share of its points the class got, and by how many questions."""

    id: str
    text: str
    share: float
    questions: int
    learners_below: int
    sure_share: float | None
    """The share without the doubted questions; None where all are."""
    doubted: tuple[str, ...]


@dataclass(frozen=True)
class NamedMistake:
    """A mistake with a name: how many learners made it, of how many who answered a question that
    shows it.
    """

    name: str
    learners: int
    of: int
    questions: tuple[str, ...]
    doubted: bool
    """Whether it was seen in doubted questions alone."""


@dataclass(frozen=True)
class Alike:
    """Two papers with more wrong answers in common than chance explains: a reason to look, no
    accusation.
    """

    first: str
    second: str
    same: int
    odds: float


@dataclass(frozen=True)
class Analysis:
    """Everything a report shows. None stands for `not defined here` or `too few to judge`."""

    learners: int
    out_of: float
    mean: float | None
    spread: float | None
    alpha: float | None
    alpha_low: float | None
    alpha_high: float | None
    standard_error: float | None
    questions: tuple[QuestionFigures, ...]
    topics: tuple[Topic, ...]
    mistakes: tuple[NamedMistake, ...]
    alike: tuple[Alike, ...]
    safety_missed: Mapping[str, tuple[str, ...]]
    """Safety question to the codes of those who did not get it."""

    @property
    def too_few(self) -> bool:
        return self.learners < FEWEST_FOR_A_GUESS


def analysis_of(marks: ClassMarks) -> Analysis:
    """Every figure of the class."""
    learners = marks.marked
    kept = [
        asked
        for asked in marks.key.questions
        if any((own := each.answer(asked.id)) and not own.left_out for each in learners)
    ]
    grid = {asked.id: [each.answer(asked.id) for each in learners] for asked in kept}
    lists = {
        id_: [float(answer.mark.points) if answer else 0.0 for answer in answers]
        for id_, answers in grid.items()
    }
    totals = [added(values) for values in zip(*lists.values())] if lists else []
    alpha = figures.alpha(list(lists.values())) if lists else None
    band = figures.alpha_interval(alpha, len(learners), len(lists)) if alpha is not None else None
    enough = len(learners) >= FEWEST_FOR_A_GUESS
    spread = figures.variance(totals)
    questions = tuple(_question(asked, grid[asked.id], lists[asked.id], totals) for asked in kept)
    doubted = frozenset(each.asked.id for each in questions if each.doubted)
    return Analysis(
        len(learners),
        float(sum(asked.out_of for asked in kept)),
        figures.mean(totals),
        math.sqrt(spread) if spread is not None else None,
        alpha if enough else None,
        band[0] if band and enough else None,
        band[1] if band and enough else None,
        figures.standard_error(list(lists.values())) if lists and enough else None,
        questions,
        _topics(marks, kept, grid, doubted),
        _mistakes(kept, grid, doubted),
        _alike(learners, kept, grid),
        {
            asked.id: tuple(
                own.code
                for own, answer in zip(learners, grid[asked.id])
                if not answer or answer.mark.points < answer.mark.out_of
            )
            for asked in kept
            if asked.safety
        },
    )


def _question(
    asked: Asked,
    answers: Sequence[MarkedAnswer | None],
    marks: Sequence[float],
    totals: Sequence[float],
) -> QuestionFigures:
    given = [answer.chosen if answer else "" for answer in answers]
    facility = figures.facility(marks, asked.out_of)
    enough = len(marks) >= FEWEST_FOR_A_GUESS
    link = figures.corrected_point_biserial(marks, totals) if enough else None
    low, high = _interval_of_link(link, len(marks))
    choices = _choices(asked, answers, given, totals)
    doubted = enough and _doubted(asked, choices)
    advice = _advice(asked, facility, link, high, choices, enough, doubted)
    stem = next(iter(asked.versions.values())).stem if asked.versions else asked.id
    weak = facility is not None and facility < WEAK_TOPIC or len(advice) > 0
    return QuestionFigures(
        asked,
        stem,
        sum(1 for each in given if each),
        sum(1 for each in given if not each),
        facility,
        figures.discrimination_index(marks, totals, asked.out_of) if enough else None,
        link,
        low,
        high,
        choices,
        advice,
        weak,
        doubted,
    )


def _interval_of_link(link: float | None, learners: int) -> tuple[float | None, float | None]:
    """95 % interval of a correlation by Fisher's transformation."""
    if link is None or learners < 5 or abs(link) >= 1:
        return None, None
    middle, reach = math.atanh(link), 1.959964 / math.sqrt(learners - 3)
    return math.tanh(middle - reach), math.tanh(middle + reach)


def _choices(
    asked: Asked,
    answers: Sequence[MarkedAnswer | None],
    given: Sequence[str],
    totals: Sequence[float],
) -> tuple[Choice, ...]:
    """What was answered, by thirds of the class: every option of a choice; of other forms each
    answer that was given, the most frequent first.
    """
    right = {answer.chosen for answer in answers if answer and answer.mark.state == "right"}
    if asked.form.each_counts and asked.options:
        return _ticked(asked, given, totals)
    if not asked.options:
        given = _grouped(asked, answers, given)
    shares, counts = figures.chosen_by_thirds(given, totals), Counter(given)
    choosing = bool(asked.options) and all(each.isdigit() for each in counts if each)
    places = {str(place): words for place, words in asked.options.items()} if choosing else {}
    names = list(dict.fromkeys([*places, *sorted(counts, key=lambda each: (-counts[each], each))]))
    rights = {str(place) for place in asked.right_places} | right if choosing else right
    return tuple(
        Choice(
            name,
            places.get(name) or _in_words(asked, name, name in rights),
            name in rights,
            counts.get(name, 0),
            shares.get(name, (0.0, 0.0, 0.0)),
        )
        for name in names
    )


def _grouped(
    asked: Asked, answers: Sequence[MarkedAnswer | None], given: Sequence[str]
) -> list[str]:
    """Answers that nobody shares, put together, or as their form does."""
    grouped = asked.form.grouped
    if grouped is not None:
        return [
            (grouped(answer.mark) if answer and answer.mark.state != "right" and each else each)
            for answer, each in zip(answers, given)
        ]
    counts, named = (
        Counter(given),
        {name for answer in answers if answer for name in answer.mark.mistakes},
    )
    known = lambda each: (
        each in ("", "right") or counts[each] > 1 or any(name in each for name in named)
    )
    return [each if known(each) else OTHER for each in given]


def _ticked(asked: Asked, given: Sequence[str], totals: Sequence[float]) -> tuple[Choice, ...]:
    """Each option of a choice of several: who ticked it."""
    found = []
    for place, words in asked.options.items():
        ticks = [str(place) if str(place) in each.split() else "" for each in given]
        share = figures.chosen_by_thirds(ticks, totals).get(str(place), (0.0, 0.0, 0.0))
        found.append(
            Choice(str(place), words, place in asked.right_places, ticks.count(str(place)), share)
        )
    silent = figures.chosen_by_thirds(["right" if each else "" for each in given], totals).get("")
    return (
        *found,
        *(
            (Choice("", "no answer", False, sum(1 for each in given if not each), silent),)
            if silent
            else ()
        ),
    )


def _in_words(asked: Asked, name: str, right: bool) -> str:
    """An answer of a form that has no options to choose from."""
    return asked.form.chosen_words(name, right) if name else "no answer"


def _first_wrong(choices: Sequence[Choice]) -> Choice | None:
    """The wrong answer most gave."""
    return max(
        (choice for choice in choices if not choice.right and choice.chosen),
        key=lambda choice: choice.count,
        default=None,
    )


def _doubted(asked: Asked, choices: Sequence[Choice]) -> bool:
    first = _first_wrong(choices)
    if first is None or asked.form.each_counts:
        return False
    right_top = max((choice.thirds[2] for choice in choices if choice.right), default=0.0)
    return first.count > 1 and first.thirds[2] > right_top


def _advice(
    asked: Asked,
    facility: float | None,
    link: float | None,
    high: float | None,
    choices: Sequence[Choice],
    enough: bool,
    doubted: bool,
) -> tuple[str, ...]:
    """What to do about a question, a sentence each; nothing where nothing needs doing."""
    said = []
    first = _first_wrong(choices)
    led_to = (
        f" Begin with the answer most gave instead: {first.words}."
        if first and first.count > 1
        else ""
    )
    if doubted:
        said.append(
            "Even the strongest third gave another answer more often than the right one: read the"
            " question and its key again before marks are given out. Only if the key stands, teach"
            f" this point again before asking it anew.{led_to}"
        )
    elif facility is not None and facility < HARD:
        said.append(f"Few got it: teach this point again before asking it anew.{led_to}")
    elif facility is not None and facility < WEAK_TOPIC:
        said.append(f"Many lost points: go through it once more with the class.{led_to}")
    elif facility is not None and facility > EASY and not asked.safety:
        said.append("Nearly all got it: keep it as a first question, or ask the next harder one.")
    # One thing at a time: the other figures of a doubted question mean nothing before its key is
    # sure.
    if (
        enough
        and not doubted
        and link is not None
        and link < LOW_LINK
        and facility is not None
        and HARD <= facility <= EASY
    ):
        unsure = " With this class that may be chance." if high is not None and high > 0.3 else ""
        said.append(
            f"It does not go with the other questions: look for a second meaning in it.{unsure}"
        )
    if enough and not doubted and facility is not None and facility <= EASY:
        said += _dead(asked, choices)
    if said and asked.safety:
        said.append("It asks about safety: keep it, whatever the figures say.")
    return tuple(said)


def _dead(asked: Asked, choices: Sequence[Choice]) -> list[str]:
    """A wrong option of one choice that hardly anybody takes does no work; in other forms options
    are parts of the answer.
    """
    whole = sum(choice.count for choice in choices)
    dead = [
        choice.words
        for choice in choices
        if choice.chosen.isdigit() and not choice.right and choice.count < DEAD_SHARE * whole
    ]
    if not dead or not asked.options or len(asked.right_places) != 1:
        return []
    return [f"Nobody, or nearly nobody, chose '{dead[0]}': put a mistake there that learners make."]


def _topics(
    marks: ClassMarks,
    kept: Sequence[Asked],
    grid: Mapping[str, Sequence[MarkedAnswer | None]],
    doubted: frozenset[str],
) -> tuple[Topic, ...]:
    topics = []
    for id_, text in marks.key.outcomes.items():
        own = [asked.id for asked in kept if asked.outcome == id_]
        shares = _shares(own, grid, len(marks.marked))
        sure = _shares([each for each in own if each not in doubted], grid, len(marks.marked))
        if shares:
            below = sum(1 for share in shares if share < WEAK_TOPIC)
            topics.append(
                Topic(
                    id_,
                    text,
                    added(shares) / len(shares),
                    len(own),
                    below,
                    figures.mean(sure),
                    tuple(each for each in own if each in doubted),
                )
            )
    return tuple(topics)


def _shares(
    questions: Sequence[str], grid: Mapping[str, Sequence[MarkedAnswer | None]], learners: int
) -> list[float]:
    """Each learner's share of the points of these questions."""
    shares = []
    for place in range(learners):
        answers = [answer for id_ in questions if (answer := grid[id_][place])]
        out_of = sum(answer.mark.out_of for answer in answers)
        if out_of:
            shares.append(sum(answer.mark.points for answer in answers) / out_of)
    return shares


def _mistakes(
    kept: Sequence[Asked],
    grid: Mapping[str, Sequence[MarkedAnswer | None]],
    doubted: frozenset[str],
) -> tuple[NamedMistake, ...]:
    """A learner who makes a mistake in three questions counts once; `of` are those who answered any
    question it was seen in.
    """
    where: dict[str, dict[str, None]] = {}
    for asked in kept:
        for answer in grid[asked.id]:
            for name in answer.mark.mistakes if answer else ():
                where.setdefault(name, {})[asked.id] = None
    found = []
    for name, questions in where.items():
        places = range(len(next(iter(grid.values()))))
        made = sum(
            1
            for place in places
            if any(
                (answer := grid[id_][place]) and name in answer.mark.mistakes for id_ in questions
            )
        )
        answered = sum(
            1
            for place in places
            if any((answer := grid[id_][place]) and answer.chosen for id_ in questions)
        )
        found.append(
            NamedMistake(name, made, answered, tuple(questions), doubted.issuperset(questions))
        )
    return tuple(sorted(found, key=lambda each: (-each.learners, each.name)))


def _alike(
    learners: Sequence[Marked],
    kept: Sequence[Asked],
    grid: Mapping[str, Sequence[MarkedAnswer | None]],
) -> tuple[Alike, ...]:
    """Pairs of papers whose shared wrong answers chance does not explain; a small class has too few
    to know what chance does.
    """
    if len(learners) < FEWEST_FOR_A_GUESS:
        return ()
    wrong = [
        [_wrong_word(grid[asked.id][place]) for asked in kept] for place in range(len(learners))
    ]
    found = [
        Alike(learners[pair.first].code, learners[pair.second].code, pair.same, pair.odds)
        for pair in figures.alike_pairs(wrong)
    ]
    return tuple(sorted(found, key=lambda each: (each.odds, each.first, each.second)))


def _wrong_word(answer: MarkedAnswer | None) -> str:
    """A wrong answer as a word that two learners can share; numbers only where both had the same
    figures.
    """
    if answer is None or not answer.chosen or answer.mark.state == "right":
        return ""
    named = bool(answer.mark.mistakes) or answer.chosen.isdigit()
    return answer.chosen if named else f"{answer.version.partition('a')[0]}: {answer.chosen}"
