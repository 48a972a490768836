"""Desk: a tutor's corrections of a key after the papers were given out, from a CSV file: nothing is marked anew in silence."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Sequence

from firstway.desk.class_list import rows_of_csv
from firstway.problems import Problem
from firstway.quiz.marking import Mark

WHATS = ("also-right", "all-right", "leave-out")
FILE = "corrections.csv"


@dataclass(frozen=True)
class Correction:
    """One correction. also-right: this answer (as the report's table names it) is right too; all-right: everybody gets the
    points; leave-out: the question does not count."""

    question: str
    what: str
    answer: str
    reason: str
    line: int


def corrections_from_csv(text: str, file: str, questions: Sequence[str]) -> tuple[tuple[Correction, ...], list[Problem]]:
    """Read the corrections: columns question, what, answer, reason. A reason is asked of every one."""
    rows, problems = rows_of_csv(text, file)
    if problems or not rows:
        return (), problems
    heads = [cell.strip().casefold() for cell in rows[0][1]]
    if "question" not in heads or "what" not in heads:
        return (), [Problem(file, rows[0][0], "the columns 'question' and 'what' are missing", "begin with the row `question,what,answer,reason`")]
    found: list[Correction] = []
    for line, cells in rows[1:]:
        row = dict(zip(heads, (cell.strip() for cell in cells)))
        question, what, answer, reason = (row.get(name, "") for name in ("question", "what", "answer", "reason"))
        if question not in questions:
            problems.append(Problem(file, line, f"this paper has no question '{question[:60]}'", "write an id as the marking scheme names it"))
        elif what not in WHATS:
            problems.append(Problem(file, line, f"'{what[:40]}' is no correction", f"write one of: {', '.join(WHATS)}"))
        elif what == "also-right" and not answer:
            problems.append(Problem(file, line, "the answer that is right too is missing", "write it as the report's table names it"))
        elif not reason:
            problems.append(Problem(file, line, "a correction without a reason", "say why in the column `reason`: the learners will read it"))
        else:
            found.append(Correction(question, what, answer, reason, line))
    return (tuple(found) if not problems else ()), problems


def corrected(question: str, chosen: str, mark: Mark, corrections: Sequence[Correction]) -> tuple[Mark, bool]:
    """The mark after the corrections, and whether the question is left out."""
    own = [each for each in corrections if each.question == question]
    if any(each.what == "leave-out" for each in own):
        return mark, True
    reason = next((each.reason for each in own if each.what == "all-right" or each.what == "also-right" and each.answer == chosen), "")
    if reason and mark.state != "right":
        return replace(mark, points=mark.out_of, state="right", mistake="", mistakes=(), feedback=f"Counted as right: {reason}"), False
    return mark, False
