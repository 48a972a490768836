"""Quiz: a recipe to the questions of one quiz. Functions of values: a bank in, questions out."""

from __future__ import annotations

from dataclasses import dataclass
from hashlib import sha256

from firstway.files.yaml_reader import Node, Text, data_from_yaml
from firstway.problems import Problem
from firstway.quiz.keys import ID_FORM, Keys, Reader, keys_of, suggestion
from firstway.quiz.question import USES, Question


@dataclass(frozen=True)
class Draw:
    """So many questions of one outcome."""

    outcome: str
    number: int
    line: int


@dataclass(frozen=True)
class Recipe:
    """What a quiz holds: named questions in their order, then questions drawn by outcome."""

    id: str
    title: str
    introduction: str
    use: str
    seed: str
    file: str
    questions: tuple[tuple[str, int], ...] = ()
    draws: tuple[Draw, ...] = ()


def recipe_from_yaml(text: str, file: str) -> tuple[Recipe | None, list[Problem]]:
    """Read one recipe, and every problem of the file."""
    data, problems = data_from_yaml(text, file)
    reader = Reader(file, list(problems))
    keys = keys_of(reader, data, "the paper") if data is not None else None
    if keys is None:
        return None, sorted(reader.problems)
    recipe = Recipe(
        keys.identity("id"), keys.text("title", required=True), keys.text("introduction"), keys.choice("use", USES),
        keys.text("seed", required=True), file,
        tuple(item for node in keys.items("questions") if (item := _named(keys, node))),
        tuple(draw for node in keys.items("draw") if (draw := _draw(keys, node))))
    keys.finish()
    if not recipe.questions and not recipe.draws:
        reader.say(keys.line, "the paper asks nothing", "add `questions:` or `draw:`")
    return (None if reader.problems else recipe), sorted(set(reader.problems))


def _named(keys: Keys, node: Node) -> tuple[str, int] | None:
    if isinstance(node, Text) and ID_FORM.match(node.text):
        return node.text, node.line
    keys.reader.say(node.line, "a question id is expected here", "write the id of a question of the bank")
    return None


def _draw(paper: Keys, node: Node) -> Draw | None:
    keys = keys_of(paper.reader, node, "a draw")
    if keys is None:
        return None
    outcome, number = keys.identity("outcome"), keys.number("number", required=True)
    keys.finish()
    if number is None or number != int(number) or not 1 <= number <= 1000:
        keys.reader.say(keys.line_of("number"), "a draw: 'number' must be a whole number from 1", "write how many questions")
        return None
    return Draw(outcome, int(number), keys.line)


def questions_of(bank: list[Question], recipe: Recipe) -> tuple[list[Question], list[Problem]]:
    """The questions of the quiz in their order.

    Drawn questions are ranked by a hash of (seed, id), so a question added to the bank moves few others.
    """
    by_id = {question.id: question for question in bank}
    chosen: list[Question] = []
    problems: list[Problem] = []
    for id_, line in recipe.questions:
        if id_ not in by_id:
            problems.append(Problem(recipe.file, line, f"there is no question '{id_}'",
                                    suggestion(id_, list(by_id)) or "write the id of a question of the bank"))
        elif by_id[id_].use != recipe.use:
            problems.append(Problem(recipe.file, line, f"the question '{id_}' is for {by_id[id_].use} use",
                                    f"this paper is for {recipe.use} use: choose another"))
        elif by_id[id_] in chosen:
            problems.append(Problem(recipe.file, line, f"the question '{id_}' stands twice", "keep one of them"))
        else:
            chosen.append(by_id[id_])
    for draw in recipe.draws:
        ranked = sorted((question for question in bank if question.outcome == draw.outcome
                         and question.use == recipe.use and question not in chosen),
                        key=lambda question: rank(recipe.seed, question.id))
        if len(ranked) < draw.number:
            problems.append(Problem(recipe.file, draw.line, f"the bank holds {len(ranked)} more questions for"
                                    f" '{draw.outcome}', {draw.number} are asked", "ask for fewer, or write more"))
        chosen.extend(ranked[:draw.number])
    return ([] if problems else chosen), problems


def rank(seed: str, question_id: str) -> str:
    """Place of a question in a draw."""
    return sha256(f"{seed}|{question_id}".encode()).hexdigest()
