"""Desk: what learners hand in, as answers: files saved by the page, open or sealed.

Everything here is hostile until read: nothing is executed, no name in a file leads to a path, and
what cannot be read is a reason in words, never an exception.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping
from typing import Any

from firstway.desk.shared.times import is_time
from firstway.frozen import dataclass
from firstway.problems import visible

FORMAT = "firstway answers 2"
SEALED_FORMAT = "firstway sealed answers 1"
LARGEST_FILE = 256 * 1024
LONGEST_ANSWER = 1000
MOST_ANSWERS = 500
LONGEST_WORD = 200
SHUT = "sealed, and no private key was given; name it with --key"
_OURS = re.compile(r"firstway (sealed )?answers ([0-9]{1,6})\Z")


@dataclass(frozen=True)
class HandedIn:
    """The answers of one learner.

    Times are the learner's own clock, "" where none stands. `answers`: question id to the answer's
    text.
    """

    file: str
    paper: str
    version: str
    learner: str
    issue: str
    answers: Mapping[str, str]
    begun: str = ""
    saved: str = ""
    sealed: bool = False
    typed: bool = False


@dataclass(frozen=True)
class SetAside:
    """A file, or a row of one, that was not marked, and why."""

    file: str
    reason: str
    line: int = 0

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return visible(f"{place}: {self.reason}")


Opened = HandedIn | SetAside
Unseal = Callable[[Mapping[str, Any]], bytes | str]
"""Opens sealed answers: the bytes inside, or the reason they stay shut."""


class _Twice(ValueError):
    pass


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise _Twice
    return found


def data_of(content: bytes) -> tuple[Any, str]:
    """JSON as plain data, or why it cannot be read.

    A key that stands twice is refused: two readers could differ.
    """
    if len(content) > LARGEST_FILE:
        return (
            None,
            f"the file is larger than answers can be ({len(content):,} bytes); look at it by hand",
        )
    try:
        return json.loads(content.decode("utf-8-sig"), object_pairs_hook=_once), ""
    except UnicodeDecodeError:
        return None, "damaged: this is not UTF-8 text"
    except _Twice:
        return None, "damaged: a name stands twice in it"
    except RecursionError:
        return None, "damaged: brackets within brackets without end"
    except ValueError:
        return None, "damaged: this is not whole JSON (cut off, or changed by another program)"


def opened(content: bytes, file: str, unseal: Unseal | None = None) -> Opened:
    """Read one answer file. Gives the answers, or the reason it is set aside."""
    data, reason = data_of(content)
    if reason:
        return SetAside(file, reason)
    if not isinstance(data, dict):
        return SetAside(file, "this is not an answer file")
    kind = data.get("format")
    ours = _OURS.match(kind) if isinstance(kind, str) else None
    if ours is None:
        return SetAside(file, "this is not an answer file")
    if kind == SEALED_FORMAT:
        return _unsealed(data, file, unseal)
    if kind != FORMAT:
        newer = int(ours[2]) > 2 or bool(ours[1])
        return SetAside(
            file,
            (
                "written by a newer program; mark it with that program"
                if newer
                else "practice answers, or of an older form: not for this paper"
            ),
        )
    return _handed_in(data, file)


def _unsealed(data: Mapping[str, Any], file: str, unseal: Unseal | None) -> Opened:
    if unseal is None:
        return SetAside(file, SHUT)
    inside = unseal(data)
    if isinstance(inside, str):
        return SetAside(file, inside)
    inner, reason = data_of(inside)
    if reason or not isinstance(inner, dict) or inner.get("format") != FORMAT:
        return SetAside(file, "sealed, and what is inside is no answer file")
    found = _handed_in(inner, file)
    if isinstance(found, HandedIn) and (found.paper, found.learner) != (
        data.get("paper"),
        data.get("learner"),
    ):
        return SetAside(
            file,
            "altered: the sealed answers belong to another learner or paper than the cover says",
        )
    return found if isinstance(found, SetAside) else HandedIn(**{**found.__dict__, "sealed": True})


def _handed_in(data: Mapping[str, Any], file: str) -> Opened:
    if "paper" not in data and isinstance(data.get("quiz"), str):
        return SetAside(file, "saved from a practice quiz of the guide, not from a paper")
    words = {}
    for key, name in (
        ("paper", "paper"),
        ("paper_version", "version"),
        ("learner", "learner"),
        ("issue", "issue"),
    ):
        value = data.get(key)
        if not isinstance(value, str) or not value or len(value) > LONGEST_WORD:
            return SetAside(file, f"damaged: '{key}' is missing or no text")
        words[name] = value
    answers = data.get("answers")
    if not isinstance(answers, dict) or len(answers) > MOST_ANSWERS:
        return SetAside(file, "damaged: the answers are missing or far too many")
    if any(
        not isinstance(value, str) or len(value) > LONGEST_ANSWER or len(name) > LONGEST_WORD
        for name, value in answers.items()
    ):
        return SetAside(file, "damaged: an answer is no text, or too long")
    times = {
        key: value if isinstance(value := data.get(key), str) and is_time(value) else ""
        for key in ("begun", "saved")
    }
    return HandedIn(
        file,
        words["paper"],
        words["version"],
        words["learner"],
        words["issue"],
        answers,
        times["begun"],
        times["saved"],
    )
