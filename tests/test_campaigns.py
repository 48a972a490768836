"""A share of every campaign, the same cases each time; the whole ones run with `test campaigns`."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from types import ModuleType

import pytest

sys.path.insert(0, str(Path(__file__).parent / "campaigns"))
import frame  # noqa: E402

SHARE = 0.03  # but of a campaign that states a larger one


@pytest.mark.long
@pytest.mark.parametrize("name", frame.names())
def test_a_share_of_the_campaign_has_no_trouble(name: str) -> None:
    """In a process of its own: memory is measured, and its modules have plain names."""
    done = subprocess.run(
        [sys.executable, frame.__file__, name, "--share", str(SHARE)],
        capture_output=True,
        text=True,
        timeout=1500,
    )
    print(done.stdout)
    assert done.returncode == 0, done.stdout + done.stderr


def test_numbers_of__a_share_is_spread_over_the_whole() -> None:
    found = list(frame.numbers_of(0.03, 1000))
    assert len(found) == 30 and found[0] < 40 and found[-1] > 960
    assert list(frame.numbers_of(1, 5)) == [0, 1, 2, 3, 4]


def test_a_case_is_known_by_its_number_and_a_run_goes_on_where_it_stopped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    campaign = tmp_path / "invented_campaign.py"
    campaign.write_text(
        "from frame import Tried\nCASES = 4\nseen = []\ndef prepared(folder): return 7\ndef"
        " tried(shared, draw, folder):\n    seen.append(draw.random())\n    return Tried(('bad',)"
        " if len(seen) == 2 else (), {'size': len(seen)}, {'tried': shared})\n",
        encoding="utf-8",
    )
    monkeypatch.setattr(frame, "HERE", tmp_path)
    monkeypatch.setattr(frame, "KEPT", tmp_path / "kept")
    monkeypatch.syspath_prepend(str(tmp_path))
    assert frame.names() == ["invented_campaign"]
    assert frame.main(["--most", "3"]) == 1
    assert frame.main([]) == 1, "a trouble of an earlier run is not forgotten"
    seen = frame.module_of("invented_campaign").seen
    assert seen == [frame.chance("invented_campaign", number).random() for number in range(4)]
    record = frame._begun(tmp_path / "kept/invented_campaign.json")
    assert (
        record.done == 4
        and list(record.troubles) == ["1"]
        and record.counts == {"tried": 28}
        and record.measures == {"size": 4}
    )


# ---- what runs seldom names nothing that is gone

SELDOM = ("campaigns/*.py", "benchmarks/*.py", "mutations/*.py", "test_pythons.py")


def gone(source: str) -> Iterator[str]:
    """Names that a source takes from the package and that are not there; those of its scripts in
    strings too.
    """
    tree = ast.parse(source)
    modules: dict[str, object] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and "from firstway" in str(node.value):
            with suppress(SyntaxError):
                yield from gone(str(node.value))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("firstway"):
            for each in node.names:
                with suppress(ImportError):
                    import_module(f"{node.module}.{each.name}")
                found = getattr(import_module(str(node.module)), each.name, None)
                modules[each.asname or each.name] = found
                if found is None:
                    yield f"{node.module}.{each.name}"
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
            found = modules.get(node.value.id)
            if isinstance(found, ModuleType) and not hasattr(found, node.attr):
                yield f"{found.__name__}.{node.attr}"


def test_what_runs_seldom_names_nothing_that_is_gone() -> None:
    files = sorted(path for pattern in SELDOM for path in Path(__file__).parent.glob(pattern))
    assert len(files) > 15
    assert {
        path.name: names for path in files if (names := list(gone(path.read_text("utf-8"))))
    } == {}


def test_gone__sees_a_name_in_a_function_and_in_a_script() -> None:
    inside = "def f():\n    from firstway import cli\n    cli.NOT_THERE\n"
    assert list(gone(inside)) == ["firstway.cli.NOT_THERE"]
    assert list(gone(f"run({inside!r})")) == ["firstway.cli.NOT_THERE"]
    assert list(gone("from firstway.cli import main, not_there")) == ["firstway.cli.not_there"]
