"""Files: where the project keeps what may be lost: the cache folder."""

from __future__ import annotations

import os
from pathlib import Path

PROJECT = Path(__file__).resolve().parents[3]
FOLDER_VARIABLE = "FIRSTWAY_CACHE"  # another folder; empty: keep nothing


def cache_folder() -> Path | None:
    """The cache folder, which may not exist yet; None where nothing is to be kept."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    if chosen is not None:
        return Path(chosen).absolute() if chosen else None
    # Outside the project folder (a package put elsewhere) nothing is written.
    return PROJECT / ".cache" if (PROJECT / "mkdocs.yml").is_file() else None
