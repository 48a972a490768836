"""Files: results put in place whole or not at all, a folder or several things at once.

The one module that replaces what stands on the disk. A room is a hidden folder beside the results:

    .firstway-room-XXXX/lock      held while its run lives
    .firstway-room-XXXX/new/      what is to take its place beside the room
    .firstway-room-XXXX/journal   written last: from here on it is carried out, by this run or the
                                  next
    .firstway-room-XXXX/old/      what stood there, where the system cannot exchange two names in
                                  one step

A run that is killed leaves its room. The next run of any command finishes it where its journal is
written and removes it where it is not: `settle_rooms` looks beside the results,
`settle_noted_rooms` wherever the cache folder has a note of one.
"""

from __future__ import annotations

import errno
import json
import os
import signal
import sys
import threading
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import asdict
from hashlib import sha256
from pathlib import Path, PurePosixPath

from firstway.files.locking import taken
from firstway.frozen import dataclass

PROJECT = Path(__file__).resolve().parents[3]
FOLDER_VARIABLE = "FIRSTWAY_CACHE"  # another folder; empty: keep nothing


def cache_folder() -> Path | None:
    """The cache folder, which may not exist yet; None where nothing is to be kept."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    if chosen is not None:
        return Path(chosen).absolute() if chosen else None
    # Outside the project folder (a package put elsewhere) nothing is written.
    return PROJECT / ".cache" if (PROJECT / "mkdocs.yml").is_file() else None


ROOM_PREFIX = ".firstway-room-"
LOCK, JOURNAL, NEW, OLD = "lock", "journal", "new", "old"
_NOTES = "rooms"  # in the cache folder: one small file a living room, with its path
TRIES = 100  # a name may change under us only as often as others put theirs in place


@dataclass(frozen=True)
class Placing:
    """One thing of a room that takes the place of its namesake. `identity` tells it from what it
    replaces, wherever it stands; `kept_as` is where what it replaces goes, "" for nowhere. Names
    are paths below the room's folder.
    """

    name: str
    identity: str
    kept_as: str = ""


@dataclass(frozen=True)
class Room:
    """A room in `base`.

    What is written into `new` takes its place when `put_in_place` is called, or never does.
    """

    base: Path
    path: Path
    name: str = ""
    """What the whole room is for, where it was made for one thing."""

    @property
    def new(self) -> Path:
        """Where the new things are written, each under the name it will bear in `base`."""
        return self.path / NEW

    @property
    def fresh(self) -> Path:
        """The new thing of a room that was made for one; nothing stands there yet."""
        return self.new / self.name

    def put_in_place(
        self, names: Sequence[str] = (), kept: Mapping[str, str] | None = None
    ) -> None:
        """Everything in `new`, or the names given in their order, takes the place of its namesake
        in `base`.

        All of it, or nothing: an error puts back what stood there, and a run killed in between is
        finished by the next. `kept` names where an earlier thing goes ("paper": "earlier/1");
        without it the earlier thing is removed.
        """
        kept = kept or {}
        placings = [
            Placing(name, _identity(self.new / name), kept.get(name, ""))
            for name in names or sorted(os.listdir(self.new))
        ]
        draft = self.path / f"{JOURNAL}.new"
        draft.write_text(json.dumps([asdict(each) for each in placings]), encoding="utf-8")
        os.replace(draft, self.path / JOURNAL)
        _carry_out(self.path, placings)


@contextmanager
def room_in(base: Path) -> Iterator[Room]:
    """A room in a folder, for one thing or several; gone afterwards, however the work ended."""
    settle_rooms(base)
    with stoppable(), made_room(base) as path:
        (path / NEW).mkdir()
        yield Room(base, path)


@contextmanager
def room_for(out: Path) -> Iterator[Room]:
    """A room for one folder or file: made as `fresh`, it stands at `out` once it is put in place.

    Folders that lead to `out` and do not exist yet come with it, or not at all.
    """
    out = out.absolute()
    base = next(folder for folder in out.parents if folder.is_dir())
    first, *rest = out.relative_to(base).parts
    with room_in(base) as room:
        (room.new / first).joinpath(*rest).parent.mkdir(parents=True, exist_ok=True)
        yield Room(base, room.path, "/".join((first, *rest)))


@contextmanager
def made_room(base: Path) -> Iterator[Path]:
    """The bare room: a locked, empty folder that nobody else touches while this run lives."""
    path, handle, note = _made(base)
    try:
        yield path
    finally:
        # An error may have left a journal that could not be undone either: the next run finishes
        # it.
        if not (path / JOURNAL).exists():
            _removed(path, handle)
            _forgotten(note)
        else:
            os.close(handle)


def settle_rooms(base: Path) -> None:
    """Finish or remove the rooms in a folder whose runs have died.

    What cannot be settled is left alone.
    """
    with suppress(OSError), os.scandir(base) as entries:
        for path in sorted(entry.path for entry in entries if entry.name.startswith(ROOM_PREFIX)):
            _settle(Path(path))


def settle_noted_rooms() -> None:
    """The same for every room that this project's cache folder knows of."""
    cache = cache_folder()
    if cache is None:
        return
    settle_rooms(cache)
    with suppress(OSError), os.scandir(cache / _NOTES) as entries:
        for entry in list(entries):
            with suppress(OSError, ValueError):
                with open(entry.path, encoding="utf-8") as note:
                    if not taken(note.fileno()):
                        continue  # it is being written
                    path = Path(note.read())
                if path.name.startswith(ROOM_PREFIX):
                    _settle(path)
                # One that names no room is of a writer that was killed before it had written it.
                if not path.name.startswith(ROOM_PREFIX) or not os.path.lexists(path):
                    os.unlink(entry.path)


