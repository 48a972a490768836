"""Pages: the questions that a chapter shows one at a time, worked; and the chapters with their outcomes."""

from __future__ import annotations

import re
from pathlib import Path

from firstway.files.text_reader import text_of_file
from firstway.pages.guide import Guide
from firstway.pages.quiz_drawings import guide_sources
from firstway.problems import Problem
from firstway.quiz.bank import questions_from_yaml
from firstway.quiz.outcomes import Chapter, outcomes_from_yaml
from firstway.quiz.question import Question
from firstway.quiz.values import WorkedQuestion, worked

_ASKED = re.compile(r"\{question:[ \t]*([a-z0-9.-]+)[ \t]*\}")


def read_outcomes(root: Path, problems: list[Problem]) -> tuple[Chapter, ...]:
    """The chapters in reading order; a project without the file has none."""
    path = root / "quiz" / "outcomes.yaml"
    if not path.is_file():
        return ()
    text, found = text_of_file(path, "quiz/outcomes.yaml")
    chapters, wrong = outcomes_from_yaml(text, "quiz/outcomes.yaml") if not found else ([], [])
    problems += [*found, *wrong]
    return tuple(chapters)


def practice_questions(guide: Guide, problems: list[Problem]) -> dict[str, WorkedQuestion]:
    """The practice questions that chapters ask for, worked. An assigned one is never shown in a chapter."""
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


def read_bank(root: Path) -> tuple[Question, ...]:
    """Every question; what is wrong with them is told where the quizzes are made."""
    bank: list[Question] = []
    for path in sorted((root / "quiz" / "bank").glob("*.yaml")):
        shown_as = path.relative_to(root).as_posix()
        text, found = text_of_file(path, shown_as)
        bank += questions_from_yaml(text, shown_as)[0] if not found else []
    return tuple(bank)
