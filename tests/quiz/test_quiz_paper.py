"""Recipes to questions: draws, quick quizzes, reviews and mocks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from firstway.quiz.bank.question import ChapterOutcomes, Outcome, Question
from firstway.quiz.paper.recipe import CHAPTERS_BACK, Recipe, questions_of, recipe_from_yaml

CHAPTERS = [
    ChapterOutcomes(
        f"ch{number}",
        f"Chapter {number}",
        tuple(Outcome(f"ch{number}.{letter}", "Do it", line=1) for letter in "xyz"),
    )
    for number in range(12)
]
KINDS = ("one-answer", "number", "order", "point")


def question(chapter: int, letter: str, turn: int, use: str = "practice") -> Question:
    return Question(
        f"q{chapter}-{letter}-{turn}-{use}",
        f"ch{chapter}.{letter}",
        f"ch{chapter}",
        turn % 4 + 1,
        KINDS[turn % 4],
        use,
        turn == 3,
        (f"Stem {turn}",),
        ("Why",),
        "",
        "b.yaml",
        1,
    )


BANK = [
    question(chapter, letter, turn, use)
    for chapter in range(12)
    for letter in "xyz"
    for turn in range(4)
    for use in ("practice", "assigned")
]


def recipe(more: str) -> Recipe:
    found, problems = recipe_from_yaml(f"id: p\ntitle: P\nuse: practice\nseed: s\n{more}", "p.yaml")
    assert found is not None, problems
    return found


def chosen(more: str, seed: str = "s") -> list[Question]:
    found, problems = questions_of(BANK, replace(recipe(more), seed=seed), CHAPTERS)
    assert problems == []
    return found


def problems_of(more: str) -> list[str]:
    found, problems = recipe_from_yaml(f"id: p\ntitle: P\nuse: practice\nseed: s\n{more}", "p.yaml")
    return [
        str(problem)
        for problem in (problems if found is None else questions_of(BANK, found, CHAPTERS)[1])
    ]


def test_draw__by_outcome_chapter_kind_and_difficulty() -> None:
    for filters, fits in (
        ("outcome: ch1.x", lambda q: q.outcome == "ch1.x"),
        ("chapter: ch2", lambda q: q.chapter == "ch2"),
        ("kind: order", lambda q: q.kind == "order"),
        ("difficulty: 2, chapter: ch3", lambda q: (q.difficulty, q.chapter) == (2, "ch3")),
    ):
        found = chosen(f"draw: [{{{filters}, number: 3}}]\n")
        assert len(found) == 3 and all(fits(each) and each.use == "practice" for each in found)


def test_draw__two_draws_never_take_the_same_question() -> None:
    found = chosen("draw:\n  - {chapter: ch1, number: 6}\n  - {kind: order, number: 20}\n")
    assert len({each.id for each in found}) == 26


def test_chapter__a_quick_quiz_touches_every_outcome_and_several_kinds() -> None:
    found = chosen("chapter: ch4\n")
    assert len(found) == 8 and {each.chapter for each in found} == {"ch4"}
    assert {each.outcome for each in found} == {"ch4.x", "ch4.y", "ch4.z"} and len(
        {each.kind for each in found}
    ) >= 3
    assert sum(each.safety for each in found) == 3, "safety questions come first"


def test_review__brings_back_chapters_at_growing_intervals() -> None:
    found = chosen("review: ch9\n")
    assert len(found) == 12
    assert (
        {each.chapter for each in found}
        == {f"ch{9 - back}" for back in CHAPTERS_BACK}
        == {"ch8", "ch7", "ch5", "ch1"}
    )
    assert {each.chapter for each in chosen("review: ch3\nnumber: 5\n")} == {"ch2", "ch1"}
    assert {each.chapter for each in chosen("review: ch8\n")} == {"ch7", "ch6", "ch4", "ch0"}
    assert "no chapter stands before 'ch0'" in problems_of("review: ch0\n")[0]


def test_mock__forty_over_all_chapters() -> None:
    found = chosen("mock: true\npass_percent: 75\n")
    assert len(found) == 40 and len({each.outcome for each in found}) == 36
    assert chosen("mock: true\n") == found and chosen("mock: true\n", "t") != found
    assert all(
        chosen("mock: true\nnumber: 40\n")[place] == each for place, each in enumerate(found)
    )


def test_a_new_question__moves_few_others_of_a_mock() -> None:
    before = {each.id for each in chosen("mock: true\n")}
    after = {
        each.id
        for each in questions_of([*BANK, question(5, "x", 7)], recipe("mock: true\n"), CHAPTERS)[0]
    }
    assert len(before & after) >= 34


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (
            "",
            (
                "p.yaml:1: the paper asks nothing; add `questions:`, `draw:`, `chapter:`, `review:`"
                " or `mock: true`"
            ),
        ),
        (
            "chapter: ch1\nmock: true\n",
            "p.yaml:6: the paper: 'chapter' and 'mock' stand side by side; keep one of them",
        ),
        (
            "number: 4\ndraw: [{kind: order, number: 1}]\n",
            (
                "p.yaml:5: the paper: 'number' belongs to 'chapter', 'review' or 'mock'; remove it,"
                " or write it into a draw"
            ),
        ),
        (
            "draw: [{number: 1}]\n",
            (
                "p.yaml:5: a draw names nothing to draw from; add `outcome:`, `chapter:`, `kind:`"
                " or `difficulty:`"
            ),
        ),
        (
            "draw: [{kind: essay, number: 1}]\n",
            (
                "p.yaml:5: 'draw.1.kind' is 'essay'; use one of: find-the-mistake, foretell,"
                " match, number, one-answer, order, point, read-a-chart, several-answers, working"
            ),
        ),
        ("chapter: ch44\n", "p.yaml:1: there is no chapter 'ch44'; did you mean 'ch4'?"),
        (
            "chapter: ch4\nnumber: 30\n",
            (
                "p.yaml:1: the bank holds 12 questions for this paper, 30 are asked; ask for fewer,"
                " or write more"
            ),
        ),
        (
            "chapter: ch4\npass_percent: 70\n",
            (
                "p.yaml:1: a pass mark stands on 8 questions; ask 20 or more, or set no mark: so"
                " few decide by chance"
            ),
        ),
        (
            "chapter: ch4\npass_percent: 170\n",
            "p.yaml:6: 'pass_percent' is 170; it must be 100 or less",
        ),
        (
            "chapter: ch4\nvariants: 21\n",
            "p.yaml:6: 'variants' is 21; it must be 20 or less",
        ),
        (
            "chapter: ch4\nmarked: one-by-won\n",
            "p.yaml:6: 'marked' is 'one-by-won'; did you mean 'one-by-one'?",
        ),
    ],
)
def test_recipe__what_is_wrong_with_it(more: str, message: str) -> None:
    assert message in problems_of(more)
