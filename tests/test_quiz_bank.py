"""The question bank: read with every problem at once, and the schema beside the reader.

The schema is JSON Schema 2020-12; jsonschema judges it where that library is installed.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from firstway.quiz.bank import ids_used_twice, questions_from_yaml
from firstway.quiz.outcomes import outcomes_from_yaml, unknown_outcomes
from firstway.quiz.paper import questions_of, recipe_from_yaml
from firstway.quiz.question import FigureOf, Question, Stated

GOOD = """\
topic: A topic
questions:
  - id: drop
    outcome: cable.drop
    chapter: the-cable
    difficulty: 3
    kind: number
    use: practice
    installation: demo
    stem: "Carries {design-current:c} over {voltage-drop:c::L}. Which drop?"
    why: Because.
    answer: {step: voltage-drop, of: c}
    mistakes:
      - mistake: using the device rating
        arithmetic: m_v * I_n * L / 1000
        with: {I_n: {step: device-rating, of: c}}
        feedback: The load counts.
  - id: stated
    outcome: cable.drop
    chapter: the-cable
    difficulty: 1
    kind: number
    use: assigned
    stem: How many?
    why: So it is.
    answer: {value: 0.5, unit: m, places: 2, source: "IEC 60364-5-53 534.4.8"}
    mistakes: [{mistake: twice, arithmetic: 2 * answer, feedback: Once is enough.}]
  - id: choice
    outcome: cable.drop
    chapter: the-cable
    difficulty: 2
    kind: one-answer
    use: practice
    must_pass: true
    source: common practice
    stem: Which?
    why: It is so.
    options:
      - {right: true, text: This}
      - {text: That one, mistake: first slip, feedback: No.}
      - {text: Neither one, mistake: second slip, feedback: No again.}
