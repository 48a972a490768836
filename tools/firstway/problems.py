"""First in the flow: what is wrong in a user's file, as a value every room may return."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterable


@dataclass(frozen=True, order=True)
class Problem:
    """One thing a user can put right.

    `file` is the path as the user gave it, `line` counts from 1 (0: the whole file),
    `message` says what is wrong and `hint` what to do about it.
    """

    file: str
    line: int
    message: str
    hint: str = ""

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place}: {self.message}; {self.hint}" if self.hint else f"{place}: {self.message}"


class Problems(Exception):
    """Raised at the edge only, with every problem of the input at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(problem) for problem in self.problems))
