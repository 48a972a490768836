"""Pages: the ways into the guide, made from what it holds: chapters with progress, decisions to
refresh, quick cards.
"""

from __future__ import annotations

from html import escape

from firstway.pages.chapters.reading_length import minutes
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, Project

REFRESH, CARDS = "refresh/", "cards/"
SCRIPT = '<script src="{root}assets/progress.js" defer></script>'
_KEPT = (
    "Your ticks stay on this device as a convenience: clearing the browser or moving the folder"
    " loses them. The file you save is the record that lasts. It holds no name."
)


def list_of_chapters(guide: Guide) -> str:
    """The chapters in the order in which they are learnt; a tick for each, which a script shows and
    keeps.
    """
    items = "".join(
        _chapter_item(guide, place, chapter.id, chapter.title)
        for place, chapter in enumerate(guide.project.outcomes, 1)
    )
    return (
        f'<ol class="way-chapters" data-progress>{items}</ol><div class="progress" hidden><p'
        ' role="status" class="progress-count"></p><p class="progress-buttons"><button'
        ' type="button" class="progress-save">Save my progress to a file</button> <label'
        ' class="progress-load">Load my progress <input type="file"'
        ' accept=".json,application/json"></label></p><p'
        f' class="cite">{escape(_KEPT)}</p></div>{SCRIPT}'
    )


def _chapter_item(guide: Guide, place: int, name: str, title: str) -> str:
    page = guide.project.chapter_page(name)
    if page is None:
        return (
            f'<li class="coming"><span class="way-title">{escape(title)}</span> <span'
            ' class="way-note">coming</span></li>'
        )
    quiz = next((sheet for sheet in guide.quizzes if sheet.path == f"quizzes/{name}.md"), None)
    quick = (
        f', <a href="{{root}}quizzes/{escape(name)}.html">quiz<span class="unseen-words"> of'
        f" {escape(title)}</span></a>"
        if quiz
        else ""
    )
    return (
        f'<li data-chapter="{escape(name)}"><a class="way-title"'
        f' href="{{root}}{escape(page.html_path)}">{escape(title)}</a> <span'
        f' class="way-note">{minutes(page.text)} minutes{quick}</span> <label class="way-done"'
        ' hidden><input type="checkbox"> done<span class="unseen-words">:'
        f" {escape(title)}</span></label></li>"
    )


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
        key=lambda page: (int(page.front.place) if page.front.place.isdigit() else 99, page.path),
    )


def list_of_decisions(project: Project) -> str:
    """A card for each decision an installer looks up, surge first."""
    return _cards(pages_in(project, REFRESH))


def list_of_cards(project: Project) -> str:
    """A card for each quick card."""
    return _cards(pages_in(project, CARDS))


def _cards(pages: list[Chapter]) -> str:
    items = "".join(
        f'<a class="card" href="{{root}}{escape(page.html_path)}"><span'
        f' class="card-title">{escape(page.front.title)}</span><span'
        f' class="card-line">{escape(page.front.description)}</span></a>'
        for page in pages
    )
    return f'<div class="cards">{items}</div>' if items else "<p>None yet.</p>"
