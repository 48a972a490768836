"""Quiz: what all marks have in common: a key, a mark, and the sentences that tell it.

Each form marks in its own folder (`quiz/forms/FORM/answers.py`), and its script beside it marks the
same way with the same sentences; `tests/quiz_cases.json` holds both. An answer is always one text
in the form's canonical writing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import ClassVar

from firstway.frozen import dataclass

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


class Key:
    """What marks one question; a frozen value of its form's own class."""

    form: ClassVar[str]
    answer: str
    why: str


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


def mark_by_sentence(
    key: Key,
    state: str,
    out_of: int = 1,
    *,
    sentence: str = "",
    mistake: str = "",
    feedback: str = "",
    unit: str = "",
) -> Mark:
    """A mark that one sentence tells, by default that of its state."""
    parts = {"answer": key.answer, "why": key.why, "mistake": mistake, "feedback": feedback}
    return Mark(
        out_of if state == "right" else 0,
        out_of,
        filled_in(MARK_WORDS[sentence or state], {**parts, "unit": unit}),
        mistake,
        state,
        (mistake,) if mistake else (),
    )


def mark_in_full(key: Key, out_of: int, said: str = "") -> Mark:
    """A mark that is wholly right."""
    sentence = MARK_WORDS["right-all" if said else "right-choice"]
    return Mark(
        out_of, out_of, filled_in(sentence, {"said": said, "why": key.why}), "", "right", ()
    )


def mark_in_part(
    key: Key, points: int, out_of: int, said: Sequence[str], mistakes: Sequence[str]
) -> Mark:
    """A mark that is not wholly right: what was said line by line, the mistakes that were named."""
    named = tuple(dict.fromkeys(mistake for mistake in mistakes if mistake))
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


def said_mistake(name: str, mistake: str, feedback: str, **parts: str) -> str:
    """One of the sentences that name a mistake inside a mark."""
    return filled_in(MARK_WORDS[name], {"mistake": mistake, "feedback": feedback, **parts})


def filled_in(sentence: str, parts: Mapping[str, str]) -> str:
    """Put parts into a sentence in one pass: a brace inside a part stays as it is."""
    pieces = sentence.split("{")
    out = pieces[0]
    for piece in pieces[1:]:
        name, _, rest = piece.partition("}")
        out += parts.get(name, "") + rest
    return out.strip()
