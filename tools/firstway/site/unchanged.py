"""Site: whether a built guide stands as this project and this program make it.

Nothing of mkdocs or of the pages is needed to say so, and none of it is read.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from platform import python_version

from firstway.files.disk import bytes_of_file
from firstway.files.keeping import program_digest, recalled, remember
from firstway.site.fetched import engine_package

INPUTS = ("content", "diagrams", "quiz", "mkdocs.yml", "tools/firstway/site/theme")
_WRITTEN_BY = (
    *("mkdocs", "mkdocs-material", "markdown", "pymdown-extensions", "jinja2", "markupsafe"),
    *("schemdraw", "PyYAML", "tinycss2"),
)
_KEPT = "guide"


def file_digest(path: Path) -> str:
    """What tells whether a file has changed; one that cannot be read differs from every file."""
    content, problems = bytes_of_file(path)
    return str(problems[0]) if problems else sha256(content).hexdigest()


@cache
def surroundings() -> str:
    """The program and all that works for it, as one number."""
    libraries = " ".join(f"{name} {version(name)}" for name in _WRITTEN_BY)
    return f"{program_digest()} {python_version()} {libraries}"


def inputs_digest(root: Path, engine: bool = True) -> str:
    """Everything that a guide is made from, as one number; `engine`: with what a page runs."""
    package = engine_package() if engine else None
    digest = sha256(f"{surroundings()} {package.name if package else None}".encode())
    for part in INPUTS:
        for path in [root / part] if (root / part).is_file() else _files(root / part):
            digest.update(f"{path.relative_to(root)} {file_digest(path)}\n".encode())
    return digest.hexdigest()


def is_as_made(out: Path, inputs: str) -> bool:
    """Whether the folder holds, to the byte, what a build made of the same."""
    made = recalled(_KEPT, str(out), inputs)
    return made is not None and bool(made) and made == _state(out)


def note_made(out: Path, folder: Path, inputs: str) -> None:
    """What was made of these inputs stands in `folder` and will stand at `out`."""
    remember(_KEPT, str(out), inputs, _state(folder))


def _state(folder: Path) -> dict[str, str]:
    return {path.relative_to(folder).as_posix(): file_digest(path) for path in _files(folder)}


def _files(folder: Path) -> Iterator[Path]:
    """Every file below a folder, in order, and every folder that holds none."""
    for place, folders, files in os.walk(folder):
        folders.sort()
        yield from (Path(place, name) for name in sorted(files))
        if not folders and not files and place != str(folder):
            yield Path(place)