# ---- making and removing a room


def _made(base: Path) -> tuple[Path, int, Path | None]:
    """A new room, its lock taken, and the note that leads to it."""
    for _ in range(TRIES):
        path = base / (ROOM_PREFIX + os.urandom(6).hex())
        note = _noted(path)
        try:
            path.mkdir(0o700)
            handle = os.open(path / LOCK, os.O_RDWR | os.O_CREAT, 0o600)
        except (FileExistsError, FileNotFoundError):
            if base.is_dir():
                # the name was in use; or the room was taken for litter before it was locked
                continue
            raise
        except OSError:
            with suppress(OSError):
                os.rmdir(path)  # made, but no room for its lock
            _forgotten(note)
            raise
        if taken(handle) and _is_still(handle, path / LOCK):
            return path, handle, note
        os.close(handle)
    raise OSError(errno.EBUSY, "no room can be made and locked here", str(base))


def _noted(path: Path) -> Path | None:
    """Note a room in the cache folder, so that commands which do not come by find it too."""
    cache = cache_folder()
    if cache is None or path.parent == cache:
        return None
    note = cache / _NOTES / sha256(os.fsencode(path)).hexdigest()[:32]
    try:
        note.parent.mkdir(parents=True, exist_ok=True)
        with open(note, "w", encoding="utf-8") as file:
            taken(file.fileno())  # until it is whole nobody takes it for litter
            file.write(str(path))
    except (OSError, ValueError):  # not to be written there, or a name that is no text
        _forgotten(note)  # a full disk leaves an empty file
        return None
    return note


def _forgotten(note: Path | None) -> None:
    with suppress(OSError):
        if note is not None:
            note.unlink()


def _is_still(handle: int, path: Path) -> bool:
    """Whether an open file is the one that stands at the path."""
    try:
        return os.path.samestat(os.fstat(handle), os.stat(path))
    except OSError:
        return False


def _removed(path: Path, handle: int) -> None:
    """Remove a room whose lock is held.

    The lock goes last, so that nobody takes the rest for a living room.
    """
    with suppress(OSError):
        for name in os.listdir(path):
            if name != LOCK:
                _removed_thing(path / name)
    if os.name == "nt":
        os.close(handle)  # an open file cannot be removed there
    with suppress(OSError):
        os.unlink(path / LOCK)
    with suppress(OSError):
        os.rmdir(path)
    if os.name != "nt":
        os.close(handle)


def _removed_thing(path: Path) -> None:
    if path.is_dir() and not path.is_symlink():
        import shutil  # here: it brings every packer there is, and most commands remove nothing

        shutil.rmtree(path, ignore_errors=True)
    else:
        with suppress(OSError):
            path.unlink()


def _settle(path: Path) -> None:
    """Finish or remove one room, unless its run lives."""
    if path.is_symlink() or not path.is_dir():
        return
    try:
        handle = os.open(path / LOCK, os.O_RDWR)
    except FileNotFoundError:
        # Killed before it was locked: nothing is in it. Its maker, if it lives, makes another.
        with suppress(OSError):
            os.rmdir(path)
        return
    except OSError:
        return
    if not (taken(handle) and _is_still(handle, path / LOCK)):
        os.close(handle)
        return
    try:
        placings = _read_journal(path / JOURNAL)
        if placings:
            _carry_out(path, placings)
    except (OSError, ValueError):
        os.close(handle)  # what cannot be finished now stays for another day
        return
    _removed(path, handle)


# ---- the journal


