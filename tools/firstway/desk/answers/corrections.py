"""Desk: a tutor's corrections after the papers were given out, from a CSV file: nothing is marked
anew in silence.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from firstway.desk.shared.csv_tables import heads_of, rows_of_csv, sections_of_rows
from firstway.files.specs import specs_of
from firstway.problems import Problem
from firstway.quiz.class_files import USE, WHATS, Correction
from firstway.quiz.marking.marking import Mark
from firstway.quiz.marking.typed import number_and_unit, plain_typed

TYPED = "typed"
CORRECTIONS_FILE = "corrections.csv"
CORRECTIONS_HEAD = ",".join(specs_of(Correction)) + "\n"


def corrections_from_csv(
    text: str, file: str, questions: Sequence[str], codes: Sequence[str] = ()
) -> tuple[tuple[Correction, ...], list[Problem]]:
    """Read the corrections: columns question, what, answer, reason; each has a reason."""
    rows, problems = rows_of_csv(text, file)
    if problems or not rows:
        return (), problems
    heads = heads_of(rows)
    if "question" not in heads or "what" not in heads:
        return (), [
            Problem(
                file,
                rows[0][0],
                "the columns 'question' and 'what' are missing",
                f"begin with the row `{CORRECTIONS_HEAD.strip()}`",
            )
        ]
    found: list[Correction] = []
    by_small = {code.casefold(): code for code in codes}
    read, problems = sections_of_rows(rows, Correction, file)
    for each in read:
        wrong = _wrong_use(each, by_small) if each.what == USE else _wrong(each, questions)
        if wrong:
            problems.append(Problem(file, each.line, *wrong))
        elif each.what == USE:
            found.append(replace(each, question=by_small[each.question.casefold()]))
        else:
            found.append(each)
    return (tuple(found) if not problems else ()), sorted(problems)


def _wrong(correction: Correction, questions: Sequence[str]) -> tuple[str, str] | None:
    if correction.question not in questions:
        return (
            f"this paper has no question '{correction.question[:60]}'",
            "write an id as the marking scheme names it",
        )
    if correction.what == "also-right" and not correction.answer:
        return "the answer that is right too is missing", "write it as the report's table names it"
    return None


def _wrong_use(correction: Correction, codes: dict[str, str]) -> tuple[str, str] | None:
    if correction.question.casefold() not in codes:
        return (
            f"this paper has no learner '{correction.question[:40]}'",
            "write the code of the learner in the first column",
        )
    if not correction.answer:
        return (
            "which copy counts is missing",
            "write in the column `answer` its file, or the word typed",
        )
    return None


def corrected(
    question: str, chosen: str, mark: Mark, corrections: Sequence[Correction]
) -> tuple[Mark, bool]:
    """The mark after the corrections, and whether the question is left out."""
    own = [each for each in corrections if each.question == question and each.what in WHATS]
    if any(each.what == "leave-out" for each in own):
        return mark, True
    reason = next(
        (each.reason for each in own if each.what == "all-right" or _also_right(each, chosen)), ""
    )
    if reason and mark.state != "right":
        return (
            replace(
                mark,
                points=mark.out_of,
                state="right",
                mistake="",
                mistakes=(),
                feedback=f"Counted as right: {reason}",
            ),
            False,
        )
    return mark, False


def _also_right(correction: Correction, chosen: str) -> bool:
    return correction.what == "also-right" and same_answer(correction.answer, chosen)


def same_answer(written: str, chosen: str) -> bool:
    """Whether a tutor's words name this answer: alike but for capitals and spaces, or the same
    number.

    An answer that kept its unit had one that does not fit: a bare number does not name it.
    """
    if not chosen:
        return False
    if _bare(written) == _bare(chosen):
        return True
    (one, _), (other, unit) = number_and_unit(written), number_and_unit(chosen)
    return one is not None and other is not None and not unit and f"{one:.6g}" == f"{other:.6g}"


def quoted(given: str) -> str:
    """An answer as it was typed, in quotes: a learner's own words are never taken for the desk's,
    such as `right`.
    """
    return f"\u201c{plain_typed(given)}\u201d"


def _bare(words: str) -> str:
    return " ".join(words.strip(" \u201c\u201d").casefold().split())
