"""Files: locks that the system itself lets go when their holder dies."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

LOCK_OF_FOLDER = ".firstway-lock"  # only where a folder itself cannot be locked


def taken(handle: int, *, wait: bool = False) -> bool:
    """Take the lock of an open file; False where another run holds it."""
    try:
        if sys.platform != "win32":
            fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
        else:
            # Waiting, Windows gives up after ten tries, one a second: asked again, it goes on.
            mode = msvcrt.LK_LOCK if wait else msvcrt.LK_NBLCK
            msvcrt.locking(handle, mode, 1)
    except OSError:
        return False
    return True


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Only one run at a time is inside for one folder; the others wait. Not to be nested."""
    if sys.platform != "win32":
        handle = os.open(folder, os.O_RDONLY)
    else:
        handle = os.open(folder / LOCK_OF_FOLDER, os.O_RDWR | os.O_CREAT)
    try:
        while not taken(handle, wait=True):
            if sys.platform != "win32":
                break  # a file system without locks: better unguarded than not at all
        yield
    finally:
        os.close(handle)