"""


def read(text: str) -> tuple[list[Question], list[str]]:
    questions, problems = questions_from_yaml(text, "quiz/bank/x.yaml")
    return questions, [str(problem) for problem in problems]


def test_questions_from_yaml__a_good_file() -> None:
    questions, problems = read(GOOD)
    assert problems == []
    assert [question.id for question in questions] == ["drop", "stated", "choice"]
    drop, stated, choice = questions
    assert drop.stem[1] == FigureOf("design-current", "c", "demo") and drop.stem[3] == FigureOf("voltage-drop", "c", "demo", "L")
    assert drop.mistakes[0].wrong_way.figures == {"I_n": FigureOf("device-rating", "c", "demo")}
    assert stated.answer == Stated(0.5, "m", 2, "IEC 60364-5-53 534.4.8") and stated.use == "assigned"
    assert choice.must_pass and [option.right for option in choice.options] == [True, False, False]


# What is broken, how, and the problem it must give; the line is that of the broken place.
BROKEN = [
    ("difficulty: 3", "dificulty: 3", "x.yaml:6: question drop: unknown key 'dificulty'; did you mean 'difficulty'?"),
    ("difficulty: 3", "difficulty: 9", "x.yaml:6: question drop: 'difficulty' is '9'; write one of: 1, 2, 3, 4"),
    ("kind: number", "kind: numbr", "x.yaml:7: question drop: 'kind' is 'numbr'; did you mean 'number'?"),
    ("use: practice", "use: training", "x.yaml:8: question drop: 'use' is 'training'; write one of: practice, assigned"),
    ("    outcome: cable.drop\n    chapter: the-cable\n    difficulty: 3\n", "    chapter: the-cable\n    difficulty: 3\n",
     "x.yaml:3: question drop: 'outcome' is missing; add `outcome:`"),
    ("    installation: demo\n", "", "x.yaml:9: question drop, stem: {design-current:c} names no installation;"
     " add `installation:` to the question"),
    ("{design-current:c}", "{design current}", "x.yaml:10: question drop, stem: a brace stands here that is no figure;"
     " write {step:of}, {step:of:installation} or {step:of:installation:symbol}"),
    ("m_v * I_n * L / 1000", "m_v * I_n * __import__('os')", "x.yaml:15: question drop, a mistake:"
     " 'm_v * I_n * __import__('os')' is not plain arithmetic (it cannot be read);"
     " use names, numbers, + - * / **, brackets, sqrt, ln, min and max"),
    ("m_v * I_n * L / 1000", "m_v * L", "x.yaml:16: question drop, a mistake: 'I_n' is not used in the arithmetic; use it or remove it"),
    (', source: "IEC 60364-5-53 534.4.8"', "", "x.yaml:26: question stated, answer: 'source' is missing; add `source:`"),
    ("value: 0.5", "value: half", "x.yaml:26: question stated, answer: 'value' is 'half', not a number; write digits with a decimal point"),
    ("    source: common practice\n", "", "x.yaml:28: question choice: the right answer is typed and has no source;"
     " add `source:` (a clause and its edition, a book, or `common practice`)"),
    ("mistake: first slip, ", "", "x.yaml:40: question choice, an option: 'mistake' is missing; add `mistake:`"),
    (", feedback: No.}", "}", "x.yaml:40: question choice, an option: 'feedback' is missing; add `feedback:`"),
    ("text: This", "txt: This", "x.yaml:39: question choice, an option has 0 of text, figure and arithmetic; give exactly one of the three"),
    ("text: This", "text: This, mistake: slip", "x.yaml:39: question choice, an option: the right answer names a mistake;"
     " remove `mistake:` or `right:`"),
    ("id: stated", "id: drop", "x.yaml:18: the id 'drop' is used already (quiz/bank/x.yaml:3); give this question an id of its own"),
    ("id: drop", "id: Drop it", "x.yaml:3: a question: 'id' is 'Drop it'; use small letters, digits, dots and hyphens"),
    ("must_pass: true", "must_pass: maybe", "x.yaml:34: question choice: 'must_pass' is 'maybe'; write one of: true, false"),
    ("topic: A topic", "topic: [a, b]", "x.yaml:1: the bank: 'topic' must be one text; write it on one line, or after `>-`"),
    ("places: 2", "places: 2.5", "x.yaml:26: question stated, answer: 'places' must be a whole number from 0 to 6;"
     " write how many decimals the answer is shown with"),
    ("places: 2", "places: 2, slack_percent: 50", "x.yaml:26: question stated, answer: 'slack_percent' must be above 0 and"
     " at most 5; leave it out for 1"),
]


@pytest.mark.parametrize(("sound", "broken", "problem"), BROKEN)
def test_questions_from_yaml__a_broken_file(sound: str, broken: str, problem: str) -> None:
    text = GOOD.replace(sound, broken, 1)
    assert text != GOOD
    assert "quiz/bank/" + problem in read(text)[1]


def test_questions_from_yaml__every_problem_at_once() -> None:
    text = GOOD.replace("kind: number", "kind: numbr", 1).replace("use: assigned", "use: asigned").replace("text: This", "txt: This")
    lines = {problem.split(":")[1] for problem in read(text)[1]}
    assert {"7", "23", "39"} <= lines


@pytest.mark.parametrize("text", ["", "[]", "topic", "questions: 3", "topic: x\nquestions: [1, [2], {a: b}]", "topic: x\nquestions:\n  - 7\n",
                                  "a: {b: [", "topic: x\nquestions:\n - {id: a, options: 3, kind: one-answer}",
                                  "topic: x\nquestions:\n - {id: a, answer: 3, mistakes: x, kind: number, stem: [], with: 2}"])
def test_questions_from_yaml__nonsense_is_a_problem(text: str) -> None:
    questions, problems = read(text)
    assert questions == [] and problems


@pytest.mark.parametrize("arithmetic", ["9**9**9**9", "1/0", "ln(0)", "sqrt(0-1)", "(0-8)**0.5", "max()", "sqrt(1, 2)", "1" + "0" * 190])
def test_value_of__no_value_is_no_exception(arithmetic: str) -> None:
    from firstway.quiz.arithmetic import value_of

    value, reason = value_of(arithmetic, {"answer": 1.0})
    assert (value is None) == bool(reason)


# ---- the schema beside the reader ----


@pytest.fixture(scope="module")
def schema(root: Path) -> dict[str, Any]:
    return json.loads((root / "quiz" / "question.schema.json").read_text("utf-8"))


def judged(schema: dict[str, Any], text: str) -> bool:
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema).is_valid(yaml.safe_load(text))


def test_schema__accepts_what_the_reader_accepts(schema: dict[str, Any], root: Path) -> None:
    assert judged(schema, GOOD)
    for path in sorted((root / "quiz" / "bank").glob("*.yaml")):
        assert judged(schema, path.read_text("utf-8")), path.name


# The reader alone judges figures in sentences, arithmetic and ids used twice.
BEYOND_A_SCHEMA = {"{design current}", "m_v * I_n * __import__('os')", "m_v * L", "id: drop", ""}


@pytest.mark.parametrize(("sound", "broken"), [(sound, broken) for sound, broken, _ in BROKEN
                                               if broken not in BEYOND_A_SCHEMA or "source" in sound])
def test_schema__refuses_what_the_reader_refuses(schema: dict[str, Any], sound: str, broken: str) -> None:
    assert not judged(schema, GOOD.replace(sound, broken, 1))


def test_schema__names_every_key_of_the_reader(schema: dict[str, Any]) -> None:
    """Without jsonschema too: the keys of the schema are those the reader offers."""
    broken = GOOD.replace("must_pass: true", "zzz: true").replace("difficulty: 3", "yyy: 3", 1)
    offered: set[str] = set()
    for problem in questions_from_yaml(broken, "x")[1]:
        if problem.hint.startswith("the keys are: "):
            offered |= set(problem.hint.removeprefix("the keys are: ").split(", "))
    assert offered == set(schema["$defs"]["question"]["properties"])


# ---- outcomes and recipes ----

OUTCOMES = """\
chapters:
  - id: the-cable
    title: The cable
    outcomes:
      - {id: cable.drop, text: Work the drop}
      - {id: cable.capacity, text: Work the capacity}
