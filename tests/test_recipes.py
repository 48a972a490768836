"""The recipes of DEVELOPERS.md (*How to add*): each step forgotten once, and what is said then.

A newcomer follows a recipe and forgets a step. Whatever is forgotten, a test or the build must say
so in words that name the thing and what to do. For the house's own code a copy of the package holds
one thing for each step, whole but for that step, and the tests that guard the recipe are run on it
once. What authors write is read here, whole but for one line.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from firstway.calculations.formula import Formula
from firstway.model.mistakes import mistakes_from_yaml
from firstway.pages.chapters.chapter_check import chapter_problems
from firstway.pages.chapters.directives import answers
from firstway.pages.shared.front_matter import front_matter
from firstway.pages.shared.guide import Guide
from firstway.pages.shared.project import Chapter, Project
from firstway.problems import Problem
from firstway.quiz.bank.question import unknown_outcomes
from firstway.quiz.paper.recipe import recipe_from_yaml
from firstway.quiz.questions import questions_from_yaml
from firstway.quiz.shelf import shelf_from

TESTS = Path(__file__).parent

# ---- the house's own code: one copy, a thing for each forgotten step

GUARDS = (
    "tables/test_tables.py::test_every_table_has_its_last_columns_sources_and_standings",
    "tables/test_tables.py::test_every_table_states_each_case_once",
    "tables/test_tables.py::test_every_table_is_read",
    "calculations/test_formula.py::test_every_formula__is_listed",
    "calculations/test_formula.py::test_every_formula__is_worked_by_a_step",
    "calculations/test_published.py::test_every_formula_has_a_row",
    "checks/test_checks.py::test_every_rule_has_its_cases",
    "checks/test_checks.py::test_every_rule_says_what_is_at_stake",
    "checks/test_checks.py::test_every_rule_tells_why_what_passes_and_what_fails",
    "drawing/test_drawing_symbols.py::test_catalogue__shows_every_symbol_that_is_drawn",
    "pages/test_pages_directives.py::test_the_head_of_the_module__tells_every_directive",
)
FORMULA = (
    'Formula("{0}", "P = U * I", {{"P": "W", "U": "V", "I": "A"}}, "law", standing="computed")'
)
RULE = '''"""{why}

