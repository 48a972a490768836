"""Each kind worked from the project's own installations: what it gives, and what is told where it
cannot be worked.

Facts of Marram Boatyard: set current 32 A, 18 m of 6 mm2 cable (examples in its file). The reading
of a lead that is not joined is `open`, whatever the board.
"""

from __future__ import annotations

import html
import json
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
import start

from firstway.calculations.formula import Formula
from firstway.files.yaml_reader import data_from_yaml
from firstway.pages.quizzes.quiz_drawings import _drawn, drawing_of, stage_texts
from firstway.quiz.bank.question import Question, Varied
from firstway.quiz.forms.match.answers import MatchKey
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.order.answers import OrderKey
from firstway.quiz.forms.registry import data_of_key, key_from_data, marked
from firstway.quiz.forms.sources import Sources, sources_from
from firstway.quiz.forms.values import changes_of, number_of_variants, variants, worked
from firstway.quiz.forms.worked_question import (
    WorkedQuestion,
    content_text,
    html_of,
    key_figure,
    text_of,
)
from firstway.quiz.forms.working.answers import WorkingKey, postfix_value
from firstway.quiz.forms.working.form import postfix
from firstway.quiz.paper.page import json_for_page
from firstway.quiz.questions import kept_data_from_yaml, questions_from_yaml
from firstway.quiz.shelf import shelf_from

HEAD = (
    "outcome: a.b, chapter: a, difficulty: 2, use: practice, source: common practice, stem: What?,"
    " why: So., installation: marram, "
)
HEAD = HEAD.replace("What?", '"What?"')


@cache
def sources(drawn: bool = False) -> Sources:
    return sources_from(start.ROOT, _drawn if drawn else None, stage_texts)


def read(item: str, head: str = HEAD) -> Question:
    questions, problems = questions_from_yaml(
        f"topic: t\nquestions:\n  - {{id: q, {head}{item}}}\n", "x.yaml"
    )
    assert problems == [], problems
    return questions[0]


def work(item: str, seed: str = "s", drawn: bool = False) -> WorkedQuestion:
    made, problems = worked(read(item), sources(drawn), seed)
    assert made is not None and problems == [], problems
    return made


def problems_of(item: str, drawn: bool = False) -> list[str]:
    made, problems = worked(read(item), sources(drawn), "s")
    assert made is None
    return [str(problem) for problem in problems]


# ---- figures and keys ----

DROP = (
    "kind: number, answer: {step: voltage-drop, of: slipway}, mistakes: [{mistake: twice,"
    " arithmetic: 2 * answer, feedback: f}]"
)


def test_a_key_is_quoted_with_its_unit_and_follows_the_variant() -> None:
    stem = (
        '"Over {key:circuits.slipway.route.1.length_m} at {key:charging_points.post-1.current_a} in'
        ' {key:supply.system}?"'
    )
    question = read(
        DROP + ", vary: {circuits.slipway.route.1.length_m: [12, 24]}",
        HEAD.replace('"What?"', stem),
    )
    texts = {text_of(made.stem) for made in variants(question, sources())}
    job = sources().completed_of("marram")
    assert job is not None
    first, _ = key_figure(job.installation, "circuits.slipway.route.1.length_m")
    assert (
        first is not None
        and {f"Over {length} at 32 A in TN-C-S?" for length in (first.text, "12 m", "24 m")}
        == texts
    )


@pytest.mark.parametrize(
    "path",
    [
        "circuits.slipway.rout.1.length_m",
        "circuits.nobody.route",
        "board",
        "supply.lines_of",
        "__class__",
        "circuits.slipway.route.99.length_m",
    ],
)
def test_a_key_that_is_none_is_told(path: str) -> None:
    job = sources().completed_of("marram")
    assert job is not None
    figure, reason = key_figure(job.installation, path)
    assert figure is None and path in reason


# ---- variants ----


