"""Files: YAML text to plain data that remembers its line, and in our words what YAML refuses.

Every scalar stays text; none of the parser's words reaches a person.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import field
from functools import lru_cache
from typing import Any

import yaml
import yaml.reader
from yaml.composer import Composer

from firstway.files.slips import UNSEEN, seen, slip_before, unseen_name
from firstway.frozen import dataclass
from firstway.problems import Problem


def problem_of_form(error: yaml.MarkedYAMLError, text: str, file: str) -> Problem:
    """The slip of the hand where one is seen; else what YAML refused, never in its own words."""
    what = error.problem or error.context or ""
    mark = error.context_mark if _OPEN_QUOTE in what else error.problem_mark or error.context_mark
    line = mark.line + 1 if mark else 1
    slip = slip_before(text, line)
    if slip is not None:
        return Problem(file, slip.line, slip.message, slip.hint)
    if (
        "cannot start any token" in what
        and error.problem_mark
        and not text[error.problem_mark.index :].startswith("\t")
    ):
        return Problem(
            file, line, f"a value cannot begin with `{text[error.problem_mark.index]}`", _QUOTED
        )
    message, hint = next(
        (words for part, words in _IN_OUR_WORDS.items() if part in what), _NO_WORDS
    )
    return Problem(file, min(line, text.count("\n") + 1), message, hint)


_OPEN_QUOTE = "unexpected end of stream"
_NO_WORDS = (
    "this line cannot be read",
    "check its indentation, its colons, brackets and quotes, and those of the line above",
)
_QUOTED = "put quotes around the value"
_IN_OUR_WORDS = {
    "'\\t'": ("a tab stands where only spaces can", "indent with spaces"),
    "mapping values are not allowed": (
        "a colon stands where none can",
        "put quotes around text that holds a colon; check the indentation above",
    ),
    "mapping keys are not allowed": (
        "a question mark stands where none can",
        "remove it, or put quotes around the text",
    ),
    "sequence entries are not allowed": (
        "a dash stands where no list can begin",
        "begin the list on a line of its own",
    ),
    "expected ',' or": (
        "a comma, or a closing bracket or brace, is missing",
        "check the brackets, braces and commas",
    ),
    "expected <block end>": (
        "this line does not fit the lines above",
        "check its indentation, and the brackets before it",
    ),
    "could not find expected ':'": ("a key has no colon", "write `key: value`"),
    "the node content": (
        "a value is missing before this place",
        "write it, or remove the comma or the bracket",
    ),
    "escape character": ("a backslash stands where none can", "use single quotes, or leave it out"),
    "escape sequence": ("a backslash stands where none can", "use single quotes, or leave it out"),
    "alphabetic or numeric": ("a value cannot begin with this sign", _QUOTED),
    "indentation indicator": (
        "after `|` or `>` the text begins on the next line",
        "put a line break there",
    ),
    "a comment or a line break": (
        "after `|` or `>` the text begins on the next line",
        "put a line break there",
    ),
    "tag handle": ("a value cannot begin with `!`", _QUOTED),
    "URI": ("a value cannot begin with `!`", _QUOTED),
    "document start": (
        "this line does not belong to what stands above",
        "check its indentation; remove lines that begin with %",
    ),
    "document separator": ("a quotation that begins above is not closed", "close it"),
    _OPEN_QUOTE: (
        "a quotation that begins here is not closed",
        "close it, or put the text in the other kind of quotes",
    ),
}


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
    values: dict[str, Node] = field(default_factory=dict)
    key_lines: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True)
class Items:
    """A list."""

    line: int
    values: tuple[Node, ...] = ()

    def __iter__(self) -> Iterator[Node]:
        return iter(self.values)


Node = Text | Entries | Items


def data_from_yaml(text: str, file: str) -> tuple[Node | None, list[Problem]]:
    """Read YAML text; give the data and every problem of its form.

    `file` names the text in problems. Tags, anchors and more than one document are
    refused: an installation is plain data. The data is None where nothing could be read.
    """
    if len(text.encode("utf-8", "replace")) > LARGEST_FILE_BYTES:
        return None, [
            Problem(
                file,
                0,
                f"the file is larger than {LARGEST_FILE_BYTES} bytes",
                "keep one installation in one file",
            )
        ]
    if (broken := _LINE_BREAKS.search(text)) is not None:
        line = text.count("\n", 0, broken.start()) + 1
        hidden = f"an invisible character ({unseen_name(broken[0])}) stands in this line"
        return None, [Problem(file, line, hidden, "delete it")]
    try:
        nodes, refused = _composed(text)
    except _TooDeep as deep:
        deeper = f"brackets or parts stand more than {DEEPEST_NESTING} deep in one another"
        return None, [Problem(file, deep.line, deeper, "close what is open above this place")]
    except yaml.MarkedYAMLError as error:
        return None, [problem_of_form(error, text, file)]
    except yaml.reader.ReaderError as error:
        line = text.count("\n", 0, error.position) + 1
        what = f"the character U+{ord(text[error.position]):04X} is not allowed"
        return None, [Problem(file, line, what, "remove it")]
    if not nodes:
        return None, [Problem(file, 1, "the file is empty", "begin with `title:`")]
    if len(nodes) > 1:
        line = nodes[1].start_mark.line + 1
        return None, [Problem(file, line, "a second document begins here", "remove the line `---`")]
    if refused:
        return None, sorted({Problem(file, *each) for each in refused})
    problems: list[Problem] = []
    return _plain(nodes[0], file, problems), problems


def node_of(text: str) -> yaml.Node:
    """The first document of a text that `data_from_yaml` read without a problem, with the place of
    each value in it; not to be changed.
    """
    return _composed_by(_Loader, text)[0][0]


# Characters that steer a terminal or turn the direction of reading.
_HIDDEN = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")
# Line breaks to YAML but to no editor: every line below would be counted one too far.
_LINE_BREAKS = re.compile("[\x85\u2028\u2029]")
_TAGS_OF_YAML = "tag:yaml.org,2002:"
_NO_ALIAS = "write the values where they are used; put quotes around text that begins with * or &"


_Refused = tuple[int, str, str]
"""Its line, what is refused, and a hint."""
_Composed = tuple[tuple[yaml.Node, ...], tuple[_Refused, ...]]


class _TooDeep(Exception):
    def __init__(self, line: int) -> None:
        self.line = line


class _Composing(Composer):
    """Composes plain data only, of the events of either parser.

    Tags, anchors and aliases are kept as (line, what, hint); nothing is ever expanded.
    """

    refused: list[_Refused]
    depth: int = 0
    peek_event: Any  # of the parser
    get_event: Any

    def resolve(self, kind: Any, value: Any, implicit: Any) -> str:
        return ""  # every scalar stays text: nobody asks what else it may be

    def descend_resolver(self, current_node: Any, current_index: Any) -> None: ...

    def ascend_resolver(self) -> None: ...

    def compose_node(self, parent: yaml.Node | None, index: Any) -> yaml.Node | None:
        event = self.peek_event()
        begin, end = event.start_mark, event.end_mark
        line = begin.line + 1
        tag, anchor = getattr(event, "tag", None), getattr(event, "anchor", None)
        if tag is not None:
            self.refuse(
                line,
                f"the tag '{tag.replace(_TAGS_OF_YAML, '!!')}' is not allowed",
                "write the plain value",
            )
        if isinstance(event, yaml.AliasEvent):
            self.refuse(line, f"the alias '*{anchor}' is not allowed", _NO_ALIAS)
            self.get_event()
            return yaml.ScalarNode("", "", begin, end)
        if anchor is not None:
            self.refuse(line, f"the anchor '&{anchor}' is not allowed", _NO_ALIAS)
            event.anchor = None
        if isinstance(event, yaml.ScalarEvent) and (hidden := _HIDDEN.search(event.value)):
            self.refuse(line, f"the character U+{ord(hidden[0]):04X} is not allowed", "remove it")
        if isinstance(parent, yaml.MappingNode) and index is None:
            self.look_at_key(event, line)
        if self.depth > DEEPEST_NESTING:
            raise _TooDeep(line)
        self.depth += 1
        node = super().compose_node(parent, index)
        self.depth -= 1
        return node

    def look_at_key(self, event: yaml.Event, line: int) -> None:
        """A key that is no plain word would be lost, and all below it would be called missing."""
        unseen = UNSEEN.search(event.value) if isinstance(event, yaml.ScalarEvent) else None
        if isinstance(event, yaml.ScalarEvent) and event.style:
            return
        if unseen is not None:
            self.refuse(
                line,
                f"an invisible character ({unseen_name(unseen[0])}) stands in"
                f" '{seen(unseen.string)}'",
                "delete it, and type a space where one belongs",
            )
        elif isinstance(event, yaml.ScalarEvent) and not event.value:
            self.refuse(
                line,
                "a question mark or a colon stands without a key",
                "write `key: value`, or remove it",
            )
        elif isinstance(event, yaml.MappingStartEvent) and not event.flow_style:
            self.refuse(
                line, "a question mark stands before the key", "remove it; write `key: value`"
            )
        elif not isinstance(event, yaml.ScalarEvent):
            self.refuse(
                line, "brackets stand where a key belongs", "write `key: value`; a key is one word"
            )

    def refuse(self, line: int, what: str, hint: str) -> None:
        self.refused.append((line, what, hint))


class _Loader(_Composing, yaml.SafeLoader):
    """The parser that is whole Python, whose words for what it refuses we know."""


_LOADERS: tuple[Any, ...] = (_Loader,)
if yaml.__with_libyaml__:

    class _QuickLoader(_Composing, yaml.CSafeLoader):
        """libyaml, which comes with PyYAML and reads ten times as fast."""

        brackets = 0

        def __init__(self, text: str) -> None:
            _Composing.__init__(self)
            yaml.CSafeLoader.__init__(self, text)

        def compose_node(self, parent: yaml.Node | None, index: Any) -> yaml.Node | None:
            event: Any = self.peek_event()
            plain = isinstance(event, yaml.ScalarEvent) and not event.style
            if self.brackets and plain and "?" in event.value:
                raise yaml.YAMLError("the other parser refuses it between brackets")
            opens = bool(getattr(event, "flow_style", False))
            self.brackets += opens
            node = super().compose_node(parent, index)
            self.brackets -= opens
            return node

    _LOADERS = (_QuickLoader, _Loader)


# A tab, a mark of the order of bytes inside, a question mark that stands alone, a value left out
# before a bracket in the next line, a comment right behind the mark of a block of text: there the
# parsers differ in what they refuse, or in a line.
_DOUBTFUL = re.compile(
    r"\t|(?<!^)\ufeff|(?m:(?:^|[-\[{,]) *\?(?:\s|$))|:[ ]*(?:#[^\n]*)?\n\s*[}\],]|[|>][-+0-9]*#"
)


def _composed(text: str) -> _Composed:
    """The documents of a text. What the quick parser refuses, or may take otherwise than the other,
    is read by the other, whose words for it we know.
    """
    for quick in _LOADERS[:-1] if not _DOUBTFUL.search(text) else ():
        with suppress(yaml.YAMLError, UnicodeError, _TooDeep):
            nodes, refused = _composed_by(quick, text)
            if not refused:
                return nodes, refused
    return _composed_by(_LOADERS[-1], text)


@lru_cache(maxsize=4)  # who changes a value in a text asks for both several times
def _composed_by(loading: Any, text: str) -> _Composed:
    loader = loading(text)
    loader.refused = []
    nodes: list[yaml.Node | None] = []
    try:
        while loader.check_node():
            nodes.append(loader.get_node())
    finally:
        loader.dispose()
    return tuple(node for node in nodes if node is not None), tuple(loader.refused)


def _plain(node: yaml.Node, file: str, problems: list[Problem]) -> Node:
    line = node.start_mark.line + 1
    if isinstance(node, yaml.ScalarNode):
        return Text(node.value, line, quoted=node.style in ("'", '"'))
    if isinstance(node, yaml.MappingNode):
        return _entries(node, line, file, problems)
    return Items(line, tuple(_plain(item, file, problems) for item in node.value))


def _entries(node: yaml.MappingNode, line: int, file: str, problems: list[Problem]) -> Entries:
    values: dict[str, Node] = {}
    key_lines: dict[str, int] = {}
    for key_node, value_node in node.value:
        key, key_line = key_node.value, key_node.start_mark.line + 1
        if key in values:
            twice = f"the key '{key}' stands twice (first in line {key_lines[key]})"
            problems.append(Problem(file, key_line, twice, "keep one of them"))
            continue
        key_lines[key] = key_line
        values[key] = _plain(value_node, file, problems)
    return Entries(line, values, key_lines)


def value_of_yaml(text: str) -> Any:
    """One value as an editor's YAML reads it: a number is a number; a day stays text."""
    return yaml.load(text, _PlainLoader)


class _PlainLoader(yaml.SafeLoader):
    """YAML's core schema: days are text, and so is `no`."""

    yaml_implicit_resolvers = {
        first: [
            each for each in resolvers if each[0].rpartition(":")[2] not in ("timestamp", "bool")
        ]
        for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }


_PlainLoader.add_implicit_resolver(
    f"{_TAGS_OF_YAML}bool", re.compile("(?:true|false)\\Z"), list("tf")
)
