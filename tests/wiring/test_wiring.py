"""The wiring graph: what the file says is joined is joined, and nothing else.

R1+R2 is worked twice, by formula (workings) and here by nodal analysis over the graph with the
resistances of IEC 60228; the two routes must agree (Kirchhoff).
"""

from __future__ import annotations

import math

import pytest
from changing import done, installation
from sampling import JOBS

from firstway.wiring.circuit import circuit_of
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Conductor, Wiring

# IEC 60228, class 1 and 2, plain copper, 20 C, ohm/km.
OHM_PER_KM = {
    1.0: 18.1,
    1.5: 12.1,
    2.5: 7.41,
    4.0: 4.61,
    6.0: 3.08,
    10.0: 1.83,
    16.0: 1.15,
    25.0: 0.727,
    35.0: 0.524,
}


def wiring(name: str) -> Wiring:
    return done(name).case.wiring


def reached(
    graph: Wiring, start: str, function: str, devices: tuple[str, ...] = (), through: bool = True
) -> set[str]:
    """Terminals of one function reached from a terminal, through closed devices (but not through
    `devices`).
    """
    closed: dict[str, list[str]] = {}
    for terminal in graph.terminals:
        if ".supply." in terminal.id and through and terminal.device not in devices:
            other = terminal.id.replace(".supply.", ".load.")
            if graph.terminal(other):
                closed.setdefault(terminal.id, []).append(other)
                closed.setdefault(other, []).append(terminal.id)
    functions = {terminal.id: terminal.function for terminal in graph.terminals}
    seen, edge = {start}, [start]
    while edge:
        at = edge.pop()
        for each in [*graph.neighbours(at), *closed.get(at, [])]:
            if each not in seen and functions[each] == function:
                seen.add(each)
                edge.append(each)
    return seen


# ---- marram: a healthy board of one phase


def test_marram__every_terminal_of_its_devices() -> None:
    graph = wiring("marram")
    assert {terminal.id for terminal in graph.terminals_of("Q1")} == {
        "Q1.supply.L1",
        "Q1.load.L1",
        "Q1.supply.N",
        "Q1.load.N",
    }
    assert {terminal.id for terminal in graph.terminals_of("F1")} == {"F1.L1", "F1.N", "F1.PE"}
    assert {terminal.id for terminal in graph.terminals_of("F2")} == {
        "F2.supply.L1",
        "F2.load.L1",
        "F2.supply.N",
        "F2.load.N",
    }
    assert {terminal.id for terminal in graph.terminals_of("post-1")} >= {
        "post-1.L1",
        "post-1.N",
        "post-1.PE",
    }
    assert graph.terminals_of("S1") == (), "a blank has no terminal"


def test_marram__the_bar_joins_the_devices_at_its_end() -> None:
    """The file says the bar joins at the bottom: the outgoing terminals are then at the top."""
    graph = wiring("marram")
    edges = {terminal.id: terminal.edge for terminal in graph.terminals}
    assert edges["F2.supply.L1"] == edges["Q1.load.L1"] == edges["F1.L1"] == "bottom"
    assert edges["F2.load.L1"] == edges["F2.load.N"] == edges["Q1.supply.L1"] == "top"


def test_marram__the_outgoing_neutral_is_at_the_rcbo_not_on_the_bar() -> None:
    """A device that must see the neutral's current has the circuit's neutral at its own
    terminal.
    """
    graph = wiring("marram")
    core = next(
        conductor
        for conductor in graph.conductors
        if conductor.cable == "slipway" and conductor.function == "N"
    )
    assert (core.start, core.end) == ("F2.load.N", "post-1.N")
    assert "post-1.N" not in reached(graph, "neutral-bar.1", "N", devices=("F2",)), (
        "the neutral reaches the point through the RCBO only"
    )
    assert "post-1.N" in reached(graph, "neutral-bar.1", "N")


def test_marram__the_surge_device_stands_ahead_of_the_rcbo() -> None:
    graph = wiring("marram")
    assert "F1.L1" in reached(graph, "Q1.load.L1", "L1", devices=("F2",))
    assert "F1.N" in reached(graph, "Q1.load.N", "N", devices=("F2",))
    assert "F1.PE" in reached(graph, "earth-bar.1", "PE")


