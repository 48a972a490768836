"""Helper of tests: every value that a designer may choose, put into the file of an installation one
by one, the file written, read and checked anew each time. It shares no line with
`choosing/needs.py`: keys come from the parsed YAML and the declarations, values from the tables'
CSV files.
"""

from __future__ import annotations

import csv
import math
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from firstway.checks.rule import Finding
from firstway.checks.running import findings_of
from firstway.choosing.completing import completed
from firstway.choosing.moving import laid_leads_m
from firstway.files.plain_values import unit_of_key
from firstway.files.specs import (
    Flag,
    Number,
    Section,
    Sections,
    SectionsOrNames,
    Spec,
    Word,
    specs_of,
)
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.workings.shared.plan_of_board import PlanOfBoard

LOADER = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
DUMPER = getattr(yaml, "CSafeDumper", yaml.SafeDumper)
TABLES = Path(__file__).parents[1] / "tools/firstway/tables"
GRAVITY = ("danger", "fail", "unknown", "advice", "pass")
NOT_TRIED = ("unknown", "undeclared")
Key = tuple[str, str, str]
Change = tuple[tuple[str, str], ...]
"""Keys by their path, each with what it says then."""


@dataclass(frozen=True)
class Outcomes:
    """Of each change with which one of the rules asked about passes somewhere it did not: all
    findings of the file that says so.
    """

    before: tuple[Finding, ...]
    after: Mapping[Change, tuple[Finding, ...]]

    def serving(self, id_: str, of: str, place: str = "") -> set[Change]:
        """The values with which that finding passes and nothing else is worse."""
        return {each for each in self.passing(id_, of, place) if not self._worse(each)}

    def passing(self, id_: str, of: str, place: str = "") -> set[Change]:
        """The values with which that finding passes."""
        named = lambda each: (each.id, each.of) == (id_, of) and place in ("", each.place)
        return {
            change
            for change, findings in self.after.items()
            if (said := [each.level for each in findings if named(each)]) and set(said) == {"pass"}
        }

    def _worse(self, change: Change) -> bool:
        return bool(worse(self.before, self.after[change]))


def worse(before: Iterable[Finding], after: Iterable[Finding]) -> set[Key]:
    """Where the gravest verdict of a rule at a place is graver than it was, or new and no pass."""
    then, now = _gravest(before), _gravest(after)
    return {key for key, level in now.items() if level < then.get(key, GRAVITY.index("pass"))}


def _gravest(findings: Iterable[Finding]) -> dict[Key, int]:
    found: dict[Key, int] = {}
    for each in findings:
        key = each.id, each.of, each.place
        found[key] = min(found.get(key, len(GRAVITY)), GRAVITY.index(each.level))
    return found


def findings_of_text(text: str, rules: Collection[str] = ()) -> tuple[Finding, ...] | None:
    """What is found in a text without its readings, or what those rules find; None where it is
    refused.
    """
    data = yaml.load(text, LOADER)
    if data.pop("readings", None):
        text = yaml.dump(data, Dumper=DUMPER, sort_keys=False)
    installation, problems = installation_from_yaml(text, "x.yaml", "x")
    done, problems = completed(installation) if installation else (None, problems)
    if done is None:
        return None
    return findings_of(done.case, rules) if rules else done.findings


def outcomes(text: str, targets: Iterable[tuple[str, str]]) -> Outcomes:
    """Every value of every key; limits that serve as values are those of the targets. The whole is
    checked where one of their rules passes what it did not.
    """
    before = findings_of_text(text)
    assert before is not None
    wanted = set(targets)
    rules = {id_ for id_, _ in wanted}
    named = [each for each in before if (each.id, each.of) in wanted]
    passed = {each for each in _gravest(before).items() if each[0][0] in rules and _ok(each[1])}
    after = {}
    for change in changes(text, named):
        changed = with_changes(text, change)
        some = findings_of_text(changed, rules)
        if some is None or {each for each in _gravest(some).items() if _ok(each[1])} <= passed:
            continue
        found = findings_of_text(changed)
        assert found is not None
        after[change] = found
    return Outcomes(before, after)


