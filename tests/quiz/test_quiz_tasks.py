"""Worked examples, prompts, bench tasks and the job through the book as their files say them: what
is wrong is told with file and line, all at once; the shipped ones are whole.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from firstway.quiz.bank.tasks import (
    PROMPTS_FILE,
    WORKED_FILE,
    bench_from_yaml,
    job_from_yaml,
    prompts_from_yaml,
    worked_from_yaml,
)
from firstway.quiz.shelf import shelf_from

OUTCOMES = """\
chapters:
  - id: the-cable
    title: The cable
    outcomes:
      - {id: cable.drop, text: Work the drop}
"""
BANK = """\
topic: A topic
questions:
  - id: stated
    outcome: cable.drop
    chapter: the-cable
    difficulty: 1
    kind: number
    use: practice
    installation: quince
    stem: How many?
    why: Because.
    source: a law
    answer: {value: 3, places: 0, source: a law}
    mistakes:
      - {mistake: counting one too few, arithmetic: "2", feedback: Count again.}
"""
WRONG = {
    WORKED_FILE: """\
worked:
  - {id: a, title: A, question: stated}
  - {id: a, title: B, question: no-such-question}
""",
    PROMPTS_FILE: """\
prompts:
  - id: why
    ask: Why?
    points:
      - {text: One., outcome: cable.drop}
      - {text: Two., outcome: cable.dorp}
      - {text: Three., outcome: cable.drop}
""",
    "quiz/job.yaml": """\
installation: marram
blanks:
  - {chapter: the-cabel, line_of_sheet: A line, question: stated}
""",
    "quiz/bench/tidy.yaml": """\
title: Tidy
place: 1
chapter: no-chapter
minutes: 20
purpose: To be tidy.
needs: [a bench]
hold: Wait.
steps: [one, two]
looked_for:
  - {text: a}
  - {text: b}
  - {text: c}
""",
}


def project(folder: Path, files: dict[str, str]) -> Path:
    for name, text in {
        "quiz/outcomes.yaml": OUTCOMES,
        "quiz/bank/a.yaml": BANK,
        **files,
    }.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8")
    return folder


def test_shelf__tells_all_that_is_wrong_at_once_with_file_and_line(tmp_path: Path) -> None:
    _, problems = shelf_from(project(tmp_path, WRONG))
    told = [f"{each.file}:{each.line}: {each.message}" for each in problems]
    assert told == [
        "quiz/bench/tidy.yaml:1: a task of 2 steps is no task",
        "quiz/bench/tidy.yaml:1: there is no chapter 'no-chapter'",
        "quiz/job.yaml:3: 'stated' is not about marram",
        "quiz/job.yaml:3: there is no chapter 'the-cabel'",
        "quiz/say-why.yaml:6: there is no outcome 'cable.dorp'",
        "quiz/worked.yaml:2: 'stated' is practice, of kind number",
        "quiz/worked.yaml:3: the id 'a' is used already (line 2)",
        "quiz/worked.yaml:3: there is no question 'no-such-question'",
    ]
    assert all(each.hint for each in problems)


def test_shelf__a_project_without_these_files_lacks_nothing(tmp_path: Path) -> None:
    shelf, problems = shelf_from(project(tmp_path, {}))
    assert problems == []
    assert (shelf.worked, shelf.prompts, shelf.bench, shelf.job) == ((), (), (), None)


@pytest.mark.parametrize(
    ("text", "line", "said"),
    [
        ("prompts:\n  - id: a\n    ask: Why\n", 2, "'prompts.a.points' is missing"),
        ("prompts:\n  - id: a\n    aks: Why\n", 3, "unknown key 'aks'"),
        ("- a\n", 1, "must be keys with values"),
    ],
)
def test_prompts__what_the_reader_refuses(text: str, line: int, said: str) -> None:
    _, problems = prompts_from_yaml(text, "x.yaml")
    assert any(each.line == line and said in each.message for each in problems), problems


def test_prompts__two_points_are_too_few_and_seven_too_many() -> None:
    for number, fits in ((2, False), (3, True), (6, True), (7, False)):
        points = "".join(f"      - {{text: P{at}., outcome: a.b}}\n" for at in range(number))
        text = f"prompts:\n  - id: a\n    ask: Why?\n    points:\n{points}"
        assert (prompts_from_yaml(text, "x")[1] == []) == fits, number


def test_empty_files__are_problems_and_no_traceback() -> None:
    for read in (worked_from_yaml, prompts_from_yaml, job_from_yaml):
        assert read("", "x")[1]
    assert bench_from_yaml("", "x", "x")[1]


def test_own_files__the_job_runs_through_every_chapter(root: Path) -> None:
    shelf, problems = shelf_from(root)
    assert problems == [] and shelf.job is not None
    chapters = [chapter.id for chapter in shelf.chapters]
    assert len(chapters) == 18
    assert list(dict.fromkeys(each.chapter for each in shelf.job.blanks)) == chapters
    assert all(
        1 <= sum(each.chapter == chapter for each in shelf.job.blanks) <= 2 for chapter in chapters
    )
    assert len({each.question for each in shelf.job.blanks}) == len(shelf.job.blanks)


def test_own_files__there_are_enough_and_each_bench_task_can_be_failed(root: Path) -> None:
    shelf, _ = shelf_from(root)
    assert len(shelf.prompts) >= 20 and len(shelf.bench) >= 8 and len(shelf.worked) >= 8
    for task in shelf.bench:
        assert any(each.must for each in task.looked_for), task.id
        assert task.hold and task.pictures, task.id
