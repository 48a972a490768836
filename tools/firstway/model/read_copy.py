"""Model: what a reader noted of clauses read in an own copy of the book: the file beside an
installation, typed.

    # marram.read-in-my-copy
    - {clause: 534.4.8, edition: 2018+A4:2026, day: 2026-12-02, initials: KP}
    - {clause: Table 54.8, edition: 2018+A4:2026, day: 2026-12-02, initials: KP, in_own_words: the
    neutral decides}

It changes no verdict and no standing. No text of a standard belongs in it: own words are short, or
none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from firstway.files.disk import text_if_there
from firstway.files.specs import Day, Name, Prose
from firstway.files.typed_reader import sections_from_yaml
from firstway.frozen import dataclass
from firstway.model.installation import Trade
from firstway.model.values import is_known, stated
from firstway.problems import Problem

ENDING = ".read-in-my-copy"
"""Ends the name of the file beside an installation."""
LONGEST_OWN_WORDS = 160
"""Characters: a remark, too short for a clause to be copied out."""
LONGEST_EDITION = 40
"""Characters of an edition's name."""
_CLAUSE = re.compile(
    r"(?:(?:Table|Appendix|Annex|Article|Chapter|Section|Part)"
    r" )?(?:\d[A-Z]+\d*[A-Za-z]?|[A-Z]?\d+(?:\.\d+)*)(?:\([A-Za-z0-9]+\))*|(?:Appendix|Annex|Part)"
    r" [A-Z0-9]+"
)
_QUOTED = re.compile('["“”«»]')


@dataclass(frozen=True)
class ReadClause:
    """One clause that somebody read, in which edition and when."""

    clause: str = stated(
        Prose(),
        "the clause, table, article or annex, by its number alone",
        "534.4.8",
        required=True,
    )
    edition: str = stated(
        Prose(), "the edition it was read in, as the book prints it", "2018+A4:2026", required=True
    )
    day: date = stated(Day(), "the day it was read", "2026-12-02", required=True)
    initials: str = stated(Name(), "who read it", "KP", required=True)
    in_own_words: Trade = stated(
        Prose(), "a short remark in own words, no quotation", "the neutral decides"
    )
    line: int = 0

    @property
    def own_words(self) -> str:
        """What the reader remarked; empty where nothing."""
        return str(self.in_own_words) if is_known(self.in_own_words) else ""


def beside(path: Path, shown_as: str) -> tuple[tuple[ReadClause, ...], list[Problem]]:
    """The notes that stand beside an installation's file; none where there is no such file.

    `shown_as` names the installation.
    """
    own = f"{shown_as.removesuffix(path.suffix)}{ENDING}"
    text, problems = text_if_there(path.parent / f"{path.stem}{ENDING}", own)
    return ((), problems) if text is None else read_copy_from_yaml(text, own)


def read_copy_from_yaml(text: str, file: str) -> tuple[tuple[ReadClause, ...], list[Problem]]:
    """Every note of the file; or none, and every problem of it at once."""
    if all(line.strip()[:1] in ("", "#") for line in text.splitlines()):
        return (), []  # begun, and nothing noted yet
    notes, problems = sections_from_yaml(text, file, ReadClause, "clause")
    for place, note in enumerate(notes):
        problems += _flaws(note, notes[:place], file)
    return (() if problems else tuple(notes)), sorted(set(problems))


def _flaws(note: ReadClause, before: list[ReadClause], file: str) -> Iterator[Problem]:
    if not _CLAUSE.fullmatch(note.clause):
        yield Problem(
            file,
            note.line,
            f"'{note.clause[:40]}' is no clause",
            "write its number alone, as the list of clauses prints it: 534.4.8 or Table 54.8",
        )
    if len(note.edition) > LONGEST_EDITION:
        yield Problem(
            file,
            note.line,
            "the edition is longer than the name of an edition",
            "write it as the book prints it, such as 2018+A4:2026",
        )
    if len(note.own_words) > LONGEST_OWN_WORDS or _QUOTED.search(note.own_words):
        yield Problem(
            file,
            note.line,
            f"the words beside {note.clause[:40]} are too many, or a quotation",
            f"write up to {LONGEST_OWN_WORDS} characters of your own, or none: no text of a"
            " standard belongs here",
        )
    same = next(
        (
            other
            for other in before
            if (other.clause, other.edition, other.initials)
            == (note.clause, note.edition, note.initials)
        ),
        None,
    )
    if same is not None:
        yield Problem(
            file,
            note.line,
            f"{note.initials} has noted {note.clause} in {note.edition} already (line {same.line})",
            "keep the later of the two",
        )
