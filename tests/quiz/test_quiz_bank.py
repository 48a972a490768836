"""The question bank: read with every problem at once, and the schema beside the reader.

The schema is JSON Schema 2020-12; jsonschema judges it where that library is installed.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from firstway.files.yaml_reader import value_of_yaml
from firstway.pages.shared.declared_files import DECLARED_FILES, schema_of_file
from firstway.quiz.bank.question import FigureOf, Question, outcomes_from_yaml, unknown_outcomes
from firstway.quiz.forms.number.form import Stated
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
        "x.yaml:6: unknown key 'dificulty'; did you mean 'difficulty'?",
    ),
    (
        "difficulty: 3",
        "difficulty: 9",
        "x.yaml:6: 'questions.drop.difficulty' is 9; it must be 4 or less",
    ),
    (
        "kind: number",
        "kind: numbr",
        "x.yaml:7: 'questions.1.kind' is 'numbr'; did you mean 'number'?",
    ),
    (
        "use: practice",
        "use: training",
        "x.yaml:8: 'questions.drop.use' is 'training'; use one of: practice, assigned",
    ),
    (
        "    outcome: cable.drop\n    chapter: the-cable\n    difficulty: 3\n",
        "    chapter: the-cable\n    difficulty: 3\n",
        "x.yaml:3: 'questions.drop.outcome' is missing; add `outcome:`",
    ),
    (
        "    installation: demo\n",
        "",
        "x.yaml:9: question drop: in 'stem': {design-current:c} names no installation; add "
        "`installation:` to the question",
    ),
    (
        "{design-current:c}",
        "{design current}",
        "x.yaml:10: question drop: in 'stem': a brace stands here that is no figure; write "
        "{step:of}, {step:of:installation}, {step:of:installation:symbol} or {key:path}",
    ),
    (
        "m_v * I_n * L / 1000",
        "m_v * I_n * __import__('os')",
        "x.yaml:15: question drop: 'm_v * I_n * __import__('os')' is not plain arithmetic (it "
        "cannot be read); use names, numbers, + - * / **, brackets, sqrt, ln, min and max",
    ),
    (
        "m_v * I_n * L / 1000",
        "m_v * L",
        "x.yaml:16: question drop: 'I_n' is not used in the arithmetic; use it or remove it",
    ),
    (
        ', source: "IEC 60364-5-53 534.4.8"',
        "",
        "x.yaml:26: question stated: 'source' is missing; add `source:`",
    ),
    (
        "value: 0.5",
        "value: half",
        "x.yaml:26: 'questions.stated.answer.value' is 'half', not a number; write the number "
        "alone; its unit is in the key",
    ),
    (
        "    source: common practice\n",
        "",
        "x.yaml:28: question choice: the right answer is typed and has no source; add "
        "`source:` (a clause and its edition, a book, or `common practice`)",
    ),
    (
        "mistake: first slip, ",
        "",
        "x.yaml:40: question choice: 'mistake' is missing; add `mistake:`",
    ),
    (", feedback: No.}", "}", "x.yaml:40: question choice: 'feedback' is missing; add `feedback:`"),
    ("text: This", "txt: This", "x.yaml:39: unknown key 'txt'; did you mean 'text'?"),
    (
        "text: This",
        "text: This, mistake: slip",
        "x.yaml:39: question choice: the right answer names a mistake; remove `mistake:` or "
        "`right:`",
    ),
    (
        "id: stated",
        "id: drop",
        "x.yaml:18: the id 'drop' is used already (quiz/bank/x.yaml:3); give this question an "
        "id of its own",
    ),
    (
        "id: drop",
        "id: Drop it",
        "x.yaml:3: 'questions.1.id' is 'Drop it', which cannot be a name; use small letters, "
        "digits, dots and hyphens",
    ),
    (
        "safety: true",
        "safety: maybe",
        "x.yaml:34: 'questions.choice.safety' is 'maybe'; write true or false",
    ),
    (
        "topic: A topic",
        "topic: [a, b]",
        "x.yaml:1: 'topic' must be one value; write it without brackets, or put quotes around "
        "text that holds them",
    ),
    (
        "places: 2",
        "places: 2.5",
        "x.yaml:26: 'questions.stated.answer.places' is 2.5; write a whole number",
    ),
    (
        "places: 2",
        "places: 2, slack_percent: 50",
        "x.yaml:26: 'questions.stated.answer.slack_percent' is 50; it must be 5 or less",
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
    ("sequence", "      - {text: Lock off}\n", "", "has 2 entries; it must have 3 or more"),
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
    ("partners", "mistake: slip one, ", "", "mistake' is missing"),
    ("partners", "{view: board}", "{view: bord}", "view' is 'bord'; did you mean 'board'?"),
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
    ("pointing", "neutral-bar.2", "../x", "is '../x', which cannot be a name"),
    ("finding", ", mistake: surge-device-without-earth", "", "the drawing holds no mistake"),
    (
        "foretelling",
        "test: continuity",
        "test: continuty",
        "test' is 'continuty'; did you mean 'continuity'?",
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
        "has 2 entries; it must have 3 or more",
    ),
    (
        "three-figures",
        "{I_b: 1}",
        "{I_b: 2}",
        "'I_b' follows from part 2, which does not stand before it",
    ),
    ("three-figures", "part: 2, ", "", "part' is missing"),
    ("three-figures", "[12, 18]", "[12, 12]", "names '12' twice"),
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
        "slack_percent' is 20; it must be 15 or less",
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
        "time_minutes' is 0; it must be more than 0",
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
        "topic: x\nquestions: [{id: a, kind: number}, {id: b, kind: number}]",
        "topic: x\nquestions: [{id: a, kind: point, spots: [], drawing: 3}]",
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
    from firstway.quiz.bank.written import value_of

    value, reason = value_of(arithmetic, {"answer": 1.0})
    assert (value is None) == bool(reason)


# ---- the schema of the same declarations ----


def judged(text: str) -> bool:
    jsonschema = pytest.importorskip("jsonschema", reason="jsonschema is not installed")
    schema = schema_of_file(next(each for each in DECLARED_FILES if each.name == "bank"))
    return bool(jsonschema.Draft202012Validator(schema).is_valid(value_of_yaml(text)))


def test_schema__accepts_what_the_reader_accepts() -> None:
    assert judged(GOOD) and judged(GOOD_KINDS)


# What keys must agree on among themselves is beyond the schema: the reader alone judges it, and
# figures in sentences, arithmetic and ids used twice.
BEYOND_A_SCHEMA = {
    "",
    "{design current}",
    "m_v * I_n * __import__('os')",
    "m_v * L",
    "id: drop",
    "}",
    "text: This, mistake: slip",
}


@pytest.mark.parametrize(
    ("sound", "broken"),
    [each[:2] for each in BROKEN if each[1] not in BEYOND_A_SCHEMA],
)
def test_schema__refuses_what_the_reader_refuses(sound: str, broken: str) -> None:
    assert not judged(GOOD.replace(sound, broken, 1))


@pytest.mark.parametrize("name", ["partners", "foretelling", "three-figures", "chart", "pointing"])
def test_schema__refuses_the_keys_of_another_kind(name: str) -> None:
    text = f"topic: t\nquestions:\n  - id: {name}\n{COMMON}{KINDS_OF_OWN[name]}"
    assert judged(text) and not judged(text + "    tell_count: true\n")


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
