"""Calculations: a small dense nodal solver for real or complex networks; a node that nothing holds
is None, never zero.

A branch joins two nodes through a resistance, with an electromotive force in it or none. Branches
of no resistance and no force make one node of two. Knows no file and no board.
"""

from collections.abc import Iterable, Mapping, Sequence

from firstway.calculations.adding import added_phasors
from firstway.calculations.phasors import magnitude
from firstway.frozen import dataclass

Volts = complex | float
"""A voltage in V: a number, or a phasor as a complex number."""
Ohms = complex | float
"""A resistance or an impedance in ohm, 0 or more; complex where it has a reactance."""


@dataclass(frozen=True)
class Branch:
    """From `start` to `end` through `ohm` (0 or more; an impedance may be complex).

    `volts` is by how much `end` is driven above `start`, in V.
    """

    start: str
    end: str
    ohm: Ohms
    volts: Volts = 0.0


def merged(nodes: Iterable[str], pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """Each node with the name of the group it falls into when the pairs are joined."""
    head: dict[str, str] = {node: node for node in nodes}

    def top(node: str) -> str:
        head.setdefault(node, node)
        while head[node] != node:
            head[node] = head[head[node]]
            node = head[node]
        return node

    for one, other in pairs:
        head[top(one)] = top(other)
    return {node: top(node) for node in list(head)}


def potentials(branches: Sequence[Branch], reference: str) -> dict[str, Volts | None]:
    """Potential of every node against `reference`, in V; None for a node with no conducting way to
    it.

    Law: Kirchhoff's currents at each node, Ohm's law in each branch. A force in a branch without
    resistance is refused (ValueError): every real source has some.
    """
    for branch in branches:
        if branch.ohm.real < 0 or (branch.ohm == 0 and branch.volts):
            raise ValueError(f"the branch {branch.start} to {branch.end} needs a resistance")
    groups = _groups(branches, reference)
    held = merged({reference}, ((branch.start, branch.end) for branch in branches))
    alive = [
        branch
        for branch in branches
        if branch.ohm != 0
        and held[branch.start] == held[reference]
        and groups[branch.start] != groups[branch.end]
    ]
    unknown = sorted(
        {groups[node] for branch in alive for node in (branch.start, branch.end)}
        - {groups[reference]}
    )
    solved = dict(zip(unknown, _solved(*_equations(alive, groups, unknown))))
    solved[groups[reference]] = 0.0
    return {
        node: solved.get(group) if held[node] == held[reference] else None
        for node, group in groups.items()
    }


def _groups(branches: Sequence[Branch], reference: str) -> dict[str, str]:
    nodes = {reference} | {node for branch in branches for node in (branch.start, branch.end)}
    return merged(nodes, ((branch.start, branch.end) for branch in branches if branch.ohm == 0))


def _equations(
    branches: Sequence[Branch], groups: Mapping[str, str], unknown: Sequence[str]
) -> tuple[list[list[Volts]], list[Volts]]:
    """Conductance matrix and the currents driven into each node."""
    place = {node: index for index, node in enumerate(unknown)}
    matrix: list[list[Volts]] = [[0.0] * len(unknown) for _ in unknown]
    driven: list[Volts] = [0.0] * len(unknown)
    for branch in branches:
        one, other = place.get(groups[branch.start]), place.get(groups[branch.end])
        conductance = 1 / branch.ohm
        for here, there, sign in ((one, other, -1), (other, one, 1)):
            if here is None:
                continue
            matrix[here][here] += conductance
            driven[here] += sign * branch.volts * conductance
            if there is not None:
                matrix[here][there] -= conductance
    return matrix, driven


def _solved(matrix: list[list[Volts]], driven: list[Volts]) -> list[Volts]:
    """Gauss's elimination with the largest pivot of each column."""
    size = len(driven)
    for column in range(size):
        best = max(range(column, size), key=lambda row: magnitude(matrix[row][column]))
        matrix[column], matrix[best] = matrix[best], matrix[column]
        driven[column], driven[best] = driven[best], driven[column]
        for row in range(column + 1, size):
            if matrix[row][column]:
                share = matrix[row][column] / matrix[column][column]
                driven[row] -= share * driven[column]
                for other in range(column, size):
                    matrix[row][other] -= share * matrix[column][other]
    found: list[Volts] = [0.0] * size
    for row in range(size - 1, -1, -1):
        rest = added_phasors(matrix[row][column] * found[column] for column in range(row + 1, size))
        found[row] = (driven[row] - rest) / matrix[row][row]
    return found


def voltage_v(branches: Sequence[Branch], one: str, other: str) -> Volts | None:
    """Voltage of `one` above `other`; None where no conducting way joins them."""
    return potentials(branches, other).get(one)


def resistance_ohm(branches: Sequence[Branch], one: str, other: str) -> float | None:
    """Resistance between two nodes with every force at rest; None where no conducting way joins
    them.

    >>> resistance_ohm([Branch("a", "b", 6.0), Branch("a", "b", 3.0)], "a", "b")
    2.0
    """
    at_rest = [Branch(branch.start, branch.end, branch.ohm) for branch in branches]
    groups = _groups(at_rest, other)
    if groups.get(one) == groups[other]:
        return 0.0
    held = merged({one, other}, ((branch.start, branch.end) for branch in at_rest))
    if held[one] != held[other]:
        return None
    # A driven branch of 1 V through 1 ohm: by the divider R = v / (1 - v).
    found = potentials([*at_rest, Branch(other, one, 1.0, 1.0)], other)[one]
    assert found is not None
    return round(magnitude(found) / magnitude(1 - found), 12)


def current_a(branch: Branch, found: Mapping[str, Volts | None]) -> Volts | None:
    """Current from `start` to `end` inside a branch of some resistance, in A."""
    one, other = found.get(branch.start), found.get(branch.end)
    if one is None or other is None or branch.ohm == 0:
        return None
    return (one - other + branch.volts) / branch.ohm
