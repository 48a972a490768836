"""The question bank: read with every problem at once, and the schema beside the reader.

The schema is JSON Schema 2020-12; jsonschema judges it where that library is installed.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from firstway.quiz.bank.outcomes import outcomes_from_yaml, unknown_outcomes
from firstway.quiz.bank.question import FigureOf, Question
from firstway.quiz.forms.number.keys import Stated
from firstway.quiz.forms.registry import QUESTION_KINDS
from firstway.quiz.paper.recipe import questions_of, recipe_from_yaml
from firstway.quiz.questions import ids_used_twice, questions_from_yaml

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
    safety: true
    source: common practice
    stem: Which?
    why: It is so.
    options:
      - {right: true, text: This}
      - {text: That one, mistake: first slip, feedback: No.}
      - {text: Neither one, mistake: second slip, feedback: No again.}
"""

COMMON = (
    "    outcome: cable.drop\n    chapter: the-cable\n    difficulty: 2\n    use: practice\n   "
    " installation: demo\n    stem: What?\n    why: So.\n"
)
KINDS_OF_OWN = {
    "several": (
        """\
    kind: several-answers
    source: common practice
    tell_count: true
    time_minutes: 2
    options:
      - {right: true, text: This}
      - {right: true, text: That, feedback: It does.}
      - {text: The other, mistake: slip, feedback: No.}
"""
    ),
    "sequence": (
        """\
    kind: order
    source: common practice
    steps:
      - {text: Switch off the load, because: a load current would draw an arc}
      - {text: Isolate}
      - {text: Lock off}
"""
    ),
    "sequence-of-stages": (
        """\
    kind: order
    steps_from: {stages: demo, only: [earth, bar, tails]}
"""
    ),
    "partners": (
        """\
    kind: match
    source: common practice
    drawing: {view: board}
    rows:
      - {text: Device, item: limits surges, mistake: slip one, feedback: No.}
      - {text: {figure: {step: voltage-drop, of: c}}, item: the drop, mistake: slip two, feedback: No.}
    spare:
      - {text: measures energy}
"""
    ),
    "pointing": (
        """\
    kind: point
    drawing: {view: wiring, stage: spd-leads}
    spots:
      - {place: F1.L1, right: true}
      - {place: neutral-bar.2, mistake: slip, feedback: No.}
"""
    ),
    "finding": (
        """\
    kind: find-the-mistake
    drawing: {view: wiring, of: demo, mistake: surge-device-without-earth}
    spots:
      - {place: neutral-bar.2, mistake: slip, feedback: No.}
      - {place: lead.PE.F1, mistake: slip, feedback: No.}
"""
    ),
    "foretelling": (
        """\
    kind: foretell
    reading: {test: continuity, between: [F1.PE, earth-bar.1], open: [origin, F2], out: [post-1], mistake: surge-device-without-earth}
    options:
      - {text: 0.02 ohm, mistake: slip, feedback: No.}
      - {text: 2 ohm, mistake: slip, feedback: No.}
"""
    ),
    "foretelling-a-figure": (
        """\
    kind: foretell
    reading: {mistake: surge-device-without-earth, places: 2}
    mistakes:
      - {mistake: slip, arithmetic: 2 * answer, feedback: No.}
"""
    ),
    "three-figures": (
        """\
    kind: working
    slack_percent: 2
    vary: {circuits.c.route.1.length_m: [12, 18]}
    parts:
      - {ask: Current, step: design-current, of: c}
      - {ask: Drop, step: voltage-drop, of: c, uses: {I_b: 1}}
      - {ask: Share, step: voltage-drop-percent, of: c, uses: {V_d: 2}, places: 1}
    mistakes:
      - {part: 2, mistake: slip, arithmetic: 2 * answer, feedback: No.}
"""
    ),
    "chart": (
        """\
    kind: read-a-chart
    drawing: {view: chart, of: demo, chart: time-current, circuit: c}
    answer: {value: 5, unit: s, places: 0, source: common practice, slack_percent: 15}
    mistakes:
      - {mistake: slip, arithmetic: 10 * answer, feedback: No.}
"""
    ),
    "chart-to-pick": (
        """\
    kind: read-a-chart
    source: common practice
    drawing: {view: chart, of: demo, chart: time-current}
    options:
      - {right: true, text: Five}
      - {text: Fifty, mistake: slip, feedback: No.}
"""
    ),
}
GOOD_KINDS = "topic: Kinds\nquestions:\n" + "".join(
    f"  - id: {name}\n{COMMON}{own}" for name, own in KINDS_OF_OWN.items()
)


