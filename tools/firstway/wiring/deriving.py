"""Wiring: from the installation file to the graph of terminals and conductors."""

from collections.abc import Callable
from functools import partial

from firstway.model.evidence import alone, note
from firstway.model.installation import Cable, Installation, Way
from firstway.model.lines import lines_of, lines_of_way
from firstway.model.values import NONE, Absent, is_known
from firstway.problems import Problem
from firstway.wiring.changing import changed
from firstway.wiring.downstream import BOARD_ENDS, FAR_ENDS, circuit_and_points, electrodes, free
from firstway.wiring.draft import INSIDE, Draft, ferrule_of
from firstway.wiring.graph import Edge, Limiter, Part, Sensor, Wiring, function_of, kind_of
from firstway.wiring.metal import Metal, metal_inside, of_cable, of_lead
from firstway.wiring.neutrals import neutral_of, passes_neutral, shares_neutral
from firstway.wiring.upstream import (
    ahead_of_origin,
    bonding_at_board,
    feed_devices,
    main_earth,
    metal_case,
    start_of_protective,
)

_OPPOSITE: dict[Edge, Edge] = {"top": "bottom", "bottom": "top"}
SWITCHING = ("rcbo", "rcd", "circuit-breaker", "fuse", "contactor")
"""Devices on the rail whose poles open and close."""


def wiring_of(installation: Installation) -> Wiring:
    """Every terminal and conductor of the board, its feed and its circuits, with the explicit
    changes of the file.
    """
    return alone(lambda: changed(derived_wiring(installation), installation.wiring)[0])[0]


def problems_of_wiring(installation: Installation) -> list[Problem]:
    """What the explicit changes of the file ask for and the wiring does not have."""
    if not installation.wiring:
        return []
    refused = changed(derived_wiring(installation), installation.wiring)[1]
    return [
        Problem(
            installation.file,
            installation.lines_of.get(f"wiring.{each.place}", 1),
            each.message,
            each.hint,
        )
        for each in refused
    ]


def derived_wiring(installation: Installation) -> Wiring:
    """The wiring as it follows from the file's other keys.

    What it reads is in its conductors' evidence, not in the caller's.
    """
    return alone(partial(_derived, installation))[0]


def _derived(installation: Installation) -> Wiring:
    draft = Draft(installation)
    with draft.deciding():
        lines = lines_of(installation)
        ahead_of_origin(draft, lines)
        main_earth(draft)
        cores_begin_at = feed_devices(draft, lines)
        protective_from = start_of_protective(draft, cores_begin_at)
        starts = {
            line: (
                f"origin.{line}" if cores_begin_at == "origin" else f"{cores_begin_at}.load.{line}"
            )
            for line in (*lines, "N")
        }
        neutral_from = _main_switch(draft, lines, starts)
        _neutral_and_earth_bars(draft, neutral_from, starts["N"], protective_from)
        _line_bar(draft, lines, starts)
        for order, way in enumerate(installation.board.ways, 1):
            with draft.deciding():
                _way(draft, way, order)
        for circuit in installation.circuits:
            with draft.deciding():
                circuit_and_points(draft, circuit)
        for item in installation.electrodes:
            with draft.deciding():
                electrodes(draft, item)
        with draft.deciding():
            metal_case(draft, "board", installation.board.enclosure, "earth-bar")
        with draft.deciding():
            bonding_at_board(draft)
        return Wiring.of(
            draft.parts, draft.terminals, draft.conductors, _limiter(installation, lines)
        )


def _feed(
    draft: Draft,
    function: str,
    start: str,
    end: str,
    ferrule: str = "",
    armour: Cable | None = None,
) -> None:
    earthed = armour.armour_earthed if armour is not None else None
    draft.join(
        f"feed.{function}",
        start,
        end,
        function,
        "tail" if armour is None else "armour",
        partial(of_cable, draft.installation, "feed", function, armour is not None),
        "feed",
        ferrule=ferrule,
        doubt=(earthed.path,) if isinstance(earthed, Absent) else (),
    )


def _protective_of_feed(draft: Draft, begins_at: str) -> None:
    """The protective conductor of the feed rests on what says that there is one; where there is
    none, all that follows does.
    """
    bar = draft.at_bar("earth-bar", "PE")
    without, read = alone(partial(_without_protective, draft.installation))
    if without:
        note(*read)
        return
    with draft.deciding():
        note(*read)
        start, end = _armour_ends(draft, begins_at, bar)
        armour = _protective_armour(draft.installation)
        if armour is None and draft.installation.electrode_of_board is not None:
            # The board has an earth of its own: the core is parked there, joined to nothing.
            end = draft.add("feed.parked.PE", "earth-bar", "PE", "supply")
        _feed(draft, "PE", start, end, armour=armour)


