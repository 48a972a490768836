"""Desk: the folder in which answers are put, to answers and what was set aside.

Follows no link, unpacks nothing, opens no large file.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from firstway.desk.answers.answer_files import LARGEST_FILE, HandedIn, SetAside, Unseal, opened
from firstway.files.disk import bytes_of_file

DEEPEST = 4
IGNORED = ("thumbs.db", "desktop.ini")
NO_TABLE = (
    "a table decides nobody's marks from here: what was typed from paper goes into `typed`, into"
    " the table that `paper` made; ask who put this file here"
)


def files_in(folder: Path) -> Iterator[tuple[Path, str]]:
    """Every file below the folder with the name it is shown by, in the order of the names."""
    for path in sorted(_walk(folder, 0)):
        yield path, path.relative_to(folder).as_posix()


def _walk(folder: Path, depth: int) -> Iterator[Path]:
    try:
        with os.scandir(folder) as entries:
            found = list(entries)
    except OSError:
        if not depth:
            raise
        yield folder  # told as what cannot be read; it stops nothing else
        return
    for entry in found:
        if _ignored(entry.name):
            continue
        if entry.is_dir(follow_symlinks=False) and depth < DEEPEST:
            yield from _walk(Path(entry.path), depth + 1)
        else:
            yield Path(entry.path)


def _ignored(name: str) -> bool:
    """What systems leave in every folder. A hidden answer file is an answer file."""
    hidden = name.startswith(".") and (
        name.startswith("._") or not name.casefold().endswith(".json")
    )
    return hidden or name.casefold() in IGNORED


def handed_in(folder: Path, unseal: Unseal | None = None) -> tuple[list[HandedIn], list[SetAside]]:
    """Read the folder: `.json` files saved by the page; everything else is set aside."""
    answers: list[HandedIn] = []
    aside: list[SetAside] = []
    for path, name in files_in(folder):
        content, reason = _content(path)
        if reason:
            aside.append(SetAside(name, reason))
            continue
        found = opened(content, name, unseal)
        if isinstance(found, HandedIn):
            answers.append(found)
        elif path.suffix.casefold() == ".csv":
            aside.append(SetAside(name, NO_TABLE))
        else:
            aside.append(found)
    return answers, aside


def _content(path: Path) -> tuple[bytes, str]:
    try:
        if path.is_symlink():
            return b"", "a link, not a file: it was not followed"
        if not path.is_file():
            return b"", "no file, or a folder that is too deep or cannot be read"
        size = path.stat().st_size
        if size > LARGEST_FILE:
            return (
                b"",
                f"the file is larger than answers can be ({size:,} bytes); look at it by hand",
            )
    except OSError as error:
        return b"", f"the file cannot be read ({error.strerror})"
    content, problems = bytes_of_file(path, largest=LARGEST_FILE)
    if problems:
        return b"", problems[0].message
    if content[:2] == b"PK":
        return b"", "a packed folder (zip): unpack it, then mark again"
    return content, ""
