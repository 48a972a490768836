"""Pages: the kinds of files whose keys are declared, each with where such files lie."""

from __future__ import annotations

from firstway.files.plain_values import suggestion
from firstway.files.schema import Schema, schema_of
from firstway.frozen import dataclass
from firstway.model.installation import Installation
from firstway.model.mistakes import Mistake
from firstway.model.read_copy import ENDING, ReadClause
from firstway.pages.shared.glossary import GLOSSARY_FILE, Glossary
from firstway.problems import Problem
from firstway.quiz.bank.question import OutcomesFile
from firstway.quiz.bank.tasks import (
    JOB_FILE,
    PROMPTS_FILE,
    WORKED_FILE,
    BenchTask,
    JobThrough,
    PromptsFile,
    WorkedFile,
)
from firstway.quiz.class_files import Correction, Learner
from firstway.quiz.paper.recipe import Recipe
from firstway.quiz.questions import BankFile


@dataclass(frozen=True)
class DeclaredFile:
    """`name` is what `schema` calls it; `about` says what one such file holds."""

    name: str
    where: str
    about: str
    of: type
    is_list: bool = False


DECLARED_FILES = (
    DeclaredFile("installation", "diagrams/NAME.yaml", "one installation", Installation),
    DeclaredFile(
        "read-in-my-copy",
        f"diagrams/NAME{ENDING}",
        "clauses that a reader looked up, beside an installation",
        ReadClause,
        is_list=True,
    ),
    DeclaredFile(
        "mistakes",
        "diagrams/mistakes.yaml",
        "mistakes that are met on boards",
        Mistake,
        is_list=True,
    ),
    DeclaredFile("glossary", GLOSSARY_FILE, "the words and symbols of the guide", Glossary),
    DeclaredFile(
        "outcomes", "quiz/outcomes.yaml", "what a learner can do after each chapter", OutcomesFile
    ),
    DeclaredFile("bank", "quiz/bank/NAME.yaml", "questions on one topic", BankFile),
    DeclaredFile("worked", WORKED_FILE, "worked examples that fade", WorkedFile),
    DeclaredFile("say-why", PROMPTS_FILE, "what is to be explained, point by point", PromptsFile),
    DeclaredFile("bench", "quiz/bench/NAME.yaml", "a task for the hands, on a dead rig", BenchTask),
    DeclaredFile("the-job", JOB_FILE, "the job that runs through the chapters", JobThrough),
    DeclaredFile("recipe", "quiz/papers/NAME.yaml", "what a quiz or a paper asks", Recipe),
    DeclaredFile(
        "class", "quiz/classes/NAME.csv", "a class, a row a learner", Learner, is_list=True
    ),
    DeclaredFile(
        "corrections",
        "corrections.csv of a paper",
        "what a tutor corrects after papers were given out, a row each",
        Correction,
        is_list=True,
    ),
)


def declared_file(name: str) -> tuple[DeclaredFile | None, list[Problem]]:
    """The kind of file of that name, or what is wrong with the name."""
    known = {each.name: each for each in DECLARED_FILES}
    if name in known:
        return known[name], []
    hint = suggestion(name, list(known)) or f"use one of: {', '.join(known)}"
    return None, [Problem("KIND", 0, f"there is no kind of file '{name}'", hint)]


def kinds_text() -> str:
    """Every kind with where such files lie and what one holds, a line each."""
    return "".join(f"{each.name:16} {each.where:32} {each.about}\n" for each in DECLARED_FILES)


def schema_of_file(file: DeclaredFile) -> Schema:
    """The JSON Schema of a kind of file."""
    return schema_of(file.of, file.name, f"{file.where}: {file.about}", is_list=file.is_list)
