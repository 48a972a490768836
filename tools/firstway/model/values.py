"""Model: what one value in an installation file may be, and how a key says so."""

from __future__ import annotations

from dataclasses import MISSING, dataclass, field
from enum import Enum
from typing import Any


class Absent(Enum):
    """A value that is a word about the value: each means something different."""

    UNKNOWN = "unknown"          # not known: measure or ask; also what an absent key means
    NONE = "none"                # there is none
    CHOOSE = "choose"            # size it and show how
    UNDECLARED = "undeclared"    # the maker states nothing: ask the maker


UNKNOWN, NONE, CHOOSE, UNDECLARED = Absent.UNKNOWN, Absent.NONE, Absent.CHOOSE, Absent.UNDECLARED


def is_known(value: object) -> bool:
    """True when the value is a value, not a word about one."""
    return not isinstance(value, Absent)


@dataclass(frozen=True)
class Number:
    above: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    whole: bool = False


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
class Terminals:
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


@dataclass(frozen=True)
class Sections:
    """A list of sections; `named` items are found by their name, others by their place."""

    of: type
    one_or_more: bool = False


@dataclass(frozen=True)
class SectionsOrWords:
    """A list that mixes sections with references written as text (`feed.through`)."""

    of: type


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


def number(*words: Absent, above: float | None = None, at_least: float | None = None,
           at_most: float | None = None, whole: bool = False, required: bool = False) -> Any:
    return _key(Number(above, at_least, at_most, whole), required, words)


def positive(*words: Absent, at_most: float | None = None, required: bool = False) -> Any:
    return number(*words, above=0, at_most=at_most, required=required)


def count(*words: Absent, at_least: int = 0, at_most: int | None = None, required: bool = False) -> Any:
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
    return _key(Terminals(), False, ())


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


def sections(of: type, required: bool = False) -> Any:
    return _key(Sections(of, one_or_more=required), required, (), default=())


def sections_or_words(of: type) -> Any:
    return _key(SectionsOrWords(of), False, (), default=())


def known_by() -> Any:
    return field(default_factory=dict, metadata={"spec": Spec(KnownBy())})
