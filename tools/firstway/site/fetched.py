"""Site: where the Python lies that a page runs, as `tools/start.py` fetched it."""

from __future__ import annotations

from pathlib import Path

_TOOLS = Path(__file__).parents[2]
_LOCK = _TOOLS / "web.lock"
_FETCHED = _TOOLS.parent / ".cache" / "web"


def engine_package() -> Path | None:
    """The folder of the Python for a page, as `tools/start.py` fetched it; None where it is not."""
    if not _LOCK.is_file():
        return None
    words = (line.split("#")[0].split() for line in _LOCK.read_text(encoding="utf-8").splitlines())
    package = next(each[0] for each in words if each)
    folder = _FETCHED / package.replace("@", "-")
    return folder if folder.is_dir() else None