def _ok(level: int) -> bool:
    return GRAVITY[level] == "pass"


def with_changes(text: str, change: Iterable[tuple[str, str]]) -> str:
    """The file written again with other values, each at the path of its key."""
    data = yaml.load(text, LOADER)
    for path, value in change:
        *way, name = path.split(".")
        section = data
        for part in way:
            section = _below(section, part)
        section[name] = str(value)
    return str(yaml.dump(data, Dumper=DUMPER, sort_keys=False))


def _below(section: Any, part: str) -> Any:
    if isinstance(section, dict):
        return section[part]
    named = [each for each in section if isinstance(each, dict) and each.get("name") == part]
    return named[0] if named else section[int(part) - 1]


def changes(text: str, limits: Iterable[Finding]) -> Iterator[Change]:
    """Every key a designer may choose with every value but the one it has; a cable whose core
    protects has one core to each size: in flat cable that of its table, else an equal one.
    """
    data, job = yaml.load(text, LOADER), _complete(text)
    for path, spec, section in keys_of(data, Installation):
        now = section[path.rpartition(".")[2]]
        chosen = _said(job, path) if now == "choose" else now
        for value in dict.fromkeys(_values(spec, path, section, chosen, job, list(limits))):
            if value == _normal(chosen):
                continue
            start, _, name = path.rpartition(".")
            if section.get("protective") != "core" or section.get("cpc_mm2") in (None, "choose"):
                yield ((path, value),)
            elif name == "csa_mm2":
                yield (path, value), (f"{start}.cpc_mm2", _core(section, value))
            elif name != "cpc_mm2" or value == _core(section, section["csa_mm2"]):
                yield ((path, value),)


def _core(section: Mapping[str, Any], size: str) -> str:
    if section["construction"] != "flat-twin-and-earth":
        return _normal(size)
    where = {"construction": "flat-twin-and-earth"}
    sizes = _column("standard_sizes", "csa_mm2", **where)
    return _normal(_column("standard_sizes", "cpc_mm2", **where)[sizes.index(float(size))])


def keys_of(data: Any, of: type, path: str = "") -> Iterator[tuple[str, Spec, dict[str, Any]]]:
    """The keys of a file that a designer may choose, with the section each stands in."""
    specs = specs_of(of)
    for name, value in data.items():
        spec, here = specs[name], f"{path}.{name}".lstrip(".")
        if isinstance(spec.kind, Section) and isinstance(value, dict):
            below = [(here, value)]
        elif isinstance(spec.kind, Sections | SectionsOrNames) and isinstance(value, list):
            below = [
                (f"{here}.{each.get('name', place)}", each)
                for place, each in enumerate(value, 1)
                if isinstance(each, dict)
            ]
        else:
            below = []
        if below and spec.chosen_by not in ("site", "maker", "measurement", "edition"):
            for there, each in below:
                yield from keys_of(each, spec.kind.of, there)
        elif (
            not below
            and spec.chosen_by == "designer"
            and spec.tried != "by-hand"
            and value not in NOT_TRIED
        ):
            if spec.tried != "choices" or isinstance(spec.kind, Word | Flag):
                yield here, spec, data


@cache
def _complete(text: str) -> Installation:
    installation, _ = installation_from_yaml(text, "x.yaml", "x")
    assert installation is not None
    done, problems = completed(installation)
    assert done is not None, problems
    return done.installation


def _said(job: Installation, path: str) -> str:
    value: Any = job
    for part in path.split("."):
        if isinstance(value, tuple):
            value = next((each for each in value if getattr(each, "name", "") == part), None)
        else:
            value = getattr(value, part)
    return _normal(value)


def _normal(value: Any) -> str:
    try:
        return f"{float(value):.12g}"
    except ValueError:
        return str(value)


