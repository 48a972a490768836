"""Checks: what one rule says of one place of an installation."""

from __future__ import annotations

from typing import Literal

from firstway.frozen import dataclass

Level = Literal["danger", "fail", "advice", "pass", "unknown"]
# By gravity of what a rule says; and as told: what is not known decides, advice is weighed.
LEVELS: tuple[Level, ...] = ("danger", "fail", "advice", "unknown", "pass")
AS_TOLD: tuple[Level, ...] = ("danger", "fail", "unknown", "advice", "pass")


@dataclass(frozen=True)
class Finding:
    """`of` is the named part, `place` the device or terminal; value and limit carry `unit`.

    `standing` is how far its source may be relied on: found, from memory, common practice, computed
    or assumed.
    """

    id: str
    of: str
    place: str
    level: Level
    value: float | str | None
    limit: float | str | None
    unit: str
    message: str
    source: str
    edition: str
    standing: str
