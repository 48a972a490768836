"""Quiz, working: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.form import Form, Kind
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
    mistaken=answers.mistaken,
    legible=answers.legible,
    exported=exported.exported,
    exportable=exported.without_following,
    responses=exported.responses,
    interaction="other",
    accepted=lambda key: answers.ACCEPTED,
    named=answers.named,
)
KIND = Kind(
    "working",
    5.0,
    keys.read,
    worked.worked_working,
    asks=lambda own: str([str(part.answer) for part in own.parts]),
)