def test_variants__each_is_the_installation_with_its_keys_changed() -> None:
    question = read(
        DROP + ", vary: {circuits.slipway.route.1.length_m: [12, 24, 36],"
        " charging_points.post-1.current_a: [16, 20]}"
    )
    assert number_of_variants(question) == 7
    changes = [changes_of(question, place) for place in range(7)]
    assert changes[0] == () and len(set(changes)) == 7 and changes_of(question, 7) is None
    made = variants(question, sources())
    assert [each.variant for each in made] == list(range(7))
    job = sources().completed_of("marram")
    assert job is not None
    whole = job.case.workings
    # Ib x L enters the circuit's drop as a factor; the feed's share goes with Ib alone (see the
    # working).
    for each in made[1:]:
        change = dict(changes_of(question, each.variant) or ())
        length = sum(
            part.length_m for part in job.installation.circuit("slipway").route[1:]
        ) + float(change["circuits.slipway.route.1.length_m"])
        current = float(change["charging_points.post-1.current_a"])
        feed = (whole.value("voltage-drop", "feed") or 0.0) * current / 32
        mv = whole.find("voltage-drop", "slipway").figures.values["m_v"]
        assert float(each.answer.value) == pytest.approx(
            feed + mv * current * length / 1000, rel=1e-9
        )


def test_variants__twenty_at_most_and_taken_evenly() -> None:
    question = read(
        DROP
        + ", vary: {circuits.slipway.route.1.length_m: [10, 11, 12, 13, 14, 15, 16, 17, 18, 19],"
        " charging_points.post-1.current_a: [10, 13, 16, 20, 32]}"
    )
    changes = [
        dict(changes_of(question, place) or ()) for place in range(1, number_of_variants(question))
    ]
    assert number_of_variants(question) == 20
    assert (
        len({each["circuits.slipway.route.1.length_m"] for each in changes}) == 10
        and len({each["charging_points.post-1.current_a"] for each in changes}) >= 4
    )


def test_variants__taken_from_more_combinations_than_could_be_counted_through() -> None:
    """Twelve keys of twenty values have 4e15 combinations; before, the last of the twenty was
    reached by going through them.
    """
    question = replace(
        read(DROP),
        vary=tuple(
            Varied(f"circuits.slipway.route.{key}.length_m", tuple(map(str, range(1, 21))), 1)
            for key in range(12)
        ),
    )
    changes = [changes_of(question, place) for place in range(1, number_of_variants(question))]
    assert len(set(changes)) == 19 and {
        dict(each or ())["circuits.slipway.route.0.length_m"] for each in changes
    } >= {"1", "10", "19"}


def test_mistakes__more_than_learners_make_are_told_at_once() -> None:
    """Before, three thousand mistakes of one number took 21 s and 1.3 GB: each was compared with
    each.
    """
    mistakes = ", ".join(["{mistake: twice, arithmetic: 2 * answer, feedback: f}"] * 3000)
    _, problems = questions_from_yaml(
        f"topic: t\nquestions:\n  - {{id: q, {HEAD}kind: number, answer: {{step: voltage-drop, of:"
        f" slipway}},\n      mistakes: [{mistakes}]}}\n",
        "x.yaml",
    )
    assert [str(problem) for problem in problems] == [
        "x.yaml:4: 'questions.q.mistakes' has 3000 entries; it may have 9; take out what does not"
        " belong there"
    ]


def test_variants__one_whose_mistake_meets_the_answer_is_dropped() -> None:
    """Set to 16 A the slip `16 A` is the right answer."""
    item = (
        "kind: number, answer: {step: design-current, of: slipway}, mistakes: [{mistake: sixteen,"
        " arithmetic: 16 + 0 * answer, feedback: f}]"
    )
    made = variants(
        read(item + ", vary: {charging_points.post-1.current_a: [10, 16, 20]}"), sources()
    )
    assert [content_text(each.answer) for each in made if each.variant] and "16.00 A" not in {
        content_text(each.answer) for each in made
    }
    assert len(made) == 3


def test_variants__that_ask_the_same_are_one() -> None:
    question = read(DROP + ", vary: {circuits.slipway.route.1.length_m: [24, 24.0, 36]}")
    assert number_of_variants(question) == 4
    assert len(variants(question, sources())) == 3


