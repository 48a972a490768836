"""What a key that nobody checked may carry: the two questions of test_evidence.py, of one key of
one shipped installation at a time, for the tests and for the campaign over every key.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from typing import Any
from zlib import crc32

from changing import done

from firstway.checks.rule import Case, Finding
from firstway.checks.running import findings_of
from firstway.files.specs import ByName, Flag, Number, Spec, Word
from firstway.files.yaml_reader import Text
from firstway.model.agreement import disagreements
from firstway.model.installation import Installation
from firstway.model.mistakes import with_key
from firstway.model.values import is_known, path_of

SAMPLED = 30  # one key in so many is tried in the plain run

# A pass that may rest on an assumed key, each with its reason; none where shock, fire or overload
# is at stake. At most ten.
EXCEPTIONS: dict[tuple[str, str], str] = {}


# ---- the keys of an installation


@dataclass(frozen=True)
class Key:
    path: str
    spec: Spec
    value: Any
    section: bool = False


def keys(section: Any) -> Iterator[Key]:
    """Every key that is given, sections and items of lists included.

    A name is no evidence: changing it renames a thing.
    """
    for name, item in type(section).__dataclass_fields__.items():
        spec = item.metadata.get("spec")
        if spec is None or name == "name" or isinstance(spec.kind, ByName):
            continue
        value, path = section.__dict__[name], path_of(section, name.rstrip("_"))
        inside = [
            each
            for each in (value if isinstance(value, tuple) else (value,))
            if hasattr(each, "__dataclass_fields__")
        ]
        for each in inside:
            yield from keys(each)
        if is_known(value) and value != ():
            yield Key(path, spec, value, bool(inside))


@cache
def base(name: str) -> tuple[Installation, dict[str, Any]]:
    """The complete installation and what was chosen for it."""
    result = done(name)
    return result.installation, result.log


@cache
def keys_of(name: str) -> tuple[Key, ...]:
    """Those whose value the author states: a size chosen for the file is nobody's statement."""
    whole, log = base(name)
    return tuple(key for key in keys(whole) if key.path not in log)


def sample(name: str) -> list[Key]:
    return [key for key in keys_of(name) if crc32(f"{name} {key.path}".encode()) % SAMPLED == 0]


# ---- what is said of it


def said(whole: Installation, log: dict[str, Any]) -> tuple[Finding, ...]:
    return findings_of(Case(whole, log))


def passes(findings: tuple[Finding, ...]) -> Counter[tuple[str, str, str]]:
    return Counter((each.id, each.of, each.place) for each in findings if each.level == "pass")


def passes_as_they_are(
    findings: tuple[Finding, ...], words: bool = False
) -> Counter[tuple[object, ...]]:
    """With the figures they name, and with their words: which of two ways was taken."""
    return Counter(
        (
            each.id,
            each.of,
            each.place,
            seven_digits(each.value),
            seven_digits(each.limit),
            each.message if words else "",
        )
        for each in findings
        if each.level == "pass"
    )


def seven_digits(value: object) -> object:
    """A network is solved as a whole: what hangs on a thing by less than a millionth of it does not
    rest on it.

    An earth rod of 350 ohm beside a neutral of milliohms carries a hundred-millionth of a short
    circuit to that neutral.
    """
    return float(f"{value:.7g}") if isinstance(value, float) else value


@cache
def with_assumed(name: str, path: str) -> tuple[Finding, ...]:
    whole, log = base(name)
    return said(replace(whole, known_by={**whole.known_by, path: "assumed"}), log)


def with_text(name: str, path: str, text: str) -> tuple[Finding, ...] | None:
    """What is said with another value at a key; None where the reader does not take it."""
    whole, log = base(name)
    changed, problems = with_key(whole, path, Text(text, 0), name)
    return None if problems or disagreements(changed) else said(changed, log)


def other_values(key: Key) -> list[str]:
    """Values a key could have instead."""
    kind, value = key.spec.kind, key.value
    if isinstance(kind, Number):
        return (
            [str(value + 1), str(value - 1), str(value * 2)]
            if kind.whole
            else [f"{value * share:.6g}" for share in (0.4, 0.95, 2.5)]
        )
    if isinstance(kind, Word):
        return [word for word in kind.choices if word != value][:6]
    return ["false" if value else "true"] if isinstance(kind, Flag) else []


def excepted(key: Key, rule: object) -> bool:
    return (key.path.rpartition(".")[2], str(rule)) in EXCEPTIONS


def carried_though_unknown(name: str, key: Key) -> list[str]:
    unknown = with_text(name, key.path, "unknown")
    if unknown is None:
        return []
    return [
        f"{name} {key.path}: {found}"
        for found in passes(with_assumed(name, key.path)) - passes(unknown)
        if not excepted(key, found[0])
    ]


def carried_though_it_hangs_on_it(name: str, key: Key) -> list[str]:
    same = passes_as_they_are(with_assumed(name, key.path), True) & passes_as_they_are(
        said_of(name), True
    )
    kept = Counter((*each[:5], "") for each in same.elements())
    gone: list[str] = []
    for text in other_values(key):
        changed = with_text(name, key.path, text)
        if changed is not None:
            gone += [
                f"{name} {key.path}, {text}: {found}"
                for found in kept - passes_as_they_are(changed)
                if not excepted(key, found[0])
            ]
    return gone


@cache
def said_of(name: str) -> tuple[Finding, ...]:
    return said(*base(name))


def never_more_passes(name: str, key: Key) -> list[str]:
    return [
        f"{name} {key.path}: {found}"
        for found in passes(with_assumed(name, key.path)) - passes(said_of(name))
    ]


PROPERTIES = (carried_though_unknown, carried_though_it_hangs_on_it, never_more_passes)


def troubles_of(name: str, key: Key) -> list[str]:
    """Each pass that rests on a key of an installation though nobody checked it."""
    return [each for holds in PROPERTIES for each in holds(name, key)]
