"""Files: text to the disk, whole or not at all."""

from __future__ import annotations

import os
import stat
from pathlib import Path

from firstway.files.folders import made_room, settle_rooms, stoppable
from firstway.problems import Problem


def put_text(path: Path, text: str, *, room_in: Path | None = None) -> list[Problem]:
    """Write UTF-8 text in one step: a reader sees the old file or the new one, never half of it."""
    return put_bytes(path, text.encode("utf-8"), room_in=room_in)


def put_bytes(path: Path, content: bytes, *, room_in: Path | None = None) -> list[Problem]:
    """Write bytes in one step. A link is followed; a device or a pipe is written to as it stands.

    The file keeps its permissions, a new one gets those the user's umask gives. `room_in` is a
    folder of the same disk to write in first, where the file's own is not to be looked through for
    litter.
    """
    try:
        place = Path(os.path.realpath(path))
        mode = _mode(place)
        if mode is not None and stat.S_ISDIR(mode):
            return [
                Problem(path.as_posix(), 0, "this is a folder, not a file", "name a file in it")
            ]
        if mode is not None and not stat.S_ISREG(mode):
            place.write_bytes(content)
            return []
        if room_in is None:
            settle_rooms(place.parent)
        with stoppable(), made_room(room_in or place.parent) as room:
            (room / "file").write_bytes(content)
            if mode is not None:
                os.chmod(room / "file", stat.S_IMODE(mode))
            os.replace(room / "file", place)
    except OSError as error:
        return [
            Problem(
                path.as_posix(),
                0,
                f"the file cannot be written ({error.strerror})",
                "check the folder and its permissions",
            )
        ]
    except ValueError:  # a name that holds a zero character
        return [Problem(path.as_posix(), 0, "no file can have this name", "check the path")]
    return []


def put_new(path: Path, content: bytes, mode: int) -> list[Problem]:
    """Write a file that must not be there yet, whole or not at all, with the permissions given (a
    key is its owner's alone).
    """
    try:
        settle_rooms(path.parent)
        with stoppable(), made_room(path.parent) as room:
            handle = os.open(room / "file", os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
            with open(handle, "wb") as file:
                file.write(content)
            # A second name for it is refused where the name is taken; not every file system has
            # second names.
            try:
                os.link(room / "file", path)
            except FileExistsError:
                raise
            except OSError:
                os.rename(room / "file", path)
    except FileExistsError:
        there = "there is a file of this name already"
        return [Problem(path.as_posix(), 0, there, "name another, or take this one away")]
    except OSError as error:
        return [
            Problem(
                path.as_posix(),
                0,
                f"the file cannot be written ({error.strerror})",
                "check the folder and its permissions",
            )
        ]
    return []


def _mode(path: Path) -> int | None:
    """What kind of thing stands at a path and what it permits; None where nothing stands."""
    try:
        return os.stat(path).st_mode
    except FileNotFoundError:
        return None
