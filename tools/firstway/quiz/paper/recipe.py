"""Quiz: a recipe to the questions of one quiz. Functions of values: a bank in, questions out.

A recipe names questions, draws them by outcome, chapter, kind and difficulty, or asks for one of
three whole forms: `chapter:` a quick quiz on a chapter, `review:` one that brings back older
chapters at growing intervals, `mock: true` one over everything. Each is drawn by ranking a hash of
the seed and the id.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from hashlib import sha256

from firstway.files.plain_values import suggestion
from firstway.files.specs import (
    Flag,
    Name,
    Names,
    Prose,
    Sections,
    count,
    key,
    positive,
    word,
)
from firstway.files.typed_reader import section_from_yaml
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.bank.question import DIFFICULTIES, USES, ChapterOutcomes, Question
from firstway.quiz.forms.registry import QUESTION_KINDS

MARKED = ("one-by-one", "at-the-end")
USUAL_VARIANTS, _MOST_VARIANTS = 4, 20
_MOST_QUESTIONS = 1000
CHAPTERS_BACK = (1, 2, 4, 8)
"""Growing intervals: expanding gaps kept recall higher on the way than equal ones (Kang and others
2014)."""
QUICK, REVIEW, MOCK = 8, 12, 40
"""Questions of a quick quiz, a review and a mock where the recipe names no number (common
practice)."""


FEWEST_FOR_A_PASS_MARK = 20
"""With ten questions a learner who knows 60 % passes a mark of seven in 38 of 100 tries (binomial);
with twenty, a mark of sixteen lets 5 of 100 through. Below twenty no pass mark is set."""


@dataclass(frozen=True)
class Draw:
    """So many questions; each filter that is given narrows the choice."""

    outcome: str = key(Name("small"), "only questions on this outcome", "cable.drop")
    number: int = key(count(1, _MOST_QUESTIONS), "how many are drawn", "2", required=True, absent=0)
    chapter: str = key(Name("small"), "only questions of this chapter", "the-cable")
    kind: str = key(word(*QUESTION_KINDS), "only questions of this kind")
    difficulty: int = key(
        count(min(DIFFICULTIES), max(DIFFICULTIES)), "only of this difficulty", "3", absent=0
    )
    line: int = field(default=0, repr=False)


@dataclass(frozen=True)
class Recipe:
    """What a quiz holds: named questions in their order, then questions drawn, then a whole form.

    `drawings` is 0 for no limit, `pass_percent` 0 where no mark is set. `lines_of` maps a key to
    its line.
    """

    id: str = key(Name("small"), "what it is called", "class-board-test", required=True)
    title: str = key(Prose(), "its title", "The board and what protects it", required=True)
    introduction: str = key(Prose(), "what learners read first", "Twenty questions.")
    use: str = key(
        word(*USES),
        "`practice` makes a quiz of the guide, `assigned` is for papers and stands nowhere in it",
        required=True,
    )
    seed: str = key(
        Prose(),
        "what draws questions, figures and orders; keep that of a paper to yourself",
        "before-you-start-1",
        required=True,
    )
    questions: tuple[str, ...] = key(
        Names("small"), "questions that are asked first, in this order", "[surge-point-length]"
    )
    draw: tuple[Draw, ...] = key(Sections(Draw), "questions that are drawn from the bank")
    marked: str = key(
        word(*MARKED), "when a quiz of the guide tells what was right", absent=MARKED[0]
    )
    variants: int = key(
        count(1, _MOST_VARIANTS),
        "how many sets of figures each question may have",
        "8",
        absent=USUAL_VARIANTS,
    )
    chapter: str = key(Name("small"), "a quick quiz on this chapter", "the-cable")
    review: str = key(
        Name("small"), "a review after this chapter that brings back older ones", "the-cable"
    )
    mock: bool = key(Flag(), "a mock test over everything")
    number: int = key(
        count(1, _MOST_QUESTIONS),
        "how many questions the whole form asks",
        "8",
        when="chapter, review or mock",
        absent=0,
    )
    drawings: int = key(
        count(1, _MOST_QUESTIONS),
        "the most questions with a drawing in a whole form",
        "4",
        when="chapter, review or mock",
        absent=0,
    )
    pass_percent: float = key(positive(100), "the share of the marks that passes", "70", absent=0.0)
    file: str = ""
    line: int = field(default=1, repr=False)
    lines_of: Mapping[str, int] = field(default_factory=dict, repr=False)


def recipe_from_yaml(text: str, file: str) -> tuple[Recipe | None, list[Problem]]:
    """Read one recipe, and every problem of the file."""
    recipe, problems = section_from_yaml(text, file, Recipe)
    if recipe is None:
        return None, problems
    problems = sorted(_disagreements(recipe))
    return (None if problems else recipe), problems


def _disagreements(recipe: Recipe) -> Iterator[Problem]:
    forms = [form for form in ("chapter", "review", "mock") if getattr(recipe, form)]
    say = lambda line, message, hint: Problem(recipe.file, line, message, hint)
    if not recipe.questions and not recipe.draw and not forms:
        yield say(
            recipe.line,
            "the paper asks nothing",
            "add `questions:`, `draw:`, `chapter:`, `review:` or `mock: true`",
        )
    if len(forms) > 1:
        yield say(
            recipe.lines_of[forms[1]],
            f"the paper: '{forms[0]}' and '{forms[1]}' stand side by side",
            "keep one of them",
        )
    if recipe.number and not forms:
        yield say(
            recipe.lines_of["number"],
            "the paper: 'number' belongs to 'chapter', 'review' or 'mock'",
            "remove it, or write it into a draw",
        )
    for draw in recipe.draw:
        if not (draw.outcome or draw.chapter or draw.kind or draw.difficulty):
            yield say(
                draw.line,
                "a draw names nothing to draw from",
                "add `outcome:`, `chapter:`, `kind:` or `difficulty:`",
            )


def questions_of(
    bank: Sequence[Question], recipe: Recipe, chapters: Sequence[ChapterOutcomes] = ()
) -> tuple[list[Question], list[Problem]]:
    """The questions of the quiz in their order; `chapters` in reading order, for the forms that
    need it.

    Drawn questions are ranked by a hash of (seed, id), so a question added to the bank moves few
    others.
    """
    chosen: list[Question] = []
    problems = list(_choose_named(bank, recipe, chosen))
    for draw in recipe.draw:
        problems += _choose_drawn(bank, recipe, draw, chosen)
    if recipe.chapter or recipe.review or recipe.mock:
        problems += _choose_form(bank, recipe, chapters, chosen)
    if recipe.pass_percent and not problems and len(chosen) < FEWEST_FOR_A_PASS_MARK:
        problems.append(
            Problem(
                recipe.file,
                recipe.line,
                f"a pass mark stands on {len(chosen)} questions",
                f"ask {FEWEST_FOR_A_PASS_MARK} or more, or set no mark: so few decide by chance",
            )
        )
    return ([] if problems else chosen), problems


def _choose_named(
    bank: Sequence[Question], recipe: Recipe, chosen: list[Question]
) -> Iterator[Problem]:
    by_id = {question.id: question for question in bank}
    for place, id_ in enumerate(recipe.questions, 1):
        line = recipe.lines_of[f"questions.{place}"]
        if id_ not in by_id:
            yield Problem(
                recipe.file,
                line,
                f"there is no question '{id_}'",
                suggestion(id_, list(by_id)) or "write the id of a question of the bank",
            )
        elif by_id[id_].use != recipe.use:
            yield Problem(
                recipe.file,
                line,
                f"the question '{id_}' is for {by_id[id_].use} use",
                f"this paper is for {recipe.use} use: choose another",
            )
        else:
            chosen.append(by_id[id_])


def _choose_drawn(
    bank: Sequence[Question], recipe: Recipe, draw: Draw, chosen: list[Question]
) -> Iterator[Problem]:
    taken = {question.id for question in chosen}
    ranked = sorted(
        (
            question
            for question in bank
            if _fits(question, draw) and question.use == recipe.use and question.id not in taken
        ),
        key=lambda question: order_rank(recipe.seed, question.id),
    )
    if len(ranked) < draw.number:
        what = " and ".join(
            f"'{item}'"
            for item in (
                draw.outcome,
                draw.chapter,
                draw.kind,
                f"difficulty {draw.difficulty}" if draw.difficulty else "",
            )
            if item
        )
        yield Problem(
            recipe.file,
            draw.line,
            f"the bank holds {len(ranked)} more questions for {what}, {draw.number} are asked",
            "ask for fewer, or write more",
        )
    chosen.extend(ranked[: draw.number])


def _fits(question: Question, draw: Draw) -> bool:
    return (
        draw.outcome in ("", question.outcome)
        and draw.chapter in ("", question.chapter)
        and draw.kind in ("", question.kind)
        and draw.difficulty in (0, question.difficulty)
    )


# whole forms


def _choose_form(
    bank: Sequence[Question],
    recipe: Recipe,
    chapters: Sequence[ChapterOutcomes],
    chosen: list[Question],
) -> Iterator[Problem]:
    known = [chapter.id for chapter in chapters]
    named = recipe.chapter or recipe.review
    if named and named not in known:
        yield Problem(
            recipe.file,
            recipe.line,
            f"there is no chapter '{named}'",
            suggestion(named, known) or "name a chapter of quiz/outcomes.yaml",
        )
        return
    number = recipe.number or (QUICK if recipe.chapter else REVIEW if recipe.review else MOCK)
    shares = _shares(recipe, chapters, number)
    if not shares:
        yield Problem(
            recipe.file,
            recipe.line,
            f"no chapter stands before '{recipe.review}'",
            "name a later one",
        )
        return
    found: list[Question] = []
    for group, share in shares:
        found += _spread(
            [
                question
                for question in bank
                if question.use == recipe.use and question not in chosen
            ],
            group,
            share,
            recipe,
        )
    if len(found) < number:
        yield Problem(
            recipe.file,
            recipe.line,
            f"the bank holds {len(found)} questions for this paper, {number} are asked",
            "ask for fewer, or write more",
        )
    chosen.extend(
        sorted(
            found,
            key=lambda question: (
                question.difficulty if recipe.chapter else 0,
                order_rank(recipe.seed, question.id),
            ),
        )
    )


def _shares(
    recipe: Recipe, chapters: Sequence[ChapterOutcomes], number: int
) -> list[tuple[list[ChapterOutcomes], int]]:
    """Groups of chapters with the questions each gives; a review takes its chapters 1, 2, 4 and 8
    back, the nearest most.
    """
    if recipe.mock:
        return [(list(chapters), number)]
    place = [chapter.id for chapter in chapters].index(recipe.chapter or recipe.review)
    if recipe.chapter:
        return [([chapters[place]], number)]
    back = [chapters[place - steps] for steps in CHAPTERS_BACK if steps <= place]
    return [
        ([chapter], number // len(back) + (1 if turn < number % len(back) else 0))
        for turn, chapter in enumerate(back)
    ]


def _spread(
    bank: Sequence[Question], chapters: Sequence[ChapterOutcomes], number: int, recipe: Recipe
) -> list[Question]:
    """Questions spread over the outcomes in turn: safety first, then the kinds used least, then by
    rank; no more drawings than wanted.
    """
    outcomes = sorted(
        (outcome.id for chapter in chapters for outcome in chapter.outcomes),
        key=lambda id_: order_rank(recipe.seed, id_),
    )
    left = {id_: [question for question in bank if question.outcome == id_] for id_ in outcomes}
    found: list[Question] = []
    kinds: Counter[str] = Counter()
    while len(found) < number and any(left.values()):
        for id_ in outcomes:
            if (
                recipe.drawings
                and sum(question.drawing is not None for question in found) >= recipe.drawings
            ):
                left[id_] = [question for question in left[id_] if question.drawing is None]
            if left[id_] and len(found) < number:
                taken = min(
                    left[id_],
                    key=lambda question: (
                        not question.safety,
                        kinds[question.kind],
                        order_rank(recipe.seed, question.id),
                    ),
                )
                left[id_].remove(taken)
                kinds[taken.kind] += 1
                found.append(taken)
    return found


def order_rank(seed: str, question_id: str) -> str:
    """Place of a question in a draw."""
    return sha256(f"{seed}|{question_id}".encode()).hexdigest()