def read(text: str) -> tuple[list[Question], list[str]]:
    questions, problems = questions_from_yaml(text, "quiz/bank/x.yaml")
    return questions, [str(problem) for problem in problems]


def test_questions_from_yaml__a_good_file() -> None:
    questions, problems = read(GOOD)
    assert problems == []
    assert [question.id for question in questions] == ["drop", "stated", "choice"]
    drop, stated, choice = questions
    assert drop.stem[1] == FigureOf("design-current", "c", "demo") and drop.stem[3] == FigureOf(
        "voltage-drop", "c", "demo", "L"
    )
    assert drop.own.mistakes[0].wrong_way.figures == {"I_n": FigureOf("device-rating", "c", "demo")}
    assert (
        stated.own.answer == Stated(0.5, "m", 2, "IEC 60364-5-53 534.4.8")
        and stated.use == "assigned"
    )
    assert choice.safety and [option.right for option in choice.own.options] == [True, False, False]


# What is broken, how, and the problem it must give; the line is that of the broken place.
BROKEN = [
    (
        "difficulty: 3",
        "dificulty: 3",
        "x.yaml:6: question drop: unknown key 'dificulty'; did you mean 'difficulty'?",
    ),
    (
        "difficulty: 3",
        "difficulty: 9",
        "x.yaml:6: question drop: 'difficulty' is '9'; write one of: 1, 2, 3, 4",
    ),
    (
        "kind: number",
        "kind: numbr",
        "x.yaml:7: question drop: 'kind' is 'numbr'; did you mean 'number'?",
    ),
    (
        "use: practice",
        "use: training",
        "x.yaml:8: question drop: 'use' is 'training'; write one of: practice, assigned",
    ),
    (
        "    outcome: cable.drop\n    chapter: the-cable\n    difficulty: 3\n",
        "    chapter: the-cable\n    difficulty: 3\n",
        "x.yaml:3: question drop: 'outcome' is missing; add `outcome:`",
    ),
    (
        "    installation: demo\n",
        "",
        (
            "x.yaml:9: question drop, stem: {design-current:c} names no installation;"
            " add `installation:` to the question"
        ),
    ),
    (
        "{design-current:c}",
        "{design current}",
        (
            "x.yaml:10: question drop, stem: a brace stands here that is no figure;"
            " write {step:of}, {step:of:installation}, {step:of:installation:symbol} or {key:path}"
        ),
    ),
    (
        "m_v * I_n * L / 1000",
        "m_v * I_n * __import__('os')",
        (
            "x.yaml:15: question drop, a mistake:"
            " 'm_v * I_n * __import__('os')' is not plain arithmetic (it cannot be read);"
            " use names, numbers, + - * / **, brackets, sqrt, ln, min and max"
        ),
    ),
    (
        "m_v * I_n * L / 1000",
        "m_v * L",
        (
            "x.yaml:16: question drop, a mistake: 'I_n' is not used in the arithmetic; use it or"
            " remove it"
        ),
    ),
    (
        ', source: "IEC 60364-5-53 534.4.8"',
        "",
        "x.yaml:26: question stated, answer: 'source' is missing; add `source:`",
    ),
    (
        "value: 0.5",
        "value: half",
        (
            "x.yaml:26: question stated, answer: 'value' is 'half', not a number; write digits with"
            " a decimal point"
        ),
    ),
    (
        "    source: common practice\n",
        "",
        (
            "x.yaml:28: question choice: the right answer is typed and has no source;"
            " add `source:` (a clause and its edition, a book, or `common practice`)"
        ),
    ),
    (
        "mistake: first slip, ",
        "",
        "x.yaml:40: question choice, an option: 'mistake' is missing; add `mistake:`",
    ),
    (
        ", feedback: No.}",
        "}",
        "x.yaml:40: question choice, an option: 'feedback' is missing; add `feedback:`",
    ),
    (
        "text: This",
        "txt: This",
        (
            "x.yaml:39: question choice, an option has 0 of text, figure and arithmetic; give"
            " exactly one of the three"
        ),
    ),
    (
        "text: This",
        "text: This, mistake: slip",
        (
            "x.yaml:39: question choice, an option: the right answer names a mistake;"
            " remove `mistake:` or `right:`"
        ),
    ),
    (
        "id: stated",
        "id: drop",
        (
            "x.yaml:18: the id 'drop' is used already (quiz/bank/x.yaml:3); give this question an"
            " id of its own"
        ),
    ),
    (
        "id: drop",
        "id: Drop it",
        "x.yaml:3: a question: 'id' is 'Drop it'; use small letters, digits, dots and hyphens",
    ),
    (
        "safety: true",
        "safety: maybe",
        "x.yaml:34: question choice: 'safety' is 'maybe'; write one of: true, false",
    ),
    (
        "topic: A topic",
        "topic: [a, b]",
        "x.yaml:1: the bank: 'topic' must be one text; write it on one line, or after `>-`",
    ),
    (
        "places: 2",
        "places: 2.5",
        (
            "x.yaml:26: question stated, answer: 'places' must be a whole number from 0 to 6;"
            " write how many decimals the answer is shown with"
        ),
    ),
    (
        "places: 2",
        "places: 2, slack_percent: 50",
        (
            "x.yaml:26: question stated, answer: 'slack_percent' must be above 0 and"
            " at most 5; leave it out for 1"
        ),
    ),
]


