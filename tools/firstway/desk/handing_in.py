"""Desk: the folder in which answers are put, to answers and what was set aside. Follows no link, unpacks nothing, opens no large file."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Iterator

from firstway.desk.answer_files import LARGEST_FILE, HandedIn, SetAside, TypedRow, Unseal, opened, typed_from_csv

DEEPEST = 4
IGNORED = ("thumbs.db", "desktop.ini")
MOST_TYPED = 64 * LARGEST_FILE


def files_in(folder: Path) -> Iterator[tuple[Path, str]]:
    """Every file below the folder with the name it is shown by, in the order of the names."""
    for path in sorted(_walk(folder, 0)):
        yield path, path.relative_to(folder).as_posix()


def _walk(folder: Path, depth: int) -> Iterator[Path]:
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.name.startswith(".") or entry.name.casefold() in IGNORED:
                continue
            if entry.is_dir(follow_symlinks=False) and depth < DEEPEST:
                yield from _walk(Path(entry.path), depth + 1)
            else:
                yield Path(entry.path)


def handed_in(folder: Path, unseal: Unseal | None = None) -> tuple[list[HandedIn], list[TypedRow], list[SetAside]]:
    """Read the folder: `.json` files saved by the page, `.csv` tables typed from paper; everything else is set aside."""
    answers: list[HandedIn] = []
    typed: list[TypedRow] = []
    aside: list[SetAside] = []
    for path, name in files_in(folder):
        content, reason = _content(path)
        if reason:
            aside.append(SetAside(shown(name), reason))
        elif path.suffix.casefold() == ".csv":
            rows, wrong = typed_from_csv(content, shown(name))
            typed += rows
            aside += wrong
        else:
            found = opened(content, shown(name), unseal)
            answers += [found] if isinstance(found, HandedIn) else []
            aside += [found] if isinstance(found, SetAside) else []
    return answers, typed, aside


def shown(name: str) -> str:
    """A file's name made safe to print: no control characters, nothing that is not text."""
    return "".join(character if character.isprintable() else "?" for character in name.encode("utf-8", "replace").decode("utf-8"))[:200]


def _content(path: Path) -> tuple[bytes, str]:
    try:
        if path.is_symlink():
            return b"", "a link, not a file: it was not followed"
        if not path.is_file():
            return b"", "a folder too deep, or no file"
        size = path.stat().st_size
        limit = MOST_TYPED if path.suffix.casefold() == ".csv" else LARGEST_FILE
        if size > limit:
            return b"", f"the file is larger than answers can be ({size:,} bytes); look at it by hand"
        content = path.read_bytes()
    except OSError as error:
        return b"", f"the file cannot be read ({error.strerror})"
    if content[:2] == b"PK":
        return b"", "a packed folder (zip): unpack it, then mark again"
    return content, ""
