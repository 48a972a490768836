"""Desk: tables for answers that were written on paper: made ready for the class, filled in by the
tutor, read back.

    OUT/typed/PAPER-VERSION.csv     code, issue code, edition, then 1, 2, ... as on the own sheet

Only the tutor types into this folder: what a learner hands in never lies here. A row says whose
sheet it was typed from by its issue code and its edition, so that it is marked by that sheet's own
key or not at all.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from firstway.desk.answers.answer_files import LONGEST_ANSWER, HandedIn, SetAside
from firstway.desk.papers.editions import Editions, unknown_learner
from firstway.desk.papers.key import PaperKey
from firstway.desk.shared.csv_tables import CsvRow, csv_text, heads_of, rows_of_csv
from firstway.files.disk import text_of_file
from firstway.frozen import dataclass
from firstway.problems import Problem
from firstway.quiz.forms.registry import form_of
from firstway.quiz.marking.marking import Key

TYPED_FOLDER = "typed"
CODE, ISSUE, EDITION, NAME = "code", "issue code", "edition", "name"
NEEDED = (CODE, ISSUE, EDITION)
LARGEST_TABLE = 16_000_000
_NUMBER = re.compile(r"[1-9][0-9]{0,2}\Z")
_HEADS = "begin with the row that `paper` wrote: code,issue code,edition,1,2,3"


@dataclass(frozen=True)
class TypedRow:
    """What was typed from one sheet: number on the sheet (from 1) to what was written."""

    file: str
    line: int
    code: str
    issue: str
    version: str
    answers: Mapping[int, str]

    @property
    def place(self) -> str:
        """How the row is named wherever it is told of."""
        return f"{self.file}:{self.line}"


# made ready


def edition_mark(version: str) -> str:
    """An edition in a cell: begins with a letter, so that no spreadsheet takes it for a number."""
    return f"v{version}"


def blank_table(key: PaperKey, codes: Sequence[str]) -> str:
    """The table of an edition with a row for each of these learners and nothing answered."""
    most = max((len(sheet.asked) for sheet in key.sheets.values()), default=0)
    head = (*NEEDED, *(str(number) for number in range(1, most + 1)))
    rows = [
        (code, key.sheets[code].issue, edition_mark(key.version), *[""] * most) for code in codes
    ]
    return csv_text([head, *rows])


def tables_due(folder: Path, key: PaperKey) -> dict[str, str]:
    """File name to text of every table to be written for this edition.

    A table in which something was typed is never touched: learners who joined later come into
    another one. One in which nothing was typed is made anew for the class as it is now.
    """
    stem, missing, number = f"{key.paper}-{key.version}", list(key.sheets), 1
    while (folder / (name := f"{stem}{'' if number == 1 else f'-{number}'}.csv")).exists():
        text, problems = text_of_file(folder / name)
        rows, found = rows_of_csv(text, name)
        if problems or found or _answered(rows):
            there = {cells[0].strip().casefold() for _, cells in rows}
            missing = [code for code in missing if code.casefold() not in there]
            number += 1
            continue
        break
    return {name: blank_table(key, missing)} if missing else {}


def anything_typed(folder: Path) -> bool:
    """Whether a table of the folder holds an answer, or something that cannot be read."""
    for path in _tables(folder):
        text, problems = text_of_file(path)
        rows, found = rows_of_csv(text, path.name)
        if problems or found or _answered(rows):
            return True
    return False


def _answered(rows: Sequence[CsvRow]) -> bool:
    places = [place for place, head in enumerate(heads_of(rows)) if head not in (*NEEDED, NAME)]
    return any(
        place < len(cells) and cells[place].strip() for _, cells in rows[1:] for place in places
    )


def _tables(folder: Path) -> list[Path]:
    return [path for path in _files(folder) if path.suffix.casefold() == ".csv"]


def _files(folder: Path) -> list[Path]:
    """What lies there but for what a spreadsheet leaves beside an open table."""
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.iterdir() if not path.name.startswith((".", "~$")))


# read back


def typed_in(folder: Path) -> tuple[list[TypedRow], list[SetAside], list[Problem]]:
    """Every row of every table; rows that cannot be marked; and what is wrong with a table as a
    whole.
    """
    rows: list[TypedRow] = []
    aside: list[SetAside] = []
    problems: list[Problem] = []
    for path in _files(folder):
        shown = f"{TYPED_FOLDER}/{path.name}"
        if path.suffix.casefold() != ".csv":
            aside.append(SetAside(shown, "no CSV table: save it as CSV, then mark again"))
            continue
        text, found = text_of_file(path, largest=LARGEST_TABLE)
        read, wrong, more = (
            typed_from_csv(text, shown, path.as_posix()) if not found else ([], [], found)
        )
        rows += read
        aside += wrong
        problems += more
    return rows, aside, problems


def typed_from_csv(
    text: str, shown: str, file: str
) -> tuple[list[TypedRow], list[SetAside], list[Problem]]:
    """Read one table. A column that is not known would mark everybody as nothing: refused."""
    rows, problems = rows_of_csv(text, file)
    if problems or not rows:
        return [], [], problems
    heads = heads_of(rows)
    problems = list(_head_problems(heads, rows[0][0], file))
    if problems:
        return [], [], problems
    typed: list[TypedRow] = []
    aside: list[SetAside] = []
    for line, cells in rows[1:]:
        row = {head: cell.strip() for head, cell in zip(heads, cells) if head}
        answers = {int(head): cell for head, cell in row.items() if _NUMBER.match(head) and cell}
        beyond = any(
            cell.strip() for head, cell in zip([*heads, *[""] * len(cells)], cells) if not head
        )
        if beyond:
            aside.append(
                SetAside(
                    shown, "more cells than columns: an answer with a comma needs quotes", line
                )
            )
        elif any(len(cell) > LONGEST_ANSWER for cell in answers.values()):
            aside.append(SetAside(shown, "an answer is too long", line))
        elif answers:
            issue, version = row.get(ISSUE, ""), row.get(EDITION, "").casefold().removeprefix("v")
            typed.append(TypedRow(shown, line, row.get(CODE, ""), issue, version, answers))
    return typed, aside, []


def _head_problems(heads: Sequence[str], line: int, file: str) -> Iterator[Problem]:
    for head in NEEDED:
        if head not in heads:
            yield Problem(file, line, f"no column is called '{head}'", _HEADS)
    for head in dict.fromkeys(heads):
        if head and head not in (*NEEDED, NAME) and not _NUMBER.match(head):
            yield Problem(file, line, f"the column '{head[:40]}' is not known", _HEADS)
        if head and list(heads).count(head) > 1:
            yield Problem(file, line, f"two columns are called '{head[:40]}'", _HEADS)


def copies_of(
    rows: Sequence[TypedRow], editions: Editions
) -> tuple[list[HandedIn], list[SetAside]]:
    """Rows as what was handed in; a row of nobody, of another sheet or of no known edition is set
    aside.
    """
    copies: list[HandedIn] = []
    aside: list[SetAside] = []
    for row in rows:
        found = _key_of(row, editions)
        if isinstance(found, str):
            aside.append(SetAside(row.file, found, row.line))
            continue
        key, code = found
        sheet = key.sheets[code]
        answers = {}
        for number, written in row.answers.items():
            question, version = sheet.asked[number - 1]
            asked = key.by_id[question]
            answers[asked.alias] = typed_as_written(asked.versions[version].key, written)
        copies.append(
            HandedIn(row.place, key.paper, key.version, code, sheet.issue, answers, typed=True)
        )
    return copies, aside


def _key_of(row: TypedRow, editions: Editions) -> tuple[PaperKey, str] | str:
    """The key of the sheet this row was typed from, and the learner's code in it, or why there is
    none.
    """
    own = list(editions.of_version(row.version))
    if not own:
        return (
            f"the edition '{row.version[:40]}' is none of this folder; copy it as `paper` wrote it"
            if row.version
            else "no edition stands in the row; copy it as `paper` wrote it"
        )
    known = [
        (key, codes[row.code.casefold()]) for key, codes in own if row.code.casefold() in codes
    ]
    if not known:
        whose = next(
            (
                code
                for key, _ in own
                for code, sheet in key.sheets.items()
                if sheet.issue == row.issue
            ),
            "",
        )
        return (
            f"the code '{row.code[:40]}' is unknown, and the issue code is that of {whose}:"
            " a spreadsheet may have changed the code; put it right"
            if whose
            else unknown_learner(row.code)
        )
    found = next((each for each in known if each[0].sheets[each[1]].issue == row.issue), None)
    if found is None:
        return (
            f"the issue code is not that of {known[0][1]}; look whose sheet this row was typed from"
        )
    beyond = [number for number in row.answers if number > len(found[0].sheets[found[1]].asked)]
    return f"the sheet of {found[1]} has no question {beyond[0]}" if beyond else found


def typed_as_written(key: Key, written: str) -> str:
    """What a person wrote in the room of the answer sheet, in the form that marking reads: `bd`,
    `b, d` and `B D` are one.
    """
    return form_of(key).from_paper(written)
