"""Evidence cannot be dropped: every key of every shipped installation, one at a time.

A key that nobody checked (`assumed`) may carry no pass. Two questions find a pass that rests on it
all the same: is it still one when the key is `unknown`, and does it stay what it is when the key
has another value? The guard against the opposite: with every key `measured` the findings are those
of before, but for a list with a reason each (tests/golden/findings: regression, not proof).
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any
from zlib import crc32

import pytest
import yaml
from changing import DIAGRAMS, done, installation

from firstway.checks.rule import Case, Finding
from firstway.checks.running import findings_of
from firstway.choosing.completing import completed
from firstway.files.specs import ByName, Flag, Number, Spec, Word
from firstway.files.yaml_reader import Text
from firstway.model.agreement import disagreements
from firstway.model.evidence import with_known_by
from firstway.model.installation import Installation
from firstway.model.mistakes import with_key
from firstway.model.values import is_known, path_of

NAMES = sorted(path.stem for path in DIAGRAMS.glob("*.yaml") if path.stem != "mistakes")
GOLDEN = Path(__file__).parents[1] / "golden" / "findings"
SAMPLED = 30  # one key in so many is tried in the plain run
TOOLS = Path(__file__).parents[2] / "tools" / "firstway"

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


@pytest.mark.parametrize("name", NAMES)
def test_no_pass_rests_on_an_assumed_key__some(name: str) -> None:
    assert [each for key in sample(name) for holds in PROPERTIES for each in holds(name, key)] == []


@pytest.mark.long
@pytest.mark.parametrize("name", NAMES)
def test_no_pass_rests_on_an_assumed_key__every_one(name: str) -> None:
    assert [
        each for key in keys_of(name) for holds in PROPERTIES for each in holds(name, key)
    ] == []


def test_the_keys_are_many_and_the_sample_is_of_every_kind() -> None:
    assert sum(len(keys_of(name)) for name in NAMES) > 2000
    sampled = [key for name in NAMES for key in sample(name)]
    assert len(sampled) > 60
    assert {type(key.spec.kind).__name__ for key in sampled} >= {
        "Number",
        "Word",
        "Flag",
        "Prose",
        "Section",
        "Sections",
    }


def test_exceptions_are_few_and_have_a_reason() -> None:
    assert len(EXCEPTIONS) <= 10 and all(EXCEPTIONS.values())


@pytest.mark.parametrize(
    "path, rule",
    [
        ("supply.line_to_earth_v", "voltage-drop"),
        ("circuits.slipway.route.1.length_m", "voltage-drop"),
        ("circuits.slipway.lines", "line-and-neutral-open"),
        ("supply.phases", "voltage-drop"),
        ("circuits.slipway.route.2.method", "capacity"),
        ("board.ways.F2.feeds", "loop-impedance"),
    ],
)
def test_required_keys_carry_no_pass_either(path: str, rule: str) -> None:
    """They cannot be unknown, but an assumed length or voltage is no length or voltage."""
    assert any(finding.id == rule and finding.level == "pass" for finding in said_of("marram"))
    assert not any(
        finding.id == rule and finding.level == "pass"
        for finding in with_assumed("marram", path)
        if finding.of != "feed"
    )


# ---- the guard against the opposite: evidence that is whole costs no pass


def all_measured(name: str) -> tuple[Finding, ...]:
    whole = installation(name)
    whole = with_known_by(
        whole, {path: "measured" for path in whole.lines_of if not path.startswith("known_by")}
    )
    result, problems = completed(whole)
    assert result is not None, problems
    return result.findings


@cache
def before() -> dict[str, Counter[tuple[str, ...]]]:
    found: dict[str, Counter[tuple[str, ...]]] = {}
    for line in (GOLDEN / "all-measured.csv").read_text(encoding="utf-8").splitlines()[1:]:
        name, *rest = line.split(",")
        found.setdefault(name, Counter())[tuple(rest)] += 1
    return found


@cache
def differences() -> tuple[dict[str, str], ...]:
    return tuple(yaml.safe_load((GOLDEN / "differences.yaml").read_text(encoding="utf-8")) or ())


def is_told(name: str, finding: tuple[str, ...], side: str) -> bool:
    """Whether a finding that is gone (`was`) or new (`now`) stands among the reasoned
    differences.
    """
    rule, of, place, level = finding
    return any(
        each["id"] == rule
        and each[side] == level
        and each["installation"] in (name, "*")
        and each["of"] in (of, "*")
        and each["place"] in (place, "*")
        for each in differences()
    )


@pytest.mark.parametrize("name", NAMES)
def test_with_everything_measured_the_findings_are_those_of_before(name: str) -> None:
    known = {rule for found in before().values() for rule, *_ in found}
    now = Counter(
        (each.id, each.of, each.place, each.level)
        for each in all_measured(name)
        if each.id in known
    )
    was = before()[name]
    assert [each for each in was - now if not is_told(name, each, "was")] == [], (
        "gone: add it to differences.yaml with its reason, or mend it"
    )
    assert [each for each in now - was if not is_told(name, each, "now")] == [], (
        "new: add it to differences.yaml with its reason, or mend it"
    )


def test_every_difference_has_its_reason() -> None:
    for each in differences():
        assert (
            set(each) == {"installation", "id", "of", "place", "was", "now", "why"}
            and len(each["why"]) > 20
        ), each


# ---- nobody types a path beside a value

TYPED = re.compile(
    r'f?"(?:supply|feed|board|circuits|charging_points|electrodes|'
    r"vehicles|existing_boards|existing_load|load_limiter|premises)\.[a-z{]"
)


@pytest.mark.parametrize("folder", ["workings", "checks"])
def test_no_path_is_typed_where_values_are_worked_or_judged(folder: str) -> None:
    found = [
        f"{path.name}: {line.strip()}"
        for path in sorted((TOOLS / folder).rglob("*.py"))
        for line in path.read_text(encoding="utf-8").splitlines()
        if TYPED.search(line) and ">>>" not in line
    ]
    assert found == []


def test_only_the_book_writes_steps() -> None:
    """But for the steps of the sweep, each made `alone`, which rest on what the links that carry
    its fault rest on; and those of laid conductors, which carry every key of their place.
    """
    found = [
        f"{path.name}: {line.strip()}"
        for path in sorted((TOOLS / "workings").rglob("*.py"))
        if path.name not in ("book.py", "step.py", "lazy_step.py", "fault_places.py", "laid.py")
        for line in path.read_text(encoding="utf-8").splitlines()
        if re.search(r"\bbook\._|\bStep\(|\breplace\(step", line)
    ]
    assert found == []
