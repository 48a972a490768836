"""Quiz, order: its steps found, never shown in the right order at first."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.quiz.forms.flaws import Flaw, option_flaws
from firstway.quiz.forms.order.answers import OrderKey, StepKey
from firstway.quiz.forms.order.keys import MOST_STEPS, AskedOrder, StagesOf
from firstway.quiz.forms.references import Look
from firstway.quiz.forms.words import Filled, text_of
from firstway.quiz.forms.worked_question import (
    LETTERS,
    WorkedOption,
    WorkedQuestion,
    content_text,
    without_stop,
)


def worked_order(look: Look, asked: AskedOrder, stem: Filled, why: Filled) -> WorkedQuestion | None:
    """Steps to put in order; they are never shown in the right order at first."""
    steps = (
        _steps_of_stages(look, asked.steps)
        if isinstance(asked.steps, StagesOf)
        else [
            (look.words(step.line, step.text), look.words(step.line, step.because), step.line)
            for step in asked.steps
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
    stages = isinstance(asked.steps, StagesOf)
    keys = tuple(
        StepKey(
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
        OrderKey(keys, text_of(answer), text_of(why)),
        options=options,
    )


def _steps_of_stages(look: Look, wanted: StagesOf) -> list[tuple[Filled, Filled, int]]:
    job = look.job(wanted.job)
    if job is None:
        look.say(
            wanted.line,
            f"there is no installation '{wanted.job}'",
            "name a file of diagrams/ that can be worked",
        )
        return []
    if look.sources.stages_of is None:
        look.say(wanted.line, "the stages of a job are not at hand here", "write `steps:`")
        return []
    stages = {stage.id: stage for stage in look.sources.stages_of(job)}
    for name in wanted.only:
        if name not in stages:
            look.say(
                wanted.line,
                f"there is no stage '{name}' of {wanted.job}",
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


def flaws(key: OrderKey, worked: WorkedQuestion) -> Iterator[Flaw]:
    return option_flaws(worked)
