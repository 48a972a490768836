"""Files: results that take long, kept by content in the project's cache folder; losing them costs
time only.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path
from typing import Any

from firstway.files.cache_folder import cache_folder
from firstway.files.text_reader import bytes_of_file
from firstway.files.writing import put_bytes

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


def kept(kind: str, key: str) -> Any:
    """What was kept under a key; None when there is nothing, or it cannot be read."""
    place = cache_folder()
    if place is None:
        return None
    content, _ = bytes_of_file(place / kind / f"{key}.json", largest=LARGEST_KEPT)
    data = content[len(_HEAD) : -1]
    return json.loads(data) if data and content == _sealed(data) else None


def keep(kind: str, key: str, data: Any) -> None:
    """Keep plain data, whole or not at all.

    A folder that cannot be written is no error: it only costs time.
    """
    place = cache_folder()
    if place is None:
        return
    try:
        (place / kind).mkdir(parents=True, exist_ok=True)
    except OSError:
        return
    put_bytes(
        place / kind / f"{key}.json",
        _sealed(json.dumps(data, separators=(",", ":")).encode()),
        room_in=place,
    )


def _sealed(data: bytes) -> bytes:
    """The data with its digest: what was cut, changed or put there by others is not taken
    for ours.
    """
    return _HEAD.replace(_NO_DIGEST, sha256(data).hexdigest().encode()) + data + b"}"
