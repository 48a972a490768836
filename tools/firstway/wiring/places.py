"""Wiring: where a fault may happen: every terminal and every end of a conductor, and what stands
beside it there.

A line that touches something touches what is near: the neutral, the metal and the other lines of
the same device, the same cable, the same box. Places that no resistance and no device parts are one
place with several names.
"""

from collections.abc import Iterator
from functools import cached_property

from firstway.calculations.nodal import merged
from firstway.frozen import dataclass
from firstway.model.values import Named
from firstway.wiring.circuit import SWITCHED_PARTS, States, WiredCircuit
from firstway.wiring.faults import PROTECTIVE_PARTS
from firstway.wiring.graph import Conductor, Part, Terminal, function_of
from firstway.wiring.links import STAR, Link

_BARS = {"N": "neutral-bar", "PE": "earth-bar"}


@dataclass(frozen=True)
class FaultPlace:
    """A place of a fault. `names`: the terminals and ends of conductors it goes by, `id` the first
    of them.

    `line` is the conductor under voltage that touches; `earth`, `neutral` and `lines` are what it
    may touch, "" and () where there is none. `ahead`: the protective devices between the place and
    the source, the nearest first.
    """

    id: str
    of: str
    line: str
    earth: str
    neutral: str
    lines: tuple[str, ...]
    ahead: tuple[str, ...]
    names: tuple[str, ...] = ()


