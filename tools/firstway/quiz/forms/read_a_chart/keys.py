"""Quiz, read a chart: what its author writes."""

from __future__ import annotations

from firstway.quiz.bank.keys import Keys
from firstway.quiz.bank.own_keys import GivenBeside
from firstway.quiz.forms.number.keys import AskedNumber, number_of_keys
from firstway.quiz.forms.one_answer import keys as one_answer
from firstway.quiz.forms.option_keys import AskedOptions

CHART_SLACK_PERCENT = 10.0
"""A figure read off a chart with logarithmic scales, by eye (common practice)."""
LARGEST_CHART_SLACK_PERCENT = 15.0


def read(keys: Keys, beside: GivenBeside) -> AskedNumber | AskedOptions:
    drawing = beside.drawing
    if drawing is not None and drawing.view != "chart" or "drawing" not in keys.entries.values:
        keys.reader.say(
            keys.line_of("drawing"),
            f"{keys.what}: a chart is read off a drawing of view 'chart'",
            "add `drawing: {view: chart, of: ..., chart: ...}`",
        )
    if "options" in keys.entries.values:
        return one_answer.read(keys, beside)
    return number_of_keys(keys, beside, CHART_SLACK_PERCENT, LARGEST_CHART_SLACK_PERCENT)
