"""Broken installation files beside their exact problems, and the promise that no text makes the
reader raise.

A teacher can add a case: put `name.yaml` and `name.problems` into tests/invalid.
"""

from __future__ import annotations

import random
import re
import time
from pathlib import Path

import pytest
from changing import text_of
from hypothesis import HealthCheck, given, settings, strategies
from sampling import JOBS, many

from firstway.choosing.completing import completed
from firstway.files.disk import text_of_file
from firstway.files.yaml_reader import LARGEST_FILE_BYTES
from firstway.model.reading import installation_from_yaml
from firstway.problems import Problem
from firstway.rendering.report import findings_text, work_text

FOLDER = Path(__file__).parents[1] / "invalid"
CASES = sorted(path.stem for path in FOLDER.glob("*.yaml"))
FEWEST_CASES = 30


def problems_of(path: Path, shown_as: str) -> list[Problem]:
    text, problems = text_of_file(path, shown_as)
    if problems:
        return problems
    installation, problems = installation_from_yaml(text, shown_as, path.stem)
    assert (installation is None) == bool(problems)
    return problems


def test_the_folder_of_broken_files_is_not_empty() -> None:
    assert len(CASES) >= FEWEST_CASES


def test_every_broken_file_stands_beside_its_problems() -> None:
    assert CASES == sorted(path.stem for path in FOLDER.glob("*.problems"))
    for name in CASES:
        assert (FOLDER / f"{name}.problems").read_text(encoding="utf-8").strip(), (
            f"{name}.problems is empty"
        )


@pytest.mark.parametrize("name", CASES)
def test_a_broken_file_gives_exactly_its_problems(name: str) -> None:
    found = problems_of(FOLDER / f"{name}.yaml", f"tests/invalid/{name}.yaml")
    wanted = (FOLDER / f"{name}.problems").read_text(encoding="utf-8").splitlines()
    assert [str(problem) for problem in found] == wanted
    assert [problem.line for problem in found] == sorted(problem.line for problem in found), (
        "problems stand by line"
    )


@pytest.mark.parametrize("name", CASES)
def test_every_problem_names_a_line_of_the_file_and_what_to_do(name: str) -> None:
    lines = (FOLDER / f"{name}.yaml").read_bytes().count(b"\n") + 1
    for problem in problems_of(FOLDER / f"{name}.yaml", name):
        assert 1 <= problem.line <= lines
        assert problem.hint, problem
        assert "\n" not in str(problem) and len(str(problem)) < 500
        assert not re.search(
            r"dict|tuple|None\b|Traceback|<class|mapping\b(?! values)", str(problem)
        ), "words of the trade, please"


def test_a_changed_problem_would_be_seen() -> None:
    """The comparison itself can fail: another line number is another problem."""
    found = problems_of(FOLDER / "unknown-key.yaml", "tests/invalid/unknown-key.yaml")
    moved = [
        Problem(problem.file, problem.line + 1, problem.message, problem.hint) for problem in found
    ]
    assert [str(problem) for problem in moved] != (FOLDER / "unknown-key.problems").read_text(
        encoding="utf-8"
    ).splitlines()


A_HANG_S = 20  # CPU seconds: what grows without end takes hours, what is refused some hundredths


@pytest.mark.parametrize("name", ["aliases-that-grow", "nested-too-deep"])
def test_hostile_files_are_refused_at_once(name: str) -> None:
    begun = time.process_time()
    assert problems_of(FOLDER / f"{name}.yaml", name)
    assert time.process_time() - begun < A_HANG_S


@pytest.mark.parametrize(
    "text",
    [
        "[" * 100_000,
        "a: " + "{b: " * 20_000,
        "- " * 20_000,
        "? " * 5_000,
        "a: !<x> 1",
        "a: &",
        "*",
        "%",
        "\ufeff",
        "\x00",
        "a: \ud800",
        "--- ---",
        "a: 1e999",
        "a: " + "9" * 100_000,
        "'",
        '"\\',
        "title: |\n  " + "x" * 50_000,
        "<<: {title: x}",
        "? [a, b]\n: 1\n",
        "title: .nan\n",
        "1: 2\n",
        "null\n",
        "~: ~\n",
        "title:\n  - &a a\n  - &a b\n",
    ],
)
def test_odd_texts_give_problems(text: str) -> None:
    installation, problems = installation_from_yaml(text, "odd.yaml")
    assert installation is None and problems
    assert all(len(str(problem)) < 1000 for problem in problems)


def test_a_huge_file_is_refused_before_it_is_read() -> None:
    begun = time.process_time()
    installation, problems = installation_from_yaml(
        text_of("quince") + "#" * LARGEST_FILE_BYTES, "huge.yaml"
    )
    assert installation is None
    assert [str(problem) for problem in problems] == [
        f"huge.yaml: the file is larger than {LARGEST_FILE_BYTES} bytes; keep one installation in"
        " one file"
    ]
    assert time.process_time() - begun < A_HANG_S


# ---- random damage to good files

ODD = (
    "",
    "0",
    "-1",
    "1e99",
    "none",
    "unknown",
    "choose",
    "undeclared",
    "true",
    "[]",
    "{}",
    "L1",
    "L2",
    "[L1, L2]",
    "F1",
    "bar",
    "post-1",
    "2018",
    "abc",
    "'",
    "{",
    "a: b",
    "5e-324",
    "0.0000001",
    "99999",
    "é",
    "TT",
    "TN-S",
    "rcbo",
    "spd",
    "armour",
    "separate",
    "3",
)
WORD = re.compile(r"(?<=: )[^,{}\[\]\n]+")


def damaged(text: str, chance: random.Random) -> str:
    """One to three changes: lines lost, doubled, exchanged; a value taken from elsewhere, or an odd
    one.
    """
    for _ in range(chance.randint(1, 3)):
        lines = text.splitlines()
        what, at, other = (
            chance.randint(0, 5),
            chance.randrange(len(lines)),
            chance.randrange(len(lines)),
        )
        if what == 0:
            del lines[at]
        elif what == 1:
            lines.insert(other, lines[at])
        elif what == 2:
            lines[at], lines[other] = lines[other], lines[at]
        else:
            words = list(WORD.finditer(text))
            if words:
                place = chance.choice(words)
                value = chance.choice(words)[0] if what == 3 else chance.choice(ODD)
                text = text[: place.start()] + value + text[place.end() :]
            continue
        text = "\n".join(lines) + "\n" if lines else "title: x\n"
    return text


@settings(
    max_examples=many(80, 250),
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)
@given(strategies.sampled_from(JOBS), strategies.integers(0, 2**32))
def test_damage_gives_problems_or_an_installation_that_works(name: str, seed: int) -> None:
    text = damaged(text_of(name), random.Random(seed))
    installation, problems = installation_from_yaml(text, f"{name}.yaml", name)
    assert (installation is None) == bool(problems)
    if installation is None:
        return
    result, problems = completed(installation)
    assert (result is None) == bool(problems)
    if result is not None:
        assert work_text(result) and findings_text(result)


@settings(max_examples=150, deadline=None, derandomize=True, database=None)
@given(strategies.text(max_size=60))
def test_any_text_gives_problems(text: str) -> None:
    installation, problems = installation_from_yaml(text, "any.yaml")
    assert installation is None and problems
