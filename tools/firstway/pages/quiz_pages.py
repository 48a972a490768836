"""Pages: the quizzes of the guide: bank, outcomes and recipes of the quiz folder to pages that mark themselves."""

from __future__ import annotations

from pathlib import Path

from firstway.files.text_reader import text_of_file
from firstway.pages.guide import Guide
from firstway.pages.markup import counted, inert
from firstway.pages.sheet import Sheet, part_mark
from firstway.problems import Problem
from firstway.quiz.bank import ids_used_twice, questions_from_yaml
from firstway.quiz.lint import flaws_of
from firstway.quiz.outcomes import Chapter, outcome_texts, outcomes_from_yaml, unknown_outcomes
from firstway.quiz.page import quiz_html
from firstway.quiz.paper import Recipe, questions_of, recipe_from_yaml
from firstway.quiz.question import Question
from firstway.quiz.values import WorkedQuestion, worked

SCRIPT = ('<link rel="stylesheet" href="{root}assets/quiz.css">'
          '<script src="{root}assets/quiz.js" defer></script>')


def quiz_sheets(root: Path, guide: Guide) -> tuple[tuple[Sheet, ...], list[Problem]]:
    """Every quiz for practice as a page, and the problems of the whole quiz folder.

    A recipe for assigned papers gives no page: a learner's paper holds no key.
    """
    problems: list[Problem] = []
    chapters = _outcomes(root, problems)
    bank = _bank(root, problems)
    problems += ids_used_twice(bank)
    if chapters:
        problems += unknown_outcomes(bank, chapters)
    sheets = []
    for recipe in _recipes(root, problems):
        chosen, found = questions_of(bank, recipe)
        problems += found
        if guide.broken:  # figures of a broken installation are missing: that alone is told
            continue
        questions = _worked(chosen, guide, recipe.seed, problems)
        if recipe.use == "practice":
            sheets.append(quiz_sheet(recipe, questions, outcome_texts(chapters)))
    return tuple(sheets), problems


def quiz_sheet(recipe: Recipe, questions: list[WorkedQuestion], outcomes: dict[str, str]) -> Sheet:
    """One quiz as a page."""
    html = quiz_html(recipe.title, questions, recipe.seed, quiz_id=recipe.id, outcomes=outcomes,
                     introduction=recipe.introduction)
    text = f"# {inert(recipe.title)}\n\n{part_mark('quiz')}\n"
    described = f"{counted(len(questions), 'question')}. Marks itself on the page; nothing is sent anywhere."
    return Sheet(f"quizzes/{recipe.id}.md", recipe.title, text, {"quiz": html + SCRIPT}, described)


def _outcomes(root: Path, problems: list[Problem]) -> list[Chapter]:
    path = root / "quiz" / "outcomes.yaml"
    if not path.is_file():
        return []
    text, found = text_of_file(path, "quiz/outcomes.yaml")
    chapters, more = outcomes_from_yaml(text, "quiz/outcomes.yaml") if not found else ([], [])
    problems += [*found, *more]
    return chapters


def _bank(root: Path, problems: list[Problem]) -> list[Question]:
    bank: list[Question] = []
    for shown_as, text in _files(root, "bank", problems):
        questions, found = questions_from_yaml(text, shown_as)
        bank += questions
        problems += found
    return bank


def _recipes(root: Path, problems: list[Problem]) -> list[Recipe]:
    recipes: list[Recipe] = []
    for shown_as, text in _files(root, "papers", problems):
        recipe, found = recipe_from_yaml(text, shown_as)
        recipes += [recipe] if recipe else []
        problems += found
    return recipes


def _files(root: Path, folder: str, problems: list[Problem]) -> list[tuple[str, str]]:
    read = []
    for path in sorted((root / "quiz" / folder).glob("*.yaml")):
        shown_as = path.relative_to(root).as_posix()
        text, found = text_of_file(path, shown_as)
        problems += found
        if not found:
            read.append((shown_as, text))
    return read


def _worked(chosen: list[Question], guide: Guide, seed: str, problems: list[Problem]) -> list[WorkedQuestion]:
    questions = []
    for question in chosen:
        done, found = worked(question, guide.step, seed)
        problems += found
        if done:
            questions.append(done)
            problems += flaws_of(done)
    return questions
