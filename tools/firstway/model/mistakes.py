"""Model: mistakes that are met on boards, each a change of the wiring or of a key, with why, how
urgent, what finds it, how to put it right.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from firstway.files.yaml_reader import Entries, Items, Text, data_from_yaml
from firstway.model.ahead import residual_device_at_origin
from firstway.model.changing import with_key, with_way_after
from firstway.model.installation import RULE_SETS, Amount, Installation, Trade, WiringChange, YesNo
from firstway.model.reading import section_from_data
from firstway.model.values import (
    NONE,
    UNKNOWN,
    Absent,
    as_written,
    count,
    flag,
    identities,
    identity,
    is_known,
    positive,
    prose,
    section,
    sections,
    terminals,
    word,
    words_of,
)
from firstway.problems import Problem

URGENCIES = ("now", "after-one-more-fault", "loss-or-nuisance", "paper")
READS = (
    "open",
    "joined",
    "higher",
    "lower",
    "zero",
    "below-limit",
    "volts",
    "no-volts",
    "no-reading",
    "trips",
    "does-not-trip",
    "trips-on-load",
)
FIRST = "A qualified person isolates"
FIRST_ON_PAPER = "No work on the board"


@dataclass(frozen=True)
class Applies:
    """Where a mistake can be made. An absent key asks nothing."""

    rule_sets: tuple[str, ...] | Absent = words_of(*RULE_SETS)
    systems: tuple[str, ...] | Absent = words_of("TN-S", "TN-C-S", "TT", "grounded")
    phases: Amount = count(at_least=1, at_most=3)
    device: Trade = word("rcbo", "circuit-breaker")
    neutral: YesNo = flag()
    surge: YesNo = flag()
    surge_first: YesNo = flag()
    main_switch: YesNo = flag()
    ends_marked: YesNo = flag()
    armoured: YesNo = flag()
    own_electrode: YesNo = flag()
    opens_protective_conductor: YesNo = flag()
    installation_electrode: YesNo = flag()
    two_circuits: YesNo = flag()
    limiter: YesNo = flag()
    existing_board: YesNo = flag()
    outdoors: YesNo = flag()
    terminals: YesNo = flag()
    armour_both_ends: YesNo = flag()
    three_lines: YesNo = flag()
    delayed_ahead: YesNo = flag()
    residual_ahead: YesNo = flag()
    declared: YesNo = flag()
    feed_known: YesNo = flag()
    only: tuple[str, ...] | Absent = identities()


@dataclass(frozen=True)
class Order:
    way: Trade = prose(required=True)
    after: Trade = prose(required=True)


@dataclass(frozen=True)
class FoundBy:
    rule: str = identity(required=True)
    place: str = prose(required=True)


@dataclass(frozen=True)
class ShownBy:
    """A test and what it reads then.

    `open`: devices that are off, `origin` when isolated there; `bridge`: a test link.
    """

    test: str = word(
        "continuity", "insulation", "voltage", "loop", "residual", "load", required=True
    )
    between: tuple[str, ...] | Absent = terminals()
    open: tuple[str, ...] | Absent = terminals()
    out: tuple[str, ...] | Absent = terminals()
    bridge: tuple[str, ...] | Absent = terminals()
    test_v: Amount = positive(at_most=1000)
    reads: str = word(*READS, required=True)


@dataclass(frozen=True)
class _Written:
    """The keys of a mistake as the file writes them."""

    name: str = identity(required=True)
    title: str = prose(required=True)
    applies: Applies | Absent = section(Applies)
    wiring: tuple[WiringChange, ...] = sections(WiringChange)
    keys: Any = as_written()
    order: Order | Absent = section(Order)
    told: Trade = prose()
    wrong: str = prose(required=True)
    urgent: str = word(*URGENCIES, required=True)
    found_by: FoundBy = section(FoundBy, required=True)
    shown_by: ShownBy | Absent = section(ShownBy, NONE)
    look: Trade = prose()
    consequences: tuple[str, ...] | Absent = identities()
    right: str = prose(required=True)
    source: Trade = prose()


@dataclass(frozen=True)
class Mistake(_Written):
    """`told` is what a learner must be told because no drawing shows it; `look` what to do where no
    test shows it.

    Words in braces (`{circuit}`, `{device}`, `{point}`, `{line}`, `{spd}` ...) stand for the parts
    of an installation.
    """

    file: str = ""
    line: int = 0


def mistakes_from_yaml(text: str, file: str) -> tuple[tuple[Mistake, ...], list[Problem]]:
    """Every mistake of the file, and every problem of it at once."""
    data, problems = data_from_yaml(text, file)
    if data is None:
        return (), problems
    if not isinstance(data, Items):
        return (), [
            Problem(
                file, data.line, "the file must be a list of mistakes", "begin each with `- name:`"
            )
        ]
    found: list[Mistake] = []
    for each in data:
        if not isinstance(each, Entries):
            problems.append(
                Problem(
                    file, each.line, "a mistake must be keys with values", "begin with `- name:`"
                )
            )
            continue
        mistake, own = _mistake(each, file)
        problems += own
        if not own:
            problems += _disagreements(mistake, [item.name for item in found])
            found.append(mistake)
    return tuple(found), sorted(set(problems))


def _mistake(data: Entries, file: str) -> tuple[Mistake, list[Problem]]:
    problems = [
        Problem(file, data.key_lines[key], f"unknown key '{key}'", "remove it")
        for key in ("file", "line")
        if key in data.values
    ]
    clean = Entries(
        data.line,
        {key: value for key, value in data.values.items() if key not in ("file", "line")},
        data.key_lines,
    )
    found, own = section_from_data(clean, _Written, file)
    return (
        Mistake(
            **{item.name: getattr(found, item.name) for item in fields(_Written)},
            file=file,
            line=data.line,
        ),
        problems + own,
    )


def _disagreements(mistake: Mistake, before: list[str]) -> Iterator[Problem]:
    say = lambda message, hint: Problem(
        mistake.file, mistake.line, f"'{mistake.name}' {message}", hint
    )
    if mistake.name in before:
        yield say("stands twice", "give each mistake its own name")
    if not mistake.wiring and not is_known(mistake.keys) and not is_known(mistake.order):
        yield say("changes nothing", "add `wiring:`, `keys:` or `order:`")
    if is_known(mistake.keys) and not isinstance(mistake.keys, Entries):
        yield say("has `keys` that are no keys with values", "write `keys: {path.of.key: value}`")
    if not is_known(mistake.shown_by) and not is_known(mistake.look):
        yield say(
            "says neither which test shows it nor where to look", "add `shown_by:` or `look:`"
        )
    if not mistake.right.startswith(
        (FIRST, *((FIRST_ON_PAPER,) if mistake.urgent == "paper" else ()))
    ):
        yield say("is put right without isolation", f"begin `right:` with '{FIRST} ...'")


# Making a mistake on an installation


def bindings(installation: Installation, mistake: Mistake) -> tuple[dict[str, str], ...]:
    """What the words in braces stand for, once for each circuit of the installation the mistake
    applies to.
    """
    return tuple(
        names
        for circuit in installation.circuits
        if (names := _names(installation, circuit.name))
        and _holds(installation, mistake.applies, names)
    )


def _names(installation: Installation, circuit_name: str) -> dict[str, str]:
    circuit, way = installation.circuit(circuit_name), installation.way_feeding(circuit_name)
    point = installation.points_of(circuit)[0]
    surge = [each.name for each in installation.board.ways if each.device == "spd"]
    others = [each for each in installation.circuits if each.name != circuit_name]
    switch = installation.board.main_switch
    rods = [
        item.name
        for item in installation.electrodes
        if item.use in ("installation", "charging-point")
    ]
    names = {
        "circuit": circuit_name,
        "device": way.name,
        "point": point.name,
        "line": circuit.lines[0],
        "main_earth": "origin.PE" if installation.rules == "nec" else "met.PE",
    }
    names.update({f"line{place}": line for place, line in enumerate(circuit.lines, 1)})
    optional = (
        ("spd", surge),
        ("other_circuit", [each.name for each in others]),
        ("rod", rods),
        ("other_device", [installation.way_feeding(each.name).name for each in others]),
        ("switch", [switch.name] if is_known(switch) else []),
        ("board", [each.name for each in installation.existing_boards]),
        (
            "last_way",
            [
                each.name
                for each in installation.board.ways
                if each.name not in surge and each.device != "blank"
            ][-1:],
        ),
    )
    names.update({key: found[0] for key, found in optional if found})
    return names


def _holds(installation: Installation, applies: Applies | Absent, names: Mapping[str, str]) -> bool:
    if not is_known(applies):
        return True
    circuit, way, point = (
        installation.circuit(names["circuit"]),
        installation.way(names["device"]),
        installation.point(names["point"]),
    )
    own = installation.electrode(str(point.earthed_by)) if is_known(point.earthed_by) else None
    pen, upstream = point.open_pen, residual_device_at_origin(installation)
    facts: dict[str, object] = {
        "phases": installation.supply.phases,
        "device": way.device,
        "neutral": circuit.neutral is True,
        "surge": "spd" in names,
        "surge_first": any(
            each.device == "spd" and each.fed_from == "bar" for each in installation.board.ways
        ),
        "main_switch": is_known(installation.board.main_switch),
        "ends_marked": way.supply_end in ("top", "bottom"),
        "armoured": circuit.cable.construction == "armoured" and circuit.cable.protective == "core",
        "own_electrode": own is not None and own.use == "charging-point",
        "opens_protective_conductor": (
            is_known(pen) and pen.measure == "device" and pen.opens_protective_conductor is True
        ),
        "installation_electrode": any(
            item.use == "installation" for item in installation.electrodes
        ),
        "two_circuits": "other_circuit" in names,
        "limiter": is_known(installation.load_limiter),
        "existing_board": bool(installation.existing_boards),
        "armour_both_ends": circuit.cable.armour_earthed == "both-ends",
        "three_lines": len(circuit.lines) == 3,
        "delayed_ahead": is_known(upstream) and upstream.delay == "S",
        "residual_ahead": _residual_ahead(installation),
        "declared": (
            is_known(installation.board.assembly)
            and installation.board.assembly.devices_declared is True
        ),
        "feed_known": (
            is_known(installation.feed)
            and bool(installation.feed.route)
            and all(
                is_known(each.grouped_circuits) and is_known(each.ambient_c)
                for each in installation.feed.route
            )
        ),
        "outdoors": point.location == "outdoors",
        "terminals": is_known(way.terminals),
    }
    lists = {
        "rule_sets": installation.rules,
        "systems": installation.supply.system,
        "only": installation.name,
    }
    return all(
        getattr(applies, key) == UNKNOWN or getattr(applies, key) == fact
        for key, fact in facts.items()
    ) and all(
        getattr(applies, key) == UNKNOWN or fact in getattr(applies, key)
        for key, fact in lists.items()
    )


def _residual_ahead(installation: Installation) -> bool:
    """Whether a residual current device stands ahead of the board: a test there may trip
    that one.
    """
    feed = installation.feed
    through = (
        {str(item) for item in feed.through if isinstance(item, str)} if is_known(feed) else set()
    )
    covered = {
        f"{board.name}.{way}"
        for board in installation.existing_boards
        for device in board.rcds
        if is_known(device.covers)
        for way in device.covers
    }
    return is_known(residual_device_at_origin(installation)) or bool(through & covered)


def bound(mistake: Mistake, names: Mapping[str, str]) -> Mistake:
    """The mistake with every word in braces replaced; the node of `keys` too."""
    found: Mistake = _filled(mistake, names)
    return found


def _filled(value: Any, names: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        for key, word_ in names.items():
            value = value.replace("{" + key + "}", word_)
        return value
    if isinstance(value, Text):
        return Text(_filled(value.text, names), value.line, value.quoted)
    if isinstance(value, Entries):
        return Entries(
            value.line,
            {_filled(key, names): _filled(each, names) for key, each in value.values.items()},
            {_filled(key, names): line for key, line in value.key_lines.items()},
        )
    if isinstance(value, Items):
        return Items(value.line, tuple(_filled(each, names) for each in value.values))
    if isinstance(value, tuple):
        return tuple(_filled(each, names) for each in value)
    if hasattr(value, "__dataclass_fields__"):
        return replace(
            value,
            **{item.name: _filled(getattr(value, item.name), names) for item in fields(value)},
        )
    return value


def mistaken(installation: Installation, mistake: Mistake) -> tuple[Installation, list[Problem]]:
    """The installation with a bound mistake made on it: its keys, the order of its ways, and its
    wiring.
    """
    problems: list[Problem] = []
    if isinstance(mistake.keys, Entries):
        for path, node in mistake.keys.values.items():
            installation, own = with_key(installation, path, node, mistake.file)
            problems += own
    if is_known(mistake.order):
        installation = with_way_after(
            installation, str(mistake.order.way), str(mistake.order.after)
        )
    return replace(installation, wiring=(*installation.wiring, *mistake.wiring)), problems


def key_paths(mistake: Mistake) -> tuple[str, ...]:
    """The paths a bound mistake gives another value."""
    return tuple(mistake.keys.values) if isinstance(mistake.keys, Entries) else ()
