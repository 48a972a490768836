"""Quiz: an answer and its key to a mark. Knows no page; `content/assets/quiz.js` marks the same
way.

Both markers use the sentences of `WORDS` and run through `tests/quiz_cases.json`. There are six
forms of key; an answer is always one text in the form's canonical writing:

    one-answer       the id of the option
    several-answers  ids of options joined by a space, in any order
    number           what was typed
    order            ids of all steps in the learner's order, joined by a space
    match            row=item for each answered row, joined by a space
    working          what was typed in each box, joined by a semicolon
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from firstway.quiz.marking.typed import number_and_unit, plain_typed

MARK_WORDS: Mapping[str, str] = {
    "right": "Right: {answer}.\n{why}",
    "right-choice": "Right.\n{why}",
    "wrong": "Not this one.\nThe answer: {answer}.\n{why}",
    "mistake": (
        "Not this one. This comes from a known mistake: {mistake}. {feedback}\nThe answer:"
        " {answer}.\n{why}"
    ),
    "not-a-number": "This is not a number. Type digits, such as 12.5 or 12,5; the unit may follow.",
    "unit": "The unit does not fit. Give the answer in {unit}, or type the number alone.",
    "unit-none": "The answer is a plain number, without a unit.",
    "empty": "No answer yet.",
    "told": "The answer: {answer}.\n{why}",
    "right-all": "Right.\n{said}\n{why}",
    "part": "Partly right: {points} of {out_of} points.\n{said}\nThe answer: {answer}.\n{why}",
    "nothing-right": "Not right.\n{said}\nThe answer: {answer}.\n{why}",
    "said-mistake": "A known mistake: {mistake}. {feedback}",
    "said-missed": "Right ones not chosen: {count}.",
    "said-step": "The first step out of place is number {place}. There belongs: {step}.",
    "said-step-because": (
        "The first step out of place is number {place}. There belongs: {step}, because {because}."
    ),
    "said-row": "Row {row}: {mistake}. {feedback}",
    "said-row-empty": "Row {row}: no answer.",
    "said-part-right": "Figure {part}: right.",
    "said-part-followed": "Figure {part}: right for your own earlier figure (follow-through).",
    "said-part-mistake": "Figure {part}: a known mistake: {mistake}. {feedback}",
    "said-part-wrong": "Figure {part}: not this one.",
    "said-part-empty": "Figure {part}: no answer.",
    "part-not-a-number": (
        "Figure {part} is not a number. Type digits, such as 12.5 or 12,5; the unit may follow."
    ),
    "part-unit": (
        "The unit of figure {part} does not fit. Give it in {unit}, or type the number alone."
    ),
    "part-unit-none": "Figure {part} is a plain number, without a unit.",
}
"""One sentence for each state of a mark (`told` follows at handing in) and each thing said in one;
a new line begins a paragraph. The page's script receives these, so nothing is worded twice."""

ASK_AGAIN = ("not-a-number", "unit", "empty")
"""States that ask for another try and do not tell the answer."""


@dataclass(frozen=True)
class WrongNumber:
    """The window of a named mistake."""

    mistake: str
    low: float
    high: float
    feedback: str


@dataclass(frozen=True)
class NumberKey:
    """What marks a number: the window of right answers and those of named mistakes.

    Bounds belong to the window.
    """

    unit: str
    spellings: tuple[str, ...]
    low: float
    high: float
    wrong: tuple[WrongNumber, ...]
    answer: str
    why: str


@dataclass(frozen=True)
class OptionKey:
    """One option: `id` is what the learner's answer holds."""

    id: str
    right: bool
    mistake: str
    feedback: str


@dataclass(frozen=True)
class OneAnswerKey:
    """What marks a choice of one."""

    options: tuple[OptionKey, ...]
    answer: str
    why: str


@dataclass(frozen=True)
class SeveralAnswersKey:
    """What marks a choice of several: a point for each right one, one off for each wrong one, never
    below nothing.
    """

    options: tuple[OptionKey, ...]
    answer: str
    why: str


@dataclass(frozen=True)
class StepKey:
    """One step of an order: its id, what it says, and why it stands there ("" when nothing is
    said).
    """

    id: str
    text: str
    because: str


