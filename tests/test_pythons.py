"""The same numbers on every Python: sums, and everything a command writes, byte for byte.

The built-in `sum` of floats changed in Python 3.12 (docs.python.org, "What's New In Python 3.12":
"sum() now uses Neumaier summation"), and that of complex numbers in 3.14 (the same for 3.14). The
sums below are judged by exact fractions.
"""

from __future__ import annotations

import builtins
import math
import os
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import pytest
from changing import DIAGRAMS, text_of
from desk_class import FORMS
from small_project import ASSIGNED, CLASS, PRACTICE, made_small_project

from firstway.calculations.adding import added, added_phasors
from firstway.choosing.completing import completed
from firstway.desk.analysis import statistics
from firstway.drawing.front.board_front import board_front
from firstway.drawing.wiring_diagram import wiring_diagram
from firstway.model.reading import installation_from_yaml
from firstway.quiz.forms.number.answers import NumberKey
from firstway.quiz.forms.registry import data_of_key
from firstway.rendering.figures import digits, json_text

TOOLS = Path(__file__).parents[1] / "tools"
NAMES = ("python3.11", "python3.12", "python3.13", "python3.14")
OURS = sys.version_info[:2]


# ---- sums


def test_added__is_the_exact_sum_rounded_once() -> None:
    draw = Random("sums")
    for _ in range(300):
        values = [
            draw.uniform(-1, 1) * 10.0 ** draw.randint(-12, 12) for _ in range(draw.randint(0, 9))
        ]
        exact = float(sum(map(Fraction, values)))
        assert added(values) == exact and added_phasors(values) == exact
        assert added_phasors([complex(value, -value) for value in values] or [0j]) == complex(
            exact, -exact
        )


def test_added__of_figures_beyond_every_float_is_no_traceback() -> None:
    assert added([1e308, 1e308]) == math.inf and math.isnan(added([math.inf, -math.inf]))