def _without_protective(installation: Installation) -> bool:
    """Whether the file says that the feed brings no protective conductor, and nothing else of it
    may serve as one.

    Under nec a metal raceway, or the armor of a cable, may (NFPA 70 250.118): the file does not
    tell of what it is made.
    """
    feed = installation.feed
    if not is_known(feed) or not is_known(feed.cable):
        return False
    cable = feed.cable
    if installation.rules == "nec":
        return cable.egc_awg == NONE and cable.wiring_method == "nm-cable"
    return cable.protective == NONE or cable.cpc_mm2 == NONE


def _protective_armour(installation: Installation) -> Cable | None:
    """The cable of the feed, where its armour is the protective conductor."""
    feed = installation.feed
    if is_known(feed) and is_known(feed.cable) and feed.cable.protective == "armour":
        return feed.cable
    return None


def _armour_of_feed(draft: Draft, begins_at: str) -> None:
    """Armour beside a protective core, joined where the file says; where it says nothing, nobody
    knows.
    """
    feed = draft.installation.feed
    if not is_known(feed) or not is_known(feed.cable):
        return
    cable = feed.cable
    if cable.construction != "armoured" or cable.protective == "armour":
        return
    earthed, device = cable.armour_earthed, begins_at.rpartition(".")[0]
    draft.join(
        "feed.armour",
        begins_at if earthed in FAR_ENDS else draft.add("feed.armour.supply", device, "PE", "load"),
        draft.at_bar("earth-bar", "PE")
        if earthed in BOARD_ENDS
        else draft.add("feed.armour", "earth-bar", "PE", "supply"),
        "PE",
        "armour",
        partial(of_cable, draft.installation, "feed", "PE", True),
        "feed",
        doubt=(earthed.path,) if isinstance(earthed, Absent) else (),
    )


def _main_switch(draft: Draft, lines: tuple[str, ...], starts: dict[str, str]) -> str:
    """The main switch and the feed; gives the terminal the neutral bar is fed from, "" where it is
    the feed itself.
    """
    switch = draft.installation.board.main_switch
    load_edge = draft.bar_edge
    if not is_known(switch):
        return ""
    draft.parts.append(
        Part(
            switch.name,
            "main-switch",
            0,
            int(switch.modules) if is_known(switch.modules) else 2,
            path=switch.path,
        )
    )
    poles = switch.switched_poles if is_known(switch.switched_poles) else len(lines) + 1
    functions = [*lines, *(["N"] if poles > len(lines) else [])]
    for function in functions:
        supply = draft.add(
            f"{switch.name}.supply.{function}",
            switch.name,
            function,
            "supply",
            _OPPOSITE[load_edge],
        )
        draft.add(f"{switch.name}.load.{function}", switch.name, function, "load", load_edge)
        _feed(draft, function, starts[function], supply, ferrule_of(switch))
    return f"{switch.name}.load.N" if "N" in functions else ""


def _neutral_and_earth_bars(
    draft: Draft, neutral_from: str, feed_neutral: str, protective_from: str
) -> None:
    draft.parts += [Part("neutral-bar", "neutral-bar", 90), Part("earth-bar", "earth-bar", 91)]
    first = draft.at_bar("neutral-bar", "N")
    if neutral_from:
        draft.join(
            "link.N",
            neutral_from,
            first,
            "N",
            "link",
            partial(metal_inside, draft.installation, "feed"),
            counted_in=INSIDE,
        )
    else:
        _feed(draft, "N", feed_neutral, first)
    _protective_of_feed(draft, protective_from)
    with draft.deciding():
        _armour_of_feed(draft, protective_from)


def _armour_ends(draft: Draft, start: str, end: str) -> tuple[str, str]:
    """Where the protective conductor of the feed is joined; armour that does its work ends free
    where no gland joins it.
    """
    cable = _protective_armour(draft.installation)
    if cable is None:
        return start, end
    earthed, device = cable.armour_earthed, start.rpartition(".")[0]
    # Two earths that nobody says are joined are taken as apart: the file asks for that.
    apart = draft.installation.electrode_of_board is not None and not is_known(earthed)
    ends_free = apart or free(earthed, BOARD_ENDS)
    return (
        draft.add("feed.armour.supply", device, "PE", "load") if free(earthed, FAR_ENDS) else start,
        draft.add("feed.armour", "earth-bar", "PE", "supply") if ends_free else end,
    )


def _line_bar(draft: Draft, lines: tuple[str, ...], starts: dict[str, str]) -> None:
    """Teeth of the line bar, one for each device fed from it; the main switch (or the lugs) stands
    first.
    """
    board = draft.installation.board
    draft.parts.append(Part("bar", "line-bar", 80))
    switch = board.main_switch
    for line in lines:
        source = switch.name if is_known(switch) else "lugs"
        last = draft.add(f"bar.{line}.{source}", "bar", line, "both", draft.bar_edge)
        if is_known(switch):
            draft.join(f"tooth.{line}.{source}", f"{source}.load.{line}", last, line, "bar")
        else:
            _feed(draft, line, starts[line], last)
        for way in board.ways:
            with draft.deciding():
                if way.fed_from == "bar" and line in lines_of_way(draft.installation, way):
                    here = draft.add(f"bar.{line}.{way.name}", "bar", line, "both", draft.bar_edge)
                    draft.join(
                        f"bar.{line}.{last.rpartition('.')[2]}-{way.name}", last, here, line, "bar"
                    )
                    last = here


