"""Wiring: the installation as a graph of terminals and conductors, as plain frozen values."""

from collections.abc import Iterator
from dataclasses import field, replace
from functools import cached_property
from typing import Literal, cast

from firstway.frozen import dataclass
from firstway.model.evidence import resting

Function = Literal["L1", "L2", "L3", "N", "PE", "PEN"]
"""What a conductor is for: a line, neutral, protective, or neutral and protective in one (IEC
60445).
"""
MAIN_EARTH, ORIGIN_EARTH = "met.PE", "origin.PE"
"""The terminals a protective conductor may begin at: the main earthing terminal, or that of the
supply.
"""
VEHICLE_LEAD = "vehicle-lead."
"""Begins the names of the conductors of a point's own lead."""
ConductorKind = Literal["tail", "bar", "lead", "link", "core", "armour"]
"""What a conductor is made as."""
PartPlace = Literal["board", "around", "beyond"]
"""In the board, around it in the installation, or beyond: at the point and the vehicle."""
End = Literal["supply", "load", "both"]
"""Which side of a device a terminal is on."""
Edge = Literal["top", "bottom", "left", "right"]
"""Which edge of a device a terminal lies at."""
PartKind = Literal[
    "main-switch",
    "spd",
    "rcbo",
    "rcd",
    "circuit-breaker",
    "fuse",
    "contactor",
    "blank",
    "line-bar",
    "neutral-bar",
    "earth-bar",
    "origin",
    "main-earthing-terminal",
    "charging-point",
    "electrode",
    "switch-fuse",
    "isolator",
    "existing-way",
    "existing-board",
    "enclosure",
    "bonded-part",
    "vehicle",
]
"""What a part is: it decides which of its terminals are joined inside it, and when."""


def function_of(word: str) -> Function:
    """A line of the file, or the end of a terminal's name: both are words of `Function`."""
    return cast(Function, word)


def kind_of(device: str) -> PartKind:
    """What the file calls a device: its reader takes no word that is not one of `PartKind`."""
    return cast(PartKind, device)


@dataclass(frozen=True)
class Terminal:
    """A point a conductor can be put in.

    `id` is `device.end.function` (`Q1.supply.L1`), `device.function` (`F1.PE`), or a bar position
    (`earth-bar.1`). `edge` is the side of the device it sits on.
    """

    id: str
    device: str
    function: Function
    end: End
    edge: Edge


@dataclass(frozen=True)
class Part:
    """A device, bar, metal enclosure or far place that has terminals.

    `order` is its place outward from the main switch. `place`: in the `board`, `around` it (the
    places its conductors come from and go to), or `beyond` those (ahead of the origin, behind a
    point, metal that is touched): what is beyond is judged and stands in no drawing of the board's
    terminals. `path` is the section of the file it comes from, "" where it has none of its own.
    """

    name: str
    kind: PartKind
    order: int
    modules: int = 0
    place: PartPlace = "board"
    path: str = ""


@dataclass(frozen=True)
class Conductor:
    """A piece of metal between two terminals. `cable` names the feed or the circuit it runs in, ""
    inside.

    `path` is the section of the file its metal stands in. `contact` says how it sits in the
    terminal of its `contact_end`; `contact_ohm` is what that adds. `operating_c` is the highest
    temperature it may have in operation, None where that is not known. `counted_in` says where its
    resistance stands already (a tail in the impedance stated at the origin), or why no loop counts
    it: its length and size are judged, its resistance is not added. `evidence`: assumed paths of
    the file it rests on. `missing`: paths the file leaves open, without which its resistance is not
    known; `doubt`: those without which it may not be there at all. `joined_by`: those of `evidence`
    that decide whether and where it is joined; the rest only decide what it is like.
    """

    id: str
    start: str
    end: str
    function: Function
    kind: ConductorKind
    csa_mm2: float | None
    size: str
    colour: str
    length_m: float | None
    cable: str = ""
    ferrule: str = ""
    contact: str = "sound"
    contact_end: str = "start"
    contact_ohm: float = 0.0
    path: str = ""
    operating_c: float | None = None
    counted_in: str = ""
    evidence: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    doubt: tuple[str, ...] = ()
    joined_by: tuple[str, ...] = ()


METAL = ("csa_mm2", "size", "length_m", "operating_c", "missing")
"""Fields of a conductor that tell its resistance, not what it joins."""
_JOINED = ("start", "end", "kind", "cable", "doubt")


def rested(conductor: Conductor) -> Conductor:
    """A conductor that notes what it rests on: what it joins only where something assumed decides
    that.
    """
    return resting(conductor, *METAL, *(_JOINED if conductor.joined_by else ()))


@dataclass(frozen=True)
class Sensor:
    """A current sensor of the load limiter: `around` which conductor it is clipped, and which way
    its arrow points.
    """

    line: Function
    around: str
    arrow: str


