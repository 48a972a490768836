"""Model: mistakes that are met on boards, each a change of the wiring or of a key, with why, how
urgent, what finds it, how to put it right.

First stands how one key of an installation is given another value, as the file's own reader types
it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields, replace
from typing import Any

from firstway.files.specs import (
    AsWritten,
    Flag,
    Name,
    Names,
    Prose,
    Section,
    Sections,
    Texts,
    attribute_of,
    count,
    positive,
    specs_of,
    word,
    words_of,
)
from firstway.files.typed_reader import sections_from_yaml, value_from_data
from firstway.files.yaml_reader import Entries, Items, Node, Text
from firstway.frozen import dataclass
from firstway.model.installation import (
    RULE_SETS,
    SOURCE_KINDS,
    Amount,
    Installation,
    Trade,
    WiringChange,
    YesNo,
)
from firstway.model.lines import residual_device_at_origin
from firstway.model.values import NONE, UNKNOWN, Absent, Placed, is_known, key_of, stated
from firstway.problems import Problem


def with_key(
    installation: Installation, path: str, node: Node, file: str
) -> tuple[Installation, list[Problem]]:
    """The installation with the value of `node` at `path` (`board.ways.F2.switched_poles`; items by
    name, or by place from 1).
    """
    try:
        return _with(installation, path.split("."), node, file, path)
    except KeyError as missing:
        return installation, [
            Problem(
                file,
                node.line,
                f"'{path}' names nothing in {installation.name} ({missing.args[0]})",
                "name a key of the installation file",
            )
        ]


def _with(
    value: Any, rest: list[str], node: Node, file: str, path: str
) -> tuple[Any, list[Problem]]:
    if isinstance(value, tuple):
        place = _place(value, rest[0])
        if len(rest) == 1:  # an item of a list is no key
            raise KeyError(rest[0])
        changed, problems = _with(value[place], rest[1:], node, file, path)
        return (*value[:place], changed, *value[place + 1 :]), problems
    if not isinstance(value, Placed):
        raise KeyError(rest[0])
    of: type = type(value)
    spec = specs_of(of).get(rest[0])
    if spec is None:
        raise KeyError(rest[0])
    attribute = attribute_of(of, rest[0])
    if len(rest) == 1:
        new, problems = value_from_data(node, spec, file, path)
    else:
        new, problems = _with(getattr(value, attribute), rest[1:], node, file, path)
    return (value if problems else replace(value, **{attribute: new})), problems


def _place(items: tuple[Any, ...], name: str) -> int:
    for place, each in enumerate(items):
        if (
            getattr(each, "name", None) == name
            or name == str(place + 1)
            and not hasattr(each, "name")
        ):
            return place
    raise KeyError(name)


def with_way_after(installation: Installation, name: str, after: str) -> Installation:
    """The installation with one way of the board moved to stand after another."""
    ways = [way for way in installation.board.ways if way.name != name]
    place = [way.name for way in ways].index(after) + 1
    ways.insert(place, installation.way(name))
    return replace(installation, board=replace(installation.board, ways=tuple(ways)))


URGENCIES = ("now", "after-one-more-fault", "loss-or-nuisance", "paper")
"""How soon a mistake can harm, the soonest first."""
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
"""What a test may read on a board with a mistake."""
FIRST = "A qualified person isolates"
"""How `right` begins, so that nobody works on a live board."""
FIRST_ON_PAPER = "No work on the board"
"""How it begins where nothing is to be touched."""


@dataclass(frozen=True)
class Applies:
    """Where a mistake can be made. An absent key asks nothing."""

    rule_sets: tuple[str, ...] | Absent = stated(
        words_of(*RULE_SETS), "only under these rule sets", "[bs7671, iec60364]"
    )
    systems: tuple[str, ...] | Absent = stated(
        words_of("TN-S", "TN-C-S", "TT", "grounded"), "only on supplies earthed so", "[TN-C-S, TT]"
    )
    phases: Amount = stated(count(at_least=1, at_most=3), "only on supplies of so many phases", "3")
    device: Trade = stated(
        word("rcbo", "circuit-breaker"), "only where the circuit has this device"
    )
    neutral: YesNo = stated(Flag(), "only on a circuit with a neutral, or without")
    surge: YesNo = stated(Flag(), "only with a surge protective device")
    surge_first: YesNo = stated(Flag(), "only with a surge protective device fed from the bar")
    main_switch: YesNo = stated(Flag(), "only with a main switch")
    ends_marked: YesNo = stated(Flag(), "only where the device is marked for one end")
    armoured: YesNo = stated(Flag(), "only on an armoured cable with a protective core")
    own_electrode: YesNo = stated(Flag(), "only where the point has an electrode of its own")
    opens_protective_conductor: YesNo = stated(
        Flag(), "only where a device opens the protective conductor too"
    )
    installation_electrode: YesNo = stated(Flag(), "only with an electrode of the installation")
    two_circuits: YesNo = stated(Flag(), "only with a second circuit")
    limiter: YesNo = stated(Flag(), "only with a load limiter")
    existing_board: YesNo = stated(Flag(), "only with an existing board")
    outdoors: YesNo = stated(Flag(), "only where the point stands outdoors")
    terminals: YesNo = stated(Flag(), "only where the maker states the terminals")
    armour_both_ends: YesNo = stated(
        Flag(), "only where the armour is joined to earth at both ends"
    )
    feed_earth_alone: YesNo = stated(
        Flag(), "only where the protective conductor of the feed alone earths the board"
    )
    feed_single_cores: YesNo = stated(Flag(), "only where single cores feed the board")
    own_board_electrode: YesNo = stated(
        Flag(), "only where the board stands on an electrode in another building"
    )
    source: Trade = stated(
        word(*SOURCE_KINDS), "only beside another source of this kind", "generator"
    )
    source_joined: Trade = stated(
        word("point", "elsewhere"), "only where that source feeds in by the point, or elsewhere"
    )
    three_lines: YesNo = stated(Flag(), "only on a circuit of three lines")
    delayed_ahead: YesNo = stated(Flag(), "only behind a selective residual current device")
    residual_ahead: YesNo = stated(Flag(), "only behind another residual current device")
    declared: YesNo = stated(Flag(), "only where the board's maker declares the devices")
    feed_known: YesNo = stated(Flag(), "only where the route of the feed is known")
    steel: YesNo = stated(Flag(), "only in an enclosure of steel")
    on_bar: YesNo = stated(Flag(), "only where the bar feeds the device")
    own_neutral_bar: YesNo = stated(
        Flag(), "only where the neutral ends on a bar of its residual current device"
    )
    only: tuple[str, ...] | Absent = stated(Names(), "only on these installations", "[marram]")


@dataclass(frozen=True)
class Order:
    """A device that stands elsewhere in the row."""

    way: Trade = stated(Prose(), "the way that stands in the wrong place", '"{spd}"', required=True)
    after: Trade = stated(Prose(), "the way it stands behind", '"{last_way}"', required=True)


@dataclass(frozen=True)
class FoundBy:
    """The rule that finds a mistake, and the place it names."""

    rule: str = stated(Name(), "the rule that finds it", "surge-leads", required=True)
    place: str = stated(Prose(), "where that rule finds it", '"{spd}"', required=True)


@dataclass(frozen=True)
class ShownBy:
    """A test and what it reads then.

    `open`: devices that are off, `origin` when isolated there; `bridge`: a test link.
    """

    test: str = stated(
        word("continuity", "insulation", "voltage", "loop", "residual", "load"),
        "the test that shows it",
        required=True,
    )
    between: tuple[str, ...] | Absent = stated(
        Texts(), "the two terminals the instrument stands on", '["{spd}.PE", earth-bar.1]'
    )
    open: tuple[str, ...] | Absent = stated(
        Texts(), "devices that are off; `origin` where it is isolated there", '[origin, "{device}"]'
    )
    out: tuple[str, ...] | Absent = stated(Texts(), "parts that are taken out", '["{point}"]')
    bridge: tuple[str, ...] | Absent = stated(
        Texts(), "terminals that a test link joins", '["{device}.load.{line}", earth-bar.1]'
    )
    test_v: Amount = stated(positive(at_most=1000), "test voltage of the insulation tester", "500")
    reads: str = stated(word(*READS), "what the test gives then", required=True)


FLAWS = (
    "coiled",
    "indicator-changed",
    "other-plate",
    "no-test-button",
    "tooth-beside-the-clamp",
    "screw-not-tight",
    "discoloured",
    "insulation-under-the-clamp",
    "cut-strands",
    "two-sizes",
    "too-thin",
    "no-sleeve",
    "plastic-gland",
    "bonding-screw-in",
    "open-way",
    "separate-openings",
    "foreign-device",
    "sensor-misplaced",
    "setting-open",
    "nothing-fitted",
)
"""What can be seen to be wrong with a part, a terminal or a conductor that is joined as it should
be.
"""


@dataclass(frozen=True)
class ShownFlaw:
    """What a mistake looks like where it is made."""

    flaw: str = stated(word(*FLAWS), "what is to be seen", "cut-strands", required=True)
    at: str = stated(
        Prose(),
        "where: terminal, part, conductor or its end (`x.L1:start`), `opening.x` or `cover`",
        '"{circuit}.PE:end"',
        required=True,
    )


@dataclass(frozen=True)
class Mistake:
    """`told` is what a learner must be told because no drawing shows it; `look` what to do where no
    test shows it.

    Words in braces (`{circuit}`, `{device}`, `{point}`, `{line}`, `{spd}` ...) stand for the parts
    of an installation.
    """

    name: str = stated(
        Name(),
        "its name, as questions and pages use it",
        "surge-device-on-long-leads",
        required=True,
    )
    title: str = stated(
        Prose(),
        "what it is called on pages",
        "Surge protective device on long, coiled leads",
        required=True,
    )
    applies: Applies | Absent = stated(
        Section(Applies), "where it can be made; without this key everywhere"
    )
    wiring: tuple[WiringChange, ...] = stated(Sections(WiringChange), "the changes of the wiring")
    keys: Any = stated(
        AsWritten(),
        "keys of the installation and the values they take",
        '{"board.ways.{spd}.leads.earth.length_m": "1.4"}',
    )
    order: Order | Absent = stated(
        Section(Order), "the way of the board that stands in another place"
    )
    shows: tuple[ShownFlaw, ...] = stated(
        Sections(ShownFlaw), "what it looks like, where its changes do not draw it"
    )
    told: Trade = stated(
        Prose(),
        "what a learner must be told because no drawing shows it",
        "The earth lead was measured.",
    )
    wrong: str = stated(
        Prose(), "why it is wrong", "Nothing leads the surge to earth.", required=True
    )
    urgent: str = stated(word(*URGENCIES), "how soon it can harm", required=True)
    found_by: FoundBy = stated(
        Section(FoundBy), "what finds it in the file or in the wiring", required=True
    )
    shown_by: ShownBy | Absent = stated(Section(ShownBy), "the test that shows it", also=(NONE,))
    look: Trade = stated(
        Prose(),
        "where to look when no test shows it",
        "Measure both leads along the copper, and add them.",
    )
    consequences: tuple[str, ...] | Absent = stated(
        Names(), "further rules that may speak up because of it", "[fault-opens-in-time]"
    )
    right: str = stated(
        Prose(),
        "how it is put right, isolation first",
        "A qualified person isolates the supply and joins it.",
        required=True,
    )
    source: Trade = stated(Prose(), "where it comes from", "common practice")
    file: str = ""
    line: int = 0


def mistakes_from_yaml(text: str, file: str) -> tuple[tuple[Mistake, ...], list[Problem]]:
    """Every mistake of the file, and every problem of it at once."""
    found, problems = sections_from_yaml(text, file, Mistake, "mistake")
    for place, mistake in enumerate(found):
        problems += _disagreements(mistake, [item.name for item in found[:place]])
    return tuple(found), sorted(set(problems))


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
    names.update(_bars(installation, circuit_name))
    names.update({f"line{place}": line for place, line in enumerate(circuit.lines, 1)})
    optional = (
        ("spd", surge),
        ("other_circuit", [each.name for each in others]),
        ("rod", rods),
        ("other_device", [installation.way_feeding(each.name).name for each in others]),
        ("source", [each.name for each in installation.sources]),
        (
            "board_rod",
            [own.name] if (own := installation.electrode_of_board) is not None else [],
        ),
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


def _bars(installation: Installation, circuit_name: str) -> dict[str, str]:
    """The residual current device whose neutral bar a circuit ends on, and another with one."""
    way = installation.way_feeding(circuit_name)
    found = [each.name for each in installation.board.ways if each.own_neutral_bar is True]
    if way.fed_from not in found:
        return {}
    others = [name for name in found if name != way.fed_from]
    names = {"residual": str(way.fed_from)}
    return {**names, "other_residual": others[0]} if others else names


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
        "feed_earth_alone": installation.electrode_of_board is None
        and not (
            is_known(installation.feed)
            and is_known(installation.feed.cable)
            and installation.feed.cable.armour_earthed == "both-ends"
        ),
        "feed_single_cores": is_known(installation.feed)
        and is_known(installation.feed.cable)
        and installation.feed.cable.construction == "single-core",
        "own_board_electrode": installation.electrode_of_board is not None,
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
        "steel": key_of(installation.board.enclosure, "material") == "steel",
        "on_bar": way.fed_from == "bar",
        "own_neutral_bar": "residual" in names,
        "terminals": is_known(way.terminals),
    }
    joined = {
        "point" if source.joined_at == point.name else "elsewhere"
        for source in installation.sources[:1]  # the one that `{source}` stands for
    }
    if is_known(applies.source_joined) and applies.source_joined not in joined:
        return False
    if is_known(applies.source) and applies.source not in {
        source.kind for source in installation.sources[:1]
    }:
        return False
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
