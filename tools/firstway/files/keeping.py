"""Files: results that take long, kept by content in the project's cache folder; losing them costs
time only.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from contextvars import ContextVar
from functools import cache
from hashlib import sha256
from pathlib import Path
from threading import get_ident
from typing import Any, TypeVar

from firstway.files.disk import bytes_of_file, put_bytes, put_from
from firstway.files.folders import cache_folder, made_room
from firstway.files.reads import note_read, noting_reads

_Thing = TypeVar("_Thing")
LARGEST_KEPT = 64_000_000
_NO_DIGEST = b"-" * 64
_KEEPS: ContextVar[bool] = ContextVar("whether anything is kept", default=True)
KeptAway = tuple[str, str, str, Any, str | None]
"""What `remember` takes, as plain data."""
_AWAY: ContextVar[list[KeptAway] | None] = ContextVar("what is kept elsewhere", default=None)
_ROOM: ContextVar[Path | None] = ContextVar("where files are written first", default=None)
_HEAD = b'{"digest":"' + _NO_DIGEST + b'","data":'


def digest_of_files(paths: Iterable[Path], before: str = "") -> str:
    """What tells whether anything in some files, or a text that stands for the rest, has
    changed.
    """
    digest = sha256(before.encode())
    for path in sorted(paths):
        digest.update(os.fsencode(path.name) + bytes_of_file(path)[0])
    return digest.hexdigest()


@cache
def program_digest() -> str:
    """The program, its tables and its scripts as one number: what another state of it made is
    not used.
    """
    folder = Path(__file__).resolve().parents[1]
    return digest_of_files(
        path for path in folder.rglob("*") if path.parent.name != "__pycache__" and path.is_file()
    )


@contextmanager
def nothing_kept() -> Iterator[None]:
    """In here nothing is kept: for figures by the thousand that nobody asks for twice."""
    before = _KEEPS.set(False)
    try:
        yield
    finally:
        _KEEPS.reset(before)


@contextmanager
def kept_away() -> Iterator[list[KeptAway]]:
    """In here everything is made anew, and what would be kept is given to whoever keeps it: for a
    process that may lie on another computer than the cache folder. Keep it there by `remember`.
    """
    told: list[KeptAway] = []
    before = _AWAY.set(told)
    try:
        with nothing_kept():
            yield told
    finally:
        _AWAY.reset(before)


@contextmanager
def written_in_one_room() -> Iterator[None]:
    """In here what is kept is written by way of one room, by this process and its forks: a room of
    its own for each of many hundred files was a tenth of a build.
    """
    folder = cache_folder()
    if folder is None or _ROOM.get() is not None:
        yield
        return
    with ExitStack() as opened:
        with suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True)
            opened.callback(_ROOM.reset, _ROOM.set(opened.enter_context(made_room(folder))))
        yield


def keeps() -> bool:
    """Whether what is made now is kept."""
    return _KEEPS.get() and cache_folder() is not None


def kept(
    kind: str,
    name: str,
    on: str,
    make: Callable[[], _Thing],
    *,
    data: Callable[[_Thing], Any],
    thing: Callable[[Any], _Thing],
    program: str | None = None,
    stands: Callable[[str], str] | None = None,
) -> _Thing:
    """What `make` gives: from the cache folder where it was made from the same, else made now.

    One file stands for `name` among its `kind`, so that what changes often does not fill the
    folder. `on` is everything the thing hangs on beside the program and what `make` notes as read
    (`files/reads.py`); `stands` tells how such a part stands now, and goes with what notes any.
    `program` is the digest of that part of the program which matters, where it is not the whole.
    `data` gives plain data of a thing, None for one that is not to be kept; `thing` gives the thing
    of such data. What was cut, or put there by others, or is no such data is made anew.
    """
    found = found_again(kind, name, on, thing=thing, program=program, stands=stands)
    if found is not None:
        return found
    with noting_reads() as noted:
        made = make()
    plain = data(made)
    if plain is not None:
        reads = {part: stands(part) if stands else "" for part in noted}
        remember(kind, name, on, {"data": plain, "reads": reads}, program)
    return made


def found_again(
    kind: str,
    name: str,
    on: str,
    *,
    thing: Callable[[Any], _Thing],
    program: str | None = None,
    stands: Callable[[str], str] | None = None,
) -> _Thing | None:
    """What `kept` would take from the cache folder; None where it would be made now."""
    found = recalled(kind, name, on, program)
    if isinstance(found, dict):
        try:
            reads = dict(found["reads"])
            if stands is None or all(stands(part) == was for part, was in reads.items()):
                note_read(*reads)
                return thing(found["data"])
        except (TypeError, LookupError, ValueError, AttributeError):
            pass
    return None


KeptThing = tuple[Any, tuple[str, ...]]
"""Plain data, and the parts of the project it was made from."""


def kept_each(
    kind: str,
    name: str,
    wanted: Mapping[str, str],
    make: Callable[[str], tuple[Any, bool]],
    stands: Callable[[str], str],
) -> dict[str, KeptThing]:
    """Each of many small things, in one file: only those are made whose `wanted` (what a thing
    hangs on, by its name) or whose noted parts have changed.

    `make` gives the data of a name, and whether it is to be kept. Whoever uses one notes its parts.
    """
    before = recalled(kind, name, "")
    known = before if isinstance(before, dict) else {}
    found, given = {}, dict[str, KeptThing]()
    with noting_reads(aside=True):  # also what is read to see how a part stands
        for each, on in wanted.items():
            was: Any = known.get(each)
            if not _holds(was, on, stands):
                with noting_reads() as noted:
                    data, whole = make(each)
                if not whole:
                    given[each] = data, tuple(noted)
                    continue
                was = {"on": on, "reads": [[part, stands(part)] for part in noted], "data": data}
            found[each] = was
            given[each] = was["data"], tuple(part for part, _ in was["reads"])
    if found != known:
        remember(kind, name, "", found)
    return given


def _holds(was: Any, on: str, stands: Callable[[str], str]) -> bool:
    try:
        reads: list[list[str]] = was["reads"]
        return was["on"] == on and "data" in was and all(stands(part) == at for part, at in reads)
    except (TypeError, LookupError, ValueError, AttributeError):
        return False


def recalled(kind: str, name: str, on: str, program: str | None = None) -> Any:
    """What was remembered under a name and rests on the same; None where nothing was."""
    place = _place(kind, name)
    found = place and _read(place)
    if not place or not isinstance(found, dict) or found.get("key") != _key(on, program):
        return None
    _USED.add(place)
    return found.get("kept")


def remember(kind: str, name: str, on: str, data: Any, program: str | None = None) -> None:
    """Keep plain data under a name; `on` is what it rests on."""
    away = _AWAY.get()
    if away is not None:
        away.append((kind, name, on, data, program))
    place = _place(kind, name)
    if place is not None:
        _USED.add(place)
        _write(place, {"key": _key(on, program), "kept": data})


def forget_unused(*kinds: str) -> None:
    """Take away what of these kinds this run neither made nor used: pages that are no more."""
    folder = cache_folder()
    places = (place for kind in kinds if folder for place in (folder / kind).glob("*.json"))
    for place in places:
        if place not in _USED:
            with suppress(OSError):
                place.unlink()


def in_use(kind: str, name: str) -> None:
    """What is kept under a name is wanted, though this run did not look into it."""
    place = _place(kind, name)
    if place is not None:
        _USED.add(place)


_USED: set[Path] = set()


def _key(on: str, program: str | None) -> str:
    return _digest(f"{program_digest() if program is None else program} {on}")


def _place(kind: str, name: str) -> Path | None:
    folder = cache_folder()
    return None if folder is None or not _KEEPS.get() else folder / kind / f"{_digest(name)}.json"


def _digest(words: str) -> str:
    return sha256(words.encode("utf-8", "replace")).hexdigest()[:40]


def _read(place: Path) -> Any:
    """What stands there; None when there is nothing, or it is not whole, or not ours."""
    content, _ = bytes_of_file(place, largest=LARGEST_KEPT)
    data = content[len(_HEAD) : -1]
    return json.loads(data) if data and content == _sealed(data) else None


def _write(place: Path, data: Any) -> None:
    """Plain data, whole or not at all.

    A folder that cannot be written is no error: it only costs time.
    """
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError:
        return
    content = _sealed(json.dumps(data, separators=(",", ":")).encode())
    room = _ROOM.get()
    if room is None or room.parent != place.parents[1]:
        put_bytes(place, content, room_in=place.parents[1])
        return
    put_from(room / f"{os.getpid()}-{get_ident()}", place, content)


def _sealed(data: bytes) -> bytes:
    """The data with its digest: what was cut, changed or put there by others is not taken
    for ours.
    """
    return _HEAD.replace(_NO_DIGEST, sha256(data).hexdigest().encode()) + data + b"}"
