"""Files: what the files of a project may be called, and what a folder of pages may hold."""

from __future__ import annotations

import os
import re
import stat
from collections.abc import Iterator
from pathlib import Path

from firstway.problems import Problem

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*\Z")
_HARMLESS = re.compile(r"[\w.,()+@=~-][\w .,()+@=~-]*\Z")


def name_problems(stem: str, shown_as: str) -> list[Problem]:
    """Whether a file's name can be a name on pages and in addresses."""
    if _PLAIN.match(stem):
        return []
    return [
        Problem(
            shown_as,
            0,
            "a file here cannot have this name",
            "use letters without accents, digits, hyphens and underscores",
        )
    ]


def plain_name(path: Path) -> str:
    """The name of a file that lies anywhere, for use in what is made from it.

    >>> plain_name(Path("my board <1>.yaml"))
    'my-board-1'
    """
    return re.sub(r"[^A-Za-z0-9_]+", "-", path.stem).strip("-") or "installation"


def published_problems(folder: Path, root: Path) -> list[Problem]:
    """What must not lie in a folder whose files are all published: pipes and devices, links that
    lead out of the project or to folders, and names that no address can hold.
    """
    return sorted(_published(folder, root, root.resolve())) if folder.is_dir() else []


def _published(folder: Path, root: Path, home: Path) -> Iterator[Problem]:
    with os.scandir(folder) as entries:
        found = sorted(entries, key=lambda entry: entry.name)
    for entry in found:
        path = Path(entry.path)
        shown_as = path.relative_to(root).as_posix()
        mode = path.stat().st_mode if path.exists() else 0
        if not _HARMLESS.match(entry.name) or not entry.name.isprintable():
            yield Problem(
                shown_as,
                0,
                "a file here cannot have this name",
                "use letters, digits, spaces, dots and hyphens",
            )
        elif entry.is_symlink() and not (
            stat.S_ISREG(mode) and path.resolve().is_relative_to(home)
        ):
            yield Problem(
                shown_as,
                0,
                "this link leads out of the project, or to no file",
                "put the file itself here",
            )
        elif stat.S_ISDIR(mode):
            yield from _published(path, root, home)
        elif not stat.S_ISREG(mode):
            yield Problem(shown_as, 0, "this is no file: it cannot stand in the guide", "remove it")
