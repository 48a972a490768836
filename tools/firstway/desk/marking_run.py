"""Desk: the folder of a class to its results, put in place in one step; run twice it gives the same bytes.

    OUT/marked/marks.csv        points by learner and question, safe to open in a spreadsheet
    OUT/marked/report.html      what the class got wrong
    OUT/marked/feedback/        a page for each learner
    OUT/marked/results/         results in open formats (QTI results XML, xAPI statements), by number in the class
    OUT/marked/set-aside.txt    what was not marked, a line each
    OUT/changes.csv             a record that grows: whose points changed from one run to the next
"""

from __future__ import annotations

import codecs
import csv
import io
from dataclasses import dataclass
from pathlib import Path
from typing import Callable, Mapping, Sequence

from firstway.desk.answer_files import Unseal
from firstway.desk.class_analysis import analysis_of
from firstway.desk.class_report import report_html
from firstway.desk.corrections import Correction, corrections_from_csv
from firstway.desk.feedback import feedback_html
from firstway.desk.handing_in import handed_in
from firstway.desk.key import PaperKey, key_from_text
from firstway.desk.marking_class import ClassMarks, class_marks
from firstway.desk.papers import PLACE, safe_cell
from firstway.desk.results import results_files
from firstway.desk.sheets import style_of
from firstway.files.folders import room_in, settle_rooms
from firstway.files.text_reader import text_of_file
from firstway.problems import Problem
from firstway.quiz.shelf import shelf_from

Progress = Callable[[str], None]
MARKED, CHANGES = "marked", "changes.csv"


@dataclass(frozen=True)
class MarkingRun:
    """What a run did: the marks, and whose points changed: code, before, after."""

    marks: ClassMarks
    changes: tuple[tuple[str, str, str], ...]


def mark_folder(root: Path, out: Path, *, unseal: Unseal | None = None, closes: str = "", pages: bool = True,
                progress: Progress = lambda text: None) -> tuple[MarkingRun | None, list[Problem]]:
    """Mark everything in the folder that `paper` made. Gives the run, or why it could not begin; then nothing was written."""
    settle_rooms(out)
    key, corrections, problems = _read(out)
    if key is None or problems:
        return None, problems
    progress("reading the answers")
    try:
        answers, typed, aside = handed_in(out / "answers", unseal)
    except OSError as error:
        return None, [Problem((out / "answers").as_posix(), 0, f"the folder cannot be read ({error.strerror})", "check the folder and its permissions")]
    progress("marking")
    marks = class_marks(key, answers, typed, aside, corrections, closes)
    run = MarkingRun(marks, changes_since(out / MARKED / "marks.csv", marks))
    try:
        with room_in(out) as room:
            (room.new / MARKED).mkdir()
            _write(root, room.new / MARKED, run, pages, progress)
            _record(out / CHANGES, room.new / CHANGES, run)
            room.put_in_place()
    except OSError as error:
        return None, [Problem(str(error.filename or out), 0, f"the folder cannot be written ({error.strerror})", "close programs that use it, and mark again")]
    return run, []


def _read(out: Path) -> tuple[PaperKey | None, tuple[Correction, ...], list[Problem]]:
    path = out / PLACE / "desk" / "key.json"
    text, problems = text_of_file(path)
    if problems:
        return None, (), [Problem(path.as_posix(), 0, "there is no key of a paper here", "name the folder that `paper` wrote")]
    key = key_from_text(text)
    if key is None:
        return None, (), [Problem(path.as_posix(), 0, "this key is damaged or of another form", "make the papers again with the same recipe, class and seed")]
    written, found = text_of_file(out / "corrections.csv")
    if found and (out / "corrections.csv").exists():
        return None, (), found
    corrections, problems = corrections_from_csv(written, (out / "corrections.csv").as_posix(), list(key.by_id)) if not found else ((), [])
    return key, corrections, problems


def _write(root: Path, new: Path, run: MarkingRun, pages: bool, progress: Progress) -> None:
    marks = run.marks
    (new / "marks.csv").write_text(marks_csv(marks), encoding="utf-8-sig", newline="")
    (new / "set-aside.txt").write_text("".join(f"{each}\n" for each in marks.aside), encoding="utf-8", newline="\n")
    progress("looking at the questions")
    style = style_of(root)
    (new / "report.html").write_text(report_html(marks, analysis_of(marks), style), encoding="utf-8", newline="\n")
    if not pages:
        return
    titles = chapter_titles(root)
    for folder in ("feedback", "results"):
        (new / folder).mkdir()
    for place, own in enumerate(marks.marked, 1):
        if place % 10 == 1 or place == len(marks.marked):
            progress(f"feedback {place} of {len(marks.marked)}")
        (new / "feedback" / f"{marks.key.paper}-{own.code}-feedback.html").write_text(feedback_html(marks.key, own, style, titles), encoding="utf-8", newline="\n")
    for name, text in results_files(marks):
        (new / "results" / name).write_text(text, encoding="utf-8", newline="\n")


def _record(before: Path, now: Path, run: MarkingRun) -> None:
    """The record with whose points changed; what stands there stays. It takes its place with the marks it tells of."""
    if not run.changes:
        return
    why = "; ".join(f"{each.question}: {each.what}, {each.reason}" for each in run.marks.corrections)
    head = () if before.exists() else (("code", "points before", "points after", "corrections in force"),)
    with now.open("wb") as file:
        file.write(before.read_bytes() if before.exists() else codecs.BOM_UTF8)
        file.write(_table([*head, *((*change, safe_cell(why)) for change in run.changes)]).encode("utf-8"))


def chapter_titles(root: Path) -> Mapping[str, str]:
    """What each chapter is called."""
    return {chapter.id: chapter.title for chapter in shelf_from(root)[0].chapters}


def marks_csv(marks: ClassMarks) -> str:
    """Points by learner and question; a learner who handed nothing in has empty cells."""
    ids = [asked.id for asked in marks.key.questions]
    rows: list[Sequence[str]] = [("code", "points", "out of", "notes", *ids)]
    for own in marks.marked:
        points = {answer.question: "left out" if answer.left_out else f"{answer.mark.points:g}" for answer in own.answers}
        rows.append((safe_cell(own.code), f"{own.points:g}", f"{own.out_of:g}", safe_cell("; ".join(own.notes)), *(points.get(id_, "") for id_ in ids)))
    rows += [(safe_cell(code), "", "", "handed nothing in", *("" for _ in ids)) for code in marks.missing]
    return _table(rows)


def _table(rows: Sequence[Sequence[str]]) -> str:
    written = io.StringIO()
    csv.writer(written).writerows(rows)
    return written.getvalue()


def changes_since(before: Path, marks: ClassMarks) -> tuple[tuple[str, str, str], ...]:
    """Learners whose points differ from those of an earlier run: code, before, after."""
    text, problems = text_of_file(before)
    if problems:
        return ()
    try:
        earlier = {row["code"]: row["points"] for row in csv.DictReader(io.StringIO(text))}
    except (KeyError, csv.Error):
        return ()
    now = {safe_cell(own.code): f"{own.points:g}" for own in marks.marked} | {safe_cell(code): "" for code in marks.missing}
    return tuple((code, earlier.get(code, ""), points) for code, points in now.items() if code in earlier and earlier[code] != points)
