"""Quiz, several answers: what its author writes, how that becomes a question with a key, and how it
is shown and exported.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from firstway.files.specs import Flag, key
from firstway.frozen import dataclass
from firstway.quiz.bank.written import GivenBeside
from firstway.quiz.forms.answered import in_any_order, in_any_order_from_paper, letters_in_words
from firstway.quiz.forms.form import Form, Look, QuestionKind
from firstway.quiz.forms.options import (
    AskedOptions,
    WrittenChoice,
    chosen_flaws,
    complain_of_typed,
    keys_of_options,
    lettered_options,
    named_options,
    option_content,
    option_letters,
    options_html,
    options_of,
    right_options,
    worked_options,
)
from firstway.quiz.forms.qti_terms import (
    ItemTerms,
    LetteredSpot,
    Term,
    declared,
    lettered_response,
    mapped,
    mapping,
    option_name,
    prompted,
    simple_choices,
)
from firstway.quiz.forms.several_answers import answers
from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.worked_question import (
    Filled,
    Flaw,
    WorkedQuestion,
    content_text,
    text_of,
    without_stop,
)


@dataclass(frozen=True)
class WrittenChoices(WrittenChoice):
    """Several answers are right."""

    tell_count: bool = key(Flag(), "whether learners are told how many are right")


def read(question: WrittenChoices, beside: GivenBeside) -> AskedOptions:
    options = options_of(question.options, beside, several=True)
    complain_of_typed(question, options, beside)
    rights = sum(option.right for option in options)
    if rights < 2 or rights == len(options):
        beside.say(
            question.line,
            f"{rights} of {len(options)} options are right",
            "mark two or more right, and leave one wrong",
        )
    return AskedOptions(options, question.tell_count)


def worked_several(
    look: Look, asked: AskedOptions, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """Several right answers; arithmetic counts from the first right figure."""
    first = next((option for option in asked.options if option.right), None)
    right = option_content(look, first, None) if first else None
    if right is None:
        return None
    ordered = lettered_options(look, worked_options(look, asked.options, right))
    answer: Filled = (
        "; ".join(without_stop(content_text(option.content)) for option in ordered if option.right),
    )
    return WorkedQuestion(
        look.question,
        stem,
        why,
        answer,
        answers.SeveralAnswersKey(keys_of_options(ordered), text_of(answer), text_of(why)),
        options=ordered,
        tell_count=asked.tell_count,
    )


def flaws(key: answers.SeveralAnswersKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    yield from chosen_flaws(worked)
    rights, of = sum(option.right for option in worked.options), len(worked.options)
    if not 2 <= rights < of:
        yield Flaw(
            worked.question.line,
            f"{rights} of {of} options are right",
            "two or more must be, and one must not",
        )


# how it is shown and exported


def exported(
    key: answers.SeveralAnswersKey,
    shown: Shown,
    picture: Term | None,
    spots: Sequence[LetteredSpot],
) -> ItemTerms:
    """A choice of several: a point for each right one, one off for each wrong one."""
    right = [option_name(option.id) for option in key.options if option.right]
    points = [(option_name(option.id), 1 if option.right else -1) for option in key.options]
    body = prompted(
        "qti-choice-interaction",
        shown.stem,
        {"shuffle": "false", "max-choices": 0},
        *simple_choices(shown.choices),
        picture=picture,
    )
    response = declared(
        "RESPONSE", "multiple", "identifier", right, mapping(points, answers.most_points(key))
    )
    return ItemTerms((response,), body, (mapped(),))


FORM = Form(
    key=answers.SeveralAnswersKey,
    marked=answers.marked,
    most_points=answers.most_points,
    fields=partial(options_html, kind="checkbox"),
    room=option_letters,
    how="Choose all that are right, then open them.",
    flaws=flaws,
    right=right_options,
    wrong=answers.wrong,
    by_mistake=answers.by_mistake,
    exported=exported,
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
KIND = QuestionKind("several-answers", 1.5, WrittenChoices, read, worked_several)
