"""Quiz, working: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.forms.working import answers, exported, keys, shown, worked

FORM = Form(
    key=answers.WorkingKey,
    marked=answers.marked,
    most_points=answers.most_points,
    fields=shown.fields,
    room=shown.room,
    how="Work the figures on paper, then open the answer.",
    flaws=worked.flaws,
    right=answers.right,
    wrong=answers.wrong,
    by_mistake=answers.by_mistake,
    legible=answers.legible,
    exported=exported.exported,
    responses=exported.responses,
    interaction="other",
    accepted=lambda key: (
        "A point for each figure; one that follows rightly from the learner's own earlier figure"
        " counts."
    ),
    named_mistakes=answers.named_mistakes,
)
KIND = QuestionKind(
    "working",
    5.0,
    keys.WrittenWorking,
    keys.read,
    worked.worked_working,
    asks=lambda own: str([str(part.answer) for part in own.parts]),
)
