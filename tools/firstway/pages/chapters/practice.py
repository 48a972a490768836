"""Pages: the questions that a chapter shows one at a time, worked."""

from __future__ import annotations

import re

from firstway.pages.quizzes.quiz_drawings import question_sources
from firstway.pages.shared.project import Project
from firstway.problems import Problem
from firstway.quiz.forms.values import worked
from firstway.quiz.forms.worked_question import WorkedQuestion

_ASKED = re.compile(r"\{question:[ \t]*([a-z0-9.-]+)[ \t]*\}")


def practice_questions(project: Project) -> tuple[dict[str, WorkedQuestion], list[Problem]]:
    """The practice questions that chapters ask for, worked, and what is wrong with them; none while
    an installation is broken.

    An assigned one is never shown in a chapter.
    """
    asked = {name for page in project.chapters for name in _ASKED.findall(page.text)}
    done: dict[str, WorkedQuestion] = {}
    problems: list[Problem] = []
    sources = question_sources(project)
    for question in project.shelf.bank if not project.broken else ():
        if question.id in asked and question.use == "practice":
            filled, wrong = worked(question, sources)
            problems += wrong
            if filled:
                done[question.id] = filled
    return done, problems
