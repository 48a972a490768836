"""Parts done by several processes: their order, and what dies, fails or is asked for too much.

The built-in `map` is what every way is held to.
"""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from functools import partial
from multiprocessing.process import BaseProcess
from pathlib import Path

import pytest
from parts_of_work import die_outside, first_last, reciprocal, spreads, who, wrong_from_two

from firstway.problems import Problem, Problems
from firstway.spreading.spread import do_ahead, spread
from firstway.spreading.workers import ONE_PROCESS, Workers, local_workers, workers_named

TWO = Workers(2)


def test_spread__gives_what_map_gives() -> None:
    parts = [f"{number:03}" for number in range(40)]
    for by in (ONE_PROCESS, TWO, Workers(3), local_workers()):
        assert list(spread(int, parts, by)) == list(map(int, parts))


def test_spread__two_processes_share_the_parts_and_this_one_does_none() -> None:
    done_by = set(spread(who, range(8), TWO))
    assert len(done_by) == 2 and os.getpid() not in done_by


def test_spread__one_part_or_one_worker_stays_here() -> None:
    assert set(spread(who, range(1), TWO)) == {os.getpid()}
    assert set(spread(who, range(3), ONE_PROCESS)) == {os.getpid()}
    assert list(spread(int, [], TWO)) == []


def test_spread__a_slow_part_keeps_its_place_and_holds_up_a_few_alone() -> None:
    asked: list[int] = []

    def parts() -> Iterator[int]:
        for part in range(1000):
            asked.append(part)
            yield part

    results = spread(first_last, parts(), TWO)
    assert next(results) == 0
    assert len(asked) <= 8, "parts are taken as they are needed"
    assert [next(results) for _ in range(5)] == [1, 2, 3, 4, 5]
    results.close()  # type: ignore[attr-defined]  # a generator


def test_spread__a_killed_worker_costs_its_part_alone() -> None:
    done = list(spread(partial(die_outside, os.getpid()), range(12), TWO))
    assert [part for part, _ in done] == list(range(12))
    assert [part for part, by in done if by == os.getpid()] == [3, 7], "these killed their worker"


def test_spread__what_no_process_can_be_had_for_is_done_here(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refused(process: object) -> None:
        raise OSError("no more processes")

    monkeypatch.setattr(BaseProcess, "start", refused)
    assert set(spread(who, range(3), TWO)) == {os.getpid()}


def test_spread__an_error_rises_at_its_place() -> None:
    results = spread(wrong_from_two, range(9), TWO)
    assert [next(results), next(results)] == [0, 1]
    with pytest.raises(Problems) as raised:
        next(results)
    assert raised.value.problems == (Problem("a.yaml", 2, "it is wrong", "put it right"),)
    with pytest.raises(ZeroDivisionError):
        list(spread(reciprocal, range(3), TWO))


def test_spread__a_worker_spreads_no_further() -> None:
    assert list(spread(spreads, range(2), TWO)) == [True, True]


ORPHANS = """
import os, time
from firstway.spreading.spread import spread
from firstway.spreading.workers import Workers
results = spread(time.sleep, [0, 0, 0.3, 0.3, 0.3], Workers(2))
next(results)
import multiprocessing
print(*(each.pid for each in multiprocessing.active_children()), flush=True)
os.kill(os.getpid(), 9)
"""


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="looks into /proc for processes")
def test_spread__nobody_works_on_when_the_one_that_asked_is_killed(root: Path) -> None:
    asking = subprocess.run(
        [sys.executable, "-c", ORPHANS],
        env={**os.environ, "PYTHONPATH": str(root / "tools")},
        capture_output=True,
        text=True,
    )
    children = asking.stdout.split()
    assert len(children) == 2, asking.stderr
    for _ in range(100):
        if not any(_runs(child) for child in children):
            return
        time.sleep(0.05)
    pytest.fail("a worker runs on")


def _runs(child: str) -> bool:
    stat = Path("/proc", child, "stat")
    return stat.is_file() and stat.read_text().rpartition(")")[2].split()[0] != "Z"


PLAIN = """
from firstway.spreading.spread import spread
from firstway.spreading.workers import Workers
import threading
threading.Thread(target=threading.Event().wait, daemon=True).start()
print(*spread(int, "123456", Workers(2)))
"""


def test_spread__beside_another_thread_processes_are_started_anew(root: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", PLAIN],
        env={**os.environ, "PYTHONPATH": str(root / "tools")},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.split() == list("123456")


@pytest.mark.parametrize(
    ("text", "workers"),
    [
        ("1", ONE_PROCESS),
        ("4", Workers(4)),
        ("localhost:8786", Workers(0, "tcp://localhost:8786")),
        ("tcp://127.0.0.1:8786", Workers(0, "tcp://127.0.0.1:8786")),
        ("tcp://[::1]:8786", Workers(0, "tcp://[::1]:8786")),
        ("tls://desk.example:8786", Workers(0, "tls://desk.example:8786")),
    ],
)
def test_workers_named(text: str, workers: Workers) -> None:
    assert workers_named(text) == (workers, [])


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("tcp://desk.example:8786", "desk.example is another computer"),
        ("192.0.2.7:8786", "192.0.2.7 is another computer"),
        ("tcp://localhost.desk.example:1", "is another computer"),
        ("ws://localhost:8786", "neither a number of processes nor an address"),
        ("0", "neither"),
        ("-2", "neither"),
        ("100000", "neither"),
        ("two", "neither"),
        ("tcp://localhost", "neither"),
        ("tcp://localhost:8786/x", "neither"),
        ("", "neither"),
    ],
)
def test_workers_named__refuses(text: str, said: str) -> None:
    workers, problems = workers_named(text)
    assert workers == ONE_PROCESS and said in problems[0].message and problems[0].hint


def test_do_ahead__forks_do_the_parts_and_what_was_made_before_is_theirs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr(threading, "active_count", lambda: 1)  # a browser of other tests has some
    made_before: list[int] = []

    def do(part: int) -> None:
        (tmp_path / str(part)).write_text(f"{os.getpid()} {made_before}", encoding="utf-8")
        if part == 5 and os.getpid() != asking:
            os.kill(os.getpid(), 9)

    asking = os.getpid()
    do_ahead(do, range(12), TWO, lambda: made_before.append(1))
    told = [(tmp_path / str(part)).read_text("utf-8").split(" ", 1) for part in range(12)]
    if sys.platform == "linux":
        assert {before for _, before in told} == {"[1]"}
        by = [int(process) for process, _ in told]
        assert by[5] == asking and by.count(asking) == 1, "a killed fork costs its part alone"


@pytest.mark.parametrize("without", ["workers", "parts", "a folder"])
def test_do_ahead__nothing_is_done_where_it_gains_nothing(
    without: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FIRSTWAY_CACHE", "" if without == "a folder" else str(tmp_path))
    do_ahead(
        lambda part: (tmp_path / f"done{part}").touch(),
        range(2 if without == "parts" else 12),
        ONE_PROCESS if without == "workers" else TWO,
    )
    assert list(tmp_path.glob("done*")) == []
