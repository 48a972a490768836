"""Files: one value of a file, or one entry of a list, written anew in its text or taken out of it:
every other byte, comments too, stays.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import yaml

from firstway.files.typed_reader import OWN_NAMES
from firstway.files.yaml_reader import data_from_yaml, node_of
from firstway.problems import Problem

# a path is a key of its own where it says how a value is known
_KEY = re.compile(r"[A-Za-z][A-Za-z0-9_]*(?:\.[A-Za-z0-9_-]+)*\Z")
_Splice = tuple[int, int, str]
"""From here to there, and what stands there then."""


def with_value(
    text: str, path: str | Sequence[str], value: str, file: str, *, begin: bool = False
) -> tuple[str, list[Problem]]:
    """The text with `value`, written as YAML in one line, at the path of a key.

    Items of a list go by their name or by their place from 1; a path in parts may hold names with
    dots. A key that its section has not yet comes after the last one there; `begin`: sections that
    are not there yet are begun. Where it cannot be done the text comes back as it was.
    """
    problems = data_from_yaml(text, file)[1] or data_from_yaml(f"value: {value}", file)[1]
    if problems:
        return text, problems
    parts, shown = _parts(path)
    wanted = _data(text)
    begun = _not_there_yet(wanted, parts) if begin else []
    way = parts[: len(parts) - len(begun)]
    places = _places(wanted, way)
    if places is None:
        return text, [_nothing_named(shown, file)]
    _inside(wanted, places[:-1])[places[-1]] = _nested(begun, _data(f"value: {value}")["value"])
    start, end, written = _splice(text, places, begun, value)
    return _changed(text, text[:start] + written + text[end:], wanted, value, shown, file)


def without_value(text: str, path: str | Sequence[str], file: str) -> tuple[str, list[Problem]]:
    """The text without a key; without its section too, where that would hold nothing else."""
    problems = data_from_yaml(text, file)[1]
    if problems:
        return text, problems
    parts, shown = _parts(path)
    wanted = _data(text)
    places = _places(wanted, parts)
    if places is None or places[-1] not in _inside(wanted, places[:-1]):
        return text, [_nothing_named(shown, file)]
    while len(_inside(wanted, places[:-1])) == 1 and len(places) > 1:
        places.pop()
    if not isinstance(places[-1], str):
        words = f"'{shown}' is all that its entry of a list says"
        return text, [Problem(file, 0, words, "take the entry out of the text")]
    del _inside(wanted, places[:-1])[places[-1]]
    start, end = _cut(text, places)
    return _changed(text, text[:start] + text[end:], wanted, "", shown, file)


_NO_LIST = ("none", "unknown")  # words that may stand where a list could


def with_entry(
    text: str, path: str | Sequence[str], name: str, file: str
) -> tuple[str, list[Problem]]:
    """The text with one more entry at the end of the list at a path; the list, and the sections
    above it, are begun where they are not there, or where a word such as `none` stands for it. The
    entry says its `name`, or nothing yet (`{}`).

    `name` is written as YAML in one line. Where it cannot be done the text comes back as it was.
    """
    entry = f"{{name: {name}}}" if name else "{}"
    problems = data_from_yaml(text, file)[1] or data_from_yaml(f"value: {entry}", file)[1]
    if problems:
        return text, problems
    parts, shown = _parts(path)
    wanted = _data(text)
    places = _places(wanted, parts)
    held = _inside(wanted, places[:-1]).get(places[-1]) if places else None
    if not held or held in _NO_LIST:
        begun, problems = with_value(text, parts, f"[{entry}]", file, begin=True)
        return (text, problems) if problems else (_in_its_line(begun, parts, entry), [])
    if not isinstance(held, list):
        return text, [Problem(file, 0, f"'{shown}' is no list", "name a list by its path")]
    new = _data(f"value: {entry}")["value"]
    if name and _own_name(new) in map(_own_name, held):
        return text, [_named_twice(_own_name(new), shown, file)]
    node = _node(text, places or [])
    held.append(new)
    line = entry if node.flow_style else _entry_line(entry)
    start, end, written = _after_the_last(text, node, line, node.start_mark.column)
    return _changed(text, text[:start] + written + text[end:], wanted, entry, shown, file)


def with_copy(
    text: str, path: str | Sequence[str], name: str, file: str
) -> tuple[str, list[Problem]]:
    """The text with an entry of a list written once more below itself, under another `name`.

    What stands beside the entry as a comment in its lines goes with it.
    """
    parts, shown = _parts(path)
    wanted, places, problems = _found_entry(text, parts, file)
    problems = problems or data_from_yaml(f"value: {name}", file)[1]
    if problems:
        return text, problems
    held = _inside(wanted, places[:-1])
    old, value = held[places[-1]], _data(f"value: {name}")["value"]
    named = [key for key in OWN_NAMES if isinstance(old, dict) and key in old]
    if named and (not value or value in map(_own_name, held)):
        return text, [_named_twice(value, shown, file)]
    node = _node(text, places[:-1])
    item = node.value[places[-1]]
    start, end = item.start_mark.index, _end(text, item)
    copy = text[start:end]
    if named:
        own = _entry(item, named[0])[1]
        copy = text[start : own.start_mark.index] + name + text[own.end_mark.index : end]
    held.insert(places[-1] + 1, {**old, named[0]: value} if named else old)
    if node.flow_style:
        changed = text[:end] + ", " + copy + text[end:]
    else:
        lead = " " * node.start_mark.column + text[text.rfind("-", 0, start) : start]
        line_end = text.find("\n", end)
        after = len(text) if line_end < 0 else line_end + 1
        copy += text[end:after].rstrip("\r\n")
        line_break = "\r\n" if "\r\n" in text else "\n"
        begun = "" if text[after - 1 : after] == "\n" else line_break
        changed = text[:after] + begun + lead + copy + line_break + text[after:]
    return _changed(text, changed, wanted, name or "a copy", shown, file)


def without_entry(text: str, path: str | Sequence[str], file: str) -> tuple[str, list[Problem]]:
    """The text without an entry of a list; without the list too, where it was the only one."""
    parts, shown = _parts(path)
    wanted, places, problems = _found_entry(text, parts, file)
    if problems:
        return text, problems
    held = _inside(wanted, places[:-1])
    if len(held) == 1:
        return without_value(text, parts[:-1], file)
    node, at = _node(text, places[:-1]), places[-1]
    item = node.value[at]
    start, end = item.start_mark.index, _end(text, item)
    if node.flow_style:
        if at + 1 < len(node.value):
            end = node.value[at + 1].start_mark.index
        else:
            start = _end(text, node.value[at - 1])
    else:
        start = text.rfind("\n", 0, text.rfind("-", 0, start)) + 1
        line_end = text.find("\n", end)
        end = len(text) if line_end < 0 else line_end + 1
    del held[at]
    return _changed(text, text[:start] + text[end:], wanted, "", shown, file)


def _in_its_line(text: str, parts: list[str], entry: str) -> str:
    """A list just begun in brackets, its entry in a line below its key as people write it."""
    places = _places(_data(text), parts) or []
    section, node = _node(text, places[:-1]), _node(text, places)
    if section.flow_style:
        return text
    column = section.value[0][0].start_mark.column + 2
    line_break = "\r\n" if "\r\n" in text else "\n"
    before, after = text[: node.start_mark.index].rstrip(" "), text[node.end_mark.index :]
    return f"{before}{line_break}{' ' * column}{_entry_line(entry)}{after}"


def _entry_line(entry: str) -> str:
    return "- " + (entry[1:-1] or entry)


def _found_entry(text: str, parts: list[str], file: str) -> tuple[Any, list[Any], list[Problem]]:
    """The data of a text, and the way in it to an entry of a list."""
    problems = data_from_yaml(text, file)[1]
    data: Any = None if problems else _data(text)
    here, places = data, []
    for part in parts:
        place = None if problems else _place_in(here, part)
        if place is None:
            break
        places.append(place)
        here = here[place]
    found = len(places) == len(parts) and places and isinstance(places[-1], int)
    if not problems and not found:
        problems = [_nothing_named(".".join(parts), file)]
    return data, places, problems


def _named_twice(name: str, shown: str, file: str) -> Problem:
    said = f"'{name}' stands in '{shown}' already" if name else "the new entry has no name"
    return Problem(file, 0, said, "give it a name of its own")


def _changed(
    text: str, changed: str, wanted: Any, value: str, shown: str, file: str
) -> tuple[str, list[Problem]]:
    """The changed text, if it says what it should; else the text as it was."""
    if not data_from_yaml(changed, file)[1] and _data(changed) == wanted:
        return changed, []
    if value:
        said, hint = f"'{value}' cannot stand at '{shown}'", "write it in one line, with quotes"
        return text, [Problem(file, 0, said, f"{hint} around it")]
    return text, [Problem(file, 0, f"'{shown}' cannot be taken out alone", "change the text there")]


def _parts(path: str | Sequence[str]) -> tuple[list[str], str]:
    parts = path.split(".") if isinstance(path, str) else list(path)
    return parts, ".".join(parts)


def _nothing_named(shown: str, file: str) -> Problem:
    return Problem(
        file, 0, f"'{shown}' names nothing in the file", "name a key of the file by its path"
    )


def _not_there_yet(data: Any, parts: list[str]) -> list[str]:
    """The keys at the end of a path whose section is still to come."""
    for place, part in enumerate(parts):
        if isinstance(data, dict) and part not in data:
            return parts[place + 1 :] if all(map(_KEY.match, parts[place:])) else []
        at = _place_in(data, part)
        if at is None:
            return []
        data = data[at]
    return []


def _nested(keys: list[str], value: Any) -> Any:
    return {keys[0]: _nested(keys[1:], value)} if keys else value


def _data(text: str) -> Any:
    """What a text holds that is read without a problem, every value as it is written."""
    return _held(node_of(text))


def _held(node: yaml.Node) -> Any:
    if isinstance(node, yaml.MappingNode):
        return {key.value: _held(value) for key, value in node.value}
    if isinstance(node, yaml.SequenceNode):
        return [_held(each) for each in node.value]
    return node.value


def _places(data: Any, parts: list[str]) -> list[Any] | None:
    """The path as keys of mappings and places of lists; None where it leads nowhere."""
    places: list[Any] = []
    for left, part in zip(range(len(parts), 0, -1), parts, strict=True):
        new = left == 1 and isinstance(data, dict)
        place: Any = part if new else _place_in(data, part)
        if place is None or left == 1 and not (isinstance(data, dict) and _KEY.match(part)):
            return None
        places.append(place)
        data = data[place] if left > 1 else None
    return places


def _place_in(data: Any, part: str) -> Any:
    """The key of a mapping, or the place in a list, that a part of a path names."""
    if isinstance(data, list):
        names = [_own_name(item) or str(place) for place, item in enumerate(data, 1)]
        return names.index(part) if part in names else None
    return part if isinstance(data, dict) and part in data else None


def _own_name(item: Any) -> str:
    names = [item[key] for key in OWN_NAMES if key in item] if isinstance(item, dict) else []
    return str(names[0]) if names else ""


def _inside(data: Any, places: list[Any]) -> Any:
    for place in places:
        data = data[place]
    return data


def _splice(text: str, places: list[Any], begun: list[str], value: str) -> _Splice:
    node, key = _node(text, places[:-1]), places[-1]
    entry = _entry(node, key)
    if entry is not None:
        return _in_place(text, entry[0], entry[1], value)
    line_break = "\r\n" if "\r\n" in text else "\n"
    if node.flow_style or not node.value:
        written = "".join(f"{each}: {{" for each in [key, *begun[:-1]]) if begun else ""
        last = begun[-1] if begun else key
        return _after_the_last(text, node, f"{written}{last}: {value}" + "}" * len(begun))
    column = node.value[0][0].start_mark.column
    written = f"{key}:"
    for depth, each in enumerate(begun, 1):
        written += f"{line_break}{' ' * (column + 2 * depth)}{each}:"
    return _after_the_last(text, node, f"{written} {value}")


def _node(text: str, way: list[Any]) -> Any:
    node: Any = node_of(text)
    for place in way:
        node = _entry(node, place)[1] if isinstance(place, str) else node.value[place]
    return node


def _cut(text: str, places: list[Any]) -> tuple[int, int]:
    """From where to where a key stands: whole lines, or up to its neighbour in one line."""
    node, key = _node(text, places[:-1]), places[-1]
    at = next(place for place, each in enumerate(node.value) if each[0].value == key)
    first, last = node.value[at][0].start_mark.index, _end(text, node.value[at][1])
    line_start = text.rfind("\n", 0, first) + 1
    alone = not text[line_start:first].strip()
    if not node.flow_style and alone:
        line_end = text.find("\n", last)
        return line_start, len(text) if line_end < 0 else line_end + 1
    if at + 1 < len(node.value):
        return first, node.value[at + 1][0].start_mark.index
    return (_end(text, node.value[at - 1][1]) if at else first), last


def _entry(node: Any, key: str) -> Any:
    return next((each for each in node.value if each[0].value == key), None)


def _in_place(text: str, key: Any, old: Any, value: str) -> _Splice:
    """A value in one line takes the place of the old one, and stands behind its colon."""
    start, end = old.start_mark.index, _end(text, old)
    if start == end or not isinstance(old, yaml.ScalarNode) and not old.flow_style:
        return text.index(":", key.end_mark.index) + 1, max(end, start), f" {value}"
    return start, end, value


def _after_the_last(text: str, node: Any, written: str, column: int | None = None) -> _Splice:
    """A new key or entry: beside the last one in brackets, below it elsewhere."""
    if not node.value:
        at = node.start_mark.index + 1
        return at, at, written
    at = _end(text, node)
    if node.flow_style:
        last = node.value[-1]
        at = _end(text, last[1] if isinstance(node, yaml.MappingNode) else last)
    if node.flow_style:
        return at, at, f", {written}"
    line_end = text.find("\n", at)
    at = len(text) if line_end < 0 else line_end
    at -= text[at - 1 : at] == "\r"
    line_break = "\r\n" if "\r\n" in text else "\n"
    if column is None:
        column = node.value[0][0].start_mark.column
    return at, at, line_break + " " * column + written


def _end(text: str, node: Any) -> int:
    """Where a value ends: what is written below it, such as a comment, is no part of it."""
    if isinstance(node, yaml.ScalarNode):
        return (
            len(text[: node.end_mark.index].rstrip())
            if node.style in ("|", ">")
            else int(node.end_mark.index)
        )
    if node.flow_style or not node.value:
        return int(node.end_mark.index)
    last = node.value[-1]
    return _end(text, last[1] if isinstance(node, yaml.MappingNode) else last)
