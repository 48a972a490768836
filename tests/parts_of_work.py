"""What the tests of `spreading` have done by other processes: importable there too, also by one
that is started anew.
"""

from __future__ import annotations

import os
import time

from firstway.problems import Problem, Problems
from firstway.spreading.spread import spread
from firstway.spreading.workers import Workers


def who(part: int) -> int:
    """The process that does it."""
    time.sleep(0.02)
    return os.getpid()


def first_last(part: int) -> int:
    """The part itself; the first takes longest."""
    time.sleep(0.2 if part == 0 else 0)
    return part


def die_outside(asking: int, part: int) -> tuple[int, int]:
    """The part and who does it; two of them kill whoever is not the one that asked."""
    if part in (3, 7) and os.getpid() != asking:
        os.kill(os.getpid(), 9)
    return part, os.getpid()


def wrong_from_two(part: int) -> int:
    """A user's mistake, from the third on."""
    if part >= 2:
        raise Problems([Problem("a.yaml", part, "it is wrong", "put it right")])
    return part


def reciprocal(part: int) -> float:
    """A bug at 0."""
    return 1 / part


def spreads(part: int) -> bool:
    """Whether a worker's own parts stay with it."""
    return set(spread(who, range(3), Workers(2))) == {os.getpid()}
