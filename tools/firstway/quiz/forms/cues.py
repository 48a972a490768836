"""Quiz: cues by which a reader who knows nothing could choose: length, commas, words like "since".

A blind rule takes the option that has most (or least) of one cue, and among equals that which
has most (or least) of a second. Over the whole bank no such rule may do clearly better than
choosing at random: item writers call such cues testwise (common practice).
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from firstway.calculations.adding import added
from firstway.quiz.forms.words import text_of
from firstway.quiz.forms.worked_question import WorkedQuestion, content_text

MOST_GAIN = 0.06
"""Share of questions by which a blind rule may do better than chance."""
FEWEST_TO_JUDGE = 40
"""Questions below which the best of many rules does well by chance alone."""
REASON_WORDS = frozenset({"since", "because", "so"})
LINKING_WORDS = REASON_WORDS | {"as", "for", "which"}
ABSOLUTE_WORDS = frozenset(
    "always never only all every any nothing none no everything whatever ever nobody"
    " anybody alone".split()
)
_FILLING = frozenset(
    "the a an of to in is it its and or on at by with that this what which how you be are do does"
    " from for as".split()
)
_WORD = re.compile(r"[a-z0-9']+")

Cue = Callable[[str, str], float]
"""How much of a cue an option has: (option, stem) -> amount."""


def _words(text: str) -> set[str]:
    return set(_WORD.findall(text.lower()))


def _shared(option: str, stem: str) -> int:
    return len((_words(option) & _words(stem)) - _FILLING)


CUES: dict[str, Cue] = {
    "length": lambda option, stem: len(option),
    "words": lambda option, stem: len(option.split()),
    "a reason word": lambda option, stem: bool(_words(option) & REASON_WORDS),
    "a linking word": lambda option, stem: bool(_words(option) & LINKING_WORDS),
    "a semicolon": lambda option, stem: ";" in option,
    "a comma": lambda option, stem: "," in option,
    "an absolute word": lambda option, stem: bool(_words(option) & ABSOLUTE_WORDS),
    "words of the stem": lambda option, stem: _shared(option, stem),
    "share of the stem": (
        lambda option, stem: _shared(option, stem) / max(1, len(_words(option) - _FILLING))
    ),
}

CueStep = tuple[str, int]
"""A cue and a direction: +1 takes the most of it, -1 the least."""


@dataclass(frozen=True)
class CueChoice:
    """A question with one right answer in words, reduced to what a blind reader sees."""

    stem: str
    options: tuple[tuple[str, bool], ...]


def choices_in_words(worked: Sequence[WorkedQuestion]) -> tuple[CueChoice, ...]:
    """The questions of the bank that have one right answer and options in words."""
    return tuple(
        CueChoice(
            text_of(one.stem),
            tuple((content_text(each.content), each.right) for each in one.options),
        )
        for one in worked
        if one.question.kind == "one-answer"
        and all(isinstance(each.content, tuple) for each in one.options)
    )


def blind_rules() -> Iterator[tuple[CueStep, ...]]:
    """Every rule of one cue, and of two cues the second of which parts equals."""
    steps = list(product(CUES, (1, -1)))
    yield from ((step,) for step in steps)
    yield from ((one, other) for one, other in product(steps, steps) if one[0] != other[0])


def share_right(rule: tuple[CueStep, ...], choices: Sequence[CueChoice]) -> float:
    """Share of the choices a rule gets right; equals at the end are chosen among at random."""
    return added(_chance_right(rule, choice) for choice in choices) / len(choices)


def _chance_right(rule: tuple[CueStep, ...], choice: CueChoice) -> float:
    left = list(choice.options)
    for cue, direction in rule:
        amounts = [direction * CUES[cue](text, choice.stem) for text, _ in left]
        left = [option for option, amount in zip(left, amounts) if amount == max(amounts)]
    return sum(right for _, right in left) / len(left)


def share_by_chance(choices: Sequence[CueChoice]) -> float:
    """Share right when every answer is drawn."""
    return added(1 / len(choice.options) for choice in choices) / len(choices)


def blind_rules_that_pay(worked: Sequence[WorkedQuestion]) -> list[str]:
    """What to say of the blind rules that gain too much, over the whole bank and over its assigned
    part.
    """
    parts = {
        "the bank": list(worked),
        "its assigned part": [one for one in worked if one.question.use == "assigned"],
    }
    return [
        message for name, part in parts.items() for message in _paying(name, choices_in_words(part))
    ]


def _paying(name: str, choices: Sequence[CueChoice]) -> Iterator[str]:
    if len(choices) < FEWEST_TO_JUDGE:
        return
    chance = share_by_chance(choices)
    best = max(
        ((share_right(rule, choices), rule) for rule in blind_rules()), key=lambda each: each[0]
    )
    if best[0] > chance + MOST_GAIN:
        told = ", then ".join(
            f"{'most' if direction > 0 else 'least'} {cue}" for cue, direction in best[1]
        )
        yield (
            f"of {len(choices)} choices in {name} a reader who knows nothing gets {best[0]:.0%}"
            f" right by '{told}', {chance:.0%} by chance"
        )
