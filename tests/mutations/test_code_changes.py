"""The slips of code_changes.py are put in, are drawn by their seed, and a few of them are seen by
the tests of the judging rooms.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from code_changes import (
    ROOMS,
    SHARES,
    drawn,
    every_change,
    known_as,
    put_in,
    same_program,
    slipped,
)  # noqa: E402

HERE = Path(__file__).parent
IN_A_CHILD = pytest.mark.skipif(
    not hasattr(os, "fork"),
    reason="a slip is put into a child of the process, which this system has not",
)
FEW, SEED_OF_FEW = 3, 7


def test_the_same_seed_draws_the_same_slips_of_every_kind_and_room() -> None:
    found = drawn(100, 1)
    assert found == drawn(100, 1) != drawn(100, 2)
    assert len(found) == len(set(found)) == 100
    assert {change.kind for change in found} == set(SHARES)
    assert {change.file.split("/")[0] for change in found} == set(ROOMS)


def test_a_slip_is_another_program() -> None:
    assert all(change.before != change.after for change in every_change())


@pytest.mark.parametrize(
    "before, part, after",
    [
        ("a <= b", "turned 0", "a >= b"),
        ("a <= b", "moved 0", "a < b"),
        ("a == b", "equal 0", "a != b"),
        ("a and b", "and-or", "a or b"),
        ("any(x)", "any-all", "all(x)"),
        ("case.each(x)", "open", "x"),
        ("Step(missing=m)", "without missing", "Step(missing=())"),
    ],
)
def test_what_a_slip_does(before: str, part: str, after: str) -> None:
    import ast

    assert ast.unparse(slipped(ast.parse(before, mode="eval").body, part)) == after


def test_what_leaves_the_same_program_stands_in_the_code_and_has_its_reason() -> None:
    known = set(map(known_as, every_change()))
    assert [each for each in same_program() if each not in known] == [], (
        "gone from the code: strike it from same-program.csv"
    )
    assert all(len(reason) > 10 for reason in same_program().values())


@IN_A_CHILD
def test_a_slip_changes_the_loaded_program() -> None:
    from code_run import in_child

    from firstway.checks.rule import within

    change = next(
        each
        for each in every_change()
        if each.function == "within" and each.before == "value <= limit" and each.part == "turned 0"
    )

    def tried() -> str:
        return f"{put_in(change)} {within(1.0, 2.0)} {within(2.0, 1.0)}"

    assert in_child(tried, 10) == "True False True"
    assert within(1.0, 2.0) and not within(2.0, 1.0), "the parent keeps its program"


@pytest.mark.long
@IN_A_CHILD
def test_a_few_slips_are_seen(capsys: pytest.CaptureFixture[str]) -> None:
    """3 % of the run that `code_run.py` makes; one that is not seen asks for a test, or for a line
    in same-program.csv.
    """
    done = subprocess.run(
        [sys.executable, str(HERE / "code_run.py"), str(FEW), str(SEED_OF_FEW), "--cpu", "120"],
        capture_output=True,
        text=True,
        timeout=1800,
        env={**os.environ, "PYTHONUTF8": "1"},
    )
    with capsys.disabled():
        print("\n" + done.stdout[-2000:])
    assert done.returncode == 0, done.stderr[-2000:]
    assert f"{FEW} of {FEW} slips are seen" in done.stdout
