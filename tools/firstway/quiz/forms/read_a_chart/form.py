"""Quiz, read a chart: what its author writes, and how that becomes a question with a key."""

from __future__ import annotations

from firstway.files.specs import Section, Sections, key, positive
from firstway.frozen import dataclass
from firstway.quiz.bank.written import (
    MOST_MISTAKES,
    GivenBeside,
    WrittenMistake,
    WrittenQuestion,
    need,
)
from firstway.quiz.forms.form import Look, QuestionKind
from firstway.quiz.forms.number.form import AskedNumber, WrittenAnswer, number_of, worked_number
from firstway.quiz.forms.one_answer.form import worked_choice
from firstway.quiz.forms.options import (
    MOST_OPTIONS,
    AskedOptions,
    WrittenOption,
    complain_of_typed,
    options_of,
)
from firstway.quiz.forms.worked_question import Filled, WorkedQuestion

CHART_SLACK_PERCENT = 10.0
"""A figure read off a chart with logarithmic scales, by eye (common practice)."""
LARGEST_CHART_SLACK_PERCENT = 15.0


@dataclass(frozen=True)
class WrittenChartAnswer(WrittenAnswer):
    """A figure that is read off."""

    slack_percent: float = key(
        positive(LARGEST_CHART_SLACK_PERCENT),
        "how far a right answer may lie off",
        "15",
        absent=CHART_SLACK_PERCENT,
    )


@dataclass(frozen=True)
class WrittenChart(WrittenQuestion):
    """A chart is read: a figure, by `answer` and `mistakes`, or one of `options`."""

    answer: WrittenChartAnswer | None = key(Section(WrittenChartAnswer), "the right figure")
    mistakes: tuple[WrittenMistake, ...] = key(
        Sections(WrittenMistake, at_most=MOST_MISTAKES), "wrong figures that learners come to"
    )
    options: tuple[WrittenOption, ...] = key(
        Sections(WrittenOption, at_most=MOST_OPTIONS), "what is chosen from"
    )


def read(question: WrittenChart, beside: GivenBeside) -> AskedNumber | AskedOptions:
    if question.drawing is None or question.drawing.view != "chart":
        beside.say(
            question.line_of("drawing"),
            "a chart is read off a drawing of view 'chart'",
            "add `drawing: {view: chart, of: ..., chart: ...}`",
        )
    if question.options:
        options = options_of(question.options, beside)
        complain_of_typed(question, options, beside)
        return AskedOptions(options)
    need(question, beside, "answer", "mistakes")
    return number_of(question.answer or WrittenChartAnswer(), question.mistakes, beside)


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
    WrittenChart,
    read,
    worked_chart,
    asks=lambda own: str(getattr(own, "answer", "")),
)
