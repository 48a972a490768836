"""Pages: what a reader who was here before finds at home, and the quizzes with how they went; a
script fills both from what the device holds.
"""

from __future__ import annotations

from firstway.pages.quizzes.quiz_pages import pages_of_outcomes
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.sheet import AnySheet
from firstway.pages.shared.state import STATE_SCRIPTS, quiz_state
from firstway.rendering.html import Markup, joined, tag

_PRACTICE = "quizzes/today.md"


def where_you_are(guide: Guide) -> Markup:
    """Hidden until a script finds that the reader was here: how many chapters are done, the next to
    read, what comes back
    today, the last result, one button.
    """
    chapters = [
        _choice("chapter", each.id, each.title, page.html_path)
        for each in guide.project.outcomes
        if (page := guide.project.chapter_page(each.id))
    ]
    quizzes = [_choice("quiz", _id(each), each.title, _address(each)) for each in guide.quizzes]
    places = pages_of_outcomes(guide.project)
    outcomes = [
        tag("li", tag("a", outcome.text, href=places[outcome.id][1]), data_outcome=outcome.id)
        for chapter in guide.project.outcomes
        for outcome in chapter.outcomes
        if outcome.id in places
    ]
    practice = [
        _choice("practice", "today", each.title, _address(each))
        for each in guide.quizzes
        if each.path == _PRACTICE
    ]
    return (
        tag(
            "section",
            tag("p", tag("span", "Chapters done: ", class_="here-head"), class_="here-done"),
            tag("p", tag("span", "Next to read: ", class_="here-head"), class_="here-next"),
            tag("p", tag("span", "Comes back today: ", class_="here-head"), class_="here-back"),
            tag("ul", class_="here-outcomes"),
            tag("p", tag("span", "Last result: ", class_="here-head"), class_="here-last"),
            tag("p", tag("a", class_="here-go"), class_="here-button"),
            tag(
                "ul",
                *chapters,
                *quizzes,
                *outcomes,
                *practice,
                class_="here-choices",
                hidden=True,
            ),
            class_="been-here",
            aria_label="Where you are",
            hidden=True,
        )
        + STATE_SCRIPTS
    )


def list_of_quizzes(guide: Guide) -> Markup:
    """Every quiz in one line: those of chapters as they are read, then the others."""
    if not guide.quizzes:
        return tag("p", "No quiz yet.")
    places = [chapter.id for chapter in guide.project.outcomes]
    quick = [each for each in guide.quizzes if _id(each) in places]
    others = [each for each in guide.quizzes if _id(each) not in places]
    lists = [
        tag("h2", title) + tag("ul", *(_quiz_item(guide, each) for each in own), class_="way-list")
        for title, own in (("Of a chapter", quick), ("Mixed", others))
        if own
    ]
    return joined(lists) + STATE_SCRIPTS


def _quiz_item(guide: Guide, sheet: AnySheet) -> Markup:
    note = sheet.description.partition(". ")[0]
    return tag(
        "li",
        tag("a", sheet.title, class_="way-title", href=f"{{root}}{_address(sheet)}"),
        " ",
        tag("span", note, class_="way-note"),
        " ",
        quiz_state(guide.project, _id(sheet)),
    )


def _choice(kind: str, name: str, title: str, path: str) -> Markup:
    return tag("li", tag("a", title, href=f"{{root}}{path}"), **{f"data_{kind}": name})


def _id(sheet: AnySheet) -> str:
    return sheet.path.removeprefix("quizzes/").removesuffix(".md")


def _address(sheet: AnySheet) -> str:
    return f"{sheet.path.removesuffix('.md')}.html"
