"""Site: the mkdocs adapter.

Its events call the pages' functions; it holds no knowledge of the trade.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, Iterator
from html import unescape
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure import StructureItem
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.nav import Navigation, Section
from mkdocs.structure.pages import Page
from mkdocs.utils.templates import TemplateContext

from firstway.drawing.ink import page_stylesheet
from firstway.drawing.svg import widths_stylesheet
from firstway.files.disk import bytes_of_file, published_problems
from firstway.files.reads import note_read
from firstway.pages.chapters.safe_markup import running_markup
from firstway.pages.contents import (
    JOBS,
    contents,
    is_bench_sheet,
    is_of_a_job,
    is_one_sheet,
    learning_path,
    stands_alone,
    ways_on,
)
from firstway.pages.gathering import GatheringProgress, gathered, quiet
from firstway.pages.jobs.own_job_page import OWN_JOB
from firstway.pages.made_pages import made_files, made_pages
from firstway.pages.shared.notes_on_tap import with_buttons
from firstway.pages.shared.one_file import one_file, one_file_link, one_file_path_of
from firstway.pages.shared.project import Project
from firstway.pages.shared.sheet import AnySheet, PageSheet, with_parts
from firstway.problems import Problem, Problems
from firstway.quiz.paper.scripts import (
    job_script,
    practice_script,
    session_script,
    wall_script,
    worked_script,
)
from firstway.rendering.html import escape
from firstway.site.accessible import accessible
from firstway.site.engine_files import put_engine
from firstway.site.fetched import engine_package
from firstway.site.guarding import guarded_page
from firstway.site.lean_styles import leave_out_rules
from firstway.site.leaving_out import (
    made_lean,
    without_indentation,
    without_parts_of_scripts,
)
from firstway.site.licences import put_licences
from firstway.site.preview_door import guarded
from firstway.site.searching import weigh_search
from firstway.site.tutoring import sample_files
from firstway.spreading.workers import Workers, local_workers

if TYPE_CHECKING:
    from mkdocs.livereload import LiveReloadServer  # for a preview alone

INKS_PATH = "assets/inks.css"  # named in mkdocs.yml; made from the drawing room's inks
# named by the pages of quizzes; put together from their parts
QUIZ_SCRIPT, SESSION_SCRIPT = "assets/quiz.js", "assets/session.js"
JOB_SCRIPT = "assets/job.js"


class FirstwayPlugin(BasePlugin):
    """Adds the pages made from data, answers the authors' directives, and tidies what the theme
    writes.
    """

    progress: GatheringProgress = staticmethod(quiet)
    by: Workers = local_workers()
    problems: list[Problem]
    project: Project
    made: dict[str, AnySheet]
    hand_written: dict[str, PageSheet]
    previewing = False
    engine = True  # False: a guide without the program that one page runs
    # the page that was made last, the same as one file, and what a script puts into its head
    finished = alone = frame = ""

    def on_startup(self, *, command: str, dirty: bool) -> None:
        # Its presence tells mkdocs to keep this object through every rebuild of a preview.
        self.previewing = command == "serve"

    def on_serve(
        self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Callable[..., None]
    ) -> LiveReloadServer:
        host, port = config.dev_addr
        server.set_app(guarded(server.serve_request, host, port))
        return server

    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        self.root = Path(config.config_file_path).absolute().parent
        # Before mkdocs walks the folder: it follows every link, and reads whatever it finds.
        self.problems = published_problems(Path(config.docs_dir), self.root)
        if self.problems:
            raise PluginError("\n".join(map(str, self.problems)))
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        try:
            guide, written, self.problems = gathered(self.root, self.progress, self.by)
        except Problems as found:
            self.problems = list(found.problems)
        if self.problems:
            raise PluginError("\n".join(map(str, self.problems)))
        self.project = guide.project
        samples, flaws = sample_files(self.project, guide.stands)
        if flaws:
            raise PluginError("\n".join(map(str, flaws)))
        made = made_pages(guide, self.by)
        self.made = {sheet.path: sheet for sheet in made}
        self.hand_written = {sheet.path: sheet for sheet in written}
        for sheet in made:
            apart = {"inclusion": InclusionLevel.NOT_IN_NAV} if is_of_a_job(sheet.path) else {}
            files.append(File.generated(config, sheet.path, content="", **apart))
        made_assets = (
            (INKS_PATH, page_stylesheet() + widths_stylesheet()),
            (QUIZ_SCRIPT, practice_script()),
            (SESSION_SCRIPT, session_script()),
            ("assets/worked.js", worked_script()),
            (JOB_SCRIPT, job_script()),
            ("assets/wall.js", wall_script()),
        )
        taken_away = made_files(guide)
        for path, text in (
            *made_assets,
            *guide.question_files.items(),
            *taken_away.items(),
            *samples.items(),
        ):
            files.append(File.generated(config, path, content=text))
        config.nav = contents(config.nav or [], self.project, made)
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:
        for item in _items_below(nav.items):
            # The theme prints titles as they are: those of mkdocs.yml, and those of heads.
            if vars(item).get("title"):
                item.title = escape(item.title)
        for page in (file.page for file in files.documentation_pages()):
            title = self.sheet(page).title
            if title and not vars(page).get("title"):
                page.title = escape(title)
        self._lead_on(nav, files)
        self._of_jobs = dict(self._navigations(nav, files))
        return nav

    def _lead_on(self, nav: Navigation, files: Files) -> None:
        """At the foot of a page stands what comes next on its way, not in the contents."""
        of = {page.file.src_uri: page for page in nav.pages}
        for page in of.values():
            page.previous_page = page.next_page = None
        way = [path for path in learning_path(self.project, self.made) if path in of]
        for pages in ways_on(way, of):
            for before, after in pairwise(of[path] for path in pages if path in of):
                before.next_page, after.previous_page = after, before

    def _navigations(self, nav: Navigation, files: Files) -> Iterator[tuple[str, Navigation]]:
        """For each job the contents with its own pages opened in them."""
        folders: dict[str, list[Page]] = {}
        for path in filter(is_of_a_job, self.made):
            folders.setdefault(posixpath.dirname(path), []).append(files.src_uris[path].page)
        for folder, pages in folders.items():
            index = files.src_uris[JOBS].page
            own = Section(pages[0].title, pages)
            around = Section(index.parent.title, [index, own])
            own.parent = around
            for page, before, after in zip(pages, [None, *pages], [*pages[1:], None]):
                page.parent, page.previous_page, page.next_page = own, before, after
            of_job = Navigation(
                [around if each is index.parent else each for each in nav.items], []
            )
            of_job.homepage = nav.homepage
            yield folder, of_job

    def nav_of(self, page: Page, nav: Navigation) -> Navigation:
        """The contents that stand beside a page."""
        return self._of_jobs.get(posixpath.dirname(page.file.src_uri), nav)

    def on_page_context(
        self, context: TemplateContext, *, page: Page, config: MkDocsConfig, nav: Navigation
    ) -> TemplateContext:
        context["nav"] = self.nav_of(page, nav)
        return context

    def on_page_markdown(
        self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files
    ) -> str:
        path = page.file.src_uri
        self.progress(f"writing {path}")
        made, sheet = path in self.made, self.sheet(page)
        # The theme prints them as they are: mkdocs' templates do not escape. What else a head says
        # is ours, not the theme's.
        page.meta = {key: value for key, value in page.meta.items() if made and key == "search"}
        page.meta |= {
            key: escape(words)
            for key, words in (("title", sheet.title), ("description", sheet.description))
            if words
        }
        return markdown if made else sheet.markdown

    def on_page_read_source(self, *, page: Page, config: MkDocsConfig) -> str | None:
        made = self.made.get(page.file.src_uri)  # fetched now: pages that were kept need no text
        return made.markdown if made else None

    def sheet(self, page: Page) -> AnySheet:
        """The page as a value."""
        path = page.file.src_uri
        return self.made.get(path) or self.hand_written[path]

    @event_priority(-100)
    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        path = page.file.src_uri
        runs = running_markup(html) if path in self.hand_written else ""
        if runs:
            raise PluginError(
                str(
                    Problem(
                        f"content/{path}",
                        0,
                        f"'{runs}' would run in a reader's browser",
                        "write Markdown, and & and < as words or references",
                    )
                )
            )
        return html

    @event_priority(-50)
    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        root = posixpath.relpath(".", posixpath.dirname(page.url) or ".")
        way = "" if root == "." else root + "/"
        engine = page.file.src_uri == OWN_JOB
        whole = with_parts(self.tidied(output, engine), self.sheet(page).parts, way)
        if is_one_sheet(page.file.src_uri):
            whole = whole.replace(
                "md-content__inner md-typeset", "md-content__inner md-typeset one-sheet", 1
            )
        if is_bench_sheet(page.file.src_uri):
            whole = whole.replace(
                "md-content__inner md-typeset", "md-content__inner md-typeset bench-sheet", 1
            )
        whole = with_buttons(whole.replace('="{root}', f'="{way}'))
        self.alone = ""
        if stands_alone(page.file.src_uri, self.project):
            whole = self.with_one_file(whole, page, way)
        self.finished, self.frame = whole, ""
        if not self.previewing:
            self.finished, self.frame = without_parts_of_scripts(whole, way)
        return self.finished

    def tidied(self, html: str, engine: bool = False) -> str:
        """What the theme wrote. A preview reloads itself by a script of the server, which a policy
        would refuse.
        """
        whole = accessible(without_indentation(html))
        return whole if self.previewing else guarded_page(whole, engine)

    def with_one_file(self, whole: str, page: Page, way: str) -> str:
        """Makes the page as one file, and gives the page with a link to it."""
        title, description = (str(page.meta.get(key, "")) for key in ("title", "description"))
        self.alone = one_file(
            whole, unescape(title), unescape(description), page_stylesheet(""), self.asset
        )
        before, end, after = whole.rpartition("</article>")
        return f"{before}{one_file_link(one_file_path_of(page.url), way)}{end}{after}"

    def place_alone(self, page: Page, site: str) -> Path:
        """Where the page as one file stands."""
        return Path(site) / one_file_path_of(page.url)

    def asset(self, path: str) -> bytes:
        """A file of content/, or the script of quizzes, for a page that stands alone."""
        if path == QUIZ_SCRIPT:
            return practice_script().encode()
        if path == JOB_SCRIPT:
            return job_script().encode()
        note_read(f"file content/{path}")
        content, problems = bytes_of_file(self.root / "content" / path, f"content/{path}")
        if problems:
            raise PluginError("\n".join(map(str, problems)))
        return content

    def on_post_template(
        self, output_content: str, *, template_name: str, config: MkDocsConfig
    ) -> str:
        return self.tidied(output_content) if template_name.endswith(".html") else output_content

    @event_priority(-200)  # after the search index was written and made a script
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        package = engine_package() if self.engine else None
        folders = {posixpath.dirname(path) for path in filter(is_of_a_job, self.made)}
        names = sorted(map(posixpath.basename, folders))
        through = self.project.shelf.job
        first = through.installation if through else ""
        put_engine(Path(config.site_dir), self.root, names, package, first)
        weigh_search(
            Path(config.site_dir), [(each.term, *each.also) for each in self.project.glossary]
        )
        if not self.previewing:
            made_lean(Path(config.site_dir))
            leave_out_rules(Path(config.site_dir))
            put_licences(Path(config.site_dir))


def _items_below(items: Iterable[StructureItem]) -> Iterator[StructureItem]:
    """Every section, page and link of a navigation."""
    for item in items:
        yield item
        yield from _items_below(getattr(item, "children", None) or ())
