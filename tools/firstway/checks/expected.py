"""Checks: one line of the list of tests: where, what a tester is foretold to show, the limit."""

from collections.abc import Iterator
from itertools import combinations
from typing import Literal

from firstway.checks.reading_limits import Limit
from firstway.checks.rule import Case
from firstway.frozen import dataclass
from firstway.model.installation import ChargingPoint, Circuit, Installation, Way
from firstway.wiring.circuit import States
from firstway.wiring.circuit import WiredCircuit as Network
from firstway.wiring.readings import ShownReading

DEAD: Literal["dead"] = "dead"
LIVE: Literal["live"] = "live"
AUTHORISED = "authorised person only"
TestedPair = tuple[str, str]


@dataclass(frozen=True)
class Expected:
    """One test. `key`, `of`, `between` and `state` name it, as `readings:` of a file does.

    `step` is the step of the working that gives the same figure; `because` why a sound reading may
    differ; `part` the device or part a finding marks.
    """

    key: str
    of: str
    phase: Literal["dead", "live"]
    test: str
    where: str
    shown: ShownReading
    limit: Limit
    because: str
    step: str = ""
    between: tuple[str, ...] = ()
    state: str = ""

    @property
    def is_a_test(self) -> bool:
        """Whether it is made; a cartridge left in by mistake is listed to be understood."""
        return self.key != "surge-in"


@dataclass(frozen=True)
class Bench:
    """A case with its circuit solved as a network, and the questions every list of tests asks."""

    case: Case
    network: Network

    @property
    def installation(self) -> Installation:
        return self.case.installation

    @property
    def is_nec(self) -> bool:
        return self.installation.rules == "nec"

    @property
    def earth_word(self) -> str:
        return "ground" if self.is_nec else "earth"

    def way(self, circuit: Circuit) -> Way:
        return self.installation.way_feeding(circuit.name)

    def points(self) -> Iterator[tuple[Circuit, ChargingPoint]]:
        """Each charging point with the circuit that reaches it."""
        for circuit in self.installation.circuits:
            for point in self.installation.points_of(circuit):
                yield circuit, point

    def has(self, terminal: str) -> bool:
        return self.network.wiring.terminal(terminal) is not None

    def lines_at(self, part: str) -> tuple[str, ...]:
        """The lines that have a terminal at a part, in their order."""
        found = {each.function for each in self.network.wiring.terminals_of(part)}
        return tuple(line for line in ("L1", "L2", "L3") if line in found)

    def bar(self, line: str) -> str:
        """Where a tester finds a line in the board; the origin where there is no bar for it."""
        terminals = self.network.wiring.terminals_of("bar")
        return next((each.id for each in terminals if each.function == line), f"origin.{line}")

    def earth_of(self, point: str) -> str:
        """The protective terminal of a point, wherever its conductor was put."""
        parked = f"{point}.parked.PE"
        return parked if self.has(parked) else f"{point}.PE"

    def isolated(self, circuit: Circuit, bridges: tuple[TestedPair, ...] = ()) -> States:
        """Isolated at the origin, its device off, every point and cartridge off the cables."""
        return States(
            open=self.all_isolated | {self.way(circuit).name},
            out=self._points_out() | self._surge_out(),
            bridges=bridges,
        )

    def at_origin(self) -> States:
        """Isolated at the origin, the points off the cables."""
        return States(open=self.all_isolated, out=self._points_out())

    @property
    def all_isolated(self) -> frozenset[str]:
        """The network and every source beside it: no dead test is made before."""
        return frozenset({"origin", *(str(each.name) for each in self.installation.sources)})

    def _points_out(self) -> frozenset[str]:
        return frozenset(str(point.name) for point in self.installation.charging_points)

    def _surge_out(self) -> frozenset[str]:
        return frozenset(
            str(each.name) for each in self.installation.board.ways if each.device == "spd"
        )


def live_names(circuit: Circuit) -> tuple[str, ...]:
    """The live conductors of a circuit: its lines, and its neutral where it has one."""
    return (*(str(line) for line in circuit.lines), *(("N",) if circuit.neutral is True else ()))


def pairs(names: tuple[str, ...]) -> tuple[TestedPair, ...]:
    """Every two of them.

    >>> pairs(("L1", "L2", "N"))
    (('L1', 'L2'), ('L1', 'N'), ('L2', 'N'))
    """
    return tuple(combinations(names, 2))
