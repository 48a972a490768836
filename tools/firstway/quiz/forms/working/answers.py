"""Quiz, working: its key, an answer to a mark, and answers as learners would give them.

The answer is what was typed in each box, joined by a semicolon.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from firstway.frozen import dataclass
from firstway.quiz.forms.answered import named_windows, typed_mistake, typed_right, typed_wrong
from firstway.quiz.marking.marking import (
    MARK_WORDS,
    Key,
    Mark,
    filled_in,
    mark_by_sentence,
    mark_in_full,
    mark_in_part,
    said_mistake,
)
from firstway.quiz.marking.typed import FoundNumber, Windows, found_number, plain_typed


@dataclass(frozen=True)
class PartKey(Windows):
    """One figure of a working: a number's windows, and its formula with the learner's own earlier
    figures.

    `formula` is a postfix list: numbers; `p1`, `p2` for what the learner typed in that box; the
    operators `+ - * / ** neg sqrt ln exp min max`, the last two of two values. Empty: nothing
    follows. `half` and `slack_percent` make the window round what the formula gives.
    """

    formula: tuple[float | str, ...]
    half: float
    slack_percent: float


@dataclass(frozen=True)
class WorkingKey(Key):
    """What marks a working: a point for each figure, a consistent follow-on counted as right."""

    form = "working"
    parts: tuple[PartKey, ...]
    answer: str
    why: str


def most_points(key: WorkingKey) -> int:
    """A point for each figure."""
    return len(key.parts)


def boxes_of(key: WorkingKey, given: str) -> list[str]:
    """What was typed in each box, as many as there are parts."""
    return [*given.split(";"), *[""] * len(key.parts)][: len(key.parts)]


def marked(key: WorkingKey, typed: str) -> Mark:
    """The mark of all figures; one that cannot be read asks for another try."""
    boxes, out_of = boxes_of(key, typed), most_points(key)
    if not any(plain_typed(box) for box in boxes):
        return mark_by_sentence(key, "empty", out_of)
    found = [found_number(part, box) for part, box in zip(key.parts, boxes)]
    for place, (part, one) in enumerate(zip(key.parts, found), 1):
        if one.state in ("not-a-number", "unit"):
            name = (
                "part-unit-none" if one.state == "unit" and not part.unit else f"part-{one.state}"
            )
            said = filled_in(MARK_WORDS[name], {"part": str(place), "unit": part.unit})
            return Mark(0, out_of, said, "", one.state)
    states = [_state(part, found, place) for place, part in enumerate(key.parts)]
    told = [
        said_mistake(f"said-part-{state}", one.mistake, one.feedback, part=str(place))
        for place, (state, one) in enumerate(zip(states, found), 1)
    ]
    points = sum(state in ("right", "followed") for state in states)
    if points == out_of:
        return mark_in_full(key, out_of, "\n".join(told) if set(states) != {"right"} else "")
    mistakes = [one.mistake for state, one in zip(states, found) if state == "mistake"]
    return mark_in_part(key, points, out_of, told, mistakes)


def _state(part: PartKey, found: Sequence[FoundNumber], place: int) -> str:
    """The state of one figure beside those before it."""
    state = found[place].state
    follows = state in ("wrong", "mistake") and _follows(part, found, place)
    return "followed" if follows else state


def _follows(part: PartKey, found: Sequence[FoundNumber], place: int) -> bool:
    """Whether the figure is what the part's formula gives with the learner's own earlier
    figures.
    """
    value = found[place].value
    led = postfix_value(part.formula, [one.value for one in found[:place]])
    if value is None or led is None:
        return False
    about = part.half + abs(led) * part.slack_percent / 100
    return led - about <= value <= led + about


def postfix_value(formula: Sequence[float | str], typed: Sequence[float | None]) -> float | None:
    """The value of a postfix list with the learner's figures; None where a step of it has no finite
    value.
    """
    stack: list[float] = []
    try:
        for item in formula:
            if not isinstance(item, str):
                stack.append(float(item))
            elif item[0] == "p":
                earlier = typed[int(item[1:]) - 1]
                stack.append(math.nan if earlier is None else float(earlier))
            elif item in _ONE:
                stack.append(_ONE[item](stack.pop()))
            else:
                second = stack.pop()
                stack.append(_TWO[item](stack.pop(), second))
            if isinstance(stack[-1], complex) or not math.isfinite(stack[-1]):
                return None
    except (ArithmeticError, ValueError, TypeError, LookupError):
        return None
    return stack[0] if len(stack) == 1 else None


_ONE: Mapping[str, Callable[[float], float]] = {
    "neg": lambda a: -a,
    "sqrt": math.sqrt,
    "ln": math.log,
    "exp": math.exp,
}
_TWO: Mapping[str, Callable[[float, float], Any]] = {
    "+": lambda a, b: a + b,
    "-": lambda a, b: a - b,
    "*": lambda a, b: a * b,
    "/": lambda a, b: a / b,
    "**": lambda a, b: a**b,
    "min": min,
    "max": max,
}


def legible(key: WorkingKey, given: str) -> str:
    """The answer without the figures that cannot be read."""
    boxes = zip(key.parts, boxes_of(key, given))
    return ";".join(
        "" if found_number(part, box).state in ("not-a-number", "unit") else box
        for part, box in boxes
    )


def right(key: WorkingKey) -> str:
    return _joined(key, {})


def by_mistake(key: WorkingKey, mistake: str) -> str:
    """The numbers a named mistake leads to, the others right."""
    wrong = {place: typed_mistake(part, mistake) for place, part in enumerate(key.parts)}
    return _joined(key, wrong) if any(wrong.values()) else ""


def wrong(key: WorkingKey, draw: random.Random) -> str:
    """One of the numbers wrong."""
    first = draw.randrange(len(key.parts))
    return _joined(key, {first: typed_wrong(key.parts[first], draw)})


def _joined(key: WorkingKey, typed: dict[int, str]) -> str:
    """What is typed in some boxes, the others right."""
    parts = enumerate(key.parts)
    return " ; ".join(typed.get(place) or typed_right(part) for place, part in parts)


def named_mistakes(key: WorkingKey, words: object) -> list[str]:
    return [
        f"figure {place}, {row}"
        for place, part in enumerate(key.parts, 1)
        for row in named_windows(part, words)
    ]
