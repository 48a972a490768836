"""Spreading: the processes of this computer that do parts, and what becomes of one that is killed.

Read where there are parts for them alone: most commands need none.
"""

from __future__ import annotations

import gc
import multiprocessing
import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from contextlib import suppress
from itertools import islice
from multiprocessing.connection import Connection, wait
from typing import Any, TypeVar

_Part = TypeVar("_Part")
_Result = TypeVar("_Result")
_LET_GO_EVERY = 3  # parts: what refers to itself in circles would fill the memory
_AHEAD = 4  # parts a worker that are under way or wait for their turn: memory stays flat


def is_a_worker() -> bool:
    """Whether this process does parts for another, and may have none of its own."""
    return multiprocessing.current_process().daemon


def may_fork() -> bool:
    """A fork starts at once and has read what this process has, but is safe only where there is no
    other thread, and not on macOS.
    """
    return sys.platform == "linux" and threading.active_count() == 1


def by_processes(
    function: Callable[[_Part], _Result], parts: Iterable[_Part], number: int
) -> Iterator[_Result]:
    numbered = enumerate(parts)
    taken: dict[int, _Part] = {}
    waiting: deque[int] = deque()
    answers: dict[int, tuple[_Result, ...]] = {}  # an empty one: to be done again here
    crew = _Crew(function, number)
    at = 0
    try:
        while True:
            for place, part in islice(numbered, _AHEAD * number - len(taken)):
                taken[place] = part
                waiting.append(place)
            if not taken:
                return
            while waiting and crew.give(waiting[0], taken[waiting[0]]):
                waiting.popleft()
            answers |= crew.answers() or {waiting.popleft(): ()}
            while at in answers:
                part, answer = taken.pop(at), answers.pop(at)
                yield answer[0] if answer else function(part)
                at += 1
    finally:
        for end in list(crew.processes):
            crew.dismiss(end)


class _Crew:
    """The processes of one run; each is hired when there is a part for it."""

    def __init__(self, function: Callable[[Any], Any], number: int) -> None:
        self.forks = may_fork()
        self.context = multiprocessing.get_context("fork" if self.forks else "spawn")
        self.function, self.number = function, number
        self.processes: dict[Connection, Any] = {}
        self.given: dict[Connection, int] = {}

    def give(self, place: int, part: object) -> bool:
        """Whether somebody has taken a part."""
        while True:
            end = next((end for end in self.processes if end not in self.given), None)
            if end is None and not (end := self._hired()):
                return False
            try:
                end.send(part)
            except OSError:  # it was killed while it had nothing to do
                self.dismiss(end)
                continue
            self.given[end] = place
            return True

    def _hired(self) -> Connection | None:
        if len(self.processes) >= self.number:
            return None
        ours, theirs = self.context.Pipe()
        # A fork holds our ends too: while it did, nobody would see us end.
        inherited = [*self.processes, ours] if self.forks else []
        process: Any = self.context.Process(  # type: ignore[attr-defined]  # of either context
            target=_work, args=(self.function, theirs, inherited), daemon=True
        )
        try:
            process.start()
        except OSError:  # no room for one more
            self.number = len(self.processes)
            return None
        finally:
            theirs.close()
        self.processes[ours] = process
        return ours

    def answers(self) -> dict[int, tuple[Any, ...]]:
        """What has come back, by its place; empty where nothing is under way."""
        found = {}
        for end in wait(list(self.given)) if self.given else ():
            assert isinstance(end, Connection)
            place = self.given.pop(end)
            try:
                found[place] = end.recv()
            except (EOFError, OSError):  # it was killed
                found[place] = ()
                self.dismiss(end)
        return found

    def dismiss(self, end: Connection) -> None:
        """One process less."""
        process = self.processes.pop(end)
        end.close()
        process.terminate()
        process.join()


def _work(function: Callable[[Any], Any], end: Connection, inherited: Iterable[Connection]) -> None:
    """What a process does until nobody gives it a part."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # it is told by the process that asked
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    for other in inherited:
        other.close()
    gc.freeze()  # what it was forked with stays until its end
    done = 0
    with suppress(EOFError, OSError):
        while True:
            part = end.recv()
            try:
                end.send((function(part),))
            except Exception:
                end.send(())
            done += 1
            if done % _LET_GO_EVERY == 0:
                gc.collect()
