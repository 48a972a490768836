"""Desk: times, as pages write them and tutors type them.

A time to be shown always has its zone beside it.
"""

from __future__ import annotations

import re
from datetime import UTC, datetime

from firstway.problems import Problem

_TIME = re.compile(
    r"[0-9]{4}-[0-9]{2}-[0-9]{2}T(?:[01][0-9]|2[0-3]):[0-9]{2}(?::[0-9]{2}(?:\.[0-9]{1,6})?)?"
    r"(?:Z|[+-][0-9]{2}:[0-9]{2})?\Z"
)
_NO_SUCH = (
    "write it as 2026-12-01T12:00, with a zone if it is not this computer's: 2026-12-01T12:00+01:00"
)


def is_time(text: str) -> bool:
    """Whether a text is a date and time as the page writes them."""
    return _read(text) is not None


def _read(text: str) -> datetime | None:
    if not _TIME.match(text):
        return None
    try:
        return datetime.fromisoformat(text.replace("Z", "+00:00"))
    except ValueError:
        return None


def moment(text: str) -> float:
    """A time as seconds; one without a zone counts as world time, none as the beginning."""
    found = _read(text)
    if found is None:
        return float("-inf")
    return (found if found.tzinfo else found.replace(tzinfo=UTC)).timestamp()


def closing_time(typed: str) -> tuple[str, list[Problem]]:
    """What a tutor typed, with its zone: the one that was given, else this computer's own on that
    day.
    """
    found = _read(typed.strip().upper().replace(" ", "T"))
    if found is None:
        return "", [Problem("--closes", 0, f"'{typed[:60]}' is no time", _NO_SUCH)]
    try:
        zoned = found if found.tzinfo else found.astimezone()
        return zoned.isoformat(timespec="minutes"), []
    except (OverflowError, ValueError, OSError):
        return "", [Problem("--closes", 0, f"'{typed[:60]}' lies too far away", _NO_SUCH)]


def clock(text: str, like: str = "") -> str:
    """A time for people: no seconds, in the zone of `like`, and the zone in figures."""
    found, zone = _read(text), _read(like)
    if found is None:
        return "at no time that can be read"
    found = found if found.tzinfo else found.replace(tzinfo=UTC)
    if zone is not None and zone.tzinfo is not None:
        try:
            found = found.astimezone(zone.tzinfo)
        except (OverflowError, ValueError):
            pass  # a clock of the year 1 or 9999: as it stands
    written = found.isoformat(timespec="minutes")
    zone_shown = written[16:22] if written[16:22] != "+00:00" else ""
    return f"{written[:10]} {written[11:16]} UTC{zone_shown}"
