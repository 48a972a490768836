"""Pages: the questions that a chapter shows one at a time, worked."""

from __future__ import annotations

import re

from firstway.pages.quizzes.quiz_drawings import guide_sources
from firstway.pages.shared.guide import Guide
from firstway.problems import Problem
from firstway.quiz.forms.values import WorkedQuestion, worked

_ASKED = re.compile(r"\{question:[ \t]*([a-z0-9.-]+)[ \t]*\}")


def practice_questions(guide: Guide, problems: list[Problem]) -> dict[str, WorkedQuestion]:
    """The practice questions that chapters ask for, worked.

    An assigned one is never shown in a chapter.
    """
    asked = {name for page in guide.chapters for name in _ASKED.findall(page.text)}
    if not asked:
        return {}
    done, sources = {}, guide_sources(guide)
    for question in guide.bank:
        if question.id in asked and question.use == "practice":
            filled, wrong = worked(question, sources)
            problems += wrong
            if filled:
                done[question.id] = filled
    return done
