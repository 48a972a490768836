"""Pages: one question of the bank in a chapter. Each option opens and says whether it is right: no script, no mark kept."""

from __future__ import annotations

from html import escape

from firstway.quiz.values import Content, WorkedOption, WorkedQuestion, content_text
from firstway.quiz.words import Figure, html_of

SHOWN = ("one-answer", "several-answers", "number")


def question_html(worked: WorkedQuestion) -> str:
    """The question with its answers folded; "" for a kind that needs a page of its own."""
    if worked.question.kind not in SHOWN:
        return ""
    must = ' <span class="quiz-must">Safety: know this one for sure.</span>' if worked.question.must_pass else ""
    how = {"one-answer": "Choose one, then open it.", "several-answers": "Choose all that are right, then open them.",
           "number": "Work it out on paper, then open the answer."}[worked.question.kind]
    options = "".join(_option(option) for option in worked.options)
    return (f'<section class="quick" id="question-{escape(worked.id.replace(".", "-"))}"><p class="quick-head">Quick question</p>'
            f'<p class="quick-stem">{html_of(worked.stem)}{must}</p><p class="cite">{how}</p>{options}{_answer(worked)}</section>')


def _option(option: WorkedOption) -> str:
    verdict = "<strong>Right.</strong> " if option.right else f"<strong>Not this:</strong> {escape(option.mistake)}. "
    return (f'<details class="more choice"><summary>{escape(content_text(option.content))}</summary>'
            f"<p>{verdict}{html_of(option.feedback)}</p></details>")


def _answer(worked: WorkedQuestion) -> str:
    wrong = "".join(f"<li>{escape(item.value.text)}: {escape(item.mistake)}. {html_of(item.feedback)}</li>" for item in worked.mistakes)
    source = f'<p class="cite">Source: {escape(worked.question.source)}</p>' if worked.question.source else ""
    not_these = f"<p>Not these:</p><ul>{wrong}</ul>" if wrong else ""
    return (f'<details class="more choice-answer"><summary>Answer and why</summary><p><strong>{_content(worked.answer)}</strong></p>'
            f"<p>{html_of(worked.why)}</p>{not_these}{source}</details>")


def _content(content: Content) -> str:
    if isinstance(content, tuple):
        return html_of(content)
    return content.html if isinstance(content, Figure) else escape(content.text)
