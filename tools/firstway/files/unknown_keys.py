"""Files: what the writer of a key that does not exist may have meant, and where it belongs."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator, Mapping

from firstway.files.near_words import NEAR, suggestion
from firstway.files.slips import without_colon
from firstway.files.specs import Section, Sections, SectionsOrNames, Spec, specs_of
from firstway.files.yaml_reader import Entries, Text
from firstway.frozen import dataclass

_MOST_NAMED = 12
MOST_HOMES = 3  # a key of more parts than these, such as `name`, tells nothing of where it belongs
KeyPlace = tuple[str, str]
"""The path of a section and one of its keys."""


@dataclass(frozen=True)
class Meant:
    """What to say of the key, and the keys that are therefore not missing."""

    message: str
    hint: str
    places: tuple[KeyPlace, ...] = ()
    more: bool = (
        True  # whether other unknown keys beside it are worth a word, or follow from this one
    )


@dataclass(frozen=True)
class Around:
    """One section, its path and its keys by their name in the file."""

    path: str
    specs: Mapping[str, Spec]


def meant_by(data: Entries, key: str, shown: str, here: Around, outside: Iterable[Around]) -> Meant:
    """`outside` are the sections around this one, the nearest first."""
    message, node = f"unknown key '{shown}'", data.values[key]
    if isinstance(node, Text) and not node.text:
        if key.isdigit():  # `{line_neutral: 0,82}` reads as two keys
            return Meant(message, "write numbers with a decimal point")
        slip = without_colon(key)
        if (
            slip is not None and slip.key in here.specs
        ):  # `{name boathouse}`: all of it was read as the key
            return Meant(slip.message, slip.hint, ((here.path, slip.key),))
    home = next((each for each in outside if key in each.specs), None)
    if home is not None:
        where = (
            f"beside `{here.path.partition('.')[0]}`" if not home.path else f"under `{home.path}`"
        )
        return Meant(
            f"the key '{shown}' stands too far inside",
            f"it belongs {where}: check the indentation and the brackets",
            ((home.path, key),),
            more=False,
        )
    inside = tuple(_inside(here, key))
    if 0 < len(inside) <= MOST_HOMES:
        return Meant(
            f"the key '{shown}' stands too far outside",
            f"it belongs under {' or '.join(f'`{path}`' for path, _ in inside)}:"
            " check the indentation and the brackets",
            inside,
        )
    near = difflib.get_close_matches(key, list(here.specs), n=1, cutoff=NEAR)
    return Meant(
        message, _suggestion(key, list(here.specs)), tuple((here.path, each) for each in near)
    )


def _inside(here: Around, key: str) -> Iterator[KeyPlace]:
    for name, spec in here.specs.items():
        kind = spec.kind
        if isinstance(kind, Section | Sections | SectionsOrNames) and key in specs_of(kind.of):
            yield (f"{here.path}.{name}" if here.path else name), key


def _suggestion(word: str, choices: list[str]) -> str:
    """The word that is near, or those there are."""
    more = ", ..." if len(choices) > _MOST_NAMED else ""
    named = f"remove it, or use one of: {', '.join(choices[:_MOST_NAMED])}{more}"
    return suggestion(word, choices) or named
