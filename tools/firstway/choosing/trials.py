"""Choosing: long trials, one value after the other, that whoever asked may leave between two."""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import TypeAlias, TypeVar

_Found = TypeVar("_Found")
Trials: TypeAlias = Generator[str, None, _Found]
"""How far it is, in words, before each value; what was found, at the end."""


def to_the_end(trials: Trials[_Found], progress: Callable[[str], None]) -> _Found:
    """What was found; how far it is, meanwhile, and an empty text when all is tried."""
    while True:
        try:
            said = next(trials)
        except StopIteration as end:
            progress("")
            found: _Found = end.value
            return found
        progress(said)
