"""Wiring: from the installation file to the graph of terminals and conductors."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import Callable

from firstway.model.installation import Circuit, Installation, Way
from firstway.model.evidence import alone, resting
from firstway.model.values import Absent, is_known
from firstway.problems import Problem
from firstway.tables.found import Gap
from firstway.tables.looking_up import conductor_colour
from firstway.wiring.changing import changed
from firstway.wiring.graph import MAIN_EARTH, ORIGIN_EARTH, Conductor, ConductorKind, Function, Part, Terminal, Wiring
from firstway.wiring.metal import Metal, inside, of_cable, of_lead

OPPOSITE = {"top": "bottom", "bottom": "top", "back": "top"}
# Ze is measured at the end of the earthing conductor, taken off the main earthing terminal (BS 7671 643.7.3): it is in it.
IN_ZE = "supply.ze_ohm"
INSIDE = "inside the enclosure"  # no loop of the trade counts it: see circuit.py
SWITCHING = ("rcbo", "rcd", "circuit-breaker", "fuse", "contactor")


@dataclass
class _Draft:
    installation: Installation
    parts: list[Part] = field(default_factory=list)
    terminals: list[Terminal] = field(default_factory=list)
    conductors: list[Conductor] = field(default_factory=list)
    positions: dict[str, int] = field(default_factory=dict)

    @property
    def bar_edge(self) -> str:
        bar = self.installation.board.busbar
        edge = bar.joins_at if is_known(bar) and is_known(bar.joins_at) else "bottom"
        return "bottom" if edge == "back" else str(edge)

    @property
    def ages(self) -> str:
        feed = self.installation.feed
        known = is_known(feed) and is_known(feed.cable) and is_known(feed.cable.colours)
        return str(feed.cable.colours) if known else ("nec" if self.installation.rules == "nec" else "harmonised")

    @property
    def main_earth(self) -> str:
        """Where the protective conductor of the feed begins."""
        return MAIN_EARTH if any(terminal.id == MAIN_EARTH for terminal in self.terminals) else ORIGIN_EARTH

    def add(self, terminal_id: str, device: str, function: Function, end: str, edge: str) -> str:
        self.terminals.append(Terminal(terminal_id, device, function, end, edge))  # type: ignore[arg-type]
        return terminal_id

    def at_bar(self, bar: str, function: Function) -> str:
        """The next free position of a bar; positions of one bar are joined by the bar itself."""
        place = self.positions.get(bar, 0) + 1
        self.positions[bar] = place
        terminal = self.add(f"{bar}.{place}", bar, function, "both", "top")
        if place > 1:
            self.join(f"{bar}.{place - 1}-{place}", f"{bar}.{place - 1}", terminal, function, "bar")
        return terminal

    def join(self, identity: str, start: str, end: str, function: Function, kind: ConductorKind,
             metal: Callable[[], Metal] = Metal, cable: str = "", age: str = "", ferrule: str = "", counted_in: str = "") -> None:
        """A conductor; what `metal` reads of the file is what it rests on."""
        made, evidence = alone(metal)
        colour = conductor_colour(age or self.ages, "PE" if function == "PEN" else function, self._lines_counted(age or self.ages))
        self.conductors.append(resting(Conductor(
            identity, start, end, function, kind, made.csa_mm2, made.size, "" if isinstance(colour, Gap) else colour.value,
            made.length_m, cable, ferrule, path=made.path, operating_c=made.operating_c, counted_in=counted_in,
            evidence=evidence, missing=made.missing)))

    def _lines_counted(self, age: str) -> int:
        """How the table of colours counts: under nec the two lines of one phase stand beside each other."""
        return 3 if len(lines_of(self.installation)) > 1 and age != "nec" else 1


def lines_of(installation: Installation) -> tuple[str, ...]:
    """The lines that enter the board."""
    bar = installation.board.busbar
    if is_known(bar) and is_known(bar.lines):
        return tuple(bar.lines)
    if installation.supply.phases == 3:
        return ("L1", "L2", "L3")
    return ("L1", "L2") if installation.rules == "nec" else ("L1",)


def wiring_of(installation: Installation) -> Wiring:
    """Every terminal and conductor of the board, its feed and its circuits, with the explicit changes of the file."""
    return changed(derived_wiring(installation), installation.wiring)[0]


def problems_of_wiring(installation: Installation) -> list[Problem]:
    """What the explicit changes of the file ask for and the wiring does not have."""
    if not installation.wiring:
        return []
    refused = changed(derived_wiring(installation), installation.wiring)[1]
    return [Problem(installation.file, installation.lines_of.get(f"wiring.{each.place}", 1), each.message, each.hint) for each in refused]


def derived_wiring(installation: Installation) -> Wiring:
    """The wiring as it follows from the file's other keys."""
    draft = _Draft(installation)
    lines = lines_of(installation)
    _far_ends(draft, lines)
    neutral_from = _main_switch(draft, lines)
    _neutral_and_earth_bars(draft, neutral_from)
    _line_bar(draft, lines)
    for order, way in enumerate(installation.board.ways, 1):
        _way(draft, way, order, lines)
    for circuit in installation.circuits:
        _circuit(draft, circuit)
    _electrodes(draft)
    return Wiring.of(draft.parts, draft.terminals, draft.conductors)


