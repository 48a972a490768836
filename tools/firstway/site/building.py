"""Site: builds the guide into a folder that is replaced in one step, unless it stands there as it
would be made.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from firstway.files.folders import room_for
from firstway.problems import Problem
from firstway.site.built_folder import CONFIGURATION, MARKER, MARKER_TEXT
from firstway.site.unchanged import inputs_digest, is_as_made, note_made
from firstway.spreading.workers import ONE_PROCESS, Workers


def build(
    root: Path,
    out: Path,
    progress: Callable[[str], None] = lambda _: None,
    by: Workers = ONE_PROCESS,
    engine: bool = True,
) -> list[Problem]:
    """Build the guide of the project folder `root` into `out`; nothing where it stands there as it
    would be made.

    Gives every problem at once; then, or when anything stops the build, `out` is as it was before.
    `progress` receives short sentences; jobs that changed are worked by the workers; `engine`:
    with the program that the page of one's own job runs, where it was fetched.
    """
    root, out = root.resolve(), out.resolve()
    problems = _problems_of_place(root, out)
    if problems:
        return problems
    inputs = inputs_digest(root, engine)
    if is_as_made(out, inputs):
        return []
    from firstway.site.making import guide_written  # a second of imports

    try:
        with room_for(out) as room:
            problems = guide_written(root, room.fresh, progress, by, engine)
            if not problems:
                (room.fresh / MARKER).write_text(MARKER_TEXT, encoding="utf-8")
                if inputs_digest(root, engine) == inputs:  # nobody wrote meanwhile
                    note_made(out, room.fresh, inputs)
                room.put_in_place()
    except OSError as error:
        return [
            Problem(
                str(error.filename or out),
                0,
                f"the folder cannot be written ({error.strerror})",
                "close programs that use it, or name another folder with --out",
            )
        ]
    return problems


def _problems_of_place(root: Path, out: Path) -> list[Problem]:
    """A folder is replaced only where that can destroy nothing of the author's."""
    if not (root / CONFIGURATION).is_file():
        return [
            Problem(
                str(root / CONFIGURATION), 0, "there is no such file", "start in the project folder"
            )
        ]
    if out == root or out in root.parents:
        return [
            Problem(
                str(out), 0, "this folder holds the project itself", "name a new folder with --out"
            )
        ]
    if any(
        out == root / used or root / used in out.parents
        for used in ("content", "diagrams", "quiz", "tools", "tests")
    ):
        return [
            Problem(
                str(out),
                0,
                "this folder belongs to the project's sources",
                "name a new folder with --out",
            )
        ]
    if out.exists() and not out.is_dir():
        return [
            Problem(str(out), 0, "this is a file, not a folder", "name a new folder with --out")
        ]
    if out.is_dir() and not (out / MARKER).is_file() and any(out.iterdir()):
        return [
            Problem(
                str(out),
                0,
                "this folder holds something that is not a built guide",
                "name a new or empty folder with --out",
            )
        ]
    return []
