"""Kills of build, paper, mark, package and draw: at random moments, and at every write in turn.

Right after a kill every part is old or new, whole. After the next run of another command nothing is
left of the killed one. The next run of the command itself gives what a run that nobody disturbed
gives.
"""

from __future__ import annotations

from pathlib import Path

import commands
from commands import Command, Shared, begin, forked, litter, run, state
from frame import Chance, Tried

MOMENTS, WRITES = 300, 1500
CASES = MOMENTS + WRITES
# a first build writes in its room what any build writes: its last writes, which put it in place,
# are tried
LAST = 40
prepared = commands.prepared
ONE_STEP = {
    "build": ("site",),
    "build anew": ("a",),
    "package": ("a.zip",),
    "draw": ("a.svg",),
    "paper anew": ("class",),
}


def tried(shared: Shared, draw: Chance, folder: Path) -> Tried:
    """One kill: the commands in turn at moments drawn, then every write of every command, one after
    the other.
    """
    if draw.number < MOMENTS:
        command = shared.commands[sorted(shared.commands)[draw.number % len(shared.commands)]]
        return _killed(
            shared, command, folder, "moment", 0, draw.uniform(0, shared.seconds[command.name])
        )
    places = [
        (name, number)
        for name, count in sorted(shared.writes.items())
        for number in range(count - LAST if name == "build anew" else 1, count + 1)
    ]
    # Where a whole campaign has more cases than there are writes, the last ones have nothing to do;
    # where fewer, that is told.
    assert len(places) <= WRITES, f"{len(places)} writes: let the campaign have as many cases"
    if draw.number - MOMENTS >= len(places):
        return Tried(skipped=f"there are {len(places)} writes")
    name, number = places[draw.number - MOMENTS]
    return _killed(shared, shared.commands[name], folder, "kill", number, None)


def _killed(
    shared: Shared, command: Command, folder: Path, way: str, number: int, after_s: float | None
) -> Tried:
    where = (
        f"{command.name}, write {number}"
        if after_s is None
        else f"{command.name}, after {after_s:.2f} s"
    )
    begin(shared, command, folder)
    ended = run(shared, command, folder, "kill" if after_s is None else "count", number, after_s)
    counts = {
        f"{command.name} killed at a {'write' if after_s is None else 'moment'}": int(
            ended.code == -9
        ),
        "ended before the kill": int(ended.code != -9),
    }
    old, new = shared.old[command.name], shared.new[command.name]
    troubles: list[str] = []
    if command.name in ONE_STEP and not _is_one_of(command, state(folder, command.parts), old, new):
        troubles.append(f"{where}: right after it neither the old nor the new stands")
    if ended.code not in (-9, 0, 1) or ended.trace:
        troubles.append(f"{where}: {ended}")
    other = forked(
        [command.arguments[0], "check", str(shared.folder / "old/diagrams/marram.yaml")], folder
    )
    if other.code not in (0, 1):
        troubles.append(f"{where}: the next command ended so: {other}")
    if litter(folder):
        troubles.append(f"{where}: after the next command is left: {litter(folder)}")
    if not _is_one_of(command, state(folder, command.parts), old, new):
        troubles.append(
            f"{where}: after the next command neither the old nor the new stands whole:"
            f" {_difference(state(folder, command.parts), old, new)}"
        )
    again = run(shared, command, folder)
    if again.code not in (0, 1) or again.trace:
        troubles.append(f"{where}: the next run ended so: {again}")
    if not _is_new(command, state(folder, command.parts), new):
        troubles.append(
            f"{where}: the next run gave something else:"
            f" {_difference(state(folder, command.parts), new, new)}"
        )
    if litter(folder):
        troubles.append(f"{where}: after the next run is left: {litter(folder)}")
    return Tried(tuple(troubles), {}, counts)


def _is_new(command: Command, found: dict[str, str], new: dict[str, str]) -> bool:
    return found == new if command.same_bytes else found.keys() == new.keys()


def _is_one_of(
    command: Command, found: dict[str, str], old: dict[str, str], new: dict[str, str]
) -> bool:
    return found == old or _is_new(command, found, new)


def _difference(found: dict[str, str], old: dict[str, str], new: dict[str, str]) -> str:
    other = [
        name
        for name in sorted({*found, *old, *new})
        if found.get(name) not in (old.get(name, "-"), new.get(name, "-"))
    ]
    mixed = [name for name in sorted(found) if old.get(name) != new.get(name)]
    return f"strange: {other[:6]}; mixed: {mixed[:6]}"
