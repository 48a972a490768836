"""Evidence cannot be dropped: every key of every shipped installation, one at a time.

A key that nobody checked (`assumed`) may carry no pass. Two questions find a pass that rests on it
all the same: is it still one when the key is `unknown`, and does it stay what it is when the key
has another value? The guard against the opposite: with every key `measured` the findings are those
of before, but for a list with a reason each (tests/golden/findings: regression, not proof).
"""

from __future__ import annotations

import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest
import yaml
from assuming import EXCEPTIONS, keys_of, said_of, sample, troubles_of, with_assumed
from changing import installation
from sampling import JOBS

from firstway.checks.rule import Finding
from firstway.choosing.completing import completed
from firstway.model.evidence import with_known_by

GOLDEN = Path(__file__).parents[1] / "golden" / "findings"
TOOLS = Path(__file__).parents[2] / "tools" / "firstway"


@pytest.mark.parametrize("name", JOBS)
def test_no_pass_rests_on_an_assumed_key__some(name: str) -> None:
    assert [each for key in sample(name) for each in troubles_of(name, key)] == []


def test_the_keys_are_many_and_the_sample_is_of_every_kind() -> None:
    assert sum(len(keys_of(name)) for name in JOBS) > 2000
    sampled = [key for name in JOBS for key in sample(name)]
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


@pytest.mark.parametrize("name", sorted(before()))
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
