"""Every key of every shipped installation, assumed: no pass rests on what nobody checked."""

from __future__ import annotations

import sys
from pathlib import Path

from frame import Chance, Tried
from sampling import EVERY_JOB

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "model"))
from assuming import Key, keys_of, troubles_of  # noqa: E402

CASES = 4000  # room for the jobs that are still to come
SHARE = 0.2


def prepared(folder: Path) -> list[tuple[str, Key]]:
    found = [(name, key) for name in EVERY_JOB for key in keys_of(name)]
    assert len(found) <= CASES, f"{len(found)} keys: let the campaign have as many cases"
    return found


def tried(shared: list[tuple[str, Key]], draw: Chance, folder: Path) -> Tried:
    """One key: the jobs lie one after the other."""
    if draw.number >= len(shared):
        return Tried(skipped=f"there are {len(shared)} keys")
    name, key = shared[draw.number]
    return Tried(tuple(troubles_of(name, key)), counts={f"keys of {name}": 1})
