"""Files: the declared keys of a file as a JSON Schema (2020-12), for any editor that knows them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from firstway.files.plain_values import NAME_FORMS
from firstway.files.specs import (
    LONGEST_TEXT,
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
from firstway.files.yaml_reader import value_of_yaml

DIALECT = "https://json-schema.org/draft/2020-12/schema"
# What an editor may take for a number or for truth is text to the reader: `edition: 2023`.
_TEXT: Mapping[str, Any] = {
    "type": ["string", "number", "boolean"],
    "pattern": "\\S",
    "maxLength": LONGEST_TEXT,
}
Schema = dict[str, Any]


def schema_of(of: type, name: str, title: str, *, is_list: bool = False) -> Schema:
    """The schema of one kind of file: keys with values, or a list of such."""
    sections = {each.__name__: _section(each) for each in sections_below(of)}
    whole: Schema = (
        {"type": "array", "items": _reference(of)} if is_list else sections.pop(of.__name__)
    )
    return {
        "$schema": DIALECT,
        "$id": f"urn:firstway:{name}",
        "title": title,
        **whole,
        "$defs": sections,
    }


def sections_inside(kind: Any) -> tuple[type, ...]:
    """The classes of the sections that a key holds."""
    if isinstance(kind, SectionsByWord):
        return (kind.common, *kind.of.values())
    if isinstance(kind, ByName):
        return sections_inside(kind.of)
    holds = isinstance(kind, Section | Sections | SectionsOrNames | SectionOrText)
    return (kind.of,) if holds else ()


def sections_below(of: type) -> list[type]:
    """A section and all inside it, each once, in the order of the file."""
    found = [of]
    for spec in specs_of(of).values():
        for each in sections_inside(spec.kind):
            found += [below for below in sections_below(each) if below not in found]
    return found


def _section(of: type) -> Schema:
    specs = specs_of(of)
    required = [name for name, spec in specs.items() if spec.required]
    return {
        "type": "object",
        "properties": {name: _key(spec) for name, spec in specs.items()},
        **({"required": required} if required else {}),
        "additionalProperties": False,
    }


def _key(spec: Spec) -> Schema:
    told = {"description": spec.meaning + (f" ({spec.when})" if spec.when else "")}
    examples = {"examples": [value_of_yaml(spec.example)]} if spec.example else {}
    value, words = _OF_KIND[type(spec.kind)](spec.kind), [each.value for each in spec.instead]
    if words and "enum" in value:
        value = {"enum": [*value["enum"], *words]}
    elif words and not isinstance(spec.kind, Prose | Name):
        value = {"anyOf": [value, {"enum": words}]}
    return {**told, **value, **examples}


def _number(kind: Number) -> Schema:
    bounds = {
        "exclusiveMinimum": kind.above,
        "minimum": kind.at_least,
        "maximum": kind.at_most,
    }
    number: Schema = {
        "type": "integer" if kind.whole else "number",
        **{name: bound for name, bound in bounds.items() if bound is not None},
    }
    return {"anyOf": [{"const": 0}, number]} if kind.or_zero else number


def _choices(choices: tuple[str, ...]) -> Schema:
    return {"enum": [each for choice in choices for each in _as_written(choice)]}


def _as_written(choice: str) -> Iterator[str | int]:
    """A choice of digits is a number to an editor."""
    yield choice
    if choice.isdigit():
        yield int(choice)


def _name(kind: Name) -> Schema:
    form = NAME_FORMS[kind.form][0].pattern.removesuffix("\\Z")
    return {"type": ["string", "integer"], "pattern": f"^{form}$"}


def _list(items: Schema, least: int = 0, most: int | None = None, once: bool = False) -> Schema:
    return {
        "type": "array",
        "items": items,
        **({"minItems": least} if least else {}),
        **({"maxItems": most} if most else {}),
        **({"uniqueItems": True} if once else {}),
    }


def _reference(of: type) -> Schema:
    return {"$ref": f"#/$defs/{of.__name__}"}


def _if_word(key: str, word: str, of: type) -> Schema:
    """What an item must hold where one of its keys says this word."""
    said = {"properties": {key: {"const": word}}, "required": [key]}
    return {"if": said, "then": _reference(of)}


_OF_KIND: Mapping[type, Callable[[Any], Schema]] = {
    Number: _number,
    Word: lambda kind: _choices(kind.choices),
    WordList: lambda kind: _list(_choices(kind.choices), 1, once=True),
    Name: _name,
    Names: lambda kind: _list(_name(Name(kind.form)), int(not kind.may_be_empty), once=True),
    Texts: lambda kind: _list(dict(_TEXT), 1, once=True),
    Prose: lambda kind: dict(_TEXT),
    Day: lambda kind: {"type": "string", "format": "date"},
    Flag: lambda kind: {"type": "boolean"},
    Section: lambda kind: _reference(kind.of),
    Sections: lambda kind: _list(_reference(kind.of), kind.at_least, kind.at_most),
    SectionsOrNames: lambda kind: _list(
        {"anyOf": [_reference(kind.of), _name(Name())]}, most=kind.at_most
    ),
    SectionsByWord: lambda kind: _list(
        {
            "type": "object",
            "required": [kind.key],
            "properties": {kind.key: _choices(tuple(kind.of))},
            "allOf": [_if_word(kind.key, word, of) for word, of in kind.of.items()],
        },
        most=kind.at_most,
    ),
    SectionOrText: lambda kind: {"anyOf": [dict(_TEXT), _reference(kind.of)]},
    ByName: lambda kind: {
        "type": "object",
        "additionalProperties": _OF_KIND[type(kind.of)](kind.of),
    },
    AsWritten: lambda kind: {},
}
