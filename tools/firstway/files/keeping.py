"""Files: results that take long, kept by content in the project's cache folder; losing them costs
time only.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

from firstway.files.disk import bytes_of_file, put_bytes
from firstway.files.folders import cache_folder

_Thing = TypeVar("_Thing")
LARGEST_KEPT = 64_000_000
_NO_DIGEST = b"-" * 64
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
        path for path in folder.rglob("*") if path.suffix in (".py", ".csv", ".js")
    )


def kept(
    kind: str,
    name: str,
    on: str,
    make: Callable[[], _Thing],
    *,
    data: Callable[[_Thing], Any],
    thing: Callable[[Any], _Thing],
    program: str | None = None,
) -> _Thing:
    """What `make` gives: from the cache folder where it was made from the same, else made now.

    One file stands for `name` among its `kind`, so that what changes often does not fill the
    folder. `on` is everything the thing hangs on beside the program; `program` is the digest of
    that part of it which matters, where it is not the whole. `data` gives plain data of a thing,
    None for one that is not to be kept; `thing` gives the thing of such data. What was cut, or put
    there by others, or is no such data is made anew.
    """
    place = _place(kind, name)
    if place is None:
        return make()
    key = _digest(f"{program_digest() if program is None else program} {on}")
    found = _read(place)
    if isinstance(found, dict) and found.get("key") == key:
        try:
            return thing(found["data"])
        except (TypeError, LookupError, ValueError, AttributeError):
            pass
    made = make()
    plain = data(made)
    if plain is not None:
        _write(place, {"key": key, "data": plain})
    return made


def _place(kind: str, name: str) -> Path | None:
    folder = cache_folder()
    return None if folder is None else folder / kind / f"{_digest(name)}.json"


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
    put_bytes(place, content, room_in=place.parents[1])


def _sealed(data: bytes) -> bytes:
    """The data with its digest: what was cut, changed or put there by others is not taken
    for ours.
    """
    return _HEAD.replace(_NO_DIGEST, sha256(data).hexdigest().encode()) + data + b"}"
