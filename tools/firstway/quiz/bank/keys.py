"""Quiz: reading keys and values of a quiz file, each complaint with its line."""

from __future__ import annotations

import difflib
import re
from dataclasses import dataclass, field
from math import isfinite

from firstway.files.yaml_reader import Entries, Items, Node, Text
from firstway.problems import Problem

ID_FORM = re.compile(r"[a-z0-9]+(?:[.-][a-z0-9]+)*\Z")
_NUMBER_FORM = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)(?:[eE][+-]?[0-9]{1,3})?\Z")
_LONGEST_TEXT = 4000


@dataclass
class Reader:
    """The file being read and what was found wrong in it so far."""

    file: str
    problems: list[Problem] = field(default_factory=list)

    def say(self, line: int, message: str, hint: str) -> None:
        self.problems.append(Problem(self.file, line, message, hint))


@dataclass
class Keys:
    """One mapping: asks for its keys one by one; `finish` complains of the rest."""

    reader: Reader
    entries: Entries
    what: str
    asked: list[str] = field(default_factory=list)

    @property
    def line(self) -> int:
        return self.entries.line

    def line_of(self, key: str) -> int:
        return self.entries.key_lines.get(key, self.entries.line)

    def node(self, key: str, required: bool = False) -> Node | None:
        self.asked.append(key)
        found = self.entries.values.get(key)
        if found is None and required:
            self.reader.say(self.line, f"{self.what}: '{key}' is missing", f"add `{key}:`")
        return found

    def text(self, key: str, required: bool = False) -> str:
        node = self.node(key, required)
        if node is None:
            return ""
        if not isinstance(node, Text):
            self.reader.say(
                self.line_of(key),
                f"{self.what}: '{key}' must be one text",
                "write it on one line, or after `>-`",
            )
            return ""
        if not node.text.strip():
            self.reader.say(
                self.line_of(key), f"{self.what}: '{key}' is empty", "write it, or remove the key"
            )
        if len(node.text) > _LONGEST_TEXT:
            self.reader.say(
                self.line_of(key),
                f"{self.what}: '{key}' is longer than {_LONGEST_TEXT} characters",
                "shorten it",
            )
            return ""
        return node.text.strip()

    def identity(self, key: str, required: bool = True) -> str:
        text = self.text(key, required)
        if text and not ID_FORM.match(text):
            self.reader.say(
                self.line_of(key),
                f"{self.what}: '{key}' is '{text[:60]}'",
                "use small letters, digits, dots and hyphens",
            )
            return ""
        return text

    def choice(self, key: str, choices: tuple[str, ...], required: bool = True) -> str:
        text = self.text(key, required)
        if text and text not in choices:
            self.reader.say(
                self.line_of(key),
                f"{self.what}: '{key}' is '{text[:60]}'",
                suggestion(text, choices) or f"write one of: {', '.join(choices)}",
            )
            return ""
        return text

    def flag(self, key: str) -> bool:
        return self.choice(key, ("true", "false"), required=False) == "true"

    def number(self, key: str, required: bool = False) -> float | None:
        text = self.text(key, required)
        if not text:
            return None
        if not _NUMBER_FORM.match(text):
            self.reader.say(
                self.line_of(key),
                f"{self.what}: '{key}' is '{text[:60]}', not a number",
                "write digits with a decimal point",
            )
            return None
        if not isfinite(float(text)):
            self.reader.say(
                self.line_of(key),
                f"{self.what}: '{key}' is {text[:60]}, larger than any figure here",
                "write the figure that is meant",
            )
            return None
        return float(text)

    def items(self, key: str, required: bool = False) -> tuple[Node, ...]:
        node = self.node(key, required)
        if node is None:
            return ()
        if not isinstance(node, Items):
            self.reader.say(
                self.line_of(key),
                f"{self.what}: '{key}' must be a list",
                "begin each entry with `- `",
            )
            return ()
        return node.values

    def inner(self, key: str, required: bool = False) -> Keys | None:
        node = self.node(key, required)
        if node is None:
            return None
        return keys_of(self.reader, node, f"{self.what}, {key}", self.line_of(key))

    def finish(self) -> None:
        for key in self.entries.values:
            if key not in self.asked:
                self.reader.say(
                    self.line_of(key),
                    f"{self.what}: unknown key '{key[:60]}'",
                    suggestion(key, self.asked) or f"the keys are: {', '.join(self.asked)}",
                )


def keys_of(reader: Reader, node: Node, what: str, line: int | None = None) -> Keys | None:
    """The node as keys with values, or None with a problem."""
    if isinstance(node, Entries):
        return Keys(reader, node, what)
    reader.say(
        line or node.line, f"{what}: keys with values are expected here", "write `key: value` lines"
    )
    return None


def suggestion(word: str, known: list[str] | tuple[str, ...]) -> str:
    """`did you mean 'length_m'?` for a near miss, else nothing."""
    near = difflib.get_close_matches(word, known, n=1, cutoff=0.6)
    return f"did you mean '{near[0]}'?" if near else ""