@dataclass
class Places:
    """Every place of a circuit."""

    circuit: WiredCircuit

    @cached_property
    def every(self) -> tuple[FaultPlace, ...]:
        """The places in the order of the graph, each once."""
        found: dict[tuple[object, ...], list[FaultPlace]] = {}
        for place in self._single():
            found.setdefault(self._key(place), []).append(place)
        return tuple(self._one(places) for places in found.values())

    @cached_property
    def by_name(self) -> dict[str, FaultPlace]:
        """Each place by each of its names."""
        return {name: place for place in self.every for name in place.names}

    def _one(self, places: list[FaultPlace]) -> FaultPlace:
        first = places[0]
        names = [place.id for place in places]
        ends = [f"{conductor.id}:{end}" for name in names for conductor, end in self._ends(name)]
        return FaultPlace(
            first.id,
            first.of,
            first.line,
            first.earth,
            first.neutral,
            first.lines,
            first.ahead,
            (*names, *ends),
        )

    def _key(self, place: FaultPlace) -> tuple[object, ...]:
        group = self._groups
        return (
            *(
                group.get(node, "")
                for node in (place.line, place.earth, place.neutral, *place.lines)
            ),
            place.ahead,
            place.of,
        )

    @cached_property
    def _groups(self) -> dict[str, str]:
        """Nodes that no resistance and no protective device parts."""
        links = (
            link
            for link in self.circuit.closed(States())
            if not link.ohm
            and link.ohm is not None
            and link.kind in ("conductor", "pole")
            and not self._protects(link)
        )
        return merged(
            (terminal.id for terminal in self.circuit.wiring.terminals),
            ((link.start, link.end) for link in links),
        )

    def _protects(self, link: Link) -> bool:
        part = self._part(link.of)
        return link.kind == "pole" and part is not None and part.kind in PROTECTIVE_PARTS

    def _single(self) -> Iterator[FaultPlace]:
        for terminal in self._nodes:
            place = self._place(terminal)
            if place.line and (place.earth or place.neutral or place.lines):
                yield place

    @cached_property
    def _nodes(self) -> tuple[Terminal, ...]:
        """The terminals, and the outlets of the points, which only links name."""
        known = {terminal.id for terminal in self.circuit.wiring.terminals}
        more = dict.fromkeys(
            node
            for link in self.circuit.links
            for node in (link.start, link.end)
            if node not in known and node.count(".") >= 2
        )
        return (
            *self.circuit.wiring.terminals,
            *(
                Terminal(node, part, function_of(function), "load", "bottom")
                for node in more
                for part, _, function in (node.rpartition("."),)
            ),
        )

    def _place(self, terminal: Terminal) -> FaultPlace:
        kind = self._now(terminal)
        lines = [node for node in self._beside(terminal, "L") if node != terminal.id]
        line = terminal.id if kind == "L" else (lines or [""])[0]
        earth = (
            terminal.id
            if kind == "PE"
            else next(iter(self._beside(terminal, "PE")), "")
            if line == terminal.id
            else ""
        )
        neutral = (
            terminal.id
            if kind == "N"
            else next(iter(self._beside(terminal, "N")), "")
            if line == terminal.id
            else ""
        )
        return FaultPlace(
            terminal.id,
            self._owner(terminal),
            line,
            earth,
            neutral,
            tuple(lines) if line == terminal.id else (),
            self._ahead(line),
        )

    def _beside(self, terminal: Terminal, kind: str) -> list[str]:
        """Terminals of a function that stand beside this one: of its device, its cable, its box."""
        return (
            self._same_device(terminal, kind)
            or self._same_cable(terminal, kind)
            or self._same_box(terminal, kind)
        )

    def _same_device(self, terminal: Terminal, kind: str) -> list[str]:
        part = self._part(terminal.device)
        if part is not None and part.kind in ("neutral-bar", "earth-bar", "line-bar"):
            if kind != "L" or _kind(terminal.function) == "L":
                return [
                    each.id
                    for each in self._of_device(terminal.device)
                    if self._is(each, kind)
                    and each.id.rpartition(".")[2] == terminal.id.rpartition(".")[2]
                ]
            return []
        return [
            each.id
            for each in self._of_device(terminal.device)
            if self._is(each, kind)
            and (
                each.end == terminal.end
                or "both" in (each.end, terminal.end)
                or "PE" in (each.function, terminal.function)
            )
            and ".parked." not in each.id
        ]

    def _same_cable(self, terminal: Terminal, kind: str) -> list[str]:
        """What the other conductors of the same cable end at."""
        found = []
        for conductor, end in self._ends(terminal.id):
            if conductor.cable:
                found += [
                    getattr(other, end)
                    for other in self._by_cable[conductor.cable]
                    if other.id != conductor.id
                    and other.kind != "armour"
                    and _suffix(other) == _suffix(conductor)
                    and self._kind_at(getattr(other, end), other.function) == kind
                ]
        return found

    def _same_box(self, terminal: Terminal, kind: str) -> list[str]:
        """What stands in the same box, or lies where the box is supplied from."""
        part, wiring = self._part(terminal.device), self.circuit.wiring
        if part is None:
            return []
        if part.kind == "electrode":
            return self._beside_its_lead(terminal, kind)
        point = part.name.partition(".")[0]
        if self._kind_of(point) == "charging-point":
            return [
                each.id
                for each in self._of_device(point)
                if self._is(each, kind) and each.id == f"{point}.{each.function}"
            ]
        if self.ahead_of_board(part) or self._existing(part):
            if kind == "PE":
                return [wiring.main_earth] if wiring.terminal(wiring.main_earth) else []
            return [each.id for each in self._of_device("origin") if self._is(each, kind)]
        if kind == "N" and (own := self._own_bar(terminal)):
            return [own]
        bars = [
            each.id
            for each in wiring.terminals
            if each.device == ("bar" if kind == "L" else _BARS[kind])
            and (kind != "L" or self._is(each, kind))
        ]
        return bars if kind == "L" else bars[:1]

    def _own_bar(self, terminal: Terminal) -> str:
        """The neutral bar behind the nearest device ahead that has one: what touches it leaves
        no residual current, which is the graver case.
        """
        return next(
            (
                each.id
                for device in self._ahead(terminal.id)
                for each in self._of_device(f"neutral-bar-{device}")
            ),
            "",
        )

    def _beside_its_lead(self, terminal: Terminal, kind: str) -> list[str]:
        """An electrode stands alone: what can touch its lead stands where the lead comes from."""
        for conductor, end in self._ends(terminal.id):
            far = self.circuit.wiring.terminal(
                getattr(conductor, "end" if end == "start" else "start")
            )
            if far is not None and self._kind_of(far.device) != "electrode":
                return self._same_device(far, kind) or self._same_box(far, kind)
        return []

    def ahead_of_board(self, part: Part) -> bool:
        """Whether a part stands between the supply and the board, or is earthed there."""
        return part.order < 0

    def _existing(self, part: Part) -> bool:
        """Whether a part is the metal case of a board that was there before: what stands in it
        comes from the origin.
        """
        return part.kind == "enclosure" and any(
            part.name == f"{board.name}.enclosure"
            for board in self.circuit.installation.existing_boards
        )

    def _is(self, terminal: Terminal, kind: str) -> bool:
        return self._now(terminal) == kind

    def _now(self, terminal: Terminal) -> str:
        """L, N or PE, by what the terminal is joined to: where line and neutral are crossed the
        neutral's terminal is the one under voltage, and the line's is dead.
        """
        return self._kind_at(terminal.id, terminal.function)

    def _kind_at(self, node: str, function: str) -> str:
        kind = _kind(function)
        if kind == "PE":
            return kind
        return "L" if node in self._towards_source else "N" if kind == "N" else ""

    def _kind_of(self, name: str) -> str:
        part = self._part(name)
        return part.kind if part is not None else ""

    def _of_device(self, device: str) -> list[Terminal]:
        return self._by_device.get(device, [])

    @cached_property
    def _by_device(self) -> dict[str, list[Terminal]]:
        found: dict[str, list[Terminal]] = {}
        for terminal in self._nodes:
            found.setdefault(terminal.device, []).append(terminal)
        return found

    @cached_property
    def _by_cable(self) -> dict[str, list[Conductor]]:
        found: dict[str, list[Conductor]] = {}
        for conductor in self.circuit.wiring.conductors:
            found.setdefault(conductor.cable, []).append(conductor)
        return found

    def _part(self, name: str) -> Part | None:
        return self._parts.get(name)

    @cached_property
    def _parts(self) -> dict[str, Part]:
        return {part.name: part for part in self.circuit.wiring.parts}

    def _ends(self, terminal: str) -> list[tuple[Conductor, str]]:
        return [
            (conductor, end)
            for conductor in self.circuit.wiring.conductors_at(terminal)
            for end in ("start", "end")
            if getattr(conductor, end) == terminal
        ]

    def _owner(self, terminal: Terminal) -> str:
        """The named part of the file a place belongs to."""
        name, part = terminal.device.partition(".")[0], self._part(terminal.device)
        installation = self.circuit.installation
        if terminal.id.startswith("feed."):
            return "feed"  # its armour, or a core, that ends free in a box
        if name in self._named:
            return name
        if part is None or not self.ahead_of_board(part):
            return "board"
        bonded = next(
            (
                board.name
                for board in installation.existing_boards
                if part.path.startswith(f"{board.path}.")
            ),
            "",
        )
        return bonded or (
            "supply"
            if part.path.startswith("supply") or part.name == "origin" and self._feed_has_a_device
            else "feed"
        )

    @cached_property
    def _named(self) -> frozenset[str]:
        installation = self.circuit.installation
        parts: tuple[Named, ...] = (
            *installation.board.ways,
            *installation.charging_points,
            *installation.electrodes,
            *installation.existing_boards,
        )
        return frozenset(part.name for part in parts)

    @cached_property
    def _feed_has_a_device(self) -> bool:
        return any(
            part.path.startswith("feed") and part.kind in SWITCHED_PARTS
            for part in self.circuit.wiring.parts
        )

    def _ahead(self, node: str) -> tuple[str, ...]:
        """The protective devices on the shortest way to the source, the nearest first."""
        if not node:
            return ()
        found, at = [], node
        while at in self._towards_source:
            link, at = self._towards_source[at]
            if self._protects(link):
                found.append(link.of)
        return tuple(found)

    @cached_property
    def _towards_source(self) -> dict[str, tuple[Link, str]]:
        """For each node the next link towards the source, and where that link leads."""
        near: dict[str, list[tuple[Link, str]]] = {}
        for link in self.circuit.closed(States()):
            if link.kind in ("conductor", "pole", "supply"):
                near.setdefault(link.start, []).append((link, link.end))
                near.setdefault(link.end, []).append((link, link.start))
        found: dict[str, tuple[Link, str]] = {}
        # From each line's own end of the source, so that a way never leads back through neutral or
        # earth.
        waiting = [
            (link.end, link, STAR)
            for link in self.circuit.links
            if link.kind == "supply" and link.volts
        ]
        seen = {STAR}
        while waiting:
            later = []
            for node, link, back in waiting:
                if node in seen:
                    continue
                seen.add(node)
                found[node] = (link, back)
                later += [(far, way, node) for way, far in near.get(node, []) if far not in seen]
            waiting = later
        return found


def _kind(function: str) -> str:
    return "L" if function.startswith("L") else function


def _suffix(conductor: Conductor) -> str:
    """What stands behind the function in the name of a conductor: the point it loops on to."""
    return conductor.id.partition(f".{conductor.function}")[2]
