"""Quiz: a question of the bank with its numbers filled in from the workings, in every variant of
its figures.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from hashlib import sha256
from itertools import islice

from firstway.problems import Problem
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.form import INSTALLATION_HINT, Look
from firstway.quiz.forms.lint import is_sound
from firstway.quiz.forms.registry import QUESTION_KINDS
from firstway.quiz.forms.sources import Changes, Sources, key_problems, sources_of_steps
from firstway.quiz.forms.worked_question import (
    StepOf,
    WorkedQuestion,
    content_text,
    text_of,
)

_MOST_VARIANTS = 20
FEWEST_VARIANTS = 3


def worked(
    question: Question, sources: Sources | StepOf, seed: str = "", variant: int = 0
) -> tuple[WorkedQuestion | None, list[Problem]]:
    """Fill in the numbers of one question; the seed sets the order of worded options.

    `variant` 0 is the installation as it stands, others change it by the question's `vary`. Gives
    None with the problems when a step is missing, not known, or a mistake has no value. A function
    of steps serves as the sources of questions that ask for steps alone.
    """
    if not isinstance(sources, Sources):
        sources = sources_of_steps(sources)
    changes = changes_of(question, variant)
    if changes is None:
        return None, [
            Problem(
                question.file,
                question.line,
                f"question {question.id}: there is no variant {variant}",
                "",
            )
        ]
    look = Look(question, sources, seed, variant, changes)
    if variant == 0:
        _check_vary(look)
    stem, why = look.words(question.line, question.stem), look.words(question.line, question.why)
    made = QUESTION_KINDS[question.kind].worked(look, question.own, stem, why)
    if made is not None and made.drawing is None and question.drawing is not None:
        drawn = look.pictured({}, ())
        made = replace(made, drawing=drawn.drawn if drawn else None)
    if look.problems or made is None:
        return None, sorted(set(look.problems)) or [
            Problem(
                question.file, question.line, f"question {question.id}: it cannot be worked", ""
            )
        ]
    return replace(made, variant=variant), []


def number_of_variants(question: Question) -> int:
    """How many variants there may be; some of them may not work out."""
    return 1 + len(_combinations(question)) if question.vary else 1


def changes_of(question: Question, variant: int) -> Changes | None:
    """What a variant changes; None where there is no such variant."""
    if variant == 0:
        return ()
    found = _combinations(question) if question.vary else []
    return found[variant - 1] if 0 < variant <= len(found) else None


def _combinations(question: Question) -> list[Changes]:
    """Every combination of the varied values, at most 19, taken evenly; scattered, so that the
    first few differ in all keys.
    """
    total = math.prod(len(item.values) for item in question.vary)
    kept = min(total, _MOST_VARIANTS - 1)
    found = [_combination(question, place * total // kept) for place in range(kept)]
    return sorted(
        found, key=lambda changes: sha256(f"{question.id}|{changes}".encode()).hexdigest()
    )


def _combination(question: Question, place: int) -> Changes:
    """One of all combinations by its place; the last key changes first."""
    changes = []
    for item in reversed(question.vary):
        place, value = divmod(place, len(item.values))
        changes.append((item.path, item.values[value]))
    return tuple(reversed(changes))


def every_variant(question: Question, sources: Sources, seed: str = "") -> Iterator[WorkedQuestion]:
    """The variants that work out and differ from those before, one after the other.

    Left out: one that cannot be worked, one whose mistakes cannot be told from the right answer,
    one that asks the same.
    """
    seen: set[tuple[str, str]] = set()
    for variant in range(number_of_variants(question)):
        made, _ = worked(question, sources, seed, variant)
        if made is None or variant and not is_sound(made):
            continue
        asks = (text_of(made.stem), content_text(made.answer))
        if asks not in seen:
            seen.add(asks)
            yield made


def variants(
    question: Question, sources: Sources, most: int = _MOST_VARIANTS, seed: str = ""
) -> tuple[WorkedQuestion, ...]:
    """The first variants of a question that work out; one alone where nothing varies."""
    return tuple(islice(every_variant(question, sources, seed), most))


def _check_vary(look: Look) -> None:
    """Whether each varied key is one of the installation and may have each value."""
    question = look.question
    job = look.sources.completed_of(question.installation) if question.vary else None
    if question.vary and job is None and look.sources.step_of is None:
        look.say(
            question.line,
            f"there is no installation '{question.installation}'",
            INSTALLATION_HINT,
        )
    if job is None:
        return
    for item in question.vary:
        for value in item.values:
            look.problems += [
                replace(each, message=f"question {question.id}: {each.message}")
                for each in key_problems(
                    job.installation, item.path, value, question.file, item.line
                )
            ]
