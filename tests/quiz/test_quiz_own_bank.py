"""The project's own bank in all its variants: solvable, one right answer, inside its window, by two
routes where there are two.

The plain run takes the installation as it stands and the first other figures; `test all` every
variant.
"""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from functools import cache
from itertools import islice
from pathlib import Path

import pytest
import start
from test_published import evaluated

from firstway.pages.quizzes.quiz_drawings import _drawn, stage_texts
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.lint import as_seen, flaws_of, flaws_of_bank, flaws_of_paper, letters_of
from firstway.quiz.forms.match.answers import MatchKey
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.order.answers import OrderKey
from firstway.quiz.forms.registry import data_of_key, key_from_data, marked, most_points
from firstway.quiz.forms.several_answers.answers import SeveralAnswersKey
from firstway.quiz.forms.sources import Sources, sources_from
from firstway.quiz.forms.values import (
    FEWEST_VARIANTS,
    changes_of,
    every_variant,
    number_of_variants,
    worked,
)
from firstway.quiz.forms.worked_question import Computed, Figure, WorkedQuestion, content_text
from firstway.quiz.forms.working.answers import WorkingKey, postfix_value
from firstway.quiz.marking.marking import ASK_AGAIN
from firstway.quiz.paper.recipe import questions_of
from firstway.quiz.shelf import Shelf, shelf_from
from firstway.rendering.formulas import working_text
from firstway.wiring.circuit import States, circuit_of
from firstway.wiring.readings import AT_MOST, continuity

SAMPLE = 3
"""Variants of a question in the plain run."""


@cache
def shelf() -> Shelf:
    found, problems = shelf_from(start.ROOT)
    assert problems == []
    return found


@cache
def sources(drawn: bool = False) -> Sources:
    return sources_from(start.ROOT, _drawn if drawn else None, stage_texts)


@cache
def made(question_id: str, most: int) -> tuple[WorkedQuestion, ...]:
    question = shelf().question(question_id)
    assert question is not None
    return tuple(islice(every_variant(question, sources(), "own"), most))


def everything(most: int = SAMPLE) -> Iterator[WorkedQuestion]:
    for question in shelf().bank:
        yield from made(question.id, most)


# ---- every question, in the plain run and in all variants ----


def prove(worked_one: WorkedQuestion) -> None:
    """Whatever the kind: the lint is content, the right answer gets every point, and every wrong
    one is named.
    """
    assert flaws_of(worked_one) == [], worked_one.id
    key, name = worked_one.key, f"{worked_one.id}, variant {worked_one.variant}"
    assert key_from_data(data_of_key(key)) == key, name
    right = right_answer(worked_one)
    mark = marked(key, right)
    assert (mark.points, mark.state) == (most_points(key), "right"), (name, right, mark)
    assert marked(key, "").state == "empty", name
    for wrong, mistake in wrong_answers(worked_one):
        mark = marked(key, wrong)
        assert mark.points < most_points(key) and mark.state not in ASK_AGAIN, (name, wrong, mark)
        assert not mistake or mistake in mark.mistakes, (name, wrong, mark)


def right_answer(worked_one: WorkedQuestion) -> str:
    key = worked_one.key
    if isinstance(key, NumberKey):
        assert isinstance(worked_one.answer, (Figure, Computed))
        return worked_one.answer.text
    if isinstance(key, WorkingKey):
        return " ; ".join(part.answer.text for part in worked_one.parts)
    if isinstance(key, OrderKey):
        return " ".join(step.id for step in key.steps)
    if isinstance(key, MatchKey):
        return " ".join(f"{row.id}={row.item}" for row in key.rows)
    return " ".join(option.id for option in key.options if option.right)


def wrong_answers(worked_one: WorkedQuestion) -> Iterator[tuple[str, str]]:
    """Wrong answers with the mistake each must be told for ("" where none is named)."""
    key = worked_one.key
    if isinstance(key, NumberKey):
        yield from ((mistake.value.text, mistake.mistake) for mistake in worked_one.mistakes)
    elif isinstance(key, WorkingKey):
        for mistake in worked_one.mistakes:
            boxes = [part.answer.text for part in worked_one.parts]
            boxes[mistake.part - 1] = mistake.value.text
            yield " ; ".join(boxes), mistake.mistake
    elif isinstance(key, OrderKey):
        yield " ".join(option.id for option in worked_one.options), ""  # as it is shown at first
    elif isinstance(key, MatchKey):
        for row in key.rows:
            others = [item for item in key.items if item != row.item]
            yield (
                " ".join(
                    f"{each.id}={others[0] if each is row else each.item}" for each in key.rows
                ),
                row.mistake,
            )
    else:
        assert isinstance(key, (OneAnswerKey, SeveralAnswersKey))
        yield from ((option.id, option.mistake) for option in key.options if not option.right)


