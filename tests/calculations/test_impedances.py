"""The solver of faults: laws of networks, circuits worked by hand, and our other solver beside it.

Kirchhoff's laws are tried on what it gives, so that it is not held to itself.
"""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as draw

from firstway.calculations.impedances import Impedances, after, short_circuit, volts_at
from firstway.calculations.nodal import Branch, potentials

NODES = tuple(f"n{place}" for place in range(8))


@draw.composite
def networks(choose: draw.DrawFn) -> list[Branch]:
    """Eight nodes that all hold together, some by no resistance at all, with one force."""
    ohm = draw.sampled_from([0.0, 1e-6, 0.02, 0.35, 7.0, 150.0])
    tree = [
        Branch(NODES[choose(draw.integers(0, place - 1))], NODES[place], choose(ohm))
        for place in range(1, 8)
    ]
    ends = draw.tuples(draw.sampled_from(NODES), draw.sampled_from(NODES))
    more = [Branch(*choose(ends), choose(ohm)) for _ in range(choose(draw.integers(0, 5)))]
    return [*tree, *more, Branch("n0", NODES[choose(draw.integers(1, 7))], 0.2, 230.0)]


def test_impedances__divider() -> None:
    """230 V through 0.2 ohm to a node with 0.3 ohm and then open: by Ohm's law 230 V there, 230/0.5
    A when it is earthed.
    """
    solved = Impedances.of([Branch("star", "a", 0.2, 230.0), Branch("a", "b", 0.3)], "star")
    rest = solved.at_rest()
    assert volts_at(solved, rest, "b") == pytest.approx(230.0)
    assert short_circuit(solved, rest, ["b", "star"]) == pytest.approx([-460.0, 460.0])


def test_impedances__bridge() -> None:
    """A bridge of 1, 2, 3, 4 ohm with 5 ohm across: 155/74 ohm by the star of 1, 3 and 5 ohm
    (textbook transformation).
    """
    bridge = [
        Branch("top", "left", 1.0),
        Branch("left", "foot", 2.0),
        Branch("top", "right", 3.0),
        Branch("right", "foot", 4.0),
        Branch("left", "right", 5.0),
    ]
    a, b, c = 1 * 3 / 9, 1 * 5 / 9, 3 * 5 / 9  # the star in the place of the upper triangle
    by_hand = a + (b + 2) * (c + 4) / (b + c + 6)
    assert by_hand == pytest.approx(155 / 74)
    solved = Impedances.of(bridge, "foot")
    column = solved.column("top")
    assert column is not None and volts_at(solved, column, "top") == pytest.approx(by_hand)


def test_impedances__three_lines_joined_give_the_current_of_a_balanced_fault() -> None:
    """Three forces of 230 V at 120 degrees behind 0.1 ohm each: U0/Z = 2300 A in every line, and
    none is left over.
    """
    turn = complex(-0.5, -(3**0.5) / 2)
    solved = Impedances.of(
        [
            Branch("star", name, 0.1, 230 * turn**place)
            for place, name in enumerate(("L1", "L2", "L3"))
        ],
        "star",
    )
    currents = short_circuit(solved, solved.at_rest(), ["L1", "L2", "L3"])
    assert currents is not None
    assert [abs(ampere) for ampere in currents] == pytest.approx([2300.0] * 3)
    assert abs(sum(currents)) < 1e-9


def test_impedances__a_neutral_joined_to_a_balanced_fault_carries_nothing() -> None:
    """The same three lines joined to a neutral of 0.1 ohm: by symmetry it carries nothing."""
    turn = complex(-0.5, -(3**0.5) / 2)
    lines = [
        Branch("star", name, 0.1, 230 * turn**place)
        for place, name in enumerate(("L1", "L2", "L3"))
    ]
    solved = Impedances.of([*lines, Branch("star", "N", 0.1)], "star")
    currents = short_circuit(solved, solved.at_rest(), ["L1", "L2", "L3", "N"])
    assert currents is not None
    assert [abs(ampere) for ampere in currents] == pytest.approx([2300.0] * 3 + [0.0], abs=1e-9)


def test_impedances__source_at_right_angles() -> None:
    """A reactance of 0.3 ohm and a resistance of 0.4 ohm: 0.5 ohm, the oldest triangle there is."""
    solved = Impedances.of([Branch("star", "a", 0.3j, 230.0), Branch("a", "b", 0.4)], "star")
    currents = short_circuit(solved, solved.at_rest(), ["b", "star"])
    assert currents is not None and abs(currents[0]) == pytest.approx(460.0)