def test_variants__a_size_that_was_chosen_is_given_once_it_is_varied() -> None:
    job = sources().completed_of("marram")
    path = "circuits.slipway.cable.csa_mm2"
    assert job is not None and path in job.log
    changed = sources().varied("marram", ((path, "16"),))
    assert (
        changed is not None and job.case.workings.find("conductor-size", "slipway").kind == "choice"
    )
    step = changed.case.workings.find("conductor-size", "slipway")
    assert step is not None and (step.value, step.kind) == (16.0, "fact")


@pytest.mark.parametrize(
    ("vary", "message"),
    [
        (
            "circuits.slipway.route.1.lenght_m: [12]",
            "x.yaml:3: question q: 'circuits.slipway.route.1.lenght_m' names nothing in marram",
        ),
        (
            "circuits.slipway.route.1: [12]",
            "x.yaml:3: question q: 'circuits.slipway.route.1' names nothing in marram",
        ),
        (
            "circuits.slipway.route.1.length_m: [12, long]",
            "x.yaml:3: question q: 'circuits.slipway.route.1.length_m'",
        ),
        (
            "circuits.slipway.route.1.length_m: [12, -3]",
            "x.yaml:3: question q: 'circuits.slipway.route.1.length_m'",
        ),
    ],
)
def test_variants__a_key_or_a_value_that_cannot_be_is_told(vary: str, message: str) -> None:
    assert any(problem.startswith(message) for problem in problems_of(f"{DROP}, vary: {{{vary}}}"))


# ---- choosing ----

OPTIONS = [
    "{text: One thing, mistake: m1, feedback: f}",
    "{text: Other things, mistake: m2, feedback: f}",
    "{text: Third things, mistake: m3, feedback: f}",
    "{text: Fourth things, mistake: m4, feedback: f}",
]


def shown_order(options: Sequence[str], right: int, seed: str) -> list[str]:
    items = [
        (
            f"{{right: true, text: {each.partition('text: ')[2].partition(',')[0]}}}"
            if place == right
            else each
        )
        for place, each in enumerate(options)
    ]
    made = work(f"kind: one-answer, options: [{', '.join(items)}]", seed)
    assert [option.id for option in made.options] == list("abcd") and sorted(
        option.place for option in made.options
    ) == [0, 1, 2, 3]
    return [content_text(option.content) for option in made.options]


def test_the_shown_order_hangs_on_seed_and_place_never_on_which_is_right() -> None:
    for seed in "abcdef":
        orders = [shown_order(OPTIONS, right, seed) for right in range(4)]
        assert all(order == orders[0] for order in orders)
    assert len({tuple(shown_order(OPTIONS, 0, seed)) for seed in "abcdefgh"}) >= 4


def test_the_shown_order_differs_from_question_to_question() -> None:
    item = "kind: one-answer, options: [{right: true, text: One}, " + ", ".join(OPTIONS[1:]) + "]"
    orders = {
        tuple(
            option.place
            for option in worked(replace(read(item), id=f"q{number}"), sources(), "s")[0].options
        )
        for number in range(12)
    }
    assert len(orders) >= 4


def test_the_right_answer_stands_at_each_place_about_as_often() -> None:
    """Over 400 seeds of four options: 100 at each place, three deviations of the binomial (8.7)
    apart at most.
    """
    places = [
        next(
            option.id
            for option in work(
                "kind: one-answer, options: [{right: true, text: One}, "
                + ", ".join(OPTIONS[1:])
                + "]",
                str(seed),
            ).options
            if option.right
        )
        for seed in range(400)
    ]
    assert all(abs(places.count(letter) - 100) < 3 * 8.7 for letter in "abcd")


def test_order__is_never_shown_as_it_should_be() -> None:
    for seed in range(60):
        made = work(
            "kind: order, steps: [{text: One, because: it is}, {text: Two}, {text: Three}]",
            str(seed),
        )
        assert isinstance(made.key, OrderKey)
        shown = " ".join(option.id for option in made.options)
        assert shown == "a b c" and marked(made.key, shown).points == 0
        right = " ".join(step.id for step in made.key.steps)
        assert marked(made.key, right).points == 1
        assert [step.text for step in made.key.steps] == ["One", "Two", "Three"]


