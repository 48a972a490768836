"""Proves how conductors are laid: the shortest way against NetworkX (an independent search), and
what must never be, found from the plan's values by `lying.py`: through a device, a wall, the rail,
a bar or another's screw, below a bend's radius, not at its terminals, twice or not at all.
"""

from __future__ import annotations

from dataclasses import replace

import networkx
import pytest
from boards import SIDES, drawn, planned, shipped
from changing import installation
from lying import faults_of, overlaps_of, through_hardware, unbuildable, worked_length_mm
from sampling import JOBS, many
from telling import Tell

from firstway.layout.channels import TO_BACK, Channels, channels_of, shortest
from firstway.layout.courses import meet
from firstway.layout.laying import Courses, closed_to, courses_of, wires_of
from firstway.layout.parts import fixed_parts
from firstway.layout.plan import Layout, Parts
from firstway.layout.planning import layout_of
from firstway.layout.sizes import Sizes
from firstway.model.installation import Installation
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Wiring
from firstway.workings.shared.laid import length_step
from firstway.workings.shared.plan_of_board import PlanOfBoard

A_FEW, MANY = 30, 300
CROWDED = {
    26: "two circuits of four cores 9.7 mm thick turn into two openings of one side, 60 mm wide",
    78: "five cores 8.8 mm thick, bent no closer than 40 mm, come down into one hole in the back",
    134: "cores 9.7 mm thick and thin ones come down into two holes in the back, 70 mm apart",
    280: "a conductor 9.7 mm thick, bent no closer than 44 mm, from a hole to a bar 60 mm away",
}
"""Drawn boards on which two conductors still lie in each other, and why: only ever fewer."""


OVER_LOCKNUTS = {
    133: "the cores of three circuits run along the wall their openings are in",
    213: "the same, and the tag of one opening stands in the way of the next",
}
"""Drawn boards on which a conductor runs through hardware of an opening that is not its own."""


def laid(board: Installation) -> tuple[Parts, Courses]:
    """A board's parts and the courses in it."""
    wiring, sizes = wiring_of(board), Sizes()
    parts = fixed_parts(board, wiring, sizes)
    return parts, courses_of(parts, wires_of(wiring, parts, sizes), sizes)


def graph_of(channels: Channels, closed: frozenset[str]) -> networkx.Graph:
    """The channels that are open, for NetworkX; the shorter of two steps between two nodes."""
    graph = networkx.Graph()
    graph.add_nodes_from(range(len(channels.nodes)))
    for here, steps in enumerate(channels.steps):
        for there, length, channel in steps:
            known = graph.get_edge_data(here, there, {"weight": 1e9})["weight"]
            if channel not in closed and length < known:
                graph.add_edge(here, there, weight=length)
    return graph


def test_shortest__finds_what_networkx_finds(tell: Tell) -> None:
    ways = nodes = 0
    boards = many(12, 100)
    for number in range(boards):
        parts, courses = laid(drawn(number))
        channels = courses.channels
        nodes = max(nodes, len(channels.nodes))
        for course in courses.courses:
            wire = course.wire
            closed = closed_to(parts, channels, wire)
            start, end = channels.ends[wire.start], channels.ends[wire.end]
            found = shortest(channels, start, end, closed)
            graph = graph_of(channels, closed)
            graph.remove_nodes_from(set(channels.ends.values()) - {start, end})
            assert found is not None
            assert found.length == pytest.approx(
                networkx.dijkstra_path_length(graph, start, end), abs=1e-6
            ), (number, wire.conductor.id)
            ways += 1
    assert nodes <= 300
    tell(
        f"layout: {ways} shortest ways on {boards} drawn boards equal NetworkX;"
        f" at most {nodes} nodes"
    )


def test_shortest__is_none_where_all_is_closed() -> None:
    _, courses = laid(installation("marram"))
    channels = courses.channels
    every = frozenset(channel for steps in channels.steps for _, _, channel in steps)
    assert shortest(channels, channels.ends["F1.PE"], channels.ends["earth-bar.2"], every) is None


@pytest.mark.parametrize("name", JOBS)
def test_layout_of__lays_the_shipped_boards_without_fault(name: str, tell: Tell) -> None:
    plan, wiring = shipped(name)
    assert faults_of(plan, wiring) == [] and len(plan.tight) <= 1
    assert plan.touching == () and overlaps_of(plan, wiring) == []
    assert through_hardware(plan, wiring) == []
    if plan.tight:
        tell(f"layout: {name} has no room for the bends of {', '.join(plan.tight)}")


