"""Quiz: how the bank covers the outcomes: counts by outcome, kind and use, and what is short."""

from __future__ import annotations

from collections import Counter
from typing import Sequence

from firstway.quiz.outcomes import Chapter
from firstway.quiz.question import Question

FEWEST_QUESTIONS, FEWEST_KINDS = 3, 2


def coverage(bank: Sequence[Question]) -> Counter[tuple[str, str, str]]:
    """(outcome, kind, use) -> number of questions."""
    return Counter((question.outcome, question.kind, question.use) for question in bank)


def thin_outcomes(bank: Sequence[Question], chapters: Sequence[Chapter]) -> list[str]:
    """A line for each outcome with fewer than three questions, fewer than two kinds, or nothing for one of the uses."""
    counts = coverage(bank)
    found = []
    for chapter in chapters:
        for outcome in chapter.outcomes:
            own = {key: count for key, count in counts.items() if key[0] == outcome.id}
            total, kinds, uses = sum(own.values()), {key[1] for key in own}, {key[2] for key in own}
            if total < FEWEST_QUESTIONS or len(kinds) < FEWEST_KINDS or len(uses) < 2:
                found.append(f"{outcome.id}: {total} questions of {len(kinds)} kinds, for {' and '.join(sorted(uses)) or 'no'} use")
    return found