@pytest.mark.parametrize(("sound", "broken", "problem"), BROKEN)
def test_questions_from_yaml__a_broken_file(sound: str, broken: str, problem: str) -> None:
    text = GOOD.replace(sound, broken, 1)
    assert text != GOOD
    assert "quiz/bank/" + problem in read(text)[1]


def test_questions_from_yaml__every_kind() -> None:
    questions, problems = read(GOOD_KINDS)
    assert problems == [] and len(questions) == len(KINDS_OF_OWN)
    assert {question.kind for question in [*questions, *read(GOOD)[0]]} == set(QUESTION_KINDS)
    by_id = {question.id: question for question in questions}
    assert (
        by_id["several"].minutes == 2
        and by_id["sequence"].minutes == 2
        and by_id["several"].own.tell_count
    )
    assert (
        by_id["pointing"].drawing is not None
        and by_id["pointing"].drawing.of == "demo"
        and by_id["pointing"].drawing.stage == "spd-leads"
    )
    assert by_id["three-figures"].vary[0].values == ("12", "18") and by_id[
        "three-figures"
    ].own.parts[2].uses == {"V_d": 2}


# In one question of its kind alone: what is broken, how, and how the message goes on after its
# line.
BROKEN_KINDS = [
    (
        "several",
        "{right: true, text: That, feedback: It does.}",
        "{text: That, mistake: m, feedback: f}",
        "1 of 3 options are right; mark two or more right",
    ),
    ("sequence", "      - {text: Lock off}\n", "", "2 steps; give 3 to 7"),
    ("sequence", "    source: common practice\n", "", "the right order is typed and has no source"),
    (
        "sequence-of-stages",
        "only: [earth, bar, tails]",
        "only: [earth, bar]",
        "2 steps; keep 3 to 7",
    ),
    (
        "partners",
        "    source: common practice\n",
        "",
        "the right partners are typed and have no source",
    ),
    ("partners", "mistake: slip one, ", "", "'mistake' is missing"),
    ("partners", "{view: board}", "{view: bord}", "'view' is 'bord'; did you mean 'board'?"),
    (
        "partners",
        "{view: board}",
        "{view: board, stage: earth}",
        "'stage' belongs to the view 'wiring'",
    ),
    ("partners", "{view: board}", "{view: chart}", "'chart' is missing"),
    (
        "pointing",
        "    drawing: {view: wiring, stage: spd-leads}\n",
        "",
        "a question of kind 'point' needs a drawing",
    ),
    ("pointing", "right: true", "mistake: m, feedback: f", "0 spots are right; mark one"),
    ("pointing", "neutral-bar.2", "F1.L1", "the spot 'F1.L1' stands twice"),
    ("pointing", "neutral-bar.2", "../x", "'../x' is no place of a drawing"),
    ("finding", ", mistake: surge-device-without-earth", "", "the drawing holds no mistake"),
    (
        "foretelling",
        "test: continuity",
        "test: continuty",
        "'test' is 'continuty'; did you mean 'continuity'?",
    ),
    (
        "foretelling",
        "between: [F1.PE, earth-bar.1], ",
        "between: [F1.PE], ",
        "a test stands between two terminals",
    ),
    (
        "foretelling",
        "{text: 0.02 ohm, mistake: slip, feedback: No.}",
        "{text: 0.02 ohm, right: true}",
        "the right reading is worked, not typed",
    ),
    (
        "foretelling-a-figure",
        "    mistakes:\n      - {mistake: slip, arithmetic: 2 * answer, feedback: No.}\n",
        "",
        "a reading in words needs `options`",
    ),
    (
        "three-figures",
        "      - {ask: Share, step: voltage-drop-percent, of: c, uses: {V_d: 2}, places: 1}\n",
        "",
        "2 parts; give exactly 3",
    ),
    ("three-figures", "{I_b: 1}", "{I_b: 2}", "'I_b' must be a whole number from 1 to 1"),
    ("three-figures", "part: 2, ", "", "'part' is missing"),
    ("three-figures", "[12, 18]", "[12, 12]", "takes a value twice"),
    (
        "three-figures",
        "circuits.c.route.1.length_m",
        "length",
        "'length' is no key of an installation file",
    ),
    (
        "chart",
        "slack_percent: 15",
        "slack_percent: 20",
        "'slack_percent' must be above 0 and at most 15",
    ),
    ("chart", "view: chart", "view: board", "a chart is read off a drawing of view 'chart'"),
    (
        "pointing",
        "stem: What?\n",
        "stem: What?\n    vary: {circuits.c.x: [1, 2]}\n",
        "a question of kind 'point' has no figures to vary",
    ),
    (
        "several",
        "time_minutes: 2",
        "time_minutes: 0",
        "'time_minutes' must be above 0 and at most 60",
    ),
]


