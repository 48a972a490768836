"""Wiring: the graph while it is being made: terminals and conductors are added one by one."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property

from firstway.model.evidence import Scope, alone, scope
from firstway.model.installation import Cable, Installation
from firstway.model.lines import lines_of
from firstway.model.values import UNKNOWN, is_known
from firstway.tables.looking_up import conductor_colour
from firstway.tables.reading import Gap
from firstway.wiring.graph import (
    MAIN_EARTH,
    ORIGIN_EARTH,
    Conductor,
    ConductorKind,
    Edge,
    End,
    Part,
    Terminal,
    function_of,
    rested,
)
from firstway.wiring.metal import Metal

IN_ZE = "supply.ze_ohm"
"""The path of Ze, which is measured at the end of the earthing conductor, taken off the main
earthing terminal (BS 7671 643.7.3): that conductor is in it.
"""
IN_SUPPLY = "supply"
"""Of conductors that the supply's impedance holds already: it is that at the origin, where the
tails end.
"""
IN_ROUTE = "feed.route"
"""Of conductors that the route of the feed holds already; it begins at the origin."""
INSIDE = "inside the enclosure"
"""Of conductors that no loop of the trade counts: see circuit.py."""


@dataclass
class Draft:
    """The wiring while it is put together; `Wiring.of` is what comes of it."""

    installation: Installation
    parts: list[Part] = field(default_factory=list)
    terminals: list[Terminal] = field(default_factory=list)
    conductors: list[Conductor] = field(default_factory=list)
    positions: dict[str, int] = field(default_factory=dict)
    open: tuple[Scope, ...] = ()  # what was read to decide how the next conductors are joined

    @contextmanager
    def deciding(self) -> Iterator[None]:
        """What is read meanwhile decides how conductors are joined: those made meanwhile rest on
        it, and no others.
        """
        with scope() as seen:
            self.open = (*self.open, seen)
            yield
            self.open = self.open[:-1]

    @cached_property
    def bar_edge(self) -> Edge:
        """Which edge of the devices the line bar joins; where things lie is no evidence of how they
        are joined.
        """
        bar = self.installation.board.busbar
        edge = alone(lambda: bar.joins_at if is_known(bar) else bar)[0]
        return "top" if edge == "top" else "bottom"

    @cached_property
    def ages(self) -> str:
        """Colours of the feed's cable: `harmonised`, `red-black` or `nec`; that of the rule set
        where the file does not say.
        """
        feed = self.installation.feed
        cable = feed.cable if is_known(feed) else UNKNOWN
        colours = alone(lambda: cable.colours if is_known(cable) else UNKNOWN)[0]
        return (
            str(colours)
            if is_known(colours)
            else ("nec" if self.installation.rules == "nec" else "harmonised")
        )

    @property
    def main_earth(self) -> str:
        """Where the protective conductors of the installation begin."""
        return ORIGIN_EARTH if self.installation.rules == "nec" else MAIN_EARTH

    def add(
        self, terminal_id: str, device: str, function: str, end: End = "both", edge: Edge = "bottom"
    ) -> str:
        """A terminal of a device; gives its id back."""
        self.terminals.append(Terminal(terminal_id, device, function_of(function), end, edge))
        return terminal_id

    def at_bar(self, bar: str, function: str) -> str:
        """The next free position of a bar; positions of one bar are joined by the bar itself."""
        place = self.positions.get(bar, 0) + 1
        self.positions[bar] = place
        terminal = self.add(f"{bar}.{place}", bar, function, "both", "top")
        if place > 1:
            self.join(f"{bar}.{place - 1}-{place}", f"{bar}.{place - 1}", terminal, function, "bar")
        return terminal

    def join(
        self,
        identity: str,
        start: str,
        end: str,
        function: str,
        kind: ConductorKind,
        metal: Callable[[], Metal] = Metal,
        cable: str = "",
        age: str = "",
        ferrule: str = "",
        counted_in: str = "",
        doubt: tuple[str, ...] = (),
    ) -> None:
        """A conductor.

        What `metal` reads of the file it rests on; `doubt` names keys without which it may not be
        there.
        """
        made, evidence = alone(metal)
        colour = conductor_colour(
            age or self.ages,
            "PE" if function == "PEN" else function,
            self._lines_counted(age or self.ages),
        )
        joined_by = tuple(dict.fromkeys(path for seen in self.open for path in seen.paths))
        self.conductors.append(
            rested(
                Conductor(
                    identity,
                    start,
                    end,
                    function_of(function),
                    kind,
                    made.csa_mm2,
                    made.size,
                    "" if isinstance(colour, Gap) else colour.value,
                    made.length_m,
                    cable,
                    ferrule,
                    path=made.path,
                    operating_c=made.operating_c,
                    counted_in=counted_in,
                    doubt=doubt,
                    missing=made.missing,
                    joined_by=joined_by,
                    evidence=tuple(dict.fromkeys((*joined_by, *evidence))),
                )
            )
        )

    def _lines_counted(self, age: str) -> int:
        """How the table of colours counts: under nec the two lines of one phase stand beside each
        other.
        """
        return 3 if len(lines_of(self.installation)) > 1 and age != "nec" else 1


def ferrule_of(device: object) -> str:
    """What the maker says of ferrules, "" where nothing; a finish is no evidence of how things are
    joined.
    """
    terminals = getattr(device, "terminals", None)
    ferrule = alone(lambda: getattr(terminals, "ferrule", None))[0]
    return ferrule if isinstance(ferrule, str) else ""


def age_of(cable: Cable) -> str:
    """The colours of a cable's cores, "" where the file does not say; a colour is no evidence
    either.
    """
    colours = alone(lambda: cable.colours)[0]
    return str(colours) if is_known(colours) else ""
