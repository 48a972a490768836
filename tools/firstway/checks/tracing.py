"""Checks: questions the rules over the wiring ask of its graph: what is joined to what, and which conductor joins unlike terminals.

These rules find what is wrong in the wiring the file describes. They never pass: no file proves what was really wired.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Iterator

from firstway.checks.case import Case
from firstway.wiring.circuit import Circuit, Link, States, circuit_of
from firstway.wiring.graph import Conductor, Terminal, Wiring
from firstway.wiring.joining import groups, only_conductors

def circuit_for(case: Case) -> Circuit:
    return circuit_of(case.installation, case.wiring)


@dataclass(frozen=True)
class Unlike:
    """A conductor between two terminals of different function."""

    conductor: Conductor
    one: Terminal
    other: Terminal

    @property
    def functions(self) -> frozenset[str]:
        return frozenset((self.one.function, self.other.function))

    def at(self, kind: str, wiring: Wiring) -> bool:
        """Whether one of its ends is at a part of this kind."""
        return any((part := wiring.part(end.device)) is not None and part.kind == kind for end in (self.one, self.other))


def unlike(case: Case) -> tuple[Unlike, ...]:
    """Every conductor that joins terminals of different function."""
    found = []
    for conductor in case.wiring.conductors:
        one, other = case.wiring.terminal(conductor.start), case.wiring.terminal(conductor.end)
        if one is not None and other is not None and one.function != other.function:
            found.append(Unlike(conductor, one, other))
    return tuple(found)


def is_line(function: str) -> bool:
    return function.startswith("L")


def owner(case: Case, conductor: Conductor) -> str:
    """The named part a finding about a conductor is about."""
    if conductor.cable:
        return conductor.cable
    names = {way.name for way in case.installation.board.ways}
    for end in (conductor.start, conductor.end):
        if end.partition(".")[0] in names:
            return end.partition(".")[0]
    return "board"


def has_unlike(case: Case, terminal: str) -> bool:
    """Whether a crossed conductor is at this terminal: then another rule speaks of it."""
    return any(terminal in (each.conductor.start, each.conductor.end) for each in unlike(case))


def joined(case: Case, states: States = States(), conductors_only: bool = False, without: tuple[str, ...] = ()) -> dict[str, str]:
    """Each terminal with its group: through closed poles and conductors, or conductors alone."""
    circuit = circuit_for(case)
    return groups(circuit, states, only_conductors, without) if conductors_only else groups(circuit, states, without=without)


def terminals_of_kind(case: Case, kind: str) -> Iterator[Terminal]:
    """The terminals of every part of a kind."""
    for part in case.wiring.parts:
        if part.kind == kind:
            yield from case.wiring.terminals_of(part.name)


def poles_of(case: Case, device: str) -> tuple[Link, ...]:
    return tuple(link for link in circuit_for(case).links if link.kind == "pole" and link.of == device)
