"""Pages: what the file says: every key of every kind of file, made from its declaration."""

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from firstway.files.plain_values import NAME_FORMS, unit_of_key
from firstway.files.schema import sections_below, sections_inside
from firstway.files.specs import (
    AsWritten,
    ByName,
    Day,
    Flag,
    Name,
    Names,
    Number,
    Prose,
    Section,
    SectionOrText,
    Sections,
    SectionsByWord,
    SectionsOrNames,
    Spec,
    Texts,
    Word,
    WordList,
    specs_of,
)
from firstway.model.values import ABSENT_MEANINGS, UNKNOWN
from firstway.pages.shared.declared_files import DECLARED_FILES, DeclaredFile
from firstway.pages.shared.sheet import PageSheet, part_mark
from firstway.rendering.figures import unit_text
from firstway.rendering.html import (
    Markup,
    caution_fold_html,
    escape,
    html_identity,
    joined,
    list_html,
    path_words,
    tag,
)

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


def keys_pages() -> list[PageSheet]:
    """A page for each kind of file."""
    return [_page(each) for each in DECLARED_FILES]


def _page(file: DeclaredFile) -> PageSheet:
    parts = {
        "caution": caution_fold_html(),
        "words": _words_html(file),
        "keys": _index_html(file) + _sections_html(file),
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
            many = "" if isinstance(spec.kind, Section | SectionOrText) else ".NAME"
            start = f"{found[of][0]}." if found[of] else ""
            for each in sections_inside(spec.kind):
                found[each].append(f"{start}{name}{many}")
    return {of: list(dict.fromkeys(paths)) for of, paths in found.items()}


def _common_of(file: DeclaredFile) -> dict[type, type]:
    """Sections of one kind among several, each with the one that holds what all of them have."""
    return {
        each: spec.kind.common
        for of in sections_below(file.of)
        for spec in specs_of(of).values()
        if isinstance(spec.kind, SectionsByWord)
        for each in spec.kind.of.values()
    }


def _words_html(file: DeclaredFile) -> Markup:
    """The words that may stand instead of a value, where the file has any."""
    used = {
        each
        for of in sections_below(file.of)
        for spec in specs_of(of).values()
        for each in spec.instead
    }
    items = [
        Markup("<code>{}</code>: {}").format(word.value, meaning)
        for word, meaning in ABSENT_MEANINGS.items()
        if word in used
    ]
    if not items:
        return Markup()
    return tag(
        "p",
        (
            "A word may stand instead of a value, and each word says something else. Every key"
            " that is not required may say "
        ),
        tag("code", "unknown"),
        "; where another may stand, the key says so.",
    ) + list_html(items)


def _index_html(file: DeclaredFile) -> Markup:
    links = [_link(of, _title(of)) for of in sections_below(file.of)]
    if len(links) < 2:
        return Markup()
    return tag("nav", joined(links, " "), class_="letters", aria_label="Parts of the file")


def _sections_html(file: DeclaredFile) -> Markup:
    common = _common_of(file)
    return joined(
        _section_html(of, paths, common.get(of)) for of, paths in _sections_of(file).items()
    )


def _section_html(of: type, paths: list[str], common: type | None) -> Markup:
    stands = Markup("Stands at {}.").format(joined(map(path_words, paths), ", ")) if paths else ""
    shared = specs_of(common) if common is not None else {}
    beside = Markup("It has also the keys of {}.").format(_link(common)) if common else ""
    keys = joined(
        _key_html(of, name, spec) for name, spec in specs_of(of).items() if name not in shared
    )
    told = joined(filter(None, (stands, beside)), " ")
    return tag(
        "section",
        tag("h2", _title(of), id=_section_id(of)),
        tag("p", told, class_="cite") if told else "",
        tag("div", keys, class_="words keys"),
    )


def _key_html(of: type, name: str, spec: Spec) -> Markup:
    marks = [unit_text(unit_of_key(name)), "required" if spec.required else ""]
    beside = ", ".join(filter(None, marks))
    example = (
        Markup("For example <code>{}</code>.").format(f"{name}: {spec.example}")
        if spec.example
        else ""
    )
    told = joined(filter(None, (_sentence(may_stand(name, spec)), _when(spec), example)), " ")
    return tag(
        "div",
        tag(
            "p",
            tag("code", name),
            Markup(" <span class=also>{}</span>").format(beside) if beside else "",
        ),
        tag("p", _coded(_sentence(escape(spec.meaning)))),
        tag("p", told),
        id=key_id(of, name),
    )


def key_id(of: type, name: str) -> str:
    """The anchor of a key."""
    return html_identity("key", _title(of), name).lower()


def _section_id(of: type) -> str:
    return html_identity("section", _title(of)).lower()


def _title(of: type) -> str:
    """A section as words: `ServiceDevice` is Service device, `WrittenSpot` is Spot."""
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", of.__name__.removeprefix("Written"))
    return words[:1] + words[1:].lower()


def _sentence(html: Markup) -> Markup:
    return html[:1].upper() + html[1:] + "."


def _coded(html: Markup) -> Markup:
    return Markup(re.sub(r"`([^`]*)`", r"<code>\1</code>", str(html)))


def _when(spec: Spec) -> str:
    return f"Where: {spec.when}." if spec.when else ""


# What may stand there


def may_stand(name: str, spec: Spec) -> Markup:
    """What a key may hold, without a full stop."""
    kind = _OF_KIND[type(spec.kind)](spec.kind, unit_text(unit_of_key(name)))
    of = Markup(" of <code>{}</code>").format(spec.names) if spec.names else ""
    words = [each.value for each in spec.instead if each != UNKNOWN]
    instead = "; or " + _any_of(words) if words else ""
    return joined((kind, of, instead))


def _any_of(words: Iterable[str]) -> Markup:
    *first, last = [tag("code", each) for each in words]
    return joined(first, ", ") + " or " + last if first else last


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


def _sections(kind: Sections, _: str) -> Markup:
    long = f"{kind.at_least} to {kind.at_most}" if kind.at_least else f"up to {kind.at_most}"
    return Markup("a list of {}, {} of them").format(_link(kind.of), long)


def _by_word(kind: SectionsByWord, _: str) -> Markup:
    links = joined((_link(of, word) for word, of in kind.of.items()), ", ")
    return Markup("a list, its keys by <code>{}</code>: {}").format(kind.key, links)


def _link(of: type, text: str = "") -> Markup:
    return tag("a", text or _title(of).lower(), href=f"#{_section_id(of)}")


_OF_KIND: Mapping[type, Callable[[Any, str], str]] = {
    Number: _number,
    Word: lambda kind, _: _any_of(kind.choices),
    WordList: lambda kind, _: "a list of " + _any_of(kind.choices),
    Name: lambda kind, _: f"a name of {NAME_FORMS[kind.form][1]}",
    Names: lambda kind, _: "a list of names",
    Texts: lambda kind, _: "a list of texts",
    Prose: lambda kind, _: "a text",
    Day: lambda kind, _: "a day, written year-month-day",
    Flag: lambda kind, _: _any_of(("true", "false")),
    Section: lambda kind, _: Markup("the keys of {}").format(_link(kind.of)),
    Sections: _sections,
    SectionsOrNames: lambda kind, _: Markup("a list of names and {}").format(_link(kind.of)),
    SectionsByWord: _by_word,
    SectionOrText: lambda kind, _: Markup("a text, or the keys of {}").format(_link(kind.of)),
    ByName: lambda kind, unit: (
        "names or paths, each with " + _OF_KIND[type(kind.of)](kind.of, unit)
    ),
    AsWritten: lambda kind, _: "keys with values",
}