def broken_kind(name: str, sound: str, broken: str) -> str:
    text = f"topic: t\nquestions:\n  - id: {name}\n{COMMON}{KINDS_OF_OWN[name]}"
    assert sound in text and read(text)[1] == []
    return text.replace(sound, broken, 1)


@pytest.mark.parametrize(("name", "sound", "broken", "message"), BROKEN_KINDS)
def test_questions_from_yaml__a_broken_kind(
    name: str, sound: str, broken: str, message: str
) -> None:
    problems = read(broken_kind(name, sound, broken))[1]
    assert any(
        message in problem and problem.startswith("quiz/bank/x.yaml:") for problem in problems
    ), problems


def test_questions_from_yaml__every_problem_at_once() -> None:
    text = (
        GOOD.replace("kind: number", "kind: numbr", 1)
        .replace("use: assigned", "use: asigned")
        .replace("text: This", "txt: This")
    )
    lines = {problem.split(":")[1] for problem in read(text)[1]}
    assert {"7", "23", "39"} <= lines


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "topic",
        "questions: 3",
        "topic: x\nquestions: [1, [2], {a: b}]",
        "topic: x\nquestions:\n  - 7\n",
        "a: {b: [",
        "topic: x\nquestions:\n - {id: a, options: 3, kind: one-answer}",
        "topic: x\nquestions:\n - {id: a, answer: 3, mistakes: x, kind: number, stem: [], with: 2}",
    ],
)
def test_questions_from_yaml__nonsense_is_a_problem(text: str) -> None:
    questions, problems = read(text)
    assert questions == [] and problems


@pytest.mark.parametrize(
    "arithmetic",
    [
        "9**9**9**9",
        "1/0",
        "ln(0)",
        "sqrt(0-1)",
        "(0-8)**0.5",
        "max()",
        "sqrt(1, 2)",
        "1" + "0" * 190,
    ],
)
def test_value_of__no_value_is_no_exception(arithmetic: str) -> None:
    from firstway.quiz.bank.arithmetic import value_of

    value, reason = value_of(arithmetic, {"answer": 1.0})
    assert (value is None) == bool(reason)


# ---- the schema beside the reader ----


@pytest.fixture(scope="module")
def schema(root: Path) -> dict[str, Any]:
    return json.loads((root / "quiz" / "question.schema.json").read_text("utf-8"))


def judged(schema: dict[str, Any], text: str) -> bool:
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    return jsonschema.Draft202012Validator(schema).is_valid(yaml.load(text, Loader=loader))


def test_schema__is_a_schema(schema: dict[str, Any]) -> None:
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    jsonschema.Draft202012Validator.check_schema(schema)


def test_schema__accepts_what_the_reader_accepts(schema: dict[str, Any], root: Path) -> None:
    assert judged(schema, GOOD) and judged(schema, GOOD_KINDS)
    for path in sorted((root / "quiz" / "bank").glob("*.yaml")):
        assert judged(schema, path.read_text("utf-8")), path.name


# The reader alone judges figures in sentences, arithmetic and ids used twice.
BEYOND_A_SCHEMA = {"{design current}", "m_v * I_n * __import__('os')", "m_v * L", "id: drop", ""}


@pytest.mark.parametrize(
    ("sound", "broken"),
    [
        (sound, broken)
        for sound, broken, _ in BROKEN
        if broken not in BEYOND_A_SCHEMA or "source" in sound
    ],
)
def test_schema__refuses_what_the_reader_refuses(
    schema: dict[str, Any], sound: str, broken: str
) -> None:
    assert not judged(schema, GOOD.replace(sound, broken, 1))


