"""Windows, options and the lint of worked questions.

Figures of the fake working: 7.3 mV/A/m for 6 mm2 flat cable is BS 7671 Table 4D5; 1.09 ohm for a
curve B 40 A device is BS 7671 Table 41.3; 0.95 the factor of the fourth amendment of 2015 and
later.
"""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest

from firstway.calculations.formula import Formula
from firstway.quiz.forms.lint import flaws_of
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.registry import marked
from firstway.quiz.forms.values import worked
from firstway.quiz.forms.worked_question import WorkedQuestion, content_text, window
from firstway.quiz.questions import questions_from_yaml
from firstway.workings.shared.step import Figures, Step

DROP = Formula(
    "drop",
    "V_d = m_v * I_b * L / 1000",
    {"V_d": "V", "m_v": "mV/A/m", "I_b": "A", "L": "m"},
    "made for this test",
    standing="computed",
)


def step(
    step_id: str,
    value: float | None,
    unit: str,
    places: int = 2,
    formula: Formula | None = None,
    **figures: float,
) -> Step:
    put_in = Figures(formula, figures) if formula else None
    return Step(
        step_id,
        "c",
        step_id,
        "x",
        value,
        unit,
        "formula" if formula else "fact",
        (),
        "made for this test",
        "",
        places=places,
        figures=put_in,
        ask="measure it" if value is None else "",
    )


STEPS = {
    item.id: item
    for item in (
        step("design-current", 32.0, "A"),
        step("device-rating", 40.0, "A", 0),
        step("voltage-drop", 7.3 * 32 * 18 / 1000, "V", 2, DROP, m_v=7.3, I_b=32.0, L=18.0),
        step("loop-impedance", None, "ohm"),
    )
}


def step_of(installation: str, step_id: str, of: str) -> Step | None:
    return STEPS.get(step_id) if (installation, of) == ("demo", "c") else None


def question_text(
    answer: str = "{step: voltage-drop, of: c}",
    arithmetic: str = "m_v * I_n * L / 1000",
    stem: str = "Which drop?",
) -> str:
    return f"""\
topic: t
questions:
  - id: drop
    outcome: a.b
    chapter: a
    difficulty: 3
    kind: number
    use: practice
    installation: demo
    stem: "{stem}"
    why: "At {{design-current:c}} over {{voltage-drop:c::L}}."
    answer: {answer}
    mistakes:
      - mistake: using the device rating
        arithmetic: {arithmetic}
        with: {{I_n: {{step: device-rating, of: c}}}}
        feedback: The load counts.
"""


def choice_text(options: str) -> str:
    return (
        "topic: t\nquestions:\n  - {id: pick, outcome: a.b, chapter: a, difficulty: 2, kind:"
        " one-answer, use: practice, installation: demo, source: common practice, stem: Which one,"
        f" why: So.,\n     options: [{options}]}}\n"
    )


def work(text: str, seed: str = "s") -> tuple[WorkedQuestion | None, list[str]]:
    questions, problems = questions_from_yaml(text, "x.yaml")
    assert problems == []
    made, problems = worked(questions[0], step_of, seed)
    return made, [str(problem) for problem in problems]


def flaws(text: str) -> list[str]:
    made, problems = work(text)
    assert made is not None, problems
    return [str(flaw) for flaw in flaws_of(made)]


def test_worked__number() -> None:
    made, problems = work(question_text())
    assert made is not None and problems == [] and flaws_of(made) == []
    assert isinstance(made.key, NumberKey)
    assert made.key.answer == "4.20 V" and made.key.why == "At 32.00 A over 18 m."
    assert marked(made.key, "4,2 V").state == "right"
    mark = marked(made.key, "5.256")  # 7.3 x 40 x 18 / 1000
    assert (mark.state, mark.mistake) == ("mistake", "using the device rating")
    assert "The load counts." in mark.feedback and "4.20 V" in mark.feedback


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        (
            question_text(stem="Over {voltage-dorp:c}?"),
            (
                "x.yaml:3: question drop: there is no step voltage-dorp of c in demo;"
                " name a step that the installation's working holds"
            ),
        ),
        (
            question_text(stem="{voltage-drop:c::K}?"),
            (
                "x.yaml:3: question drop: no symbol K is put into voltage-drop of c"
                " (there: I_b, L, m_v); name a step that the installation's working holds"
            ),
        ),
        (
            question_text(answer="{step: loop-impedance, of: c}"),
            (
                "x.yaml:3: question drop: loop-impedance of c in demo is not known:"
                " measure it; name a step that the installation's working holds and knows"
            ),
        ),
        (
            question_text(arithmetic="m_v * I_n * K"),
            (
                "x.yaml:14: question drop: m_v * I_n * K: 'K' is not known here (known: I_b, I_n,"
                " L, answer, m_v); name the symbol under `with:` or put the arithmetic right"
            ),
        ),
        (
            question_text(arithmetic="m_v / (I_n - 40)"),
            (
                "x.yaml:14: question drop: m_v / (I_n - 40): it has no value with these figures;"
                " name the symbol under `with:` or put the arithmetic right"
            ),
        ),
    ],
)
def test_worked__what_is_missing_is_a_problem(text: str, problem: str) -> None:
    made, problems = work(text)
    assert made is None and problem in problems


