"""Every rule of the lint, seen to fail: one question that is sound, and each way to spoil it.

The rules follow guidelines of item writing (Haladyna, Downing, Rodriguez 2002, Applied Measurement
in Education 15(3) 309-334; from memory); that they are useful is not proved here, only that each
can fail.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

import pytest

from firstway.problems import Problem
from firstway.quiz.bank.question import Question
from firstway.quiz.forms.lint import (
    BLIND_RULES,
    as_seen,
    blind_rules_that_pay,
    flaws_of,
    flaws_of_bank,
    flaws_of_paper,
    flaws_of_variants,
    is_sound,
    letters_of,
)
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.options import OptionKey
from firstway.quiz.forms.values import worked
from firstway.quiz.forms.worked_question import WorkedOption, WorkedQuestion
from firstway.quiz.questions import questions_from_yaml
from firstway.workings.shared.step import Step

STEPS = {
    name: Step(
        name, "c", name, "x", value, unit, "fact", (), "made for this test", "", places=places
    )
    for name, value, unit, places in (
        ("current", 32.0, "A", 1),
        ("rating", 40.0, "A", 1),
        ("close", 32.04, "A", 1),
        ("drop", 4.25, "V", 2),
        ("fine", 31.5, "A", 2),
    )
}


def step_of(installation: str, step: str, of: str) -> Step | None:
    return STEPS.get(step)


HEAD = (
    "outcome: a.b, chapter: a, difficulty: 2, use: practice, installation: demo, source: common"
    " practice, "
)
CHOICE = HEAD + 'kind: one-answer, stem: "Which current counts?", why: So., options: ['
RIGHT = "{right: true, text: The load}"
WRONG = (
    "{text: The device rating, mistake: m1, feedback: f1}, {text: The fuse of the supply, mistake:"
    " m2, feedback: f2}]"
)
FIGURES = (
    CHOICE
    + "{right: true, figure: {step: current, of: c}}, {figure: {step: rating, of: c}, mistake: m1,"
    " feedback: f1}, {arithmetic: answer / 2, mistake: m2, feedback: f2}"
)
NUMBER = (
    HEAD
    + "kind: number, stem: Give the current., why: So., answer: {step: current, of: c}, mistakes:"
    " [{mistake: m, arithmetic: 2 * answer, feedback: f}]"
)
MATCH = (
    HEAD
    + "kind: match, stem: Match., why: So., rows: [{text: A, item: x, mistake: m1, feedback: f},"
    " {text: B, item: y, mistake: m2, feedback: f}], spare: [{text: z}]"
)
ORDER = (
    HEAD
    + "kind: order, stem: Put them in order., why: So., steps: [{text: One}, {text: Two}, {text:"
    " Three}]"
)
SEVERAL = (
    HEAD
    + "kind: several-answers, stem: Tick two., why: So., options: [{right: true, text: A}, {right:"
    " true, text: B}, {text: C, mistake: m, feedback: f}]"
)


def read(*items: str) -> list[Question]:
    text = "topic: t\nquestions:\n" + "".join(
        f"  - {{id: q{place}, {item}}}\n" for place, item in enumerate(items, 1)
    )
    questions, problems = questions_from_yaml(text, "x.yaml")
    assert problems == []
    return questions


def work(*items: str, seed: str = "s") -> list[WorkedQuestion]:
    made = [worked(question, step_of, seed) for question in read(*items)]
    assert all(each for each, _ in made), [problems for _, problems in made]
    return [each for each, _ in made if each is not None]


def flaws(item: str) -> list[str]:
    return [str(flaw) for flaw in flaws_of(work(item)[0])]


@pytest.mark.parametrize(
    "item",
    [
        CHOICE + RIGHT + ", " + WRONG,
        CHOICE + RIGHT.replace("The load", "x" * len("The fuse of the supply")) + ", " + WRONG,
        FIGURES + "]",
        NUMBER,
        MATCH,
        ORDER,
        SEVERAL,
    ],
)
def test_flaws_of__a_sound_question_has_none(item: str) -> None:
    assert flaws(item) == [] and is_sound(work(item)[0])


@pytest.mark.parametrize(
    ("item", "message"),
    [
        (
            CHOICE + "{right: true, text: A}, " + RIGHT + ", " + WRONG,
            "2 options are right; exactly one must be",
        ),
        (
            CHOICE + RIGHT + ", {text: The device rating, mistake: m, feedback: f}]",
            "2 options; give 3 or more",
        ),
        (
            CHOICE + RIGHT + ", {text: All of the above, mistake: m, feedback: f}, " + WRONG,
            "'All of the above' points at other options",
        ),
        (
            CHOICE + RIGHT + ", {text: Neither of these, mistake: m, feedback: f}, " + WRONG,
            "'Neither of these' points at other options",
        ),
        (
            CHOICE + RIGHT + ", {text: The device rating, mistake: m, feedback: f}, " + WRONG,
            "two options read 'The device rating'",
        ),
        (
            CHOICE.replace("Which current counts?", "Which of these currents is not counted?")
            + RIGHT
            + ", "
            + WRONG,
            "the stem asks for what is not so without saying it loudly",
        ),
        (
            CHOICE.replace("Which current counts?", "Which one may never be used?")
            + RIGHT
            + ", "
            + WRONG,
            "the stem asks for what is not so",
        ),
        (
            CHOICE.replace("Which current counts?", "Every current counts except one. Which?")
            + RIGHT
            + ", "
            + WRONG,
            "",
        ),
        (
            CHOICE.replace("Which current counts?", "Which counts, except at night?")
            + RIGHT
            + ", "
            + WRONG,
            "the stem asks for what is not so",
        ),
        (
            FIGURES + ", {text: Some, mistake: m, feedback: f}]",
            "words and figures stand side by side as options",
        ),
        (
            FIGURES + ", {figure: {step: drop, of: c}, mistake: m, feedback: f}]",
            "the options differ in decimals or units",
        ),
        (
            FIGURES + ", {figure: {step: fine, of: c}, mistake: m, feedback: f}]",
            "the options differ in decimals or units",
        ),
        (
            FIGURES + ", {figure: {step: close, of: c}, mistake: m, feedback: f}]",
            "two options read '32.0 A'",
        ),
        (
            FIGURES + ", {arithmetic: answer * 1.005, mistake: m, feedback: f}]",
            "'32.2 A' is right as well, within rounding",
        ),
        (
            NUMBER.replace("2 * answer", "answer * 1.01"),
            "the mistake 'm' cannot be told from the right answer here (32.3 A)",
        ),
        (
            NUMBER[:-1] + ", {mistake: n, arithmetic: 2.01 * answer, feedback: f}]",
            "the mistake 'n' cannot be told from 'm' here",
        ),
        (
            NUMBER.replace("{mistake: m, arithmetic: 2 * answer, feedback: f}", ""),
            "no wrong number is foreseen",
        ),
        (MATCH.replace("text: B", "text: A"), "two rows read 'A'"),
        (MATCH.replace(", spare: [{text: z}]", ""), "2 items to choose from; give 3 or more"),
        (MATCH.replace("text: z", "text: None of these"), "'None of these' points at other items"),
        (ORDER.replace("Two", "One"), "two options read 'One'"),
    ],
)
def test_flaws_of__each_rule_fails(item: str, message: str) -> None:
    assert any(message in found for found in flaws(item)) if message else flaws(item) == []


@pytest.mark.parametrize(
    "stem",
    [
        "What does the board give that the old one does not?",
        "All leads are right. One device stands where it should not. Point at it.",
        "Which of these is NOT counted?",
        "The supply is not isolated. Which test may be made?",
        "Why does the device not trip?",
    ],
)
def test_flaws_of__a_denial_beside_the_question_is_no_negative_stem(stem: str) -> None:
    assert flaws(CHOICE.replace("Which current counts?", stem) + RIGHT + ", " + WRONG) == []


def test_flaws_of__what_the_reader_refuses_is_a_flaw_as_well() -> None:
    """A wrong option without its mistake or feedback, a row without one, several answers of which
    all are right.
    """
    choice, match, several = work(CHOICE + RIGHT + ", " + WRONG, MATCH, SEVERAL)
    bare = replace(choice, options=tuple(replace(option, mistake="") for option in choice.options))
    assert any("without its mistake or feedback" in flaw.message for flaw in flaws_of(bare))
    bare = replace(match, rows=tuple(replace(row, feedback=()) for row in match.rows))
    assert any("a row without its mistake or feedback" in flaw.message for flaw in flaws_of(bare))
    bare = replace(
        several, options=tuple(replace(option, right=True) for option in several.options)
    )
    assert any("3 of 3 options are right" in flaw.message for flaw in flaws_of(bare))
    assert any("nothing says why" in flaw.message for flaw in flaws_of(replace(choice, why=())))
    number = work(NUMBER)[0]
    assert any(
        "outside its window" in flaw.message
        for flaw in flaws_of(replace(number, key=replace(number.key, low=33.0, high=34.0)))
    )
    assert any(
        "has no feedback" in flaw.message
        for flaw in flaws_of(
            replace(number, mistakes=tuple(replace(each, feedback=()) for each in number.mistakes))
        )
    )
    figures = work(FIGURES + "]")[0]
    assert any(
        "not in order of size" in flaw.message
        for flaw in flaws_of(replace(figures, options=figures.options[::-1]))
    )


def test_flaws_of_variants__too_few() -> None:
    question = read(NUMBER + ", vary: {circuits.c.x: [1, 2, 3]}")[0]
    made = work(NUMBER)
    assert [str(each) for each in flaws_of_variants(question, made * 2, 3)] == [
        "x.yaml:3: question q1: 2 of its variants work out and differ; vary other keys or values: 3"
        " are needed"
    ]
    assert flaws_of_variants(question, made * 3, 3) == []


# ---- the bank and the paper ----


def choice(place: int, right: int, of: int = 4) -> WorkedQuestion:
    question = replace(
        read(CHOICE + RIGHT + ", " + WRONG)[0],
        id=f"q{place}",
        stem=(f"Stem {place} of its own {place * 7}?",),
    )
    options = tuple(
        WorkedOption(
            "abcdef"[turn],
            (f"Option {turn}",),
            turn == right,
            "" if turn == right else "m",
            ("f",),
            1,
            turn,
        )
        for turn in range(of)
    )
    key = OneAnswerKey(
        tuple(OptionKey(option.id, option.right, option.mistake, "f") for option in options),
        "x",
        "y",
    )
    return WorkedQuestion(question, question.stem, ("So.",), ("x",), key, options)


def of_bank(made: Iterable[WorkedQuestion]) -> list[Problem]:
    return flaws_of_bank([*map(as_seen, made)])


def paying(made: Iterable[WorkedQuestion]) -> list[str]:
    return blind_rules_that_pay([*map(as_seen, made)])


def test_places__right_answers_that_gather_are_a_flaw() -> None:
    crowded = [choice(place, 1) for place in range(20)]
    assert "the right answer stands at place b in 20 of 20 choices, 5.0 were expected" in str(
        flaws_of_paper(map(letters_of, crowded), "p.yaml")[0]
    )
    assert any("place b" in str(flaw) for flaw in of_bank(crowded))
    spread = [choice(place, place % 4) for place in range(20)]
    assert flaws_of_paper(map(letters_of, spread), "p.yaml") == [] and of_bank(spread) == []
    assert flaws_of_paper(map(letters_of, crowded[:9]), "p.yaml") == [], (
        "a few may fall together by chance"
    )


def with_options(count: int, *options: str) -> list[WorkedQuestion]:
    """Questions with these options in words, the first of them right, its place turned."""
    made = []
    for place in range(count):
        one = choice(place, place % len(options), len(options))
        wrongs = iter(options[1:])
        texts = [options[0] if option.right else next(wrongs) for option in one.options]
        made.append(
            replace(
                one,
                options=tuple(
                    replace(option, content=(text,)) for option, text in zip(one.options, texts)
                ),
            )
        )
    return made


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (
            ("Short", "Of some length", "Of some more length", "Of far more length still"),
            "least length",
        ),
        (
            ("It is so, since it is", "It is not a word", "It is another one of them", "It is"),
            "most a reason word",
        ),
        (
            ("It opens; it stays", "It opened it all right here", "It", "It may be a load"),
            "most a semicolon",
        ),
        (
            (
                "It may open in time",
                "It opens always in its time",
                "It never opens",
                "It cannot ever open at all",
            ),
            "least an absolute word",
        ),
        (
            ("Load current", "Fuse of the supply itself", "The rated figure", "Two"),
            "most words of the stem",
        ),
    ],
)
def test_blind_rules_that_pay__each_cue_is_seen(options: tuple[str, ...], told: str) -> None:
    made = [
        replace(one, stem=("Which load current counts here?",))
        for one in with_options(48, *options)
    ]
    direction, cue = told.split(" ", 1)
    place = BLIND_RULES.index(((cue, 1 if direction == "most" else -1),))
    assert {as_seen(one).chances[place] for one in made} == {1.0}
    assert "a reader who knows nothing gets 100% right by" in paying(made)[0]


def test_blind_rules_that_pay__options_that_differ_in_nothing_tell_nothing() -> None:
    assert paying(with_options(48, "Uno two", "Dos two", "Six two", "Ten two")) == []
    assert paying(with_options(39, "A", "Longer", "Longest", "Longer, still")) == [], (
        "too few to judge"
    )


def test_alike__two_questions_of_one_outcome_with_nearly_the_same_stem() -> None:
    stem = (
        "The board at the boatyard feeds one charging point over a long route. Which current is the"
        " circuit designed for?"
    )
    one, other = (
        CHOICE.replace("Which current counts?", text) + RIGHT + ", " + WRONG
        for text in (stem, stem.replace("long ", ""))
    )
    assert [str(flaw) for flaw in of_bank(work(one, other))] == [
        "x.yaml:4: question q2: it asks the same as q1 (x.yaml:3); ask something else, or vary one"
        " of them"
    ]
    assert of_bank(work(one, other.replace("a.b", "a.c"))) == []
    assert of_bank(work(one, CHOICE + RIGHT + ", " + WRONG)) == []
