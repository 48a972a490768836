"""Model: does the file agree with itself? Names, lines, what feeds what, and values that cannot be.

Each function takes the installation and yields problems; `disagreements` collects them all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from firstway.files.plain_values import suggestion
from firstway.model.cables_agree import cables_disagree
from firstway.model.installation import LINES, Installation, Reading, Way
from firstway.model.lines import lines_given, lines_of_way
from firstway.model.values import NONE, Named, is_known, key_of
from firstway.problems import Problem

RESERVED_NAMES = (
    "feed",
    "board",
    "supply",
    "bar",
    "origin",
    "met",
    "supply-side",
    "lugs",
    "neutral-bar",
    "earth-bar",
    "service",
    "isolator",
    "upstream-rcd",
    "enclosure",
    "true-earth",
    "board-bonded",
    "earths",
)
"""Names the program gives to parts itself; no part of a file may bear one."""
RESERVED_ENDS = ("-rcd", "-way", "-bonded")
"""Parts the program names after a board, a point or the feed: `hall-rcd`, `feed-fuse`."""
BS_EDITIONS = ("2018", "2018+A1:2020", "2018+A2:2022", "2018+A3:2024", "2018+A4:2026")
"""Editions of BS 7671 that a file may name."""
NEC_EDITIONS = ("2017", "2020", "2023", "2026")
"""Editions of NFPA 70 that a file may name."""


NO_IT = (
    "an IT supply is not worked here: at its first fault to earth nothing opens (IEC 60364-4-41"
    " 411.6, from memory), so no loop and no disconnection that is worked here holds for it",
    "stop, and leave the point to whoever designs and watches that supply; work it here where a"
    " transformer makes a TN or TT supply for it",
)
"""Why a supply without an earth is refused, and what to do."""


def disagreements(installation: Installation) -> list[Problem]:
    """Every way in which the file contradicts itself."""
    rules = (
        _editions,
        _supply,
        _names,
        _ways_feed,
        _feeding_order,
        _points_reached,
        _lines,
        _cables,
        _devices,
        _earthing,
        _sources,
        _surge_devices,
        _vehicles,
        _loads,
        _references,
        _readings,
    )
    return [problem for rule in rules for problem in rule(installation)]


def _problem(installation: Installation, path: str, message: str, hint: str) -> Problem:
    at = path
    while at and at not in installation.lines_of:
        at = at.rpartition(".")[0]
    return Problem(installation.file, installation.lines_of.get(at, 1), message, hint)


def _near(word: str, choices: Iterable[str]) -> str:
    names = list(dict.fromkeys(choices))
    named = "use one of: " + ", ".join(names) if names else "there is none to name"
    return suggestion(word, names) or named


def _editions(installation: Installation) -> Iterator[Problem]:
    known = {"bs7671": BS_EDITIONS, "nec": NEC_EDITIONS}.get(installation.rules)
    if known and installation.edition not in known:
        yield _problem(
            installation,
            "edition",
            f"'{installation.edition}' is no edition of {installation.rules} known here",
            _near(installation.edition, known),
        )


def _supply(installation: Installation) -> Iterator[Problem]:
    supply = installation.supply
    say = lambda key, message, hint: _problem(installation, f"supply.{key}", message, hint)
    if supply.system == "IT":
        yield say("system", *NO_IT)
    elif (supply.system == "grounded") != (installation.rules == "nec"):
        yield say(
            "system",
            f"the system '{supply.system}' does not belong to the rules '{installation.rules}'",
            "nec: grounded; bs7671 and iec60364: TN-S, TN-C-S or TT",
        )
    if supply.tails_metal == "aluminium" and is_known(key_of(supply.cable, "csa_mm2")):
        yield say(
            "cable.csa_mm2",
            "the tails are of aluminium, and every figure here is of copper",
            "write `csa_mm2: unknown`; whoever replaces the tails states the size of the copper",
        )
    if supply.phases not in (1, 3):
        yield say("phases", f"'supply.phases' is {supply.phases}", "write 1 or 3")
    if supply.phases == 3 and not is_known(supply.line_to_line_v):
        yield say(
            "phases", "three phases need 'supply.line_to_line_v'", "add `line_to_line_v: 400`"
        )
    if is_known(supply.line_to_line_v) and supply.line_to_line_v <= supply.line_to_earth_v:
        yield say(
            "line_to_line_v",
            "the voltage between lines is not above that to earth",
            "check both voltages",
        )
    if supply.system == "TT" and is_known(supply.ze_ohm):
        yield say(
            "ze_ohm",
            "a TT supply has no earth of the network",
            "write `ze_ohm: none`; the loop closes through electrode and source_electrode_ohm",
        )
    if supply.ze_ohm == NONE and supply.system not in ("TT", "IT"):
        yield say(
            "ze_ohm",
            f"a {supply.system} supply has an earth fault loop",
            "give `ze_ohm` or write unknown",
        )


def _names(installation: Installation) -> Iterator[Problem]:
    named: list[tuple[str, str]] = [("board.ways", way.name) for way in installation.board.ways]
    switch = installation.board.main_switch
    if is_known(switch):
        named.append(("board.main_switch", switch.name))
    for part in ("circuits", "charging_points", "electrodes", "vehicles", "existing_boards"):
        named += [(part, item.name) for item in getattr(installation, part)]
    named += [("later_points", each.name) for each in installation.later_points]
    named += [("other_sources", source.name) for source in installation.sources]
    named += [("surge_devices", device.name) for device in installation.surge_devices]
    kept = {f"{board.name}{end}" for board in installation.existing_boards for end in RESERVED_ENDS}
    seen: dict[str, str] = {}
    for part, own_name in named:
        path = part if part == "board.main_switch" else f"{part}.{own_name}"
        if (
            own_name in RESERVED_NAMES
            or own_name in kept
            or own_name.startswith(("feed-", "neutral-bar-"))
        ):
            yield _problem(
                installation,
                path,
                f"the name '{own_name}' is kept for the program",
                "choose another",
            )
        elif own_name in seen:
            yield _problem(
                installation,
                part,
                f"the name '{own_name}' stands twice ({seen[own_name]} and {part})",
                "give each part its own name",
            )
        seen.setdefault(own_name, part)


def _ways_feed(installation: Installation) -> Iterator[Problem]:
    circuits = [circuit.name for circuit in installation.circuits]
    feeding: dict[str, str] = {}
    sources = {way.fed_from for way in installation.board.ways if is_known(way.fed_from)}
    for way in installation.board.ways:
        path = f"board.ways.{way.name}"
        if way.device == "blank":
            continue
        if not is_known(way.feeds):
            if way.device not in ("spd",) and way.name not in sources:
                yield _problem(
                    installation,
                    path,
                    f"the way '{way.name}' feeds nothing",
                    "add `feeds: CIRCUIT`",
                )
        elif way.device == "spd":
            yield _problem(
                installation,
                f"{path}.feeds",
                f"the surge protective device '{way.name}' cannot feed a circuit",
                "remove `feeds`",
            )
        elif way.feeds not in circuits:
            yield _problem(
                installation,
                f"{path}.feeds",
                f"there is no circuit '{way.feeds}'",
                _near(way.feeds, circuits),
            )
        elif way.feeds in feeding:
            yield _problem(
                installation,
                f"{path}.feeds",
                f"the circuit '{way.feeds}' is fed twice ({feeding[way.feeds]} and {way.name})",
                "give each circuit one way",
            )
        else:
            feeding[way.feeds] = way.name
    for name in circuits:
        if name not in feeding:
            yield _problem(
                installation,
                f"circuits.{name}",
                f"no way feeds the circuit '{name}'",
                "add `feeds:` to its way",
            )


def _feeding_order(installation: Installation) -> Iterator[Problem]:
    ways = {way.name: way for way in installation.board.ways}
    for way in ways.values():
        path = f"board.ways.{way.name}.fed_from"
        if way.device == "blank":
            continue
        if not is_known(way.fed_from):
            yield _problem(
                installation,
                f"board.ways.{way.name}",
                f"'{way.name}' does not say what feeds it",
                "add `fed_from:` bar, supply-side or another way",
            )
        elif way.fed_from not in ("bar", "supply-side"):
            source = ways.get(way.fed_from)
            if source is None:
                yield _problem(
                    installation,
                    path,
                    f"there is no way '{way.fed_from}'",
                    _near(way.fed_from, ["bar", "supply-side", *ways]),
                )
            elif source.device in ("spd", "blank"):
                yield _problem(
                    installation,
                    path,
                    f"nothing can be fed from '{way.fed_from}'",
                    "feed it from the bar or a switching device",
                )
            elif source is way:
                yield _problem(
                    installation,
                    path,
                    f"'{way.name}' is fed from itself",
                    "feed it from the bar, supply-side or another way",
                )
            elif _runs_in_a_ring(way, ways):
                yield _problem(
                    installation,
                    path,
                    f"'{way.name}' feeds itself through '{way.fed_from}'",
                    "one of them must be fed from the bar",
                )


def _runs_in_a_ring(way: Way, ways: dict[str, Way]) -> bool:
    at, seen = way, set()
    while is_known(at.fed_from) and at.fed_from in ways and at.name not in seen:
        seen.add(at.name)
        at = ways[at.fed_from]
        if at.name == way.name:
            return True
    return False


def _points_reached(installation: Installation) -> Iterator[Problem]:
    points = [point.name for point in installation.charging_points]
    reached: dict[str, str] = {}
    for circuit in installation.circuits:
        for name in circuit.supplies:
            path = f"circuits.{circuit.name}.supplies"
            if name not in points:
                yield _problem(
                    installation, path, f"there is no charging point '{name}'", _near(name, points)
                )
            elif name in reached:
                yield _problem(
                    installation,
                    path,
                    f"'{name}' is reached by two circuits ({reached[name]} and {circuit.name})",
                    "one circuit for each point",
                )
            reached.setdefault(name, circuit.name)
    for point in installation.charging_points:
        if point.name not in reached:
            yield _problem(
                installation,
                f"charging_points.{point.name}",
                f"no circuit reaches the point '{point.name}'",
                "name it under `supplies` of its circuit",
            )
        if not is_known(point.current_a) and not is_known(point.power_kw):
            yield _problem(
                installation,
                f"charging_points.{point.name}",
                f"the point '{point.name}' has neither current nor power",
                "add `current_a:` or `power_kw:`",
            )
        if is_known(point.current_a) and is_known(point.power_kw):
            yield _problem(
                installation,
                f"charging_points.{point.name}.power_kw",
                f"the point '{point.name}' has both current and power",
                "keep the set current, or the power",
            )


def _lines(installation: Installation) -> Iterator[Problem]:
    there = (
        LINES[:2]
        if installation.rules == "nec" and installation.supply.phases == 1
        else LINES[: int(installation.supply.phases)]
    )
    bar = installation.board.busbar
    bar_lines = bar.lines if is_known(bar) and is_known(bar.lines) else there
    for line in bar_lines:
        if line not in there:
            yield _problem(
                installation,
                "board.busbar.lines",
                f"the bar carries {line}, the supply does not",
                "check `supply.phases`",
            )
    for way in installation.board.ways:
        if is_known(way.line) and way.line not in bar_lines and way.fed_from == "bar":
            yield _problem(
                installation,
                f"board.ways.{way.name}.line",
                f"'{way.name}' takes {way.line}, the bar does not carry it",
                "choose a line of the bar",
            )
    ways = {way.feeds: way for way in installation.board.ways if is_known(way.feeds)}
    for circuit in installation.circuits:
        own = ways.get(circuit.name)
        for line in circuit.lines:
            if line not in there:
                yield _problem(
                    installation,
                    f"circuits.{circuit.name}.lines",
                    f"the circuit uses {line}, the supply has {', '.join(there)}",
                    "check the lines of the circuit or `supply.phases`",
                )
        if own and is_known(own.line) and (own.line,) != circuit.lines:
            yield _problem(
                installation,
                f"circuits.{circuit.name}.lines",
                f"the circuit is on {', '.join(circuit.lines)}, its way '{own.name}' on {own.line}",
                "make them agree",
            )
        if own and not is_known(own.line) and len(circuit.lines) == 1 and len(bar_lines) > 1:
            yield _problem(
                installation,
                f"board.ways.{own.name}",
                f"'{own.name}' does not say which line it takes",
                "add `line:`",
            )
        if own and is_known(own.protected_poles) and own.protected_poles < len(circuit.lines):
            yield _problem(
                installation,
                f"board.ways.{own.name}.protected_poles",
                f"'{own.name}' protects {own.protected_poles} pole(s), its circuit has"
                f" {len(circuit.lines)} lines",
                "check the device or the lines of the circuit",
            )
        for point in installation.points_of(circuit):
            extra = [line for line in point.lines if line not in circuit.lines]
            if extra:
                yield _problem(
                    installation,
                    f"charging_points.{point.name}.lines",
                    f"the point uses {', '.join(extra)}, its circuit '{circuit.name}' has"
                    f" {', '.join(circuit.lines)}",
                    "make them agree",
                )
    yield from _lines_given(installation, there)
    yield from _lines_of_points(installation, there)
    limiter = installation.load_limiter
    if is_known(limiter) and is_known(limiter.senses) and is_known(limiter.senses.lines):
        for line in limiter.senses.lines:
            if line not in there:
                yield _problem(
                    installation,
                    "load_limiter.senses.lines",
                    f"the limiter senses {line}, the supply does not have it",
                    "check the lines",
                )


def _lines_of_points(installation: Installation, there: tuple[str, ...]) -> Iterator[Problem]:
    """The order of lines at a point, points that share a limit, points that come later."""
    for point in installation.charging_points:
        if is_known(point.line_order) and sorted(point.line_order) != sorted(point.lines):
            yield _problem(
                installation,
                f"charging_points.{point.name}.line_order",
                f"the order names {', '.join(point.line_order)}, the point takes"
                f" {', '.join(point.lines)}",
                "name each of its lines once",
            )
    there_now = [point.name for point in installation.charging_points]
    shared = installation.shared_limit
    for name in shared.points if is_known(shared) else ():
        if name not in there_now:
            yield _problem(
                installation,
                "shared_limit.points",
                f"there is no charging point '{name}'",
                _near(name, there_now),
            )
    if is_known(shared) and len(set(shared.points)) < 2:
        yield _problem(
            installation,
            "shared_limit.points",
            "one point shares its limit with nobody",
            "name two points or more, or leave `shared_limit` out",
        )
    for later in installation.later_points:
        extra = [line for line in later.lines if line not in there]
        if extra:
            yield _problem(
                installation,
                f"later_points.{later.name}.lines",
                f"it will take {', '.join(extra)}, the supply has {', '.join(there)}",
                "check the lines",
            )
        blanks = [way.name for way in installation.board.ways if way.device == "blank"]
        if later.way not in blanks:
            yield _problem(
                installation,
                f"later_points.{later.name}.way",
                f"'{later.way}' is no blank way of the board",
                _near(later.way, blanks),
            )


def _lines_given(installation: Installation, there: tuple[str, ...]) -> Iterator[Problem]:
    """No way can take a line that is not there where it is fed from."""
    for way in installation.board.ways:
        if way.device == "blank" or is_known(way.line) and way.fed_from == "bar":
            continue
        given = lines_given(installation, way)
        extra = [
            line for line in lines_of_way(installation, way) if line in there and line not in given
        ]
        if extra:
            circuit = is_known(way.feeds) and way.feeds in [
                each.name for each in installation.circuits
            ]
            yield _problem(
                installation,
                f"circuits.{way.feeds}.lines" if circuit else f"board.ways.{way.name}.fed_from",
                f"'{way.name}' takes {', '.join(extra)}, where it is fed from there is"
                f" {', '.join(given)}",
                "check `board.busbar.lines`, what feeds the way, or the lines of its circuit",
            )


def _cables(installation: Installation) -> Iterator[Problem]:
    for path, message, hint in cables_disagree(installation):
        yield _problem(installation, path, message, hint)


def _devices(installation: Installation) -> Iterator[Problem]:
    for way in installation.board.ways:
        path = f"board.ways.{way.name}"
        if (
            is_known(way.protected_poles)
            and is_known(way.switched_poles)
            and way.switched_poles < way.protected_poles
        ):
            yield _problem(
                installation,
                f"{path}.switched_poles",
                f"'{way.name}' opens fewer poles than it protects",
                "a protected pole always opens",
            )
        if is_known(way.terminals):
            low, high = way.terminals.min_mm2, way.terminals.max_mm2
            if is_known(low) and is_known(high) and low > high:
                yield _problem(
                    installation,
                    f"{path}.terminals.min_mm2",
                    "the smallest conductor is larger than the largest",
                    "exchange min_mm2 and max_mm2",
                )
        if way.device == "spd" and way.connection == "CT2" and not is_known(way.neutral_earth):
            yield _problem(
                installation,
                path,
                f"'{way.name}' is connected CT2 but has no neutral-to-earth module",
                "add `neutral_earth: {...}`",
            )
        if way.device == "rcbo" and not is_known(way.rated_residual_current_ma):
            yield _problem(
                installation,
                path,
                f"the RCBO '{way.name}' has no rated residual current",
                "add `rated_residual_current_ma:`",
            )


def _earthing(installation: Installation) -> Iterator[Problem]:
    uses = {electrode.name: electrode.use for electrode in installation.electrodes}
    yield from _earth_of_board(installation, uses)
    for point in installation.charging_points:
        path = f"charging_points.{point.name}.earthed_by"
        if not is_known(point.earthed_by) or point.earthed_by in ("supply", "separated"):
            continue
        if point.earthed_by not in uses:
            yield _problem(
                installation,
                path,
                f"there is no electrode '{point.earthed_by}'",
                _near(point.earthed_by, ["supply", "separated", *uses]),
            )
        elif uses[point.earthed_by] == "measuring":
            yield _problem(
                installation,
                path,
                f"'{point.earthed_by}' is an electrode for measuring; it cannot earth a point",
                "name another electrode, or change its use",
            )
    for electrode in installation.electrodes:
        rods = (electrode.rods, electrode.length_m, electrode.diameter_mm, electrode.soil_ohm_m)
        if is_known(electrode.resistance_ohm) and any(is_known(item) for item in rods):
            yield _problem(
                installation,
                f"electrodes.{electrode.name}",
                "the electrode has a resistance and rods to work it from",
                "keep the measured resistance, or the rods",
            )
        if is_known(electrode.rods) and electrode.rods > 1 and not is_known(electrode.spacing_m):
            yield _problem(
                installation,
                f"electrodes.{electrode.name}",
                "several rods need their distance",
                "add `spacing_m:`",
            )


def _earth_of_board(installation: Installation, uses: dict[str, str]) -> Iterator[Problem]:
    """What earths a detached board is one thing: the supply, or an electrode there."""
    board, path = installation.board, "board.earthed_by"
    named = board.earthed_by
    if not is_known(named):
        return
    if not installation.board_is_detached:
        yield _problem(
            installation,
            path,
            "'board.earthed_by' is for a board in another building",
            "add `building: detached` under `board.place`, or remove `earthed_by`",
        )
    elif named != "supply" and uses.get(str(named)) != "board":
        own = [name for name, use in uses.items() if use == "board"]
        yield _problem(
            installation,
            path,
            f"there is no electrode '{named}' of use 'board'",
            _near(str(named), ["supply", *own]),
        )
    elif installation.electrode_of_board is not None:
        for point in installation.charging_points:
            if point.earthed_by == "supply":
                yield _problem(
                    installation,
                    f"charging_points.{point.name}.earthed_by",
                    f"'{point.name}' is earthed by the supply, its board by '{named}'",
                    f"write `earthed_by: {named}`, or earth the board by the supply",
                )


def _sources(installation: Installation) -> Iterator[Problem]:
    uses = {electrode.name: electrode.use for electrode in installation.electrodes}
    places = [
        "origin",
        "board",
        *(board.name for board in installation.existing_boards),
        *(way.name for way in installation.board.ways if way.device not in ("spd", "blank")),
        *(point.name for point in installation.charging_points),
    ]
    there = LINES[: int(installation.supply.phases)] if installation.rules != "nec" else LINES
    for source in installation.sources:
        path = f"other_sources.{source.name}"
        if is_known(source.joined_at) and source.joined_at not in places:
            yield _problem(
                installation,
                f"{path}.joined_at",
                f"there is no place '{source.joined_at}' where a source could feed in",
                _near(source.joined_at, places),
            )
        if is_known(source.electrode) and uses.get(source.electrode, "measuring") == "measuring":
            yield _problem(
                installation,
                f"{path}.electrode",
                f"'{source.electrode}' is no electrode that can earth a source",
                _near(source.electrode, [name for name in uses if uses[name] != "measuring"]),
            )
        for line in source.lines if is_known(source.lines) else ():
            if line not in there:
                yield _problem(
                    installation,
                    f"{path}.lines",
                    f"the source feeds {line}, the supply has {', '.join(there)}",
                    "check the lines of the source or `supply.phases`",
                )


def _surge_devices(installation: Installation) -> Iterator[Problem]:
    boards, points = installation.existing_boards, installation.charging_points
    places = ["origin", *(board.name for board in boards), *(point.name for point in points)]
    names = [device.name for device in installation.every_surge_device]
    none_at = {
        *(board.name for board in boards if board.spd == NONE),
        *(point.name for point in points if point.spd == NONE),
    }
    for device in installation.surge_devices:
        path = f"surge_devices.{device.name}"
        if device.at not in places:
            yield _problem(
                installation,
                f"{path}.at",
                f"there is no place '{device.at}' for a surge protective device",
                f"{_near(device.at, places)}; one of the new board is a way",
            )
        elif device.at in none_at:
            yield _problem(
                installation,
                f"{path}.at",
                f"'{device.name}' stands at {device.at}, which has `spd: none`",
                f"describe it here and leave `spd` of {device.at} away, or take it out",
            )
        for other in device.agrees_with if is_known(device.agrees_with) else ():
            if other not in names or other == device.name:
                yield _problem(
                    installation,
                    f"{path}.agrees_with",
                    f"there is no other surge protective device '{other}'",
                    _near(other, [name for name in names if name != device.name]),
                )


def _vehicles(installation: Installation) -> Iterator[Problem]:
    points = [point.name for point in installation.charging_points]
    for vehicle in installation.vehicles:
        path = f"vehicles.{vehicle.name}"
        if vehicle.at not in points:
            yield _problem(
                installation,
                f"{path}.at",
                f"there is no charging point '{vehicle.at}'",
                _near(vehicle.at, points),
            )
        low, high = vehicle.from_percent, vehicle.to_percent
        if is_known(low) and is_known(high) and low >= high:
            yield _problem(
                installation,
                f"{path}.to_percent",
                "the charge ends below where it begins",
                "exchange from and to",
            )


def _loads(installation: Installation) -> Iterator[Problem]:
    load = installation.existing_load
    if not is_known(load):
        return
    for line in LINES:
        each = getattr(load, line)
        if (
            is_known(each)
            and is_known(each.maximum_demand_a)
            and is_known(each.at_once_a)
            and each.at_once_a > each.maximum_demand_a
        ):
            yield _problem(
                installation,
                f"existing_load.{line}.at_once_a",
                f"what runs at once on {line} is above its maximum demand",
                "check both figures",
            )


def _references(installation: Installation) -> Iterator[Problem]:
    boards = [board.name for board in installation.existing_boards]
    feed = installation.feed
    if is_known(feed):
        for item in feed.through:
            if isinstance(item, str) and item.partition(".")[0] not in boards:
                yield _problem(
                    installation,
                    "feed.through",
                    f"there is no existing board '{item.partition('.')[0]}'",
                    _near(item.partition(".")[0], boards),
                )
    for path in installation.known_by:
        if path not in installation.lines_of:
            yield _problem(
                installation,
                f"known_by.{path}",
                f"'{path}' names nothing in this file",
                _near(path, installation.lines_of),
            )


# The keys that hold the outcome of each test; the first is the usual one.
_OUTCOMES = {
    "ze": ("ohm",),
    "zs": ("ohm",),
    "r1-plus-r2": ("ohm",),
    "electrode": ("ohm",),
    "insulation": ("megohm",),
    "rcd-time": ("ms",),
    "prospective-fault-current": ("ka",),
    "voltage": ("v",),
    "polarity": ("result", "v", "ohm"),
    "electrode-lead": ("ohm", "result"),
    "continuity": ("ohm", "result"),
    "phase-sequence": ("sequence",),
    "test-button": ("result",),
    "main-switch": ("result", "v"),
    "state": ("result", "v"),
    "lock": ("result",),
    "open-pen": ("result", "s"),
    "limiter": ("result", "a"),
}
_EVERY_OUTCOME = tuple(dict.fromkeys(key for keys in _OUTCOMES.values() for key in keys))


def _readings(installation: Installation) -> Iterator[Problem]:
    circuits = [circuit.name for circuit in installation.circuits]
    places = _places(installation)
    for place, reading in enumerate(installation.readings, 1):
        path = f"readings.{place}"
        if is_known(reading.circuit) and reading.circuit not in circuits:
            yield _problem(
                installation,
                f"{path}.circuit",
                f"there is no circuit '{reading.circuit}'",
                _near(reading.circuit, circuits),
            )
        if is_known(reading.at) and reading.at not in places:
            yield _problem(
                installation,
                f"{path}.at",
                f"there is no place '{reading.at}' to test at",
                _near(reading.at, places),
            )
        if is_known(reading.between) and len(reading.between) != 2:
            yield _problem(
                installation,
                f"{path}.between",
                "a tester stands on two conductors",
                "name two, such as [L1, N]",
            )
        yield from _outcome(installation, path, reading)


def _outcome(installation: Installation, path: str, reading: Reading) -> Iterator[Problem]:
    """A test has one outcome, in its own unit."""
    wanted = _OUTCOMES[str(reading.test)]
    given = [key for key in _EVERY_OUTCOME if is_known(getattr(reading, key))]
    if not given:
        yield _problem(
            installation,
            path,
            f"the reading '{reading.test}' has no value",
            f"add it, such as `{wanted[0]}:`",
        )
    for key in given:
        if key not in wanted:
            yield _problem(
                installation,
                f"{path}.{key}",
                f"a reading '{reading.test}' is not written in `{key}`",
                f"write {' or '.join(f'`{each}`' for each in wanted)}",
            )


def _places(installation: Installation) -> tuple[str, ...]:
    """Where a tester can stand: parts by name, origin, board and main earthing terminal."""
    switch = installation.board.main_switch
    parts: tuple[Named, ...] = (
        *installation.board.ways,
        *installation.charging_points,
        *installation.electrodes,
        *installation.existing_boards,
        *installation.circuits,
    )
    own = [str(switch.name)] if is_known(switch) else []
    return ("origin", "board", "supply", "feed", "met", *own, *(str(part.name) for part in parts))
