"""Quiz, number: its key, and an answer to a mark.

The answer is what was typed.
"""

from __future__ import annotations

from firstway.frozen import dataclass
from firstway.quiz.marking.marking import Key, Mark, mark_by_sentence
from firstway.quiz.marking.typed import Windows, found_number


@dataclass(frozen=True)
class NumberKey(Windows, Key):
    """What marks one figure."""

    form = "number"
    answer: str
    why: str


def marked(key: NumberKey, typed: str) -> Mark:
    found = found_number(key, typed)
    return mark_by_sentence(
        key,
        found.state,
        sentence="unit-none" if found.state == "unit" and not key.unit else "",
        mistake=found.mistake,
        feedback=found.feedback,
        unit=key.unit,
    )