def test_order__from_the_stages_of_a_job() -> None:
    made = work("kind: order, steps_from: {stages: marram, only: [earth, bar, tails]}")
    assert isinstance(made.key, OrderKey)
    assert [option.place for option in sorted(made.options, key=lambda option: option.place)] == [
        0,
        1,
        2,
    ]
    assert made.key.steps[0].text.startswith(
        "Earth bar and main protective conductor. Earth goes in first"
    )
    assert (
        "stages are too many to put in order"
        in problems_of("kind: order, steps_from: {stages: marram}")[0]
    )
    assert (
        "there is no stage 'earht' of marram"
        in problems_of("kind: order, steps_from: {stages: marram, only: [earht, bar, tails]}")[0]
    )
    assert (
        "there is no installation 'nowhere'"
        in problems_of("kind: order, steps_from: {stages: nowhere, only: [earth, bar, tails]}")[0]
    )


def test_match__rows_with_the_same_partner_share_it() -> None:
    made = work(
        "kind: match, rows: [{text: A, item: x, mistake: m1, feedback: f}, {text: B, item: x,"
        " mistake: m2, feedback: f}, {text: {figure: {step: design-current, of: slipway}}, item: y,"
        " mistake: m3, feedback: f}], spare: [{text: z}]"
    )
    assert (
        isinstance(made.key, MatchKey)
        and len(made.items) == 3
        and sorted(made.key.items) == ["a", "b", "c"]
    )
    assert made.rows[0].item == made.rows[1].item != made.rows[2].item
    assert content_text(made.rows[2].content) == "32.00 A"


# ---- spots ----

FIND = "kind: find-the-mistake, drawing: {view: wiring, mistake: %s}, spots: [%s]"
SPOTS = "{place: F1.L1, mistake: m1, feedback: f}, {place: Q1, mistake: m2, feedback: f}"


@pytest.mark.parametrize("drawn", [False, True])
def test_find_the_mistake__its_place_is_the_right_spot(drawn: bool) -> None:
    made = work(FIND % ("surge-device-without-earth", SPOTS), drawn=drawn)
    right = next(option for option in made.options if option.right)
    assert right.spot == "F1.PE" and right.place == 2 and isinstance(made.key, OneAnswerKey)
    assert marked(made.key, right.id).state == "right" and (made.drawing is not None) == drawn
    if drawn:
        assert content_text(right.content).startswith("F1") and made.drawing is not None
        assert (
            'id="q-q-wire.lead.PE.F1"' not in made.drawing.svg
            and made.drawing.svg.count('class="spot"') == 3
        )


@pytest.mark.parametrize(
    ("item", "message"),
    [
        (
            FIND % ("surge-device-without-eart", SPOTS),
            (
                "there is no mistake 'surge-device-without-eart' (did you mean"
                " 'surge-device-without-earth'?)"
            ),
        ),
        (
            FIND % ("electrode-lead-lost", SPOTS),
            "the mistake 'electrode-lead-lost' cannot be made on marram",
        ),
        (
            FIND
            % (
                "surge-device-without-earth",
                "{place: lead.PE.F1, mistake: m, feedback: f}, " + SPOTS,
            ),
            "the spot 'lead.PE.F1' is a place of the mistake too",
        ),
        (
            FIND.replace("view: wiring,", "view: wiring, of: nowhere,")
            % ("surge-device-without-earth", SPOTS),
            "there is no installation 'nowhere'",
        ),
        (
            "kind: point, drawing: {view: wiring}, spots: [{place: F1.L9, right: true}, "
            + SPOTS
            + "]",
            "the drawing does not show 'F1.L9'; did you mean 'F1.L1'?",
        ),
    ],
)
def test_spots__what_cannot_be_worked_is_told(item: str, message: str) -> None:
    assert any(message in problem for problem in problems_of(item))


@pytest.mark.parametrize(
    ("drawing", "message"),
    [
        ("{view: wiring, stage: sunrise}", "there is no drawing 'sunrise' of marram"),
        ("{view: chart, chart: sunrise}", "there is no drawing 'sunrise' of marram"),
        ("{view: wiring, of: nowhere}", "there is no installation 'nowhere'"),
    ],
)
def test_drawing__that_there_is_none_of_is_told(drawing: str, message: str) -> None:
    assert any(
        message in problem for problem in problems_of(f"{DROP}, drawing: {drawing}", drawn=True)
    )


