"""Parts done by a Dask cluster of two processes on this computer: the same bytes as alone, also
where a worker is killed; what is told where there is no cluster, or none of ours.
"""

from __future__ import annotations

import os
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from parts_of_work import die_outside, who, wrong_from_two
from small_project import JOB, made_small_project

from firstway.cli import main
from firstway.pages import made_jobs
from firstway.problems import Problems
from firstway.site.building import build
from firstway.spreading import cluster
from firstway.spreading.spread import spread
from firstway.spreading.workers import Workers

TABLE = ("study", "diagrams/marram.yaml", "--vary", "circuits.slipway.route.2.length_m=5..90/40")


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    """Where a cluster of two processes listens."""
    distributed = pytest.importorskip("distributed", reason="Dask is not installed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
    ) as started:
        yield started.scheduler_address


@pytest.mark.long
def test_spread__by_a_cluster_gives_what_map_gives(address: str) -> None:
    by = Workers(0, address)
    parts = [f"{number:03}" for number in range(40)]
    assert list(spread(int, parts, by)) == list(map(int, parts))
    assert len(set(spread(who, range(20), by)) - {os.getpid()}) == 2
    results = spread(wrong_from_two, range(9), by)
    assert [next(results), next(results)] == [0, 1]
    with pytest.raises(Problems, match="a.yaml:2: it is wrong"):
        next(results)


@pytest.mark.long
@pytest.mark.parametrize(
    "command",
    [
        ("check", *(f"diagrams/{name}.yaml" for name in ("alder", "marram", "plover"))),
        ("check", "--json", *(f"diagrams/{name}.yaml" for name in ("alder", "marram"))),
        (*TABLE, "--steps", "length:slipway", "-o"),
    ],
    ids=["check", "check --json", "study"],
)
def test_a_command__prints_and_writes_by_a_cluster_what_it_does_alone(
    address: str,
    command: tuple[str, ...],
    root: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(root)
    out = tmp_path / "x.csv"
    given = (*command, str(out)) if command[-1] == "-o" else command
    found = []
    for workers in ("1", "2", address):
        code = main([*given, "--workers", workers])
        found.append((code, capsys.readouterr().out, out.read_bytes() if out.exists() else b""))
    assert found[0] == found[1] == found[2] and found[0][0] in (0, 1)


@pytest.mark.long
def test_paper_and_mark__write_by_a_cluster_what_they_write_alone(
    address: str, root: Path, tmp_path: Path
) -> None:
    secret = tmp_path / "secret"
    secret.write_text("5e" * 32 + "\n")
    recipe, learners = tmp_path / "recipe.yaml", root / "quiz" / "classes" / "monday-evening.csv"
    shown = (root / "quiz" / "papers" / "class-first-look.yaml").read_text("utf-8")
    recipe.write_text(re.sub("(?m)^seed:.*$", "seed: five grey geese on the slip", shown), "utf-8")
    made = {}
    for name, workers in (("alone", "1"), ("two", "2"), ("cluster", address)):
        out = tmp_path / name
        ask = ["paper", str(recipe), "--class", str(learners), "-o", str(out)]
        assert main([*ask, "--secret", str(secret), "--workers", workers]) == 0
        assert main(["mark", str(out), "--workers", workers]) == 0
        made[name] = {
            path.relative_to(out): path.read_bytes() for path in out.rglob("*") if path.is_file()
        }
    assert made["alone"] == made["two"] == made["cluster"] and len(made["alone"]) > 10


def killing_after_two(cluster: Any, killed: list[int]) -> Callable[[str], None]:
    """Told of each job that is done, it kills a worker after the second."""
    told: list[str] = []

    def progress(line: str) -> None:
        told.extend([line] if line.startswith("working ") else [])
        if len(told) == 2 and not killed:
            killed.append(next(iter(cluster.workers.values())).pid)
            os.kill(killed[0], 9)

    return progress


def contents(folder: Path) -> dict[Path, bytes]:
    return {
        path.relative_to(folder): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


@pytest.mark.long
def test_build__by_a_cluster_without_our_cache_is_the_same_to_the_byte_though_a_worker_is_killed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What workers made is not made again by the process that asked."""
    distributed = pytest.importorskip("distributed", reason="Dask is not installed")
    project = made_small_project(tmp_path / "project")
    for number in range(6):
        copy = project / f"diagrams/copy{number}.yaml"
        shutil.copy(project / f"diagrams/{JOB}.yaml", copy)
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "kept alone"))
    assert build(project, tmp_path / "alone") == []
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "kept by workers"))
    killed: list[int] = []
    made_here: list[str] = []
    make = made_jobs._made
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, host="127.0.0.1"
    ) as started:
        monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "kept here"))
        monkeypatch.setattr(
            made_jobs, "_made", lambda file: made_here.append(file.name) or make(file)
        )
        progress, by = killing_after_two(started, killed), Workers(0, started.scheduler_address)
        assert build(project, tmp_path / "by cluster", progress, by) == []
    assert killed and len(made_here) <= 1, "at most what the killed one held"
    alone = contents(tmp_path / "alone")
    assert alone == contents(tmp_path / "by cluster") and len(alone) > 50
    assert not (tmp_path / "kept by workers" / "jobs").exists(), "workers keep no pages"


def test_by_cluster__says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(Problems, match="Dask is not installed; write: .* pip install"):
        list(spread(int, "12", Workers(0, "tcp://localhost:1")))


@pytest.mark.long
def test_by_cluster__says_that_nobody_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed", reason="Dask is not installed")
    monkeypatch.setattr(cluster, "_PATIENCE_S", 1.0)
    with pytest.raises(Problems, match="no cluster answers at tcp://127.0.0.1:9"):
        list(spread(int, "12", Workers(0, "tcp://127.0.0.1:9")))


@pytest.mark.long
def test_by_cluster__uses_no_worker_of_another_program(
    address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "program_digest", os.getpid)  # of each another
    with pytest.raises(Problems, match="runs another program"):
        list(spread(int, "12", Workers(0, address)))


@pytest.mark.long
def test_spread__a_killed_worker_of_a_cluster_costs_its_part_alone(address: str) -> None:
    done = list(spread(partial(die_outside, os.getpid()), range(12), Workers(0, address)))
    assert [part for part, _ in done] == list(range(12))
    assert {part for part, by in done if by == os.getpid()} >= {3, 7}
