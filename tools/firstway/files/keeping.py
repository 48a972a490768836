"""Files: results that take long, kept by content in the project's cache folder; losing them costs time only."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

from firstway.files.writing import put_text

PROJECT = Path(__file__).resolve().parents[3]
FOLDER_VARIABLE = "FIRSTWAY_CACHE"   # another folder; empty: keep nothing


def folder(kind: str) -> Path | None:
    """Where results of a kind lie; None where nothing is to be kept."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    if chosen is not None:
        return Path(chosen) / kind if chosen else None
    # Outside the project folder (a package put elsewhere) nothing is written.
    return PROJECT / ".cache" / kind if (PROJECT / "mkdocs.yml").is_file() else None


def kept(kind: str, key: str) -> Any:
    """What was kept under a key; None when there is nothing, or it cannot be read."""
    place = folder(kind)
    if place is None:
        return None
    try:
        return json.loads((place / f"{key}.json").read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None


def keep(kind: str, key: str, data: Any) -> None:
    """Keep plain data, whole or not at all. A folder that cannot be written is no error: it only costs time."""
    place = folder(kind)
    if place is None:
        return
    try:
        place.mkdir(parents=True, exist_ok=True)
    except OSError:
        return
    put_text(place / f"{key}.json", json.dumps(data, separators=(",", ":")))
