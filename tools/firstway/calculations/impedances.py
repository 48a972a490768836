"""Calculations: one network solved once, then any number of faults in it by superposition.

Eliminating a node turns the star of its branches into a mesh (Campbell 1911, "Cisoidal
oscillations"): only sums and products of conductances, never a difference, so that microhms beside
kilohms lose no digits. A board is nearly a tree: a node has two or three neighbours when it goes,
and a column of the impedance matrix costs a few additions a node. Knows no file and no board.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import field

from firstway.calculations.adding import added_phasors
from firstway.calculations.nodal import Branch, Ohms, Volts, merged
from firstway.calculations.phasors import magnitude
from firstway.frozen import dataclass

Column = Sequence[Volts]
"""Volts of every place, in the order of `Impedances.places`."""


@dataclass(frozen=True)
class _Gone:
    """An eliminated node: each neighbour's share of its conductance, and 1 over the whole."""

    node: int
    shares: tuple[tuple[int, Volts], ...]
    resistance: Ohms


@dataclass
class Impedances:
    """The network at rest and under its forces, against `reference`.

    `places` gives each node that has a conducting way to the reference its number; nodes joined by
    branches without resistance share one. The reference has none: it is at 0 V.
    """

    places: Mapping[str, int | None]
    order: Sequence[_Gone]
    driven: Sequence[tuple[int, int, Volts]]
    columns: dict[int, Column] = field(default_factory=dict)

    @staticmethod
    def of(branches: Sequence[Branch], reference: str) -> "Impedances":
        """Solve a network; a force in a branch without resistance is refused (ValueError)."""
        places = _places(branches, reference)
        alive = [branch for branch in branches if branch.ohm and branch.start in places]
        size = 1 + max((place for place in places.values() if place is not None), default=-1)
        near: list[dict[int, Volts]] = [{} for _ in range(size)]
        earth: list[Volts] = [0.0] * size
        driven: list[tuple[int, int, Volts]] = []
        for branch in alive:
            one, other = places[branch.start], places[branch.end]
            if one == other:
                continue
            conductance = 1 / branch.ohm
            _join(near, earth, one, other, conductance)
            if branch.volts:
                driven.append(
                    (
                        -1 if one is None else one,
                        -1 if other is None else other,
                        branch.volts * conductance,
                    )
                )
        return Impedances(places, _eliminated(near, earth), driven)

    def column(self, node: str) -> Column | None:
        """Volts at every place for 1 A driven into a node out of the reference; None where nothing
        holds it.
        """
        if node not in self.places:
            return None
        place = self.places[node]
        if place is None:
            return [0.0] * len(self.order)
        if place not in self.columns:
            self.columns[place] = self._solved({place: 1.0})
        return self.columns[place]

    def at_rest(self) -> Column:
        """Volts at every place under the network's own forces, before any fault."""
        currents: dict[int, Volts] = {}
        for one, other, ampere in self.driven:
            for place, sign in ((one, -1), (other, 1)):
                if place >= 0:
                    currents[place] = currents.get(place, 0.0) + sign * ampere
        return self._solved(currents)

    def _solved(self, currents: Mapping[int, Volts]) -> Column:
        driven: list[Volts] = [0.0] * len(self.order)
        for place, ampere in currents.items():
            driven[place] = ampere
        for gone in self.order:
            ampere = driven[gone.node]
            if ampere:
                for place, share in gone.shares:
                    driven[place] += ampere * share
        volts: list[Volts] = [0.0] * len(self.order)
        for gone in reversed(self.order):
            found = driven[gone.node] * gone.resistance
            for place, share in gone.shares:
                found += share * volts[place]
            volts[gone.node] = found
        return volts


def volts_at(impedances: Impedances, column: Column, node: str) -> Volts:
    """Volts of a node that the network holds; 0 at the reference."""
    place = impedances.places[node]
    return 0.0 if place is None else column[place]


def _places(branches: Sequence[Branch], reference: str) -> dict[str, int | None]:
    for branch in branches:
        if not branch.ohm and branch.volts:
            raise ValueError(f"the branch {branch.start} to {branch.end} needs a resistance")
    nodes = {reference: None} | {
        node: None for branch in branches for node in (branch.start, branch.end)
    }
    held = merged(nodes, ((branch.start, branch.end) for branch in branches))
    groups = merged(nodes, ((branch.start, branch.end) for branch in branches if not branch.ohm))
    numbers: dict[str, int | None] = {groups[reference]: None}
    found: dict[str, int | None] = {}
    for node in nodes:  # in the order they are first named: the same file gives the same bytes
        if held[node] == held[reference]:
            group = groups[node]
            if group not in numbers:
                numbers[group] = len(numbers) - 1
            found[node] = numbers[group]
    return found


