"""Pages: the answers to directives that join a chapter to its outcomes, its questions and its
cards.
"""

from __future__ import annotations

from firstway.pages.chapters.answer import Answer, Complaint, unknown
from firstway.pages.chapters.question_part import chapter_question_html
from firstway.pages.chapters.reading_length import minutes
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, Project
from firstway.rendering.html import Markup, escape, joined, list_html, tag

_CARDS = {
    "device-choice": "Choosing the device",
    "residual-current": "Residual current types",
    "spd": "Surge protective device",
    "test-order": "Order of tests, with limits",
    "colours": "Colours of conductors",
}


def outcomes(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{outcomes: here}`: what the reader will be able to do, what to know first, how long it
    takes.
    """
    if arguments != ("here",):
        return Complaint("this directive has one form", "write {outcomes: here}")
    own = guide.project.outcomes_of(page.front.chapter)
    if own is None:
        return Complaint(
            "this page is no chapter",
            "put `chapter:` with an id of quiz/outcomes.yaml into its head",
        )
    aims = list_html((f"{outcome.text}." for outcome in own.outcomes), "outcomes")
    known = [
        _link(guide.project, name) for name in page.front.first if guide.project.outcomes_of(name)
    ]
    before = (
        Markup("Know first: {}.").format(joined(known, ", "))
        if known
        else "Nothing need be known first."
    )
    return Answer(
        tag(
            "section",
            tag("p", tag("strong", "After this chapter you can")),
            aims,
            tag(
                "p",
                before,
                f" About {minutes(page.text)} minutes of reading.",
                class_="aims-first",
            ),
            class_="aims",
            aria_label="What this chapter is for",
        )
    )


def _link(project: Project, name: str) -> Markup:
    found, page = project.outcomes_of(name), project.chapter_page(name)
    title = found.title if found else name
    return (
        tag("a", title, href=f"{{root}}{page.html_path}") if page else escape(f"{title} (coming)")
    )


def chapter(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{chapter: surge}`: a link to a chapter, or its title while it is still to come."""
    if len(arguments) != 1 or guide.project.outcomes_of(arguments[0]) is None:
        return unknown("chapter", " ".join(arguments), [each.id for each in guide.project.outcomes])
    return Answer(_link(guide.project, arguments[0]))


def question(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{question: ID}`: one practice question of the bank, its answer folded."""
    if len(arguments) != 1:
        return Complaint("a question is named by one word", "write {question: ID}")
    found = guide.questions.get(arguments[0])
    if found is None:
        return unknown("practice question", arguments[0], guide.questions)
    return Answer(chapter_question_html(found))


def quiz(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{quiz: CHAPTER}`: a link to the quick quiz of a chapter, or word that it is still
    to come.
    """
    if len(arguments) != 1:
        return Complaint("a quiz is named by one word", "write {quiz: CHAPTER-ID}")
    sheet = next(
        (sheet for sheet in guide.quizzes if sheet.path == f"quizzes/{arguments[0]}.md"), None
    )
    if sheet is None:
        own = guide.project.outcomes_of(arguments[0])
        if own is None:
            return unknown("quiz", arguments[0], [each.id for each in guide.project.outcomes])
        return Answer(
            tag(
                "p",
                "The quiz of this chapter, ",
                tag("em", own.title),
                ", is still to come.",
                class_="to-quiz",
            )
        )
    return Answer(
        tag(
            "p",
            tag(
                "a",
                tag("span", sheet.title, class_="card-title"),
                tag("span", sheet.description, class_="card-line"),
                class_="card",
                href=f"{{root}}{sheet.path.removesuffix('.md')}.html",
            ),
            class_="to-quiz",
        )
    )


def card(page: Chapter, guide: Guide, arguments: tuple[str, ...]) -> Answer | Complaint:
    """`{card: ID}`: a link to a quick card."""
    if len(arguments) != 1 or arguments[0] not in _CARDS:
        return unknown("card", " ".join(arguments), _CARDS)
    return Answer(
        tag(
            "p",
            tag(
                "a",
                tag("span", _CARDS[arguments[0]], class_="card-title"),
                tag("span", "Quick card, one sheet of A4", class_="card-line"),
                class_="card",
                href=f"{{root}}cards/{arguments[0]}.html",
            ),
            class_="to-card",
        )
    )
