"""Site: the built guide as one zip, to hand on whole.

What it leaves out is each chapter and quiz once more as a file that stands alone: such a file is
sent by itself.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from firstway.files.disk import put_bytes, zipped
from firstway.pages.shared.one_file import ONE_FILE_FOLDER
from firstway.problems import Problem, visible
from firstway.site.built_folder import MARKER

READ_FIRST = "READ-ME-FIRST.txt"
FOLDER = "firstway"
LONGEST_PATH = 120  # more, below the folder it is unpacked in, fails on some computers
_LEADS_TO_ONE_FILE = re.compile(rb'<p class="one-file-link">.*?</p>', re.DOTALL)
_WORDS = f"""\
Firstway: a guide that needs no network.

1. Unpack this zip whole, into any folder. Inside the zip the pages do not find each other.
2. Open  {FOLDER}/index.html  in a browser.

To take it off again, delete the folder. Licences are in  {FOLDER}/assets/licences .
"""


def pack(guide: Path, out: Path) -> tuple[int, list[Problem]]:
    """Write the zip of a built guide; gives its size in bytes, or every problem: nothing was
    written then.
    """
    if not (guide / MARKER).is_file():
        advice = "build it first: python3 tools/start.py"
        return 0, [Problem(visible(str(guide)), 0, "there is no built guide here", advice)]
    if out.resolve().is_relative_to(guide.resolve()):
        lost = "this place is inside the guide, and lost when it is next built"
        return 0, [Problem(visible(str(out)), 0, lost, "name a file beside it with -o")]
    paths = {
        f"{FOLDER}/{path.relative_to(guide).as_posix()}": path
        for path in guide.rglob("*")
        if path.is_file() and path.relative_to(guide).parts[0] != ONE_FILE_FOLDER
    }
    problems = [
        Problem(
            visible(path),
            0,
            f"a path of {len(path)} characters; some computers could not unpack it",
            f"give it a shorter name: {LONGEST_PATH} at most",
        )
        for path in sorted(paths)
        if len(path) > LONGEST_PATH
    ]
    if problems:
        return 0, problems
    try:
        content = zipped(_files(paths))
    except OSError as error:
        told = f"the file cannot be read ({error.strerror})"
        return 0, [Problem(visible(str(error.filename or guide)), 0, told, "build the guide again")]
    return len(content), put_bytes(out, content)


def _files(paths: dict[str, Path]) -> Iterator[tuple[str, bytes]]:
    yield READ_FIRST, _WORDS.encode()
    for name in sorted(paths):
        content = paths[name].read_bytes()
        yield name, _LEADS_TO_ONE_FILE.sub(b"", content) if name.endswith(".html") else content