@pytest.mark.parametrize("places", [0, 1, 2, 3])
@pytest.mark.parametrize(
    "value", [0.0, 0.0004, 0.41535, 1.0925, 4.2496, 4.25, 5.0, 42.328, 526.65, 1666.6667, -25.0]
)
def test_window__no_sensible_rounding_sits_on_a_bound(value: float, places: int) -> None:
    """Round half up, half down, up and down to the places shown, or finer: inside, and never on the
    edge.
    """
    low, high = window(value, places, 1.0)
    for finer in range(places, places + 3):
        rounded = float(Decimal(repr(value)).quantize(Decimal(1).scaleb(-finer), ROUND_HALF_UP))
        assert low < rounded < high
        assert Decimal(repr(low)) % Decimal(1).scaleb(-finer) and Decimal(repr(high)) % Decimal(
            1
        ).scaleb(-finer)


def test_window__three_figures_on_the_way() -> None:
    """Two factors rounded to three figures move a product by at most 1 % (0.5 % each)."""
    for first, second in ((1.005, 1.005), (9.995, 3.085), (2.345, 7.305)):
        exact = first * second
        rounded = float(f"{first:.3g}") * float(f"{second:.3g}")
        low, high = window(exact, 2, 1.0)
        assert low <= rounded <= high


def test_options__order_follows_the_seed_and_nothing_else() -> None:
    text = choice_text(
        "{right: true, text: One thing}, {text: Other things, mistake: m1, feedback: f}, {text:"
        " Third things, mistake: m2, feedback: f}, {text: Fourth things, mistake: m3, feedback: f}"
    )
    orders = []
    for seed in ("a", "a", *"bcdefgh"):
        made, _ = work(text, seed)
        assert made is not None
        orders.append(tuple(content_text(option.content) for option in made.options))
    assert orders[0] == orders[1] and len(set(orders)) > 3


def test_options__figures_stand_in_order_of_size() -> None:
    made, problems = work(
        choice_text(
            "{right: true, figure: {step: design-current, of: c}}, {arithmetic: answer * 1.25,"
            " mistake: m1, feedback: f}, {arithmetic: answer * 0.8, mistake: m2, feedback: f}"
        )
    )
    assert made is not None and problems == [] and flaws_of(made) == []
    assert [content_text(option.content) for option in made.options] == [
        "25.60 A",
        "32.00 A",
        "40.00 A",
    ]
    assert isinstance(made.key, OneAnswerKey)
    right = next(option for option in made.options if option.right)
    assert marked(made.key, right.id).points == 1


WRONG = (
    "{text: Other words here, mistake: m1, feedback: f}, {text: Third words here, mistake: m2,"
    " feedback: f}"
)


@pytest.mark.parametrize(
    ("text", "flaw"),
    [
        (
            choice_text("{right: true, text: A}, {right: true, text: B}, " + WRONG),
            "2 options are right",
        ),
        (
            choice_text(
                "{right: true, text: A}, {text: All of the above, mistake: m, feedback: f}, "
                + WRONG
            ),
            "points at other options",
        ),
        (
            choice_text(
                "{right: true, text: A}, {text: Neither of these, mistake: m, feedback: f}, "
                + WRONG
            ),
            "points at other options",
        ),
        (
            choice_text("{right: true, text: A}, {text: B, mistake: m, feedback: f}"),
            "2 options; give 3 or more",
        ),
        (
            choice_text(
                "{right: true, text: A}, {text: Third words here, mistake: m, feedback: f}, "
                + WRONG
            ),
            "two options read",
        ),
        (
            choice_text("{right: true, figure: {step: design-current, of: c}}, " + WRONG),
            "words and figures stand side by side",
        ),
        (question_text(arithmetic="answer * I_n / 40"), "cannot be told from the right answer"),
    ],
)
def test_flaws_of(text: str, flaw: str) -> None:
    assert any(flaw in found for found in flaws(text))


def test_no_option_right__is_a_problem() -> None:
    made, problems = work(
        choice_text("{text: Zeroth words here, mistake: m0, feedback: f}, " + WRONG)
    )
    assert made is None and "no option is right" in problems[0]
