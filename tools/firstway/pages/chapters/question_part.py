"""Pages: one question of the bank in a chapter.

Each option opens and says whether it is right: no script, no mark kept.
"""

from __future__ import annotations

from firstway.drawing.svg import Drawn
from firstway.pages.shared.picture import picture_html
from firstway.quiz.forms.registry import form_of
from firstway.quiz.forms.shown_question import Lettered, Shown, shown_question
from firstway.quiz.forms.worked_question import (
    Content,
    Figure,
    WorkedOption,
    WorkedQuestion,
    content_text,
    html_of,
)
from firstway.rendering.html import Markup, joined, tag


def chapter_question_html(worked: WorkedQuestion) -> Markup:
    """The question with its answers folded, of any kind; its drawing stands above its options."""
    face = shown_question(worked)
    must = (
        Markup(' <span class="quiz-must">Safety: know this one for sure.</span>')
        if worked.question.safety
        else ""
    )
    drawing = picture_html(worked.drawing) if isinstance(worked.drawing, Drawn) else ""
    return tag(
        "section",
        tag("p", "Quick question", class_="quick-head"),
        tag("p", html_of(worked.stem), must, class_="quick-stem"),
        drawing,
        tag("p", form_of(worked.key).how, class_="cite"),
        _asked(face, worked),
        _answer(worked),
        class_="quick",
        id=f"question-{worked.id.replace('.', '-')}",
    )


def _asked(face: Shown, worked: WorkedQuestion) -> Markup:
    """What is to be chosen, ordered, matched or worked."""
    if any(option.right for option in worked.options):
        letters = face.points_at_drawing
        return joined(
            _option(option, f"{option.id}: " if letters else "") for option in worked.options
        )
    if face.parts:
        return tag("ol", joined(tag("li", ask) for ask, _ in face.parts))
    return joined(_lettered(rows) for rows in (face.rows, face.items, face.choices) if rows)


def _lettered(rows: Lettered) -> Markup:
    items = (tag("li", tag("strong", letter), f" {words}") for letter, words in rows)
    return tag("ul", *items, class_="lettered")


def _option(option: WorkedOption, letter: str = "") -> Markup:
    verdict = (
        Markup("<strong>Right.</strong> ")
        if option.right
        else Markup("<strong>Not this:</strong> {}. ").format(option.mistake)
    )
    return tag(
        "details",
        tag("summary", f"{letter}{content_text(option.content)}"),
        tag("p", verdict, html_of(option.feedback)),
        class_="more choice",
    )


def _answer(worked: WorkedQuestion) -> Markup:
    wrong = joined(
        tag("li", f"{item.value.text}: {item.mistake}. ", html_of(item.feedback))
        for item in worked.mistakes
    )
    source = (
        tag("p", f"Source: {worked.question.source}", class_="cite")
        if worked.question.source
        else ""
    )
    not_these = (tag("p", "Not these:") + tag("ul", wrong)) if wrong else ""
    return tag(
        "details",
        tag("summary", "Answer and why"),
        tag("p", tag("strong", _content(worked.answer))),
        tag("p", html_of(worked.why)),
        not_these,
        source,
        class_="more choice-answer",
    )


def _content(content: Content) -> str:
    if isinstance(content, tuple):
        return html_of(content)
    return content.html if isinstance(content, Figure) else content.text
