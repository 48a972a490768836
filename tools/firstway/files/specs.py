"""Files: what a key of a file is: its kind and bounds, the words that may stand instead, and how
it is told to whoever writes the file.

A file is declared once, as frozen dataclasses whose fields are made by `key`. The reader
(`typed_reader.py`), the JSON Schema (`schema.py`) and the page *What the file says* follow from
that. Of a field that is no key the reader fills in `path`, `file`, `line`, `lines` (of its own
keys) and `lines_of` (of all paths).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import field, fields
from functools import cache
from types import MappingProxyType
from typing import Any, Literal, Protocol

from firstway.frozen import dataclass

LONGEST_TEXT = 4000  # characters
LONGEST_NUMBER = 24  # characters
MOST_ENTRIES = 40
"""No list of a small board is longer. Work grows with the square of most: with 300 surge devices it
took 13 s and 500 MB."""


class Instead(Protocol):
    """A word that stands in place of a value and says something about it."""

    @property
    def value(self) -> str: ...


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
class WordList:
    choices: tuple[str, ...]


NameForm = Literal["name", "small", "place", "code"]
"""Signs of a name: with capitals and one dot, without capitals, with capitals and dots, or short
and without dots.
"""


@dataclass(frozen=True)
class Name:
    """An identity: letters, digits, hyphens, dots, as its form allows."""

    form: NameForm = "name"


@dataclass(frozen=True)
class Names:
    form: NameForm = "name"
    may_be_empty: bool = False


@dataclass(frozen=True)
class Texts:
    """A list of free words, such as terminals of the wiring, written with their dots."""


@dataclass(frozen=True)
class Prose:
    """Free text, not empty."""


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
    """A list of sections; items that have a name of their own are found by it, others by place."""

    of: type
    at_least: int = 0
    at_most: int = MOST_ENTRIES


@dataclass(frozen=True)
class SectionsOrNames:
    """A list that mixes sections with references written as text (`feed.through`)."""

    of: type
    at_most: int = MOST_ENTRIES


@dataclass(frozen=True)
class SectionsByWord:
    """A list of sections whose keys depend on the word at `key`; those of `common` all have."""

    key: str
    common: type
    of: Mapping[str, type]
    at_most: int = MOST_ENTRIES


@dataclass(frozen=True)
class SectionOrText:
    """Free text, or keys with values in its place."""

    of: type


@dataclass(frozen=True)
class ByName:
    """Names or paths that the writer chooses, each with a value of one kind."""

    of: Any


@dataclass(frozen=True)
class AsWritten:
    """Kept as plain data with its lines; typed later, where it is used."""


Kind = (
    Number
    | Word
    | WordList
    | Name
    | Names
    | Texts
    | Prose
    | Day
    | Flag
    | Section
    | Sections
    | SectionsOrNames
    | SectionsByWord
    | SectionOrText
    | ByName
    | AsWritten
)
_EMPTY: Mapping[type, Any] = MappingProxyType(
    {
        **dict.fromkeys((Word, Name, Prose, SectionOrText), ""),
        **dict.fromkeys((WordList, Names, Texts, Sections, SectionsOrNames, SectionsByWord), ()),
        Flag: False,
    }
)


@dataclass(frozen=True)
class Spec:
    """One key. `meaning` is its line of help; `example` is how a value of it is written.

    `instead` are the words about the value that may stand for it, `never` those that may not;
    `when` says in words where the key means something, `names` which list of the file it points
    into; `in_blank`: a file to begin with has it, though a file may leave it out; `chosen_by`: who
    settles it, which for a section goes for all below; `tried`: where values to try come from.
    """

    kind: Kind
    meaning: str = ""
    example: str = ""
    required: bool = False
    instead: tuple[Instead, ...] = ()
    never: tuple[str, ...] = ()
    when: str = ""
    names: str = ""
    in_blank: bool = False
    absent: Any = None
    chosen_by: str = ""
    tried: str = ""


def key(
    kind: Kind,
    meaning: str,
    example: str = "",
    *,
    required: bool = False,
    instead: tuple[Any, ...] = (),
    never: tuple[str, ...] = (),
    when: str = "",
    names: str = "",
    in_blank: bool = False,
    absent: Any = None,
    chosen_by: str = "",
    tried: str = "",
) -> Any:
    """A field of a dataclass that is a key of the file; `absent` is what it reads where the file
    has none: of its own accord what is empty of that kind.
    """
    if isinstance(kind, ByName):
        spec = Spec(kind, meaning, example, required, instead, never, when, names, in_blank, {})
        return field(default_factory=dict, metadata={"spec": spec})
    reads = _EMPTY.get(type(kind)) if absent is None else absent
    spec = Spec(
        kind,
        meaning,
        example,
        required,
        instead,
        never,
        when,
        names,
        in_blank,
        reads,
        chosen_by,
        tried,
    )
    return field(default=reads, metadata={"spec": spec})


@cache
def specs_of(of: type) -> Mapping[str, Spec]:
    """The keys of a section by the name they have in the file, in their order."""
    return MappingProxyType(
        {key_written(item.name): item.metadata["spec"] for item in fields(of) if _is_key(item)}
    )


@cache
def attribute_of(of: type, name: str) -> str:
    """The attribute that holds a key (`from_` holds `from`)."""
    return next(
        item.name for item in fields(of) if _is_key(item) and key_written(item.name) == name
    )


def key_written(attribute: str) -> str:
    """The key of the file that an attribute holds."""
    return attribute.rstrip("_")


def _is_key(item: Any) -> bool:
    return "spec" in item.metadata


# Kinds that are asked for often


def positive(at_most: float | None = None, usual: tuple[float, float] | None = None) -> Number:
    return Number(above=0, at_most=at_most, usual=usual)


def count(at_least: int = 0, at_most: int | None = None) -> Number:
    return Number(at_least=at_least, at_most=at_most, whole=True)


def word(*choices: str) -> Word:
    return Word(choices)


def words_of(*choices: str) -> WordList:
    return WordList(choices)