def _far_ends(draft: _Draft, lines: tuple[str, ...]) -> None:
    draft.parts.append(Part("origin", "origin", -2))
    for line in lines:
        draft.add(f"origin.{line}", "origin", line, "load", "bottom")  # type: ignore[arg-type]
    draft.add("origin.N", "origin", "N", "load", "bottom")
    if draft.installation.rules == "nec":
        # The equipment grounding conductor runs with the feeder from the grounding bus of the existing panel (NFPA 70 250.32(B), 250.134; from memory).
        draft.add(ORIGIN_EARTH, "origin", "PE", "load", "bottom")
        return
    draft.parts.append(Part("met", "main-earthing-terminal", -1))
    draft.add(MAIN_EARTH, "met", "PE", "both", "bottom")
    if draft.installation.supply.system != "TT":
        draft.add(ORIGIN_EARTH, "origin", "PE", "load", "bottom")
        draft.join("earthing-conductor", ORIGIN_EARTH, MAIN_EARTH, "PE", "core", counted_in=IN_ZE)


def _feed(draft: _Draft, identity: str, start: str, end: str, function: Function, ferrule: str = "") -> None:
    draft.join(identity, start, end, function, "tail", partial(of_cable, draft.installation, "feed", function), "feed", ferrule=ferrule)


def _main_switch(draft: _Draft, lines: tuple[str, ...]) -> str:
    """Draws the main switch and the feed; gives the terminal the neutral bar is fed from."""
    switch = draft.installation.board.main_switch
    load_edge = draft.bar_edge
    if not is_known(switch):
        return "origin.N"
    draft.parts.append(Part(switch.name, "main-switch", 0, int(switch.modules) if is_known(switch.modules) else 2))
    poles = switch.switched_poles if is_known(switch.switched_poles) else len(lines) + 1
    ferrule = _ferrule(switch)
    functions = [*lines, *(["N"] if poles > len(lines) else [])]
    for function in functions:
        supply = draft.add(f"{switch.name}.supply.{function}", switch.name, function, "supply", OPPOSITE[load_edge])  # type: ignore[arg-type]
        draft.add(f"{switch.name}.load.{function}", switch.name, function, "load", load_edge)  # type: ignore[arg-type]
        _feed(draft, f"feed.{function}", f"origin.{function}", supply, function, ferrule)  # type: ignore[arg-type]
    return f"{switch.name}.load.N" if "N" in functions else "origin.N"


def _ferrule(device: object) -> str:
    terminals = getattr(device, "terminals", None)
    ferrule = getattr(terminals, "ferrule", None)
    return ferrule if isinstance(ferrule, str) else ""


def _neutral_and_earth_bars(draft: _Draft, neutral_from: str) -> None:
    draft.parts += [Part("neutral-bar", "neutral-bar", 90), Part("earth-bar", "earth-bar", 91)]
    first = draft.at_bar("neutral-bar", "N")
    if neutral_from == "origin.N":
        _feed(draft, "feed.N", "origin.N", first, "N")
    else:
        draft.join("link.N", neutral_from, first, "N", "link", partial(inside, draft.installation, "feed"), counted_in=INSIDE)
    _feed(draft, "feed.PE", draft.main_earth, draft.at_bar("earth-bar", "PE"), "PE")


def _line_bar(draft: _Draft, lines: tuple[str, ...]) -> None:
    """Teeth of the line bar, one for each device fed from it; the main switch (or the lugs) stands first."""
    board = draft.installation.board
    draft.parts.append(Part("bar", "line-bar", 80))
    switch = board.main_switch
    for line in lines:
        source = switch.name if is_known(switch) else "lugs"
        last = draft.add(f"bar.{line}.{source}", "bar", line, "both", draft.bar_edge)  # type: ignore[arg-type]
        if is_known(switch):
            draft.join(f"tooth.{line}.{source}", f"{source}.load.{line}", last, line, "bar")  # type: ignore[arg-type]
        else:
            _feed(draft, f"feed.{line}", f"origin.{line}", last, line)  # type: ignore[arg-type]
        for way in board.ways:
            if way.fed_from == "bar" and line in _lines_of_way(draft.installation, way, lines):
                here = draft.add(f"bar.{line}.{way.name}", "bar", line, "both", draft.bar_edge)  # type: ignore[arg-type]
                draft.join(f"bar.{line}.{last.rpartition('.')[2]}-{way.name}", last, here, line, "bar")  # type: ignore[arg-type]
                last = here


