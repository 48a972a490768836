"""Quiz, match: what stands in this folder, in one value."""

from __future__ import annotations

from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.forms.match import answers, exported, keys, shown, worked

FORM = Form(
    key=answers.MatchKey,
    marked=answers.marked,
    most_points=answers.most_points,
    fields=shown.fields,
    room=shown.room,
    how="Find the partner of each, then open the answer.",
    flaws=worked.flaws,
    right=answers.right,
    wrong=answers.wrong,
    exported=exported.exported,
    responses=exported.responses,
    interaction="matching",
    relettered=answers.relettered,
    from_paper=answers.from_paper,
    in_words=answers.in_words,
    accepted=lambda key: "A point for each row.",
    each_counts=True,
    grouped=answers.grouped,
    chosen_words=answers.chosen_words,
)
KIND = QuestionKind("match", 2.0, keys.WrittenMatch, keys.read, worked.worked_match)
