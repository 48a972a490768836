"""Helper of tests/benchmarks: whole processes timed in turn against a plain one, so that a busy
machine slows both alike.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
PLAIN = (sys.executable, "-c", "import yaml")
RUN_FIRSTWAY = "import sys; from firstway.cli import main; sys.exit(main())"


def surroundings(kept: Path) -> dict[str, str]:
    """What a measured process is given: its own cache folder, and leave to keep compiled modules;
    where a machine forbids that, each start compiles all of the program anew, one second of it.
    """
    own = {**os.environ, "PYTHONPATH": str(ROOT / "tools"), "FIRSTWAY_CACHE": str(kept)}
    own.pop("PYTHONDONTWRITEBYTECODE", None)
    return own


def firstway(*arguments: str) -> tuple[str, ...]:
    """The command line as tools/start.py runs it."""
    return (sys.executable, "-c", RUN_FIRSTWAY, *arguments)


def seconds(command: Sequence[str]) -> float:
    """Wall time of one process; what it prints is thrown away."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT / "tools"), "PYTHONUTF8": "1"}
    begin = time.perf_counter()
    done = subprocess.run(
        command, cwd=ROOT, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
    )
    taken = time.perf_counter() - begin
    if done.returncode:
        raise SystemExit(done.stderr.decode(errors="replace"))
    return taken


def against_plain(command: Sequence[str], runs: int) -> tuple[float, float, float]:
    """Median seconds of the command and of the plain process, and how many times longer the command
    takes.
    """
    seconds(command), seconds(PLAIN)  # the first run compiles and warms the disk
    pairs = [(seconds(command), seconds(PLAIN)) for _ in range(runs)]
    own, plain = (statistics.median(times) for times in zip(*pairs))
    return own, plain, own / plain


def line(name: str, own: float, plain: float, ratio: float) -> str:
    return f"{name:24} {own:7.3f} s   plain {plain:6.3f} s   {ratio:6.1f} times"
