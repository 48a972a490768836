"""Desk: everything a class handed in, and the keys, to marks: first one answer, with the tutor's
corrections and in words for the tables, then all of them.

Nothing is lost: what is not marked is set aside with its reason.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field, replace

from firstway.desk.answers.answer_files import HandedIn, SetAside
from firstway.desk.answers.corrections import (
    CORRECTIONS_FILE,
    TYPED,
    corrected,
    quoted,
    same_answer,
)
from firstway.desk.papers.editions import Editions
from firstway.desk.papers.key import Asked, LearnerSheet, PaperKey, Version
from firstway.desk.papers.typed_tables import TYPED_FOLDER, TypedRow, copies_of, edition_mark
from firstway.desk.shared.csv_tables import csv_text, safe_cell
from firstway.desk.shared.times import clock, moment
from firstway.frozen import dataclass
from firstway.problems import visible
from firstway.quiz.class_files import USE, Correction
from firstway.quiz.forms.registry import form_of, marked
from firstway.quiz.marking.marking import Key, Mark
from firstway.quiz.marking.typed import number_and_unit

NOT_READ = ("not-a-number", "unit")


@dataclass(frozen=True)
class MarkedAnswer:
    """One answer of one learner, marked.

    `chosen` is the same text for the same choice of all learners (places in the bank).
    """

    question: str
    version: str
    given: str
    mark: Mark
    chosen: str = ""
    left_out: bool = False


def answer_of(
    asked: Asked, version: Version, given: str, corrections: Sequence[Correction] = ()
) -> MarkedAnswer:
    """One answer, marked, with the tutor's corrections of the key."""
    mark = marked_on_paper(version.key, given)
    chosen = chosen_of(version, given, mark)
    answer = MarkedAnswer(asked.id, version.id, given, mark, chosen)
    mark, left_out = corrected(asked.id, chosen, mark, corrections)
    return replace(answer, mark=mark, left_out=left_out)


def marked_on_paper(key: Key, given: str) -> Mark:
    """Mark an answer that cannot be asked again: a figure that cannot be read counts as no answer,
    the others still count.
    """
    mark = marked(key, given)
    return marked(key, form_of(key).legible(key, given)) if mark.state in NOT_READ else mark


def chosen_of(version: Version, given: str, mark: Mark) -> str:
    """What was answered, in words that are the same for all learners: places in the bank, mistakes
    by name, numbers as typed.
    """
    if mark.state == "empty" or not given.strip():
        return ""
    relettered = form_of(version.key).relettered
    if relettered is not None:
        return relettered(given, lambda letter: str(version.places.get(letter, letter)))
    if mark.state == "right":
        return "right"
    if mark.mistakes:
        return "; ".join(mark.mistakes)
    # A unit that does not fit stays beside its number.
    value = number_and_unit(given)[0] if mark.state != "unit" else None
    return quoted(given) if value is None else f"{value:.6g}"


_MOST_NAMED = 6
"""Answers named to a tutor whose correction fits none of them."""


@dataclass(frozen=True)
class Marked:
    """One learner's paper, marked by its own key.

    `notes` say what a tutor should know (late, not sealed, an earlier edition).
    """

    code: str
    file: str
    saved: str
    answers: tuple[MarkedAnswer, ...]
    notes: tuple[str, ...] = ()
    key: PaperKey | None = field(default=None, repr=False, compare=False)

    @property
    def points(self) -> float:
        return sum(answer.mark.points for answer in self.answers if not answer.left_out)

    @property
    def out_of(self) -> float:
        return sum(answer.mark.out_of for answer in self.answers if not answer.left_out)

    def answer(self, question: str) -> MarkedAnswer | None:
        return next((answer for answer in self.answers if answer.question == question), None)


@dataclass(frozen=True)
class ClassMarks:
    """The class: who was marked, who handed nothing in, what was set aside, what the tutor should
    know.

    `key` is the newest edition's; each of `marked` holds its own. `undecided` are learners whose
    typed answers and file differ: the tutor chooses which counts.
    """

    key: PaperKey
    marked: tuple[Marked, ...]
    missing: tuple[str, ...]
    aside: tuple[SetAside, ...]
    notes: tuple[str, ...] = ()
    corrections: tuple[Correction, ...] = field(default=())
    undecided: tuple[str, ...] = ()


def comparable(marks: ClassMarks) -> list[ClassMarks]:
    """The class in groups that were asked the same questions, the newest edition's first.

    Only such may be put into one table: an edition with another title or other figures is the same
    test, one with other questions is not. What is told of the class as a whole stays with the first
    group.
    """
    groups: list[tuple[PaperKey, list[Marked]]] = [(marks.key, [])]
    for own in marks.marked:
        key = own.key or marks.key
        group = next((each for each in groups if _questions(each[0]) == _questions(key)), None)
        if group is None:
            groups.append((key, [own]))
        else:
            group[1].append(own)
    if not groups[0][1] and len(groups) > 1:
        del groups[0]
    first, *rest = groups
    return [
        replace(marks, key=first[0], marked=tuple(first[1])),
        *(
            replace(marks, key=key, marked=tuple(own), missing=(), aside=(), notes=(), undecided=())
            for key, own in rest
        ),
    ]


