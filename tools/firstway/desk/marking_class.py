"""Desk: everything a class handed in, and the key, to marks. Nothing is lost: what is not marked is set aside with its reason."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from typing import Iterable, Mapping, Sequence

from firstway.desk.answer_files import HandedIn, SetAside, TypedRow, moment
from firstway.desk.corrections import Correction, corrected
from firstway.desk.key import Asked, PaperKey, Sheet, Version
from firstway.quiz.marking import Key, Mark, MatchKey, NumberKey, OneAnswerKey, OrderKey, SeveralAnswersKey, WorkingKey, marked
from firstway.quiz.typed import number_and_unit, plain

NOT_READ = ("not-a-number", "unit")


@dataclass(frozen=True)
class Answer:
    """One answer of one learner, marked. `chosen` is the same text for the same choice of all learners (places in the bank)."""

    question: str
    version: str
    given: str
    mark: Mark
    chosen: str = ""
    left_out: bool = False


@dataclass(frozen=True)
class Marked:
    """One learner's paper, marked. `notes` say what a tutor should know (late, a second copy, a question it does not hold)."""

    code: str
    file: str
    saved: str
    answers: tuple[Answer, ...]
    notes: tuple[str, ...] = ()

    @property
    def points(self) -> float:
        return sum(answer.mark.points for answer in self.answers if not answer.left_out)

    @property
    def out_of(self) -> float:
        return sum(answer.mark.out_of for answer in self.answers if not answer.left_out)

    def answer(self, question: str) -> Answer | None:
        return next((answer for answer in self.answers if answer.question == question), None)


@dataclass(frozen=True)
class ClassMarks:
    """The class: who was marked, who handed nothing in, what was set aside, what the tutor should know."""

    key: PaperKey
    marked: tuple[Marked, ...]
    missing: tuple[str, ...]
    aside: tuple[SetAside, ...]
    notes: tuple[str, ...] = ()
    corrections: tuple[Correction, ...] = field(default=())


def class_marks(key: PaperKey, handed_in: Iterable[HandedIn], typed: Iterable[TypedRow], aside: Sequence[SetAside] = (),
                corrections: Sequence[Correction] = (), closes: str = "") -> ClassMarks:
    """Mark a class. Of several copies of one learner the one saved last counts; what was typed from paper counts before files.

    The result does not depend on the order in which files are found. `closes` is a time; later copies are marked and named.
    """
    set_aside = list(aside)
    copies: dict[str, list[HandedIn]] = {}
    codes = {code.casefold(): code for code in key.sheets}
    for found in (*handed_in, *_from_paper(key, codes, typed, set_aside)):
        reason = _why_not(key, codes, found)
        if reason:
            set_aside.append(SetAside(found.file, reason))
        else:
            copies.setdefault(codes[found.learner.casefold()], []).append(found)
    marks, notes = [], []
    known: dict[tuple[str, str, str], Answer] = {}      # the same answer to the same version is marked once
    for code in sorted(copies):
        chosen, said = _one_of(copies[code])
        for other, why in said:
            set_aside.append(SetAside(other.file, why))
        late = f"late: saved {_clock(chosen.saved)}, closed {_clock(closes)} (by the learner's own clock)" if closes and moment(chosen.saved) > moment(closes) else ""
        marks.append(_marked(key, key.sheets[code], chosen, corrections, (late,) if late else (), known))
        if late:
            notes.append(f"{code}: {late}")
    missing = tuple(code for code in key.sheets if code not in copies)
    return ClassMarks(key, tuple(marks), missing, tuple(sorted(set_aside, key=lambda each: (each.file, each.line, each.reason))), tuple(notes),
                      tuple(corrections))


def _clock(time: str) -> str:
    """A time for people: no seconds, and the zone in words."""
    date, _, clock = time.partition("T")
    zone = " UTC" if clock.endswith("Z") else clock[-6:] if clock[-6:-5] in ("+", "-") else ""
    return f"{date} {clock[:5]}{zone}"


def _why_not(key: PaperKey, codes: Mapping[str, str], found: HandedIn) -> str:
    if found.paper != key.paper:
        return f"answers to another paper ({found.paper[:60]})"
    if found.version != key.version:
        return "answers to another edition of this paper: it was made anew after this copy was given out"
    if found.learner.casefold() not in codes:
        return f"unknown learner '{found.learner[:40]}': the class of this paper has no such code"
    if found.issue != key.sheets[codes[found.learner.casefold()]].issue:
        return f"altered: the issue code is not that of {codes[found.learner.casefold()]}; ask who sat this paper"
    return ""


