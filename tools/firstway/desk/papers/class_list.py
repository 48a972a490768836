"""Desk: the class: learner codes, and the names that stay at the desk, from a CSV file."""

from __future__ import annotations

import re
from dataclasses import dataclass

from firstway.desk.shared.csv_tables import heads_of, rows_of_csv
from firstway.problems import Problem

CODE_FORM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,31}\Z")
MOST_LEARNERS = 20_000


@dataclass(frozen=True)
class Learner:
    """One learner. Only the code leaves the desk."""

    code: str
    name: str
    line: int


def learners_from_csv(text: str, file: str) -> tuple[tuple[Learner, ...], list[Problem]]:
    """Read a class: a first row that names the columns (`code`, and `name` if wanted), then a row a
    learner.

    Columns may be parted by commas, semicolons or tabs; other columns are left alone. Codes are of
    letters, digits, hyphens and underscores, at most 32, and differ by more than capitals. Every
    problem is given at once.
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
    for line, cells in rows[1:]:
        row = dict(zip(heads, (cell.strip() for cell in cells)))
        code = row.get("code", "")
        if not CODE_FORM.match(code):
            problems.append(
                Problem(
                    file,
                    line,
                    f"the code '{code[:40]}' cannot be used",
                    "use up to 32 letters, digits, hyphens and underscores",
                )
            )
        elif code.casefold() in seen:
            problems.append(
                Problem(
                    file,
                    line,
                    f"the code '{code}' stands twice (first in line {seen[code.casefold()]})",
                    "give each learner a code of their own",
                )
            )
        else:
            seen[code.casefold()] = line
            learners.append(Learner(code, " ".join(row.get("name", "").split()), line))
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
    return (tuple(learners) if not problems else ()), problems
