"""Files: plain data with lines to frozen dataclasses, as their keys are declared, with every
problem of the file at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from typing import Any, TypeVar

from firstway.files.plain_values import (
    NAME_FORMS,
    Around,
    KeyPlace,
    Unfit,
    meant_by,
    plain_value,
    short,
)
from firstway.files.specs import (
    AsWritten,
    ByName,
    Kind,
    Name,
    Names,
    Prose,
    Section,
    SectionOrText,
    Sections,
    SectionsByWord,
    SectionsOrNames,
    Spec,
    Texts,
    Word,
    WordList,
    attribute_of,
    specs_of,
)
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.frozen import dataclass
from firstway.problems import Problem

OWN_NAMES = ("name", "id")
_Told = TypeVar("_Told")
_FREE = (Prose, Name)  # kinds that may hold any word: one that cannot stand instead is a value


@dataclass
class _Reader:
    file: str
    problems: list[Problem]
    lines_of: dict[str, int] = field(default_factory=dict)
    around: list[Around] = field(default_factory=list)
    misplaced: set[KeyPlace] = field(default_factory=set)

    def say(self, line: int, message: str, hint: str) -> None:
        self.problems.append(Problem(self.file, line, message, hint))


class _Unread:
    """What a value is that could not be read; its problem has been told."""


_UNREAD = _Unread()


def section_from_yaml(text: str, file: str, of: type[_Told]) -> tuple[_Told | None, list[Problem]]:
    """A file that is keys with values; None where anything in it must be put right first."""
    data, problems = data_from_yaml(text, file)
    if data is None:
        return None, problems
    if not isinstance(data, Entries):
        said = Problem(
            file, data.line, "the file must be keys with values", f"begin with `{_first_key(of)}:`"
        )
        return None, sorted([*problems, said])
    found, own = section_from_data(data, of, file)
    problems += own
    return (None, sorted(set(problems))) if problems else (found, [])


def sections_from_yaml(
    text: str, file: str, of: type[_Told], what: str
) -> tuple[list[_Told], list[Problem]]:
    """A file that is a list of sections: those that could be read, and every problem. `what` is the
    word for one of them.
    """
    data, problems = data_from_yaml(text, file)
    if data is None:
        return [], problems
    begin = f"`- {_first_key(of)}:`"
    if not isinstance(data, Items):
        said = f"the file must be a list of {what}s"
        return [], [Problem(file, data.line, said, f"begin each with {begin}")]
    found: list[_Told] = []
    for each in data:
        if isinstance(each, Entries):
            section, own = section_from_data(each, of, file)
            problems += own
            found += [] if own else [section]
        else:
            said = f"a {what} must be keys with values"
            problems.append(Problem(file, each.line, said, f"begin with {begin}"))
    return found, problems


def section_from_data(
    data: Entries, of: type[_Told], file: str, path: str = ""
) -> tuple[_Told, list[Problem]]:
    """One section, typed."""
    reader = _Reader(file, [])
    return _section(reader, data, of, path), reader.problems


def value_from_data(node: Node, spec: Spec, file: str, path: str) -> tuple[Any, list[Problem]]:
    """One value, typed as the key at `path` asks."""
    reader = _Reader(file, [])
    value = _value(reader, node, spec, path)
    return spec.absent if value is _UNREAD else value, reader.problems


def _first_key(of: type) -> str:
    return next(iter(specs_of(of)))


# Sections


def _section(reader: _Reader, data: Entries, of: type, path: str) -> Any:
    specs, start = specs_of(of), f"{path}." if path else ""
    here = Around(path, specs)
    for key in data.values:
        if key not in specs:
            meant = meant_by(data, key, short(key), here, reversed(reader.around))
            reader.say(data.key_lines[key], meant.message, meant.hint)
            reader.misplaced.update(meant.places)
            if not meant.more:
                break
    reader.around.append(here)
    given: dict[str, Any] = {}
    for key, spec in specs.items():
        if key in data.values:
            reader.lines_of[start + key] = data.key_lines[key]
            value = _value(reader, data.values[key], spec, start + key)
            if value is not _UNREAD:
                given[attribute_of(of, key)] = value
    reader.around.pop()
    for key, spec in specs.items():
        if spec.required and key not in data.values and (path, key) not in reader.misplaced:
            reader.say(data.line, f"'{start}{key}' is missing", f"add `{key}:`")
    return of(**given, **_of_the_file(reader, data, of, path))


def _of_the_file(reader: _Reader, data: Entries, of: Any, path: str) -> dict[str, Any]:
    """What a section knows of the file beside its keys, where it has room for it."""
    known = {
        "path": path,
        "file": reader.file,
        "line": data.line,
        "lines": data.key_lines,
        "lines_of": reader.lines_of,
    }
    specs = specs_of(of)
    return {
        name: value
        for name, value in known.items()
        if name in of.__dataclass_fields__ and name not in specs
    }


def _sections(
    reader: _Reader, node: Node, kind: Sections | SectionsByWord, path: str
) -> tuple[Any, ...]:
    if not isinstance(node, Items):
        reader.say(node.line, f"'{path}' must be a list", "begin each item with `- `")
        return ()
    if isinstance(kind, Sections) and len(node.values) < kind.at_least:
        _say_too_few(reader, node, kind.at_least, path)
    items = enumerate(_first_of(reader, node, kind.at_most, path), 1)
    found = [
        _item(reader, each, kind.of, path, place)
        if isinstance(kind, Sections)
        else _item_by_word(reader, each, kind, path, place)
        for place, each in items
    ]
    return tuple(item for item in found if item is not _UNREAD)


def _say_too_few(reader: _Reader, node: Items, least: int, path: str) -> None:
    if not node.values:
        more = "one item" if least == 1 else f"{least} items"
        reader.say(node.line, f"'{path}' is empty", f"add {more} or more")
    else:
        said = f"'{path}' has {len(node.values)} entries; it must have {least} or more"
        reader.say(node.line, said, "add what is missing")


def _item_by_word(reader: _Reader, node: Node, kind: SectionsByWord, path: str, place: int) -> Any:
    """An item whose keys depend on a word of it; one with a problem is left out of the list."""
    word = node.values.get(kind.key) if isinstance(node, Entries) else None
    if not isinstance(word, Text):
        reader.say(
            node.line,
            f"item {place} of '{path}' says no '{kind.key}'",
            f"add `{kind.key}:`, one of: " + ", ".join(kind.of),
        )
        return _UNREAD
    before = len(reader.problems)
    named = _plain_value(reader, word, Word(tuple(kind.of)), f"{path}.{place}.{kind.key}")
    found = _UNREAD if named is _UNREAD else _item(reader, node, kind.of[named], path, place)
    return found if len(reader.problems) == before else _UNREAD


def _sections_or_names(
    reader: _Reader, node: Node, kind: SectionsOrNames, path: str
) -> tuple[Any, ...]:
    if not isinstance(node, Items):
        reader.say(node.line, f"'{path}' must be a list", "write `[...]`")
        return ()
    found = [
        _plain_value(reader, each, Name(), path)
        if isinstance(each, Text)
        else _item(reader, each, kind.of, path, place)
        for place, each in enumerate(_first_of(reader, node, kind.at_most, path), 1)
    ]
    return tuple(item for item in found if item is not _UNREAD)


def _first_of(reader: _Reader, node: Items, most: int, path: str) -> Sequence[Node]:
    """The entries of a list, as many as it may have; more are told."""
    if len(node.values) > most:
        reader.say(
            node.values[most].line,
            f"'{path}' has {len(node.values)} entries; it may have {most}",
            "take out what does not belong there",
        )
    return node.values[:most]


def _item(reader: _Reader, node: Node, of: type, path: str, place: int) -> Any:
    if not isinstance(node, Entries):
        reader.say(
            node.line,
            f"item {place} of '{path}' must be keys with values",
            "write `- {key: value}`",
        )
        return _UNREAD
    where = f"{path}.{_own_name(node, of) or place}"
    reader.lines_of.setdefault(where, node.line)
    return _section(reader, node, of, where)


def _own_name(node: Entries, of: type) -> str:
    """The name an item of a list is found by; "" where it has none."""
    for key, spec in specs_of(of).items():
        own = node.values.get(key)
        if key in OWN_NAMES and isinstance(spec.kind, Name) and isinstance(own, Text):
            return own.text if NAME_FORMS[spec.kind.form][0].match(own.text) else ""
    return ""


# Values


def _value(reader: _Reader, node: Node, spec: Spec, path: str) -> Any:
    kind = spec.kind
    if isinstance(kind, AsWritten):
        return node
    if isinstance(node, Text) and not node.quoted:
        for each in spec.instead:
            if each.value == node.text:
                # A list of sections that is not known is one with nothing told in it, as if the
                # key were absent; but for a list that keeps the word.
                lists = isinstance(spec.kind, Sections | SectionsOrNames)
                return () if lists and spec.absent == () else each
        if _cannot_stand(node.text, spec):
            allowed = " or ".join(f"`{each.value}`" for each in spec.instead)
            reader.say(
                node.line,
                f"'{path}' cannot be '{node.text}'",
                f"give the value or {allowed}" if allowed else "give the value",
            )
            return _UNREAD
    if isinstance(kind, Section | SectionOrText):
        if isinstance(node, Entries):
            return _section(reader, node, kind.of, path)
        if isinstance(kind, SectionOrText) and isinstance(node, Text):
            return _plain_value(reader, node, Prose(), path)
        reader.say(
            node.line,
            f"'{path}' must be keys with values",
            f"write `{path.rpartition('.')[2]}: {{key: value}}`",
        )
        return _UNREAD
    if isinstance(kind, Sections | SectionsByWord):
        return _sections(reader, node, kind, path)
    if isinstance(kind, SectionsOrNames):
        return _sections_or_names(reader, node, kind, path)
    if isinstance(kind, WordList | Names | Texts):
        return _list_of_words(reader, node, kind, path)
    if isinstance(kind, ByName):
        return _by_name(reader, node, kind, path)
    if not isinstance(node, Text):
        reader.say(
            node.line,
            f"'{path}' must be one value",
            "write it without brackets, or put quotes around text that holds them",
        )
        return _UNREAD
    return _plain_value(reader, node, kind, path)


def _cannot_stand(text: str, spec: Spec) -> bool:
    """Whether this is a word about a value that this key never takes."""
    kind = spec.kind
    is_choice = isinstance(kind, Word) and text in kind.choices
    return text in spec.never and not isinstance(kind, _FREE) and not is_choice


def _plain_value(reader: _Reader, node: Text, kind: Kind, path: str) -> Any:
    value = plain_value(node.text, kind, path)
    if not isinstance(value, Unfit):
        return value
    reader.say(node.line, f"'{path}' {value.why}", value.hint)
    return _UNREAD


def _list_of_words(reader: _Reader, node: Node, kind: WordList | Names | Texts, path: str) -> Any:
    if not isinstance(node, Items):
        reader.say(node.line, f"'{path}' must be a list", "write `[...]`")
        return _UNREAD
    found: list[str] = []
    for place, each in enumerate(node.values, 1):
        if not isinstance(each, Text):
            reader.say(
                each.line,
                f"'{path}' holds something that is not a word",
                "write words separated by commas",
            )
            continue
        reader.lines_of[f"{path}.{place}"] = each.line
        value = _plain_value(reader, each, _of_list(kind), path)
        if value in found:
            reader.say(each.line, f"'{path}' names '{value}' twice", "keep one of them")
        elif value is not _UNREAD:
            found.append(value)
    if not node.values and not (isinstance(kind, Names) and kind.may_be_empty):
        reader.say(node.line, f"'{path}' is empty", "name one or more")
    return tuple(found)


def _of_list(kind: WordList | Names | Texts) -> Kind:
    if isinstance(kind, WordList):
        return Word(kind.choices)
    return Name(kind.form) if isinstance(kind, Names) else Prose()


def _by_name(reader: _Reader, node: Node, kind: ByName, path: str) -> dict[str, Any]:
    if not isinstance(node, Entries):
        reader.say(node.line, f"'{path}' must be keys with values", "write `name: value`")
        return {}
    found: dict[str, Any] = {}
    for name, each in node.values.items():
        reader.lines_of[f"{path}.{name}"] = node.key_lines[name]
        value = _value(reader, each, Spec(kind.of), f"{path}.{short(name)}")
        if value is not _UNREAD:
            found[name] = value
    return found