@cache
def _column(table: str, column: str, **where: str) -> tuple[float, ...]:
    with (TABLES / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return tuple(
        float(row[column])
        for row in rows
        if row[column] and all(row[key] == value for key, value in where.items())
    )


def _values(
    spec: Spec,
    path: str,
    section: Mapping[str, Any],
    now: Any,
    job: Installation,
    limits: list[Finding],
) -> list[str]:
    kind, name = spec.kind, path.rpartition(".")[2]
    if isinstance(kind, Word):
        return list(kind.choices)
    if isinstance(kind, Flag):
        return ["true", "false"]
    named = [
        each.limit
        for each in limits
        if isinstance(each.limit, int | float) and each.unit == unit_of_key(name) and each.limit > 0
    ]
    found: Iterable[float]
    if spec.tried == "sizes":
        made = section.get("construction", "single-core")
        found = _column("standard_sizes", "csa_mm2", construction=made)
        if name != "csa_mm2":
            found = [*found, *_column("standard_sizes", "csa_mm2", construction="single-core")]
        if name != "csa_mm2" and made == "flat-twin-and-earth":
            found = [*found, *_column("standard_sizes", "cpc_mm2", construction=made)]
    elif spec.tried == "ratings":
        found = _ratings(section["standard"]) if "standard" in section else _all_ratings(job)
    elif spec.tried == "settings":
        assert isinstance(kind, Number)
        values = [*_all_ratings(job), *map(math.floor, named)]
        found = [each for each in values if (kind.at_least or 0) <= each < float(now)]
    elif spec.tried == "residual-currents":
        found = _column("electrode_limit", "rated_residual_current_ma")
    elif spec.tried == "counts":
        assert isinstance(kind, Number) and kind.at_least and kind.at_most
        found = range(int(kind.at_least), int(kind.at_most) + 1)
    elif spec.tried == "rods":
        found = (1, *_column("rods_in_line", "rods"))
    elif spec.tried == "holes":
        found = _column("gland_size", "thread_mm")
    elif spec.tried == "cores":
        least = _live(path, job) + (section.get("protective") == "core")
        found = range(least, max(5, least) + 1)
    elif spec.tried == "limit":
        found = [to(each) for each in named for to in (_three_down, _three_up)]
    elif spec.tried == "laid":
        _, _, device, _, side, _ = path.split(".")
        plan = PlanOfBoard(job)
        laid = {} if plan.refused else laid_leads_m(plan, job.way(device))
        found = [math.ceil(laid[side] * 100) / 100] if side in laid else []
    elif spec.tried == "feeding":
        others = [str(each.name) for each in job.board.ways if each.device not in ("spd", "blank")]
        return ["bar", *(each for each in others if each != section["name"])]
    else:
        raise AssertionError(f"no values of {spec.tried} here: add them")
    return [_normal(each) for each in found]


def _three_down(value: float) -> float:
    return float(f"{_step(value) * math.floor(value / _step(value)):.9g}")


def _three_up(value: float) -> float:
    return float(f"{_step(value) * math.ceil(value / _step(value)):.9g}")


def _step(value: float) -> float:
    return float(10.0 ** (math.floor(math.log10(value)) - 2))


def _all_ratings(job: Installation) -> list[float]:
    devices = [job.board.main_switch, *job.board.ways]
    standards = {str(getattr(each, "standard", "")) for each in devices}
    return sorted({rating for standard in standards for rating in _ratings(standard)})


@cache
def _ratings(standard: str) -> tuple[float, ...]:
    with (TABLES / "standard_name.csv").open(encoding="utf-8", newline="") as file:
        named = {row["standard"]: row["reads_as"] for row in csv.DictReader(file)}
    return _column("standard_ratings", "rating_a", standard=named.get(standard, standard))


def _live(path: str, job: Installation) -> int:
    part = path.split(".")
    if part[0] != "circuits":
        return 4 if job.supply.phases == 3 else 2
    circuit = job.circuit(part[1])
    return len(circuit.lines) + (circuit.neutral is not False)
