"""Up to 64 processes of `mark` on one folder while files come in: each ends well, the last word is
right, nothing is told twice or left behind.
"""

from __future__ import annotations

import contextlib
import csv
import io
import random
import subprocess
import sys
import time
from pathlib import Path

from desk_class import SmallClass, small_class
from frame import Tried

from firstway.files.folders import ROOM_PREFIX

CASES = 34
PROCESSES = (64, 12, 12, 12, 12)  # of which one is drawn
SECONDS = 1800  # of the clock, which runs on beside heavy work
CODES = tuple(f"K{number:02}" for number in range(1, 25))
MARK = (
    "import sys; sys.path.insert(0, sys.argv[1]); from firstway.cli import main;"
    " sys.exit(main(['mark', sys.argv[2]]))"
)
TOOLS = Path(__file__).parents[2] / "tools"
EXPECTED = {"answers", "changes.csv", "corrections.csv", "marked", "paper", "typed"}


def prepared(folder: Path) -> SmallClass:
    """The class, its papers made; cases take copies."""
    with contextlib.redirect_stdout(io.StringIO()):
        return small_class(folder, *CODES)


def tried(first: SmallClass, draw: random.Random, folder: Path) -> Tried:
    """Everybody's marks once all have ended."""
    with contextlib.redirect_stdout(io.StringIO()):
        processes = draw.choice(PROCESSES)
        troubles = at_once(first.copied(folder / "class"), draw, processes)
    return Tried(tuple(troubles), {"processes at once": processes}, {"processes": processes})


def at_once(made: SmallClass, draw: random.Random, processes: int) -> list[str]:
    """Start them while files come in; what went wrong."""
    key = made.key
    made.hand_in(key, CODES[0])
    assert made.mark() == 0
    running = []
    waiting = list(CODES[1:])
    draw.shuffle(waiting)
    for number in range(processes):
        running.append(
            subprocess.Popen(
                [sys.executable, "-c", MARK, str(TOOLS), str(made.out)],
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                text=True,
            )
        )
        if waiting and number % 2:
            made.hand_in(key, waiting.pop())
        if draw.random() < 0.2:
            time.sleep(draw.random() * 0.3)
    for code in waiting:
        made.hand_in(key, code)
    faults = []
    for each in running:
        try:
            _, said = each.communicate(timeout=SECONDS)
        except subprocess.TimeoutExpired:
            each.kill()
            return ["no end"]
        if each.returncode != 0 or said:
            faults.append(f"exit {each.returncode}: {said[-300:]}")
    if made.mark() != 0:
        faults.append("the run after them fails")
    faults += [f"{code} has {points!r}" for code, points in made.points().items() if points != "3"]
    told = [
        row[0]
        for row in csv.reader(
            (made.out / "changes.csv").read_text(encoding="utf-8-sig").splitlines()
        )
    ][1:]
    if sorted(told) != sorted(CODES[1:]):
        faults.append(f"changes.csv tells of {sorted(told)}")
    left = {path.name for path in made.out.iterdir()} ^ EXPECTED
    faults += [f"left behind or missing: {sorted(left)}"] if left else []
    faults += ["a room is left"] if list(made.out.rglob(f"{ROOM_PREFIX}*")) else []
    return faults
