"""Model: plain data with lines to the typed installation, with every problem of the file
at once.
"""

from __future__ import annotations

import difflib
import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, field, fields, replace
from datetime import date
from typing import Any

from firstway.files.slips import UNSEEN, seen, unseen_name
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.model.agreement import disagreements
from firstway.model.installation import Installation
from firstway.model.near_figures import meant_figure
from firstway.model.unknown_keys import NEAR, Around, KeyPlace, meant_by
from firstway.model.values import (
    ABSENT_WORDS,
    UNKNOWN,
    AsWritten,
    Day,
    Flag,
    KnownBy,
    Name,
    Names,
    Number,
    Placed,
    Prose,
    Section,
    Sections,
    SectionsOrWords,
    Spec,
    TerminalNames,
    Word,
    Words,
    is_known,
)
from firstway.problems import Problem

NAME_FORM = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*(\.[A-Za-z0-9][A-Za-z0-9_-]*)?\Z")
_NUMBER_FORM = re.compile(r"[+-]?([0-9]+(\.[0-9]*)?|\.[0-9]+)([eE][+-]?[0-9]{1,2})?\Z")
HOW_KNOWN = ("measured", "declared", "data-sheet", "assumed")
_LONGEST_TEXT = 4000
LONGEST_NUMBER = 24
_LONGEST_SHOWN = 60
_ABSENT_WORDS = {absent.value: absent for absent in ABSENT_WORDS}


@dataclass
class _Reader:
    file: str
    problems: list[Problem]
    lines_of: dict[str, int]
    around: list[Around] = field(default_factory=list)
    misplaced: set[KeyPlace] = field(default_factory=set)

    def say(self, line: int, message: str, hint: str) -> None:
        self.problems.append(Problem(self.file, line, message, hint))


def installation_from_yaml(
    text: str, file: str, name: str = ""
) -> tuple[Installation | None, list[Problem]]:
    """Read one installation.

    `file` is shown in problems; `name` identifies the installation on pages (the file's stem).
    Gives None with the problems when anything in the file must be put right first.
    """
    data, problems = data_from_yaml(text, file)
    if data is None:
        return None, problems
    reader = _Reader(file, problems, {})
    if not isinstance(data, Entries):
        reader.say(data.line, "the file must be keys with values", "begin with `title:`")
        return None, sorted(problems)
    found = _section(reader, data, Installation, "")
    if problems:
        return None, sorted(set(problems))
    installation = replace(found, name=name or "installation", file=file, lines_of=reader.lines_of)
    problems.extend(disagreements(installation))
    return (None, sorted(set(problems))) if problems else (installation, [])


def section_from_data(
    data: Entries, of: type, file: str, path: str = ""
) -> tuple[Any, list[Problem]]:
    """One section of any file that is written in the same manner, typed; its problems
    name `file`.
    """
    reader = _Reader(file, [], {})
    return _section(reader, data, of, path), reader.problems


def value_from_data(node: Node, spec: Spec, file: str, path: str) -> tuple[Any, list[Problem]]:
    """One value, typed as the key at `path` asks."""
    reader = _Reader(file, [], {})
    return _value(reader, node, spec, path, node.line), reader.problems


def _section(reader: _Reader, data: Entries, of: type, path: str) -> Any:
    items = {item.name.rstrip("_"): item for item in fields(of) if "spec" in item.metadata}
    here = Around(path, {key: item.metadata["spec"] for key, item in items.items()})
    for key in data.values:
        if key not in here.specs:
            meant = meant_by(data, key, _short(key), here, reversed(reader.around))
            reader.say(data.key_lines[key], meant.message, meant.hint)
            reader.misplaced.update(meant.places)
            if not meant.more:
                break
    reader.around.append(here)
    given: dict[str, Any] = {}
    for key, item in items.items():
        if key in data.values:
            where = f"{path}.{key}" if path else key
            reader.lines_of[where] = data.key_lines[key]
            node = data.values[key]
            given[item.name] = _value(reader, node, here.specs[key], where, data.key_lines[key])
    reader.around.pop()
    for key, spec in here.specs.items():
        if spec.required and key not in data.values and (path, key) not in reader.misplaced:
            where = f"{path}.{key}" if path else key
            reader.say(data.line, f"'{where}' is missing", f"add `{key}:`")
    return of(**given, path=path) if issubclass(of, Placed) else of(**given)


