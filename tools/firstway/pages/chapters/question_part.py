"""Pages: one question of the bank in a chapter.

Each option opens and says whether it is right: no script, no mark kept.
"""

from __future__ import annotations

from html import escape

from firstway.drawing.svg import Drawn
from firstway.pages.shared.picture import picture_html
from firstway.quiz.forms.shown_question import Lettered, Shown, shown_question
from firstway.quiz.forms.values import Content, WorkedOption, WorkedQuestion, content_text
from firstway.quiz.forms.words import Figure, html_of

HOW = {
    "one-answer": "Choose one, then open it.",
    "several-answers": "Choose all that are right, then open them.",
    "number": "Work it out on paper, then open the answer.",
    "working": "Work the figures on paper, then open the answer.",
    "order": "Put them in order, then open the answer.",
    "match": "Find the partner of each, then open the answer.",
}


def chapter_question_html(worked: WorkedQuestion) -> str:
    """The question with its answers folded, of any kind; its drawing stands above its options."""
    face = shown_question(worked)
    must = (
        ' <span class="quiz-must">Safety: know this one for sure.</span>'
        if worked.question.safety
        else ""
    )
    drawing = picture_html(worked.drawing) if isinstance(worked.drawing, Drawn) else ""
    return (
        f'<section class="quick" id="question-{escape(worked.id.replace(".", "-"))}"><p'
        ' class="quick-head">Quick question</p>'
        f'<p class="quick-stem">{html_of(worked.stem)}{must}</p>{drawing}<p'
        f' class="cite">{HOW[face.form]}</p>{_asked(face, worked)}{_answer(worked, face.form)}'
        f"</section>"
    )


def _asked(face: Shown, worked: WorkedQuestion) -> str:
    """What is to be chosen, ordered, matched or worked."""
    if face.form in ("one-answer", "several-answers"):
        letters = face.points_at_drawing
        return "".join(
            _option(option, f"{option.id}: " if letters else "") for option in worked.options
        )
    if face.form == "working":
        return f"<ol>{''.join(f'<li>{escape(ask)}</li>' for ask, _ in face.parts)}</ol>"
    return "".join(
        _lettered(rows)
        for rows in (face.rows, face.items, face.choices)
        if rows and face.form != "number"
    )


def _lettered(rows: Lettered) -> str:
    items = (
        f"<li><strong>{escape(letter)}</strong> {escape(words)}</li>" for letter, words in rows
    )
    return f'<ul class="lettered">{"".join(items)}</ul>'


def _option(option: WorkedOption, letter: str = "") -> str:
    verdict = (
        "<strong>Right.</strong> "
        if option.right
        else f"<strong>Not this:</strong> {escape(option.mistake)}. "
    )
    return (
        '<details class="more'
        f' choice"><summary>{escape(letter)}{escape(content_text(option.content))}</summary>'
        f"<p>{verdict}{html_of(option.feedback)}</p></details>"
    )


def _answer(worked: WorkedQuestion, form: str) -> str:
    wrong = "".join(
        f"<li>{escape(item.value.text)}: {escape(item.mistake)}. {html_of(item.feedback)}</li>"
        for item in worked.mistakes
    )
    source = (
        f'<p class="cite">Source: {escape(worked.question.source)}</p>'
        if worked.question.source
        else ""
    )
    not_these = f"<p>Not these:</p><ul>{wrong}</ul>" if wrong else ""
    return (
        '<details class="more choice-answer"><summary>Answer and'
        f" why</summary><p><strong>{_content(worked.answer)}</strong></p>"
        f"<p>{html_of(worked.why)}</p>{not_these}{source}</details>"
    )


def _content(content: Content) -> str:
    if isinstance(content, tuple):
        return html_of(content)
    return content.html if isinstance(content, Figure) else escape(content.text)
