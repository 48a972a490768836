"""Checks: each reading of the file with all that is said of it, for a reader."""

from firstway.checks.expected import Expected
from firstway.checks.judging_readings import (
    Judged,
    Taken,
    against_foretold,
    against_limit,
    limit_of,
    line_for,
    reading_taken,
)
from firstway.checks.reading_limits import Limit
from firstway.checks.rule import LEVELS, Case, Level
from firstway.frozen import dataclass


@dataclass(frozen=True)
class Beside:
    """A reading, its limit, what was foretold, and what the two together say."""

    taken: Taken
    limit: Limit
    expected: Expected | None
    level: Level
    message: str


def readings_beside(case: Case, expected: tuple[Expected, ...]) -> tuple[Beside, ...]:
    """Every reading, judged as the rules judge it; the graver of its two verdicts stands."""
    found = []
    for reading in case.installation.readings:
        each = reading_taken(case, reading)
        line = line_for(each, expected)
        said = (against_limit(case, each), against_foretold(case, each, line))
        worst = min(
            (one for one in said if one is not None), key=_gravity, default=Judged("unknown", "")
        )
        found.append(Beside(each, limit_of(case, each), line, worst.level, worst.message))
    return tuple(found)


def _gravity(judged: Judged) -> int:
    return LEVELS.index(judged.level)
