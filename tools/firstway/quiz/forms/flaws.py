"""Quiz: what may be wrong with a worked question; each form looks for its own flaws."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from firstway.quiz.forms.worked_question import WorkedQuestion, content_text
from firstway.quiz.marking.typed import Windows

FEWEST_OPTIONS = 3
_CATCH_ALL = re.compile(
    r"\b(?:all|none|both|neither|any) of (?:the )?(?:above|these|them)\b|\ball the above\b",
    re.IGNORECASE,
)


class Flaw(NamedTuple):
    """A flaw at a line, and what to do. `mixes`: right and wrong cannot be told apart."""

    line: int
    message: str
    hint: str
    mixes: bool = False


class AskedFigure(NamedTuple):
    """A figure of a question as it is marked. `part` counts from 1 in a working."""

    part: int
    windows: Windows
    value: float
    places: int
    line: int


def catch_all_flaws(texts: Iterable[tuple[int, str]], others: str) -> Iterator[Flaw]:
    """Things to choose, (line, words), that point at the others."""
    for line, text in texts:
        if _CATCH_ALL.search(text):
            yield Flaw(line, f"'{text[:60]}' points at other {others}", "say what is meant")


def twice_flaws(
    texts: Sequence[tuple[int, str]], what: str, hint: str, mixes: bool
) -> Iterator[Flaw]:
    """Things that read alike, (line, words)."""
    words = [text for _, text in texts]
    for line, text in texts:
        if words.count(text) > 1:
            yield Flaw(line, f"two {what} read '{text[:60]}'", hint, mixes)


def option_flaws(worked: WorkedQuestion) -> Iterator[Flaw]:
    """Options or steps that read alike, point at each other, or are too few."""
    texts = [(option.line, content_text(option.content)) for option in worked.options]
    yield from twice_flaws(
        texts, "options", "make them differ, or choose other figures", mixes=True
    )
    yield from catch_all_flaws(texts, "options")
    if len(texts) < FEWEST_OPTIONS:
        yield Flaw(worked.question.line, f"{len(texts)} options", f"give {FEWEST_OPTIONS} or more")


def figure_flaws(worked: WorkedQuestion, figures: Sequence[AskedFigure]) -> Iterator[Flaw]:
    """Figures whose windows do not do what they are for."""
    for figure in figures:
        if not figure.windows.low < round(figure.value, figure.places) < figure.windows.high:
            yield Flaw(figure.line, "the rounded answer lies outside its window", "check `places:`")
    if not worked.mistakes:
        yield Flaw(worked.question.line, "no wrong number is foreseen", "add one under `mistakes:`")
    taken = {
        each.part: [(each.windows.low, each.windows.high, "the right answer")] for each in figures
    }
    for mistake in worked.mistakes:
        for low, high, name in taken[mistake.part]:
            if mistake.low <= high and low <= mistake.high:
                yield Flaw(
                    mistake.line,
                    f"the mistake '{mistake.mistake}' cannot be told from {name} here"
                    f" ({mistake.value.text})",
                    "choose another mistake or another installation",
                    mixes=True,
                )
        taken[mistake.part].append((mistake.low, mistake.high, f"'{mistake.mistake}'"))
        if not mistake.feedback:
            yield Flaw(
                mistake.line, f"the mistake '{mistake.mistake}' has no feedback", "add `feedback:`"
            )