def test_every_question__works_as_it_stands() -> None:
    problems = [
        problem for question in shelf().bank for problem in worked(question, sources(), "own")[1]
    ]
    assert problems == []


def test_every_question__a_sample_of_its_variants() -> None:
    for worked_one in everything():
        prove(worked_one)


def test_every_question__differs_from_variant_to_variant() -> None:
    for question in shelf().bank:
        found = made(question.id, SAMPLE)
        assert len(found) == (SAMPLE if question.vary else 1), question.id
        asked = {(content_text(each.stem), content_text(each.answer)) for each in found}
        assert len(asked) == len(found), question.id


@pytest.mark.long
def test_every_question__all_variants() -> None:
    total = 0
    for question in shelf().bank:
        found = made(question.id, 20)
        total += len(found)
        assert len(found) >= (FEWEST_VARIANTS if question.vary else 1), question.id
        for worked_one in found:
            prove(worked_one)
            prove_by_two_routes(worked_one)
    assert total > len(shelf().bank)


def test_the_same_again__to_the_last_letter() -> None:
    again = sources_from(start.ROOT, None, stage_texts)
    for question in [each for each in shelf().bank if each.installation in ("", "marram")][::5]:
        assert worked(question, again, "own")[0] == worked(question, sources(), "own")[0]


# ---- two routes ----


def prove_by_two_routes(worked_one: WorkedQuestion) -> None:
    """Where a figure comes from a formula, Python works out the very line the reader sees, and gets
    inside the window.
    """
    if isinstance(worked_one.key, NumberKey) and isinstance(worked_one.answer, Figure):
        line = line_of(worked_one.answer)
        if line is not None:
            assert worked_one.key.low <= evaluated(line) <= worked_one.key.high, (
                worked_one.id,
                line,
            )
    if isinstance(worked_one.key, WorkingKey):
        values = [float(part.answer.value or 0.0) for part in worked_one.parts]
        for place, (part, key) in enumerate(zip(worked_one.parts, worked_one.key.parts)):
            if isinstance(part.answer, Figure) and (line := line_of(part.answer)) is not None:
                assert key.low <= evaluated(line) <= key.high, (worked_one.id, line)
            if key.formula:
                assert postfix_value(key.formula, values[:place]) == pytest.approx(
                    values[place], rel=1e-9
                ), worked_one.id


def line_of(figure: Figure) -> str | None:
    """The arithmetic with figures put in, as printed; None where the figure is no result of a
    formula.
    """
    return (
        None
        if figure.symbol or figure.step.figures is None
        else working_text(figure.step).split(" = ")[-2]
    )


def test_two_routes__the_printed_line_and_the_window() -> None:
    for worked_one in everything():
        prove_by_two_routes(worked_one)
    lines = [
        one
        for one in everything(1)
        if isinstance(one.key, NumberKey) and isinstance(one.answer, Figure) and line_of(one.answer)
    ]
    assert len(lines) >= 20


def test_two_routes__r1_plus_r2_by_formula_and_by_nodal_analysis() -> None:
    """On every installation that the bank varies, with its figures varied."""
    seen = 0
    for question in shelf().bank:
        for variant in range(min(SAMPLE, number_of_variants(question)) if question.vary else 0):
            job = sources().varied(question.installation, changes_of(question, variant) or ())
            if job is None or job.installation.rules == "nec":
                continue  # its table gives 75 C; test_readings compares both ways down to 20 C
            found = circuit_of(job.installation, job.case.wiring)
            for each in job.installation.circuits:
                way, point, line = (
                    job.installation.way_feeding(each.name).name,
                    each.supplies[0],
                    each.lines[0],
                )
                end = (
                    f"{point}.parked.PE"
                    if found.wiring.terminal(f"{point}.parked.PE")
                    else f"{point}.PE"
                )
                dead = States(
                    open=frozenset({"origin", way}),
                    out=frozenset({point}),
                    bridges=((f"{way}.load.{line}", "earth-bar.1"),),
                )
                formula = job.case.workings.value("r1-plus-r2-reading", each.name)
                reading = continuity(found, dead, f"{point}.{line}", end)
                if formula is not None and reading.words in ("", AT_MOST):
                    assert reading.value == pytest.approx(formula, rel=1e-6), (question.id, variant)
                    seen += 1
    assert seen >= 20


