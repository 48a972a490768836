"""Quiz, order: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.specs import Name, Names, Prose, Section, Sections, key
from firstway.quiz.bank.own_keys import GivenBeside, need, sentence_of, source_needed
from firstway.quiz.bank.question import AuthorWords
from firstway.quiz.bank.written import Written, WrittenQuestion

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


@dataclass(frozen=True)
class OrderStep:
    """One step to put in order; `because` is said when this is the first one out of place."""

    text: AuthorWords
    because: AuthorWords
    line: int


@dataclass(frozen=True)
class StagesOf:
    """The stages of a job's fitting as the steps; `only` keeps some of them."""

    job: str
    only: tuple[str, ...]
    line: int


@dataclass(frozen=True)
class AskedOrder:
    """Steps to put in order."""

    steps: tuple[OrderStep, ...] | StagesOf


def read(question: WrittenOrder, beside: GivenBeside) -> AskedOrder:
    if question.steps_from is not None:
        if question.steps:
            beside.say(
                question.line_of("steps"),
                "'steps' and 'steps_from' stand side by side",
                "keep one of them",
            )
        return AskedOrder(_stages(question.steps_from, beside))
    need(question, beside, "steps")
    source_needed(question, beside, "the right order is typed and has no source")
    return AskedOrder(
        tuple(
            OrderStep(
                sentence_of(each, "text", beside), sentence_of(each, "because", beside), each.line
            )
            for each in question.steps
        )
    )


def _stages(written: WrittenStages, beside: GivenBeside) -> StagesOf:
    if written.only and not FEWEST_STEPS <= len(written.only) <= MOST_STEPS:
        beside.say(
            written.line_of("only"),
            f"{len(written.only)} steps",
            f"keep {FEWEST_STEPS} to {MOST_STEPS}",
        )
    return StagesOf(written.stages, written.only, written.line)
