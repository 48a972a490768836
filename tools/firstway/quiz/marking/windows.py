"""Quiz: a typed number against its window and those of named mistakes, as one figure and a working
have them.
"""

from __future__ import annotations

from dataclasses import dataclass

from firstway.quiz.marking.typed import number_and_unit, plain_typed


@dataclass(frozen=True)
class WrongNumber:
    """The window of a named mistake."""

    mistake: str
    low: float
    high: float
    feedback: str


@dataclass(frozen=True)
class Windows:
    """What marks a figure: the window of right answers and those of named mistakes.

    Bounds belong to the window.
    """

    unit: str
    spellings: tuple[str, ...]
    low: float
    high: float
    wrong: tuple[WrongNumber, ...]


@dataclass(frozen=True)
class FoundNumber:
    """What a typed number deserves, and its value where it can be read."""

    state: str
    mistake: str = ""
    feedback: str = ""
    value: float | None = None


def found_number(key: Windows, typed: str) -> FoundNumber:
    """What a typed number deserves by its windows alone."""
    if not plain_typed(typed):
        return FoundNumber("empty")
    value, unit = number_and_unit(typed)
    if value is None:
        return FoundNumber("not-a-number")
    if unit and unit not in key.spellings:
        return FoundNumber("unit")
    if key.low <= value <= key.high:
        return FoundNumber("right", value=value)
    for wrong in key.wrong:
        if wrong.low <= value <= wrong.high:
            return FoundNumber("mistake", wrong.mistake, wrong.feedback, value)
    return FoundNumber("wrong", value=value)
