"""Pages: the words and symbols of the guide, read from content/glossary.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from firstway.files.yaml_reader import Node, Text, data_from_yaml
from firstway.pages.shared.citing import source_title
from firstway.pages.shared.markup import html_identity
from firstway.pages.shared.notes_on_tap import Note
from firstway.problems import Problem
from firstway.quiz.bank.keys import Keys, Reader, keys_of, suggestion
from firstway.rendering.symbols import unit_text
from firstway.tables.reading import sources

GLOSSARY_FILE = "content/glossary.yaml"


@dataclass(frozen=True)
class Entry:
    """A word.

    `also` are its other spellings and forms; `symbol` as in the formulas (`V_d`); `origin` says
    where it is defined.
    """

    term: str
    meaning: str
    also: tuple[str, ...] = ()
    symbol: str = ""
    unit: str = ""
    origin: str = ""
    line: int = 0

    @property
    def id(self) -> str:
        return html_identity("word", self.term).lower()

    @property
    def note(self) -> Note:
        also = f'<p class="cite">Also: {escape(", ".join(self.also))}.</p>' if self.also else ""
        return Note(self.id, self.term, f"<p>{escape(self.meaning)}</p>{also}{self.origin_html}")

    @property
    def origin_html(self) -> str:
        """Unit and origin in one line."""
        words = [f"Unit: {unit_text(self.unit)}."] if self.unit else []
        words += [f"{self.origin.rstrip('.')}."] if self.origin else []
        return f'<p class="cite">{escape(" ".join(words))}</p>' if words else ""


def glossary_from_yaml(text: str, file: str) -> tuple[tuple[Entry, ...], list[Problem]]:
    """Every entry in the order of the file, and every problem of it."""
    data, problems = data_from_yaml(text, file)
    reader = Reader(file, list(problems))
    top = keys_of(reader, data, "the glossary") if data is not None else None
    if top is None:
        return (), sorted(reader.problems)
    entries = tuple(
        entry for node in top.items("words", required=True) if (entry := _entry(reader, node))
    )
    top.finish()
    _once(reader, entries)
    return entries, sorted(set(reader.problems))


def _entry(reader: Reader, node: Node) -> Entry | None:
    keys = keys_of(reader, node, "a word")
    if keys is None:
        return None
    term = keys.text("term", required=True)
    keys.what = f"the word '{term}'"
    meaning, symbol, unit = (
        keys.text("meaning", required=True),
        keys.text("symbol"),
        keys.text("unit"),
    )
    also = tuple(item for node in keys.items("also") if (item := _text(keys, node)))
    source, standard = keys.text("source"), keys.text("standard")
    keys.finish()
    if source and source not in sources():
        reader.say(
            keys.line_of("source"),
            f"{keys.what}: there is no source '{source}'",
            suggestion(source, list(sources())) or "add it to sources.csv",
        )
    if not source and not standard:
        reader.say(
            keys.line,
            f"{keys.what} names no origin",
            "add `source:` (an id of sources.csv) or `standard:` (in words, or common practice)",
        )
    return (
        Entry(term, meaning, also, symbol, unit, standard or source_title(source), keys.line)
        if term and meaning
        else None
    )


def _text(keys: Keys, node: Node) -> str:
    if isinstance(node, Text):
        return node.text.strip()
    keys.reader.say(
        node.line, f"{keys.what}: another form must be one text", "write it on one line"
    )
    return ""


def _once(reader: Reader, entries: tuple[Entry, ...]) -> None:
    seen: dict[str, int] = {}
    for entry in entries:
        for name in (entry.term, *entry.also):
            first = seen.setdefault(name.lower(), entry.line)
            if first != entry.line:
                reader.say(
                    entry.line,
                    f"the word '{name}' stands twice (first in line {first})",
                    "keep one of them",
                )
