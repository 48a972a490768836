"""Model: what a result rests on: readings of assumed keys note themselves in the scope that is
open.

Nobody hands evidence on by hand. A section of an installation that holds an assumed key is an
instance of a subclass in which reading that key notes its path (`noting`); anything made from such
readings (a conductor, a link, a figure that is kept) may carry them and note them again when it is
read (`resting`). An installation without an assumed key is made of the plain classes and pays
nothing.

    with scope() as seen:               # what is read from here on ...
        conductor = Conductor(...)
    conductor = resting(replace(conductor, evidence=seen.paths))      # ... is what it rests on

A scope keeps what is read inside it from the scopes around it: whoever opens one either stores
`seen.paths` with what was made, or adds it to the scope around by `seen.counts()`. What joins what
(a terminal that is there, the ends of a conductor) and how much it is (size, length, ohm) are best
noted apart, or every pass over the graph rests on every assumed length in it. A generator may yield
inside a scope only to a consumer that reads nothing meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextvars import ContextVar
from dataclasses import fields, replace
from functools import cache
from typing import Any, TypeVar

from firstway.model.values import Placed, place_of, told

_T = TypeVar("_T")
_S = TypeVar("_S", bound=Placed)
WHAT_JOINS_WHAT = frozenset(("id", "start", "end", "function", "kind", "of", "cable", "opened_by"))
"""Fields that say which a thing is and what it joins: to read them is no evidence."""


class Scope:
    """The assumed paths read while it was the innermost one open, in the order they were read."""

    __slots__ = ("_paths", "_around", "_apart", "_token")

    def __init__(self, apart: bool = False) -> None:
        self._paths: dict[str, None] = {}
        self._apart = apart

    def __enter__(self) -> Scope:
        self._around: Scope | None = None if self._apart else _OPEN.get()
        self._token = _OPEN.set(self)
        return self

    def __exit__(self, *failure: object) -> None:
        _OPEN.reset(self._token)

    @property
    def paths(self) -> tuple[str, ...]:
        """The assumed paths that were read, each once."""
        return tuple(self._paths)

    def counts(self) -> None:
        """Add what was read here to the scope that is open now."""
        note(*self._paths)


class _NoMore:
    """What stands after the last item."""


_NO_MORE = _NoMore()
_OPEN: ContextVar[Scope | None] = ContextVar("open scope of evidence", default=None)


def scope() -> Scope:
    """A scope to be opened by `with`. Where one of two alternatives suffices, each has its own."""
    return Scope()


def ground() -> Scope:
    """A scope that sees nothing of those around it: for what is made once and read by many."""
    return Scope(apart=True)


def note(*paths: str) -> None:
    """What was read rests on these assumed paths; without an open scope nobody asks."""
    if paths and (inside := _OPEN.get()) is not None:
        inside._paths.update(dict.fromkeys(paths))


def read_so_far() -> tuple[str, ...]:
    """What was read in the open scope and in the scopes around it."""
    found: dict[str, None] = {}
    inside = _OPEN.get()
    while inside is not None:
        if inside._paths:
            found.update(inside._paths)
        inside = inside._around
    return tuple(found)


def each(items: Iterable[_T]) -> Iterator[_T]:
    """The items one by one: what is read about one is forgotten when the next one's turn comes.

    For loops whose turns judge one item each. A loop that adds up over its turns is a plain `for`.
    After the last turn everything counts, for what follows may hang on any of it.
    """
    inside = _OPEN.get()
    if inside is None:
        yield from items
        return
    before, every = dict(inside._paths), dict(inside._paths)
    turns = iter(items)
    try:
        while True:
            inside._paths = dict(before)
            item = next(turns, _NO_MORE)
            # What was read to find the item decides what the turn is about, and which turns follow.
            before, every = dict(inside._paths), {**every, **inside._paths}
            if isinstance(item, _NoMore):
                break
            yield item
            every.update(inside._paths)
    finally:  # also where the loop is left by `break`
        inside._paths = {**every, **inside._paths}


def alone(make: Callable[[], _T]) -> tuple[_T, tuple[str, ...]]:
    """What `make` gives, and what it rests on, apart from what is read around it."""
    with ground() as seen:
        made = make()
    return made, seen.paths


class Kept:
    """What is made once and asked for often: what it rests on counts for each that asks."""

    def __init__(self) -> None:
        self._made: dict[object, tuple[Any, tuple[str, ...]]] = {}

    def give(self, key: object, made: object) -> None:
        """Something made elsewhere, which rests on nothing assumed."""
        self._made[key] = made, ()

    def kept(self, key: object, make: Callable[[], _T]) -> _T:
        """What stands under a key, made by `make` when it is first asked for."""
        if key not in self._made:
            self._made[key] = alone(make)
        made: _T
        made, evidence = self._made[key]
        note(*evidence)
        return made


# Sections whose reading is noted


class _NotedKey:
    """An attribute that notes the path of its key when it is read."""

    def __init__(self, name: str, key: str) -> None:
        self.name, self.key = name, key

    def __get__(self, section: Any, of: type | None = None) -> Any:
        if section is None:
            return self
        note(f"{section.path}.{self.key}" if section.path else self.key)
        return section.__dict__[self.name]

    def __set__(self, section: Any, value: Any) -> None:
        section.__dict__[self.name] = value


class _NotedEvidence:
    """An attribute of something made that notes all it rests on."""

    def __init__(self, name: str, kept_in: str) -> None:
        self.name, self.kept_in = name, kept_in

    def __get__(self, made: Any, of: type | None = None) -> Any:
        if made is None:
            return self
        note(*made.__dict__[self.kept_in])
        return made.__dict__[self.name]

    def __set__(self, made: Any, value: Any) -> None:
        made.__dict__[self.name] = value


def noting(section: _S, names: Iterable[str]) -> _S:
    """The section, noting the paths of these attributes as they are read."""
    wanted = frozenset(names) | getattr(type(section), "_noted", frozenset())
    return _copied(section, _noting_class(plain(section), wanted)) if wanted else section


def note_assumed(installation: Any) -> None:
    """Make every section of an installation that holds an assumed key one that notes it.

    An entry of `known_by` speaks of its key and of all keys below it that have no entry of their
    own. A name is no evidence: it is what the file calls a thing. Sections are only ever added: an
    entry that is taken away needs `with_known_by`.
    """
    known_by: dict[str, str] = installation.known_by
    assumed = [path for path, how in known_by.items() if how == "assumed"]
    if not assumed:
        return
    above = {
        "",
        *(path[:place] for path in assumed for place, sign in enumerate(path) if sign == "."),
        *assumed,
    }
    noted = _with_noted(installation, known_by, above, None)
    installation.__dict__.update(noted.__dict__)
    object.__setattr__(installation, "__class__", type(noted))


def with_known_by(installation: _S, known_by: dict[str, str]) -> _S:
    """The installation with its values known in other ways: what is assumed no more is noted no
    more.
    """
    found: _S = replace(_without_noted(installation), known_by=known_by)
    return found


def _without_noted(value: Any) -> Any:
    if hasattr(value, "__dataclass_fields__"):
        section = _copied(value, plain(value))
        section.__dict__.update(
            {name: _without_noted(inside) for name, inside in section.__dict__.items()}
        )
        return section
    if isinstance(value, tuple) and any(hasattr(item, "__dataclass_fields__") for item in value):
        return told(tuple(map(_without_noted, value)), place_of(value))
    return value


def _with_noted(section: _S, known_by: dict[str, str], above: set[str], how: str | None) -> _S:
    start = f"{section.path}." if section.path else ""
    names: list[str] = []
    inside: dict[str, Any] = {}
    for name, item in section.__dataclass_fields__.items():
        if "spec" not in item.metadata or name in ("name", "known_by"):
            continue
        path = start + name.rstrip("_")
        own = known_by.get(path, how)
        if own == "assumed":
            names.append(name)
        if own == "assumed" or path in above:
            value = section.__dict__[name]
            found = _inside_noted(value, known_by, above, own)
            if found is not value:
                inside[name] = found
    if inside:
        section = _copied(section, type(section))
        section.__dict__.update(inside)
    return noting(section, names)


def _inside_noted(value: Any, known_by: dict[str, str], above: set[str], how: str | None) -> Any:
    if hasattr(value, "__dataclass_fields__"):
        return _with_noted(value, known_by, above, how)
    if isinstance(value, tuple) and any(hasattr(item, "__dataclass_fields__") for item in value):
        return told(
            tuple(
                (
                    _with_noted(item, known_by, above, known_by.get(item.path, how))
                    if hasattr(item, "__dataclass_fields__")
                    else item
                )
                for item in value
            ),
            place_of(value),
        )
    return value


def resting(made: _T, *names: str, kept_in: str = "evidence") -> _T:
    """Something made, noting what it rests on (`made.evidence`) when one of these attributes is
    read.

    Without names: any but those that say which it is and what it joins (`WHAT_JOINS_WHAT`).
    """
    if not made.__dict__[kept_in]:
        return made
    of = plain(made)
    every = frozenset(item.name for item in fields(of)) - WHAT_JOINS_WHAT - {kept_in}
    return _copied(made, _resting_class(of, frozenset(names) or every, kept_in))


def plain(item: object) -> type:
    """The class an item has when nothing of it is noted."""
    of = type(item)
    return of.__mro__[1] if "_noted" in vars(of) else of


def _copied(item: _T, of: type) -> _T:
    copy: _T = object.__new__(of)
    copy.__dict__.update(item.__dict__)
    return copy


@cache
def _noting_class(of: type, names: frozenset[str]) -> type:
    return _subclass(of, names, {name: _NotedKey(name, name.rstrip("_")) for name in names})


@cache
def _resting_class(of: type, names: frozenset[str], kept_in: str) -> type:
    return _subclass(
        of, names, {**{name: _NotedEvidence(name, kept_in) for name in names}, "_kept_in": kept_in}
    )


def _subclass(of: type, names: frozenset[str], noted: dict[str, object]) -> type:
    return type(
        of.__name__,
        (of,),
        {
            **noted,
            "__module__": of.__module__,
            "__qualname__": of.__qualname__,
            "_noted": names,
            "__eq__": _equal,
            "__hash__": of.__hash__,
            "__reduce__": _reduced,
        },
    )


def _equal(one: Any, other: Any) -> Any:
    """Equal to a plain item of the same contents: noting is no part of what it says."""
    if plain(one) is not plain(other):
        return NotImplemented
    names = [item.name for item in fields(plain(one)) if item.compare]
    return all(one.__dict__[name] == other.__dict__[name] for name in names)


def _reduced(item: Any) -> tuple[Any, ...]:
    """How to send it to another process: the subclass is made anew there."""
    return _made_anew, (
        plain(item),
        item._noted,
        getattr(item, "_kept_in", ""),
        dict(item.__dict__),
    )


def _made_anew(of: type, names: frozenset[str], kept_in: str, contents: dict[str, Any]) -> Any:
    item: Any = object.__new__(
        _resting_class(of, names, kept_in) if kept_in else _noting_class(of, names)
    )
    item.__dict__.update(contents)
    return item
