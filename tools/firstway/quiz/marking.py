"""Quiz: an answer and its key to a mark. Knows no page; `content/assets/quiz.js` marks the same way.

Both markers use the sentences of `WORDS` and run through `tests/quiz_cases.json`.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any, Mapping, Union

from firstway.quiz.typed import number_and_unit, plain

WORDS: Mapping[str, str] = {
    "right": "Right: {answer}.\n{why}",
    "right-choice": "Right.\n{why}",
    "wrong": "Not this one.\nThe answer: {answer}.\n{why}",
    "mistake": "Not this one. This comes from a known mistake: {mistake}. {feedback}\nThe answer: {answer}.\n{why}",
    "not-a-number": "This is not a number. Type digits, such as 12.5 or 12,5; the unit may follow.",
    "unit": "The unit does not fit. Give the answer in {unit}, or type the number alone.",
    "unit-none": "The answer is a plain number, without a unit.",
    "empty": "No answer yet.",
    "told": "The answer: {answer}.\n{why}",
}
"""One sentence for each state of a mark (`told` follows at handing in); a new line
begins a paragraph. The page's script receives these, so nothing is worded twice."""


@dataclass(frozen=True)
class WrongNumber:
    """The window of a named mistake."""

    mistake: str
    low: float
    high: float
    feedback: str


@dataclass(frozen=True)
class NumberKey:
    """What marks a number: the window of right answers and those of named mistakes. Bounds belong to the window."""

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


Key = Union[NumberKey, OneAnswerKey]


@dataclass(frozen=True)
class Mark:
    """The result for one answer.

    `state` is right, wrong, mistake, not-a-number, unit or empty; the last three ask for another
    try and do not tell the answer. `mistake` names the mistake when one was recognised.
    """

    points: int
    out_of: int
    feedback: str
    mistake: str
    state: str


def marked(key: Key, typed: str) -> Mark:
    """Mark one answer: for a choice the option's id, for a number what stands in the box. Never raises."""
    return _marked_number(key, typed) if isinstance(key, NumberKey) else _marked_option(key, typed)


def _marked_number(key: NumberKey, typed: str) -> Mark:
    if not plain(typed):
        return _mark(key, "empty")
    value, unit = number_and_unit(typed)
    if value is None:
        return _mark(key, "not-a-number")
    if unit and unit not in key.spellings:
        return _mark(key, "unit")
    if key.low <= value <= key.high:
        return _mark(key, "right")
    for wrong in key.wrong:
        if wrong.low <= value <= wrong.high:
            return _mark(key, "mistake", wrong.mistake, wrong.feedback)
    return _mark(key, "wrong")


def _marked_option(key: OneAnswerKey, typed: str) -> Mark:
    for option in key.options:
        if option.id == typed:
            if option.right:
                return _mark(key, "right")
            return _mark(key, "mistake", option.mistake, option.feedback)
    return _mark(key, "empty")


def _mark(key: Key, state: str, mistake: str = "", feedback: str = "") -> Mark:
    unit = key.unit if isinstance(key, NumberKey) else ""
    sentence = WORDS[_sentence(state, unit, isinstance(key, NumberKey))]
    said = filled_in(sentence, {"answer": key.answer, "why": key.why, "mistake": mistake, "feedback": feedback, "unit": unit})
    return Mark(int(state == "right"), 1, said, mistake, state)


def _sentence(state: str, unit: str, number: bool) -> str:
    if state == "unit" and not unit:
        return "unit-none"
    return "right-choice" if state == "right" and not number else state


def filled_in(sentence: str, parts: Mapping[str, str]) -> str:
    """Put parts into a sentence in one pass: a brace inside a part stays as it is."""
    pieces = sentence.split("{")
    out = pieces[0]
    for piece in pieces[1:]:
        name, _, rest = piece.partition("}")
        out += parts.get(name, "") + rest
    return out.strip()


def data_of_key(key: Key) -> dict[str, Any]:
    """The key as plain data, for the page's script and for files of cases."""
    kind = "number" if isinstance(key, NumberKey) else "one-answer"
    return {"kind": kind, **asdict(key)}


def key_from_data(data: Mapping[str, Any]) -> Key:
    """The key from plain data that `data_of_key` wrote."""
    if data["kind"] == "number":
        wrong = tuple(WrongNumber(**item) for item in data["wrong"])
        return NumberKey(data["unit"], tuple(data["spellings"]), data["low"], data["high"], wrong, data["answer"], data["why"])
    return OneAnswerKey(tuple(OptionKey(**item) for item in data["options"]), data["answer"], data["why"])
