"""Files: one value of a file written anew in its text, or taken out of it: every other byte,
comments too, stays.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

import yaml

from firstway.files.typed_reader import OWN_NAMES
from firstway.files.yaml_reader import data_from_yaml
from firstway.problems import Problem

_KEY = re.compile(r"[A-Za-z][A-Za-z0-9_]*\Z")
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
    return yaml.load(text, Loader=yaml.BaseLoader)


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
    node: Any = yaml.compose(text, Loader=yaml.BaseLoader)
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


def _after_the_last(text: str, node: Any, written: str) -> _Splice:
    """A new key: beside the last one in braces, below it elsewhere."""
    if not node.value:
        at = node.start_mark.index + 1
        return at, at, written
    at = _end(text, node.value[-1][1])
    if node.flow_style:
        return at, at, f", {written}"
    line_end = text.find("\n", at)
    at = len(text) if line_end < 0 else line_end
    at -= text[at - 1 : at] == "\r"
    line_break = "\r\n" if "\r\n" in text else "\n"
    return at, at, line_break + " " * node.value[0][0].start_mark.column + written


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