def _read_journal(path: Path) -> list[Placing]:
    """What a journal says; a ValueError where it is not one of ours."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        return []
    try:
        placings = [Placing(**each) for each in json.loads(text)]
    except (TypeError, RecursionError):
        raise ValueError("no journal") from None
    if not all(
        _below(each.name) and (each.kept_as == "" or _below(each.kept_as)) for each in placings
    ):
        raise ValueError("a journal that leads elsewhere")
    return placings


def _below(name: object) -> bool:
    """Whether a name stays below the folder it is used in."""
    return (
        isinstance(name, str)
        and bool(name)
        and "\\" not in name
        and "\0" not in name
        and not Path(name).is_absolute()
        and ".." not in PurePosixPath(name).parts
    )


def _carry_out(room: Path, placings: Sequence[Placing]) -> None:
    """Put everything in place; or, on an error, put everything back and raise it."""
    try:
        for each in placings:
            _place(room, each)
        for each in placings:
            _keep_earlier(room, each)
    except BaseException:
        for each in reversed(placings):
            _put_back(room, each)
        (room / JOURNAL).unlink(missing_ok=True)
        raise
    (room / JOURNAL).unlink(missing_ok=True)


def _place(room: Path, placing: Placing) -> None:
    """What is new takes its place; what stood there is in the room afterwards."""
    fresh, place, old = (
        room / NEW / placing.name,
        room.parent / placing.name,
        room / OLD / placing.name,
    )
    for _ in range(TRIES):
        if _identity(fresh) != placing.identity:
            return  # done, by this run or one that was killed; whatever has become of it since
        if not os.path.lexists(place):
            if _renamed(fresh, place):
                return
        elif not _exchanged(fresh, place):
            _moved_aside(fresh, place, old)
    raise OSError(errno.EBUSY, "others change it all the time", str(place))


def _moved_aside(fresh: Path, place: Path, old: Path) -> None:
    """Where names cannot be exchanged: what stands there goes into the room, the new follows."""
    old.parent.mkdir(parents=True, exist_ok=True)
    if old.exists():
        old = old.with_name(
            f"{old.name}-{len(os.listdir(old.parent))}"
        )  # somebody put theirs in between
    if fresh.is_dir() or place.is_dir():
        with suppress(FileNotFoundError):
            os.rename(place, old)
        return
    import shutil

    with suppress(FileNotFoundError):
        shutil.copy2(place, old)
    os.replace(fresh, place)


def _renamed(fresh: Path, place: Path) -> bool:
    """Rename to a free name; False where it is free no longer."""
    try:
        os.rename(fresh, place)
    except OSError:
        if os.path.lexists(place):
            return False
        raise
    return True


def _earlier_of(room: Path, placing: Placing) -> Path | None:
    """Where in the room the earlier thing is, once the new one is in place."""
    found = (room / part / placing.name for part in (OLD, NEW))
    return next(
        (path for path in found if os.path.lexists(path) and _identity(path) != placing.identity),
        None,
    )


def _keep_earlier(room: Path, placing: Placing) -> None:
    earlier = _earlier_of(room, placing) if placing.kept_as else None
    if earlier is not None:
        place = room.parent / placing.kept_as
        place.parent.mkdir(parents=True, exist_ok=True)
        os.rename(earlier, place)


def _put_back(room: Path, placing: Placing) -> None:
    """Undo `_place` and `_keep_earlier`, from wherever they had come to."""
    place, earlier = room.parent / placing.name, _earlier_of(room, placing)
    kept = room.parent / placing.kept_as if placing.kept_as else None
    if (
        earlier is None
        and kept is not None
        and _identity(place) == placing.identity
        and os.path.lexists(kept)
    ):
        earlier = kept
    if _identity(place) == placing.identity:
        if earlier is not None and _exchanged(earlier, place):
            return
        os.rename(place, room / f"undone-{placing.identity.replace(':', '-')}")
    if earlier is not None and not os.path.lexists(place):
        os.rename(earlier, place)


def _identity(path: Path) -> str:
    """What a file or folder stays through every renaming; "" where nothing stands."""
    try:
        found = os.lstat(path)
    except OSError:
        return ""
    return f"{found.st_dev}:{found.st_ino}"


# ---- two names exchanged in one step


def _exchanged(one: Path, other: Path) -> bool:
    """Exchange what stands at two paths, in one step; False where the system cannot."""
    exchange = _exchange_of_system()
    # An audit hook (a test that kills at every write) hears of it as of any other renaming.
    sys.audit("os.rename", os.fspath(one), os.fspath(other), -1, -1)
    return exchange is not None and exchange(os.fsencode(one), os.fsencode(other)) == 0


def _exchange_of_system() -> Callable[[bytes, bytes], int] | None:
    """Linux has renameat2, macOS renamex_np; the file system may still refuse."""
    try:
        import ctypes

        library = ctypes.CDLL(None)
        if sys.platform.startswith("linux"):
            here, exchange = -100, 2  # AT_FDCWD, RENAME_EXCHANGE of <linux/fs.h>
            return lambda one, other: library.renameat2(here, one, here, other, exchange)
        if sys.platform == "darwin":
            swap = 2  # RENAME_SWAP of <sys/stdio.h>
            return lambda one, other: library.renamex_np(one, other, swap)
    except (ImportError, AttributeError, OSError, TypeError):
        pass
    return None


@contextmanager
def stoppable() -> Iterator[None]:
    """A request to end (SIGTERM, a closed terminal) unwinds like an interrupt from the keyboard:
    nothing is left behind.
    """
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def stop(number: int, _: object) -> None:
        raise SystemExit(128 + number)

    numbers = [getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name)]
    # A signal that is ignored on purpose (nohup) stays so.
    before = {
        number: signal.signal(number, stop)
        for number in numbers
        if signal.getsignal(number) != signal.SIG_IGN
    }
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
