"""What the files of the project are declared to hold: each key has its line of help and an example
that its own reader accepts. That is our own promise; nothing outside the project proves it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import pytest

from firstway.files.schema import sections_below
from firstway.files.specs import (
    AsWritten,
    Day,
    Flag,
    Name,
    Number,
    Prose,
    Section,
    Sections,
    SectionsByWord,
    Word,
    WordList,
    key,
    positive,
    specs_of,
    word,
)
from firstway.files.typed_reader import section_from_yaml, value_from_data
from firstway.files.yaml_reader import Entries, data_from_yaml
from firstway.model.installation import Installation
from firstway.pages.shared.declared_files import DECLARED_FILES

LONGEST_HELP = 110  # characters: one line


KEYS = {
    f"{of.__name__}.{name}": spec
    for file in DECLARED_FILES
    for of in sections_below(file.of)
    for name, spec in specs_of(of).items()
}


def test_the_keys_are_many() -> None:
    assert len(KEYS) > 350


@pytest.mark.parametrize("name", KEYS)
def test_every_key_says_in_one_line_what_it_is(name: str) -> None:
    meaning = KEYS[name].meaning
    assert 3 < len(meaning) <= LONGEST_HELP and "\n" not in meaning and not meaning.endswith(".")


@pytest.mark.parametrize("name", KEYS)
def test_the_example_of_a_key_is_accepted_by_its_own_reader(name: str) -> None:
    spec = KEYS[name]
    if isinstance(spec.kind, Section | Sections | SectionsByWord | Word | Flag):
        return  # made of other keys, or the choices are the example
    assert spec.example, "give an example"
    data, problems = data_from_yaml(f"key: {spec.example}\n", "x")
    assert isinstance(data, Entries) and problems == []
    value, problems = value_from_data(data.values["key"], spec, "x", "key")
    assert problems == []
    if isinstance(spec.kind, Number) and spec.kind.usual is not None:
        assert spec.kind.usual[0] <= value <= spec.kind.usual[1]


@pytest.mark.parametrize("name", [name for name, spec in KEYS.items() if spec.names])
def test_what_a_key_points_into_is_a_list_of_the_file(name: str) -> None:
    assert isinstance(specs_of(Installation)[KEYS[name].names].kind, Sections)


@dataclass(frozen=True)
class Shelf:
    depth_mm: float = key(positive(500), "how deep", "30", required=True)


@dataclass(frozen=True)
class Cupboard:
    """A file that is no file of the project: the reader knows nothing of the trade."""

    name: str = key(Name("small"), "its name", "hall", required=True)
    wood: str = key(word("oak", "ash"), "its wood", absent="ash")
    doors: tuple[str, ...] = key(WordList(("left", "right")), "its doors", "[left]")
    locked: bool = key(Flag(), "whether it is locked")
    made: Any = key(Day(), "when it was made", "2026-01-01")
    note: str = key(Prose(), "anything else", "from the attic")
    plan: Any = key(AsWritten(), "kept as it is", "{a: b}")
    shelves: tuple[Shelf, ...] = key(Sections(Shelf), "its shelves")
    file: str = ""
    line: int = 0


def test_what_a_file_leaves_out_is_empty_of_its_kind() -> None:
    found, problems = section_from_yaml("name: hall\n", "c.yaml", Cupboard)
    assert (found, problems) == (Cupboard(name="hall", file="c.yaml", line=1), [])
    assert found is not None and (found.wood, found.doors, found.locked) == ("ash", (), False)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("name: Hall\n", "c.yaml:1: 'name' is 'Hall', which cannot be a name; use small letters"),
        ("wood: oak\n", "c.yaml:1: 'name' is missing; add `name:`"),
        ("name: a\nwood: oat\n", "c.yaml:2: 'wood' is 'oat'; did you mean 'oak'?"),
        ("name: a\nfile: b\n", "c.yaml:2: unknown key 'file'"),
        ("name: a\nshelves:\n- {}\n", "c.yaml:3: 'shelves.1.depth_mm' is missing"),
        ("name: a\nshelves: [{depth_mm: 700}]\n", "c.yaml:2: 'shelves.1.depth_mm' is 700; it must"),
        ("- name\n", "c.yaml:1: the file must be keys with values; begin with `name:`"),
    ],
)
def test_a_file_that_is_not_as_declared_is_told_at_its_line(text: str, told: str) -> None:
    found, problems = section_from_yaml(text, "c.yaml", Cupboard)
    assert found is None and any(str(each).startswith(told) for each in problems), problems
