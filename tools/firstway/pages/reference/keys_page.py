"""Pages: what the file says: every key of every kind of file, made from its declaration."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from html import escape
from typing import Any

from firstway.files.near_figures import unit_of_key
from firstway.files.schema import sections_below
from firstway.files.specs import (
    AsWritten,
    Day,
    Flag,
    Name,
    Names,
    Number,
    Prose,
    Section,
    Sections,
    SectionsOrNames,
    Spec,
    Texts,
    Word,
    WordByPath,
    Words,
    specs_of,
)
from firstway.model.values import ABSENT_MEANINGS, UNKNOWN
from firstway.pages.shared.declared_files import DECLARED_FILES, DeclaredFile
from firstway.pages.shared.markup import html_identity, list_html, path_words
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.caution import caution_html
from firstway.rendering.symbols import unit_text

_TEXT = """\
---
search:
  exclude: true
---
# What the file says: {name}

For whoever writes a file for this guide and wants to know what a key means. The file is
`{where}`: {about}.
{{ .for }}

{caution}

{words}

{keys}
"""
_HOW_LONG_A_LIST = "up to {} of them"


def keys_pages() -> list[PageSheet]:
    """A page for each kind of file."""
    return [_page(each) for each in DECLARED_FILES]


def _page(file: DeclaredFile) -> PageSheet:
    parts = {
        "caution": caution_html(),
        "words": _words_html(file),
        "keys": _index_html(file) + "".join(map(_section_html, _sections_of(file).items())),
    }
    return PageSheet(
        f"what-the-file-says/{file.name}.md",
        f"What the file says: {file.name}",
        _TEXT.format(
            name=file.name,
            where=file.where,
            about=file.about,
            **{name: part_mark(name) for name in parts},
        ),
        parts,
        f"Every key of {file.where}: what it is, what may stand there, and an example.",
    )


def _sections_of(file: DeclaredFile) -> dict[type, list[str]]:
    """Every section of a file with the paths it stands at, in the order of the file."""
    found: dict[type, list[str]] = {each: [] for each in sections_below(file.of)}
    for of in found:
        for name, spec in specs_of(of).items():
            if isinstance(spec.kind, Section | Sections | SectionsOrNames):
                many = "" if isinstance(spec.kind, Section) else ".NAME"
                start = f"{found[of][0]}." if found[of] else ""
                found[spec.kind.of].append(f"{start}{name}{many}")
    return found


def _words_html(file: DeclaredFile) -> str:
    """The words that may stand instead of a value, where the file has any."""
    used = {
        each
        for of in sections_below(file.of)
        for spec in specs_of(of).values()
        for each in spec.instead
    }
    items = [
        f"<code>{escape(word.value)}</code>: {escape(meaning)}"
        for word, meaning in ABSENT_MEANINGS.items()
        if word in used
    ]
    if not items:
        return ""
    return (
        "<p>A word may stand instead of a value, and each word says something else. Every key that"
        " is not required may say <code>unknown</code>; where another may stand, the key says"
        f" so.</p>{list_html(items)}"
    )


def _index_html(file: DeclaredFile) -> str:
    links = [_link(of, _title(of)) for of in sections_below(file.of)]
    if len(links) < 2:
        return ""
    return f'<nav class="letters" aria-label="Parts of the file">{" ".join(links)}</nav>'


def _section_html(section: tuple[type, list[str]]) -> str:
    of, paths = section
    stands = f'<p class="cite">Stands at {", ".join(map(path_words, paths))}.</p>' if paths else ""
    keys = "".join(_key_html(of, name, spec) for name, spec in specs_of(of).items())
    return (
        f'<section><h2 id="{_section_id(of)}">{escape(_title(of))}</h2>{stands}'
        f'<div class="words">{keys}</div></section>'
    )


def _key_html(of: type, name: str, spec: Spec) -> str:
    marks = [unit_text(unit_of_key(name)), "required" if spec.required else ""]
    beside = ", ".join(filter(None, marks))
    example = (
        f"For example <code>{escape(f'{name}: {spec.example}')}</code>." if spec.example else ""
    )
    told = " ".join(filter(None, (_sentence(may_stand(name, spec)), _when(spec), example)))
    return (
        f'<div class="word" id="{key_id(of, name)}"><p class="word-title">'
        f"<strong><code>{escape(name)}</code></strong>"
        f"{f' <span class=also>{escape(beside)}</span>' if beside else ''}</p>"
        f"<p>{_coded(_sentence(escape(spec.meaning)))}</p>"
        f'<p class="cite">{told}</p></div>'
    )


def key_id(of: type, name: str) -> str:
    """The anchor of a key."""
    return html_identity("key", _title(of), name).lower()


def _section_id(of: type) -> str:
    return html_identity("section", _title(of)).lower()


def _title(of: type) -> str:
    """A section as words: `ServiceDevice` is Service device."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", of.__name__)
    return words[:1] + words[1:].lower()


