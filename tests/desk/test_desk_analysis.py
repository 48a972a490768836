"""What the class got wrong: on classes simulated with planted misconceptions, weak topics and
copies, the report finds the planted ones.

The truth is what the simulation put in; the expected shares and odds are computed here by hand or
by numpy.
"""

from __future__ import annotations

import random

import pytest

from firstway.desk.analysis.class_analysis import Analysis, analysis_of
from firstway.desk.answers.answer_files import HandedIn
from firstway.desk.marking.marking_class import class_marks
from firstway.desk.papers.editions import Editions
from firstway.desk.papers.key import Asked, LearnerSheet, PaperKey, Version
from firstway.quiz.forms.one_answer.answers import OneAnswerKey
from firstway.quiz.forms.options import OptionKey

OPTIONS = (
    "right",
    "used the device rating",
    "forgot the second conductor",
    "line for phase voltage",
)


def simulated(
    learners: int,
    questions: int,
    seed: int,
    planted: dict[str, float] | None = None,
    hard: tuple[int, ...] = (),
    copies: int = 0,
    miskeyed: int | None = None,
) -> Analysis:
    """A class of some skill answers choices of four. `planted`: a mistake to the share of learners
    who hold it; `hard`: questions few can do; `copies`: pairs in which the second copied the first;
    `miskeyed`: a question whose key is wrong.
    """
    draw = random.Random(seed)
    asked = []
    for number in range(questions):
        key = OneAnswerKey(
            tuple(
                OptionKey(
                    "abcd"[place],
                    place == (1 if number == miskeyed else 0),
                    (
                        ""
                        if place == (1 if number == miskeyed else 0)
                        else OPTIONS[place]
                        if place
                        else "the true answer"
                    ),
                    "",
                )
                for place in range(4)
            ),
            "a",
            "",
        )
        version = Version(
            "v0a0",
            key,
            f"Question {number}?",
            "a",
            "",
            {letter: place for place, letter in enumerate("abcd")},
        )
        asked.append(
            Asked(
                f"q{number:02}",
                f"topic.{number % 4}",
                "the-cable",
                "one-answer",
                2,
                number == 0,
                {"v0a0": version},
                dict(enumerate(OPTIONS)),
                (1 if number == miskeyed else 0,),
                f"q{number:02}",
            )
        )
    codes = [f"L{number:03}" for number in range(learners)]
    key = PaperKey(
        "p",
        "v",
        "Simulated",
        "2018+A3:2024",
        {f"topic.{number}": f"Topic {number}" for number in range(4)},
        tuple(asked),
        {
            code: LearnerSheet(code, "i", tuple((each.id, "v0a0") for each in asked))
            for code in codes
        },
    )
    held = {
        code: [name for name, share in (planted or {}).items() if draw.random() < share]
        for code in codes
    }
    answers: dict[str, dict[str, str]] = {}
    for place, code in enumerate(codes):
        if place < 2 * copies and place % 2:
            answers[code] = dict(answers[codes[place - 1]])
            continue
        skill = draw.gauss(0.8, 1.0)
        answers[code] = {}
        for number, each in enumerate(asked):
            knows = draw.gauss(0, 0.8) < skill - (3.0 if number in hard else 0.0)
            wrong = (
                OPTIONS.index(held[code][0])
                if held[code] and draw.random() < 0.9
                else draw.randint(1, 3)
            )
            if held[code] and number % 3 == 0:
                knows = knows and draw.random() < 0.1
            answers[code][each.id] = "a" if knows else "abcd"[wrong]
    return analysis_of(
        class_marks(
            Editions(key),
            [HandedIn(f"{code}.json", "p", "v", code, "i", answers[code]) for code in codes],
        )
    )


@pytest.mark.parametrize("seed", range(4))
def test_the_planted_misconception_comes_first(seed: int) -> None:
    found = simulated(40, 20, seed, planted={"forgot the second conductor": 0.6})
    assert found.mistakes[0].name == "forgot the second conductor"
    assert found.mistakes[0].learners >= 20 and found.mistakes[0].of == 40


@pytest.mark.parametrize("seed", range(4))
def test_the_hard_topic_is_the_weakest_and_its_questions_say_teach_again(seed: int) -> None:
    hard = (1, 5, 9, 13, 17)  # all of topic 1
    found = simulated(40, 20, seed, hard=hard)
    assert min(found.topics, key=lambda topic: topic.share).id == "topic.1"
    for number in hard:
        own = next(each for each in found.questions if each.asked.id == f"q{number:02}")
        assert own.facility is not None and own.facility < 0.3
        assert any("teach this point again" in each for each in own.advice)


@pytest.mark.parametrize("seed", range(4))
def test_a_wrong_key_is_suspected(seed: int) -> None:
    found = simulated(60, 20, seed, miskeyed=7)
    own = next(each for each in found.questions if each.asked.id == "q07")
    assert any("its key again" in each for each in own.advice)
    others = [
        each.asked.id
        for each in found.questions
        if each is not own and any("its key again" in words for words in each.advice)
    ]
    assert not others


def test_copies_are_hinted_at_and_honest_papers_are_not() -> None:
    """A copied paper with few wrong answers cannot be told from chance; an honest pair is named in
    hardly any class.
    """
    hard, planted, seen, honest = tuple(range(0, 30, 2)), {("L000", "L001"), ("L002", "L003")}, 0, 0
    for seed in range(6):
        named = {
            (each.first, each.second) for each in simulated(40, 30, seed, hard=hard, copies=2).alike
        }
        seen += len(named & planted)
        honest += len(named - planted) + len(simulated(40, 30, seed + 100, hard=hard).alike)
    assert seen >= 9 and honest <= 1


def test_a_shared_misconception_is_no_likeness() -> None:
    """Many hold the same mistake: that is teaching, not copying."""
    assert (
        sum(len(simulated(40, 20, seed, planted={OPTIONS[1]: 0.7}).alike) for seed in range(6)) <= 1
    )


def test_a_small_class_is_not_judged() -> None:
    found = simulated(6, 10, 1)
    assert (
        found.too_few and found.alpha is None and found.standard_error is None and not found.alike
    )
    assert all(each.link is None and each.discrimination is None for each in found.questions)
    assert all(
        "thirds" not in words and "key again" not in words
        for each in found.questions
        for words in each.advice
    )


def test_a_safety_question_is_never_dropped_for_being_easy() -> None:
    found = simulated(40, 10, 2)
    first = found.questions[0]
    assert first.asked.safety and not any("next harder" in each for each in first.advice)
    assert len(found.safety_missed["q00"]) == sum(
        choice.count for choice in first.choices if not choice.right
    )


def test_nobody_and_one_learner() -> None:
    for learners in (0, 1, 2):
        found = simulated(learners, 3, 1)
        assert found.learners == learners and found.alpha is None
