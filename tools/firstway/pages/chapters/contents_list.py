"""Pages: how much the guide holds, counted in the data so that the home page is never out
of date.
"""

from __future__ import annotations

from firstway.pages.reference.mistakes_pages import mistakes_paths
from firstway.pages.shared.guide import Guide
from firstway.rendering.html import Markup, counted, list_html, tag


def list_of_contents(guide: Guide) -> Markup:
    """How many of each the guide holds, with links to them."""
    number = len(
        mistakes_paths(guide.project.jobs, guide.project.mistakes, guide.stands)[1:]
    )  # the first path is their index
    shelf = guide.project.shelf
    chapters = sum(bool(page.front.chapter) for page in guide.project.chapters)
    kinds = (
        (counted(chapters, "chapter"), "chapters/index.html"),
        (counted(len(guide.project.jobs), "job"), "jobs/index.html"),
        (counted(len(guide.quizzes), "quiz", "quizzes"), "quizzes/index.html"),
        (counted(number, "board") + " with a mistake to find", "mistakes/index.html"),
        (counted(len(shelf.worked), "worked example"), "worked/index.html"),
        (counted(len(shelf.bench), "bench task"), "bench/index.html"),
    )
    present = [(words, way) for words, way in kinds if not words.startswith("0 ")]
    written = {f"{page.html_path}" for page in guide.project.chapters}
    return list_html(
        (
            tag("a", words, href=f"{{root}}{way}")
            if way in written or not way.startswith(("chapters/", "quizzes/"))
            else words
            for words, way in present
        ),
        "held-here",
    )
