"""Files: results that take long, kept by content in the project's cache folder; losing them costs time only."""

from __future__ import annotations

import json
import os
from hashlib import sha256
from pathlib import Path
from typing import Any, Iterable

from firstway.files.cache_folder import cache_folder
from firstway.files.text_reader import bytes_of_file
from firstway.files.writing import put_text

LARGEST_KEPT = 64_000_000


def digest_of_files(paths: Iterable[Path], before: str = "") -> str:
    """What tells whether anything in some files, or a text that stands for the rest, has changed."""
    digest = sha256(before.encode())
    for path in sorted(paths):
        digest.update(os.fsencode(path.name) + bytes_of_file(path)[0])
    return digest.hexdigest()


def kept(kind: str, key: str) -> Any:
    """What was kept under a key; None when there is nothing, or it cannot be read."""
    place = cache_folder()
    if place is None:
        return None
    content, problems = bytes_of_file(place / kind / f"{key}.json", largest=LARGEST_KEPT)
    try:
        return None if problems else json.loads(content)
    except (ValueError, RecursionError):
        return None


def keep(kind: str, key: str, data: Any) -> None:
    """Keep plain data, whole or not at all. A folder that cannot be written is no error: it only costs time."""
    place = cache_folder()
    if place is None:
        return
    try:
        (place / kind).mkdir(parents=True, exist_ok=True)
    except OSError:
        return
    put_text(place / kind / f"{key}.json", json.dumps(data, separators=(",", ":")), room_in=place)
