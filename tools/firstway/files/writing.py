"""Files: text to the disk, whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from firstway.problems import Problem


def put_text(path: Path, text: str) -> list[Problem]:
    """Write UTF-8 text in one step: a reader sees the old file or the new one, never half of it."""
    return put_bytes(path, text.encode("utf-8"))


def put_bytes(path: Path, content: bytes) -> list[Problem]:
    """Write bytes in one step."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            os.chmod(name, 0o644)
            os.replace(name, path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        return [Problem(path.as_posix(), 0, f"the file cannot be written ({error.strerror})", "check the folder and its permissions")]
    return []
