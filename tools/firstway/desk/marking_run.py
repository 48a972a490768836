"""Desk: the folder of a class to its results, put in place in one step; run twice it gives the same
bytes.

OUT/marked/marks.csv        points by learner and question, safe to open in a spreadsheet
OUT/marked/report.html      what the class got wrong (of an earlier edition with other questions:
                            report-VERSION.html)
OUT/marked/feedback/        a page for each learner
OUT/marked/results/         results in open formats (QTI results XML, xAPI statements), by number in
                            the class
OUT/marked/set-aside.txt    what was not marked, a line each
OUT/changes.csv             a record that grows: whose points changed from one run to the next
"""

from __future__ import annotations

import codecs
import csv
import io
import os
from collections.abc import Mapping, Sequence
from contextlib import nullcontext
from dataclasses import replace
from functools import partial
from itertools import chain
from pathlib import Path

from firstway.desk.analysis.class_analysis import analysis_of
from firstway.desk.analysis.class_report import report_html
from firstway.desk.analysis.feedback import feedback_html
from firstway.desk.answers.answer_files import SHUT, HandedIn, SetAside, Unseal
from firstway.desk.answers.corrections import CORRECTIONS_FILE, corrections_from_csv
from firstway.desk.answers.handing_in import handed_in
from firstway.desk.exports.results import results_files
from firstway.desk.marking.marking_class import ClassMarks, Marked, class_marks, comparable
from firstway.desk.papers.editions import LARGEST_OF_DESK, Editions, editions_in
from firstway.desk.papers.key import PaperKey
from firstway.desk.papers.making import PLACE, Progress
from firstway.desk.papers.typed_tables import TYPED_FOLDER, TypedRow, edition_mark, typed_in
from firstway.desk.shared.csv_tables import csv_text, safe_cell
from firstway.desk.shared.sheets import feedback_style, style_of
from firstway.files.disk import bytes_of_file, text_if_there, text_of_file
from firstway.files.folders import room_in, settle_rooms
from firstway.files.locking import alone_in
from firstway.frozen import dataclass
from firstway.problems import Problem, Problems
from firstway.quiz.class_files import Correction
from firstway.quiz.shelf import shelf_from
from firstway.spreading.spread import spread
from firstway.spreading.workers import ONE_PROCESS, Workers

_TOGETHER = 20  # pages of one part
_MARKED, _CHANGES = "marked", "changes.csv"
TO_CHOOSE = "two answers that differ: choose in corrections.csv"
CHANGES_HEAD = (
    "code",
    "points before",
    "out of before",
    "points after",
    "out of after",
    "corrections in force",
)


@dataclass(frozen=True)
class Change:
    """A learner whose points, or the points there are, changed from one run to the next; "" where
    there were none.
    """

    code: str
    before: str
    before_of: str
    after: str
    after_of: str

    def __str__(self) -> str:
        return (
            f"{self.code}, {_of(self.before, self.before_of)} before,"
            f" {_of(self.after, self.after_of)} now"
        )


def _of(points: str, out_of: str) -> str:
    return f"{points} of {out_of}" if points else "nothing"


@dataclass(frozen=True)
class MarkingRun:
    """What a run did: the marks, and whose points changed."""

    marks: ClassMarks
    changes: tuple[Change, ...]


@dataclass(frozen=True)
class _Desk:
    """What a folder holds to mark."""

    editions: Editions
    corrections: tuple[Correction, ...]
    answers: list[HandedIn]
    typed: list[TypedRow]
    aside: list[SetAside]


def mark_folder(
    root: Path,
    out: Path,
    *,
    unseal: Unseal | None = None,
    closes: str = "",
    pages: bool = True,
    progress: Progress = lambda text: None,
    by: Workers = ONE_PROCESS,
) -> tuple[MarkingRun | None, list[Problem]]:
    """Mark everything in the folder that `paper` made. Gives the run, or why it could not begin;
    then nothing was written.

    Runs of one folder wait for each other: each tells what changed since the one before.
    """
    with alone_in(out) if out.is_dir() else nullcontext():
        return _mark_folder(root, out, unseal, closes, pages, progress, by)


