"""Pages: the quizzes of the guide: recipes of the quiz folder to pages that mark themselves; the
whole bank is checked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from firstway.files.keeping import kept, kept_each
from firstway.files.reads import note_read
from firstway.pages.quizzes.quiz_drawings import drawing_of, question_sources
from firstway.pages.shared.markup import inert
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import PageSheet, part_mark, sheet_data
from firstway.problems import Problem
from firstway.quiz.bank.question import Question, outcome_texts
from firstway.quiz.forms.lint import (
    SeenQuestion,
    as_seen,
    flaws_of,
    flaws_of_bank,
    flaws_of_paper,
    flaws_of_variants,
)
from firstway.quiz.forms.sources import Sources
from firstway.quiz.forms.values import FEWEST_VARIANTS, variants, worked
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.paper.page import quiz_html
from firstway.quiz.paper.recipe import Recipe, questions_of
from firstway.quiz.shelf import Shelf
from firstway.rendering.html import Markup, counted

_STYLE = Markup('<link rel="stylesheet" href="{root}assets/quiz.css">')
"""Above the quiz: what is dressed late is laid out twice."""
_SCRIPT = Markup('<script src="{root}assets/quiz.js"></script>')
"""Right below the quiz and not deferred: it is ready before the rest of the page is read."""
CHECKED = "quiz-checked"
_KEPT = "quizzes"
_MOST_VARIANTS = 4
"""Sets of figures worked for one question of a page."""


def quiz_sheets(
    project: Project, stands: Callable[[str], str]
) -> tuple[tuple[PageSheet, ...], list[Problem]]:
    """Every quiz for practice as a page, and what is wrong with the questions once they are worked.

    A recipe for assigned papers gives no page: a learner's paper holds no key. A quiz is kept; it
    is made anew where one of its questions, or something it was made from, `stands` otherwise.
    """
    problems: list[Problem] = []
    shelf = project.shelf
    plain = question_sources(project, drawn=False)
    drawn = replace(plain, drawing_of=drawing_of)
    if not project.broken:  # figures of a broken installation are missing: that alone is told
        problems += kept_bank_problems(shelf.bank, plain, stands)
    sheets: list[PageSheet] = []
    texts, pages = outcome_texts(list(shelf.chapters)), pages_of_outcomes(project)
    for recipe in in_reading_order(shelf):
        chosen, found = questions_of(shelf.bank, recipe, shelf.chapters)
        problems += found
        if project.broken:
            continue
        practice = recipe.use == "practice"

        def make() -> tuple[list[PageSheet], list[Problem]]:
            note_read("mistakes")  # the sources hold them
            wrong: list[Problem] = []
            sources = drawn if practice else plain
            sets = [made for each in chosen if (made := _sets(each, recipe, sources, wrong))]
            wrong += flaws_of_paper([made[0] for made in sets], recipe.file)
            return [quiz_sheet(recipe, sets, texts, pages)] if practice else [], wrong

        of_outcomes = [(each, texts[each], pages.get(each)) for each in texts] if practice else []
        own, found = kept(
            _KEPT,
            recipe.file,
            repr((recipe, chosen, of_outcomes)),
            make,
            data=lambda made: None if made[1] else [sheet_data(sheet) for sheet in made[0]],
            thing=lambda data: ([PageSheet(**each) for each in data], []),
            stands=stands,
        )
        sheets += own
        problems += found
    return tuple(sheets), sorted(set(problems))


def in_reading_order(shelf: Shelf) -> list[Recipe]:
    """The quick quizzes as their chapters are read, then all others by file."""
    places = {chapter.id: place for place, chapter in enumerate(shelf.chapters)}
    return sorted(shelf.recipes, key=lambda recipe: places.get(recipe.chapter, len(places)))


def pages_of_outcomes(project: Project) -> dict[str, tuple[str, str]]:
    """Outcome id to the title and address of the chapter that teaches it, where it is written."""
    return {
        outcome.id: (chapter.title, f"{{root}}{page.html_path}")
        for chapter in project.outcomes
        if (page := project.chapter_page(chapter.id))
        for outcome in chapter.outcomes
    }


def quiz_sheet(
    recipe: Recipe,
    sets: Sequence[Sequence[WorkedQuestion]],
    outcomes: Mapping[str, str],
    reread: Mapping[str, tuple[str, str]],
) -> PageSheet:
    """One quiz as a page: for each question its sets of figures, the first one shown first."""
    html = quiz_html(
        recipe.title,
        [made[0] for made in sets],
        recipe.seed,
        quiz_id=recipe.id,
        outcomes=outcomes,
        introduction=recipe.introduction,
        marking=recipe.marked,
        others={made[0].id: made[1:] for made in sets},
        reread=reread,
        pass_percent=recipe.pass_percent,
    )
    head = f"Quiz: {recipe.title}" if recipe.chapter else recipe.title
    text = (  # the quiz itself is `quiz-...`
        f"# {inert(head)} {{#{recipe.id}-quiz}}\n\n{part_mark('quiz')}\n"
    )
    minutes = round(sum(made[0].question.minutes for made in sets) / 5 + 0.5) * 5
    described = (
        f"{counted(len(sets), 'question')}, about {minutes} minutes. Marked on the page; nothing is"
        " sent anywhere."
    )
    return PageSheet(
        f"quizzes/{recipe.id}.md", recipe.title, text, {"quiz": _STYLE + html + _SCRIPT}, described
    )


def kept_bank_problems(
    bank: Sequence[Question], sources: Sources, stands: Callable[[str], str]
) -> list[Problem]:
    """What is wrong with the questions once they are worked: each as it stands and with its first
    other figures, and all together. What hangs on one question alone is kept.
    """
    problems: list[Problem] = []
    questions = {question.id: question for question in bank}

    def make(name: str) -> tuple[Any, bool]:
        note_read("mistakes")  # the sources hold them
        made, found = _checked(questions[name], sources)
        problems.extend(found)
        return made and [made.options, made.chances], not found

    given = kept_each(
        CHECKED, "the bank", {each: repr(questions[each]) for each in questions}, make, stands
    )
    return [
        *problems,
        *flaws_of_bank(
            [
                SeenQuestion(question, *data)
                for question, data in zip(questions.values(), given)
                if data
            ]
        ),
    ]


def _checked(question: Question, sources: Sources) -> tuple[SeenQuestion | None, list[Problem]]:
    made, problems = worked(question, sources, question.file)
    if made is None:
        return None, problems
    problems += flaws_of(made)
    if question.vary:
        problems += flaws_of_variants(
            question,
            variants(question, sources, FEWEST_VARIANTS, question.file),
            FEWEST_VARIANTS,
        )
    return as_seen(made), problems


def _sets(
    question: Question, recipe: Recipe, sources: Sources, problems: list[Problem]
) -> tuple[WorkedQuestion, ...]:
    made, found = worked(question, sources, recipe.seed)
    problems += found
    if made is None or not question.vary or recipe.variants == 1:
        return (made,) if made else ()
    return variants(question, sources, min(recipe.variants, _MOST_VARIANTS), recipe.seed) or (made,)
