"""Spreading: parts of long work done by several processes, given back in their order.

What a worker could not do is done again by the process that asked: a worker that was killed costs
its part alone, and an error rises here, with its own trace, at its place in the order.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import chain, islice
from typing import TypeVar

from firstway.files.keeping import keeps
from firstway.spreading.cluster import by_cluster
from firstway.spreading.workers import Workers, local_workers

_Part = TypeVar("_Part")
_Result = TypeVar("_Result")
_WORTH_A_FORK = 6
"""Parts below which forks cost more than they spare."""


def spread(
    function: Callable[[_Part], _Result], parts: Iterable[_Part], by: Workers
) -> Iterator[_Result]:
    """What `function` gives of each part, in the order of the parts.

    `function` can be imported by its name, or is a `partial` of such a one, whose arguments each
    worker is sent once; those, parts and results are plain data. Parts are taken as they are
    needed. A user's mistakes are `Problem` values inside the result, or `Problems` raised. Where
    there is one worker, one part, or no process to be had, all is done in this process.
    """
    rest = iter(parts)
    first = list(islice(rest, 2))
    every = chain(first, rest)
    if len(first) < 2 or (by.number < 2 and not by.address):
        return map(function, every)
    from firstway.spreading.processes import by_processes, is_a_worker

    if is_a_worker():
        return map(function, every)
    if by.address:
        return by_cluster(function, every, by.address)
    return by_processes(function, every, by.number)


def do_ahead(
    do: Callable[[_Part], object],
    parts: Sequence[_Part],
    by: Workers,
    before: Callable[[], object] = lambda: None,
) -> None:
    """Let forks of this process do what it is about to do itself, for what they leave in the cache
    folder: there it finds it. `do` may be any function, for a fork has all that this process has.

    Nothing is done where a fork is not to be had, nothing is kept, or the parts are few; `before`
    makes what all forks are to have.
    """
    number = local_workers().number if by.address else by.number
    if number < 2 or len(parts) < _WORTH_A_FORK or not keeps():
        return
    from firstway.spreading.processes import by_processes, is_a_worker, may_fork

    if is_a_worker() or not may_fork():
        return
    before()

    def left_behind(place: int) -> None:  # a part is not sent: a copy would be no part of the rest
        do(parts[place])

    deque(by_processes(left_behind, range(len(parts)), number), maxlen=0)
