"""Wiring: the board as a graph of terminals and conductors, as plain frozen values."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Iterator, Literal

Function = Literal["L1", "L2", "L3", "N", "PE", "PEN"]
MAIN_EARTH, ORIGIN_EARTH = "met.PE", "origin.PE"
ConductorKind = Literal["tail", "bar", "lead", "link", "core", "armour"]


@dataclass(frozen=True)
class Terminal:
    """A point a conductor can be put in.

    `id` is `device.end.function` (`Q1.supply.L1`), `device.function` (`F1.PE`), or a bar position
    (`earth-bar.1`). `edge` is the side of the device it sits on.
    """

    id: str
    device: str
    function: Function
    end: Literal["supply", "load", "both"]
    edge: Literal["top", "bottom", "left", "right"]


@dataclass(frozen=True)
class Part:
    """A device, bar or far place that has terminals. `order` is its place outward from the main switch."""

    name: str
    kind: Literal["main-switch", "spd", "rcbo", "rcd", "circuit-breaker", "fuse", "contactor", "blank",
                  "line-bar", "neutral-bar", "earth-bar", "origin", "main-earthing-terminal",
                  "charging-point", "electrode"]
    order: int
    modules: int = 0


@dataclass(frozen=True)
class Conductor:
    """A piece of metal between two terminals. `cable` names the feed or the circuit it runs in, "" inside.

    `contact` says how it sits in the terminal of its `contact_end`; `contact_ohm` is what that adds.
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


@dataclass(frozen=True)
class Wiring:
    parts: tuple[Part, ...] = ()
    terminals: tuple[Terminal, ...] = ()
    conductors: tuple[Conductor, ...] = ()
    by_terminal: dict[str, tuple[Conductor, ...]] = field(default_factory=dict)

    @staticmethod
    def of(parts: list[Part], terminals: list[Terminal], conductors: list[Conductor]) -> "Wiring":
        ends: dict[str, list[Conductor]] = {terminal.id: [] for terminal in terminals}
        for conductor in conductors:
            ends[conductor.start].append(conductor)
            ends[conductor.end].append(conductor)
        return Wiring(tuple(parts), tuple(terminals), tuple(conductors),
                      {name: tuple(items) for name, items in ends.items()})

    @property
    def main_earth(self) -> str:
        """The terminal the feed's protective conductor comes from: the main earthing terminal, or the existing panel's grounding bus."""
        return MAIN_EARTH if self.terminal(MAIN_EARTH) else ORIGIN_EARTH

    def part(self, name: str) -> Part | None:
        return next((part for part in self.parts if part.name == name), None)

    def terminal(self, terminal_id: str) -> Terminal | None:
        return next((terminal for terminal in self.terminals if terminal.id == terminal_id), None)

    def terminals_of(self, device: str) -> tuple[Terminal, ...]:
        return tuple(terminal for terminal in self.terminals if terminal.device == device)

    def conductors_at(self, terminal_id: str) -> tuple[Conductor, ...]:
        return self.by_terminal.get(terminal_id, ())

    def neighbours(self, terminal_id: str) -> Iterator[str]:
        for conductor in self.conductors_at(terminal_id):
            yield conductor.end if conductor.start == terminal_id else conductor.start