"""


def test_outcomes__unknown_ones_are_problems() -> None:
    chapters, problems = outcomes_from_yaml(OUTCOMES, "quiz/outcomes.yaml")
    assert problems == [] and [outcome.id for outcome in chapters[0].outcomes] == ["cable.drop", "cable.capacity"]
    questions, _ = read(GOOD.replace("outcome: cable.drop", "outcome: cable.dorp", 1))
    assert [str(problem) for problem in unknown_outcomes(questions, chapters)] == [
        "quiz/bank/x.yaml:3: question drop: there is no outcome 'cable.dorp'; did you mean 'cable.drop'?"]


def test_recipe__names_and_draws() -> None:
    bank, _ = read(GOOD)
    recipe, problems = recipe_from_yaml("id: p\ntitle: P\nuse: practice\nseed: s\nquestions: [choice]\n"
                                        "draw: [{outcome: cable.drop, number: 1}]\n", "quiz/papers/p.yaml")
    assert problems == [] and recipe is not None
    chosen, problems = questions_of(bank, recipe)
    assert problems == [] and [question.id for question in chosen] == ["choice", "drop"]


def test_recipe__problems() -> None:
    bank, _ = read(GOOD)
    recipe, _ = recipe_from_yaml("id: p\ntitle: P\nuse: practice\nseed: s\nquestions: [choise, stated, choice, choice]\n"
                                 "draw:\n  - {outcome: cable.drop, number: 5}\n", "p.yaml")
    assert recipe is not None
    assert [str(problem) for problem in questions_of(bank, recipe)[1]] == [
        "p.yaml:5: there is no question 'choise'; did you mean 'choice'?",
        "p.yaml:5: the question 'stated' is for assigned use; this paper is for practice use: choose another",
        "p.yaml:5: the question 'choice' stands twice; keep one of them",
        "p.yaml:7: the bank holds 1 more questions for 'cable.drop', 5 are asked; ask for fewer, or write more"]


def test_draw__a_new_question_moves_few_others() -> None:
    """Ranked by a hash: adding one of 40 changes at most one place of a draw of 10."""
    from dataclasses import replace

    bank, _ = read(GOOD)
    many = [replace(bank[0], id=f"q{number}", line=number) for number in range(40)]
    recipe, _ = recipe_from_yaml("id: p\ntitle: P\nuse: practice\nseed: s\ndraw: [{outcome: cable.drop, number: 10}]\n", "p.yaml")
    assert recipe is not None
    before, after = (set(q.id for q in questions_of(some, recipe)[0]) for some in (many, [*many, replace(bank[0], id="new")]))
    assert len(before & after) >= 9


# ---- the project's own quiz folder ----


def test_own_bank__reads_without_a_problem(root: Path) -> None:
    bank: list[Question] = []
    for path in sorted((root / "quiz" / "bank").glob("*.yaml")):
        questions, problems = questions_from_yaml(path.read_text("utf-8"), path.name)
        assert problems == []
        bank += questions
    chapters, problems = outcomes_from_yaml((root / "quiz" / "outcomes.yaml").read_text("utf-8"), "outcomes.yaml")
    assert problems == [] and unknown_outcomes(bank, chapters) == [] and ids_used_twice(bank) == []
    assert len(bank) >= 12 and sum(isinstance(question.answer, FigureOf) for question in bank) >= 6
    for path in sorted((root / "quiz" / "papers").glob("*.yaml")):
        recipe, problems = recipe_from_yaml(path.read_text("utf-8"), path.name)
        assert problems == [] and recipe is not None
        assert questions_of(bank, recipe)[1] == []
