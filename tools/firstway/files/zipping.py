"""Files: a zip whose bytes hang on its files alone."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable

_WHEN = (2020, 1, 1, 0, 0, 0)  # it says nothing of when it was made: same files, same bytes
_UNIX = 3  # the system that the permissions are told for, wherever it was made


def zipped(files: Iterable[tuple[str, bytes]]) -> bytes:
    """The files by their paths, packed in the order given."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for path, content in files:
            entry = zipfile.ZipInfo(path, _WHEN)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system, entry.external_attr = _UNIX, 0o644 << 16
            archive.writestr(entry, content)
    return written.getvalue()