def _lines_of_way(installation: Installation, way: Way, lines: tuple[str, ...]) -> tuple[str, ...]:
    if is_known(way.line):
        return (str(way.line),)
    if is_known(way.feeds):
        return tuple(installation.circuit(str(way.feeds)).lines)
    sources = [other for other in installation.board.ways if other.name == way.fed_from]
    return _lines_of_way(installation, sources[0], lines) if sources else lines


def _way(draft: _Draft, way: Way, order: int, lines: tuple[str, ...]) -> None:
    draft.parts.append(Part(way.name, way.device, order, int(way.modules)))  # type: ignore[arg-type]
    own = _lines_of_way(draft.installation, way, lines)
    if way.device == "spd":
        _spd(draft, way, own)
    elif way.device in SWITCHING:
        _switching_device(draft, way, own)


def _spd(draft: _Draft, way: Way, own: tuple[str, ...]) -> None:
    edge, name = draft.bar_edge, way.name
    ferrule = _ferrule(way)
    for line in own:
        here = draft.add(f"{name}.{line}", name, line, "supply", edge)  # type: ignore[arg-type]
        if way.fed_from == "bar":
            draft.join(f"tooth.{line}.{name}", f"bar.{line}.{name}", here, line, "bar", partial(of_lead, draft.installation, name, "line"))  # type: ignore[arg-type]
        else:
            _lead(draft, f"lead.{line}.{name}", _source(draft, way, line), here, line, name, "line", ferrule)
    here = draft.add(f"{name}.N", name, "N", "supply", edge)
    _lead(draft, f"lead.N.{name}", _source(draft, way, "N"), here, "N", name, "neutral", ferrule)
    here = draft.add(f"{name}.PE", name, "PE", "load", OPPOSITE[edge])
    _lead(draft, f"lead.PE.{name}", draft.at_bar("earth-bar", "PE"), here, "PE", name, "earth", ferrule)


def _lead(draft: _Draft, identity: str, start: str, end: str, function: str, way: str, which: str, ferrule: str) -> None:
    draft.join(identity, start, end, function, "lead", partial(of_lead, draft.installation, way, which), ferrule=ferrule)  # type: ignore[arg-type]


def _source(draft: _Draft, way: Way, function: str) -> str:
    """The terminal a device not fed by a tooth takes this conductor from."""
    switch = draft.installation.board.main_switch
    if way.fed_from == "supply-side":
        wanted = f"{switch.name}.supply.{function}" if is_known(switch) else f"origin.{function}"
    elif way.fed_from == "bar" or isinstance(way.fed_from, Absent):
        return draft.at_bar("neutral-bar", "N")
    else:
        wanted = f"{way.fed_from}.load.{function}"
    if any(terminal.id == wanted for terminal in draft.terminals):
        return wanted
    return draft.at_bar("neutral-bar", "N") if function == "N" else f"origin.{function}"


def _has_neutral(installation: Installation, way: Way) -> bool:
    if not is_known(way.feeds):
        return way.device in ("rcd", "rcbo")
    return way.device in ("rcbo", "rcd", "contactor") and installation.circuit(str(way.feeds)).neutral is True


def _switching_device(draft: _Draft, way: Way, own: tuple[str, ...]) -> None:
    supply_edge, name = draft.bar_edge, way.name
    for line in own:
        supply = draft.add(f"{name}.supply.{line}", name, line, "supply", supply_edge)  # type: ignore[arg-type]
        draft.add(f"{name}.load.{line}", name, line, "load", OPPOSITE[supply_edge])  # type: ignore[arg-type]
        if way.fed_from == "bar":
            draft.join(f"tooth.{line}.{name}", f"bar.{line}.{name}", supply, line, "bar")  # type: ignore[arg-type]
        else:
            draft.join(f"link.{line}.{name}", _source(draft, way, line), supply, line, "link", _serving(draft, way), counted_in=INSIDE)  # type: ignore[arg-type]
    if _has_neutral(draft.installation, way):
        supply = draft.add(f"{name}.supply.N", name, "N", "supply", supply_edge)
        draft.add(f"{name}.load.N", name, "N", "load", OPPOSITE[supply_edge])
        draft.join(f"link.N.{name}", _source(draft, way, "N"), supply, "N", "link", _serving(draft, way), ferrule=_ferrule(way), counted_in=INSIDE)


