"""Engine: the keys of an installation as the form of a page shows them, from their declarations.

Nothing of a file is in it: which sections a form has, what is asked in each, in which unit, what
may stand there, and when it applies.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from firstway.files.plain_values import unit_of_key
from firstway.files.schema import sections_below, sections_inside
from firstway.files.specs import (
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
from firstway.model.installation import Installation
from firstway.rendering.figures import unit_text
from firstway.rendering.spoken_keys import section_called

_KINDS: Mapping[type, str] = {
    Number: "number",
    Word: "word",
    Flag: "word",
    WordList: "words",
    Name: "text",
    Names: "words",
    Texts: "words",
    Prose: "prose",
    Day: "text",
    Section: "section",
    SectionOrText: "section",
    Sections: "sections",
    SectionsOrNames: "sections",
    SectionsByWord: "sections",
    ByName: "by-path",
}
_NEC = re.compile(r"\b(?:the )?nec\b")
_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9_./+ -]*[A-Za-z0-9]\Z|[A-Za-z0-9]\Z|-?[0-9.]+\Z")


def form_data() -> dict[str, Any]:
    """Every section of an installation by its name, and which one is the whole."""
    return {
        "whole": Installation.__name__,
        "sections": {
            of.__name__: [_field(name, spec) for name, spec in specs_of(of).items()]
            for of in sections_below(Installation)
        },
    }


# When a key means something, for a reader who sees no other key; other conditions stand as they
# are.
_WHEN = {
    "nec": "under the rules of the NEC",
    "bs7671 and iec60364": "under BS 7671 or IEC 60364",
    "spd": "a surge protective device",
    "spd, type 1": "a surge protective device of type 1",
    "spd, connection CT2": "a surge protective device joined as CT2",
    "an rcd or rcbo": "an RCD or RCBO",
    "a circuit-breaker or rcbo": "a circuit-breaker or RCBO",
    "board.place.building: detached": "a board in another building",
    "earthed_by: conductor": "metal that a conductor of its own earths",
    "changeover: true": "a source with a changeover",
    "shared_mains: true": "mains of a building that others draw from too",
    "works_without_network: true": "a source that works without the network",
    "lightning_protection: true": "a building with lightning protection",
    "meter_box: true": "a board in a meter box",
    "under_stairs: true": "a cupboard under stairs",
    "tethered": "a point with a lead of its own",
    "ze, zs, r1-plus-r2, electrode, electrode-lead, continuity": "a test that gives ohms",
    "rcd-time": "a test of an RCD's time",
    "prospective-fault-current": "a prospective fault current",
    "phase-sequence": "a test of the phase sequence",
    "open-pen": "a test of the device against a broken PEN",
}
_SAID = {"unknown": "not known", "choose": "left to choose", "undeclared": "its maker does not say"}


def _field(name: str, spec: Spec) -> dict[str, Any]:
    """One key; what is empty is left out."""
    inside = [each.__name__ for each in sections_inside(spec.kind)]
    choices, words = _choices(spec.kind), [each.value for each in spec.instead]
    told = {
        "key": name,
        "kind": _KINDS.get(type(spec.kind), "other"),
        "called": section_called(name) if inside else "",
        "help": _NEC.sub("the NEC", spec.meaning.replace("`", "")),
        "when": _WHEN.get(spec.when, spec.when),
        "unit": unit_text(unit_of_key(name)),
        "example": spec.example,
        "required": spec.required,
        "choices": choices,
        "words": words,
        "said": _said(name, [*choices, *words]) if choices else {},
        "of": inside[0] if inside else "",
    }
    return {key: value for key, value in told.items() if value}


def _said(name: str, choices: list[str]) -> dict[str, str]:
    """Choices whose word in the file is not how they are said."""
    # for whoever builds the guide: the page, which is told all of it, does not wait for the walk
    from firstway.record.looking import choice_words

    flags = {"true": "yes", "false": "no", **_SAID}
    said = {each: flags.get(each) or choice_words(name, each) for each in choices}
    return {each: words for each, words in said.items() if words != each}


def _choices(kind: Any) -> list[str]:
    if isinstance(kind, Flag):
        return ["true", "false"]
    if isinstance(kind, ByName):
        return _choices(kind.of)
    return list(kind.choices) if isinstance(kind, Word | WordList) else []


def as_yaml(words: str, kind: str) -> str:
    """What was typed into a field, as a value of a file in one line.

    >>> as_yaml("32", "number"), as_yaml("a: b", "prose"), as_yaml("L1, PE", "words")
    ('32', '"a: b"', '[L1, PE]')
    """
    if kind == "words":
        items = [each.strip() for each in words.strip().strip("[]").split(",")]
        return f"[{', '.join(_scalar(each) for each in items if each)}]"
    return _scalar(" ".join(words.split()))


def _scalar(words: str) -> str:
    """Plain where that is safe, else in quotes: no sign of it can end the value."""
    if _PLAIN.match(words):
        return words
    escaped = words.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