def _way(draft: Draft, way: Way, order: int) -> None:
    draft.parts.append(Part(way.name, kind_of(way.device), order, int(way.modules), path=way.path))
    own = lines_of_way(draft.installation, way)
    if way.device == "spd":
        _spd(draft, way, own)
    elif way.device in SWITCHING:
        _switching_device(draft, way, own)


def _spd(draft: Draft, way: Way, own: tuple[str, ...]) -> None:
    edge, name = draft.bar_edge, way.name
    for line in own:
        here = draft.add(f"{name}.{line}", name, line, "supply", edge)
        if way.fed_from == "bar":
            draft.join(
                f"tooth.{line}.{name}",
                f"bar.{line}.{name}",
                here,
                line,
                "bar",
                partial(of_lead, draft.installation, name, "line"),
            )
        else:
            _lead(draft, way, line, line_source(draft.installation, way, line), here, "line")
    here = draft.add(f"{name}.N", name, "N", "supply", edge)
    _lead(draft, way, "N", neutral_of(draft, way), here, "neutral")
    here = draft.add(f"{name}.PE", name, "PE", "load", _OPPOSITE[edge])
    _lead(draft, way, "PE", draft.at_bar("earth-bar", "PE"), here, "earth")


def _lead(draft: Draft, way: Way, function: str, start: str, end: str, which: str) -> None:
    draft.join(
        f"lead.{function}.{way.name}",
        start,
        end,
        function,
        "lead",
        partial(of_lead, draft.installation, way.name, which),
        ferrule=ferrule_of(way),
    )


def line_source(installation: Installation, way: Way, line: str) -> str:
    """The terminal a way that has no tooth takes a line from."""
    switch = installation.board.main_switch
    if way.fed_from == "supply-side":
        return f"{switch.name}.supply.{line}" if is_known(switch) else f"origin.{line}"
    return f"{way.fed_from}.load.{line}"


def _switching_device(draft: Draft, way: Way, own: tuple[str, ...]) -> None:
    supply_edge, name = draft.bar_edge, way.name
    for line in own:
        supply = draft.add(f"{name}.supply.{line}", name, line, "supply", supply_edge)
        draft.add(f"{name}.load.{line}", name, line, "load", _OPPOSITE[supply_edge])
        if way.fed_from == "bar":
            draft.join(f"tooth.{line}.{name}", f"bar.{line}.{name}", supply, line, "bar")
        else:
            draft.join(
                f"link.{line}.{name}",
                line_source(draft.installation, way, line),
                supply,
                line,
                "link",
                _serving(draft, way),
                counted_in=INSIDE,
            )
    if passes_neutral(draft.installation, way):
        supply = draft.add(f"{name}.supply.N", name, "N", "supply", supply_edge)
        load = draft.add(f"{name}.load.N", name, "N", "load", _OPPOSITE[supply_edge])
        draft.join(
            f"link.N.{name}",
            neutral_of(draft, way),
            supply,
            "N",
            "link",
            _serving(draft, way),
            ferrule=ferrule_of(way),
            counted_in=INSIDE,
        )
        if shares_neutral(draft.installation, way):
            bar = f"neutral-bar-{name}"
            draft.parts.append(Part(bar, "neutral-bar", 90))
            draft.join(
                f"link.N.{bar}",
                load,
                draft.at_bar(bar, "N"),
                "N",
                "link",
                _serving(draft, way),
                counted_in=INSIDE,
            )


def _serving(draft: Draft, way: Way) -> Callable[[], Metal]:
    """The wire inside the board to a way: of the circuit it serves, or of the feed where it serves
    other ways.
    """
    return partial(
        metal_inside, draft.installation, str(way.feeds) if is_known(way.feeds) else "feed"
    )


def _limiter(installation: Installation, lines: tuple[str, ...]) -> Limiter | None:
    """The load limiter with its sensors: before the split of the tails, or on the feed
    behind it.
    """
    limiter = installation.load_limiter
    if not is_known(limiter):
        return None
    senses = limiter.senses
    sensors: list[Sensor] = []
    if is_known(senses) and is_known(senses.lines) and is_known(senses.place):
        around = "tail" if senses.place == "before-split" else "feed"
        sensors = [
            Sensor(
                function_of(str(line)),
                f"{around}.{line}" if line in lines else "",
                str(senses.arrow) if is_known(senses.arrow) else "",
            )
            for line in senses.lines
        ]
    return Limiter(tuple(sensors), tuple(point.name for point in installation.charging_points))
