"""Quiz: what a tutor writes beside papers, a row each of a table of commas: the learners of a
class, and corrections of the key after the papers were given out.
"""

from firstway.files.specs import Name, Prose, Word, key
from firstway.frozen import dataclass

WHATS = ("also-right", "all-right", "leave-out")
USE = "use"


@dataclass(frozen=True)
class Learner:
    """One learner. Only the code leaves the desk."""

    code: str = key(
        Name("code"), "stands for the learner on all that leaves the desk", "L07", required=True
    )
    name: str = key(Prose(), "the learner's name; it stays at the desk", "Kim", absent="")
    line: int = 0


@dataclass(frozen=True)
class Correction:
    """One correction.

    also-right: this answer (as the report's table names it) is right too; all-right: everybody gets
    the points; leave-out: the question does not count; use: of a learner's copies this one counts,
    and `question` is the code.
    """

    question: str = key(
        Prose(),
        "the question's id; a learner's code where a copy is chosen",
        "board-first-way",
        required=True,
    )
    what: str = key(
        Word((*WHATS, USE)),
        "another right answer, points for all, a question that does not count, which copy counts",
        required=True,
    )
    answer: str = key(
        Prose(),
        "the answer as the report names it; the file of a copy, or `typed`",
        "4.3",
        absent="",
    )
    reason: str = key(Prose(), "why; the learners read it", "rounded as taught", required=True)
    line: int = 0
