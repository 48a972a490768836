"""Files: one value of a file written anew in its text: every other byte, comments too, stays."""

from __future__ import annotations

import re
from typing import Any

import yaml

from firstway.files.typed_reader import OWN_NAMES
from firstway.files.yaml_reader import data_from_yaml
from firstway.problems import Problem

_KEY = re.compile(r"[A-Za-z][A-Za-z0-9_]*\Z")
_Splice = tuple[int, int, str]
"""From here to there, and what stands there then."""


def with_value(text: str, path: str, value: str, file: str) -> tuple[str, list[Problem]]:
    """The text with `value`, written as YAML in one line, at the path of a key.

    Items of a list go by their name or by their place from 1. A key that its section has not yet
    comes after the last one there. Where it cannot be done the text comes back as it was.
    """
    problems = data_from_yaml(text, file)[1] or data_from_yaml(f"value: {value}", file)[1]
    if problems:
        return text, problems
    wanted = _data(text)
    places = _places(wanted, path.split("."))
    if places is None:
        hint = "name a key of the file by its path"
        return text, [Problem(file, 0, f"'{path}' names nothing in the file", hint)]
    _inside(wanted, places[:-1])[places[-1]] = _data(f"value: {value}")["value"]
    start, end, written = _splice(text, places, value)
    changed = text[:start] + written + text[end:]
    if data_from_yaml(changed, file)[1] or _data(changed) != wanted:
        said = f"'{value}' cannot stand at '{path}'"
        return text, [Problem(file, 0, said, "write it in one line, with quotes around it")]
    return changed, []


def _data(text: str) -> Any:
    return yaml.load(text, Loader=yaml.BaseLoader)


def _places(data: Any, parts: list[str]) -> list[Any] | None:
    """The path as keys of mappings and places of lists; None where it leads nowhere."""
    places: list[Any] = []
    for left, part in zip(range(len(parts), 0, -1), parts, strict=True):
        if isinstance(data, list):
            names = [_own_name(item) or str(place) for place, item in enumerate(data, 1)]
            place: Any = names.index(part) if part in names else None
        else:
            place = part if isinstance(data, dict) and (part in data or left == 1) else None
        if place is None or left == 1 and not (isinstance(data, dict) and _KEY.match(part)):
            return None
        places.append(place)
        data = data[place] if left > 1 else None
    return places


def _own_name(item: Any) -> str:
    names = [item[key] for key in OWN_NAMES if key in item] if isinstance(item, dict) else []
    return str(names[0]) if names else ""


def _inside(data: Any, places: list[Any]) -> Any:
    for place in places:
        data = data[place]
    return data


def _splice(text: str, places: list[Any], value: str) -> _Splice:
    *way, key = places
    node: Any = yaml.compose(text, Loader=yaml.BaseLoader)
    for place in way:
        node = _entry(node, place)[1] if isinstance(place, str) else node.value[place]
    entry = _entry(node, key)
    if entry is not None:
        return _in_place(text, entry[0], entry[1], value)
    return _after_the_last(text, node, f"{key}: {value}")


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
