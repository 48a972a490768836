"""Quiz, number: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.figures import named_windows, typed_mistake, typed_right, typed_wrong
from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.forms.number import answers, exported, keys, shown, worked

FORM = Form(
    key=answers.NumberKey,
    marked=answers.marked,
    fields=shown.fields,
    room=shown.room,
    how="Work it out on paper, then open the answer.",
    flaws=worked.flaws,
    right=typed_right,
    wrong=typed_wrong,
    by_mistake=typed_mistake,
    exported=exported.exported,
    responses=exported.responses,
    interaction="numeric",
    accepted=lambda key: f"Accepted from {key.low:.4g} to {key.high:.4g} {key.unit}.",
    named_mistakes=named_windows,
)
KIND = QuestionKind(
    "number",
    3.0,
    keys.WrittenNumber,
    keys.read,
    worked.worked_number,
    asks=lambda own: str(own.answer),
)