@dataclass(frozen=True)
class OrderKey:
    """What marks an order: the steps as they should stand. All or nothing."""

    steps: tuple[StepKey, ...]
    answer: str
    why: str


@dataclass(frozen=True)
class RowKey:
    """One row of a match: the id of its partner, and the mistake that is named when another stands
    there.
    """

    id: str
    item: str
    mistake: str
    feedback: str


@dataclass(frozen=True)
class MatchKey:
    """What marks a match: a point for each row. `items` are the ids of all that may be chosen."""

    rows: tuple[RowKey, ...]
    items: tuple[str, ...]
    answer: str
    why: str


@dataclass(frozen=True)
class PartKey:
    """One figure of a working: a number's windows, and its formula with the learner's own earlier
    figures.

    `formula` is a postfix list: numbers; `p1`, `p2` for what the learner typed in that box; the
    operators `+ - * / ** neg sqrt ln exp min max`, the last two of two values. Empty: nothing
    follows. `half` and `slack_percent` make the window round what the formula gives.
    """

    unit: str
    spellings: tuple[str, ...]
    low: float
    high: float
    wrong: tuple[WrongNumber, ...]
    formula: tuple[float | str, ...]
    half: float
    slack_percent: float


@dataclass(frozen=True)
class WorkingKey:
    """What marks a working: a point for each figure, a consistent follow-on counted as right."""

    parts: tuple[PartKey, ...]
    answer: str
    why: str


Key = NumberKey | OneAnswerKey | SeveralAnswersKey | OrderKey | MatchKey | WorkingKey
FORMS: Mapping[str, type] = {
    "one-answer": OneAnswerKey,
    "several-answers": SeveralAnswersKey,
    "number": NumberKey,
    "order": OrderKey,
    "match": MatchKey,
    "working": WorkingKey,
}


@dataclass(frozen=True)
class Mark:
    """The result for one answer.

    `state` is right, part, wrong, mistake, not-a-number, unit or empty; the last three ask for
    another try and do not tell the answer. `mistake` names the first mistake that was recognised,
    `mistakes` all.
    """

    points: int
    out_of: int
    feedback: str
    mistake: str
    state: str
    mistakes: tuple[str, ...] = ()


def marked(key: Key, typed: str) -> Mark:
    """Mark one answer in the canonical writing of the key's form. Never raises."""
    if isinstance(key, NumberKey):
        return _marked_number(key, typed)
    if isinstance(key, OneAnswerKey):
        return _marked_option(key, typed)
    if isinstance(key, SeveralAnswersKey):
        return _marked_several(key, typed)
    if isinstance(key, OrderKey):
        return _marked_order(key, typed)
    return _marked_match(key, typed) if isinstance(key, MatchKey) else _marked_working(key, typed)


def most_points(key: Key) -> int:
    """The most points an answer can get."""
    if isinstance(key, SeveralAnswersKey):
        return sum(option.right for option in key.options)
    if isinstance(key, MatchKey):
        return len(key.rows)
    return len(key.parts) if isinstance(key, WorkingKey) else 1


# one number


def _marked_number(key: NumberKey, typed: str) -> Mark:
    found = _number_state(key, typed)
    return _mark(key, found.state, found.mistake, found.feedback)


@dataclass(frozen=True)
class _Found:
    state: str
    mistake: str = ""
    feedback: str = ""
    value: float | None = None


def _number_state(key: NumberKey | PartKey, typed: str) -> _Found:
    """What a typed number deserves by its windows alone."""
    if not plain_typed(typed):
        return _Found("empty")
    value, unit = number_and_unit(typed)
    if value is None:
        return _Found("not-a-number")
    if unit and unit not in key.spellings:
        return _Found("unit")
    if key.low <= value <= key.high:
        return _Found("right", value=value)
    for wrong in key.wrong:
        if wrong.low <= value <= wrong.high:
            return _Found("mistake", wrong.mistake, wrong.feedback, value)
    return _Found("wrong", value=value)


# one option


