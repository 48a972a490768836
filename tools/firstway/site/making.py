"""Site: has the guide written page by page: a page made from the same is taken from the cache
folder; and serves the guide while files change.

What mkdocs' own build does with all pages is done here with those that changed: its functions for
one page, and its events, stay in charge of what a page is.
"""

from __future__ import annotations

import errno
import logging
import re
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from hashlib import sha256
from importlib.metadata import EntryPoint
from itertools import groupby
from pathlib import Path, PurePath
from typing import Any

import mkdocs.plugins
from mkdocs.commands.build import _build_page, _build_theme_template, _populate_page
from mkdocs.config import load_config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import Abort, BuildError, ConfigurationError, MkDocsException
from mkdocs.structure.files import File, Files, get_files, set_exclusions
from mkdocs.structure.nav import get_navigation
from mkdocs.structure.pages import Page
from mkdocs.utils import clean_directory, write_file

from firstway.files.disk import text_of_file
from firstway.files.folders import cache_folder, made_room, stoppable
from firstway.files.keeping import forget_unused, found_again, kept, written_in_one_room
from firstway.files.reads import note_read
from firstway.problems import Problem
from firstway.site.built_folder import CONFIGURATION
from firstway.site.kept_page import IdsOfPage, KeptPage, links_by_file, nav_words
from firstway.site.leaving_out import FRAME_SCRIPT, frame_script
from firstway.site.templates import quickened
from firstway.site.unchanged import file_digest, surroundings
from firstway.spreading.spread import do_ahead
from firstway.spreading.workers import Workers

_TOGETHER = 6
_KEPT_OF_PAGES = (
    *("jobs", "job-sheets", "job-steps", "job-drawings", "job-mistakes"),
    *("quizzes", "quiz-sets", "quiz-checked"),
    *("chapters", "answers", "made-pages", "practised"),
)


def guide_written(
    root: Path, new: Path, progress: Callable[[str], None], by: Workers, engine: bool
) -> list[Problem]:
    """Let mkdocs write the guide into `new`; its complaints become problems."""
    _make_known()
    with _heard() as heard:
        try:
            config = load_config(str(root / CONFIGURATION), site_dir=str(new))
            plugin = config.plugins["firstway"]
            plugin.progress, plugin.by, plugin.engine = progress, by, engine
            made_site(config)
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


class _NotedFiles(Files):
    """The files of the guide: a page that asks whether one is there hangs on the answer."""

    def get_file_from_path(self, path: str) -> File | None:
        note_read(f"there {PurePath(path).as_posix()}")
        return super().get_file_from_path(path)


def made_site(config: MkDocsConfig, **_: Any) -> None:
    """Write the whole guide into the folder that the configuration names.

    Raises what mkdocs raises: BuildError and ConfigurationError, told in its log.
    """
    try:
        with written_in_one_room():
            _made_site(config)
    except BuildError as error:
        logging.getLogger("mkdocs").error(str(error))
        raise Abort("the guide was not made") from error