def _from_paper(key: PaperKey, codes: Mapping[str, str], typed: Iterable[TypedRow], aside: list[SetAside]) -> list[HandedIn]:
    found = []
    for row in typed:
        code = codes.get(row.code.casefold())
        if code is None:
            aside.append(SetAside(row.file, f"unknown learner '{row.code[:40]}': the class of this paper has no such code", row.line))
            continue
        sheet = key.sheets[code]
        beyond = [number for number in row.answers if not 1 <= number <= len(sheet.asked)]
        if beyond:
            aside.append(SetAside(row.file, f"the sheet of {code} has no question {beyond[0]}", row.line))
            continue
        answers = {}
        for number, written in row.answers.items():
            question, version = sheet.asked[number - 1]
            answers[key.by_id[question].alias] = as_written(key.by_id[question].versions[version].key, written)
        found.append(HandedIn(f"{row.file}:{row.line}", key.paper, key.version, code, sheet.issue, answers, typed=True))
    return found


def as_written(key: Key, written: str) -> str:
    """What a person wrote in the room of the answer sheet, in the form that marking reads: `bd`, `b, d` and `B D` are one."""
    if isinstance(key, (NumberKey, WorkingKey)):
        return written.replace("|", ";")
    text = written.casefold()
    if isinstance(key, MatchKey):
        pairs = re.findall(r"([0-9]+)\s*[=:.)-]?\s*([a-z])(?![a-z])", text)
        return " ".join(f"{row}={item}" for row, item in sorted(pairs, key=lambda pair: int(pair[0])))
    letters = re.findall(r"[a-z]", text)
    return " ".join(letters) if isinstance(key, OrderKey) else " ".join(sorted(letters))


def _one_of(copies: Sequence[HandedIn]) -> tuple[HandedIn, list[tuple[HandedIn, str]]]:
    """The copy that counts, and for each other why it does not."""
    ranked = sorted(copies, key=lambda copy: (not copy.typed, -moment(copy.saved), copy.file))
    first, others = ranked[0], ranked[1:]
    said = []
    for other in others:
        if dict(other.answers) == dict(first.answers):
            why = f"a second copy of {first.file} with the same answers"
        elif first.typed and not other.typed:
            why = f"a second copy: {first.file} counts, since what was typed from the signed sheet counts before files"
        elif moment(first.saved) > moment(other.saved):
            why = f"a second copy: {first.file} counts, it was saved later"
        else:
            why = f"a second copy: {first.file} counts, by the order of the names, since both were saved at the same time"
        said.append((other, why))
    return first, said


def _marked(key: PaperKey, sheet: Sheet, found: HandedIn, corrections: Sequence[Correction], notes: tuple[str, ...],
            known: dict[tuple[str, str, str], Answer]) -> Marked:
    answers = []
    for question, version in sheet.asked:
        given = found.answers.get(key.by_id[question].alias, "")
        if (question, version, given) not in known:
            asked = key.by_id[question]
            known[question, version, given] = answer_of(asked, asked.versions[version], given, corrections)
        answers.append(known[question, version, given])
    strange = sorted(set(found.answers) - {key.by_id[question].alias for question, _ in sheet.asked})
    if strange:
        notes = (*notes, f"answers to {len(strange)} questions that this sheet does not hold were left unread")
    return Marked(sheet.code, found.file, found.saved, tuple(answers), notes)


def answer_of(asked: Asked, version: Version, given: str, corrections: Sequence[Correction] = ()) -> Answer:
    """One answer, marked, with the tutor's corrections of the key."""
    mark = marked_on_paper(version.key, given)
    chosen = chosen_of(version, given, mark)
    answer = Answer(asked.id, version.id, given, mark, chosen)
    mark, left_out = corrected(asked.id, chosen, mark, corrections)
    return replace(answer, mark=mark, left_out=left_out)


def marked_on_paper(key: Key, given: str) -> Mark:
    """Mark an answer that cannot be asked again: a figure that cannot be read counts as no answer, the others still count."""
    mark = marked(key, given)
    if isinstance(key, WorkingKey) and mark.state in NOT_READ:
        boxes = given.split(";")
        kept = [box if _readable(part.spellings, box) else "" for part, box in zip(key.parts, boxes)]
        return marked(key, ";".join(kept))
    return mark


def _readable(spellings: Sequence[str], box: str) -> bool:
    if not plain(box):
        return True
    value, unit = number_and_unit(box)
    return value is not None and (not unit or unit in spellings)


def chosen_of(version: Version, given: str, mark: Mark) -> str:
    """What was answered, in words that are the same for all learners: places in the bank, mistakes by name, numbers as typed."""
    key = version.key
    if mark.state == "empty" or not given.strip():
        return ""
    place = lambda letter: str(version.places.get(letter, letter))  # noqa: E731
    if isinstance(key, OneAnswerKey):
        return place(given)
    if isinstance(key, (SeveralAnswersKey, OrderKey)):
        found = [place(letter) for letter in given.split()]
        return " ".join(found if isinstance(key, OrderKey) else sorted(found))
    if isinstance(key, MatchKey):
        return " ".join(f"{pair.partition('=')[0]}={place(pair.partition('=')[2])}" for pair in given.split())
    if mark.state == "right":
        return "right"
    if mark.mistakes:
        return "; ".join(mark.mistakes)
    if isinstance(key, NumberKey):
        value, _ = number_and_unit(given)
        return f"{value:.6g}" if value is not None else plain(given)
    return plain(given)


