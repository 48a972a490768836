"""Files: a folder of results, put in place whole or not at all."""

from __future__ import annotations

import shutil
import signal
import tempfile
import threading
from contextlib import contextmanager
from pathlib import Path
from typing import Iterator

ROOM_PREFIX = ".site-"


def put_in_place(new: Path, out: Path, old: Path) -> None:
    """Swap the new folder in by renaming; whatever stops it, one whole folder stands at `out`."""
    had_one = out.exists()
    try:
        if had_one:
            out.rename(old)
        new.rename(out)
    except BaseException:
        if had_one and not out.exists() and old.exists():
            old.rename(out)
        raise


@contextmanager
def room_beside(out: Path, prefix: str = ROOM_PREFIX) -> Iterator[Path]:
    """A folder on the same disk to build in; gone afterwards, however the work ended."""
    room = Path(tempfile.mkdtemp(prefix=prefix, dir=out.parent))
    try:
        yield room
    finally:
        shutil.rmtree(room, ignore_errors=True)


@contextmanager
def stoppable() -> Iterator[None]:
    """A request to end (SIGTERM) unwinds like an interrupt from the keyboard, so that nothing is left behind."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def stop(*_: object) -> None:
        raise SystemExit(143)

    before = signal.signal(signal.SIGTERM, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)
