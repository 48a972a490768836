"""Files: one file on the disk: what it may be called, how it is read, how it is written or packed.

What kind of thing it is and how large is looked at before anything is read; what is written stands
there whole or not at all.
"""

from __future__ import annotations

import io
import os
import re
import stat
from collections.abc import Iterable, Iterator
from pathlib import Path

from firstway.files.folders import made_room, settle_rooms, stoppable
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
        return [_unwritable(path, error)]
    except ValueError:  # a name that holds a zero character
        return [Problem(path.as_posix(), 0, "no file can have this name", "check the path")]
    return []


def put_from(draft: Path, path: Path, content: bytes) -> list[Problem]:
    """Write bytes in one step, first as `draft`, a name of the caller's own in a room of the same
    disk that the caller made and takes away: one room serves many files.
    """
    try:
        draft.write_bytes(content)
        os.replace(draft, path)
    except OSError as error:
        return [_unwritable(path, error)]
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
        return [_unwritable(path, error)]
    return []


def _unwritable(path: Path, error: OSError) -> Problem:
    told = f"the file cannot be written ({error.strerror})"
    return Problem(path.as_posix(), 0, told, "check the folder and its permissions")


def _mode(path: Path) -> int | None:
    """What kind of thing stands at a path and what it permits; None where nothing stands."""
    try:
        return os.stat(path).st_mode
    except FileNotFoundError:
        return None


_WHEN = (2020, 1, 1, 0, 0, 0)  # it says nothing of when it was made: same files, same bytes
_UNIX = 3  # the system that the permissions are told for, wherever it was made


def zipped(files: Iterable[tuple[str, bytes]], level: int = 9) -> bytes:
    """The files by their paths, packed in the order given; `level` 0 leaves them as large as they
    are, for whoever makes the whole smaller.
    """
    written = io.BytesIO()
    import zipfile  # for few commands

    how = zipfile.ZIP_DEFLATED if level else zipfile.ZIP_STORED
    with zipfile.ZipFile(written, "w", how, compresslevel=level) as archive:
        for path, content in files:
            entry = zipfile.ZipInfo(path, _WHEN)
            entry.compress_type = how
            entry.create_system, entry.external_attr = _UNIX, 0o644 << 16
            archive.writestr(entry, content)
    return written.getvalue()