def _questions(key: PaperKey) -> Mapping[str, object]:
    """What makes two questions of one id the same question to a table."""
    return {
        asked.id: (
            asked.kind,
            asked.outcome,
            asked.out_of,
            asked.safety,
            asked.options,
            asked.right_places,
        )
        for asked in key.questions
    }


Known = dict[tuple[int, str, str, str], MarkedAnswer]
"""The same answer to the same version of an edition is marked once."""


@dataclass(frozen=True)
class _Copy:
    """One copy of a learner with the key and the sheet that mark it."""

    found: HandedIn
    key: PaperKey
    code: str

    @property
    def sheet(self) -> LearnerSheet:
        return self.key.sheets[self.code]


def class_marks(
    editions: Editions,
    handed_in: Iterable[HandedIn],
    typed: Sequence[TypedRow] = (),
    aside: Sequence[SetAside] = (),
    corrections: Sequence[Correction] = (),
    closes: str = "",
) -> ClassMarks:
    """Mark a class.

    Of several files of one learner the one saved last counts; where typed answers differ, neither
    does.

    The result does not depend on the order in which files are found. `closes` is a time with its
    zone; later copies are marked and named.
    """
    from_paper, wrong = copies_of(typed, editions)
    set_aside = [*aside, *wrong]
    copies: dict[str, list[_Copy]] = {}
    for found in (*handed_in, *from_paper):
        own = editions.key_of(found)
        if isinstance(own, str):
            set_aside.append(SetAside(found.file, own))
        else:
            copies.setdefault(editions.spelt(own[1]), []).append(_Copy(found, *own))
    bare: Known = {}
    known: Known = {}
    marks: list[Marked] = []
    notes: list[str] = []
    undecided: list[str] = []
    for code in sorted(copies):
        own_copies, others = _of_one_paper(sorted(copies[code], key=_rank), editions.newest.paper)
        chosen, said = _chosen(code, own_copies, corrections, bare, notes)
        set_aside += [*said, *others]
        if chosen is None:
            undecided.append(code)
            continue
        told = _notes_on(chosen, editions, closes)
        marks.append(_marked(code, chosen, corrections, told, known))
        notes += [f"{code}: {each}" for each in told]
    missing = tuple(code for code in editions.newest.sheets if code not in copies)
    notes += _without_effect(corrections, marks)
    in_order = sorted(set_aside, key=lambda each: (each.file, each.line, each.reason))
    return ClassMarks(
        editions.newest,
        tuple(marks),
        missing,
        tuple(in_order),
        tuple(notes),
        tuple(corrections),
        tuple(undecided),
    )


def _rank(copy: _Copy) -> tuple[bool, float, str]:
    """Files before typed rows, what was saved last before what was saved earlier, then the order of
    the names.
    """
    return copy.found.typed, -moment(copy.found.saved), copy.found.file


def _notes_on(copy: _Copy, editions: Editions, closes: str) -> tuple[str, ...]:
    """What a tutor should know about the copy that counts."""
    found, key = copy.found, copy.key
    said = []
    if closes and moment(found.saved) > moment(closes):
        said.append(
            f"late: saved {clock(found.saved, closes)}, closed {clock(closes)}"
            " (by the learner's own clock)"
        )
    if closes and not found.saved and not found.typed:
        said.append("no time stands in the file: whether it was late is not known")
    if key.public_key is not None and not found.sealed and not found.typed:
        said.append("handed in open, though this paper seals its answers")
    if key is not editions.newest and key.version != editions.newest.version:
        said.append(
            f"answers to an earlier edition ({edition_mark(key.version)}), marked by its own key"
        )
    elif copy.code not in editions.newest.sheets:
        said.append(
            "stands in the class list no longer, or with another code; marked by the sheet that was"
            " handed out"
        )
    return tuple(said)


# ---- which copy counts ----


def _of_one_paper(copies: Sequence[_Copy], paper: str) -> tuple[Sequence[_Copy], list[SetAside]]:
    """Copies of the newest edition's paper; where a learner sat one, those of a paper made here
    before it are set aside.
    """
    own = [copy for copy in copies if copy.key.paper == paper]
    if not own:
        return copies, []
    why = (
        f"answers to another paper that was made in this folder before; {paper} counts."
        " Give each paper a folder of its own"
    )
    return own, [_told(copy, why) for copy in copies if copy.key.paper != paper]


