"""Files: results that take long, kept by content in the project's cache folder; losing them costs time only."""

from __future__ import annotations

import json
from typing import Any

from firstway.files.cache_folder import cache_folder
from firstway.files.writing import put_text


def kept(kind: str, key: str) -> Any:
    """What was kept under a key; None when there is nothing, or it cannot be read."""
    place = cache_folder()
    if place is None:
        return None
    try:
        return json.loads((place / kind / f"{key}.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
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
