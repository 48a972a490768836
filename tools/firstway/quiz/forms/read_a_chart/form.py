"""Quiz, read a chart: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.form import QuestionKind
from firstway.quiz.forms.number.keys import AskedNumber
from firstway.quiz.forms.number.worked import worked_number
from firstway.quiz.forms.one_answer.worked import worked_choice
from firstway.quiz.forms.option_keys import AskedOptions
from firstway.quiz.forms.read_a_chart import keys
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.words import Filled
from firstway.quiz.forms.worked_question import WorkedQuestion


def worked_chart(
    look: Look, asked: AskedNumber | AskedOptions, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """A figure to type, or options to choose from."""
    if isinstance(asked, AskedOptions):
        return worked_choice(look, asked, stem, why)
    return worked_number(look, asked, stem, why)


KIND = QuestionKind(
    "read-a-chart",
    1.5,
    keys.WrittenChart,
    keys.read,
    worked_chart,
    asks=lambda own: str(getattr(own, "answer", "")),
)