def test_marram__the_main_switch_cuts_off_the_board() -> None:
    graph = wiring("marram")
    for function, start in (("L1", "origin.L1"), ("N", "origin.N")):
        assert not {"F1." + function, "F2.supply." + function} & reached(
            graph, start, function, devices=("Q1",)
        )


def test_marram__armour_is_earthed_at_the_board_end_alone() -> None:
    graph = wiring("marram")
    armour = next(conductor for conductor in graph.conductors if conductor.kind == "armour")
    assert armour.start.startswith("earth-bar") and armour.end == "post-1.armour"
    assert [each.id for each in graph.conductors_at("post-1.armour")] == [armour.id]


def test_marram__a_rod_for_measuring_is_joined_to_nothing() -> None:
    assert wiring("marram").conductors_at("rod-1.PE") == ()


def test_marram__sizes_and_lengths_are_those_of_the_file() -> None:
    graph = wiring("marram")
    by_id = {conductor.id: conductor for conductor in graph.conductors}
    assert (by_id["feed.L1"].csa_mm2, by_id["feed.L1"].length_m, by_id["feed.PE"].csa_mm2) == (
        25,
        0.8,
        16,
    )
    assert (by_id["slipway.L1"].csa_mm2, by_id["slipway.L1"].length_m) == (6, 18)
    assert (by_id["lead.PE.F1"].csa_mm2, by_id["lead.PE.F1"].length_m) == (16, 0.25)


# ---- quince: the board with faults


def test_quince__the_surge_device_hangs_behind_the_rcbo() -> None:
    graph = wiring("quince")
    assert "F2.L1" not in reached(graph, "Q1.load.L1", "L1", devices=("F1",))
    assert "F2.L1" in reached(graph, "Q1.load.L1", "L1")
    assert {conductor.start for conductor in graph.conductors if conductor.kind == "lead"} >= {
        "F1.load.L1",
        "F1.load.N",
    }


def test_quince__the_protective_conductor_of_the_cable_is_parked() -> None:
    """The point stands on its own rod; the earth of the supply must not reach it."""
    graph = wiring("quince")
    assert "post-1.PE" not in reached(graph, "met.PE", "PE")
    assert reached(graph, "rod-1.PE", "PE") == {"rod-1.PE", "post-1.PE"}
    parked = graph.terminal("post-1.parked.PE")
    assert parked is not None and [each.cable for each in graph.conductors_at(parked.id)] == [
        "drive"
    ]


def test_tern__no_earth_comes_with_a_tt_supply() -> None:
    graph = wiring("tern")
    assert graph.terminal("origin.PE") is None
    assert "rods.PE" in reached(graph, "met.PE", "PE"), "the electrode earths the installation"


# ---- every shipped board


@pytest.mark.parametrize("name", JOBS)
def test_every_board_derives(name: str) -> None:
    graph = wiring_of(installation(name))
    identities = [terminal.id for terminal in graph.terminals]
    assert len(set(identities)) == len(identities)
    assert len({conductor.id for conductor in graph.conductors}) == len(graph.conductors)
    assert {part.name for part in graph.parts} >= {terminal.device for terminal in graph.terminals}
    assert wiring_of(installation(name)) == graph, "same file, same graph"


@pytest.mark.parametrize("name", JOBS)
def test_a_conductor_joins_two_terminals_of_its_function(name: str) -> None:
    graph = wiring(name)
    functions = {terminal.id: terminal.function for terminal in graph.terminals}
    for conductor in graph.conductors:
        assert conductor.start != conductor.end
        assert functions[conductor.start] == functions[conductor.end] == conductor.function, (
            conductor.id
        )


@pytest.mark.parametrize("name", JOBS)
def test_every_point_is_fed_from_the_origin_and_only_through_its_way(name: str) -> None:
    file, graph = done(name).installation, wiring(name)
    for circuit in file.circuits:
        way = file.way_feeding(circuit.name).name
        for point in circuit.supplies:
            for line in circuit.lines:
                assert f"{point}.{line}" in reached(graph, f"origin.{line}", line)
                assert f"{point}.{line}" not in reached(
                    graph, f"origin.{line}", line, devices=(way,)
                )