def _mark_folder(
    root: Path,
    out: Path,
    unseal: Unseal | None,
    closes: str,
    pages: bool,
    progress: Progress,
    by: Workers,
) -> tuple[MarkingRun | None, list[Problem]]:
    settle_rooms(out)
    progress("reading the answers")
    desk, problems = _read(out, unseal)
    if desk is None:
        return None, problems
    progress("marking")
    marks = class_marks(
        desk.editions, desk.answers, desk.typed, desk.aside, desk.corrections, closes
    )
    run = MarkingRun(marks, changes_since(out / _MARKED / "marks.csv", marks))
    try:
        with room_in(out) as room:
            (room.new / _MARKED).mkdir()
            _write(root, room.new / _MARKED, run, pages, progress, by)
            _record(out / _CHANGES, room.new / _CHANGES, run)
            room.put_in_place()
    except OSError as error:
        return None, [
            Problem(
                str(error.filename or out),
                0,
                f"the folder cannot be written ({error.strerror})",
                "close programs that use it, and mark again",
            )
        ]
    return run, []


def _read(out: Path, unseal: Unseal | None) -> tuple[_Desk | None, list[Problem]]:
    editions, problems = editions_in(out / PLACE / "desk")
    if editions is None:
        return None, problems
    written, found = text_if_there(out / CORRECTIONS_FILE)
    if found:
        return None, found
    questions = [asked.id for key in editions.keys for asked in key.questions]
    corrections, problems = corrections_from_csv(
        written or "", (out / CORRECTIONS_FILE).as_posix(), questions, editions.codes
    )
    try:
        answers, aside = handed_in(out / "answers", unseal)
        typed, wrong, found = typed_in(out / TYPED_FOLDER)
    except OSError as error:
        place = str(error.filename or out)
        return None, [
            *problems,
            Problem(
                place,
                0,
                f"the folder cannot be read ({error.strerror})",
                "check the folder and its permissions",
            ),
        ]
    if (
        unseal is None
        and any(key.public_key for key in editions.keys)
        and any(each.reason == SHUT for each in aside)
    ):
        # Without the key, a class that was marked yesterday would be a class that handed nothing
        # in.
        found.append(
            Problem(
                (out / "answers").as_posix(),
                0,
                "these answers are sealed, and no private key was given",
                "name with --key the private key that `paper --key` was given",
            )
        )
    if problems or found:
        return None, sorted({*problems, *found})
    return _Desk(editions, corrections, answers, typed, [*aside, *wrong]), []


def _write(
    root: Path, new: Path, run: MarkingRun, pages: bool, progress: Progress, by: Workers
) -> None:
    marks = run.marks
    (new / "marks.csv").write_text(marks_csv(marks), encoding="utf-8-sig", newline="")
    (new / "set-aside.txt").write_text(
        "".join(f"{each}\n" for each in marks.aside), encoding="utf-8", newline="\n"
    )
    progress("looking at the questions")
    style = style_of(root)
    for name, text in reports(marks, style).items():
        (new / name).write_text(text, encoding="utf-8", newline="\n")
    if not pages:
        return
    titles, drawn = chapter_titles(root), feedback_style(root)
    for folder in ("feedback", "results"):
        (new / folder).mkdir()
    keys = {id(key): key for own in marks.marked for key in (own.key or marks.key,)}
    each = list(keys)
    several = [marks.marked[at : at + _TOGETHER] for at in range(0, len(marks.marked), _TOGETHER)]
    parts = (
        [(each.index(id(own.key or marks.key)), replace(own, key=None)) for own in part]
        for part in several
    )
    texts = chain.from_iterable(
        spread(partial(feedback_pages, list(keys.values()), drawn, titles), parts, by)
    )
    for place, (own, text) in enumerate(zip(marks.marked, texts, strict=True), 1):
        if place % 10 == 1 or place == len(marks.marked):
            progress(f"feedback {place} of {len(marks.marked)}")
        name = f"{marks.key.paper}-{own.code}-feedback.html"
        (new / "feedback" / name).write_text(text, encoding="utf-8", newline="\n")
    for name, text in results_files(marks):
        (new / "results" / name).write_text(text, encoding="utf-8", newline="\n")


