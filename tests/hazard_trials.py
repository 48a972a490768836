"""Helpers of tests: the table of hazards, read, spread over the shipped installations, and each
change made and checked.

A change is written as `key = value` (several with `;`). A key is the path of the file: parts by
name (`circuits.slipway.cable.csa_mm2`), by place from 1 (`circuits.1.route.2.depth_m`), by their
kind of device (`board.ways.spd.type`) or all of them (`circuits.*`). `removed` takes a key or a
part away; a key that ends in `+` adds a part to a list (`readings.+ = {test: ze, at: origin, ohm:
2}`). CIRCUIT, POINT, DEVICE, SPD and SWITCH stand for the names of the first circuit, its point and
its device, the surge protective device and the main switch.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from pathlib import Path
from typing import Union, get_args, get_type_hints

from changing import done, installation, text_of
from sampling import EVERY_JOB

import firstway.model.installation as model
from firstway.checks.rule import Finding
from firstway.choosing.completing import completed
from firstway.files.specs import Section, Sections, SectionsOrNames
from firstway.files.yaml_reader import Entries, Items, Node, Text, data_from_yaml
from firstway.model.installation import Installation
from firstway.model.reading import installation_from_yaml
from firstway.model.values import is_known, key_of

FOLDER = Path(__file__).parent / "hazards"
NOT_TOPICS = {"cannot-endanger", "harmless", "cures"}
GRAVITY = {"danger": 3, "fail": 2, "advice": 1, "unknown": 0, "pass": 0}
LEVELS = ("danger", "fail", "advice", "problem")
REMOVED = "removed"
STATED = "+stated"

Told = tuple[str, str, str, str, str]  # id, of, place, level, message with its value


@dataclass(frozen=True)
class Row:
    """One line of a file of hazards; `ids` are the findings that may answer it, one suffices.

    The mildest of its levels suffices; `problem` among them means that the file may be refused
    instead.
    """

    topic: str
    line: int
    installations: str
    change: str
    levels: tuple[str, ...]
    ids: tuple[str, ...]
    clause: str
    why: str

    @property
    def where(self) -> str:
        return f"tests/hazards/{self.topic}.csv:{self.line}"


@dataclass(frozen=True)
class Trial:
    """One row on one installation."""

    row: Row
    name: str

    @property
    def id(self) -> str:
        return f"{self.name}: {self.row.change} -> {'|'.join(self.row.ids)}"


@dataclass(frozen=True)
class Answer:
    """What the program says of a changed installation: findings, or problems and no findings."""

    findings: frozenset[Told]
    problems: tuple[str, ...]


def topics() -> tuple[str, ...]:
    return tuple(sorted(path.stem for path in FOLDER.glob("*.csv") if path.stem not in NOT_TOPICS))


@cache
def lines_of(topic: str) -> tuple[dict[str, str], ...]:
    """The lines of one file, each with its number; an unquoted comma too many is a mistake of the
    file.
    """
    with (FOLDER / f"{topic}.csv").open(encoding="utf-8", newline="") as file:
        reader = csv.DictReader(file, strict=True)
        found = []
        for each in reader:
            assert None not in each and None not in each.values(), f"{topic}.csv:{reader.line_num}"
            found.append({**each, "line": str(reader.line_num)})
    return tuple(found)


@cache
def rows() -> tuple[Row, ...]:
    return tuple(
        Row(
            topic,
            int(each["line"]),
            each["installations"],
            each["change"],
            tuple(each["level"].split("|")),
            tuple(each["id"].split("|")),
            each["clause"],
            each["why"],
        )
        for topic in topics()
        for each in lines_of(topic)
    )


@cache
def trials() -> tuple[Trial, ...]:
    return tuple(Trial(row, name) for row in rows() for name in holds_for(row))


def holds_for(row: Row) -> tuple[str, ...]:
    """The installations a row is tried on. `+stated` behind a group narrows it to those that state
    every key of the change, so that a new job needs no line in a list of names.
    """
    names = chosen(row.installations)
    if STATED in row.installations:
        names = tuple(name for name in names if _states(row.change, name))
    return tuple(name for name in names if _has_what_is_changed(row.change, name))


def _states(change: str, name: str) -> bool:
    """Whether an installation states each key that a change sets."""
    for key, _ in parts_of(with_names(change, name)):
        *above, last = key.split(".")
        if last != "+" and not _found(sized(name), [*above, last]):
            return False
    return True


def _found(node: Node, path: list[str]) -> bool:
    if not path:
        return True
    first, *rest = path
    if isinstance(node, Entries):
        keys = list(node.values) if first == "*" else [first]
        return any(key in node.values and _found(node.values[key], rest) for key in keys)
    if isinstance(node, Items):
        return any(
            _is_meant(each, place, first) and _found(each, rest)
            for place, each in enumerate(node.values, 1)
        )
    return False


def _has_what_is_changed(change: str, name: str) -> bool:
    """Whether a job that a group brought in has an RCBO, where the change is one of it: a board
    with residual current devices and breakers has none.
    """
    return "board.ways.rcbo" not in change or any(
        way.device == "rcbo" for way in shipped(name).board.ways
    )


# ---- which installations


@cache
def shipped(name: str) -> Installation:
    return installation(name)


def _is_outdoors(job: Installation) -> bool:
    return any(point.location == "outdoors" for point in job.charging_points)


def _drawn_a(job: Installation) -> float:
    """What the first point draws on each of its lines, in ampere."""
    point = job.charging_points[0]
    if is_known(point.current_a):
        return float(point.current_a)
    lines = len(point.lines)
    return float(point.power_kw) * 1000 / (lines * float(job.supply.line_to_earth_v))


GROUPS: dict[str, Callable[[Installation], bool]] = {
    "all": lambda job: True,
    "bs7671": lambda job: job.rules == "bs7671",
    "iec60364": lambda job: job.rules == "iec60364",
    "nec": lambda job: job.rules == "nec",
    "not-nec": lambda job: job.rules != "nec",
    "TN": lambda job: str(job.supply.system).startswith("TN"),
    "TN-S": lambda job: job.supply.system == "TN-S",
    "TN-C-S": lambda job: job.supply.system == "TN-C-S",
    "TT": lambda job: job.supply.system == "TT",
    "one-phase": lambda job: job.supply.phases == 1 and job.rules != "nec",
    "three-phase": lambda job: job.supply.phases == 3,
    "dwelling": lambda job: is_known(job.premises) and job.premises.use == "dwelling",
    "site": lambda job: is_known(job.premises) and job.premises.use == "site",
    "outdoors": _is_outdoors,
    "indoors": lambda job: not _is_outdoors(job),
    "armoured": lambda job: any(
        circuit.cable.construction == "armoured" for circuit in job.circuits
    ),
    "limiter": lambda job: is_known(job.load_limiter),
    "electrode": lambda job: bool(job.electrodes),
    "device-ahead": (
        lambda job: (
            is_known(job.feed)
            and bool(job.feed.through)
            and not isinstance(job.feed.through[-1], str)
        )
    ),
    "buried": lambda job: any(
        stretch.method in ("D1", "D2", "buried")
        for circuit in job.circuits
        for stretch in circuit.route
    ),
    "begins-in-air": (lambda job: job.circuits[0].route[0].method not in ("D1", "D2", "buried")),
    "draws-over-16-a": lambda job: _drawn_a(job) > 16,
    "draws-over-25-a": lambda job: _drawn_a(job) > 25,
    "board-indoors": lambda job: key_of(job.board.place, "location") == "indoors",
    "metal-board": lambda job: key_of(job.board.enclosure, "material") in ("steel", "aluminium"),
    "rods-worked": (lambda job: bool(job.electrodes) and is_known(job.electrodes[0].soil_ohm_m)),
    "way-ahead": lambda job: is_known(job.feed) and job.feed.from_ == "existing-board-way",
    "tails-ahead": lambda job: is_known(job.supply.cable),
}


@cache
def chosen(text: str) -> tuple[str, ...]:
    """The installations a cell names: names and groups side by side add up, `+` narrows, `-` takes
    away.
    """
    taken: set[str] = set()
    for word in text.replace(STATED, "").split():
        found = _named(word.removeprefix("-"))
        taken = taken - found if word.startswith("-") else taken | found
    assert taken, f"'{text}' names no installation"
    return tuple(sorted(taken))


def _named(word: str) -> set[str]:
    found = set(EVERY_JOB)
    for part in word.split("+"):
        assert part in GROUPS or part in EVERY_JOB, (
            f"no installation and no group is called '{part}'"
        )
        found &= (
            {part}
            if part in EVERY_JOB
            else {name for name in EVERY_JOB if GROUPS[part](shipped(name))}
        )
    return found


# ---- the change


def node_of(value: str) -> Node:
    """A value as the file would hold it."""
    data, problems = data_from_yaml(f"value: {value}", "change")
    assert isinstance(data, Entries) and not problems, f"{value}: {problems}"
    return data.values["value"]


def parts_of(change: str) -> list[tuple[str, str]]:
    """Each `key = value` of a change; a `;` inside braces or brackets parts nothing."""
    found = []
    for part in re.split(r";\s*(?![^{\[]*[}\]])", change):
        key, equals, value = part.partition(" = ")
        assert equals and key.strip() and value.strip(), f"'{part}' is no `key = value`"
        found.append((key.strip(), value.strip()))
    return found


@cache
def named_parts(name: str) -> dict[str, str]:
    """What the words in capitals stand for in one installation."""
    job = shipped(name)
    circuit = job.circuits[0]
    surge = [way.name for way in job.board.ways if way.device == "spd"]
    return {
        "CIRCUIT": circuit.name,
        "POINT": job.points_of(circuit)[0].name,
        "DEVICE": job.way_feeding(circuit.name).name,
        "SPD": surge[0],
        "SWITCH": job.board.main_switch.name if is_known(job.board.main_switch) else "",
    }


def with_names(change: str, name: str) -> str:
    return re.sub(r"\b[A-Z]{3,}\b", lambda found: named_parts(name).get(found[0], found[0]), change)


def changed_data(data: Node, key: str, value: str) -> Node:
    new = None if value == REMOVED else node_of(value)
    found, hits = _set(data, key.split("."), new)
    assert hits, f"'{key}' names nothing"
    return found


def _set(node: Node, path: list[str], new: Node | None) -> tuple[Node, int]:
    first, rest = path[0], path[1:]
    if isinstance(node, Items):
        return _set_in_list(node, first, rest, new)
    assert isinstance(node, Entries), f"'{first}' lies inside a plain value"
    if first == "*":
        keys = [key for key, value in node.values.items() if isinstance(value, Entries)]
    else:
        keys = [first]
    values, hits = dict(node.values), 0
    for key in keys:
        if not rest:
            hits += 1
            if new is None:
                values.pop(key, None)
            else:
                values[key] = new
        else:
            below = values.get(key)
            if below is None or isinstance(below, Text):
                below = Items(0) if rest[0] == "+" else Entries(0)
            values[key], found = _set(below, rest, new)
            hits += found
    return replace(node, values=values), hits


def _set_in_list(node: Items, first: str, rest: list[str], new: Node | None) -> tuple[Node, int]:
    if first == "+":
        assert new is not None and not rest
        return replace(node, values=(*node.values, new)), 1
    values: list[Node] = []
    hits = 0
    for place, each in enumerate(node.values, 1):
        if not _is_meant(each, place, first) or rest and isinstance(each, Text):
            values.append(each)
        elif rest:
            below, found = _set(each, rest, new)
            values.append(below)
            hits += found
        else:
            hits += 1
            values += [] if new is None else [new]
    return replace(node, values=tuple(values)), hits


def _is_meant(item: Node, place: int, word: str) -> bool:
    if word in ("*", str(place)):
        return True
    if not isinstance(item, Entries):
        return False
    own = [item.values.get(key) for key in ("name", "device")]
    return any(isinstance(value, Text) and value.text == word for value in own)


def written(node: Node) -> str:
    """Data as the text of a file, in braces and brackets."""
    if isinstance(node, Entries):
        return (
            "{"
            + ", ".join(
                f"{json.dumps(key)}: {written(value)}" for key, value in node.values.items()
            )
            + "}"
        )
    if isinstance(node, Items):
        return "[" + ", ".join(map(written, node.values)) + "]"
    plain = not node.quoted and re.fullmatch(r"[\w.+-]*", node.text, re.ASCII)
    return node.text if plain else json.dumps(node.text, ensure_ascii=False)


@cache
def sized(name: str) -> Node:
    """A shipped file with every size it leaves to choose written in, so that a change meets the job
    as it would be built.
    """
    data, problems = data_from_yaml(text_of(name), name)
    assert data is not None and not problems
    return _with_sizes(data, done(name).installation)


def _with_sizes(node: Node, value: object) -> Node:
    if isinstance(node, Items):
        items = value if isinstance(value, tuple) else ()
        return replace(
            node,
            values=tuple(
                _with_sizes(each, items[place] if place < len(items) else None)
                for place, each in enumerate(node.values)
            ),
        )
    if isinstance(node, Entries):
        return replace(
            node,
            values={
                key: _with_sizes(each, _attribute(value, key)) for key, each in node.values.items()
            },
        )
    if node.text == "choose" and not node.quoted and isinstance(value, (str, float, int)):
        return Text(
            f"{value:g}" if not isinstance(value, str) else value,
            node.line,
            quoted=isinstance(value, str),
        )
    return node


def _attribute(value: object, key: str) -> object:
    return getattr(value, key, getattr(value, f"{key}_", None))


@cache
def answer(name: str, change: str) -> Answer:
    """The shipped installation with the change made (none: as it stands), read, worked and
    checked.
    """
    data = sized(name)
    for key, value in parts_of(with_names(change, name)) if change else []:
        data = changed_data(data, key, value)
    found, problems = installation_from_yaml(written(data), f"{name}.yaml", name)
    result = None
    if found is not None:
        result, problems = completed(found)
    if result is None:
        return Answer(frozenset(), tuple(map(str, problems)))
    return Answer(frozenset(map(told, result.findings)), ())


def told(finding: Finding) -> Told:
    return (
        finding.id,
        finding.of,
        finding.place,
        finding.level,
        f"{finding.message} [{finding.value}]",
    )


def new_findings(name: str, change: str) -> tuple[Told, ...]:
    """What is said of the changed installation and not of the shipped one."""
    return tuple(sorted(answer(name, change).findings - answer(name, "").findings))


def unanswered(trial: Trial) -> str:
    """Why a trial is not answered; "" when it is."""
    row = trial.row
    try:
        found = answer(trial.name, row.change)
    except AssertionError:
        raise
    except Exception as error:  # a traceback answers nobody: it is told beside the others
        return f"raises {type(error).__name__}: {error}"
    if found.problems:  # the shipped file has none, so what is said is said of the change
        return "" if "problem" in row.levels else f"refused: {'; '.join(found.problems)}"
    least = min((GRAVITY[level] for level in row.levels if level != "problem"), default=None)
    if least is None:
        return "the file is taken as it is"
    said = [each for each in new_findings(trial.name, row.change) if each[0] in row.ids]
    if any(GRAVITY[level] >= least for _, _, _, level, _ in said):
        return ""
    return ", ".join(f"{id} only {level}" for id, _, _, level, _ in said) or "nothing new is said"


# ---- every key of the model


def every_key(of: type = Installation, path: str = "") -> Iterator[str]:
    """The path of every key, items of a list by `*`; keys of a section stand below it."""
    hints = get_type_hints(of, vars(model))
    for item in fields(of):
        spec = item.metadata.get("spec")
        if spec is None:
            continue
        key = f"{path}{item.name.rstrip('_')}"
        if isinstance(spec.kind, Section):
            yield from every_key(spec.kind.of, f"{key}.")
        elif isinstance(spec.kind, (Sections, SectionsOrNames)):
            yield from every_key(_kind_of_item(spec.kind.of, hints, item.name), f"{key}.*.")
        else:
            yield key


def _kind_of_item(of: type, hints: dict[str, object], name: str) -> type:
    assert is_dataclass(of) or Union in get_args(hints[name]), name
    return of


def keys_of(change: str, name: str) -> set[str]:
    """The keys of the model a change touches; a whole section or part given at once touches all it
    holds.
    """
    found: set[str] = set()
    for key, value in parts_of(with_names(change, name)):
        path = _generic(sized(name), key.split("."))
        found |= {path} if value == REMOVED else set(_leaves(node_of(value), path))
    return found


def _generic(node: Node, path: list[str]) -> str:
    steps: list[str] = []
    at: Node | None = node
    for word in path:
        if isinstance(at, Items):
            steps.append("*")
            at = next(
                (each for place, each in enumerate(at.values, 1) if _is_meant(each, place, word)),
                None,
            )
        elif word == "*" and isinstance(at, Entries):
            first = next(key for key, value in at.values.items() if isinstance(value, Entries))
            steps.append(first)
            at = at.values[first]
        else:
            steps.append("*" if word == "+" else word)
            at = at.values.get(word) if isinstance(at, Entries) else None
    return ".".join(steps)


def _leaves(node: Node, path: str) -> Iterator[str]:
    if isinstance(node, Entries):
        for key, value in node.values.items():
            yield from _leaves(value, f"{path}.{key}")
    elif isinstance(node, Items) and any(isinstance(each, Entries) for each in node.values):
        for each in node.values:
            yield from _leaves(each, f"{path}.*")
    else:
        yield path
