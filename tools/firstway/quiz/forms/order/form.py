"""Quiz, order: what stands in this folder, in one value."""

from __future__ import annotations

from functools import partial

from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.forms.lettered import letters_in_words
from firstway.quiz.forms.order import answers, exported, keys, shown, worked
from firstway.quiz.forms.qti_terms import lettered_response

FORM = Form(
    key=answers.OrderKey,
    marked=answers.marked,
    fields=shown.fields,
    room=shown.room,
    how="Put them in order, then open the answer.",
    flaws=worked.flaws,
    right=answers.right,
    wrong=answers.wrong,
    exported=exported.exported,
    responses=partial(lettered_response, cardinality="ordered"),
    interaction="sequencing",
    relettered=answers.relettered,
    from_paper=answers.from_paper,
    in_words=letters_in_words,
    chosen_words=answers.chosen_words,
)
KIND = QuestionKind("order", 2.0, keys.WrittenOrder, keys.read, worked.worked_order, varies=False)