def _marked_option(key: OneAnswerKey, typed: str) -> Mark:
    for option in key.options:
        if option.id == typed:
            if option.right:
                return _mark(key, "right")
            return _mark(key, "mistake", option.mistake, option.feedback)
    return _mark(key, "empty")


def _mark(key: Key, state: str, mistake: str = "", feedback: str = "") -> Mark:
    unit = key.unit if isinstance(key, NumberKey) else ""
    sentence = MARK_WORDS[_sentence(state, unit, isinstance(key, NumberKey))]
    said = filled_in(
        sentence,
        {
            "answer": key.answer,
            "why": key.why,
            "mistake": mistake,
            "feedback": feedback,
            "unit": unit,
        },
    )
    out_of = most_points(key)
    return Mark(
        out_of if state == "right" else 0,
        out_of,
        said,
        mistake,
        state,
        (mistake,) if mistake else (),
    )


def _sentence(state: str, unit: str, number: bool) -> str:
    if state == "unit" and not unit:
        return "unit-none"
    return "right-choice" if state == "right" and not number else state


# several options, an order, a match


def _marked_several(key: SeveralAnswersKey, typed: str) -> Mark:
    chosen = _ids(typed)
    known = {option.id: option for option in key.options}
    if not chosen or len(set(chosen)) != len(chosen) or any(id_ not in known for id_ in chosen):
        return _mark(key, "empty")
    wrong = [option for option in key.options if option.id in chosen and not option.right]
    hits, out_of = len(chosen) - len(wrong), most_points(key)
    if not wrong and hits == out_of:
        return _mark(key, "right")
    said = [
        filled_in(
            MARK_WORDS["said-mistake"], {"mistake": option.mistake, "feedback": option.feedback}
        )
        for option in wrong
    ]
    if hits < out_of:
        said.append(filled_in(MARK_WORDS["said-missed"], {"count": str(out_of - hits)}))
    return _sum_up(key, max(0, hits - len(wrong)), said, [option.mistake for option in wrong])


def _marked_order(key: OrderKey, typed: str) -> Mark:
    chosen, right = _ids(typed), [step.id for step in key.steps]
    if sorted(chosen) != sorted(right):
        return _mark(key, "empty")
    if chosen == right:
        return _mark(key, "right")
    place = next(place for place, id_ in enumerate(right) if chosen[place] != id_)
    step = key.steps[place]
    said = filled_in(
        MARK_WORDS["said-step-because" if step.because else "said-step"],
        {"place": str(place + 1), "step": step.text, "because": step.because},
    )
    return _sum_up(key, 0, [said], [])


def _marked_match(key: MatchKey, typed: str) -> Mark:
    rows = [row.id for row in key.rows]
    chosen: dict[str, str] = {}
    for pair in _ids(typed):
        of, equals, item = pair.partition("=")
        if not equals or of not in rows or item not in key.items or of in chosen:
            return _mark(key, "empty")
        chosen[of] = item
    if not chosen:
        return _mark(key, "empty")
    if all(chosen.get(row.id) == row.item for row in key.rows):
        return _mark_all(key, "")
    said, mistakes = [], []
    for row in key.rows:
        if row.id not in chosen:
            said.append(filled_in(MARK_WORDS["said-row-empty"], {"row": row.id}))
        elif chosen[row.id] != row.item:
            said.append(
                filled_in(
                    MARK_WORDS["said-row"],
                    {"row": row.id, "mistake": row.mistake, "feedback": row.feedback},
                )
            )
            mistakes.append(row.mistake)
    return _sum_up(key, sum(chosen.get(row.id) == row.item for row in key.rows), said, mistakes)


def _ids(typed: str) -> list[str]:
    return [piece for piece in typed.split(" ") if piece]


def _mark_all(key: Key, said: str) -> Mark:
    out_of = most_points(key)
    sentence = MARK_WORDS["right-all" if said else "right-choice"]
    return Mark(
        out_of, out_of, filled_in(sentence, {"said": said, "why": key.why}), "", "right", ()
    )