A pass: none. A fail: none.
"""

from firstway.checks.rule import Rule

RULE = Rule("{id}", "Forgotten", "common practice", "", "fail")


def check(case):
    return ()
'''
WHY = "A step was forgotten.\n\nWhy: to see what is said."
NEW_FILES = {
    "tables/forgot_columns.csv": "what,value_m\na,1\n",
    "tables/forgot_source.csv": "what,value_m,edition,source,standing\na,1,2020,nowhere,found\n",
    "tables/forgot_standing.csv": "what,value_m,edition,source,standing\na,1,2020,iec62955,sure\n",
    "checks/rules/forgot_cases.py": RULE.format(why=WHY, id="forgot-cases"),
    "checks/rules/forgot_why.py": RULE.format(why="A step was forgotten.", id="forgot-why"),
    "checks/rules/forgot_name.py": RULE.format(why=WHY, id="other-name"),
}
CHANGED_FILES = {
    "calculations/load.py": (
        "FORMULAS = (",
        f"FORGOT_LISTING = {FORMULA.format('forgot_listing')}\n"
        f"FORGOT_STEP = {FORMULA.format('forgot_step')}\nFORMULAS = (FORGOT_STEP, ",
    ),
    "drawing/symbols.py": (
        "FAMILY: dict",
        "class NotShown(DrawnSymbol):\n    def __init__(self) -> None: ...\n\n\nFAMILY: dict",
    ),
    "pages/chapters/answering.py": ('    "card": card,', '    "card": card,\n    "untold": card,'),
}


@pytest.fixture(scope="module")
def said(root: Path, tmp_path_factory: pytest.TempPathFactory) -> str:
    """What the guards say of a package in which every step was forgotten once."""
    folder = tmp_path_factory.mktemp("forgotten")
    package = folder / "firstway"
    shutil.copytree(root / "tools" / "firstway", package)
    for name, text in NEW_FILES.items():
        (package / name).write_text(text, encoding="utf-8")
    for name, (old, new) in CHANGED_FILES.items():
        text = (package / name).read_text(encoding="utf-8")
        assert old in text, f"{name} no longer holds {old!r}"
        (package / name).write_text(text.replace(old, new, 1), encoding="utf-8")
    options = ["-c", str(TESTS / "pytest.ini"), "--rootdir", str(TESTS), "-vv", "--tb=short"]
    options += ["-p", "no:cacheprovider", "-o", f"pythonpath=. {folder} ../tools"]
    command = [sys.executable, "-m", "pytest", *options, *(str(TESTS / each) for each in GUARDS)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, cwd=folder)
    assert done.returncode == 1, done.stdout + done.stderr
    return re.sub(r"\s*\nE\s+", " ", done.stdout)


@pytest.mark.parametrize(
    ("thing", "words"),
    [
        ("forgot_columns", "the last columns are not edition, source, standing; add them"),
        ("forgot_source", "no source 'nowhere' in sources.csv; add it there"),
        ("forgot_standing", "'sure' is no standing; write one of"),
        ("forgot_columns", "add it to KEYS of test_tables.py"),
        ("forgot_source", "nothing reads it; write its look-up in tables/looking_up*.py"),
        ("FORGOT_LISTING of load.py", "add each to FORMULAS of its module"),
        ("FORGOT_STEP of load.py", "write its step in workings/"),
        ("'forgot_step'", "put a row into tests/published/"),
        ("forgot-cases", "write tests/checks/rules/RULE.yaml"),
        ("forgot-cases", "put its id into checks/stakes.py"),
        ("forgot-why", "write `Why:` into the docstring"),
        ("other-name", "file and id share one name: rename the file"),
        ("NotShown", "GROUPS of drawing/symbol_catalogue.py"),
        ("untold", "tell it in the head of pages/chapters/directives.py"),
    ],
)
def test_a_forgotten_step_of_the_house__is_named(said: str, thing: str, words: str) -> None:
    assert any(
        thing in failure and words in failure for failure in re.split(r"\n_{3,} | in \d", said)
    ), f"nobody says of {thing}: {words}"


POWER = ("power", "P = U * I", {"P": "W", "U": "V", "I": "A"})


def test_a_formula_without_a_unit_or_a_standing__cannot_be_declared() -> None:
    with pytest.raises(TypeError, match="standing"):
        Formula(*POWER, "law")  # type: ignore[call-arg]
    with pytest.raises(ValueError, match=r"formula power: units given for .* symbols are"):
        Formula(*POWER[:2], {"P": "W", "U": "V"}, "law", standing="computed")


# ---- what authors write: whole but for one line

QUESTION = """\
topic: Trial
questions:
  - id: forgotten
    kind: one-answer
    outcome: cable.drop
    chapter: the-cable
    difficulty: 2
    use: practice
    stem: Which?
    source: common practice
    why: So.
    options:
      - right: true
        text: This
      - text: That
        mistake: a slip
        feedback: No.
      - text: Neither
        mistake: another slip
        feedback: No again.
"""
MISTAKE = """\
- name: forgotten
  title: Earth lead not joined
  applies: {surge: true}
  wiring: [{remove: "lead.PE.{spd}"}]
  wrong: Nothing leads the surge to earth.
  urgent: loss-or-nuisance
  found_by: {rule: surge-joined, place: "{spd}.PE"}
  shown_by: none
  look: Look at the lead.
  right: A qualified person isolates the supply, proves dead, then joins the lead.
