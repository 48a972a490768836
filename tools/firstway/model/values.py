"""Model: what one value in an installation file may be, how a key says so, and where the value
sits.

A value of an installation carries the path of its key, so that nobody types a path beside it. The
section puts it on when it is made, whoever makes it: the reader, a change of one key, a trial of a
size. Truth and days cannot carry one: for them, as for any key, there is `path_of(section, key)`.
"""

from __future__ import annotations

from dataclasses import MISSING, Field, dataclass, field, fields
from functools import cache
from typing import Any, ClassVar, Protocol, TypeGuard, TypeVar

_Value = TypeVar("_Value")


class Fielded(Protocol):
    """Any dataclass."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


class Named(Protocol):
    """Anything of an installation that has a name of its own."""

    @property
    def name(self) -> str: ...


class Absent:
    """A value that is a word about the value: each means something different."""

    __slots__ = ("value", "path")

    def __init__(self, value: str, path: str = "") -> None:
        self.value, self.path = value, path

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Absent) and self.value == other.value

    def __hash__(self) -> int:
        return hash(self.value)

    def __repr__(self) -> str:
        return f"<{self.value}>"


UNKNOWN = Absent("unknown")  # not known: measure or ask; also what an absent key means
NONE = Absent("none")  # there is none
CHOOSE = Absent("choose")  # size it and show how
UNDECLARED = Absent("undeclared")  # the maker states nothing: ask the maker
ABSENT_WORDS = (UNKNOWN, NONE, CHOOSE, UNDECLARED)


def is_known(value: _Value | Absent) -> TypeGuard[_Value]:
    """True when the value is a value, not a word about one."""
    return not isinstance(value, Absent)


# Values that know where they sit


class ToldNumber(float):
    """A number of the file, with the path of its key."""

    __slots__ = ("path",)
    path: str


class ToldWord(str):
    """A word, a name or prose of the file, with the path of its key."""

    __slots__ = ("path",)
    path: str


class ToldCount(int):
    """A whole number of the file, with the path of its key."""

    path: str


class ToldList(tuple[Any, ...]):
    """A list of the file, with the path of its key; an empty one where the key is absent."""

    path: str


_TOLD = {
    float: ToldNumber,
    str: ToldWord,
    int: ToldCount,
    tuple: ToldList,
    ToldNumber: ToldNumber,
    ToldWord: ToldWord,
    ToldCount: ToldCount,
    ToldList: ToldList,
}


def told(value: Any, path: str) -> Any:
    """The value as it sits at `path`; a section, a day, truth and plain data stay what they are."""
    of = type(value)
    if of is Absent:
        return value if value.path == path else Absent(value.value, path)
    make = _TOLD.get(of)
    if make is None or make is of and value.path == path:
        return value
    placed = make(value)
    placed.path = path
    return placed


def in_place_of(value: Told, new: _Value) -> _Value:
    """A figure worked from one value of the file alone (another unit of it), sitting where that
    sits.
    """
    placed: _Value = told(new, place_of(value))
    return placed


def key_of(section: Any, name: str) -> Any:
    """The value of a key; where the section itself is a word such as unknown, so is its key."""
    if isinstance(section, Absent):
        return Absent(section.value, f"{section.path}.{name}")
    return getattr(section, name)


def path_of(section: Any, key: str) -> str:
    """The path of a key of a section: for truth and days, which cannot carry it."""
    return f"{section.path}.{key}" if section.path else key


@dataclass(frozen=True, kw_only=True)
class Placed:
    """A section of the file. `path` is where it sits; its values are told where they sit."""

    path: str = field(default="", repr=False, compare=False)

    def __post_init__(self) -> None:
        values, start = self.__dict__, f"{self.path}." if self.path else ""
        of: type = type(self)
        for name, key in _keys_of(of):
            values[name] = told(values[name], start + key)


Told = float | str | tuple[Any, ...] | Placed | Absent
"""A value or a section of the file, as the model declares it: all but truth and days."""


def place_of(value: Told) -> str:
    """The path a value of the file carries."""
    return value.path  # type: ignore[union-attr]  # the section put it on


@cache
def _keys_of(of: type) -> tuple[tuple[str, str], ...]:
    return tuple(
        (item.name, item.name.rstrip("_")) for item in fields(of) if "spec" in item.metadata
    )


@dataclass(frozen=True)
class Number:
    """Bounds no real thing lies beyond; `or_zero`: nought is allowed below them too.

    Beyond the bounds of `usual` a slip of the hand is likelier than the thing: it is asked about.
    """

    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    whole: bool = False
    usual: tuple[float, float] | None = None
    or_zero: bool = False


@dataclass(frozen=True)
class Word:
    choices: tuple[str, ...]


@dataclass(frozen=True)
class Words:
    choices: tuple[str, ...]


@dataclass(frozen=True)
class Name:
    """An identity: letters, digits, hyphen, underscore, dot."""


@dataclass(frozen=True)
class Names:
    pass


@dataclass(frozen=True)
class TerminalNames:
    """Terminals of the wiring, written with their dots."""


@dataclass(frozen=True)
class Prose:
    pass


@dataclass(frozen=True)
class Day:
    pass


@dataclass(frozen=True)
class Flag:
    pass


@dataclass(frozen=True)
class Section:
    of: type


MOST_ENTRIES = 40
"""No list of a small board is longer. Work grows with the square of most: with 300 surge devices it
took 13 s and 500 MB."""


@dataclass(frozen=True)
class Sections:
    """A list of sections; `named` items are found by their name, others by their place."""

    of: type
    one_or_more: bool = False
    at_most: int = MOST_ENTRIES


@dataclass(frozen=True)
class SectionsOrWords:
    """A list that mixes sections with references written as text (`feed.through`)."""

    of: type
    at_most: int = MOST_ENTRIES


@dataclass(frozen=True)
class KnownBy:
    """Path of a key -> how its value is known."""


@dataclass(frozen=True)
class AsWritten:
    """Kept as plain data with its lines; typed later, where it is used."""


@dataclass(frozen=True)
class Spec:
    kind: Any
    required: bool = False
    words: tuple[Absent, ...] = (UNKNOWN,)


def _key(kind: Any, required: bool, words: tuple[Absent, ...], default: Any = MISSING) -> Any:
    spec = Spec(kind, required, (UNKNOWN,) + tuple(words) if UNKNOWN not in words else words)
    return field(default=UNKNOWN if default is MISSING else default, metadata={"spec": spec})


def number(
    *words: Absent,
    above: float | None = None,
    at_least: float | None = None,
    at_most: float | None = None,
    whole: bool = False,
    required: bool = False,
    usual: tuple[float, float] | None = None,
    or_zero: bool = False,
) -> Any:
    return _key(Number(above, at_least, at_most, whole, usual, or_zero), required, words)


def positive(
    *words: Absent,
    at_most: float | None = None,
    required: bool = False,
    usual: tuple[float, float] | None = None,
) -> Any:
    return number(*words, above=0, at_most=at_most, required=required, usual=usual)


def count(
    *words: Absent, at_least: int = 0, at_most: int | None = None, required: bool = False
) -> Any:
    return number(*words, at_least=at_least, at_most=at_most, whole=True, required=required)


def word(*choices: str, also: tuple[Absent, ...] = (), required: bool = False) -> Any:
    return _key(Word(choices), required, also)


def words_of(*choices: str, required: bool = False) -> Any:
    return _key(Words(choices), required, ())


def identity(required: bool = False) -> Any:
    return _key(Name(), required, ())


def identities(required: bool = False) -> Any:
    return _key(Names(), required, ())


def terminals() -> Any:
    return _key(TerminalNames(), False, ())


def as_written() -> Any:
    return _key(AsWritten(), False, ())


def prose(*words: Absent, required: bool = False) -> Any:
    return _key(Prose(), required, words)


def a_day(required: bool = False) -> Any:
    return _key(Day(), required, ())


def flag(*words: Absent) -> Any:
    return _key(Flag(), False, words)


def section(of: type, *words: Absent, required: bool = False) -> Any:
    return _key(Section(of), required, words)


def sections(of: type, required: bool = False, at_most: int = MOST_ENTRIES) -> Any:
    return _key(Sections(of, required, at_most), required, (), default=())


def sections_or_words(of: type) -> Any:
    return _key(SectionsOrWords(of), False, (), default=())


def known_by() -> Any:
    return field(default_factory=dict, metadata={"spec": Spec(KnownBy())})