def _join(
    near: list[dict[int, Volts]],
    earth: list[Volts],
    one: int | None,
    other: int | None,
    conductance: Volts,
) -> None:
    if one is None or other is None:
        place = other if one is None else one
        assert place is not None
        earth[place] += conductance
        return
    near[one][other] = near[one].get(other, 0.0) + conductance
    near[other][one] = near[other].get(one, 0.0) + conductance


def _eliminated(near: list[dict[int, Volts]], earth: list[Volts]) -> list[_Gone]:
    """Every node turned from star to mesh, the one with the fewest neighbours first."""
    neighbours = [len(own) for own in near]
    gone = len(near)  # more than any node can have
    found: list[_Gone] = []
    for _ in near:
        node = neighbours.index(min(neighbours))  # of several the first
        neighbours[node] = gone
        own = near[node]
        whole = added_phasors(own.values()) + earth[node]
        shares = tuple((place, conductance / whole) for place, conductance in own.items())
        for index, (one, share) in enumerate(shares):
            del near[one][node]
            earth[one] += share * earth[node]
            for other, _ in shares[index + 1 :]:
                _join(near, earth, one, other, share * own[other])
        for place in own:
            neighbours[place] = len(near[place])
        found.append(_Gone(node, shares, 1 / whole))
    return found


def short_circuit(
    impedances: Impedances, before: Column, nodes: Sequence[str]
) -> list[Volts] | None:
    """Ampere into each of the nodes when they are all joined; None where nothing holds one, or they
    are one already.

    Superposition: the voltages between the nodes before the fault, through the impedances seen from
    between them.
    """
    if len(nodes) == 2:
        return _between_two(impedances, before, *nodes)
    columns = [impedances.column(node) for node in nodes]
    if any(column is None for column in columns) or len(
        {impedances.places[node] for node in nodes}
    ) < len(nodes):
        return None
    last, far = nodes[-1], columns[-1]
    others = [(node, column) for node, column in zip(nodes[:-1], columns[:-1])]
    at = lambda column, node: volts_at(impedances, column, node)
    matrix = [
        [at(column, row) - at(far, row) - at(column, last) + at(far, last) for _, column in others]
        for row, _ in others
    ]
    rises = [at(before, row) - at(before, last) for row, _ in others]
    currents = _small(matrix, rises)
    return [*(-ampere for ampere in currents), added_phasors(currents)]


def _between_two(
    impedances: Impedances, before: Column, one: str, other: str
) -> list[Volts] | None:
    """The usual case written out: the voltage between the two, by the impedance between them."""
    places = impedances.places
    if one not in places or other not in places or places[one] == places[other]:
        return None
    volts: Volts = 0.0
    ohm: Ohms = 0.0
    for node, sign in ((one, 1.0), (other, -1.0)):
        place, column = places[node], impedances.column(node)
        if place is not None and column is not None:
            far = places[other if node == one else one]
            volts += sign * before[place]
            ohm += column[place] - (0.0 if far is None else column[far])
    ampere = volts / ohm
    return [-ampere, ampere]


def _small(matrix: list[list[Volts]], driven: list[Volts]) -> list[Volts]:
    """A few equations, by elimination: a fault joins three nodes; four where a neutral is crossed
    with a line.
    """
    if not driven:
        return []
    first = max(range(len(driven)), key=lambda row: magnitude(matrix[row][0]))
    pivot, rest = matrix[first], [row for row in range(len(driven)) if row != first]
    shares = [matrix[row][0] / pivot[0] for row in rest]
    found = _small(
        [
            [ohm - share * own for ohm, own in zip(matrix[row][1:], pivot[1:])]
            for row, share in zip(rest, shares)
        ],
        [driven[row] - share * driven[first] for row, share in zip(rest, shares)],
    )
    others: Volts = 0.0
    for ohm, ampere in zip(
        pivot[1:], found
    ):  # one by one: the same on every Python, and far more often than any other sum
        others += ohm * ampere
    return [(driven[first] - others) / pivot[0], *found]


def after(
    impedances: Impedances, before: Column, nodes: Iterable[str], currents: Iterable[Volts]
) -> Column:
    """Volts at every place with currents driven into nodes, added to what was there before."""
    found = list(before)
    for node, ampere in zip(nodes, currents):
        column = impedances.column(node)
        assert column is not None
        for place, ohm in enumerate(column):
            found[place] += ampere * ohm
    return found