@pytest.mark.parametrize("name", JOBS)
def test_lines_neutral_and_earth_never_touch(name: str) -> None:
    graph = wiring(name)
    functions = {terminal.id: terminal.function for terminal in graph.terminals}
    for terminal in graph.terminals:
        for other in graph.neighbours(terminal.id):
            assert functions[other] == terminal.function


@pytest.mark.parametrize("name", JOBS)
def test_each_terminal_of_a_device_on_the_rail_is_wired(name: str) -> None:
    graph = wiring(name)
    for part in graph.parts:
        if part.kind in ("main-switch", "spd", "rcbo", "circuit-breaker", "charging-point"):
            loose = [
                terminal.id
                for terminal in graph.terminals_of(part.name)
                if not graph.conductors_at(terminal.id)
                and not terminal.id.startswith("service.supply.")
            ]  # the network's cable is no conductor of this graph
            assert loose == [], f"{part.name} has terminals nothing is joined to"


# ---- R1+R2 by nodal analysis


def resistance(conductor: Conductor) -> float:
    """At 20 C, in ohm; what has no length or no size is a bar, a tooth or a link and counts as
    none.
    """
    if (
        conductor.length_m is None
        or conductor.csa_mm2 is None
        or conductor.kind not in ("tail", "core")
    ):
        return 1e-9
    return OHM_PER_KM[conductor.csa_mm2] * conductor.length_m / 1000


def solved(matrix: list[list[float]], right: list[float]) -> list[float]:
    """Gauss with the largest pivot."""
    size = len(right)
    rows = [[*row, value] for row, value in zip(matrix, right)]
    for at in range(size):
        pivot = max(range(at, size), key=lambda each: abs(rows[each][at]))
        rows[at], rows[pivot] = rows[pivot], rows[at]
        for other in range(size):
            if other != at and rows[other][at]:
                factor = rows[other][at] / rows[at][at]
                rows[other] = [left - factor * above for left, above in zip(rows[other], rows[at])]
    return [rows[at][-1] / rows[at][at] for at in range(size)]


def seen_between(graph: Wiring, first: str, second: str, joined: tuple[str, str]) -> float:
    """Ohm between two terminals with every device closed and two terminals joined (line and earth
    at the point).
    """
    edges = [
        (conductor.start, conductor.end, resistance(conductor)) for conductor in graph.conductors
    ]
    edges += [
        (terminal.id, terminal.id.replace(".supply.", ".load."), 1e-9)
        for terminal in graph.terminals
        if ".supply." in terminal.id and graph.terminal(terminal.id.replace(".supply.", ".load."))
    ]
    edges.append((*joined, 1e-9))
    beside: dict[str, set[str]] = {}
    for start, end, _ in edges:
        beside.setdefault(start, set()).add(end)
        beside.setdefault(end, set()).add(start)
    inside, edge = {first}, [first]
    while edge:
        for each in beside[edge.pop()] - inside:
            inside.add(each)
            edge.append(each)
    nodes = sorted(inside - {second})
    place = {node: number for number, node in enumerate(nodes)}
    matrix = [[0.0] * len(nodes) for _ in nodes]
    for start, end, ohm in edges:
        if start not in inside:
            continue
        for one, other in ((start, end), (end, start)):
            if one in place:
                matrix[place[one]][place[one]] += 1 / ohm
                if other in place:
                    matrix[place[one]][place[other]] -= 1 / ohm
    right = [1.0 if node == first else 0.0 for node in nodes]
    return solved(matrix, right)[place[first]]