# The reader alone counts right options against all, and looks at earlier parts and twins.
BEYOND_A_SCHEMA_TOO = {"{text: That, mistake: m, feedback: f}", "F1.L1", "{I_b: 2}"}


@pytest.mark.parametrize(
    ("name", "sound", "broken"),
    [each[:3] for each in BROKEN_KINDS if each[2] not in BEYOND_A_SCHEMA_TOO],
)
def test_schema__refuses_a_broken_kind(
    schema: dict[str, Any], name: str, sound: str, broken: str
) -> None:
    assert not judged(schema, broken_kind(name, sound, broken))


def test_schema__names_every_key_of_the_reader(schema: dict[str, Any]) -> None:
    """Without jsonschema too: the keys of the schema are those the reader offers."""
    broken = GOOD + GOOD_KINDS.partition("questions:\n")[2]
    broken = broken.replace("    stem: ", "    zzzzz: x\n    stem: ")
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
    assert problems == [] and [outcome.id for outcome in chapters[0].outcomes] == [
        "cable.drop",
        "cable.capacity",
    ]
    questions, _ = read(GOOD.replace("outcome: cable.drop", "outcome: cable.dorp", 1))
    assert [str(problem) for problem in unknown_outcomes(questions, chapters)] == [
        "quiz/bank/x.yaml:3: question drop: there is no outcome 'cable.dorp'; did you mean"
        " 'cable.drop'?"
    ]


def test_recipe__names_and_draws() -> None:
    bank, _ = read(GOOD)
    recipe, problems = recipe_from_yaml(
        "id: p\ntitle: P\nuse: practice\nseed: s\nquestions: [choice]\n"
        "draw: [{outcome: cable.drop, number: 1}]\n",
        "quiz/papers/p.yaml",
    )
    assert problems == [] and recipe is not None
    chosen, problems = questions_of(bank, recipe)
    assert problems == [] and [question.id for question in chosen] == ["choice", "drop"]


def test_recipe__problems() -> None:
    bank, _ = read(GOOD)
    recipe, _ = recipe_from_yaml(
        "id: p\ntitle: P\nuse: practice\nseed: s\nquestions: [choise, stated, choice]\n"
        "draw:\n  - {outcome: cable.drop, number: 5}\n",
        "p.yaml",
    )
    assert recipe is not None
    assert [str(problem) for problem in questions_of(bank, recipe)[1]] == [
        "p.yaml:5: there is no question 'choise'; did you mean 'choice'?",
        (
            "p.yaml:5: the question 'stated' is for assigned use; this paper is for practice use:"
            " choose another"
        ),
        (
            "p.yaml:7: the bank holds 1 more questions for 'cable.drop', 5 are asked; ask for"
            " fewer, or write more"
        ),
    ]


def test_draw__a_new_question_moves_few_others() -> None:
    """Ranked by a hash: adding one of 40 changes at most one place of a draw of 10."""
    from dataclasses import replace

    bank, _ = read(GOOD)
    many = [replace(bank[0], id=f"q{number}", line=number) for number in range(40)]
    recipe, _ = recipe_from_yaml(
        "id: p\ntitle: P\nuse: practice\nseed: s\ndraw: [{outcome: cable.drop, number: 10}]\n",
        "p.yaml",
    )
    assert recipe is not None
    before, after = (
        {q.id for q in questions_of(some, recipe)[0]}
        for some in (many, [*many, replace(bank[0], id="new")])
    )
    assert len(before & after) >= 9


# ---- the project's own quiz folder ----


def test_own_bank__reads_without_a_problem(root: Path) -> None:
    bank: list[Question] = []
    for path in sorted((root / "quiz" / "bank").glob("*.yaml")):
        questions, problems = questions_from_yaml(path.read_text("utf-8"), path.name)
        assert problems == []
        bank += questions
    chapters, problems = outcomes_from_yaml(
        (root / "quiz" / "outcomes.yaml").read_text("utf-8"), "outcomes.yaml"
    )
    assert problems == [] and unknown_outcomes(bank, chapters) == [] and ids_used_twice(bank) == []
    assert (
        len(bank) >= 12
        and sum(isinstance(getattr(question.own, "answer", None), FigureOf) for question in bank)
        >= 6
    )
    for path in sorted((root / "quiz" / "papers").glob("*.yaml")):
        recipe, problems = recipe_from_yaml(path.read_text("utf-8"), path.name)
        assert problems == [] and recipe is not None
        assert questions_of(bank, recipe, chapters)[1] == []
