"""Quiz: the quiz folder of a project: outcomes, bank and recipes, read once, with every problem."""

from __future__ import annotations

from pathlib import Path

from firstway.files.disk import text_if_there, text_of_file
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.bank.question import (
    ChapterOutcomes,
    ConfusedPair,
    Question,
    confused_from_yaml,
    outcomes_from_yaml,
    unknown_outcomes,
)
from firstway.quiz.paper.recipe import Recipe, recipe_from_yaml
from firstway.quiz.questions import ids_used_twice, questions_from_yaml


@dataclass(frozen=True)
class Shelf:
    """What the folder holds, in the order of its files."""

    chapters: tuple[ChapterOutcomes, ...] = ()
    bank: tuple[Question, ...] = ()
    recipes: tuple[Recipe, ...] = ()
    confused: tuple[ConfusedPair, ...] = ()

    def question(self, id_: str) -> Question | None:
        return next((question for question in self.bank if question.id == id_), None)

    def recipe(self, id_: str) -> Recipe | None:
        return next((recipe for recipe in self.recipes if recipe.id == id_), None)


def shelf_from(root: Path) -> tuple[Shelf, list[Problem]]:
    """Read `root`/quiz; give what could be read and all problems."""
    problems: list[Problem] = []
    chapters = _chapters(root, problems)
    bank: list[Question] = []
    for shown_as, text in _files(root, "bank", problems):
        questions, found = questions_from_yaml(text, shown_as)
        bank += questions
        problems += found
    recipes = []
    for shown_as, text in _files(root, "papers", problems):
        recipe, found = recipe_from_yaml(text, shown_as)
        recipes += [recipe] if recipe else []
        problems += found
    problems += ids_used_twice(bank)
    if chapters:
        problems += unknown_outcomes(bank, chapters)
    confused = _confused(root)
    return Shelf(tuple(chapters), tuple(bank), tuple(recipes), confused), sorted(set(problems))


def _chapters(root: Path, problems: list[Problem]) -> list[ChapterOutcomes]:
    path = root / "quiz" / "outcomes.yaml"
    text, found = text_if_there(path, "quiz/outcomes.yaml")
    chapters, more = (
        outcomes_from_yaml(text, "quiz/outcomes.yaml") if text is not None else ([], [])
    )
    problems += [*found, *more]
    return chapters


def _confused(root: Path) -> tuple[ConfusedPair, ...]:
    text, _ = text_if_there(root / "quiz" / "outcomes.yaml", "quiz/outcomes.yaml")
    return confused_from_yaml(text, "quiz/outcomes.yaml") if text is not None else ()


def _files(root: Path, folder: str, problems: list[Problem]) -> list[tuple[str, str]]:
    read = []
    for path in sorted((root / "quiz" / folder).glob("*.yaml")):
        shown_as = path.relative_to(root).as_posix()
        text, found = text_of_file(path, shown_as)
        problems += found
        if not found:
            read.append((shown_as, text))
    return read
