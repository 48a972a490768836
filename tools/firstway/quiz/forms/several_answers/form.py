"""Quiz, several answers: what stands in this folder, in one value."""

from __future__ import annotations

from functools import partial

from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.forms.lettered import in_any_order, in_any_order_from_paper, letters_in_words
from firstway.quiz.forms.options import named_options, option_letters, options_html, right_options
from firstway.quiz.forms.qti_terms import lettered_response
from firstway.quiz.forms.several_answers import answers, exported, keys, worked

FORM = Form(
    key=answers.SeveralAnswersKey,
    marked=answers.marked,
    most_points=answers.most_points,
    fields=partial(options_html, kind="checkbox"),
    room=option_letters,
    how="Choose all that are right, then open them.",
    flaws=worked.flaws,
    right=right_options,
    wrong=answers.wrong,
    by_mistake=answers.by_mistake,
    exported=exported.exported,
    responses=partial(lettered_response, cardinality="multiple"),
    interaction="choice",
    relettered=in_any_order,
    from_paper=in_any_order_from_paper,
    in_words=letters_in_words,
    accepted=lambda key: (
        "A point for each right one, one off for each wrong one, not below nothing."
    ),
    named_mistakes=named_options,
    each_counts=True,
)
KIND = QuestionKind("several-answers", 1.5, keys.WrittenChoices, keys.read, worked.worked_several)
