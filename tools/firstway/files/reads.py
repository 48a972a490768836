"""Files: which parts of a project a result was made from: whoever hands out a part notes its name.

    with noting_reads() as noted:
        page = make()        # whatever it asks for notes itself
    noted                    # the names of the parts, each once

What is read inside counts for those around it too.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Generic, TypeVar

_Key = TypeVar("_Key")
_Thing = TypeVar("_Thing")
_OPEN: ContextVar[dict[str, None] | None] = ContextVar("parts that were read", default=None)


def note_read(*parts: str) -> None:
    """These parts of the project are being read; where nobody listens nothing happens."""
    if (noted := _OPEN.get()) is not None:
        noted.update(dict.fromkeys(parts))


@contextmanager
def noting_reads(aside: bool = False) -> Iterator[dict[str, None]]:
    """The names of the parts that are read from here on, in their order; `aside`: those around it
    do not hear of them.
    """
    noted: dict[str, None] = {}
    token = _OPEN.set(noted)
    try:
        yield noted
    finally:
        _OPEN.reset(token)
        if not aside:
            note_read(*noted)


class MadeOnce(Generic[_Key, _Thing]):
    """What is made when it is first asked for; what it was made from counts for each that asks.

    At most `most` things are held, the latest ones.
    """

    def __init__(self, make: Callable[[_Key], _Thing], most: int) -> None:
        self._make, self._most = make, most
        self._made: dict[_Key, tuple[_Thing, tuple[str, ...]]] = {}

    def __call__(self, key: _Key) -> _Thing:
        found = self._made.pop(key, None)
        if found is None:
            with noting_reads() as noted:
                found = self._make(key), tuple(noted)
            while len(self._made) >= self._most:
                del self._made[next(iter(self._made))]
        self._made[key] = found
        note_read(*found[1])
        return found[0]
