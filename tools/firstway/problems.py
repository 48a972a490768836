"""First in the flow: what is wrong in a user's file, as a value; and text of files, safe
to print.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

# Characters that steer a terminal, end a line, turn the direction of reading, or cannot be seen.
# Written out, not asked of `unicodedata`: its tables differ from one Python to the next.
_UNSEEN = re.compile(
    "[\x00-\x1f\x7f-\x9f\u00ad\u061c\u180e\u200b-\u200f\u2028-\u202e\u2060-\u206f\ufeff"
    "\ufff9-\ufffb\ufffe\uffff\ud800-\udfff\U000e0000-\U000e007f]"
)


def visible(text: str) -> str:
    """Text from any file as it may be printed: what steers, breaks a line or hides is an escape.

    A line break becomes `\\x0a`, a mark that turns the direction of reading `\\u202e`.
    """
    return _UNSEEN.sub(_escape, text)


def _escape(found: re.Match[str]) -> str:
    number = ord(found[0])
    if number < 0x100:
        return f"\\x{number:02x}"
    return f"\\u{number:04x}" if number < 0x10000 else f"\\U{number:08x}"


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
        said = f"{place}: {self.message}"
        return visible(f"{said}; {self.hint}" if self.hint else said)


class Problems(Exception):
    """Raised at the edge only, with every problem of the input at once."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(problem) for problem in self.problems))