def _value(reader: _Reader, node: Node, spec: Spec, path: str, line: int) -> Any:
    kind = spec.kind
    if isinstance(kind, AsWritten):
        return node
    if (
        isinstance(node, Text)
        and node.text in _ABSENT_WORDS
        and not node.quoted
        and not isinstance(kind, Prose | Name | KnownBy)
    ):
        absent = _ABSENT_WORDS[node.text]
        if absent in spec.words and not (spec.required and absent == UNKNOWN):
            # A list of sections that is not known is one with nothing told in it, as if the key
            # were absent.
            return () if isinstance(kind, Sections | SectionsOrWords) else absent
        if not (isinstance(kind, Word) and node.text in kind.choices):
            allowed = " or ".join(f"`{word.value}`" for word in spec.words)
            reader.say(
                node.line,
                f"'{path}' cannot be '{node.text}'",
                (
                    "give the value"
                    if spec.required and len(spec.words) < 2
                    else f"give the value or {allowed}"
                ),
            )
            return UNKNOWN
    if (
        isinstance(kind, (Prose, Name))
        and isinstance(node, Text)
        and node.text in _ABSENT_WORDS
        and not node.quoted
    ):
        absent = _ABSENT_WORDS[node.text]
        if absent in spec.words and not spec.required:
            return absent
    if isinstance(kind, Section):
        if isinstance(node, Entries):
            return _section(reader, node, kind.of, path)
        reader.say(
            node.line,
            f"'{path}' must be keys with values",
            f"write `{path.rpartition('.')[2]}: {{key: value}}`",
        )
        return UNKNOWN
    if isinstance(kind, Sections):
        return _sections(reader, node, kind, path)
    if isinstance(kind, SectionsOrWords):
        return _sections_or_words(reader, node, kind, path)
    if isinstance(kind, (Words, Names, TerminalNames)):
        return _list_of_words(reader, node, kind, path)
    if isinstance(kind, KnownBy):
        return _known_by(reader, node, path)
    if not isinstance(node, Text):
        reader.say(
            node.line,
            f"'{path}' must be one value",
            "write it without brackets, or put quotes around text that holds them",
        )
        return UNKNOWN
    return _plain_value(reader, node, kind, path)


def _plain_value(reader: _Reader, node: Text, kind: Any, path: str) -> Any:
    text = node.text
    if not text.strip():
        reader.say(node.line, f"'{path}' is empty", "write the value or remove the key")
        return UNKNOWN
    if not isinstance(kind, Prose) and (unseen := UNSEEN.search(text)) is not None:
        reader.say(
            node.line,
            f"'{path}' holds an invisible character ({unseen_name(unseen[0])})",
            f"type it anew: {_short(seen(text).strip())}",
        )
        return UNKNOWN
    if isinstance(kind, Number):
        return _number(reader, node, kind, path)
    if isinstance(kind, Word):
        if text in kind.choices:
            return text
        near = difflib.get_close_matches(text, kind.choices, n=1, cutoff=NEAR)
        hint = f"did you mean '{near[0]}'?" if near else "use one of: " + ", ".join(kind.choices)
        reader.say(node.line, f"'{path}' is '{_short(text)}'", hint)
        return UNKNOWN
    if isinstance(kind, Flag):
        if text in ("true", "false"):
            return text == "true"
        reader.say(node.line, f"'{path}' is '{_short(text)}'", "write true or false")
        return UNKNOWN
    if isinstance(kind, Day):
        try:
            return date.fromisoformat(text)
        except ValueError:
            reader.say(
                node.line, f"'{path}' is '{_short(text)}', not a date", "write it as 2026-12-01"
            )
            return UNKNOWN
    if isinstance(kind, Name):
        if NAME_FORM.match(text):
            return text
        reader.say(
            node.line,
            f"'{path}' is '{_short(text)}', which cannot be a name",
            "use letters, digits, hyphens and underscores",
        )
        return UNKNOWN
    if len(text) > _LONGEST_TEXT:
        reader.say(node.line, f"'{path}' is longer than {_LONGEST_TEXT} characters", "shorten it")
    return text


def _short(text: str) -> str:
    return text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."


def _number(reader: _Reader, node: Text, kind: Number, path: str) -> Any:
    text = node.text
    if not _NUMBER_FORM.match(text) or len(text) > LONGEST_NUMBER:
        if len(text) <= LONGEST_NUMBER and _NUMBER_FORM.match(text.replace(",", ".", 1)):
            reader.say(
                node.line,
                f"'{path}' is '{_short(text)}', not a number",
                f"write {text.replace(',', '.', 1)}",
            )
        else:
            reader.say(
                node.line,
                f"'{path}' is '{_short(text)}', not a number",
                "write the number alone; its unit is in the key",
            )
        return UNKNOWN
    value = float(text)
    if not math.isfinite(value):
        reader.say(
            node.line,
            f"'{path}' is {_short(text)}, larger than any figure here",
            "write the figure that is meant",
        )
        return UNKNOWN
    if kind.whole and value != int(value):
        reader.say(node.line, f"'{path}' is {_short(text)}", "write a whole number")
    bound = _bound_broken(value, kind)
    if bound:
        meant = meant_figure(value, kind)
        guess = f"; did you mean {meant:g}?" if meant is not None else ""
        reader.say(node.line, f"'{path}' is {_short(text)}", bound + guess)
    return int(value) if kind.whole and value == int(value) else value


