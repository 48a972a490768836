"""Site: builds the guide into a folder that is replaced in one step, and serves it while files
change.
"""

from __future__ import annotations

import errno
import logging
import re
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from importlib.metadata import EntryPoint
from pathlib import Path

import mkdocs.plugins
from mkdocs.commands.build import build as built_by_mkdocs
from mkdocs.commands.serve import serve
from mkdocs.config import load_config
from mkdocs.exceptions import Abort, ConfigurationError, MkDocsException

from firstway.files.disk import text_of_file
from firstway.files.folders import cache_folder, made_room, room_for, stoppable
from firstway.pages.gathering import GatheringProgress, quiet
from firstway.problems import Problem
from firstway.site.built_folder import MARKER, MARKER_TEXT

CONFIGURATION = "mkdocs.yml"


def build(root: Path, out: Path, progress: GatheringProgress = quiet) -> list[Problem]:
    """Build the guide of the project folder `root` into `out`.

    Gives every problem at once; then, or when anything stops the build, `out` is as it was before.
    `progress` receives short sentences.
    """
    root, out = root.resolve(), out.resolve()
    problems = _problems_of_place(root, out)
    if problems:
        return problems
    try:
        with room_for(out) as room:
            problems = _written(root, room.fresh, progress)
            if not problems:
                (room.fresh / MARKER).write_text(MARKER_TEXT, encoding="utf-8")
                room.put_in_place()
    except OSError as error:
        return [
            Problem(
                str(error.filename or out),
                0,
                f"the folder cannot be written ({error.strerror})",
                "close programs that use it, or name another folder with --out",
            )
        ]
    return problems


def preview(root: Path) -> list[Problem]:
    """Serve the guide on this computer and rebuild it as files change, until it is interrupted; or
    why it cannot be.
    """
    _make_known()
    _speak()
    root = root.resolve()
    watched = [str(root / folder) for folder in ("diagrams", "quiz") if (root / folder).is_dir()]
    try:
        with stoppable(), _own_temporary_folder():
            serve(str(root / CONFIGURATION), watch=watched, open_in_browser=False)
    except (Abort, ConfigurationError):
        raise SystemExit(2) from None  # mkdocs has logged why
    except OSError as error:
        if error.errno not in (errno.EADDRINUSE, errno.EACCES, errno.EADDRNOTAVAIL):
            raise
        return [
            Problem(
                CONFIGURATION,
                0,
                f"the address of the preview cannot be used ({error.strerror})",
                "end the other preview, or name another address: `dev_addr: 127.0.0.1:8001`",
            )
        ]
    return []


@contextmanager
def _own_temporary_folder() -> Iterator[None]:
    """mkdocs builds a preview in a temporary folder; in a room of the cache folder the next run
    finds what a killed one left.
    """
    cache, before = cache_folder(), tempfile.tempdir
    with ExitStack() as open_things:
        with suppress(OSError):
            if cache is not None:
                cache.mkdir(parents=True, exist_ok=True)
                tempfile.tempdir = str(open_things.enter_context(made_room(cache)))
        try:
            yield
        finally:
            tempfile.tempdir = before


def _speak() -> None:
    """Let mkdocs say where it serves and what it rebuilds; as a library it is silent."""
    logger, spoken = logging.getLogger("mkdocs"), logging.StreamHandler()
    spoken.setFormatter(logging.Formatter("%(message)s"))
    logger.addHandler(spoken)
    logger.setLevel(logging.INFO)
    logger.propagate = False


def _problems_of_place(root: Path, out: Path) -> list[Problem]:
    """A folder is replaced only where that can destroy nothing of the author's."""
    if not (root / CONFIGURATION).is_file():
        return [
            Problem(
                str(root / CONFIGURATION), 0, "there is no such file", "start in the project folder"
            )
        ]
    if out == root or out in root.parents:
        return [
            Problem(
                str(out), 0, "this folder holds the project itself", "name a new folder with --out"
            )
        ]
    if any(
        out == root / used or root / used in out.parents
        for used in ("content", "diagrams", "quiz", "tools", "tests")
    ):
        return [
            Problem(
                str(out),
                0,
                "this folder belongs to the project's sources",
                "name a new folder with --out",
            )
        ]
    if out.exists() and not out.is_dir():
        return [
            Problem(str(out), 0, "this is a file, not a folder", "name a new folder with --out")
        ]
    if out.is_dir() and not (out / MARKER).is_file() and any(out.iterdir()):
        return [
            Problem(
                str(out),
                0,
                "this folder holds something that is not a built guide",
                "name a new or empty folder with --out",
            )
        ]
    return []


def _written(root: Path, new: Path, progress: GatheringProgress) -> list[Problem]:
    """Let mkdocs write the guide into `new`; its complaints become problems."""
    _make_known()
    with _heard() as heard:
        try:
            config = load_config(str(root / CONFIGURATION), site_dir=str(new))
            plugin = config.plugins["firstway"]
            plugin.progress = progress
            built_by_mkdocs(config)
        except (MkDocsException, Abort) as error:
            found = getattr(locals().get("plugin"), "problems", [])
            return list(found) or [
                Problem(
                    CONFIGURATION,
                    0,
                    _one_line(heard.texts[-1] if heard.texts else str(error)),
                    "put it right and build again",
                )
            ]
    return sorted({_problem_of(text, root) for text in heard.texts})


class _Heard(logging.Handler):
    """Keeps what mkdocs warns of instead of printing it."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.texts: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.texts.append(record.getMessage())


@contextmanager
def _heard() -> Iterator[_Heard]:
    logger, heard = logging.getLogger("mkdocs"), _Heard()
    before = logger.propagate, logger.level
    logger.propagate = False
    logger.setLevel(logging.WARNING)
    logger.addHandler(heard)
    try:
        yield heard
    finally:
        logger.removeHandler(heard)
        logger.propagate, logger.level = before


_LINK_COMPLAINT = re.compile(
    r"Doc file '(?P<file>[^']+)' contains an? [^']*link '(?P<link>[^']+)'(?P<rest>.*)", re.DOTALL
)


def _problem_of(text: str, root: Path) -> Problem:
    """A warning of mkdocs as a problem at its line, where it names a file and a link."""
    found = _LINK_COMPLAINT.match(text)
    if not found:
        return Problem(CONFIGURATION, 0, _one_line(text), "put it right and build again")
    path = root / "content" / found["file"]
    shown_as = f"content/{found['file']}"
    source = text_of_file(path)[0]
    line = next(
        (
            number
            for number, line in enumerate(source.split("\n"), start=1)
            if found["link"] in line
        ),
        0,
    )
    return Problem(
        shown_as,
        line,
        f"the link '{found['link']}' leads nowhere",
        "name a page or heading that exists",
    )


def _one_line(text: str) -> str:
    return " ".join(text.split())


def _make_known() -> None:
    """mkdocs looks plugins up among installed packages; run straight from its folder, ours is not
    one.
    """
    installed = mkdocs.plugins.get_plugins
    if "firstway" in installed():
        return
    ours = EntryPoint("firstway", "firstway.site.plugin:FirstwayPlugin", "mkdocs.plugins")
    mkdocs.plugins.get_plugins = lambda: {**installed(), "firstway": ours}