"""
PAPER = """\
id: forgotten
title: A trial
use: practice
seed: s
draw: [{outcome: cable.drop, number: 1}]
"""


def without(text: str, line: str) -> str:
    """The text without its first line that begins so."""
    lines = text.split("\n")
    place = next(at for at, each in enumerate(lines) if each.strip().startswith(line))
    return "\n".join(lines[:place] + lines[place + 1 :])


def told(problems: list[Problem], words: str) -> None:
    """Whether a problem names what was forgotten, its line, and what to do."""
    found = [each for each in problems if words in f"{each.message}; {each.hint}"]
    assert found, [str(each) for each in problems]
    assert all(each.file and each.line and each.hint for each in found), found


def test_what_authors_write__is_sound_when_nothing_is_forgotten() -> None:
    assert questions_from_yaml(QUESTION, "q.yaml")[1] == []
    assert mistakes_from_yaml(MISTAKE, "m.yaml")[1] == []
    assert recipe_from_yaml(PAPER, "p.yaml")[1] == []


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("kind:", "'kind'"),
        ("outcome:", "add `outcome:`"),
        ("chapter:", "add `chapter:`"),
        ("difficulty:", "add `difficulty:`"),
        ("use:", "add `use:`"),
        ("stem:", "add `stem:`"),
        ("why:", "add `why:`"),
        ("source:", "source"),
        ("mistake:", "mistake"),
        ("feedback:", "feedback"),
    ],
)
def test_a_forgotten_line_of_a_question__is_named(line: str, words: str) -> None:
    told(questions_from_yaml(without(QUESTION, line), "q.yaml")[1], words)


def test_a_question_of_no_outcome__is_named(root: Path) -> None:
    questions, _ = questions_from_yaml(QUESTION.replace("cable.drop", "cable.dropp"), "q.yaml")
    told(unknown_outcomes(questions, shelf_from(root)[0].chapters), "cable.dropp")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("title:", "'title'"),
        ("wiring:", "add `wiring:`, `keys:` or `order:`"),
        ("wrong:", "'wrong'"),
        ("urgent:", "'urgent'"),
        ("found_by:", "'found_by'"),
        ("look:", "`look:`"),
        ("right:", "'right'"),
    ],
)
def test_a_forgotten_line_of_a_mistake__is_named(line: str, words: str) -> None:
    told(mistakes_from_yaml(without(MISTAKE, line), "m.yaml")[1], words)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("id:", "'id'"),
        ("title:", "'title'"),
        ("use:", "add `use:`"),
        ("seed:", "'seed'"),
        ("draw:", "add `questions:`, `draw:`"),
    ],
)
def test_a_forgotten_line_of_a_paper__is_named(line: str, words: str) -> None:
    told(recipe_from_yaml(without(PAPER, line), "p.yaml")[1], words)


CHAPTER = "content/chapters/the-cable.md"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("title:", "the head says no title"),
        ("description:", "the head says no description"),
        ("first:", "what to know first"),
        ("# ", "begin with `# Title`"),
        ("{ .lead }", "`{ .lead }`"),
        ("{caution: work}", "put {caution: work}"),
        ("{outcomes: here}", "put {outcomes: here}"),
        ("## A worked example", "`## A worked example`"),
        ("## Check yourself", "`## Check yourself`"),
        ("{quiz: ", "put {quiz: CHAPTER-ID}"),
        ("{sources: here}", "end with {sources: here}"),
    ],
)
def test_a_forgotten_line_of_a_chapter__is_named(root: Path, line: str, words: str) -> None:
    text = without((root / CHAPTER).read_text(encoding="utf-8"), line)
    page = Chapter(CHAPTER.removeprefix("content/"), CHAPTER, text, front_matter(text, CHAPTER)[0])
    told(chapter_problems(page, Project(shelf=shelf_from(root)[0])), words)


def test_a_chapter_without_outcomes__is_named(root: Path) -> None:
    text = (root / CHAPTER).read_text(encoding="utf-8")
    page = Chapter("chapters/the-cable.md", CHAPTER, text, front_matter(text, CHAPTER)[0])
    told(chapter_problems(page, Project()), "there is no chapter 'the-cable'")


def test_a_directive_that_nobody_answers__is_named() -> None:
    page = Chapter("x.md", "content/x.md", "{forgotten: a}\n")
    told(answers(page, Guide())[2], "unknown directive 'forgotten'")
