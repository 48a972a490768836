"""Quiz, order: what its author writes."""

from __future__ import annotations

from dataclasses import dataclass

from firstway.files.yaml_reader import Node
from firstway.quiz.bank.keys import ID_FORM, Keys, keys_of
from firstway.quiz.bank.own_keys import GivenBeside, sentence_of, source_needed, texts_of
from firstway.quiz.bank.question import AuthorWords

FEWEST_STEPS, MOST_STEPS = 3, 7


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


def read(keys: Keys, beside: GivenBeside) -> AskedOrder:
    derived = keys.inner("steps_from")
    if derived is not None:
        if "steps" in keys.entries.values:
            keys.reader.say(
                keys.line_of("steps"),
                f"{keys.what}: 'steps' and 'steps_from' stand side by side",
                "keep one of them",
            )
        keys.asked.append("steps")
        stages = StagesOf(
            derived.identity("stages"), texts_of(derived, "only", ID_FORM), derived.line
        )
        derived.finish()
        if stages.only and not FEWEST_STEPS <= len(stages.only) <= MOST_STEPS:
            keys.reader.say(
                derived.line_of("only"),
                f"{keys.what}: {len(stages.only)} steps",
                f"keep {FEWEST_STEPS} to {MOST_STEPS}",
            )
        return AskedOrder(stages)
    steps = tuple(
        step
        for node in keys.items("steps", required=True)
        if (step := _step(keys, node, beside.installation))
    )
    if not FEWEST_STEPS <= len(steps) <= MOST_STEPS and "steps" in keys.entries.values:
        keys.reader.say(
            keys.line_of("steps"),
            f"{keys.what}: {len(steps)} steps",
            f"give {FEWEST_STEPS} to {MOST_STEPS}",
        )
    source_needed(keys, beside, "the right order is typed and has no source")
    return AskedOrder(steps)


def _step(question: Keys, node: Node, installation: str) -> OrderStep | None:
    keys = keys_of(question.reader, node, f"{question.what}, a step")
    if keys is None:
        return None
    step = OrderStep(
        sentence_of(keys, "text", installation),
        sentence_of(keys, "because", installation, required=False),
        keys.line,
    )
    keys.finish()
    return step
