"""Files: the one reader of bytes: what kind of thing it is and how large is looked at before
anything is read.
"""

from __future__ import annotations

import os
import stat
from pathlib import Path

from firstway.problems import Problem

LARGEST_BYTES = 16_000_000
"""What no file of words can reach; a reader of larger ones names its own limit."""

_KINDS = (
    (stat.S_ISDIR, "this is a folder, not a file", "name a file in it"),
    (stat.S_ISFIFO, "this is a pipe, not a file", "save what comes out of it, and name that file"),
    (stat.S_ISSOCK, "this is a socket, not a file", "name a file"),
    (stat.S_ISBLK, "this is a device, not a file", "name a file"),
    (stat.S_ISCHR, "this is a device, not a file", "name a file"),
)


def text_of_file(
    path: Path, shown_as: str | None = None, *, largest: int = LARGEST_BYTES
) -> tuple[str, list[Problem]]:
    """Read a UTF-8 file; give its text (empty when unreadable) and any problem."""
    content, problems = bytes_of_file(path, shown_as, largest=largest)
    try:
        return content.decode("utf-8-sig"), problems
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        return "", [
            Problem(_name(path, shown_as), line, "the file is not UTF-8 text", "save it as UTF-8")
        ]


def text_if_there(path: Path, shown_as: str | None = None) -> tuple[str | None, list[Problem]]:
    """The same of a file that a project may do without: None where nothing stands.

    A folder in its place is told.
    """
    if not os.path.lexists(path):
        return None, []
    text, problems = text_of_file(path, shown_as)
    return None if problems else text, problems


def bytes_of_file(
    path: Path, shown_as: str | None = None, *, largest: int = LARGEST_BYTES
) -> tuple[bytes, list[Problem]]:
    """Read a regular file that is not larger than `largest`; give its bytes (none when unreadable)
    and any problem.
    """
    try:
        problem = _unfit(os.stat(path), path, shown_as, largest)
        if problem:
            return b"", [problem]
        # Should a pipe have taken the file's place meanwhile, opening it must not wait for a
        # writer.
        handle = os.open(
            path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
        )
        with open(handle, "rb") as file:
            problem = _unfit(os.fstat(handle), path, shown_as, largest)
            # What the system makes up while it is read (/proc) has no size beforehand.
            content = b"" if problem else file.read(largest + 1)
        if len(content) > largest:
            problem = _too_large(path, shown_as, largest)
        return (b"", [problem]) if problem else (content, [])
    except FileNotFoundError:
        return b"", [Problem(_name(path, shown_as), 0, "there is no such file", "check the path")]
    except ValueError:  # a name that holds a zero character
        return b"", [
            Problem(_name(path, shown_as), 0, "no file can have this name", "check the path")
        ]
    except OSError as error:
        return b"", [
            Problem(
                _name(path, shown_as),
                0,
                f"the file cannot be read ({error.strerror})",
                "check its permissions",
            )
        ]


def _name(path: Path, shown_as: str | None) -> str:
    return shown_as or path.as_posix()


def _unfit(found: os.stat_result, path: Path, shown_as: str | None, largest: int) -> Problem | None:
    """Why a thing is not read: it is no file, or too large."""
    for is_kind, message, hint in _KINDS:
        if is_kind(found.st_mode):
            return Problem(_name(path, shown_as), 0, message, hint)
    return _too_large(path, shown_as, largest) if found.st_size > largest else None


def _too_large(path: Path, shown_as: str | None, largest: int) -> Problem:
    return Problem(
        _name(path, shown_as),
        0,
        f"the file is larger than {largest} bytes",
        "check that it is the right file",
    )
