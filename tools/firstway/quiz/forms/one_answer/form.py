"""Quiz, one answer: what stands in this folder, in one value."""

from __future__ import annotations

from functools import partial

from firstway.quiz.forms.form import Form, QuestionKind
from firstway.quiz.forms.lettered import in_any_order, in_any_order_from_paper, letters_in_words
from firstway.quiz.forms.one_answer import answers, exported, keys, worked
from firstway.quiz.forms.option_keys import WrittenChoice
from firstway.quiz.forms.options import named_options, option_letters, options_html, right_options
from firstway.quiz.forms.qti_terms import lettered_response

FORM = Form(
    key=answers.OneAnswerKey,
    marked=answers.marked,
    fields=partial(options_html, kind="radio"),
    room=option_letters,
    how="Choose one, then open it.",
    flaws=worked.flaws,
    right=right_options,
    wrong=answers.wrong,
    by_mistake=answers.by_mistake,
    exported=exported.exported,
    responses=partial(lettered_response, cardinality="single"),
    interaction="choice",
    relettered=in_any_order,
    from_paper=in_any_order_from_paper,
    in_words=letters_in_words,
    named_mistakes=named_options,
)
KIND = QuestionKind("one-answer", 1.0, WrittenChoice, keys.read, worked.worked_choice)
