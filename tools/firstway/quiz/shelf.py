"""Quiz: the quiz folder of a project: outcomes, bank and recipes, read once, with every problem."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TypeVar

from firstway.files.disk import name_problems, text_if_there, text_of_file
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.bank.question import (
    ChapterOutcomes,
    ConfusedPair,
    Question,
    confused_from_yaml,
    outcome_texts,
    outcomes_from_yaml,
    unknown_outcomes,
)
from firstway.quiz.bank.tasks import (
    JOB_FILE,
    PROMPTS_FILE,
    WORKED_FILE,
    BenchTask,
    JobThrough,
    Prompt,
    WorkedExample,
    bench_from_yaml,
    job_from_yaml,
    prompts_from_yaml,
    unknown_of_tasks,
    worked_from_yaml,
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
    worked: tuple[WorkedExample, ...] = ()
    prompts: tuple[Prompt, ...] = ()
    bench: tuple[BenchTask, ...] = ()
    job: JobThrough | None = None

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
    worked = _one(root, WORKED_FILE, worked_from_yaml, problems) or ()
    prompts = _one(root, PROMPTS_FILE, prompts_from_yaml, problems) or ()
    bench = _bench(root, problems)
    job = _one(root, JOB_FILE, job_from_yaml, problems)
    if chapters:
        problems += unknown_of_tasks(
            worked,
            prompts,
            bench,
            job,
            bank,
            outcome_texts(chapters),
            [chapter.id for chapter in chapters],
        )
    shelf = Shelf(
        tuple(chapters),
        tuple(bank),
        tuple(recipes),
        _confused(root),
        worked,
        prompts,
        bench,
        job,
    )
    return shelf, sorted(set(problems))


_Told = TypeVar("_Told")


def _one(
    root: Path,
    name: str,
    read: Callable[[str, str], tuple[_Told, list[Problem]]],
    problems: list[Problem],
) -> _Told | None:
    """What one file says; None where the project has none."""
    text, found = text_if_there(root / name, name)
    problems += found
    if text is None:
        return None
    told, more = read(text, name)
    problems += more
    return told


def _bench(root: Path, problems: list[Problem]) -> tuple[BenchTask, ...]:
    """The bench tasks by their place."""
    tasks = []
    for shown_as, text in _files(root, "bench", problems):
        task, found = bench_from_yaml(text, shown_as, Path(shown_as).stem)
        tasks += [task] if task else []
        problems += [*found, *name_problems(Path(shown_as).stem, shown_as)]
    return tuple(sorted(tasks, key=lambda task: (task.place, task.id)))


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
