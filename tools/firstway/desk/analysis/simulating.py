"""Desk: a class that never was: answers of learners with some skill and some fixed mistakes, the
same for the same seed.

For the sample report of the guide, and for trying the analysis on a class whose mistakes are known
because they were planted.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from firstway.desk.marking.answer_files import HandedIn
from firstway.desk.papers.key import PaperKey, Version
from firstway.quiz.marking.marking import (
    MatchKey,
    NumberKey,
    OneAnswerKey,
    OrderKey,
    SeveralAnswersKey,
    WorkingKey,
)

HOLDS_TO_IT = 0.9  # share of the questions that show a fixed mistake in which its holder makes it
SILENT = 0.02  # share of questions left open


@dataclass(frozen=True)
class Planted:
    """What is put into the class. `mistakes`: a named mistake to the share of learners who hold it;
    `hard`: questions that few can do; `copies`: pairs (copier, copied).
    """

    mistakes: Mapping[str, float] = field(default_factory=dict)
    hard: Sequence[str] = ()
    copies: Mapping[str, str] = field(default_factory=dict)


def simulated(
    key: PaperKey, codes: Sequence[str], planted: Planted, seed: str
) -> dict[str, HandedIn]:
    """What each learner hands in."""
    found: dict[str, HandedIn] = {}
    for code in codes:
        draw = random.Random(f"{seed}|{code}")
        skill = draw.gauss(0.9, 1.0)
        held = [mistake for mistake, share in planted.mistakes.items() if draw.random() < share]
        sheet = key.sheets[code]
        answers = {}
        for question, name in sheet.asked:
            asked, version = key.by_id[question], key.by_id[question].versions[name]
            ease = skill - 0.5 * (asked.difficulty - 2) - (2.5 if question in planted.hard else 0.0)
            answers[asked.alias] = _answer(version, draw, draw.gauss(0, 1.2) < ease, held)
        begun = 60 * 19 + draw.randrange(6)
        saved = begun + 30 + draw.randrange(25)
        found[code] = HandedIn(
            f"{key.paper}-{code}-answers.json",
            key.paper,
            key.version,
            code,
            sheet.issue,
            {name: answer for name, answer in answers.items() if answer},
            _clock(begun),
            _clock(saved),
        )
    for copier, copied in planted.copies.items():
        found[copier] = _copied(key, found[copier], found[copied])
    return found


def _clock(minutes: int) -> str:
    return f"2026-11-23T{minutes // 60:02}:{minutes % 60:02}:00.000Z"


def _answer(version: Version, draw: random.Random, knows: bool, held: Sequence[str]) -> str:
    for mistake in held:
        fixed = mistaken_answer(version, mistake)
        if fixed and draw.random() < HOLDS_TO_IT:
            return fixed
    if draw.random() < SILENT:
        return ""
    return right_answer(version) if knows else wrong_answer(version, draw)


def right_answer(version: Version) -> str:
    """The whole answer, as the page would save it."""
    key = version.key
    if isinstance(key, NumberKey):
        return _typed(key.low, key.high)
    if isinstance(key, WorkingKey):
        return " ; ".join(_typed(part.low, part.high) for part in key.parts)
    if isinstance(key, OrderKey):
        return " ".join(step.id for step in key.steps)
    if isinstance(key, MatchKey):
        return " ".join(f"{row.id}={row.item}" for row in key.rows)
    return " ".join(sorted(option.id for option in key.options if option.right))


def mistaken_answer(version: Version, mistake: str) -> str:
    """The answer of somebody who makes this named mistake; "" where the question does not
    show it.
    """
    key = version.key
    if isinstance(key, (OneAnswerKey, SeveralAnswersKey)):
        wrong = [option.id for option in key.options if option.mistake == mistake]
        return (
            (
                wrong[0]
                if isinstance(key, OneAnswerKey)
                else " ".join(sorted({*right_answer(version).split(), *wrong}))
            )
            if wrong
            else ""
        )
    if isinstance(key, NumberKey):
        return next(
            (_typed(each.low, each.high) for each in key.wrong if each.mistake == mistake), ""
        )
    if isinstance(key, WorkingKey):
        boxes = [
            next(
                (_typed(each.low, each.high) for each in part.wrong if each.mistake == mistake), ""
            )
            for part in key.parts
        ]
        return (
            " ; ".join(box or _typed(part.low, part.high) for box, part in zip(boxes, key.parts))
            if any(boxes)
            else ""
        )
    return ""


def wrong_answer(version: Version, draw: random.Random) -> str:
    """A wrong answer: a named mistake more often than a slip of one's own."""
    key = version.key
    if isinstance(key, NumberKey):
        return _slip(key.low, key.high, [(each.low, each.high) for each in key.wrong], draw)
    if isinstance(key, WorkingKey):
        first = draw.randrange(len(key.parts))
        return " ; ".join(
            (
                _slip(part.low, part.high, [(each.low, each.high) for each in part.wrong], draw)
                if place == first
                else _typed(part.low, part.high)
            )
            for place, part in enumerate(key.parts)
        )
    if isinstance(key, OrderKey):
        steps = [step.id for step in key.steps]
        place = draw.randrange(len(steps) - 1)
        return " ".join([*steps[:place], steps[place + 1], steps[place], *steps[place + 2 :]])
    if isinstance(key, MatchKey):
        items = [row.item for row in key.rows]
        place = draw.randrange(len(items) - 1)
        items[place], items[place + 1] = items[place + 1], items[place]
        return " ".join(f"{row.id}={item}" for row, item in zip(key.rows, items))
    wrong = [option.id for option in key.options if not option.right]
    if isinstance(key, OneAnswerKey):
        return wrong[min(len(wrong) - 1, int(len(wrong) * draw.random() ** 1.5))] if wrong else ""
    rights = right_answer(version).split()
    return " ".join(
        sorted([*rights[1:], wrong[draw.randrange(len(wrong))]] if wrong else rights[1:])
    )