def feedback_pages(
    keys: Sequence[PaperKey],
    style: str,
    titles: Mapping[str, str],
    several: Sequence[tuple[int, Marked]],
) -> list[str]:
    """The pages of a few learners, each with the place of the key that marked it."""
    return [feedback_html(keys[place], own, style, titles) for place, own in several]


def reports(marks: ClassMarks, style: str) -> dict[str, str]:
    """File name to page: one report for all who were asked the same questions."""
    first, *others = comparable(marks)
    names = [f"report-{edition_mark(each.key.version)}.html" for each in others]
    pages: dict[str, str] = {"report.html": report_html(first, analysis_of(first), style, names)}
    return pages | {
        name: report_html(each, analysis_of(each), style) for name, each in zip(names, others)
    }


def _record(before: Path, now: Path, run: MarkingRun) -> None:
    """The record with whose points changed; what stands there stays.

    It takes its place with the marks it tells of.
    """
    if not run.changes:
        return
    why = "; ".join(
        f"{each.question}: {each.what}{f' {each.answer}' if each.answer else ''}, {each.reason}"
        for each in run.marks.corrections
    )
    content, problems = bytes_of_file(before, largest=LARGEST_OF_DESK)
    if problems and os.path.lexists(before):
        raise Problems(problems)
    earlier = content or codecs.BOM_UTF8
    head = [] if csv_text([CHANGES_HEAD]).encode() in earlier else [CHANGES_HEAD]
    rows = [
        (each.code, each.before, each.before_of, each.after, each.after_of, why)
        for each in run.changes
    ]
    now.write_bytes(earlier + csv_text([*head, *rows]).encode())


def chapter_titles(root: Path) -> Mapping[str, str]:
    """What each chapter is called."""
    return {chapter.id: chapter.title for chapter in shelf_from(root)[0].chapters}


def marks_csv(marks: ClassMarks) -> str:
    """Points by learner and question; a learner who handed nothing in, or is to be decided, has
    empty cells.
    """
    keys = [marks.key, *(own.key for own in marks.marked if own.key is not None)]
    ids = list(
        dict.fromkeys(
            asked.id for key in {id(key): key for key in keys}.values() for asked in key.questions
        )
    )
    rows: list[Sequence[str]] = [("code", "points", "out of", "notes", *ids)]
    rows += [_marks_row(own, ids) for own in marks.marked]
    empty = [""] * len(ids)
    rows += [(code, "", "", TO_CHOOSE, *empty) for code in marks.undecided]
    rows += [(code, "", "", "handed nothing in", *empty) for code in marks.missing]
    return csv_text(rows)


def _marks_row(own: Marked, ids: Sequence[str]) -> Sequence[str]:
    points = {
        answer.question: "left out" if answer.left_out else f"{answer.mark.points:g}"
        for answer in own.answers
    }
    return (
        own.code,
        f"{own.points:g}",
        f"{own.out_of:g}",
        "; ".join(own.notes),
        *(points.get(id_, "") for id_ in ids),
    )


def changes_since(before: Path, marks: ClassMarks) -> tuple[Change, ...]:
    """Learners whose points, or the points there are, differ from those of an earlier run."""
    text, problems = text_of_file(before, largest=LARGEST_OF_DESK)
    if problems:
        return ()
    try:
        earlier = {
            row["code"]: (row["points"], row["out of"] if row["points"] else "")
            for row in csv.DictReader(io.StringIO(text, newline=""))
        }
    except (KeyError, csv.Error):
        return ()
    now = {safe_cell(own.code): (f"{own.points:g}", f"{own.out_of:g}") for own in marks.marked}
    return tuple(
        Change(code, *was, *now.get(code, ("", "")))
        for code, was in earlier.items()
        if now.get(code, ("", "")) != was
    )