def _serving(draft: _Draft, way: Way) -> Callable[[], Metal]:
    """The wire inside the board to a way: of the circuit it serves, or of the feed where it serves other ways."""
    return partial(inside, draft.installation, f"circuits.{way.feeds}" if is_known(way.feeds) else "feed")


def _circuit(draft: _Draft, circuit: Circuit) -> None:
    way = draft.installation.way_feeding(circuit.name)
    points = draft.installation.points_of(circuit)
    cable = circuit.cable
    ferrule = _ferrule(way)
    age = str(cable.colours) if is_known(cable.colours) else ""
    functions = [*circuit.lines, *(["N"] if circuit.neutral is True else [])]
    for place, point in enumerate(points):
        draft.parts.append(Part(point.name, "charging-point", 100))
        for function in functions:
            here = draft.add(f"{point.name}.{function}", point.name, function, "supply", "top")  # type: ignore[arg-type]
            start = _circuit_start(draft, way, function) if place == 0 else f"{points[place - 1].name}.{function}"
            draft.join(f"{circuit.name}.{function}" if place == 0 else f"{circuit.name}.{function}.{point.name}", start, here,
                       function, "core", _core(draft, circuit, function), circuit.name, age, ferrule, _counted(circuit, place))  # type: ignore[arg-type]
        _protective(draft, circuit, place, age)


def _circuit_start(draft: _Draft, way: Way, function: str) -> str:
    wanted = f"{way.name}.load.{function}"
    return wanted if any(terminal.id == wanted for terminal in draft.terminals) else draft.at_bar("neutral-bar", "N")


def _core(draft: _Draft, circuit: Circuit, function: str, armour: bool = False) -> Callable[[], Metal]:
    return partial(of_cable, draft.installation, f"circuits.{circuit.name}", function, armour)


def _counted(circuit: Circuit, place: int) -> str:
    """The route leads to the last of several points and is counted ahead of the first: no key says how it divides."""
    return f"circuits.{circuit.name}.route" if place else ""


def _protective(draft: _Draft, circuit: Circuit, place: int, age: str) -> None:
    point = draft.installation.points_of(circuit)[place]
    cable = circuit.cable
    own_electrode = is_known(point.earthed_by) and point.earthed_by not in ("supply", "separated") \
        and (item := draft.installation.electrode(str(point.earthed_by))) is not None and item.use == "charging-point"
    here = draft.add(f"{point.name}.PE", point.name, "PE", "supply", "top")
    if own_electrode:
        # Its own earth: the protective conductor of the cable is parked at the point, not joined to it.
        here = draft.add(f"{point.name}.parked.PE", point.name, "PE", "supply", "top")
    kind: ConductorKind = "armour" if cable.protective == "armour" else "core"
    start = draft.at_bar("earth-bar", "PE") if place == 0 else f"{draft.installation.points_of(circuit)[place - 1].name}.PE"
    draft.join(f"{circuit.name}.PE" if place == 0 else f"{circuit.name}.PE.{point.name}", start, here, "PE", kind,
               _core(draft, circuit, "PE", kind == "armour"), circuit.name, age, counted_in=_counted(circuit, place))
    if place == 0 and cable.construction == "armoured" and cable.protective != "armour":
        far = draft.add(f"{point.name}.armour", point.name, "PE", "supply", "top")
        near = draft.at_bar("earth-bar", "PE") if cable.armour_earthed in ("board-end", "both-ends") \
            else draft.add(f"{circuit.name}.armour", "earth-bar", "PE", "load", "bottom")
        draft.join(f"{circuit.name}.armour", near, far, "PE", "armour", _core(draft, circuit, "PE", True), circuit.name, age)


def _electrodes(draft: _Draft) -> None:
    for item in draft.installation.electrodes:
        draft.parts.append(Part(item.name, "electrode", 110))
        here = draft.add(f"{item.name}.PE", item.name, "PE", "both", "top")
        if item.use in ("installation", "holds-down-open-pen"):
            draft.join(f"earthing.{item.name}", here, draft.main_earth, "PE", "core", counted_in=f"electrodes.{item.name}")
        elif item.use == "charging-point":
            for point in draft.installation.charging_points:
                if point.earthed_by == item.name:
                    draft.join(f"earthing.{item.name}.{point.name}", here, f"{point.name}.PE", "PE", "core", counted_in=f"electrodes.{item.name}")