def test_impedances__a_node_that_nothing_holds_has_none() -> None:
    solved = Impedances.of([Branch("star", "a", 0.2, 230.0), Branch("c", "d", 1.0)], "star")
    assert (
        solved.column("c") is None and short_circuit(solved, solved.at_rest(), ["a", "c"]) is None
    )


def test_impedances__nodes_that_are_one_already_give_no_fault() -> None:
    solved = Impedances.of([Branch("star", "a", 0.2, 230.0), Branch("a", "b", 0.0)], "star")
    assert short_circuit(solved, solved.at_rest(), ["a", "b"]) is None


def test_impedances__a_force_without_resistance_is_refused() -> None:
    with pytest.raises(ValueError, match="needs a resistance"):
        Impedances.of([Branch("star", "a", 0.0, 230.0)], "star")


def test_impedances__microhms_beside_kilohms_lose_no_digits() -> None:
    """A leak of 100 kilohms behind eight poles of a microhm each: 2.3 mA through every pole, to
    nine digits.
    """
    poles = [Branch(f"p{place}", f"p{place + 1}", 1e-6) for place in range(8)]
    solved = Impedances.of(
        [Branch("star", "p0", 0.1, 230.0), *poles, Branch("p8", "leak", 1e5)], "star"
    )
    rest = solved.at_rest()
    currents = short_circuit(solved, rest, ["leak", "star"])
    assert currents is not None
    volts = after(solved, rest, ["leak", "star"], currents)
    expected = 230 / (1e5 + 0.1 + 8e-6)
    assert abs(currents[0]) == pytest.approx(expected, rel=1e-12)
    for pole in poles:
        ampere = (volts_at(solved, volts, pole.start) - volts_at(solved, volts, pole.end)) / 1e-6
        assert ampere == pytest.approx(expected, abs=1e-6)


@settings(deadline=None, max_examples=60)
@given(networks())
def test_impedances__are_the_same_seen_from_either_end(branches: list[Branch]) -> None:
    """Reciprocity (Lorentz; any network of resistances): volts at b for an ampere into a, and the
    other way about.
    """
    solved = Impedances.of(branches, "n0")
    for one in NODES:
        for other in NODES:
            mine, theirs = solved.column(one), solved.column(other)
            assert mine is not None and theirs is not None
            assert volts_at(solved, mine, other) == pytest.approx(
                volts_at(solved, theirs, one), rel=1e-9, abs=1e-15
            )


@settings(deadline=None, max_examples=60)
@given(networks(), draw.sampled_from(NODES), draw.sampled_from(NODES))
def test_short_circuit__keeps_kirchhoff(branches: list[Branch], one: str, other: str) -> None:
    """With the fault in place its two nodes stand at one voltage, and what leaves each node arrives
    there.
    """
    solved = Impedances.of(branches, "n0")
    rest = solved.at_rest()
    currents = short_circuit(solved, rest, [one, other])
    if currents is None:
        assert solved.places[one] == solved.places[other]
        return
    volts = after(solved, rest, [one, other], currents)
    assert volts_at(solved, volts, one) == pytest.approx(volts_at(solved, volts, other), abs=1e-6)
    beside = potentials([*branches, Branch(one, other, 0.0)], "n0")
    for node in NODES:
        assert volts_at(solved, volts, node) == pytest.approx(beside[node], abs=1e-4)


@settings(deadline=None, max_examples=40)
@given(networks(), draw.integers(0, 6), draw.sampled_from(NODES))
def test_more_resistance_anywhere_never_lowers_what_is_seen(
    branches: list[Branch], which: int, node: str
) -> None:
    """Rayleigh's law of monotony (1871): no resistance between two places falls when one inside
    grows.
    """
    grown = [
        Branch(each.start, each.end, each.ohm + (0.5 if place == which else 0.0), each.volts)
        for place, each in enumerate(branches)
    ]
    before, later = (Impedances.of(some, "n0") for some in (branches, grown))
    one, other = before.column(node), later.column(node)
    assert one is not None and other is not None
    assert volts_at(later, other, node) >= volts_at(before, one, node) - 1e-12


def test_the_order_of_branches_changes_nothing() -> None:
    branches = [
        Branch("star", "a", 0.2, 230.0),
        Branch("a", "b", 0.1),
        Branch("b", "c", 0.4),
        Branch("star", "c", 2.0),
        Branch("b", "star", 5.0),
    ]
    mixed = list(branches)
    Random(4).shuffle(mixed)
    found = [
        short_circuit(solved, solved.at_rest(), ["c", "star"])
        for solved in (Impedances.of(some, "star") for some in (branches, mixed))
    ]
    assert found[0] == pytest.approx(found[1], rel=1e-13)
