"""Files: YAML text to plain data that remembers its line. Every scalar stays text; the model types it."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Iterator, Union

import yaml
import yaml.reader

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
    loader_problems: list[Problem] = []
    try:
        nodes = _composed(text, file, loader_problems)
    except yaml.MarkedYAMLError as error:
        return None, [_problem_of_form(error, file)]
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        return None, [Problem(file, line, f"the character U+{ord(text[error.position]):04X} is not allowed", "remove it")]
    except RecursionError:
        return None, [Problem(file, 0, "lists and keys are nested too deep", "flatten the file")]
    nodes = [node for node in nodes if node is not None]
    if not nodes:
        return None, [Problem(file, 1, "the file is empty", "begin with `title:`")]
    if len(nodes) > 1:
        line = nodes[1].start_mark.line + 1
        return None, [Problem(file, line, "a second document begins here", "remove the line `---`")]
    if loader_problems:
        return None, sorted(set(loader_problems))
    problems: list[Problem] = []
    return _plain(nodes[0], file, problems, 0), problems


# Characters that steer a terminal or turn the direction of reading.
_HIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
_TAGS_OF_YAML = "tag:yaml.org,2002:"
_NO_ALIAS = "write the values where they are used; put quotes around text that begins with * or &"


class _Loader(yaml.SafeLoader):
    """Composes plain data only: tags, anchors and aliases are kept as (line, word, hint) and nothing is ever expanded."""

    refused: list[tuple[int, str, str]]

    def compose_node(self, parent: yaml.Node | None, index: object) -> yaml.Node | None:
        event = self.peek_event()
        line = event.start_mark.line + 1
        tag, anchor = getattr(event, "tag", None), getattr(event, "anchor", None)
        if tag is not None:
            self.refused.append((line, f"tag '{tag.replace(_TAGS_OF_YAML, '!!')}'", "write the plain value"))
        if isinstance(event, yaml.AliasEvent):
            self.refused.append((line, f"alias '*{anchor}'", _NO_ALIAS))
            self.get_event()
            return yaml.ScalarNode("", "", event.start_mark, event.end_mark)
        if anchor is not None:
            self.refused.append((line, f"anchor '&{anchor}'", _NO_ALIAS))
            event.anchor = None
        if isinstance(event, yaml.ScalarEvent) and (hidden := _HIDDEN.search(event.value)):
            self.refused.append((line, f"character U+{ord(hidden[0]):04X}", "remove it"))
        return super().compose_node(parent, index)


def _composed(text: str, file: str, problems: list[Problem]) -> list[yaml.Node | None]:
    loader = _Loader(text)
    loader.refused = []
    nodes = []
    try:
        while loader.check_node():
            nodes.append(loader.get_node())
    finally:
        loader.dispose()
    problems += [Problem(file, line, f"the {word} is not allowed", hint) for line, word, hint in loader.refused]
    return nodes


def _plain(node: yaml.Node, file: str, problems: list[Problem], depth: int) -> Node:
    line = node.start_mark.line + 1
    if depth > DEEPEST_NESTING:
        problems.append(Problem(file, line, "lists and keys are nested too deep", "flatten the file"))
        return Text("", line)
    if isinstance(node, yaml.ScalarNode):
        return Text(node.value, line, quoted=node.style in ("'", '"'))
    if isinstance(node, yaml.SequenceNode):
        return Items(line, tuple(_plain(item, file, problems, depth + 1) for item in node.value))
    return _entries(node, line, file, problems, depth)


def _entries(node: yaml.MappingNode, line: int, file: str, problems: list[Problem], depth: int) -> Entries:
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
        values[key] = _plain(value_node, file, problems, depth + 1)
    return Entries(line, values, key_lines)


def _problem_of_form(error: yaml.MarkedYAMLError, file: str) -> Problem:
    what = _first_line(error.problem or error.context or "not readable")
    mark = error.context_mark if _OPEN_QUOTE in what else error.problem_mark or error.context_mark
    line = mark.line + 1 if mark else 0
    for word, (message, hint) in _IN_OUR_WORDS.items():
        if word in what:
            return Problem(file, line, message, hint)
    return Problem(file, line, f"this is not readable as YAML ({what})",
                   "check the indentation, the colons and the brackets near this line")


_OPEN_QUOTE = "unexpected end of stream"
_IN_OUR_WORDS = {
    "'\\t'": ("a tab stands where only spaces can", "indent with spaces"),
    "mapping values are not allowed": ("a colon stands where none can",
                                       "put quotes around text that holds a colon; check the indentation above"),
    "expected ',' or": ("a bracket or a brace that begins above is not closed", "check the brackets, braces and commas"),
    "expected <block end>": ("this line does not fit the lines above", "check its indentation, and the brackets before it"),
    "could not find expected ':'": ("a key has no colon", "write `key: value`"),
    _OPEN_QUOTE: ("a quotation that begins here is not closed", "close it, or put the text in the other kind of quotes"),
}


def _first_line(text: str) -> str:
    return text.strip().splitlines()[0] if text.strip() else ""