@dataclass(frozen=True)
class Limiter:
    """The load limiter: its sensors, and the charging points its signal holds back."""

    sensors: tuple[Sensor, ...]
    holds: tuple[str, ...]


@dataclass(frozen=True)
class Wiring:
    """Parts, terminals and conductors of one installation; whoever asks gets them by name."""

    parts: tuple[Part, ...] = ()
    terminals: tuple[Terminal, ...] = ()
    conductors: tuple[Conductor, ...] = ()
    by_terminal: dict[str, tuple[Conductor, ...]] = field(default_factory=dict)
    limiter: Limiter | None = None

    @staticmethod
    def of(
        parts: list[Part],
        terminals: list[Terminal],
        conductors: list[Conductor],
        limiter: Limiter | None = None,
    ) -> "Wiring":
        """The wiring of these parts; the ends of each conductor are terminals of it (KeyError)."""
        ends: dict[str, list[Conductor]] = {terminal.id: [] for terminal in terminals}
        for conductor in conductors:
            ends[conductor.start].append(conductor)
            ends[conductor.end].append(conductor)
        return Wiring(
            tuple(parts),
            tuple(terminals),
            tuple(conductors),
            {name: tuple(items) for name, items in ends.items()},
            limiter,
        )

    @property
    def main_earth(self) -> str:
        """The terminal the feed's protective conductor comes from: the main earthing terminal, or
        the existing panel's grounding bus.
        """
        return MAIN_EARTH if self.terminal(MAIN_EARTH) else ORIGIN_EARTH

    @cached_property
    def _parts(self) -> dict[str, Part]:
        return {part.name: part for part in reversed(self.parts)}

    @cached_property
    def _terminals(self) -> dict[str, Terminal]:
        return {terminal.id: terminal for terminal in reversed(self.terminals)}

    @cached_property
    def _by_device(self) -> dict[str, tuple[Terminal, ...]]:
        found: dict[str, list[Terminal]] = {}
        for terminal in self.terminals:
            found.setdefault(terminal.device, []).append(terminal)
        return {name: tuple(items) for name, items in found.items()}

    def part(self, name: str) -> Part | None:
        """The part of that name."""
        return self._parts.get(name)

    def terminal(self, terminal_id: str) -> Terminal | None:
        """The terminal of that id."""
        return self._terminals.get(terminal_id)

    def terminals_of(self, device: str) -> tuple[Terminal, ...]:
        """The terminals of a part, in the order they were made."""
        return self._by_device.get(device, ())

    def conductors_at(self, terminal_id: str) -> tuple[Conductor, ...]:
        """The conductors that end at a terminal."""
        return self.by_terminal.get(terminal_id, ())

    def neighbours(self, terminal_id: str) -> Iterator[str]:
        """The terminals at the other ends of the conductors at a terminal."""
        for conductor in self.conductors_at(terminal_id):
            yield conductor.end if conductor.start == terminal_id else conductor.start

    @cached_property
    def drawn(self) -> "Wiring":
        """What a drawing of the board shows: what lies beyond stands folded into the places around
        the board.

        The devices ahead of the board lie in the origin, their protective terminals in the main
        earthing terminal but for the one the feed's protective core comes from; the vehicle and its
        lead are left out. Ids stay what they are.
        """
        core = next(
            (conductor.start for conductor in self.conductors if conductor.id == "feed.PE"), ""
        )
        placed = [
            (
                replace(terminal, device="origin")
                if terminal.id == core and self._is_beyond(terminal)
                else terminal
            )
            for terminal in self.terminals
        ]
        shown = {terminal.id for terminal in placed if not self._is_beyond(terminal)}
        conductors = []
        for conductor in self.conductors:
            start, end = self._folded(conductor.start, shown), self._folded(conductor.end, shown)
            whole = conductor.start in shown and conductor.end in shown
            if (
                start
                and end
                and start != end
                and (whole or conductor.start in shown or conductor.end in shown)
            ):
                conductors.append(conductor if whole else replace(conductor, start=start, end=end))
        used = {end for conductor in conductors for end in (conductor.start, conductor.end)}
        terminals = [
            terminal
            for terminal in placed
            if terminal.id in shown and (".outlet." not in terminal.id or terminal.id in used)
        ]
        return Wiring.of(
            [part for part in self.parts if part.place != "beyond"],
            terminals,
            conductors,
            self.limiter,
        )

    def _is_beyond(self, terminal: Terminal) -> bool:
        part = self.part(terminal.device)
        return part is None or part.place == "beyond"

    def _folded(self, terminal_id: str, shown: set[str]) -> str:
        """Where a terminal stands in the drawing; "" where it is left out."""
        if terminal_id in shown:
            return terminal_id
        terminal = self.terminal(terminal_id)
        part = self.part(terminal.device) if terminal else None
        if terminal is None or part is None or part.kind in ("vehicle", "enclosure"):
            return ""
        return self.main_earth if terminal.function == "PE" else f"origin.{terminal.function}"
