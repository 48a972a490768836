"""A disk that is full at each write of build, paper, mark, package and draw: told in a sentence,
the old stands, nothing is left.

Three ways: the system's refusal put in at the n-th write and every later one; a file system that is
really small (root on Linux); a limit to the size of any one file.
"""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from random import Random

import commands
from commands import Command, Shared, begin, litter, run, state
from frame import Tried
from kills import _is_new, _is_one_of

CASES = 300
prepared = commands.prepared


def tried(shared: Shared, draw: Random, folder: Path) -> Tried:
    """One full disk."""
    command = shared.commands[draw.choice(sorted(shared.commands))]
    way = draw.choice(("refused", "refused", "small", "limit"))
    if way == "refused":
        begin(shared, command, folder)
        number = draw.randint(1, shared.writes[command.name])
        return _judged(
            shared,
            command,
            folder,
            f"write {number} refused",
            run(shared, command, folder, "fail", number),
        )
    if way == "limit":
        begin(shared, command, folder)
        limit = draw.choice((0, 1, 100, 1000, 4096, 10_000, 30_000, 100_000))
        return _judged(
            shared,
            command,
            folder,
            f"files limited to {limit} bytes",
            run(shared, command, folder, file_limit=limit),
        )
    return _small(shared, command, folder, draw)


def _small(shared: Shared, command: Command, folder: Path, draw: Random) -> Tried:
    """A real file system with room for what stands there and a part of what is to come."""
    place = folder / "disk"
    place.mkdir()
    if not sys.platform.startswith("linux"):
        return Tried(skipped="a small file system needs Linux")
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64m", "none", str(place)], capture_output=True
    )
    if mounted.returncode:
        return Tried(skipped="a small file system can be mounted by root only")
    try:
        begin(shared, command, place)
        used = _used_kb(place)
        more = draw.randrange(0, max(8, _size_kb(shared, command)))
        subprocess.run(
            ["mount", "-o", f"remount,size={used + more}k", str(place)],
            check=True,
            capture_output=True,
        )
        ended = run(shared, command, place)
        return _judged(
            shared,
            command,
            place,
            f"{more} kB left",
            ended,
            lambda: subprocess.run(
                ["mount", "-o", "remount,size=64m", str(place)], check=True, capture_output=True
            ),
        )
    finally:
        subprocess.run(["umount", "-l", str(place)], capture_output=True)


def _used_kb(place: Path) -> int:
    import os

    found = os.statvfs(place)
    return (found.f_blocks - found.f_bfree) * found.f_frsize // 1024


def _size_kb(shared: Shared, command: Command) -> int:
    """About what a run writes."""
    return {"build": 4000, "build anew": 4000, "paper": 2000, "paper anew": 2000, "mark": 600}.get(
        command.name, 120
    )


def _judged(
    shared: Shared,
    command: Command,
    folder: Path,
    way: str,
    ended: commands.Ended,
    room_again=lambda: None,
) -> Tried:
    where = f"{command.name}, {way}"
    old, new = shared.old[command.name], shared.new[command.name]
    found = state(folder, command.parts)
    troubles: list[str] = []
    if ended.trace or ended.code not in (0, 1, 2):
        troubles.append(f"{where}: {ended.code} {ended.trace or ended.said}")
    elif ended.code == 2 and (found != old or not ended.said.strip()):
        troubles.append(
            f"{where}: refused, but the old does not stand"
            if found != old
            else f"{where}: refused without a word"
        )
    elif ended.code in (0, 1) and not _is_new(command, found, new):
        troubles.append(f"{where}: ended well without the new")
    left = [name for name in litter(folder) if not name.startswith("cache/rooms/")]
    if left:
        troubles.append(f"{where}: left: {left}")
    room_again()
    again = run(shared, command, folder)
    if (
        again.code not in (0, 1)
        or again.trace
        or not _is_new(command, state(folder, command.parts), new)
    ):
        troubles.append(f"{where}: the next run ended so: {again}")
    if litter(folder):
        troubles.append(f"{where}: after the next run is left: {litter(folder)}")
    assert _is_one_of(command, found, old, new) or troubles
    return Tried(
        tuple(troubles),
        {},
        {
            f"{command.name} refused": int(ended.code == 2),
            f"{command.name} had room": int(ended.code != 2),
        },
    )