@pytest.mark.parametrize("number", range(A_FEW))
def test_layout_of__lays_drawn_boards_without_fault(number: int) -> None:
    without_fault(number)


@pytest.mark.long
def test_layout_of__lays_many_drawn_boards_without_fault(tell: Tell) -> None:
    plans = [without_fault(number) for number in range(MANY)]
    round_ones = sum(bool(each.diameter_mm) for plan in plans for each in plan.conductors)
    tight = sum(len(plan.tight) for plan in plans)
    touching = sum(len(plan.touching) for plan in plans)
    tell(
        f"layout: {round_ones} conductors on {len(plans)} drawn boards, {tight} without room for"
        f" their bends, {touching} pairs that touch on {len(CROWDED)} boards"
    )


def without_fault(number: int) -> Layout:
    """The plan of a drawn board, in which nothing may be wrong."""
    job = drawn(number)
    plan, wiring = planned(job)
    assert not plan.parts.crowded and unbuildable(plan.parts) == []
    assert faults_of(plan, wiring) == []
    assert bool(through_hardware(plan, wiring)) == (number in OVER_LOCKNUTS)
    assert bool(plan.touching) == (number in CROWDED)
    if not plan.touching:
        assert overlaps_of(plan, wiring) == []
    conductors, drawn_plan = {each.id: each for each in wiring.conductors}, PlanOfBoard(job)
    for each in plan.conductors:
        if each.diameter_mm:
            assert each.length_m * 1000 == pytest.approx(worked_length_mm(each), rel=1e-6)
        if each.inside:
            step = length_step(drawn_plan, conductors[each.id])
            assert step.value == each.length_m
    return plan


def test_drawn__boards_differ_in_all_that_a_plan_hangs_on() -> None:
    jobs = [drawn(number) for number in range(MANY)]
    boxes = [job.board.enclosure for job in jobs]
    for key, sides in (
        ("feed_enters", SIDES),
        ("circuits_leave", SIDES),
        ("neutral_bar", SIDES[:4]),
        ("earth_bar", SIDES[:4]),
        ("main_switch_end", SIDES[:4]),
    ):
        assert {getattr(box, key) for box in boxes} == set(sides)
    assert {job.rules for job in jobs} >= {"bs7671", "nec"}
    assert {job.supply.phases for job in jobs} >= {1, 3}
    used = {sum(way.modules for way in job.board.ways) for job in jobs}  # type: ignore[misc]
    assert min(used) <= 4 and max(used) >= 12


@pytest.mark.parametrize("name", JOBS)
def test_layout_of__is_the_same_each_time(name: str) -> None:
    board = installation(name)
    wiring = wiring_of(board)
    assert repr(layout_of(board, wiring)) == repr(layout_of(board, wiring))


@pytest.mark.parametrize("name", JOBS)
def test_ways__line_and_neutral_of_a_circuit_pass_the_devices_together(name: str) -> None:
    board = installation(name)
    parts, courses = laid(board)
    ends = {"top", "bottom"} if parts.upright else {"left", "right"}
    tight = {course.wire.conductor.id for course in courses.courses if course.tight}
    for circuit in board.circuits:
        passed = {
            line: passing(courses, f"{circuit.name}.{line}", ends)
            for line in (*circuit.lines, "N")
            if f"{circuit.name}.{line}" in courses.ways
            and not tight
            # a neutral that ends on the bar of its residual current device passes no device
            and not any("neutral-bar-" in end for end in _ends(courses, f"{circuit.name}.{line}"))
        }
        assert len(set(passed.values())) <= 1, passed


def _ends(courses: Courses, name: str) -> tuple[str, str]:
    found = next(each.wire.conductor for each in courses.courses if each.wire.conductor.id == name)
    return found.start, found.end


def passing(courses: Courses, name: str, ends: set[str]) -> frozenset[str]:
    """On which side of the devices a conductor passes them."""
    return frozenset(
        "behind" if channel in courses.channels.behind else channel
        for channel in courses.ways[name].channels
        if channel in ends | courses.channels.behind
    )