def _bound_broken(value: float, kind: Number) -> str:
    """What a figure must be, where it is not; "" where it may stand."""
    if kind.or_zero and value == 0:
        return ""
    if kind.above is not None and not value > kind.above:
        return f"it must be more than {kind.above:g}"
    if kind.at_least is not None and value < kind.at_least:
        return f"it must be {'0, or ' if kind.or_zero else ''}{kind.at_least:g} or more"
    if kind.at_most is not None and value > kind.at_most:
        return f"it must be {kind.at_most:g} or less; check the unit"
    return ""


def _sections(reader: _Reader, node: Node, kind: Sections, path: str) -> tuple[Any, ...]:
    if not isinstance(node, Items):
        reader.say(node.line, f"'{path}' must be a list", "begin each item with `- `")
        return ()
    if kind.one_or_more and not node.values:
        reader.say(node.line, f"'{path}' is empty", "add one item or more")
    return tuple(
        item
        for place, each in enumerate(_first_of(reader, node, kind.at_most, path), 1)
        if (item := _item(reader, each, kind.of, path, place)) is not None
    )


def _first_of(reader: _Reader, node: Items, most: int, path: str) -> Sequence[Node]:
    """The entries of a list, as many as it may have; more are told."""
    if len(node.values) > most:
        reader.say(
            node.values[most].line,
            f"'{path}' has {len(node.values)} entries; it may have {most}",
            "take out what does not belong to this board",
        )
    return node.values[:most]


def _item(reader: _Reader, node: Node, of: type, path: str, place: int) -> Any:
    if not isinstance(node, Entries):
        reader.say(
            node.line,
            f"item {place} of '{path}' must be keys with values",
            "write `- {key: value}`",
        )
        return None
    own_name = node.values.get("name")
    key = (
        own_name.text
        if isinstance(own_name, Text) and NAME_FORM.match(own_name.text)
        else str(place)
    )
    where = f"{path}.{key}"
    reader.lines_of.setdefault(where, node.line)
    return _section(reader, node, of, where)


def _sections_or_words(
    reader: _Reader, node: Node, kind: SectionsOrWords, path: str
) -> tuple[Any, ...]:
    if not isinstance(node, Items):
        reader.say(node.line, f"'{path}' must be a list", "write `[...]`")
        return ()
    found = []
    for place, each in enumerate(_first_of(reader, node, kind.at_most, path), 1):
        if isinstance(each, Text):
            found.append(_plain_value(reader, each, Name(), path))
        else:
            found.append(_item(reader, each, kind.of, path, place))
    return tuple(item for item in found if item is not None and is_known(item))


def _list_of_words(
    reader: _Reader, node: Node, kind: Words | Names | TerminalNames, path: str
) -> Any:
    if not isinstance(node, Items):
        reader.say(node.line, f"'{path}' must be a list", "write `[...]`")
        return UNKNOWN
    found: list[str] = []
    for each in node.values:
        if not isinstance(each, Text):
            reader.say(
                each.line,
                f"'{path}' holds something that is not a word",
                "write words separated by commas",
            )
            continue
        value = _plain_value(reader, each, _of_list(kind), path)
        if value in found:
            reader.say(each.line, f"'{path}' names '{value}' twice", "keep one of them")
        elif is_known(value):
            found.append(value)
    if not node.values:
        reader.say(node.line, f"'{path}' is empty", "name one or more")
    return tuple(found)


def _of_list(kind: Words | Names | TerminalNames) -> Any:
    if isinstance(kind, Words):
        return Word(kind.choices)
    return Name() if isinstance(kind, Names) else Prose()


def _known_by(reader: _Reader, node: Node, path: str) -> dict[str, str]:
    if not isinstance(node, Entries):
        reader.say(node.line, f"'{path}' must be keys with values", "write `path.of.key: measured`")
        return {}
    found: dict[str, str] = {}
    for key, value in node.values.items():
        reader.lines_of[f"known_by.{key}"] = node.key_lines[key]
        if isinstance(value, Text) and value.text in HOW_KNOWN:
            found[key] = value.text
        else:
            given = f"is '{_short(value.text)}'" if isinstance(value, Text) else "must be one word"
            reader.say(
                value.line, f"'{path}.{_short(key)}' {given}", "use one of: " + ", ".join(HOW_KNOWN)
            )
    return found