def test_figures_are_never_added_by_the_built_in_sum(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever is worked, checked, drawn and said of a class here adds its floats by `added`."""
    plain = builtins.sum

    def watched(values: Any, start: Any = 0) -> Any:
        every = list(values)
        caller = sys._getframe(1).f_globals.get("__name__", "")
        assert not (
            caller.startswith("firstway")
            and any(isinstance(each, (float, complex)) for each in every)
        ), f"{caller} adds {every[:3]}"
        return plain(every, start)

    monkeypatch.setattr(builtins, "sum", watched)
    for name in ("alder", "dunlin", "sallow"):
        installation, _ = installation_from_yaml(text_of(name), f"{name}.yaml", name)
        assert installation is not None
        done, _ = completed(installation)
        assert done is not None and done.case.workings and done.case.faults and done.findings
        board_front(done, "board"), wiring_diagram(done, "wiring")
    marks = [[0.1, 0.7, 1.0, 0.0], [0.3, 0.9, 0.6, 0.2], [1.0, 0.8, 0.4, 0.1]]
    totals = [added(column) for column in zip(*marks)]
    assert (
        statistics.alpha(marks)
        and statistics.standard_error(marks)
        and statistics.corrected_point_biserial(marks[0], totals)
    )
    assert statistics.discrimination_index(marks[0], totals, 1.0) and statistics.at_least(
        1, [0.1, 0.2, 0.3]
    )


def test_a_key_leaves_with_twelve_digits() -> None:
    """The windows of a key that is read back are those a page carries, whatever their last digits
    were.
    """
    import json
    from dataclasses import replace

    key = FORMS["type"][0]
    assert isinstance(key, NumberKey)
    ragged = replace(key, low=0.1 + 0.2, high=230 * 1.1)
    assert json_text(data_of_key(ragged)) == json_text(
        data_of_key(replace(key, low=0.3, high=253.0))
    )
    assert (
        json.loads(json_text(data_of_key(ragged)))["high"] == 253.0 and digits(ragged.low) == "0.3"
    )


# ---- another Python

SCRIPT = """
import contextlib, io, sys
from pathlib import Path
from firstway import cli

out, project, diagrams = map(Path, sys.argv[1:])

def said(name, *command):
    text = io.StringIO()
    with contextlib.redirect_stdout(text):
        assert cli.main(list(map(str, command))) in (0, 1), command
    (out / name).write_text(text.getvalue(), encoding="utf-8")

for job in sorted(diagrams.glob("*.yaml")):
    if job.stem != "mistakes":
        said(f"{job.stem}-work.json", "work", job, "--json")
        said(f"{job.stem}-check.json", "check", job, "--json")
        for view in cli.DRAWN_VIEWS:
            said(f"{job.stem}-{view}.svg", "draw", job, view)
cli.ROOT = project
with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(io.StringIO()):
    for form in ("qti-3.0", "scorm-1.2"):
        assert cli.main(["package", str(project / PRACTICE), form, "-o", str(out / f"{form}.zip")]) == 0
    assert cli.main(["paper", str(project / ASSIGNED), "--class", str(project / CLASS), "--secret", str(project / "secret.txt"), "-o", str(out / "class")]) == 0
    assert cli.main(["build", "--out", str(out / "site")]) == 0
"""


def pythons() -> Iterator[str]:
    """Every Python of a supported version that a user of this computer may have."""
    yield from filter(None, map(shutil.which, NAMES))
    home = Path(os.environ.get("PYENV_ROOT") or Path.home() / ".pyenv")
    yield from map(str, sorted(home.glob("versions/3.*/bin/python3")))


@cache
def others() -> dict[tuple[int, int], str]:
    """One Python of each version but ours."""
    found: dict[tuple[int, int], str] = {}
    for python in pythons():
        asked = subprocess.run(
            [python, "-c", "import sys; print(*sys.version_info[:2])"],
            capture_output=True,
            text=True,
        )
        if asked.returncode == 0:
            version = tuple(map(int, asked.stdout.split()))
            if version >= (3, 11) and version != OURS:
                found.setdefault(version, python)
    return found


def written(python: str, project: Path, out: Path) -> dict[str, bytes]:
    """Everything that Python writes of the shipped jobs and a small project."""
    out.mkdir()
    # Our own packages, as far as they are no machine code; where one is needed that is, the run
    # fails.
    environment = {
        **os.environ,
        "PYTHONPATH": os.pathsep.join((str(TOOLS), sysconfig.get_path("purelib"))),
        "FIRSTWAY_CACHE": "",
        "PYTHONDONTWRITEBYTECODE": "1",
    }
    names = f"PRACTICE, ASSIGNED, CLASS = {(PRACTICE, ASSIGNED, CLASS)!r}\n"
    ended = subprocess.run(
        [python, "-c", names + SCRIPT, str(out), str(project), str(DIAGRAMS)],
        env=environment,
        capture_output=True,
        text=True,
    )
    assert ended.returncode == 0, f"{python}: {ended.stderr[-3000:]}"
    return {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file()
    }


@pytest.mark.long
def test_another_python_writes_the_same_bytes(tmp_path: Path) -> None:
    if not others():
        pytest.skip(
            f"only Python {OURS[0]}.{OURS[1]} is here; another of {', '.join(NAMES)} is needed, on"
            " the path or among pyenv's"
        )
    project = made_small_project(tmp_path / "project")
    (project / "secret.txt").write_text("5" * 64 + "\n", encoding="utf-8")
    ours = written(sys.executable, project, tmp_path / "ours")
    assert len(ours) > 100
    for version, python in sorted(others().items()):
        theirs = written(python, project, tmp_path / f"python-{version[1]}")
        assert sorted(theirs) == sorted(ours)
        assert [name for name in ours if theirs[name] != ours[name]] == [], (
            f"{python} writes something else"
        )