def test_wires_of__leads_come_first() -> None:
    _, courses = laid(installation("sallow"))
    kinds = [course.wire.conductor.kind for course in courses.courses]
    assert kinds[:2] == ["lead", "lead"] and "lead" not in kinds[2:]


def test_bends_back__a_thick_tail_keeps_in_front() -> None:
    parts, courses = laid(installation("marram", ("depth_mm: 100", "depth_mm: 70")))
    feed = next(each.wire for each in courses.courses if each.wire.conductor.id == "feed.L1")
    assert TO_BACK in closed_to(parts, courses.channels, feed)


# The faults are seen when they are there


def spoilt(plan: Layout, name: str, **changes: object) -> Layout:
    """The plan with one conductor changed."""
    return replace(
        plan,
        conductors=tuple(
            replace(each, **changes) if each.id == name else each for each in plan.conductors
        ),
    )


def marram() -> tuple[Layout, Wiring]:
    return shipped("marram")


def test_faults_of__sees_a_conductor_through_a_device() -> None:
    plan, wiring = marram()
    lead = plan.by_id["lead.PE.F1"]
    middle = plan.parts.spots["F2.supply.L1"].at
    points = (lead.points[0], (middle[0], middle[1], middle[2]), lead.points[-1])
    said = faults_of(spoilt(plan, lead.id, points=points, bend_mm=None), wiring)
    assert any("through F2" in each for each in said)
    assert any("over the screw of F2.supply.L1" in each for each in said)


def test_overlaps_of__sees_a_conductor_in_another() -> None:
    plan, wiring = marram()
    points = tuple((x, y, z + 2) for x, y, z in plan.by_id["feed.N"].points)
    said = overlaps_of(spoilt(plan, "feed.L1", points=points), wiring)
    assert any(each.startswith("feed.L1 lies in feed.N: 2.0 mm") for each in said)


def test_through_hardware__sees_a_foot_in_the_way() -> None:
    plan, wiring = marram()
    foot = next(each for each in plan.fittings if each.kind == "bar-foot")
    a, b = (tuple(end[axis] for axis in range(3)) for end in (foot.body.low, foot.body.high))
    said = through_hardware(spoilt(plan, "feed.N", points=(a, b), bend_mm=None), wiring)
    assert f"feed.N runs through {foot.id}" in said


def test_meet__is_not_asked_where_one_screw_holds_both() -> None:
    _, courses = laid(installation("quince"))
    lead, core = (
        next(each for each in courses.courses if each.id == name)
        for name in ("lead.L1.F2", "drive.L1")
    )
    assert lead.wire.start == core.wire.start or lead.wire.end == core.wire.start
    assert not meet(lead, core)
    moved = replace(core, points=tuple((x + 1, y, z) for x, y, z in core.points))
    assert meet(moved, replace(core, wire=replace(core.wire, start="", end="")))


def test_faults_of__sees_a_conductor_through_a_wall_or_short_of_its_terminal() -> None:
    plan, wiring = marram()
    lead = plan.by_id["lead.PE.F1"]
    a, b = lead.points[0], lead.points[-1]
    said = faults_of(spoilt(plan, lead.id, points=(a, (-9.0, a[1], a[2]), b), bend_mm=None), wiring)
    assert any("through a wall" in each for each in said)
    said = faults_of(
        spoilt(plan, lead.id, points=(*lead.points[:-1], (b[0] + 1, b[1], b[2]))), wiring
    )
    assert "lead.PE.F1 ends 1.0 mm from F1.PE" in said


def test_faults_of__sees_a_bend_below_its_radius_a_short_one_and_one_left_out() -> None:
    plan, wiring = marram()
    lead = plan.by_id["lead.PE.F1"]
    said = faults_of(spoilt(plan, lead.id, bend_mm=5.0), wiring)
    assert any("a bend of 5.0 mm, below 25.2 mm" in each for each in said)
    said = faults_of(spoilt(plan, lead.id, length_m=0.02), wiring)
    assert "lead.PE.F1 is shorter than the straight line" in said
    less = replace(plan, conductors=tuple(each for each in plan.conductors if each != lead))
    assert "lead.PE.F1 is laid 0 times" in faults_of(less, wiring)


def test_channels_of__stays_small() -> None:
    for name in JOBS:
        parts, courses = laid(installation(name))
        assert len(courses.channels.nodes) <= 300
        assert len(channels_of(parts, ()).nodes) < len(courses.channels.nodes)