def _slip(
    low: float, high: float, named: Sequence[tuple[float, float]], draw: random.Random
) -> str:
    if named and draw.random() < 0.7:
        return _typed(*named[draw.randrange(len(named))])
    value = (low + high) / 2 * (11 + draw.randrange(20)) / 10
    return _typed(0.996 * value, 1.004 * value)


def _typed(low: float, high: float) -> str:
    """A number of few decimals inside a window."""
    middle = (low + high) / 2
    texts = (f"{middle:.{places}f}" for places in range(9))
    return next((text for text in texts if low <= float(text) <= high), f"{middle:.9f}")


def _copied(key: PaperKey, copier: HandedIn, copied: HandedIn) -> HandedIn:
    """The copier's file with the neighbour's answers, in the copier's own letters, where both had
    the same figures.
    """
    answers, theirs = dict(copier.answers), dict(key.sheets[copied.learner].asked)
    for question, name in key.sheets[copier.learner].asked:
        asked = key.by_id[question]
        mine, other, given = (
            asked.versions[name],
            asked.versions[theirs[question]],
            copied.answers.get(asked.alias, ""),
        )
        if given and mine.variant == other.variant:
            answers[asked.alias] = _in_letters_of(mine, other, given)
    return replace(copier, answers=answers)


def _in_letters_of(mine: Version, other: Version, given: str) -> str:
    if isinstance(mine.key, (NumberKey, WorkingKey)):
        return given
    letters = {place: letter for letter, place in mine.places.items()}
    moved = {letter: letters[place] for letter, place in other.places.items()}
    if isinstance(mine.key, MatchKey):
        return " ".join(
            f"{row}={moved[item]}"
            for row, _, item in (pair.partition("=") for pair in given.split())
        )
    words = [moved[letter] for letter in given.split()]
    return " ".join(words if isinstance(mine.key, OrderKey) else sorted(words))
