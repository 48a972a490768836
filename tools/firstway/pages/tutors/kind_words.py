"""Pages: how many questions of each kind, in words for a tutor."""

from __future__ import annotations

from collections.abc import Iterable

_WORDS = {
    "one-answer": "with one answer",
    "several-answers": "with several answers",
    "point": "to point at",
    "number": "with a number",
    "working": "with a working",
    "match": "to match",
    "order": "to put in order",
    "foretell": "to foretell",
    "find-the-mistake": "to find a mistake",
    "read-a-chart": "to read a chart",
}


def kinds_in_words(counts: Iterable[tuple[str, int]]) -> str:
    """Each kind with how many there are; one without words here is named as its key.

    >>> kinds_in_words([("point", 3), ("one-answer", 2), ("eleventh-kind", 1)])
    '3 to point at, 2 with one answer, 1 eleventh kind'
    """
    return ", ".join(
        f"{number} {_WORDS.get(kind, kind.replace('-', ' '))}" for kind, number in counts
    )
