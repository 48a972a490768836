"""Desk: a class that never was: answers of learners with some skill and some fixed mistakes, the
same for the same seed.

For the sample report of the guide, and for trying the analysis on a class whose mistakes are known
because they were planted.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import field, replace

from firstway.desk.answers.answer_files import HandedIn
from firstway.desk.papers.key import PaperKey, Version
from firstway.frozen import dataclass
from firstway.quiz.forms.registry import form_of

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
    key, form = version.key, form_of(version.key)
    for mistake in held:
        fixed = form.by_mistake(key, mistake)
        if fixed and draw.random() < HOLDS_TO_IT:
            return fixed
    if draw.random() < SILENT:
        return ""
    return form.right(key) if knows else form.wrong(key, draw)


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
    letters = {place: letter for letter, place in mine.places.items()}
    relettered = form_of(mine.key).relettered
    return relettered(given, lambda letter: letters[other.places[letter]]) if relettered else given
