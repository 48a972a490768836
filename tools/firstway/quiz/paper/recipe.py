"""Quiz: a recipe to the questions of one quiz. Functions of values: a bank in, questions out.

A recipe names questions, draws them by outcome, chapter, kind and difficulty, or asks for one of
three whole forms: `chapter:` a quick quiz on a chapter, `review:` one that brings back older
chapters at growing intervals, `mock: true` one over everything. Each is drawn by ranking a hash of
the seed and the id.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256

from firstway.files.yaml_reader import Node, Text, data_from_yaml
from firstway.problems import Problem
from firstway.quiz.bank.keys import ID_FORM, Keys, Reader, keys_of, suggestion
from firstway.quiz.bank.outcomes import ChapterOutcomes
from firstway.quiz.bank.question import DIFFICULTIES, QUESTION_KINDS, USES, Question
from firstway.quiz.marking.score import FEWEST_FOR_A_PASS_MARK, may_have_a_pass_mark

MARKED = ("one-by-one", "at-the-end")
USUAL_VARIANTS, MOST_VARIANTS = 4, 20
CHAPTERS_BACK = (1, 2, 4, 8)
"""Growing intervals: expanding gaps kept recall higher on the way than equal ones (Kang and others
2014)."""
QUICK, REVIEW, MOCK = 8, 12, 40
"""Questions of a quick quiz, a review and a mock where the recipe names no number (common
practice)."""


@dataclass(frozen=True)
class Draw:
    """So many questions; each filter that is given narrows the choice."""

    outcome: str
    number: int
    line: int
    chapter: str = ""
    kind: str = ""
    difficulty: int = 0


@dataclass(frozen=True)
class Recipe:
    """What a quiz holds: named questions in their order, then questions drawn, then a whole form.

    `variants` is how many sets of figures each question may have; `drawings` the most questions
    with a drawing in a whole form, 0 for no limit; `pass_percent` is 0 where no mark is set.
    """

    id: str
    title: str
    introduction: str
    use: str
    seed: str
    file: str
    questions: tuple[tuple[str, int], ...] = ()
    draws: tuple[Draw, ...] = ()
    marked: str = MARKED[0]
    variants: int = USUAL_VARIANTS
    chapter: str = ""
    review: str = ""
    mock: bool = False
    number: int = 0
    drawings: int = 0
    pass_percent: float = 0.0
    line: int = 1
    seed_line: int = 0


def recipe_from_yaml(text: str, file: str) -> tuple[Recipe | None, list[Problem]]:
    """Read one recipe, and every problem of the file."""
    data, problems = data_from_yaml(text, file)
    reader = Reader(file, list(problems))
    keys = keys_of(reader, data, "the paper") if data is not None else None
    if keys is None:
        return None, sorted(reader.problems)
    recipe = Recipe(
        keys.identity("id"),
        keys.text("title", required=True),
        keys.text("introduction"),
        keys.choice("use", USES),
        keys.text("seed", required=True),
        file,
        tuple(item for node in keys.items("questions") if (item := _named(keys, node))),
        tuple(draw for node in keys.items("draw") if (draw := _draw(keys, node))),
        keys.choice("marked", MARKED, required=False) or MARKED[0],
        _whole(keys, "variants", MOST_VARIANTS) or USUAL_VARIANTS,
        keys.identity("chapter", required=False),
        keys.identity("review", required=False),
        keys.flag("mock"),
        _whole(keys, "number", 1000),
        _whole(keys, "drawings", 1000),
        _pass_percent(keys),
        keys.line,
        keys.line_of("seed"),
    )
    keys.finish()
    forms = [key for key in ("chapter", "review", "mock") if getattr(recipe, key)]
    if not recipe.questions and not recipe.draws and not forms:
        reader.say(
            keys.line,
            "the paper asks nothing",
            "add `questions:`, `draw:`, `chapter:`, `review:` or `mock: true`",
        )
    if len(forms) > 1:
        reader.say(
            keys.line_of(forms[1]),
            f"the paper: '{forms[0]}' and '{forms[1]}' stand side by side",
            "keep one of them",
        )
    if recipe.number and not forms:
        reader.say(
            keys.line_of("number"),
            "the paper: 'number' belongs to 'chapter', 'review' or 'mock'",
            "remove it, or write it into a draw",
        )
    return (None if reader.problems else recipe), sorted(set(reader.problems))


def _named(keys: Keys, node: Node) -> tuple[str, int] | None:
    if isinstance(node, Text) and ID_FORM.match(node.text):
        return node.text, node.line
    keys.reader.say(
        node.line, "a question id is expected here", "write the id of a question of the bank"
    )
    return None


def _draw(paper: Keys, node: Node) -> Draw | None:
    keys = keys_of(paper.reader, node, "a draw")
    if keys is None:
        return None
    outcome, chapter = (
        keys.identity("outcome", required=False),
        keys.identity("chapter", required=False),
    )
    kind = keys.choice("kind", QUESTION_KINDS, required=False)
    difficulty = keys.choice(
        "difficulty", tuple(str(item) for item in DIFFICULTIES), required=False
    )
    number = keys.number("number", required=True)
    keys.finish()
    if not (outcome or chapter or kind or difficulty):
        keys.reader.say(
            keys.line,
            "a draw names nothing to draw from",
            "add `outcome:`, `chapter:`, `kind:` or `difficulty:`",
        )
        return None
    if number is None or number != int(number) or not 1 <= number <= 1000:
        keys.reader.say(
            keys.line_of("number"),
            "a draw: 'number' must be a whole number from 1",
            "write how many questions",
        )
        return None
    return Draw(outcome, int(number), keys.line, chapter, kind, int(difficulty or 0))


def _whole(keys: Keys, key: str, most: int) -> int:
    number = keys.number(key)
    if number is not None and (number != int(number) or not 1 <= number <= most):
        keys.reader.say(
            keys.line_of(key),
            f"{keys.what}: '{key}' must be a whole number from 1 to {most}",
            "write how many",
        )
        return 0
    return int(number or 0)


def _pass_percent(keys: Keys) -> float:
    percent = keys.number("pass_percent")
    if percent is not None and not 0 < percent <= 100:
        keys.reader.say(
            keys.line_of("pass_percent"),
            f"{keys.what}: 'pass_percent' must be above 0 and at most 100",
            "write a share, or leave it out",
        )
        return 0.0
    return percent or 0.0


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
    for draw in recipe.draws:
        problems += _choose_drawn(bank, recipe, draw, chosen)
    if recipe.chapter or recipe.review or recipe.mock:
        problems += _choose_form(bank, recipe, chapters, chosen)
    if recipe.pass_percent and not problems and not may_have_a_pass_mark(len(chosen)):
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
    for id_, line in recipe.questions:
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
        elif by_id[id_] in chosen:
            yield Problem(
                recipe.file, line, f"the question '{id_}' stands twice", "keep one of them"
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