def test_two_routes__a_foretold_r1_plus_r2_is_the_step() -> None:
    """A reading along line and protective conductor of one circuit, both joined at the board: the
    step says it too.
    """
    for question in shelf().bank:
        reading = getattr(question.own, "reading", None)
        if reading is None or reading.mistake or reading.test != "continuity" or not reading.bridge:
            continue
        worked_one = made(question.id, 1)[0]
        job = sources().completed_of(reading.of)
        assert job is not None
        circuit = next(
            (
                each
                for each in job.installation.circuits
                if any(place.split(".")[0] in each.supplies for place in reading.between)
            ),
            None,
        )
        functions = {place.rpartition(".")[2] for place in reading.between}
        if (
            circuit is None
            or functions != {circuit.lines[0], "PE"}
            or not isinstance(worked_one.key, NumberKey)
        ):
            continue
        step = job.case.workings.value("r1-plus-r2-reading", circuit.name)
        assert step is not None and worked_one.key.low <= step <= worked_one.key.high, question.id


# ---- drawings ----


def pointing(bank: tuple[Question, ...]) -> list[Question]:
    return [question for question in bank if hasattr(question.own, "spots")]


def prove_drawn(question: Question) -> None:
    worked_one, problems = worked(question, sources(True), "own")
    assert problems == [] and worked_one is not None and worked_one.drawing is not None, question.id
    assert flaws_of(worked_one) == [], question.id
    drawn = re.findall(r'class="spot" data-spot="([a-z])"', worked_one.drawing.svg)
    assert sorted(drawn) == [option.id for option in worked_one.options], question.id
    assert marked(worked_one.key, "x").state == "empty"


def test_every_twelfth_drawing__shows_each_spot_by_its_letter() -> None:
    for question in pointing(shelf().bank)[::12]:
        prove_drawn(question)


@pytest.mark.long
def test_every_drawing__shows_each_spot_by_its_letter() -> None:
    for question in shelf().bank:
        if hasattr(question.own, "spots"):
            prove_drawn(question)
        elif question.drawing:
            worked_one, problems = worked(question, sources(True), "own")
            assert problems == [] and worked_one is not None and worked_one.drawing is not None, (
                question.id
            )


# ---- the bank as a whole ----


def test_the_bank__its_answers_are_spread_and_no_two_questions_are_alike() -> None:
    assert flaws_of_bank([as_seen(made(question.id, 1)[0]) for question in shelf().bank]) == []


def test_the_papers__can_be_made() -> None:
    for recipe in shelf().recipes:
        chosen, problems = questions_of(shelf().bank, recipe, shelf().chapters)
        assert problems == [], recipe.id
        assert {question.use for question in chosen} == {recipe.use}
        shown = [worked(question, sources(), recipe.seed)[0] for question in chosen]
        assert flaws_of_paper([letters_of(each) for each in shown if each], recipe.file) == []


def test_the_bank__holds_enough_of_each_sort() -> None:
    """The numbers the bank promises: questions, pointing at drawings, mistakes and readings,
    calculations, assigned use.
    """
    bank = shelf().bank
    assert len(bank) >= 250
    assert sum(question.drawing is not None for question in bank) >= 60
    assert sum(question.kind in ("find-the-mistake", "foretell") for question in bank) >= 40
    assert sum(question.kind in ("number", "working") for question in bank) >= 40
    assert sum(question.use == "assigned" for question in bank) >= 80
    assert sum(question.safety for question in bank) >= 10


def test_the_bank__covers_every_outcome_by_two_kinds() -> None:
    for chapter in shelf().chapters:
        for outcome in chapter.outcomes:
            kinds = [each.kind for each in shelf().bank if each.outcome == outcome.id]
            assert len(kinds) >= 3 and len(set(kinds)) >= 2, outcome.id


def test_assigned_questions__stand_nowhere_in_the_guide(built_site: Path) -> None:
    """Neither the id nor a long piece of the stem: what a paper asks cannot be looked up."""
    texts = {
        path: path.read_text("utf-8", errors="replace")
        for path in built_site.rglob("*")
        if path.suffix in (".html", ".js", ".json", ".md")
    }
    whole = "\n".join(texts.values())
    plain = re.sub(r"\s+", " ", html.unescape(whole))
    practice = {question.id for question in shelf().bank if question.use == "practice"}
    assert any(f'data-question="{id_}"' in whole for id_ in practice)
    for question in shelf().bank:
        if question.use != "assigned":
            continue
        assert not any(
            mark in whole
            for mark in (
                f'data-question="{question.id}"',
                f'-of="{question.id}"',
                f'"id":"{question.id}"',
            )
        ), question.id
        longest = re.sub(
            r"\s+", " ", max((part for part in question.stem if isinstance(part, str)), key=len)
        ).strip()
        if len(longest) >= 40:
            assert longest not in plain, (question.id, longest)
