"""Pages: the words and symbols of the guide, read from content/glossary.yaml."""

from __future__ import annotations

from collections.abc import Iterator

from firstway.files.plain_values import suggestion
from firstway.files.specs import Prose, Sections, Texts, key
from firstway.files.typed_reader import section_from_yaml
from firstway.frozen import dataclass
from firstway.pages.shared.notes_on_tap import Note
from firstway.problems import Problem
from firstway.rendering.citing import source_title
from firstway.rendering.figures import unit_text
from firstway.rendering.html import Markup, html_identity, tag
from firstway.tables.reading import sources

GLOSSARY_FILE = "content/glossary.yaml"
MOST_TERMS = 1000


@dataclass(frozen=True)
class Entry:
    """A word or a symbol of the guide."""

    term: str = key(Prose(), "the word as a chapter writes it", "RCBO", required=True)
    meaning: str = key(
        Prose(),
        "one or two plain sentences; no figure with a unit",
        "One device that does the work of two.",
        required=True,
    )
    also: tuple[str, ...] = key(Texts(), "other spellings and forms", "[conductor temperature]")
    symbol: str = key(Prose(), "as in the formulas", "V_d", when="a quantity")
    unit: str = key(Prose(), "its unit", "kV/m", when="a quantity")
    source: str = key(Prose(), "where it is defined: an id of sources.csv", "bs7671")
    standard: str = key(
        Prose(),
        "the same in words: a standard, `common practice`, or `this guide` for words of our own",
        "IEC 60364-5-52",
    )
    line: int = 0

    @property
    def origin(self) -> str:
        """Where it is defined."""
        return self.standard or source_title(self.source)

    @property
    def id(self) -> str:
        return html_identity("word", self.term).lower()

    @property
    def note(self) -> Note:
        also = tag("p", f"Also: {', '.join(self.also)}.", class_="cite") if self.also else ""
        return Note(self.id, self.term, (tag("p", self.meaning) + also + self.origin_html))

    @property
    def origin_html(self) -> Markup:
        """Unit and origin in one line."""
        words = [f"Unit: {unit_text(self.unit)}."] if self.unit else []
        words += [f"{self.origin.rstrip('.')}."] if self.origin else []
        return tag("p", " ".join(words), class_="cite") if words else Markup()


@dataclass(frozen=True)
class Glossary:
    """Every word and symbol of the guide, once."""

    words: tuple[Entry, ...] = key(
        Sections(Entry, at_most=MOST_TERMS), "the words in the order of the page", required=True
    )


def glossary_from_yaml(text: str, file: str) -> tuple[tuple[Entry, ...], list[Problem]]:
    """Every entry in the order of the file, and every problem of it."""
    glossary, problems = section_from_yaml(text, file, Glossary)
    entries = glossary.words if glossary is not None else ()
    problems += [*_origins(entries, file), *_once(entries, file)]
    return (() if problems else entries), sorted(set(problems))


def _origins(entries: tuple[Entry, ...], file: str) -> Iterator[Problem]:
    for entry in entries:
        if entry.source and entry.source not in sources():
            yield Problem(
                file,
                entry.line,
                f"the word '{entry.term}': there is no source '{entry.source}'",
                suggestion(entry.source, list(sources())) or "add it to sources.csv",
            )
        if not entry.source and not entry.standard:
            yield Problem(
                file,
                entry.line,
                f"the word '{entry.term}' names no origin",
                "add `source:` (an id of sources.csv) or `standard:` (in words, or common"
                " practice)",
            )


def _once(entries: tuple[Entry, ...], file: str) -> Iterator[Problem]:
    seen: dict[str, int] = {}
    for entry in entries:
        for name in (entry.term, *entry.also):
            first = seen.setdefault(name.lower(), entry.line)
            if first != entry.line:
                yield Problem(
                    file,
                    entry.line,
                    f"the word '{name}' stands twice (first in line {first})",
                    "keep one of them",
                )