# ---- readings ----

OPEN = (
    "kind: foretell, reading: {mistake: surge-device-without-earth}, options: [{text: 0.02 ohm,"
    " mistake: m1, feedback: f}, {text: Over range, mistake: m2, feedback: f}]"
)
R1_R2 = (
    "kind: foretell, reading: {test: continuity, between: [post-1.L1, post-1.PE], open: [origin,"
    " F2], out: [post-1], bridge: [F2.load.L1, earth-bar.1]}, mistakes: [{mistake: one conductor,"
    " arithmetic: answer / 2, feedback: f}]"
)


def test_foretell__in_words_is_chosen() -> None:
    made = work(OPEN)
    assert content_text(made.answer) == "Open" and isinstance(made.key, OneAnswerKey)
    assert {option.place for option in made.options} == {0, 1, 2}


def test_foretell__a_figure_is_typed() -> None:
    """IEC 60228: 6 mm2 is 3.08 ohm/km; 18 m of line and as much protective core: 2 x 3.08 x 0.018 =
    0.111 ohm.
    """
    made = work(R1_R2)
    assert isinstance(made.key, NumberKey) and made.key.low < 0.11088 < made.key.high
    assert content_text(made.answer) == "0.111 Ω"
    assert (
        marked(made.key, "0,111 ohm").state == "right"
        and marked(made.key, "0.055").mistake == "one conductor"
    )


@pytest.mark.parametrize(
    ("item", "message"),
    [
        (
            OPEN.replace("surge-device-without-earth", "surge-device-worn"),
            "no test shows the mistake 'surge-device-worn'",
        ),
        (R1_R2.replace("post-1.PE]", "post-9.PE]"), "there is no terminal 'post-9.PE' in marram"),
        (
            R1_R2.replace("bridge: [F2.load.L1, earth-bar.1]", "open: [origin]")
            .replace(", open: [origin, F2]", "")
            .replace("out: [post-1], ", ""),
            "the reading is in words: 'open'",
        ),
        (
            R1_R2.replace("{test:", "{of: plover, test:").replace("post-1", "quay-post"),
            "this reading cannot be foretold: a parallel way has a resistance",
        ),
        (R1_R2.replace("{test:", "{of: nowhere, test:"), "there is no installation 'nowhere'"),
    ],
)
def test_foretell__what_cannot_be_foretold_is_told(item: str, message: str) -> None:
    assert any(message in problem for problem in problems_of(item)), problems_of(item)


# ---- a working ----

WORKING = (
    "kind: working, parts: [{ask: Current, step: design-current, of: slipway}, {ask: Drop, step:"
    " voltage-drop, of: slipway, uses: {I_b: 1}}, {ask: Share, step: voltage-drop-percent, of:"
    " slipway, uses: {%s: 2}}], mistakes: [{part: 2, mistake: twice, arithmetic: 2 * p2,"
    " feedback: f}]"
)


def symbols_of_share() -> str:
    job = sources().completed_of("marram")
    assert job is not None
    step, drop = (
        job.case.workings.find("voltage-drop-percent", "slipway"),
        job.case.workings.value("voltage-drop", "slipway"),
    )
    assert step is not None and step.figures is not None
    return next(symbol for symbol, value in step.figures.values.items() if value == drop)


def test_working__follows_the_learners_own_figures() -> None:
    made = work(WORKING % symbols_of_share())
    assert isinstance(made.key, WorkingKey)
    right = " ; ".join(part.answer.text for part in made.parts)
    assert marked(made.key, right).points == 3
    assert [part.half for part in made.key.parts] == [0.005] * 3  # two decimals each
    values = [float(part.answer.value or 0.0) for part in made.parts]
    # With 16 A for 32 A the circuit's own drop halves; the feed's is put in as it is.
    step = made.parts[1].answer.step
    own = {**step.figures.values, "I_b": 16.0}
    drop = step.figures.formula.value(own)
    share = values[2] * drop / values[1]
    mark = marked(made.key, f"16 ; {drop:.2f} ; {share:.2f}")
    assert (mark.points, mark.state) == (2, "part") and mark.feedback.count("follow-through") == 2
    assert marked(
        made.key, f"{values[0]:.2f} ; {2 * values[1]:.2f} ; {2 * values[2]:.2f}"
    ).mistakes == ("twice",)


