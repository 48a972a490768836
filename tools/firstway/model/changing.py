"""Model: an installation with one of its keys given another value, typed as the file's own reader
types it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from firstway.files.specs import attribute_of, specs_of
from firstway.files.typed_reader import value_from_data
from firstway.files.yaml_reader import Node
from firstway.model.installation import Installation
from firstway.model.values import Placed
from firstway.problems import Problem


def with_key(
    installation: Installation, path: str, node: Node, file: str
) -> tuple[Installation, list[Problem]]:
    """The installation with the value of `node` at `path` (`board.ways.F2.switched_poles`; items by
    name, or by place from 1).
    """
    try:
        return _with(installation, path.split("."), node, file, path)
    except KeyError as missing:
        return installation, [
            Problem(
                file,
                node.line,
                f"'{path}' names nothing in {installation.name} ({missing.args[0]})",
                "name a key of the installation file",
            )
        ]


def _with(
    value: Any, rest: list[str], node: Node, file: str, path: str
) -> tuple[Any, list[Problem]]:
    if isinstance(value, tuple):
        place = _place(value, rest[0])
        if len(rest) == 1:  # an item of a list is no key
            raise KeyError(rest[0])
        changed, problems = _with(value[place], rest[1:], node, file, path)
        return (*value[:place], changed, *value[place + 1 :]), problems
    if not isinstance(value, Placed):
        raise KeyError(rest[0])
    of: type = type(value)
    spec = specs_of(of).get(rest[0])
    if spec is None:
        raise KeyError(rest[0])
    attribute = attribute_of(of, rest[0])
    if len(rest) == 1:
        new, problems = value_from_data(node, spec, file, path)
    else:
        new, problems = _with(getattr(value, attribute), rest[1:], node, file, path)
    return (value if problems else replace(value, **{attribute: new})), problems


def _place(items: tuple[Any, ...], name: str) -> int:
    for place, each in enumerate(items):
        if (
            getattr(each, "name", None) == name
            or name == str(place + 1)
            and not hasattr(each, "name")
        ):
            return place
    raise KeyError(name)


def with_way_after(installation: Installation, name: str, after: str) -> Installation:
    """The installation with one way of the board moved to stand after another."""
    ways = [way for way in installation.board.ways if way.name != name]
    place = [way.name for way in ways].index(after) + 1
    ways.insert(place, installation.way(name))
    return replace(installation, board=replace(installation.board, ways=tuple(ways)))
