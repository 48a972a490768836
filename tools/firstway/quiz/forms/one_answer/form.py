"""Quiz, one answer: what its author writes, how that becomes a question with a key, and how it
is shown and exported.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from firstway.quiz.bank.question import DEFAULT_SLACK_PERCENT
from firstway.quiz.bank.written import GivenBeside
from firstway.quiz.forms.answered import in_any_order, in_any_order_from_paper, letters_in_words
from firstway.quiz.forms.form import Form, Look, QuestionKind
from firstway.quiz.forms.one_answer import answers
from firstway.quiz.forms.options import (
    AskedOptions,
    OptionKey,
    WrittenChoice,
    chosen_flaws,
    complain_of_typed,
    decimals_of,
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
    if_right,
    lettered_response,
    matches,
    option_name,
    prompted,
    qti_term,
    simple_choices,
)
from firstway.quiz.forms.shown_question import Shown
from firstway.quiz.forms.worked_question import (
    Content,
    Filled,
    Flaw,
    WorkedOption,
    WorkedQuestion,
    content_text,
    content_value,
    text_of,
    window,
    without_stop,
)


def read(question: WrittenChoice, beside: GivenBeside) -> AskedOptions:
    options = options_of(question.options, beside)
    complain_of_typed(question, options, beside)
    return AskedOptions(options)


def worked_choice(
    look: Look, asked: AskedOptions, stem: Filled, why: Filled
) -> WorkedQuestion | None:
    """One answer of several options."""
    first = next((option for option in asked.options if option.right), None)
    if first is None:
        look.say(look.question.line, "no option is right", "mark one option with `right: true`")
        return None
    right = option_content(look, first, None)
    if right is None:
        return None
    return choice_with(look, stem, why, right, worked_options(look, asked.options, right))


def choice_with(
    look: Look, stem: Filled, why: Filled, right: Content, options: Sequence[WorkedOption]
) -> WorkedQuestion:
    """A question of one answer with its options at hand."""
    ordered = lettered_options(look, options)
    key = answers.OneAnswerKey(
        keys_of_options(ordered), without_stop(content_text(right)), text_of(why)
    )
    return WorkedQuestion(look.question, stem, why, right, key, options=ordered)


def flaws(key: answers.OneAnswerKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    yield from chosen_flaws(worked)
    rights = [option for option in worked.options if option.right]
    if len(rights) != 1:
        yield Flaw(worked.question.line, f"{len(rights)} options are right", "exactly one must be")
    if any(isinstance(option.content, tuple) for option in worked.options):
        return
    for right in rights:
        low, high = window(content_value(right.content), decimals_of(right), DEFAULT_SLACK_PERCENT)
        for option in worked.options:
            # A wrong figure that nobody who rounds could tell from the right one.
            if not option.right and low <= content_value(option.content) <= high:
                yield Flaw(
                    option.line,
                    f"'{content_text(option.content)}' is right as well, within rounding",
                    "choose another mistake or other figures",
                    mixes=True,
                )


# how it is shown and exported


POINT_HINT = "Choose the letter in the drawing. What each letter stands for:"


def exported(
    key: answers.OneAnswerKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """A choice of one, or of one spot of the picture."""
    right = [option_name(option.id) for option in key.options if option.right]
    body = (
        _pointed(shown, picture, spots)
        if picture and spots
        else prompted(
            "qti-choice-interaction",
            shown.stem,
            {"shuffle": "false", "max-choices": 1},
            *simple_choices(shown.choices),
            picture=picture,
        )
    )
    return ItemTerms(
        (declared("RESPONSE", "single", "identifier", right),),
        body,
        (if_right(matches("RESPONSE")),),
        tuple((option_name(option.id), _said(key, option)) for option in key.options),
    )


def _said(key: answers.OneAnswerKey, option: OptionKey) -> str:
    """Why it is right, or what is wrong with it."""
    wrong = f"{option.mistake}. {option.feedback}".strip()
    return key.why if option.right else wrong


def _pointed(shown: Shown, picture: Term, spots: Sequence[LetteredSpot]) -> tuple[Term, ...]:
    """The words of each letter, and the picture to point at."""
    listed = (
        qti_term("li", {}, qti_term("strong", {}, letter), f" {words}")
        for letter, words in shown.choices
    )
    pointing = prompted(
        "qti-hotspot-interaction",
        shown.stem,
        {"max-choices": 1},
        picture,
        *map(_hotspot, spots),
        picture=None,
    )
    return (qti_term("p", {}, POINT_HINT), qti_term("ul", {}, *listed), *pointing)


def _hotspot(spot: LetteredSpot) -> Term:
    letter, words, corners = spot
    return qti_term(
        "qti-hotspot-choice",
        {
            "identifier": option_name(letter),
            "shape": "rect",
            "hotspot-label": f"{letter}: {words}",
            "coords": corners,
        },
    )


FORM = Form(
    key=answers.OneAnswerKey,
    marked=answers.marked,
    fields=partial(options_html, kind="radio"),
    room=option_letters,
    how="Choose one, then open it.",
    flaws=flaws,
    right=right_options,
    wrong=answers.wrong,
    by_mistake=answers.by_mistake,
    exported=exported,
    responses=partial(lettered_response, cardinality="single"),
    interaction="choice",
    relettered=in_any_order,
    from_paper=in_any_order_from_paper,
    in_words=letters_in_words,
    named_mistakes=named_options,
)
KIND = QuestionKind("one-answer", 1.0, WrittenChoice, read, worked_choice)
