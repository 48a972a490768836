"""Pages: the ways into the guide, made from what it holds: chapters with progress, decisions to
refresh, quick cards.
"""

from __future__ import annotations

from firstway.files.reads import note_read
from firstway.pages.chapters.reading_length import minutes
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, Project
from firstway.pages.shared.state import STATE_SCRIPTS, quiz_state
from firstway.rendering.html import Markup, joined, tag

REFRESH, CARDS = "refresh/", "cards/"
_KEPT = (
    "Your ticks stay on this device as a convenience: clearing the browser or moving the folder"
    " loses them. The file you save is the record that lasts. It holds no name."
)


def list_of_chapters(guide: Guide) -> Markup:
    """The chapters in the order in which they are learnt; a tick for each, which a script shows and
    keeps.
    """
    items = joined(
        _chapter_item(guide, place, chapter.id, chapter.title)
        for place, chapter in enumerate(guide.project.outcomes, 1)
    )
    return (
        tag("ol", items, class_="way-chapters", data_progress=True)
        + tag(
            "div",
            tag("p", role="status", class_="progress-count"),
            tag(
                "p",
                tag("button", "Save my progress to a file", type="button", class_="progress-save"),
                " ",
                tag(
                    "label",
                    "Load my progress ",
                    tag("input", type="file", accept=".json,application/json"),
                    class_="progress-load",
                ),
                class_="progress-buttons",
            ),
            tag("p", _KEPT, class_="cite"),
            class_="progress",
            hidden=True,
        )
        + STATE_SCRIPTS
    )


def _chapter_item(guide: Guide, place: int, name: str, title: str) -> Markup:
    page = guide.project.chapter_page(name)
    if page is None:
        return tag(
            "li",
            tag("span", title, class_="way-title"),
            " ",
            tag("span", "coming", class_="way-note"),
            class_="coming",
        )
    quiz = next((sheet for sheet in guide.quizzes if sheet.path == f"quizzes/{name}.md"), None)
    quick = (
        Markup(
            ', <a href="{{root}}quizzes/{}.html">quiz<span class="unseen-words"> of {}</span>'
            "</a> {}"
        ).format(name, title, quiz_state(guide.project, name))
        if quiz
        else ""
    )
    return tag(
        "li",
        tag("a", title, class_="way-title", href=f"{{root}}{page.html_path}"),
        " ",
        tag("span", _minutes(page), " minutes", quick, class_="way-note"),
        " ",
        tag(
            "label",
            tag("input", type="checkbox"),
            " read",
            tag("span", f": {title}", class_="unseen-words"),
            class_="way-done",
            hidden=True,
        ),
        data_chapter=name,
    )


def _minutes(page: Chapter) -> int:
    note_read(f"minutes {page.path}")
    return minutes(page.unnoted_text())


def pages_in(project: Project, folder: str) -> list[Chapter]:
    """The pages of a folder by the number their head gives, then by name; its index is not among
    them.
    """
    own = [
        page
        for page in project.chapters
        if page.path.startswith(folder) and not page.path.endswith("/index.md")
    ]
    return sorted(
        own,
        key=lambda page: (page.front.place, page.path),
    )


def list_of_decisions(project: Project) -> Markup:
    """A card for each decision an installer looks up, surge first."""
    return _cards(pages_in(project, REFRESH))


def list_of_cards(project: Project) -> Markup:
    """A card for each quick card."""
    return _cards(pages_in(project, CARDS))


def _cards(pages: list[Chapter]) -> Markup:
    items = joined(
        tag(
            "a",
            tag("span", page.front.title, class_="card-title"),
            tag("span", page.front.description, class_="card-line"),
            class_="card",
            href=f"{{root}}{page.html_path}",
        )
        for page in pages
    )
    return tag("div", items, class_="cards") if items else tag("p", "None yet.")