def _chosen(
    code: str,
    copies: Sequence[_Copy],
    corrections: Sequence[Correction],
    known: Known,
    notes: list[str],
) -> tuple[_Copy | None, list[SetAside]]:
    """The copy that counts, or None where the tutor must choose; why each other one does not."""
    use = [each for each in corrections if each.what == USE and each.question == code]
    picked = _picked(copies, use[-1].answer) if use else None
    if use and picked is None:
        there = "; ".join(_name(copy) for copy in copies)
        notes.append(
            f"{CORRECTIONS_FILE}:{use[-1].line}: no copy of {code} is called '{use[-1].answer[:80]}"
            f"';"
            f" there are: {there}"
        )
    if picked is not None:
        others = [copy for copy in copies if copy is not picked]
        return picked, [
            _told(copy, f"not counted: the tutor chose {_name(picked)}") for copy in others
        ]
    first, rest = copies[0], copies[1:]
    differing = [copy for copy in rest if copy.found.typed and not _alike(first, copy, known)]
    if differing:
        both = ", ".join(_name(copy) for copy in (first, *differing))
        return None, [
            _told(
                copy,
                (
                    _choose(code, copy, both)
                    if copy is first or copy in differing
                    else f"a second copy of {_name(first)}"
                ),
            )
            for copy in copies
        ]
    return first, [_told(copy, _why_second(first, copy, known)) for copy in rest]


def _choose(code: str, copy: _Copy, both: str) -> str:
    line = csv_text([(code, USE, _name(copy), "REASON")]).strip()
    return (
        f"the answers of {code} stand twice and differ ({both}): neither is marked;"
        f" if this one counts, write into {CORRECTIONS_FILE}: {line}"
    )


def _name(copy: _Copy) -> str:
    return copy.found.file


def _told(copy: _Copy, why: str) -> SetAside:
    return SetAside(copy.found.file, why)


def _picked(copies: Sequence[_Copy], answer: str) -> _Copy | None:
    """The copy a tutor named: by its file, or as the only one that was typed."""
    typed = [copy for copy in copies if copy.found.typed]
    if answer.casefold() == TYPED and len(typed) == 1:
        return typed[0]
    return next((copy for copy in copies if answer in _names(copy)), None)


def _names(copy: _Copy) -> tuple[str, ...]:
    """How a tutor may write a copy's name: as it is, as it is shown, without the folder of typed
    tables.
    """
    name = _name(copy)
    return name, visible(name), safe_cell(name), name.removeprefix(f"{TYPED_FOLDER}/")


def _alike(one: _Copy, other: _Copy, known: Known) -> bool:
    """Whether two copies say the same: `4,25 V` and `4.25` do."""
    if one.key is not other.key:
        return False
    return [(answer.chosen, answer.mark.points) for answer in _answers(one, (), known)] == [
        (answer.chosen, answer.mark.points) for answer in _answers(other, (), known)
    ]


def _why_second(first: _Copy, other: _Copy, known: Known) -> str:
    if _alike(first, other, known):
        return f"a second copy of {_name(first)} with the same answers"
    if moment(first.found.saved) > moment(other.found.saved):
        return f"a second copy: {_name(first)} counts, it was saved later"
    return (
        f"a second copy: {_name(first)} counts, by the order of the names,"
        " since both were saved at the same time"
    )


# ---- marking ----


def _marked(
    code: str, copy: _Copy, corrections: Sequence[Correction], notes: tuple[str, ...], known: Known
) -> Marked:
    answers = _answers(copy, corrections, known)
    strange = set(copy.found.answers) - {
        copy.key.by_id[question].alias for question, _ in copy.sheet.asked
    }
    if strange:
        notes = (
            *notes,
            f"answers to {len(strange)} questions that this sheet does not hold were left unread",
        )
    return Marked(code, copy.found.file, copy.found.saved, answers, notes, copy.key)


def _answers(
    copy: _Copy, corrections: Sequence[Correction], known: Known
) -> tuple[MarkedAnswer, ...]:
    """Every answer of the sheet, marked; what was marked before is taken from there."""
    answers = []
    for question, version in copy.sheet.asked:
        asked = copy.key.by_id[question]
        given = copy.found.answers.get(asked.alias, "")
        place = (id(copy.key), question, version, given)
        if place not in known:
            known[place] = answer_of(asked, asked.versions[version], given, corrections)
        answers.append(known[place])
    return tuple(answers)


def _without_effect(corrections: Sequence[Correction], marks: Sequence[Marked]) -> list[str]:
    """A further right answer that nobody gave: most likely it is not written as the report names
    it.
    """
    said = []
    for each in (each for each in corrections if each.what == "also-right"):
        given = Counter(answer.chosen for own in marks if (answer := own.answer(each.question)))
        if any(same_answer(each.answer, chosen) for chosen in given):
            continue
        named = [
            f"'{chosen}' ({count})"
            for chosen, count in sorted(given.items(), key=lambda pair: (-pair[1], pair[0]))
            if chosen
        ]
        answers = (
            f"; the answers given are {', '.join(named[:_MOST_NAMED])}"
            if named
            else "; nobody answered it"
        )
        more = f" and {len(named) - _MOST_NAMED} more" if len(named) > _MOST_NAMED else ""
        said.append(
            f"{CORRECTIONS_FILE}:{each.line}: nobody gave the answer '{each.answer[:60]}' to"
            f" {each.question}:"
            f" this correction changes nothing{answers}{more}"
        )
    return said
