"""Checks: questions the rules over the wiring ask of its graph: what is joined to what, and which
conductor joins unlike terminals.

These rules find what is wrong in the wiring the file describes. They never pass: no file proves
what was really wired.
"""

from collections.abc import Iterator

from firstway.checks.rule import Case
from firstway.frozen import dataclass
from firstway.wiring.graph import Conductor, Terminal, Wiring
from firstway.wiring.links import Link


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
        return any(
            (part := wiring.part(end.device)) is not None and part.kind == kind
            for end in (self.one, self.other)
        )


def unlike(case: Case) -> tuple[Unlike, ...]:
    """Every conductor that joins terminals of different function."""
    return case.kept("unlike", lambda: _unlike(case.wiring))


def _unlike(wiring: Wiring) -> tuple[Unlike, ...]:
    terminals = {terminal.id: terminal for terminal in wiring.terminals}
    ends = (
        (each, terminals.get(each.start), terminals.get(each.end)) for each in wiring.conductors
    )
    return tuple(
        Unlike(conductor, one, other)
        for conductor, one, other in ends
        if one is not None and other is not None and one.function != other.function
    )


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


def terminals_of_kind(case: Case, kind: str) -> Iterator[Terminal]:
    """The terminals of every part of a kind."""
    for part in case.wiring.parts:
        if part.kind == kind:
            yield from case.wiring.terminals_of(part.name)


def poles_of(case: Case, device: str) -> tuple[Link, ...]:
    return tuple(link for link in case.circuit.links if link.kind == "pole" and link.of == device)
