"""Desk: the class: learner codes, and the names that stay at the desk, from a CSV file."""

from dataclasses import replace

from firstway.desk.shared.csv_tables import heads_of, rows_of_csv, sections_of_rows
from firstway.problems import Problem
from firstway.quiz.class_files import Learner

MOST_LEARNERS = 20_000


def learners_from_csv(text: str, file: str) -> tuple[tuple[Learner, ...], list[Problem]]:
    """Read a class: a first row that names the columns (`code`, and `name` if wanted), then a row a
    learner.

    Columns may be parted by commas, semicolons or tabs; other columns are left alone. Codes differ
    by more than capitals. Every problem is given at once.
    """
    rows, problems = rows_of_csv(text, file)
    if problems or not rows:
        return (), problems or [
            Problem(
                file,
                1,
                "the class is empty",
                "write a first row `code,name`, then a row for each learner",
            )
        ]
    heads = heads_of(rows)
    if "code" not in heads:
        return (), [
            Problem(
                file,
                rows[0][0],
                "no column is called 'code'",
                "name the columns in the first row: `code,name`",
            )
        ]
    learners: list[Learner] = []
    seen: dict[str, int] = {}
    read, problems = sections_of_rows(rows, Learner, file)
    for each in read:
        small = each.code.casefold()
        if small in seen:
            twice = f"the code '{each.code}' stands twice (first in line {seen[small]})"
            problems.append(
                Problem(file, each.line, twice, "give each learner a code of their own")
            )
        else:
            seen[small] = each.line
            learners.append(replace(each, name=" ".join(each.name.split())))
    if not learners and not problems:
        problems.append(
            Problem(file, rows[0][0], "the class holds no learner", "write a row for each learner")
        )
    if len(learners) > MOST_LEARNERS:
        problems.append(
            Problem(
                file,
                0,
                f"{len(learners)} learners are too many for one class",
                f"part the class: at most {MOST_LEARNERS}",
            )
        )
    return (tuple(learners) if not problems else ()), sorted(problems)