@pytest.mark.parametrize(
    "name, circuit, point, earth",
    [
        ("marram", "slipway", "post-1", "post-1.PE"),
        ("sedge", "drive", "gable-point", "gable-point.PE"),
        ("tern", "shed", "shed-point", "shed-point.PE"),
        ("quince", "drive", "post-1", "post-1.parked.PE"),
        ("sallow", "gate", "gate-post", "gate-post.PE"),
    ],
)
def test_r1_plus_r2__by_formula_and_by_nodal_analysis(
    name: str, circuit: str, point: str, earth: str
) -> None:
    result = done(name)
    by_formula = [result.case.workings.value("r1-plus-r2-reading", of) for of in ("feed", circuit)]
    assert None not in by_formula
    line = result.installation.circuit(circuit).lines[0]
    by_nodes = seen_between(
        result.case.wiring, f"origin.{line}", "met.PE", (f"{point}.{line}", earth)
    )
    assert math.isclose(by_nodes, sum(by_formula), abs_tol=2e-6), (by_nodes, by_formula)


@pytest.mark.parametrize(
    "name, circuit",
    [
        ("marram", "slipway"),
        ("sedge", "drive"),
        ("tern", "shed"),
        ("sallow", "gate"),
        ("plover", "quay"),
        ("alder", "garage"),
    ],
)
def test_links__hot_and_cold_are_those_of_the_formula(name: str, circuit: str) -> None:
    """Two routes: the sum of the links along the way, and the workings' R1+R2 at 20 C and at the
    operating limit.
    """
    result = done(name)
    links = {link.id: link for link in circuit_of(result.installation, result.case.wiring).links}
    line = result.installation.circuit(circuit).lines[0]
    way = [links[f"{cable}.{function}"] for cable in ("feed", circuit) for function in (line, "PE")]
    for step, value in (
        ("r1-plus-r2-reading", [link.ohm for link in way]),
        ("r1-plus-r2-hot", [link.hot_ohm for link in way]),
    ):
        formula = [result.case.workings.value(step, of) for of in ("feed", circuit)]
        assert sum(value) == pytest.approx(sum(formula), rel=1e-9), step


@pytest.mark.parametrize(
    "old, new, conductor, missing",
    [
        (
            (
                "  route: [{method: C, length_m: 0.8, ambient_c: 30, grouped_circuits: 1,"
                " thermal_insulation_length_mm: 0}]\n"
            ),
            "",
            "feed.L1",
            "feed.route",
        ),
        (
            "csa_mm2: 25, protective: separate",
            "csa_mm2: unknown, protective: separate",
            "feed.L1",
            "feed.cable.csa_mm2",
        ),
        ("cpc_mm2: 16, colours", "cpc_mm2: unknown, colours", "feed.PE", "feed.cable.cpc_mm2"),
        (
            "earth: {length_m: 0.25,",
            "earth: {length_m: unknown,",
            "lead.PE.F1",
            "board.ways.F1.leads.earth.length_m",
        ),
        (
            "earth: {length_m: 0.25, csa_mm2: 16}",
            "earth: unknown",
            "lead.PE.F1",
            "board.ways.F1.leads.earth",
        ),
    ],
)
def test_links__what_is_not_known_is_never_nothing(
    old: str, new: str, conductor: str, missing: str
) -> None:
    """An unknown length or size is no resistance of 0; the link names the key to find out."""
    file = installation("marram", (old, new))
    link = next(link for link in circuit_of(file, wiring_of(file)).links if link.id == conductor)
    assert link.ohm is None and link.hot_ohm is None and link.missing == (missing,)


def test_nodal_analysis__two_equal_paths_halve() -> None:
    """The reference itself: two 1000 m cores of 6 mm2 side by side are 1.54 ohm."""
    from firstway.wiring.graph import Terminal

    terminals = [Terminal(name, name, "PE", "both", "top") for name in ("a", "b", "c")]
    cores = [
        Conductor(f"{number}", "a", "b", "PE", "core", 6.0, "", "", 1000.0) for number in (1, 2)
    ]
    graph = Wiring.of(
        [], terminals, [*cores, Conductor("3", "b", "c", "PE", "core", 6.0, "", "", 1000.0)]
    )
    assert seen_between(graph, "a", "b", ("b", "c")) == pytest.approx(1.54, abs=1e-6)
    assert seen_between(graph, "a", "c", ("b", "b")) == pytest.approx(1.54 + 3.08, abs=1e-6)
