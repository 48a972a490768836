"""Pages: what was made of a project before any page is written, as one frozen value."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from firstway.drawing.sheet import Sheet as Drawing
from firstway.drawing.svg import Drawn
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import PageSheet
from firstway.quiz.forms.worked_question import WorkedQuestion

PAGE_VIEWS = ("single-line", "board", "wiring")


@dataclass(frozen=True)
class Guide:
    """`drawings` are found by installation and view; `layouts` are the wiring drawings as values,
    by installation; `questions` are those for practice that chapters show, worked, by id.
    """

    project: Project = Project()
    layouts: Mapping[str, Drawing] = field(default_factory=dict)
    drawings: Mapping[tuple[str, str], Drawn] = field(default_factory=dict)
    quizzes: tuple[PageSheet, ...] = ()
    questions: Mapping[str, WorkedQuestion] = field(default_factory=dict)