@pytest.mark.parametrize(
    ("text", "figures", "value"),
    [
        ("x = min(a, b, c) + max(b, a)", {"a": 3.0, "b": 2.0, "c": 1.0}, 4.0),
        ("x = sqrt(a) - b / (c - 4) ** 2", {"a": 9.0, "b": 8.0, "c": 6.0}, 1.0),
        ("x = -a * ln(exp(b)) - -c", {"a": 2.0, "b": 3.0, "c": 1.0}, -5.0),
        ("x = a - b - c", {"a": 2.0, "b": 3.0, "c": 1.0}, -2.0),
    ],
)
def test_postfix__says_what_the_formula_says(
    text: str, figures: dict[str, float], value: float
) -> None:
    """By hand; and with the first symbol left open for the learner's own figure."""
    formula = Formula(
        "made for this test",
        text,
        {**dict.fromkeys(figures, ""), "x": ""},
        "made for this test",
        standing="computed",
    )
    assert formula.value(figures) == pytest.approx(value)
    assert postfix_value(postfix(formula, figures, {}), []) == pytest.approx(value)
    left_open = postfix(formula, figures, {"a": 1})
    assert "p1" in left_open and postfix_value(left_open, [figures["a"]]) == pytest.approx(value)
    assert postfix_value(left_open, [None]) is None


@pytest.mark.parametrize(
    "formula",
    [
        (),
        (1.0, 2.0),
        ("+",),
        (1.0, "+"),
        ("p3",),
        (0.0, "ln"),
        (1.0, 0.0, "/"),
        (-1.0, "sqrt"),
        (-8.0, 0.5, "**"),
        (1e308, 10.0, "*"),
        (1e308, 10.0, "*", 1.0, "max", 0.0, "*"),
        ("word",),
        (1000.0, "exp"),
    ],
)
def test_postfix__without_a_value_is_none(formula: tuple[float | str, ...]) -> None:
    assert postfix_value(formula, [1.0]) is None


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("uses: {I_b: 1}", "uses: {I_x: 1}", "no symbol I_x is put into voltage-drop of slipway"),
        ("uses: {I_b: 1}", "uses: {L: 1}", "L of voltage-drop is not the figure of part 1"),
        (
            "step: voltage-drop, of: slipway, uses: {I_b: 1}",
            "step: length, of: slipway, uses: {I_b: 1}",
            "length of slipway has no formula",
        ),
    ],
)
def test_working__what_cannot_follow_is_told(old: str, new: str, message: str) -> None:
    assert any(
        message in problem
        for problem in problems_of((WORKING % symbols_of_share()).replace(old, new))
    )


# ---- hostile text, and files that are none ----

HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' OR 1=1 --",
    '=HYPERLINK("http://x")',
    "\u0623\u0647\u0644\u0627",
    "&lt;b&gt; &amp; ]]>",
    "x" * 3900,
    "\U0001f600",
    "{{x}}",
    "a\u2028b",
    "%s %d {0}",
)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text__stays_text_in_every_sentence(text: str) -> None:
    """Whatever the bank says is shown as it stands: escaped once in HTML, whole in what
    marks it.
    """
    quoted = json.dumps(text.replace("{", "(").replace("}", ")"), ensure_ascii=False).replace(
        "\u2028", "\\u2028"
    )
    text = json.loads(quoted)
    made = work(
        f"kind: one-answer, options: [{{right: true, text: {quoted}, feedback: {quoted}}}, {{text:"
        f' "{"y" * 3950}", mistake: {quoted}, feedback: {quoted}}}, {{text: z, mistake: m,'
        " feedback: f}]"
    )
    right = next(option for option in made.options if option.right)
    assert content_text(right.content) == text.strip() and isinstance(made.key, OneAnswerKey)
    shown = html_of(right.content)
    assert "<" not in shown and html.unescape(shown) == text.strip()
    assert key_from_data(data_of_key(made.key)) == made.key
    carried = json_for_page(data_of_key(made.key))
    assert not set("<>&\u2028\u2029") & set(carried) and json.loads(carried) == json.loads(
        json.dumps(data_of_key(made.key))
    )
    wrong = next(option for option in made.options if option.mistake == text.strip())
    mark = marked(made.key, wrong.id)
    assert mark.mistake == text.strip() and text.strip() in mark.feedback


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\x00",
        "topic: t\nquestions: [{}]",
        "topic: t\nquestions: [{id: a, kind: match, rows: [[[]]], spare: 7}]",
        "- " * 2000,
        "topic: t\nquestions: [{id: a, kind: working, parts: [{uses: [1]}, 2, {ask: {a: b}}]}]",
        "a: &x [*x]",
        "!!python/object:os.system x",
        (
            "topic: t\nquestions: [{id: a, kind: foretell, reading: {between: [a b, {c: d}],"
            " test_v: -3}}]"
        ),
        (
            "topic: t\nquestions: [{id: a, kind: order, steps: 3, steps_from: 4, drawing: [],"
            " vary: 5}]"
        ),
        (
            "topic: t\nquestions: [{id: a, kind: point, spots: {a: b}, drawing: {view: wiring, of:"
            " ../../etc}}]"
        ),
        "topic: \u202eright to left\nquestions: []",
    ],
)
def test_hostile_files__are_problems_with_lines(text: str) -> None:
    questions, problems = questions_from_yaml(text, "x.yaml")
    assert questions == [] and problems and all(problem.file == "x.yaml" for problem in problems)


def test_an_installation_that_leads_out_of_the_project_is_none() -> None:
    for name in ("../quiz/outcomes", "..", "/etc/passwd", "a\\b", "nowhere", "mistakes"):
        assert sources().completed_of(name) is None


def test_shelf__a_folder_without_a_quiz_is_empty(tmp_path: Path) -> None:
    shelf, problems = shelf_from(tmp_path)
    assert problems == [] and not shelf.bank and not shelf.recipes and not shelf.chapters


def test_kept_data__is_the_data_that_was_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path))
    texts = {
        path.name: path.read_text("utf-8")
        for path in sorted((start.ROOT / "quiz" / "bank").glob("*.yaml"))[:5]
    }
    fresh = {name: data_from_yaml(text, name) for name, text in texts.items()}
    for name, text in texts.items():
        assert kept_data_from_yaml(text, name) == fresh[name] == kept_data_from_yaml(text, name)
    kept = sorted(tmp_path.rglob("*.json"))
    assert len(kept) == len(texts)
    for path, spoilt in zip(
        kept,
        ("{}", "[1]", '{"key": 1, "node": [1,2,3,4]}', "no json", path_with_wrong_node(kept[4])),
    ):
        path.write_text(spoilt, "utf-8")
    for name, text in texts.items():
        assert kept_data_from_yaml(text, name) == fresh[name]
    name = max(texts)
    changed = texts[name].replace("topic:", "topic: Other")
    assert kept_data_from_yaml(changed, name) == data_from_yaml(changed, name)


def path_with_wrong_node(path: Path) -> str:
    return json.dumps({**json.loads(path.read_text("utf-8")), "node": [1, [2], 3, 4]})


def test_kept_drawing__is_the_drawing_that_was_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path))
    kept = replace(sources(), drawing_of=drawing_of)
    question = read(FIND % ("surge-device-without-earth", SPOTS))
    first, again = (worked(question, kept, "s")[0] for _ in range(2))
    assert first is not None and first == again == worked(question, sources(True), "s")[0]
    for path in tmp_path.rglob("*.json"):
        path.write_text('{"key": 1}', "utf-8")
    assert worked(question, kept, "s")[0] == first
    assert len(list(tmp_path.rglob("*.json"))) == 1


def test_worked__a_function_of_steps_serves_where_only_steps_are_asked() -> None:
    job = sources().completed_of("marram")
    assert job is not None
    steps = lambda name, step, of: job.case.workings.find(step, of) if name == "marram" else None
    assert worked(read(DROP), steps, "s")[0] == replace(work(DROP))
    assert "there is no installation" in str(worked(read(R1_R2), steps, "s")[1][0])
