"""Pages: the quizzes of the guide. Placeholder until the quiz room gives its page."""

from __future__ import annotations

from pathlib import Path

from firstway.pages.guide import Guide
from firstway.pages.sheet import Sheet
from firstway.problems import Problem


def quiz_sheets(root: Path, guide: Guide) -> tuple[tuple[Sheet, ...], list[Problem]]:
    """Every quiz of the bank as a page, and the problems of the bank."""
    return (), []
