"""Pages: the questions that a chapter shows one at a time, worked when it asks for them."""

from __future__ import annotations

from collections.abc import Mapping

from firstway.files.reads import note_read
from firstway.pages.quizzes.quiz_drawings import question_sources
from firstway.pages.shared.guide import MadeOnAsking
from firstway.pages.shared.project import Project
from firstway.problems import Problem
from firstway.quiz.forms.values import worked
from firstway.quiz.forms.worked_question import WorkedQuestion

_HELD = 100


def practice_questions(
    project: Project, problems: list[Problem]
) -> Mapping[str, WorkedQuestion | None]:
    """The practice questions of the bank by id, worked; none while an installation is broken.

    What is wrong with one that is asked for is added to `problems`; it is None then. An assigned
    one is never shown in a chapter.
    """
    sources = question_sources(project)
    bank = project.unnoted("shelf").bank if not project.broken else ()

    def made(name: str) -> WorkedQuestion | None:
        note_read("mistakes")  # the sources hold them
        question = project.question(name)
        filled, wrong = worked(question, sources) if question else (None, [])
        problems.extend(wrong)
        return filled

    practice = (question.id for question in bank if question.use == "practice")
    return MadeOnAsking(practice, made, _HELD)
