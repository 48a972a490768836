"""Site: the mkdocs adapter.

Its events call the pages' functions; it holds no knowledge of the trade.
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Iterable, Iterator
from html import escape, unescape
from pathlib import Path
from typing import Any

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure import StructureItem
from mkdocs.structure.files import File, Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page

from firstway.choosing.completing import Completed
from firstway.drawing.ink import page_stylesheet
from firstway.files.names import published_problems
from firstway.files.text_reader import bytes_of_file
from firstway.pages.chapters.safe_markup import running_markup
from firstway.pages.chapters.ways_in import CARDS, REFRESH, pages_in
from firstway.pages.jobs.charts_part import charts_page
from firstway.pages.jobs.installation_page import installation_page
from firstway.pages.jobs.jobs_page import jobs_page
from firstway.pages.jobs.nec_pages import sheet_in_nec_words
from firstway.pages.jobs.passes_page import passes_page
from firstway.pages.jobs.readings_part import readings_page
from firstway.pages.jobs.stages_part import fitting_page
from firstway.pages.jobs.working_pages import working_pages
from firstway.pages.reference.clauses_page import clauses_page, job_clauses_page
from firstway.pages.reference.colours_page import colours_page
from firstway.pages.reference.glossary_page import glossary_page
from firstway.pages.reference.mistakes_pages import mistakes_paths, mistakes_sheets
from firstway.pages.reference.rules_page import rules_pages
from firstway.pages.reference.symbols_page import symbols_page
from firstway.pages.reference.tables_pages import table_files, tables_pages
from firstway.pages.shared.citing import noted
from firstway.pages.shared.gathering import GatheringProgress, gathered, quiet
from firstway.pages.shared.guide import PAGE_VIEWS, Chapter, Guide
from firstway.pages.shared.notes_on_tap import with_buttons
from firstway.pages.shared.one_file import one_file, one_file_link, one_file_path_of
from firstway.pages.shared.sheet import PageSheet, with_parts
from firstway.pages.tutors.coverage_page import coverage_sheets
from firstway.pages.tutors.teaching_page import teaching_page
from firstway.problems import Problem, Problems
from firstway.site.accessible import accessible
from firstway.site.leaving_out import made_lean, without_indentation
from firstway.site.licences import put_licences
from firstway.site.preview_door import guarded
from firstway.site.tutoring import sample_files

TUTORS = "tutors/"
LEARN = "Learn it"  # the entry of the navigation in mkdocs.yml that the chapters stand in
INKS_PATH = "assets/inks.css"  # named in mkdocs.yml; made from the drawing room's inks


class FirstwayPlugin(BasePlugin):
    """Adds the pages made from data, answers the authors' directives, and tidies what the theme
    writes.
    """

    progress: GatheringProgress = staticmethod(quiet)
    problems: list[Problem]
    guide: Guide
    sheets: dict[str, PageSheet]
    chapters: dict[str, Chapter]
    parts: dict[str, dict[str, str]]

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
            self.guide, self.problems = gathered(self.root, self.progress)
        except Problems as found:
            self.problems = list(found.problems)
        if self.problems:
            raise PluginError("\n".join(map(str, self.problems)))
        tutors, self.problems = coverage_sheets(self.root, self.guide)
        samples, flaws = sample_files(self.root, self.guide)
        if self.problems or flaws:
            raise PluginError("\n".join(map(str, [*self.problems, *flaws])))
        sheets = [*sheets_of(self.guide), *tutors]
        self.sheets = {sheet.path: sheet for sheet in sheets}
        self.chapters = {page.path: page for page in self.guide.chapters}
        self.parts = {sheet.path: dict(sheet.parts) for sheet in sheets}
        for sheet in sheets:
            files.append(File.generated(config, sheet.path, content=sheet.markdown))
        files.append(File.generated(config, INKS_PATH, content=page_stylesheet()))
        for path, text in (*table_files(), *samples.items()):
            files.append(File.generated(config, path, content=text))
        config.nav = with_made_pages(config.nav, self.guide, sheets)
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:
        for item in _items_below(nav.items):
            # Titles of pages come from their heads, below; what mkdocs.yml or the jobs name is told
            # here.
            if vars(item).get("title"):
                item.title = escape(item.title, quote=False)
        return nav

    def on_page_markdown(
        self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files
    ) -> str:
        path = page.file.src_uri
        self.progress(f"writing {path}")
        sheet, chapter = self.sheets.get(path), self.chapters.get(path)
        title, description = (
            (sheet.title, sheet.description)
            if sheet
            else (chapter.front.title, chapter.front.description)
            if chapter
            else ("", "")
        )
        # The theme prints them as they are: mkdocs' templates do not escape. What else a head says
        # is ours, not the theme's.
        page.meta = {key: value for key, value in page.meta.items() if sheet and key == "search"}
        page.meta |= {
            key: escape(words, quote=key == "description")
            for key, words in (("title", title), ("description", description))
            if words
        }
        if sheet:
            return markdown
        text, parts = self.guide.answered[path]
        self.parts[path] = dict(parts)
        return text

    @event_priority(-100)
    def on_page_content(self, html: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        chapter = self.chapters.get(page.file.src_uri)
        runs = running_markup(html) if chapter else ""
        if chapter and runs:
            raise PluginError(
                str(
                    Problem(
                        chapter.file,
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
        whole = with_parts(
            accessible(without_indentation(output)), self.parts.get(page.file.src_uri, {}), way
        )
        if page.file.src_uri.startswith(CARDS) and not page.file.src_uri.endswith("index.md"):
            whole = whole.replace(
                "md-content__inner md-typeset", "md-content__inner md-typeset one-sheet", 1
            )
        whole = with_buttons(whole.replace('="{root}', f'="{way}'))
        return (
            self.with_one_file(whole, page, way, Path(config.site_dir))
            if self.has_one_file(page.file.src_uri)
            else whole
        )

    def with_one_file(self, whole: str, page: Page, way: str, site: Path) -> str:
        """Writes the page as one file beside the guide's folders, and gives the page with a link to
        it.
        """
        target = site / one_file_path_of(page.url)
        target.parent.mkdir(parents=True, exist_ok=True)
        title, description = (str(page.meta.get(key, "")) for key in ("title", "description"))
        target.write_text(
            one_file(
                whole, unescape(title), unescape(description), page_stylesheet(""), self.asset
            ),
            encoding="utf-8",
            newline="\n",
        )
        before, end, after = whole.rpartition("</article>")
        return f"{before}{one_file_link(one_file_path_of(page.url), way)}{end}{after}"

    def has_one_file(self, path: str) -> bool:
        """Chapters and quizzes are opened on phones, which show one file without its folder."""
        return path.startswith("quizzes/") or any(
            page.path == path and page.front.chapter for page in self.guide.chapters
        )

    def asset(self, path: str) -> bytes:
        """A file of content/ for a page that stands alone."""
        content, problems = bytes_of_file(self.root / "content" / path, f"content/{path}")
        if problems:
            raise PluginError("\n".join(map(str, problems)))
        return content

    def on_post_template(
        self, output_content: str, *, template_name: str, config: MkDocsConfig
    ) -> str:
        return (
            accessible(without_indentation(output_content))
            if template_name.endswith(".html")
            else output_content
        )

    @event_priority(-200)  # after the search index was written and made a script
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        if not getattr(self, "previewing", False):
            made_lean(Path(config.site_dir))
            put_licences(Path(config.site_dir))


def _items_below(items: Iterable[StructureItem]) -> Iterator[StructureItem]:
    """Every section, page and link of a navigation."""
    for item in items:
        yield item
        yield from _items_below(getattr(item, "children", None) or ())


def sheets_of(guide: Guide) -> list[PageSheet]:
    """Every page made from data."""
    return [
        jobs_page(guide),
        *(sheet for job in guide.jobs for sheet in job_sheets(job, guide)),
        *guide.quizzes,
        *mistakes_sheets(guide.jobs, guide.mistakes),
        *reading_pages(guide),
        *rules_pages(),
        clauses_page(guide),
        *tables_pages(),
        *words_pages(guide),
        *teaching_pages(guide),
    ]


def teaching_pages(guide: Guide) -> list[PageSheet]:
    """The page for tutors; none in a project without outcomes."""
    return [teaching_page(guide)] if guide.outcomes else []


def words_pages(guide: Guide) -> list[PageSheet]:
    """Words and symbols; none in a project without a glossary."""
    return [glossary_page(guide)] if guide.glossary else []


def reading_pages(guide: Guide = Guide()) -> list[PageSheet]:
    """What a reader of the drawings needs beside them."""
    return [symbols_page(), colours_page(guide.jobs)]


def job_sheets(job: Completed, guide: Guide) -> list[PageSheet]:
    """The page of a job and the pages of its working."""
    name = job.installation.name
    drawings = {
        view: guide.drawings[name, view] for view in PAGE_VIEWS if (name, view) in guide.drawings
    }
    fitting = [fitting_page(job, drawings["wiring"])] if "wiring" in drawings else []
    curves = charts_page(job)
    with noted(job.installation.rules, job.read):
        made = [
            installation_page(job, drawings, curves is not None, guide.layouts.get(name)),
            *working_pages(job),
            *fitting,
            readings_page(job),
            passes_page(job),
            job_clauses_page(job),
            *([curves] if curves else []),
        ]
    return (
        [sheet_in_nec_words(sheet) for sheet in made] if job.installation.rules == "nec" else made
    )


def chapter_paths(guide: Guide) -> list[str]:
    """The chapters in the order in which they are learnt, then those that belong to none."""
    own = [page for page in guide.chapters if page.path.startswith("chapters/")]
    order = {chapter.id: place for place, chapter in enumerate(guide.outcomes)}
    return [
        page.path
        for page in sorted(
            own, key=lambda page: (order.get(page.front.chapter, len(order)), page.path)
        )
    ]


def in_tens(paths: list[str]) -> list[Any]:
    """The index, then the boards ten by ten: a column of fifty hides the rest of the navigation."""
    index, boards = paths[:1], paths[1:]
    tens = [boards[first : first + 10] for first in range(0, len(boards), 10)]
    return [
        *index,
        *(
            {f"Boards {10 * place + 1} to {10 * place + len(ten)}": ten}
            for place, ten in enumerate(tens)
        ),
    ]


def with_made_pages(nav: Any, guide: Guide, sheets: list[PageSheet]) -> list[Any]:
    """The navigation of mkdocs.yml with the jobs and quizzes before its last entry."""
    entries = [
        (
            {LEARN: [*chapter_paths(guide), *entry[LEARN]]}
            if isinstance(entry, dict) and LEARN in entry
            else entry
        )
        for entry in nav or []
    ]
    jobs = [
        {
            job.installation.title: [
                sheet.path
                for sheet in sheets
                if sheet.path.startswith(f"jobs/{job.installation.name}/")
            ]
        }
        for job in guide.jobs
    ]
    made: list[Any] = [{"Jobs": ["jobs/index.md", *jobs]}]
    if guide.quizzes:
        made.append({"Quizzes": [{sheet.title: sheet.path} for sheet in guide.quizzes]})
    if guide.mistakes:
        made.append({"Boards with a mistake": in_tens(mistakes_paths(guide.jobs, guide.mistakes))})
    made += [
        {
            title: [
                page.path
                for page in [
                    *(each for each in guide.chapters if each.path == f"{folder}index.md"),
                    *pages_in(guide, folder),
                ]
            ]
        }
        for title, folder in (("Decisions", REFRESH), ("Quick cards", CARDS))
        if pages_in(guide, folder)
    ]
    tutors = (
        [sheet.path for sheet in teaching_pages(guide)]
        + [page.path for page in pages_in(guide, TUTORS)]
        + [sheet.path for sheet in sheets if sheet.path.startswith(TUTORS)]
    )
    made += [{"Teach it": tutors}] if len(tutors) > 1 else tutors
    made.append({"Reading the drawings": [sheet.path for sheet in reading_pages()]})
    made.append(
        {
            "Rules and tables": [
                sheet.path for sheet in (*rules_pages(), clauses_page(guide), *tables_pages())
            ]
        }
    )
    made += [sheet.path for sheet in words_pages(guide)]
    return entries[:-1] + made + entries[-1:]
