"""Files: YAML text to plain data that remembers its line. Every scalar stays text; the model types it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Iterator, Union

import yaml

from firstway.problems import Problem

LARGEST_FILE_BYTES = 1_000_000
DEEPEST_NESTING = 40


@dataclass(frozen=True)
class Text:
    """One value as it was written, without its quotes."""

    text: str
    line: int
    quoted: bool = False


@dataclass(frozen=True)
class Entries:
    """Keys and their values (a mapping), in the order of the file."""

    line: int
    values: dict[str, "Node"] = field(default_factory=dict)
    key_lines: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Items:
    """A list."""

    line: int
    values: tuple["Node", ...] = ()

    def __iter__(self) -> Iterator["Node"]:
        return iter(self.values)


Node = Union[Text, Entries, Items]


def data_from_yaml(text: str, file: str) -> tuple[Node | None, list[Problem]]:
    """Read YAML text; give the data and every problem of its form.

    `file` names the text in problems. Tags, anchors and more than one document are
    refused: an installation is plain data. The data is None where nothing could be read.
    """
    if len(text.encode("utf-8", "replace")) > LARGEST_FILE_BYTES:
        return None, [Problem(file, 0, f"the file is larger than {LARGEST_FILE_BYTES} bytes",
                              "keep one installation in one file")]
    try:
        nodes = list(yaml.compose_all(text, Loader=yaml.SafeLoader))
    except yaml.MarkedYAMLError as error:
        return None, [_problem_of_form(error, file)]
    except yaml.YAMLError as error:  # a character YAML does not allow has no mark
        return None, [Problem(file, 0, "a character in this file is not allowed in YAML",
                              f"remove it ({_first_line(str(error))})")]
    except RecursionError:
        return None, [Problem(file, 0, "lists and keys are nested too deep", "flatten the file")]
    nodes = [node for node in nodes if node is not None]
    if not nodes:
        return None, [Problem(file, 1, "the file is empty", "begin with `title:`")]
    if len(nodes) > 1:
        line = nodes[1].start_mark.line + 1
        return None, [Problem(file, line, "a second document begins here", "remove the line `---`")]
    problems: list[Problem] = []
    return _plain(nodes[0], file, problems, 0, set()), problems


def _plain(node: yaml.Node, file: str, problems: list[Problem], depth: int, open_ids: set[int]) -> Node:
    line = node.start_mark.line + 1
    if depth > DEEPEST_NESTING or id(node) in open_ids:
        problems.append(Problem(file, line, "lists and keys are nested too deep", "flatten the file"))
        return Text("", line)
    if isinstance(node, yaml.ScalarNode):
        if node.tag.startswith("!"):
            problems.append(Problem(file, line, f"the tag '{node.tag}' is not allowed", "write the plain value"))
        return Text(node.value, line, quoted=node.style in ("'", '"'))
    inside = open_ids | {id(node)}
    if isinstance(node, yaml.SequenceNode):
        return Items(line, tuple(_plain(item, file, problems, depth + 1, inside) for item in node.value))
    return _entries(node, line, file, problems, depth, inside)


def _entries(node: yaml.MappingNode, line: int, file: str, problems: list[Problem],
             depth: int, open_ids: set[int]) -> Entries:
    values: dict[str, Node] = {}
    key_lines: dict[str, int] = {}
    for key_node, value_node in node.value:
        key_line = key_node.start_mark.line + 1
        if not isinstance(key_node, yaml.ScalarNode):
            problems.append(Problem(file, key_line, "a key must be one word", "write `key: value`"))
            continue
        key = key_node.value
        if key in values:
            problems.append(Problem(file, key_line, f"the key '{key}' stands twice (first in line {key_lines[key]})",
                                    "keep one of them"))
            continue
        key_lines[key] = key_line
        values[key] = _plain(value_node, file, problems, depth + 1, open_ids)
    return Entries(line, values, key_lines)


def _problem_of_form(error: yaml.MarkedYAMLError, file: str) -> Problem:
    mark = error.problem_mark or error.context_mark
    line = mark.line + 1 if mark else 0
    what = _first_line(error.problem or error.context or "not readable")
    return Problem(file, line, f"this is not readable as YAML ({what})",
                   "check the indentation, the colons and the brackets near this line")


def _first_line(text: str) -> str:
    return text.strip().splitlines()[0] if text.strip() else ""