def _made_site(config: MkDocsConfig) -> None:
    config = config.plugins.on_config(config)
    config.plugins.on_pre_build(config=config)
    clean_directory(config.site_dir)
    files: Files = _NotedFiles(list(get_files(config)))
    env = quickened(config.theme.get_env(), config.theme.dirs)
    files.add_files_from_theme(env, config)
    files = config.plugins.on_files(files, config=config)
    set_exclusions(files, config)
    nav = config.plugins.on_nav(get_navigation(files, config), config=config, files=files)
    env = config.plugins.on_env(env, config=config, files=files)
    files.copy_static_files()
    for template in config.theme.static_templates - {"sitemap.xml"}:  # no address to put into it
        _build_theme_template(template, env, files, config, nav)
    plugin: Any = config.plugins["firstway"]
    search: Any = next(each for each in config.plugins.values() if hasattr(each, "search_index"))
    outer = " ".join(
        [surroundings(), file_digest(plugin.root / CONFIGURATION)]
        + [file_digest(Path(folder, name)) for folder, name in _theme_files(config, plugin.root)]
    )

    def stands(part: str) -> str:
        kind, _, name = part.partition(" ")
        if kind == "there":
            return str(files.src_uris.get(name) is not None)
        return file_digest(plugin.root / name)

    def made(page: Page) -> KeptPage:
        search.search_index.entries = []
        _populate_page(page, config, files)
        _build_page(page, config, [], nav, env)
        done = KeptPage(
            plugin.finished,
            plugin.alone,
            plugin.frame,
            search.search_index.entries,
            sorted(page.present_anchor_ids or ()),
            [
                [target.src_uri, anchor, written]
                for target, links in (page.links_to_anchors or {}).items()
                for anchor, written in links.items()
            ],
        )
        page.markdown, page.content, page.toc = None, None, []
        return done

    kind = "pages-previewed" if plugin.previewing else "pages"
    pages = [file.page for file in files.documentation_pages()]
    for page in pages:
        if page.title is None:  # no head told it: others may show it before it is made
            _populate_page(page, config, files)
            page.title = page.title

    def rests_on(page: Page) -> str:
        """A number: all of it, for each page, would fill memory."""
        shown = nav_words(plugin.nav_of(page, nav), page)
        return sha256(f"{outer} {plugin.sheet(page).digest} {shown}".encode()).hexdigest()

    hangs_on = {page.file.src_uri: rests_on(page) for page in pages}
    entries: dict[str, list[Any]] = {}
    links: dict[str, str] = {}
    frames: set[str] = set()

    def put(page: Page, found: KeptPage) -> None:
        write_file(_bytes(found.html), page.file.abs_dest_path)
        if found.alone:
            write_file(_bytes(found.alone), str(plugin.place_alone(page, config.site_dir)))
        entries[page.file.src_uri] = found.entries
        frames.add(found.frame)
        ids: Any = IdsOfPage(found.anchors)
        page.present_anchor_ids = ids
        page.links_to_anchors = {}
        links[page.file.src_uri] = found.links_text()

    with _heard(aside=False) as heard:

        def page_kept(page: Page) -> KeptPage:
            told = len(heard.texts)
            return kept(
                kind,
                page.file.src_uri,
                hangs_on[page.file.src_uri],
                lambda: made(page),
                data=lambda done: done.as_data() if len(heard.texts) == told else None,
                thing=lambda data: KeptPage(**data),
                program="",
                stands=stands,
            )

        missing = []
        for page in pages:
            found = found_again(
                kind,
                page.file.src_uri,
                hangs_on[page.file.src_uri],
                thing=lambda data: KeptPage(**data),
                program="",
                stands=stands,
            )
            if found is None:
                missing.append(page)
            else:
                put(page, found)
        # What is read for a first page, such as templates, all forks have.
        do_ahead(
            lambda group: [page_kept(page) for page in group],
            _groups(missing),
            plugin.by,
            lambda: page_kept(missing[0]),
        )
        for page in missing:
            put(page, page_kept(page))
    (parts,) = frames  # what differs from page to page cannot stand in one script
    if parts:
        write_file(frame_script(parts).encode(), str(Path(config.site_dir, FRAME_SCRIPT)))
    for page in pages:
        page.links_to_anchors = links_by_file(links.pop(page.file.src_uri), files.src_uris)
        page.validate_anchor_links(files=files, log_level=config.validation.links.anchors)
        page.links_to_anchors = {}
    search.search_index.entries = [each for page in pages for each in entries[page.file.src_uri]]
    config.plugins.on_post_build(config=config)
    forget_unused(kind, *_KEPT_OF_PAGES)


def _groups(pages: Sequence[Page]) -> list[list[Page]]:
    """Pages that follow one another in a folder, some at a time: a job's are read together."""
    folders = groupby(pages, lambda page: PurePath(page.file.src_uri).parent)
    together = [list(group) for _, group in folders]
    return [
        group[first : first + _TOGETHER]
        for group in together
        for first in range(0, len(group), _TOGETHER)
    ]


def _bytes(html: str) -> bytes:
    return html.encode("utf-8", errors="xmlcharrefreplace")


def _theme_files(config: MkDocsConfig, root: Path) -> list[tuple[str, str]]:
    """Files of the project's own part of the theme."""
    return [
        (str(path.parent), path.name)
        for folder in config.theme.dirs
        if Path(folder).is_relative_to(root)
        for path in sorted(Path(folder).rglob("*"))
        if path.is_file()
    ]


class _Heard(logging.Handler):
    """Keeps what mkdocs warns of instead of printing it."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.texts: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.texts.append(record.getMessage())


@contextmanager
def _heard(aside: bool = True) -> Iterator[_Heard]:
    """Listens to mkdocs; `aside`: nobody else hears it."""
    logger, heard = logging.getLogger("mkdocs"), _Heard()
    before = logger.propagate, logger.level
    if aside:
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


def preview(root: Path) -> list[Problem]:
    """Serve the guide on this computer and rebuild it as files change, until it is interrupted; or
    why it cannot be.
    """
    import mkdocs.commands.serve  # and the servers of the standard library

    _make_known()
    _speak()
    root = root.resolve()
    watched = [str(root / folder) for folder in ("diagrams", "quiz") if (root / folder).is_dir()]
    try:
        with stoppable(), _own_temporary_folder():
            # It builds by what stands there under this name: ours makes only what changed.
            vars(mkdocs.commands.serve)["build"] = made_site
            mkdocs.commands.serve.serve(
                str(root / CONFIGURATION), watch=watched, open_in_browser=False
            )
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
