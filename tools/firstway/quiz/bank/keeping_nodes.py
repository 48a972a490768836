"""Quiz: the bank's YAML read once: its data kept by content in the cache folder, since reading YAML
takes longest.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from firstway.files import yaml_reader
from firstway.files.keeping import digest_of_files, kept
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.problems import Problem

_KIND = "quiz-bank"
_SMALLEST = 2000
"""Characters below which reading costs less than keeping."""


def kept_data_from_yaml(text: str, file: str) -> tuple[Node | None, list[Problem]]:
    """As `data_from_yaml`; a text without a problem is read from the cache folder the next time."""
    if len(text) < _SMALLEST:
        return data_from_yaml(text, file)
    return kept(
        _KIND,
        file,
        text,
        lambda: data_from_yaml(text, file),
        data=lambda read: _plain(read[0]) if read[0] is not None and not read[1] else None,
        thing=lambda data: (_of(data), []),
        program=_reader(),
    )


@cache
def _reader() -> str:
    return digest_of_files((Path(str(yaml_reader.__file__)), Path(__file__)))


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


def _of(data: list[Any]) -> Node:
    if len(data) == 3:
        return Text(data[1] + "", data[0], bool(data[2]))
    if len(data) == 2:
        return Items(data[0], tuple(_of(each) for each in data[1]))
    line, names, lines, values = data
    return Entries(
        line, {name: _of(value) for name, value in zip(names, values)}, dict(zip(names, lines))
    )