def _sum_up(key: Key, points: int, said: Sequence[str], mistakes: Sequence[str]) -> Mark:
    """A mark that is not wholly right: what was said line by line, the mistakes that were named."""
    named = tuple(dict.fromkeys(mistake for mistake in mistakes if mistake))
    out_of = most_points(key)
    state = "part" if points else "mistake" if named else "wrong"
    feedback = filled_in(
        MARK_WORDS["part" if points else "nothing-right"],
        {
            "points": str(points),
            "out_of": str(out_of),
            "said": "\n".join(said),
            "answer": key.answer,
            "why": key.why,
        },
    )
    return Mark(points, out_of, feedback, named[0] if named else "", state, named)


# a working of several figures


def _marked_working(key: WorkingKey, typed: str) -> Mark:
    boxes = typed.split(";")
    count = len(key.parts)
    boxes = [*boxes, *[""] * (count - len(boxes))][:count]
    if not any(plain_typed(box) for box in boxes):
        return _mark_none(key, "empty", MARK_WORDS["empty"])
    found = [_number_state(part, box) for part, box in zip(key.parts, boxes)]
    for place, (part, one) in enumerate(zip(key.parts, found), 1):
        if one.state in ("not-a-number", "unit"):
            name = (
                "part-unit-none" if one.state == "unit" and not part.unit else f"part-{one.state}"
            )
            return _mark_none(
                key, one.state, filled_in(MARK_WORDS[name], {"part": str(place), "unit": part.unit})
            )
    said, mistakes, points = [], [], 0
    for place, (part, one) in enumerate(zip(key.parts, found)):
        state = (
            "followed"
            if one.state in ("wrong", "mistake") and _follows(part, found, place)
            else one.state
        )
        points += state in ("right", "followed")
        if state == "mistake":
            mistakes.append(one.mistake)
        said.append(
            filled_in(
                MARK_WORDS[f"said-part-{state}"],
                {"part": str(place + 1), "mistake": one.mistake, "feedback": one.feedback},
            )
        )
    if points == count:
        return _mark_all(key, "\n".join(said) if any(one.state != "right" for one in found) else "")
    return _sum_up(key, points, said, mistakes)


def _mark_none(key: Key, state: str, said: str) -> Mark:
    return Mark(0, most_points(key), said, "", state, ())


def _follows(part: PartKey, found: Sequence[_Found], place: int) -> bool:
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


# words and plain data


def filled_in(sentence: str, parts: Mapping[str, str]) -> str:
    """Put parts into a sentence in one pass: a brace inside a part stays as it is."""
    pieces = sentence.split("{")
    out = pieces[0]
    for piece in pieces[1:]:
        name, _, rest = piece.partition("}")
        out += parts.get(name, "") + rest
    return out.strip()


def _form_of(key: Key) -> str:
    """The name of the key's form."""
    return next(name for name, form in FORMS.items() if type(key) is form)


def data_of_key(key: Key) -> dict[str, Any]:
    """The key as plain data, for the page's script and for files of cases."""
    return {"kind": _form_of(key), **asdict(key)}


def key_from_data(data: Mapping[str, Any]) -> Key:
    """The key from plain data that `data_of_key` wrote."""
    said = {"answer": data["answer"], "why": data["why"]}
    form = data["kind"]
    if form == "number":
        return NumberKey(
            data["unit"], tuple(data["spellings"]), data["low"], data["high"], _wrong(data), **said
        )
    if form in ("one-answer", "several-answers"):
        options = tuple(OptionKey(**item) for item in data["options"])
        several = form == "several-answers"
        return SeveralAnswersKey(options, **said) if several else OneAnswerKey(options, **said)
    if form == "order":
        return OrderKey(tuple(StepKey(**item) for item in data["steps"]), **said)
    if form == "match":
        return MatchKey(
            tuple(RowKey(**item) for item in data["rows"]), tuple(data["items"]), **said
        )
    parts = tuple(
        PartKey(
            item["unit"],
            tuple(item["spellings"]),
            item["low"],
            item["high"],
            _wrong(item),
            tuple(item["formula"]),
            item["half"],
            item["slack_percent"],
        )
        for item in data["parts"]
    )
    return WorkingKey(parts, **said)


def _wrong(data: Mapping[str, Any]) -> tuple[WrongNumber, ...]:
    return tuple(WrongNumber(**item) for item in data["wrong"])
