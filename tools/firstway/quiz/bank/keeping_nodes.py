"""Quiz: the bank's YAML read once: its data kept by content in the cache folder, since reading YAML
takes longest.
"""

from __future__ import annotations

from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from firstway.files import yaml_reader
from firstway.files.keeping import keep, kept
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.problems import Problem

_KIND = "quiz-bank"
_SMALLEST = 2000
"""Characters below which reading costs less than keeping."""


def kept_data_from_yaml(text: str, file: str) -> tuple[Node | None, list[Problem]]:
    """As `data_from_yaml`; a text without a problem is read from the cache folder the next time."""
    if len(text) < _SMALLEST:
        return data_from_yaml(text, file)
    # One place for each file, so that a file often changed does not fill the folder.
    name, key = (
        sha256(each.encode("utf-8", "replace")).hexdigest()[:40]
        for each in (file, f"{_reader()} {text}")
    )
    data = kept(_KIND, name)
    found = (
        _node(data["node"])
        if isinstance(data, dict) and data.get("key") == key and "node" in data
        else None
    )
    if found is not None:
        return found, []
    node, problems = data_from_yaml(text, file)
    if node is not None and not problems:
        keep(_KIND, name, {"key": key, "node": _plain(node)})
    return node, problems


@cache
def _reader() -> str:
    return sha256(
        Path(str(yaml_reader.__file__)).read_bytes() + Path(__file__).read_bytes()
    ).hexdigest()


def _plain(node: Node) -> list[Any]:
    """[line, text, quoted], [line, keys, lines, values] or [line, values]."""
    if isinstance(node, Text):
        return [node.line, node.text, int(node.quoted)]
    if isinstance(node, Entries):
        return [
            node.line,
            list(node.values),
            [node.key_lines[key] for key in node.values],
            [_plain(each) for each in node.values.values()],
        ]
    return [node.line, [_plain(each) for each in node.values]]


def _node(data: Any) -> Node | None:
    """The node of plain data; None where the file holds something else, as a cache may after a
    crash.
    """
    try:
        return None if data is None else _of(data)
    except (TypeError, ValueError, IndexError, AttributeError):
        return None


def _of(data: list[Any]) -> Node:
    if len(data) == 3:
        return Text(data[1] + "", data[0], bool(data[2]))
    if len(data) == 2:
        return Items(data[0], tuple(_of(each) for each in data[1]))
    line, names, lines, values = data
    return Entries(
        line, {name: _of(value) for name, value in zip(names, values)}, dict(zip(names, lines))
    )