def _sentence(html: str) -> str:
    return f"{html[:1].upper()}{html[1:]}."


def _coded(html: str) -> str:
    return re.sub(r"`([^`]*)`", r"<code>\1</code>", html)


def _when(spec: Spec) -> str:
    return f"Where: {escape(spec.when)}." if spec.when else ""


# What may stand there


def may_stand(name: str, spec: Spec) -> str:
    """What a key may hold, as HTML without a full stop."""
    kind = _OF_KIND[type(spec.kind)](spec.kind, unit_text(unit_of_key(name)))
    of = f" of <code>{escape(spec.names)}</code>" if spec.names else ""
    words = [each.value for each in spec.instead if each is not UNKNOWN]
    instead = f"; or {_any_of(words)}" if words else ""
    return f"{kind}{of}{instead}"


def _any_of(words: Iterable[str]) -> str:
    *first, last = [f"<code>{escape(each)}</code>" for each in words]
    return f"{', '.join(first)} or {last}" if first else last


def _number(kind: Number, unit: str) -> str:
    unit = f" {unit}" if unit else ""
    bounds = [
        f"more than {_figure(kind.above)}" if kind.above is not None else "",
        f"{_figure(kind.at_least)} or more" if kind.at_least is not None else "",
        f"up to {_figure(kind.at_most)}{unit}" if kind.at_most is not None else "",
    ]
    usual = (
        f"; usually {_figure(kind.usual[0])} to {_figure(kind.usual[1])}{unit}"
        if kind.usual is not None
        else ""
    )
    number = "a whole number" if kind.whole else "a number"
    return f"{number}, {'0, or ' if kind.or_zero else ''}{', '.join(filter(None, bounds))}{usual}"


def _figure(value: float | None) -> str:
    return f"{value:.10g}"


def _sections(kind: Sections, _: str) -> str:
    least = "one or more " if kind.one_or_more else ""
    return f"a list of {least}{_link(kind.of)}, {_HOW_LONG_A_LIST.format(kind.at_most)}"


def _link(of: type, text: str = "") -> str:
    return f'<a href="#{_section_id(of)}">{escape(text or _title(of).lower())}</a>'


_OF_KIND: Mapping[type, Callable[[Any, str], str]] = {
    Number: _number,
    Word: lambda kind, _: _any_of(kind.choices),
    Words: lambda kind, _: f"a list of {_any_of(kind.choices)}",
    Name: lambda kind, _: (
        "a name of small letters, digits, dots and hyphens"
        if kind.small
        else "a name of letters, digits, hyphens and underscores"
    ),
    Names: lambda kind, _: "a list of names",
    Texts: lambda kind, _: "a list of texts",
    Prose: lambda kind, _: "a text",
    Day: lambda kind, _: "a day, written year-month-day",
    Flag: lambda kind, _: _any_of(("true", "false")),
    Section: lambda kind, _: f"the keys of {_link(kind.of)}",
    Sections: _sections,
    SectionsOrNames: lambda kind, _: f"a list of names and {_link(kind.of)}",
    WordByPath: lambda kind, _: f"paths of keys, each with {_any_of(kind.choices)}",
    AsWritten: lambda kind, _: "keys with values",
}
