"""Model: what one value in an installation file may be, how a key says so, and where the value
sits.

A value of an installation carries the path of its key, so that nobody types a path beside it. The
section puts it on when it is made, whoever makes it: the reader, a change of one key, a trial of a
size. Truth and days cannot carry one: for them, as for any key, there is `path_of(section, key)`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import Field, field
from functools import cache
from types import MappingProxyType
from typing import Any, ClassVar, Literal, Protocol, TypeGuard, TypeVar

from firstway.files.specs import (
    Kind,
    Sections,
    SectionsOrNames,
    attribute_of,
    key,
    specs_of,
)
from firstway.frozen import dataclass

_Value = TypeVar("_Value")


class Fielded(Protocol):
    """Any dataclass."""

    __dataclass_fields__: ClassVar[dict[str, Field[Any]]]


class Named(Protocol):
    """Anything of an installation that has a name of its own."""

    @property
    def name(self) -> str:
        """Its name, which is part of every path below it."""
        ...


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


UNKNOWN = Absent("unknown")
"""Not known: measure or ask; also what an absent key means."""
NONE = Absent("none")
"""There is none."""
CHOOSE = Absent("choose")
"""Size it and show how."""
UNDECLARED = Absent("undeclared")
"""The maker states nothing: ask the maker."""
ABSENT_MEANINGS: Mapping[Absent, str] = MappingProxyType(
    {
        UNKNOWN: "it is not known: measure or ask; a key that is left out means the same",
        NONE: "there is none",
        CHOOSE: "size it, and show how",
        UNDECLARED: "the maker states nothing: ask the maker",
    }
)
"""Each word about a value, as a reader of the guide is told it."""
ABSENT_WORDS = tuple(ABSENT_MEANINGS)
"""All words about a value."""


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
        for name, own in _keys_of(of):
            values[name] = told(values[name], start + own)


Told = float | str | tuple[Any, ...] | Placed | Absent
"""A value or a section of the file, as the model declares it: all but truth and days."""


def place_of(value: Told) -> str:
    """The path a value of the file carries."""
    return value.path  # type: ignore[union-attr]  # the section put it on


@cache
def _keys_of(of: type) -> tuple[tuple[str, str], ...]:
    return tuple((attribute_of(of, name), name) for name in specs_of(of))


Chooser = Literal["", "designer", "site", "maker", "measurement", "edition"]
"""Who settles a value: whoever designs the work; the place and what stands there already; the maker
of a thing; what is measured or declared for the network; the rule set. "" where nobody asked.
"""
TriedValues = Literal[
    "choices",
    "sizes",
    "gauges",
    "cores",
    "ratings",
    "settings",
    "residual-currents",
    "counts",
    "rods",
    "limit",
    "laid",
    "feeding",
    "holes",
    "by-hand",
]
"""Where values of a designer's key come from when they are tried: its own choices; sizes, ratings,
residual currents, rods and threads of glands of the tables; currents to set; every count within its
bounds; the limit that a finding names; the length a lead is laid with; what may feed a device on
the bar. `by-hand`: no list holds them, none is tried.
"""


def stated(
    kind: Kind,
    meaning: str = "",
    example: str = "",
    *,
    also: tuple[Absent, ...] = (),
    required: bool = False,
    when: str = "",
    names: str = "",
    in_blank: bool = False,
    chosen_by: Chooser = "",
    tried: TriedValues = "choices",
    word_kept: bool = False,
) -> Any:
    """A key whose value may be a word about it: `unknown`, unless it is required, and those named.

    Where the file has none it reads `UNKNOWN`; a list of sections reads empty, but for one whose
    word is kept: there `none` and nothing said are told apart. `chosen_by` of a section goes for
    every key below it.
    """
    instead = also if required else (UNKNOWN, *also)
    return key(
        kind,
        meaning,
        example,
        required=required,
        instead=instead,
        never=tuple(each.value for each in ABSENT_WORDS if each not in instead),
        when=when,
        names=names,
        in_blank=in_blank,
        absent=() if isinstance(kind, Sections | SectionsOrNames) and not word_kept else UNKNOWN,
        chosen_by=chosen_by,
        tried=tried,
    )
