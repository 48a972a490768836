"""Quiz: questions set once and put into many learners' papers: the very bytes `learner_html` gives,
in a fraction of the time.

A version of a question is the same for everybody who gets it but for its number and the name of a
drawing. Those places hold characters of Unicode's private use, which no text of the bank has, and
are filled in for each paper.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from firstway.frozen import dataclass
from firstway.quiz.forms.drawings import PageDrawings, Picture
from firstway.quiz.forms.shown_question import shown_question
from firstway.quiz.forms.worked_question import WorkedQuestion
from firstway.quiz.paper.fields import question_html, sheet_html
from firstway.quiz.paper.page import learner_html
from firstway.rendering.html import Markup, joined, tag

NUMBER, OF, _PLACE, DRAWING, _NAME, LEARNER, _ISSUE = (chr(0xE000 + place) for place in range(7))
_LIST, _ROWS = tag("ol", "\n", class_="quiz-questions"), Markup("<ol>\n\n</ol></section>")


class _Later(PageDrawings):
    """Notes the drawing of a question and leaves its places open."""

    def __init__(self) -> None:
        super().__init__(_NAME)
        self.noted: list[Picture] = []

    def svg(self, drawing: Picture) -> Markup:
        self.noted.append(drawing)
        super().svg(drawing)
        return Markup(DRAWING)


@dataclass(frozen=True)
class SetQuestion:
    """One version of one question. `drawing` is what tells its drawing from others; `first` and
    `again` are the drawing where it is written, and where it stands higher up already.
    """

    html: Markup
    row: Markup
    drawing: str = ""
    first: Markup = Markup()
    again: Markup = Markup()


@dataclass(frozen=True)
class Frame:
    """All of a paper but its questions, with the places of learner and issue code open."""

    before: Markup
    between: Markup
    after: Markup


def set_question(made: WorkedQuestion) -> SetQuestion:
    """One version, ready to be put into papers."""
    face, later = shown_question(made), _Later()
    html = question_html(face, NUMBER, OF, _PLACE, later)
    row = sheet_html("", [face]).rpartition("<ol>\n")[2].removesuffix("\n</ol></section>")
    if not later.noted:
        return SetQuestion(html, row)
    written = PageDrawings(_NAME, figures=1)
    first, again = written.svg(later.noted[0]), written.svg(later.noted[0])
    return SetQuestion(html, row, next(iter(written.written), ""), first, again)


def frame_of(
    title: str,
    paper: str,
    paper_version: str,
    introduction: str,
    edition: str,
    public_key: Mapping[str, Any] | None,
) -> Frame:
    """The paper without questions, cut where they belong."""
    whole = learner_html(
        title,
        [],
        paper=paper,
        paper_version=paper_version,
        learner=LEARNER,
        issue=_ISSUE,
        introduction=introduction,
        edition=edition,
        public_key=public_key,
    )
    before, _, rest = whole.partition(_LIST)
    between, seam, after = rest.partition(_ROWS)
    assert seam, "the frame of a paper has changed: put its seams right"
    return Frame(before, between, after)


def paper_html(frame: Frame, questions: Sequence[SetQuestion], learner: str, issue: str) -> Markup:
    """The body of one learner's paper.

    `learner` and `issue` are of letters, digits, hyphens and underscores.
    """
    names: dict[str, str] = {}
    drawn: list[SetQuestion] = []
    entries = [
        _entry(question, number, len(questions), names, drawn)
        for number, question in enumerate(questions, 1)
    ]
    parts = [
        frame.before,
        Markup('<ol class="quiz-questions">\n'),
        joined(entries, "\n"),
        Markup("\n</ol>"),
        frame.between,
        Markup("<ol>\n"),
        joined((question.row for question in questions), "\n"),
        Markup("\n</ol></section>"),
        frame.after,
    ]
    return joined(
        (
            part.replace(LEARNER, learner).replace(_ISSUE, issue)
            if part in (frame.before, frame.between, frame.after)
            else part
        )
        for part in parts
    )


def _entry(
    question: SetQuestion, number: int, of: int, names: dict[str, str], drawn: list[SetQuestion]
) -> Markup:
    html = (
        question.html.replace(NUMBER, str(number))
        .replace(OF, str(of))
        .replace(_PLACE, f"q-{number}")
    )
    if not question.first:
        return html
    drawn.append(question)
    known = question.drawing in names
    name = names.setdefault(question.drawing, f"p-d{len(names) + 1}")
    html = html.replace(DRAWING, question.again if known else question.first).replace(
        f"{_NAME}-d1", name
    )
    for part in ("l", "s"):
        html = html.replace(f"{_NAME}-{part}1", f"p-{part}{len(drawn)}")
    return html
