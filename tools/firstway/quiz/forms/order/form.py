"""Quiz, order: what its author writes, how that becomes a question with a key, and how it
is shown and exported.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from firstway.files.specs import Name, Names, Prose, Section, Sections, key
from firstway.frozen import dataclass
from firstway.quiz.bank.written import (
    GivenBeside,
    Written,
    WrittenQuestion,
    need,
    sentence_of,
    source_needed,
)
from firstway.quiz.forms.answered import letters_in_words
from firstway.quiz.forms.form import Form, Look, QuestionKind
from firstway.quiz.forms.order import answers
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
    simple_choices,
)
from firstway.quiz.forms.shown_question import LETTER_ROOM, Shown, Slots
from firstway.quiz.forms.worked_question import (
    LETTERS,
    Filled,
    Flaw,
    WorkedOption,
    WorkedQuestion,
    content_text,
    option_flaws,
    text_of,
    without_stop,
)
from firstway.rendering.html import Markup, tag

FEWEST_STEPS, MOST_STEPS = 3, 7


@dataclass(frozen=True)
class WrittenStep(Written):
    """A step."""

    text: str = key(Prose(), "what is done", "Switch off the load", required=True)
    because: str = key(
        Prose(), "what is said when it is the first out of place", "a current would draw an arc"
    )


@dataclass(frozen=True)
class WrittenStages(Written):
    """The stages of a job's fitting as the steps."""

    stages: str = key(Name("small"), "the installation", "marram", required=True)
    only: tuple[str, ...] = key(Names("small"), "the stages that are kept", "[earth, bar, tails]")


@dataclass(frozen=True)
class WrittenOrder(WrittenQuestion):
    """Steps are put in order."""

    steps: tuple[WrittenStep, ...] = key(
        Sections(WrittenStep, FEWEST_STEPS, MOST_STEPS), "the steps in their right order"
    )
    steps_from: WrittenStages | None = key(
        Section(WrittenStages), "where the steps come from, if they are not written here"
    )


AskedSteps = tuple[WrittenStep, ...] | WrittenStages
"""The steps to put in order, or the job whose stages of fitting they are."""


def read(question: WrittenOrder, beside: GivenBeside) -> AskedSteps:
    if question.steps_from is not None:
        if question.steps:
            beside.say(
                question.line_of("steps"),
                "'steps' and 'steps_from' stand side by side",
                "keep one of them",
            )
        return _stages(question.steps_from, beside)
    need(question, beside, "steps")
    source_needed(question, beside, "the right order is typed and has no source")
    for each in question.steps:
        sentence_of(each, "text", beside)
        sentence_of(each, "because", beside)
    return question.steps


def _stages(written: WrittenStages, beside: GivenBeside) -> WrittenStages:
    if written.only and not FEWEST_STEPS <= len(written.only) <= MOST_STEPS:
        beside.say(
            written.line_of("only"),
            f"{len(written.only)} steps",
            f"keep {FEWEST_STEPS} to {MOST_STEPS}",
        )
    return written


def worked_order(look: Look, asked: AskedSteps, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """Steps to put in order; they are never shown in the right order at first."""
    steps = (
        _steps_of_stages(look, asked)
        if isinstance(asked, WrittenStages)
        else [
            (look.words(step.line, step.text), look.words(step.line, step.because), step.line)
            for step in asked
        ]
    )
    if not steps:
        return None
    shown = look.shuffled(steps)
    if [place for place, _ in shown] == list(range(len(steps))):
        shown = [*shown[1:], shown[0]]
    options = tuple(
        WorkedOption(letter, text, False, "", because, line, place)
        for letter, (place, (text, because, line)) in zip(LETTERS, shown)
    )
    right = sorted(options, key=lambda option: option.place)
    answer: Filled = (
        "; ".join(
            f"{place}. {without_stop(content_text(option.content))}"
            for place, option in enumerate(right, 1)
        ),
    )
    # A stage tells its reason in a whole sentence: it follows the step, not the word `because`.
    stages = isinstance(asked, WrittenStages)
    keys = tuple(
        answers.StepKey(
            option.id,
            without_stop(content_text(option.content))
            + (f". {without_stop(text_of(option.feedback))}" if stages else ""),
            "" if stages else without_stop(text_of(option.feedback)),
        )
        for option in right
    )
    return WorkedQuestion(
        look.question,
        stem,
        why,
        answer,
        answers.OrderKey(keys, text_of(answer), text_of(why)),
        options=options,
    )


def _steps_of_stages(look: Look, wanted: WrittenStages) -> list[tuple[Filled, Filled, int]]:
    job = look.job(wanted.stages, wanted.line)
    if job is None:
        return []
    if look.sources.stages_of is None:
        look.say(wanted.line, "the stages of a job are not at hand here", "write `steps:`")
        return []
    stages = {stage.id: stage for stage in look.sources.stages_of(job)}
    for name in wanted.only:
        if name not in stages:
            look.say(
                wanted.line,
                f"there is no stage '{name}' of {wanted.stages}",
                f"the stages are: {', '.join(stages)}",
            )
    kept = [stage for name, stage in stages.items() if not wanted.only or name in wanted.only]
    if len(kept) > MOST_STEPS:
        look.say(
            wanted.line,
            f"{len(kept)} stages are too many to put in order",
            f"keep at most {MOST_STEPS} with `only:` (there: {', '.join(stages)})",
        )
    return [((stage.title,), (stage.reason,), wanted.line) for stage in kept]


def flaws(key: answers.OrderKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    return option_flaws(worked)


# how it is shown and exported


def fields(shown: Shown, place: str, slots: Slots) -> Iterator[Markup]:
    """An ordered list with real buttons; without scripts the letters are written down in their
    order.
    """
    yield tag("p", "Put them in order, the first one on top.", class_="quiz-hint")
    yield tag("ol", *(_step(*each, slots) for each in shown.choices), class_="quiz-steps")


def _step(letter: str, words: str, slots: Slots) -> Markup:
    moves = (
        tag("button", f"Move {way}", type="button", aria_label=f"Move {way}: {words}")
        for way in ("up", "down")
    )
    return tag(
        "li",
        tag("b", letter),
        " ",
        tag("span", words, class_="quiz-step", data_slot=slots.next()),
        " ",
        tag("span", *moves, class_="quiz-moves", hidden=True),
        data_value=letter,
    )


def room(shown: Shown) -> Markup:
    return LETTER_ROOM * len(shown.choices)


def exported(
    key: answers.OrderKey, shown: Shown, picture: Term | None, spots: Sequence[LetteredSpot]
) -> ItemTerms:
    """Steps to put in order."""
    right = [option_name(step.id) for step in key.steps]
    body = prompted(
        "qti-order-interaction",
        shown.stem,
        {"shuffle": "false"},
        *simple_choices(shown.choices),
        picture=picture,
    )
    response = declared("RESPONSE", "ordered", "identifier", right)
    return ItemTerms((response,), body, (if_right(matches("RESPONSE")),))


FORM = Form(
    key=answers.OrderKey,
    marked=answers.marked,
    fields=fields,
    room=room,
    how="Put them in order, then open the answer.",
    flaws=flaws,
    right=answers.right,
    wrong=answers.wrong,
    exported=exported,
    responses=partial(lettered_response, cardinality="ordered"),
    interaction="sequencing",
    relettered=answers.relettered,
    from_paper=answers.from_paper,
    in_words=letters_in_words,
    chosen_words=answers.chosen_words,
)
KIND = QuestionKind("order", 2.0, WrittenOrder, read, worked_order, varies=False)
