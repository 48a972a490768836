"""Drawings: clean by geometry, true to the graph, the same bytes every time, and readable without
colour or sight.

What is compared comes from outside the drawing: the wiring graph, the working, and the geometry a
browser would paint. The files in tests/golden/drawing are regression only; FIRSTWAY_RENEW=1 writes
them anew.
"""

from __future__ import annotations

import csv
import math
import os
import re
import subprocess
import sys
import time
from dataclasses import replace
from functools import cache
from itertools import combinations
from pathlib import Path
from random import Random
from xml.etree import ElementTree

import pytest
import random_installations as drawn_at_random
from changing import done, installation
from drawing_faults import faults_in
from sampling import JOBS
from telling import Tell

from firstway.checks.rule import Case
from firstway.choosing.completing import Completed
from firstway.drawing import symbols
from firstway.drawing.front.board_front import board_front, front_layout
from firstway.drawing.overlays import points_of_group
from firstway.drawing.painted import painted_in
from firstway.drawing.part_words import function_mark, spoken_conductor, spoken_terminal
from firstway.drawing.sheet import Box, Group, Lettering, PlacedDrawing, Point, Ref, Sheet, Stroke
from firstway.drawing.single.single_line import single_line, single_line_layout
from firstway.drawing.svg import Drawn, drawn_from, standalone, svg_number
from firstway.drawing.text_width import reserved_width, text_width, wrapped
from firstway.drawing.wiring_diagram import wiring_diagram, wiring_layout
from firstway.drawing.wiring_view.lanes import MOST_ASIDE, LaneWire, side_by_side
from firstway.model.nec_words import in_nec_words
from firstway.rendering.figures import shown, symbol_parts
from firstway.rendering.html import caution_line
from firstway.wiring.deriving import wiring_of
from firstway.wiring.graph import Conductor
from firstway.workings.shared.step import Workings

VIEWS = {"wiring": wiring_diagram, "single-line": single_line, "board": board_front}
GOLDEN = Path(__file__).parents[1] / "golden" / "drawing"
SVG = "{http://www.w3.org/2000/svg}"


@cache
def drawing(name: str, view: str) -> Drawn:
    return VIEWS[view](done(name), f"{name}-{view}")


every_drawing = pytest.mark.parametrize(
    ("name", "view"), [(name, view) for name in JOBS for view in VIEWS]
)


def board_at_random(seed: int) -> Completed:
    """A board of 2 to 18 modules: phases, ways, sides and ends of everything drawn at random.

    Nothing is worked.
    """
    draw = Random(seed)
    data = (drawn_at_random.three_phase if draw.random() < 0.5 else drawn_at_random.one_phase)(draw)
    board = data["board"]
    used = board["main_switch"]["modules"] + sum(way["modules"] for way in board["ways"])
    sides = ("left", "right", "top", "bottom")
    board["enclosure"].update(
        modules=max(used, min(18, used + draw.randint(0, 6))),
        feed_enters=draw.choice((*sides, "back")),
        circuits_leave=draw.choice((*sides, "back")),
        main_switch_end=draw.choice(("left", "right")),
        neutral_bar=draw.choice(sides),
        earth_bar=draw.choice(sides),
    )
    board["busbar"]["joins_at"] = draw.choice(("top", "bottom"))
    for key in ("row", "neutral_bar_at", "earth_bar_at"):  # the places of other sides
        board["enclosure"].pop(key, None)
    for part in (data["feed"], *data["circuits"]):
        part.pop("opening", None)
    made = drawn_at_random.installation_of(data)
    return Completed(made, Case(made, workings=Workings(), wiring=wiring_of(made)), (), {})


# Clean by geometry


@pytest.mark.parametrize("name", sorted({*JOBS, "curlew"}))
def test_spoken_terminal__no_two_terminals_bear_one_name(name: str) -> None:
    """Two bars told alike put the neutral of a residual current device on the wrong one."""
    wiring = done(name).case.wiring.drawn
    bars = {part.name for part in wiring.parts if part.kind in ("neutral-bar", "earth-bar")}
    said = [spoken_terminal(wiring, t.id) for t in wiring.terminals if t.device in bars]
    assert len(set(said)) == len(said)


@pytest.mark.parametrize("name", sorted({*JOBS, "curlew"}))
def test_board_front__places_used_closed_and_free_make_the_whole(name: str) -> None:
    completed = done(name)
    ways = completed.installation.board.ways
    words = drawing(name, "board").alt
    found = re.search(
        r"(\d+) module places? of [^:]*: (\d+) used(?:, (\d+) closed with blanks)?", words
    )
    if found is None:
        assert "how many there are is not known" in words
        return
    blank = sum(way.modules for way in ways if way.device == "blank")
    assert int(found[3] or 0) == blank
    free = re.search(r", (\d+) free", words)
    total = int(found[2]) + blank + int(free[1] if free else 0)
    assert total == int(found[1]) or "Does not fit" in words


@every_drawing
def test_faults_in__the_shipped_drawings_have_none(name: str, view: str) -> None:
    assert faults_in(drawing(name, view).svg) == ()


def _without_size(completed: Completed, sheet: Sheet) -> list[str]:
    words = {
        group.id: " ".join(item.words for item in group.items if isinstance(item, Lettering))
        for group in sheet.groups
        if group.id.startswith("label.")
    }
    return [c.id for c in _of_the_board(completed) if c.size not in words.get(f"label.{c.id}", "")]


def _of_the_board(completed: Completed) -> list[Conductor]:
    """Those whose size must stand in the drawing; a wire between two far places has it in the
    alternative text.
    """
    drawn = completed.case.wiring.drawn
    far = {
        terminal.id for terminal in drawn.terminals if drawn.part(terminal.device).place == "around"
    }
    return [
        c
        for c in drawn.conductors
        if c.kind not in ("bar", "armour") and c.size and not {c.start, c.end} <= far
    ]


def _faults_of_boards(seeds: range) -> list[str]:
    found = []
    for seed in seeds:
        completed = board_at_random(seed)
        sheet = wiring_layout(completed)
        crowded = completed.case.layout.touching  # what the plan tells of is to be seen
        found += [
            f"board {seed}: {fault}"
            for fault in faults_in(drawn_from(sheet, "board").svg)
            if not (crowded and fault.kind == "conductor on conductor")
        ]
        found += [f"board {seed}: a conductor without its label"] * int(
            sheet.notes["labels missing"]
        )
        found += [
            f"board {seed}: the label of {name} leaves out its size"
            for name in _without_size(completed, sheet)
        ]
        found += [
            f"board {seed}, single line: {fault}"
            for fault in faults_in(single_line(completed, "line").svg)
        ]
    print(f"\n{len(seeds)} boards drawn, {len(found)} faults")
    return found


def test_faults_in__some_boards_at_random_have_none() -> None:
    assert _faults_of_boards(range(8)) == []


@pytest.mark.parametrize(
    "seed",
    [
        pytest.param(1011, id="a stretch went aside past its own screw"),
        pytest.param(1079, id="armour behind the box was drawn over it"),
        pytest.param(1096, id="a thick conductor lay on the numbers of a bar"),
        pytest.param(1186, id="a stretch ran over the letters of a screw"),
    ],
)
def test_faults_in__a_board_that_once_had_some_has_none(seed: int) -> None:
    assert _faults_of_boards(range(seed, seed + 1)) == []


def test_side_by_side__no_stretch_turns_its_neighbour_round() -> None:
    """The hidden wire comes from ten units to the right. Left of it lies another, so it would
    rather go to the right; past its own ends the stretches that lead to it would run backwards.
    """
    hidden = ((110.0, 10.0, 0.0), (100.0, 10.0, 0.0), (100.0, 190.0, 0.0), (110.0, 190.0, 0.0))
    wires = [
        LaneWire(f"{x:g}", ((x, 0.0, 9.0), (x, 200.0, 9.0)), 5.0, 9.0, ((x, 0.0), (x, 200.0)))
        for x in (100.0, 91.0, 82.0, 77.0)
    ]
    wires.append(LaneWire("hidden", hidden, 5.0, 0.0, (hidden[0][:2], hidden[-1][:2])))
    spots = side_by_side(wires, (), 0.0, (), (), -1.0)["hidden"]
    assert spots[0][:2] == (110, 10) and spots[-1][:2] == (110, 190)
    assert all(x <= 110 for x, _, _ in spots), spots


@pytest.mark.parametrize("seed", [1079, 1273])
def test_armour__out_of_a_hole_in_the_back_lies_behind_the_box(seed: int) -> None:
    completed = board_at_random(seed)
    order = [group.id for group in wiring_layout(completed).groups]
    armours = [
        each
        for each in completed.case.wiring.drawn.conductors
        if each.kind == "armour" and f"back.{each.cable}" in order
    ]
    assert armours
    for each in armours:
        assert order.index(f"wire.{each.id}") < order.index(f"back.{each.cable}")


@pytest.mark.parametrize("seed", [1103, 1145])
def test_labels__of_a_conductor_that_touches_its_bar_have_a_place(seed: int) -> None:
    """The only place that lay on no other conductor was on the bar, where no leader begins."""
    assert wiring_layout(board_at_random(seed)).notes["labels missing"] == 0


@pytest.mark.long
def test_faults_in__three_hundred_boards_at_random_have_none() -> None:
    assert _faults_of_boards(range(1000, 1300)) == []


def _svg_of(*inside: str) -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 400 200" class="fw-least-30"'
        ' fill="currentColor" stroke-width="1.5">' + "".join(inside) + "</svg>"
    )


@pytest.mark.parametrize(
    ("inside", "kind"),
    [
        ('<g id="a"><text x="380" y="50">too long here</text></g>', "text past the edge"),
        (
            (
                '<g id="a"><text x="20" y="50">one</text></g><g id="b"><text x="30"'
                ' y="55">two</text></g>'
            ),
            "text on text",
        ),
        (
            (
                '<g id="a"><text x="20" y="50">one</text></g><g id="b" fill="none"'
                ' stroke="currentColor"><path d="M0 46H200"/></g>'
            ),
            "text on a line",
        ),
        ('<g id="a"><text x="20" y="50" font-size="10">small</text></g>', "text too small"),
        ('<g id="a"><text x="20" y="50">one</text></g><g id="a"/>', "id used twice"),
        ('<g id="a"><a href="other.html"/></g>', "file holds an address"),
        (
            (
                '<g id="d" class="part rcbo"><rect x="50" y="50" width="90" height="90"'
                ' fill="#fff"/></g><g id="w" class="conductor link N" fill="none"'
                ' stroke="currentColor"><path d="M10 90H300"/></g>'
            ),
            "conductor across a device",
        ),
        (
            (
                '<g id="v" class="conductor link N" fill="none" stroke="currentColor"><path d="M10'
                ' 90H300"/></g><g id="w" class="conductor link PE" fill="none"'
                ' stroke="currentColor"><path d="M100 92H200V150"/></g>'
            ),
            "conductor on conductor",
        ),
    ],
)
def test_faults_in__finds_a_planted_fault(inside: str, kind: str) -> None:
    assert kind in {fault.kind for fault in faults_in(_svg_of(inside))}


def test_faults_in__a_plate_between_line_and_text_is_no_fault() -> None:
    line = '<g id="l" fill="none" stroke="currentColor"><path d="M0 46H200"/></g>'
    plate = (
        '<g id="p"><rect x="10" y="34" width="80" height="20" fill="#fff" stroke="none"/><text'
        ' x="20" y="50">one</text></g>'
    )
    assert faults_in(_svg_of(line, plate)) == ()
    assert faults_in(_svg_of(plate, line)) != ()


# True to the graph


def _joined_by_geometry(svg: str) -> dict[str, frozenset[str]]:
    """Conductor -> the two terminals its ends lie on, from coordinates alone."""
    root = ElementTree.fromstring(svg)
    prefix = root.attrib["id"].removesuffix("drawing")
    places, ends = {}, {}
    for group in root.iter(f"{SVG}g"):
        words = group.attrib.get("class", "").split()
        name = group.attrib.get("id", "").removeprefix(prefix)
        if words[:1] == ["terminal"]:
            mark = group.find(f"{SVG}use")
            assert mark is not None
            places[name] = (float(mark.attrib["x"]), float(mark.attrib["y"]))
        elif words[:1] == ["conductor"]:
            lines = [
                thing.lines for thing in painted_in_group(svg, group.attrib["id"]) if thing.lines
            ]
            ends[name.removeprefix("wire.")] = (lines[-1][0][0], lines[-1][-1][1])
    return {
        wire: frozenset(min(places, key=lambda name: math.dist(places[name], end)) for end in both)
        for wire, both in ends.items()
    }


def _as_drawn(svg: str, joined: dict[str, frozenset[str]]) -> dict[str, frozenset[str]]:
    """The same, where places of a tabbed bar that lie before each other count as one."""
    root = ElementTree.fromstring(svg)
    prefix = root.attrib["id"].removesuffix("drawing")
    first: dict[tuple[str, str], str] = {}
    alike = {}
    for group in root.iter(f"{SVG}g"):
        mark = group.find(f"{SVG}use")
        if group.attrib.get("class", "").startswith("terminal") and mark is not None:
            name = group.attrib["id"].removeprefix(prefix)
            alike[name] = first.setdefault((mark.attrib["x"], mark.attrib["y"]), name)
    return {wire: frozenset(alike[end] for end in ends) for wire, ends in joined.items()}


@cache
def _painted(svg: str) -> dict[str, list]:
    found: dict[str, list] = {}
    for thing in painted_in(svg).things:
        found.setdefault(thing.group, []).append(thing)
    return found


def painted_in_group(svg: str, group: str) -> list:
    return _painted(svg)[group]


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__every_conductor_ends_where_the_graph_says(name: str) -> None:
    wiring, svg = done(name).case.wiring.drawn, drawing(name, "wiring").svg
    graph = {c.id: frozenset((c.start, c.end)) for c in wiring.conductors}
    assert _as_drawn(svg, _joined_by_geometry(svg)) == _as_drawn(svg, graph)


def _connections_of_boards(seeds: range) -> list[int]:
    """Boards at random of which the drawing joins anything but what the graph joins."""
    wrong = []
    for seed in seeds:
        completed = board_at_random(seed)
        svg = wiring_diagram(completed, "x").svg
        graph = {c.id: frozenset((c.start, c.end)) for c in completed.case.wiring.drawn.conductors}
        if _as_drawn(svg, _joined_by_geometry(svg)) != _as_drawn(svg, graph):
            wrong.append(seed)
    return wrong


@pytest.mark.long
def test_wiring_diagram__three_hundred_boards_at_random_end_where_the_graph_says() -> None:
    assert _connections_of_boards(range(2000, 2300)) == []


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__points_are_those_of_the_plan(name: str) -> None:
    """Read back from the SVG: screws, and every corner of every conductor in the enclosure, within
    half a mm of the plan's own place. Only the line bar's lines are drawn apart in its body, and
    what lies along another conductor in the plan lies a little aside, which the key says.
    """
    layout, sheet = done(name).case.layout, wiring_layout(done(name))
    units, left, top = (sheet.notes[key] for key in ("units to a mm", "left", "top"))

    def paper(point: tuple[float, ...]) -> tuple[float, float]:
        return left + units * point[0], top + units * point[1]

    root = ElementTree.fromstring(drawing(name, "wiring").svg)
    screws = {
        group.attrib["id"].removeprefix(f"{name}-wiring-"): group.find(f"{SVG}use")
        for group in root.iter(f"{SVG}g")
        if group.attrib.get("class", "").startswith("terminal")
    }
    for terminal, spot in layout.parts.spots.items():
        if terminal in screws and not terminal.startswith("bar."):
            mark = screws[terminal]
            at = float(mark.attrib["x"]), float(mark.attrib["y"])
            assert math.dist(at, paper(spot.at)) <= 0.5 * units, terminal
    seen = aside = 0
    spots = layout.parts.spots
    combs = [
        (spots[each.start].at[:2], spots[each.end].at[:2])
        for each in done(name).case.wiring.drawn.conductors
        if each.kind == "bar" and each.start in spots and each.end in spots
    ]
    for laid in layout.conductors:
        if not laid.diameter_mm:
            continue
        pieces = [
            piece
            for thing in painted_in_group(
                drawing(name, "wiring").svg, f"{name}-wiring-wire.{laid.id}"
            )
            for piece in thing.lines
        ]
        for point in laid.points:
            away = min(_from_piece(paper(point), piece) for piece in pieces)
            seen += 1
            if away > 0.5 * units:
                assert away <= 1.5 * MOST_ASIDE, (laid.id, point)
                assert _lies_along_others(layout, laid.id, point, combs), (laid.id, point)
                aside += 1
    assert seen > 20 and aside < 0.6 * seen
    key = " ".join(item.words for item in sheet.group("key").items if isinstance(item, Lettering))
    assert not aside or "drawn side by side" in key


ALONG_MM = 8.0
"""Nearer than this, side by side, two conductors of 16 mm2 (7 mm thick) hardly show apart."""


SMALL_ANGLE = 0.4
"""Sine of it: the gap that a crossing cuts is two and a half times as long as it is wide."""


def _lies_along_others(layout, name: str, point: tuple[float, ...], teeth) -> bool:
    """Whether in the plan a stretch that meets at this corner runs along another conductor, along
    itself, or along a tooth, passes one at a small angle, or leaves by an opening with others.
    """
    own = next(each for each in layout.conductors if each.id == name).points
    if point in (own[0], own[-1]) and point not in (
        spot.at for spot in layout.parts.spots.values()
    ):
        return True
    pieces = [
        (each.id, number, a[:2], b[:2])
        for each in layout.conductors
        for number, (a, b) in enumerate(zip(each.points, each.points[1:]))
        if math.dist(a[:2], b[:2]) > 1
    ] + [("tooth", 0, *tooth) for tooth in teeth]
    meeting = [
        piece for piece in pieces if piece[0] == name and _from_piece(point[:2], piece[2:]) < 25
    ]
    return any(
        _along_each_other(one[2:], other[2:])
        for one in meeting
        for other in pieces
        if one[:2] != other[:2]
    )


def _along_each_other(one, other) -> bool:
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    turn = (bx - ax) * (dy - cy) - (by - ay) * (dx - cx)
    if abs(turn) > SMALL_ANGLE * math.dist(*one) * math.dist(*other):
        return False
    return any(
        _from_piece((cx + (dx - cx) * share, cy + (dy - cy) * share), one) < ALONG_MM
        for share in (0, 0.25, 0.5, 0.75, 1)
    ) or any(_from_piece(at, other) < ALONG_MM for at in one)


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__the_supply_s_earth_comes_from_the_meter_side(name: str) -> None:
    """BS 7671 542.1.2.1 and 542.1.2.2 (from memory): in TN the main earthing terminal is joined to
    the earth that the distributor brings with the service cable, ahead of the consumer's tails.
    """
    wiring = done(name).case.wiring.drawn
    joined = [c for c in wiring.conductors if {c.start, c.end} == {"met.PE", "origin.PE"}]
    installation = done(name).installation
    assert bool(joined) == (installation.rules != "nec" and installation.supply.system != "TT")
    if not joined:
        return
    sheet = wiring_layout(done(name))
    box = next(item for item in sheet.group("meter-side").items if isinstance(item, Box))
    at = next(item for item in sheet.group("origin.PE").items if isinstance(item, Ref))
    assert at.x in (box.x, box.x + box.width) and box.y < at.y < box.y + box.height


READ = Path(__file__).parent / "read_from_the_wiring_view.csv"


def _read_boards() -> list[dict[str, str]]:
    lines = [line for line in READ.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@pytest.mark.parametrize("row", [row for row in _read_boards() if row["board"] in JOBS])
def test_wiring_diagram__a_reader_without_the_project_listed_the_joints_of_the_graph(row) -> None:
    """What somebody read from the drawing alone; the count is the graph's, so that the record is
    renewed by a new reading when a board changes.
    """
    conductors = done(row["board"]).case.wiring.drawn.conductors
    single = [each for each in conductors if each.kind != "bar" or each.id.endswith(".gland")]
    lines = {
        each.function for each in conductors if each.kind == "bar" and each.start.startswith("bar.")
    }
    assert len(single) + len(lines) == int(row["joints"]) == int(row["read_right"])


HIDDEN_MOST = 25.0  # units along which one conductor may lie right behind another; a crossing


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__no_conductor_runs_on_right_behind_another(name: str) -> None:
    """The most frequent doubt of that reader: an end that looks joined to what lies before it."""
    svg = drawing(name, "wiring").svg
    kinds = {each.id: each.kind for each in done(name).case.wiring.drawn.conductors}
    pieces = {
        wire: [
            piece
            for thing in painted_in_group(svg, f"{name}-wiring-wire.{wire}")
            for piece in thing.lines
            if math.dist(*piece) > 5
        ]
        for wire in kinds
    }
    for under, over in combinations(kinds, 2):
        if kinds[under] != "bar" or kinds[over] != "bar":
            hidden = [_on_each_other(one, other) for one in pieces[under] for other in pieces[over]]
            assert max([0.0, *hidden]) <= HIDDEN_MOST, (under, over)


def _on_each_other(one, other) -> float:
    """How far two straight lines run on each other, in units."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    long, size = math.dist(*one), math.dist(*other)
    if max(min(ax, bx) - max(cx, dx), min(cx, dx) - max(ax, bx)) > 4:
        return 0.0
    if max(min(ay, by) - max(cy, dy), min(cy, dy) - max(ay, by)) > 4:
        return 0.0
    if abs((bx - ax) * (dy - cy) - (by - ay) * (dx - cx)) > 0.1 * long * size:
        return 0.0
    if abs((bx - ax) * ((cy + dy) / 2 - ay) - (by - ay) * ((cx + dx) / 2 - ax)) > 4 * long:
        return 0.0
    ends = sorted(((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / long for x, y in other)
    return max(0.0, min(ends[1], long) - max(ends[0], 0.0))


def _from_piece(
    point: tuple[float, float], piece: tuple[tuple[float, float], tuple[float, float]]
) -> float:
    (ax, ay), (bx, by) = piece
    square = (bx - ax) ** 2 + (by - ay) ** 2
    share = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / square if square else 0.0
    share = min(max(share, 0.0), 1.0)
    return math.dist(point, (ax + share * (bx - ax), ay + share * (by - ay)))


def test_wiring_diagram__boards_at_random_end_where_the_graph_says() -> None:
    assert _connections_of_boards(range(12)) == []


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__devices_stand_outward_from_the_main_switch(name: str) -> None:
    completed = done(name)
    if completed.case.layout.parts.upright:
        return  # devices plug on a bus in two columns
    sheet = wiring_layout(completed)
    rail = sorted(
        (part for part in completed.case.wiring.drawn.parts if part.modules),
        key=lambda part: part.order,
    )
    lefts = [sheet.group(part.name).items[0].x for part in rail]
    assert lefts == sorted(
        lefts, reverse=completed.installation.board.enclosure.main_switch_end == "right"
    )


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__bars_and_entries_lie_on_the_sides_of_the_file(name: str) -> None:
    completed = done(name)
    enclosure = completed.installation.board.enclosure
    sheet = wiring_layout(completed)
    box = sheet.group("enclosure").items[0]
    for bar, side in (("neutral-bar", enclosure.neutral_bar), ("earth-bar", enclosure.earth_bar)):
        body = sheet.group(bar).items[0]
        gaps = {
            "left": body.x - box.x,
            "right": box.x + box.width - body.x - body.width,
            "top": body.y - box.y,
            "bottom": box.y + box.height - body.y - body.height,
        }
        assert gaps[str(side)] == min(gaps.values()), f"{bar} at {side}"
    for name_of, side in (
        ("origin", enclosure.feed_enters),
        (completed.installation.charging_points[0].name, enclosure.circuits_leave),
    ):
        body = sheet.group(name_of).items[0]
        assert (body.y < box.y) == (side == "top"), name_of


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__every_conductor_outside_a_bar_bears_its_function(name: str) -> None:
    sheet = wiring_layout(done(name))
    for conductor in done(name).case.wiring.drawn.conductors:
        if conductor.kind != "bar":
            words = [
                item.words
                for item in sheet.group(f"label.{conductor.id}").items
                if isinstance(item, Lettering)
            ]
            mark = function_mark(conductor.function, done(name).installation.rules)
            assert words, conductor.id
            # Armour that ends at its gland serves as nothing there, and says so instead.
            if conductor.kind == "armour" and conductor.end == "feed.armour":
                assert "free" in words[0], conductor.id
            else:
                assert words[0].startswith(mark), conductor.id


# Without colour, without sight


def test_wiring_diagram__line_neutral_and_protective_differ_without_colour() -> None:
    dashes: dict[str, set[tuple[str, ...]]] = {}
    for group in ElementTree.fromstring(drawing("sallow", "wiring").svg).iter(f"{SVG}g"):
        words = group.attrib.get("class", "").split()
        if words[:1] == ["conductor"] and words[1] in ("tail", "core", "lead", "link"):
            layers = tuple(
                each.attrib.get("stroke-dasharray", "whole")
                for each in group.iter()
                if each.tag in (f"{SVG}use", f"{SVG}path")
            )
            dashes.setdefault("line" if words[2].startswith("L") else words[2], set()).add(layers)
    assert all(len(styles) == 1 for styles in dashes.values())
    assert len({next(iter(styles)) for styles in dashes.values()}) == len(dashes) == 3


@pytest.mark.parametrize("name", JOBS)
def test_wiring_diagram__the_alternative_text_names_every_connection(name: str) -> None:
    wiring, alt = done(name).case.wiring.drawn, drawing(name, "wiring").alt.lower()
    said = in_nec_words if done(name).installation.rules == "nec" else str
    for conductor in wiring.conductors:
        if conductor.kind != "bar":
            spoken = spoken_conductor(wiring, conductor, among_others=True)
            assert said(spoken).lower() in alt
    for terminal in wiring.terminals:
        led = [each for each in wiring.conductors_at(terminal.id) if each.kind != "bar"]
        if not terminal.id.startswith("bar.") and led:
            assert said(spoken_terminal(wiring, terminal.id)).lower() in alt, terminal.id


@every_drawing
def test_drawings__carry_title_description_caution_and_edition(name: str, view: str) -> None:
    drawn = drawing(name, view)
    root = ElementTree.fromstring(drawn.svg)
    assert (
        root.attrib["role"] == "img" and "width" not in root.attrib and "height" not in root.attrib
    )
    labels = root.attrib["aria-labelledby"].split()
    texts = {element.attrib.get("id"): element.text for element in root.iter()}
    assert [texts[label] for label in labels] == [drawn.title, drawn.alt]
    caution = caution_line(done(name).installation.edition)
    assert caution in drawn.alt
    shown_text = " ".join(
        text.text or ""
        for group in root.iter(f"{SVG}g")
        if group.attrib.get("class") == "caution"
        for text in group
    )
    assert shown_text == caution


@pytest.mark.parametrize("name", JOBS)
def test_single_line__called_out_figures_are_those_of_the_working(name: str) -> None:
    completed, seen = done(name), 0
    for text in ElementTree.fromstring(drawing(name, "single-line").svg).iter(f"{SVG}text"):
        if "data-step" in text.attrib:
            step = completed.case.workings.find(text.attrib["data-step"], text.attrib["data-of"])
            assert step is not None and "".join(text.itertext()).endswith(shown(step))
            lowered = [each.text for each in text.iter(f"{SVG}tspan")][:1]
            assert lowered == [below] if (below := symbol_parts(step.symbol)[1]) else not lowered
            assert "data-value" not in text.attrib or math.isclose(
                float(text.attrib["data-value"]), step.value, rel_tol=5e-12
            )
            seen += 1
    assert seen >= 10


@pytest.mark.parametrize("name", JOBS)
def test_single_line__every_fail_and_danger_is_flagged_in_words(name: str) -> None:
    alt = drawing(name, "single-line").alt
    wrong = [finding for finding in done(name).findings if finding.level in ("fail", "danger")]
    assert all(finding.message in alt for finding in wrong)
    assert single_line_layout(done(name)).notes["flags"] == len(wrong)


# Bytes


@every_drawing
def test_drawings__every_id_begins_with_the_prefix_and_no_colour_is_bare(
    name: str, view: str
) -> None:
    svg = drawing(name, view).svg
    named = set(re.findall(r' id="([^"]*)"', svg))
    own = {each for each in named if not each.startswith(f"{name}-{view}-")}
    # what the drawing alone refers to has a short name, begun alike in no other drawing
    assert own <= set(re.findall(r' href="#([^"]*)"', svg))
    stems = {re.sub(r"(?<=^f.{5}).*", "", each) for each in own}
    assert len(stems) <= 1
    assert not any(f'id="{stem}' in drawing("marram", "wiring").svg for stem in stems) or (
        (name, view) == ("marram", "wiring")
    )
    colours = set(re.findall(r'(?:stroke|fill)="([^"]*)"', svg))
    assert all(
        re.fullmatch(r"none|currentColor|var\(--fw-[a-z]+(,#[0-9a-f]{3,6})?\)", colour)
        for colour in colours
    ), colours
    assert "dasharray:-" not in svg and "<style" not in svg and "e-0" not in svg


@every_drawing
def test_standalone__has_size_colours_and_font(name: str, view: str) -> None:
    svg = standalone(drawing(name, view))
    root = ElementTree.fromstring(svg)
    assert float(root.attrib["width"]) > 0 and float(root.attrib["height"]) > 0
    assert "prefers-color-scheme:dark" in svg and "inherit" not in svg
    bare = re.findall(r'(?:stroke|fill)="var', svg)
    assert bare == []


def test_drawings__the_same_bytes_in_another_process() -> None:
    script = (
        "import sys; sys.path[:0] = [sys.argv[1], sys.argv[2]]\nimport hashlib\nfrom changing"
        " import done\nfrom firstway.drawing.single.single_line import single_line\nfrom"
        " firstway.drawing.wiring_diagram import wiring_diagram\ntext ="
        " ''.join(draw(done('sallow'), 'x').svg for draw in (single_line,"
        " wiring_diagram))\nprint(hashlib.sha256(text.encode()).hexdigest())"
    )
    here = Path(__file__).parents[1]
    prints = {
        subprocess.run(
            [sys.executable, "-c", script, str(here), str(here.parent / "tools")],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(prints) == 1
    assert wiring_diagram(done("marram"), "x").svg == wiring_diagram(done("marram"), "x").svg


def test_drawings__text_of_the_file_is_escaped() -> None:
    completed = done("marram")
    hostile = replace(
        completed, installation=replace(completed.installation, title="<script>\"&' x</script>")
    )
    for draw in VIEWS.values():
        root = ElementTree.fromstring(draw(hostile, "x").svg)
        assert not list(root.iter(f"{SVG}script"))
        assert "<script>" in (root.find(f"{SVG}title").text or "")


SIZES_KB = {
    "marram": 30,
    "sallow": 80,
}  # DESIGN: one phase with four devices, three phases with twelve modules
TIMES_MS = {"marram": 20, "sallow": 60}


@pytest.mark.parametrize("name", sorted(SIZES_KB))
@pytest.mark.parametrize("view", sorted(VIEWS))
def test_drawings__keep_to_their_size_and_tell_their_time(name: str, view: str, tell: Tell) -> None:
    size = len(drawing(name, view).svg.encode())
    best = math.inf
    for _ in range(5):
        start = time.process_time()
        VIEWS[view](done(name), "x")
        best = min(best, (time.process_time() - start) * 1000)
    tell(
        f"{view} {name}: {size / 1000:.1f} kB of {SIZES_KB[name]},"
        f" {best:.1f} ms of {TIMES_MS[name]}"
    )
    assert size <= SIZES_KB[name] * 1000


SPIKES = [
    ("alder", "garage.L1"),
    ("osier", "feed.L2"),
    ("sallow", "feed.L2"),
    ("plover", "feed.L2"),
]


@pytest.mark.parametrize(("name", "wire"), SPIKES)
def test_wiring_diagram__what_crosses_at_a_small_angle_leaves_no_spike(
    name: str, wire: str
) -> None:
    """Nowhere is one edge of a conductor painted over and the other not, for longer than a gap that
    is cut across would do: what was painted since is asked, unit by unit.
    """
    things = painted_in(drawing(name, "wiring").svg).things
    own = [n for n, thing in enumerate(things) if thing.group.endswith(f"-wire.{wire}")]
    since = [thing for thing in things[own[-1] + 1 :] if thing.lines and not thing.words]
    half = max(things[n].reach for n in own[1:])
    longest = run = 0
    for (ax, ay), (bx, by) in things[own[-1]].lines:
        length = math.dist((ax, ay), (bx, by))
        for step in range(int(length)):
            x, y = ax + (bx - ax) * step / length, ay + (by - ay) * step / length
            aside = 0.9 * half * (by - ay) / length, -0.9 * half * (bx - ax) / length
            hidden = [
                any(
                    _from_line((x + side * aside[0], y + side * aside[1]), *line) < thing.reach
                    for thing in since
                    for line in thing.lines
                )
                for side in (-1, 1)
            ]
            run = run + 1 if hidden[0] != hidden[1] else 0
            longest = max(longest, run)
    assert longest <= 3 * half


def _from_line(at: Point, start: Point, end: Point) -> float:
    """How far a point lies from a straight piece."""
    along = (end[0] - start[0], end[1] - start[1])
    square = along[0] ** 2 + along[1] ** 2
    share = (at[0] - start[0]) * along[0] + (at[1] - start[1]) * along[1]
    share = min(max(share / square, 0.0), 1.0) if square else 0.0
    return math.dist(at, (start[0] + share * along[0], start[1] + share * along[1]))


def _four_devices(name: str) -> bool:
    job = installation(name)
    return job.supply.phases == 1 and sum(way.device != "blank" for way in job.board.ways) < 4


@pytest.mark.parametrize("name", [n for n in JOBS if _four_devices(n)])
def test_wiring_diagram__of_one_phase_takes_30_kb(name: str) -> None:
    # Its numbers included. In another building bonding and the lead of an electrode or a second
    # armour come in by a hole of their own: two conductors, an entry and their words more.
    most = 35 if installation(name).board_is_detached else 30
    assert len(drawing(name, "wiring").svg.encode()) <= most * 1024


@pytest.mark.parametrize("side", ["left", "right", "top", "bottom", "back"])
@pytest.mark.parametrize("what", ["feed_enters", "circuits_leave"])
def test_wiring_diagram__feed_and_circuits_cross_the_outline_where_the_file_says(
    what: str, side: str
) -> None:
    completed = done("marram")
    enclosure = replace(completed.installation.board.enclosure, **{what: side})
    made = replace(
        completed.installation, board=replace(completed.installation.board, enclosure=enclosure)
    )
    turned = replace(
        completed,
        installation=made,
        case=Case(made, workings=completed.case.workings, wiring=completed.case.wiring),
    )
    sheet = wiring_layout(turned)
    assert faults_in(drawn_from(sheet, "x").svg) == ()
    box, wall = (
        sheet.group("enclosure").items[0],
        {"back": "top" if what == "feed_enters" else "bottom"}.get(side, side),
    )
    along, at = {
        "left": (0, box.x),
        "right": (0, box.x + box.width),
        "top": (1, box.y),
        "bottom": (1, box.y + box.height),
    }[wall]
    own = [
        c
        for c in completed.case.wiring.drawn.conductors
        if (c.cable == "feed") == (what == "feed_enters") and c.cable
    ]
    assert own
    for conductor in own:
        points = points_of_group(sheet.group(f"wire.{conductor.id}"))
        assert any(
            min(a[along], b[along]) < at < max(a[along], b[along])
            for a, b in zip(points, points[1:])
        ), conductor.id
    assert bool([group for group in sheet.groups if group.id.startswith("back.")]) == (
        side == "back"
    )
    assert f"at the {side}" in sheet.description


@pytest.mark.parametrize("name", ["marram", "sallow", "quince"])
def test_wiring_diagram__a_label_says_function_size_colour_and_ferrule(name: str) -> None:
    """Read against the graph, which has the ferrule from the maker's terminals in the file."""
    marks = {"always": "f", "stranded-only": "(f)", "never": "no f", "": ""}
    groups = {
        group.id: " ".join(item.words for item in group.items if isinstance(item, Lettering))
        for group in wiring_layout(done(name)).groups
    }
    labelled = _of_the_board(done(name))
    assert labelled and (name == "quince") != any(
        c.ferrule for c in labelled
    )  # the makers of quince's old board state nothing
    for conductor in labelled:
        colour = conductor.colour.replace("green-and-yellow", "green-yellow")
        wanted = (
            f"{conductor.function} {conductor.size} {colour} {marks[conductor.ferrule]}".split()
        )
        assert (
            groups[f"label.{conductor.id}"].replace("\N{NO-BREAK SPACE}", " ").split() == wanted
        ), conductor.id
    for mark in {marks[c.ferrule] for c in labelled} - {""}:
        assert f"{mark}: " in groups["key"]
    assert "ask the maker" in groups["key"]


def test_single_line__the_limiters_link_reaches_every_point_dashed() -> None:
    for name in ("marram", "sallow"):
        sheet = single_line_layout(done(name))
        link, points = sheet.group("control-link"), done(name).installation.charging_points
        dashed = [item for item in link.items if isinstance(item, Stroke) and item.dash]
        assert dashed and any(group.id == "load-limiter" for group in sheet.groups)
        for point in points:
            box = sheet.group(f"part.{point.name}").items[0]
            assert any(
                abs(line.points[-1][0] - box.x) < 6
                and box.y < line.points[-1][1] < box.y + box.height
                for line in dashed
            ), point.name
            assert point.name in link.title
        assert "current transformer senses the line" in sheet.description
    assert not [
        group for group in single_line_layout(done("quince")).groups if group.id == "control-link"
    ]  # it has no limiter


# Symbols, widths, numbers


def _symbols_sheet() -> Sheet:
    groups = []
    for index, (name, kind) in enumerate(symbols.FAMILY.items()):
        x, y = 60.0 + index % 7 * 110, 20.0 + index // 7 * 120
        groups.append(Group(name, (PlacedDrawing(kind(), x, y),), name))
    return Sheet(820, 400, tuple(groups), "Symbols", "The symbol family.", "symbols")


def test_symbols__stand_upright_after_any_element_and_end_below_their_supply() -> None:
    for name, kind in symbols.FAMILY.items():
        symbol = kind()
        assert symbol.anchors["supply"] == (0, 0) and symbol.params["theta"] == 0, name
        assert all(y <= 0 for _, y in symbol.anchors.values()), name


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("symbols", lambda: drawn_from(_symbols_sheet(), "symbols").svg),
        ("marram-wiring", lambda: drawing("marram", "wiring").svg),
        ("marram-board", lambda: standalone(drawing("marram", "board"))),  # README.md shows it
        ("marram-single-line", lambda: drawing("marram", "single-line").svg),
    ],
)
def test_golden__unchanged(name: str, made) -> None:
    file = GOLDEN / f"{name}.svg"
    if os.environ.get("FIRSTWAY_RENEW"):
        file.write_text(made(), encoding="utf-8")
    assert made() == file.read_text(encoding="utf-8")


def test_text_width__arial_metrics() -> None:
    # Widths of the Helvetica and Arial faces, thousandths of the size: A 667, i 222, digit 556,
    # space 278 (Adobe font metrics, from memory).
    assert text_width("Ai1 ", 1000) == 667 + 222 + 556 + 278
    assert reserved_width("Ai1 ", 10) == pytest.approx(1.2 * 17.23)


def test_wrapped__keeps_a_number_with_its_unit() -> None:
    assert wrapped("cable of 6 mm² here", 12, 75) == ("cable of", "6 mm² here")
    assert all(
        reserved_width(line, 12) <= 75 for line in wrapped("some words to break into lines", 12, 75)
    )


@pytest.mark.parametrize(
    ("value", "text"),
    [(-104.48680000000027, "-104.5"), (2.0, "2"), (-0.01, "0"), (0.25, "0.2"), (1e-9, "0")],
)
def test_number__one_formatter(value: float, text: str) -> None:
    assert svg_number(value) == text


def test_an_armour_earthed_at_neither_end_is_not_drawn_as_joined() -> None:
    """It ends beside the earth bar, held by nothing: the mark of a free end and the words of its
    label say so.
    """
    sheet = wiring_layout(
        done("marram", ("armour_earthed: board-end", "armour_earthed: neither-end"))
    )
    assert [
        item.shape for item in sheet.group("slipway.armour").items if isinstance(item, Ref)
    ] == ["free"]
    label = " ".join(
        item.words
        for item in sheet.group("label.slipway.armour").items
        if isinstance(item, Lettering)
    )
    assert label == "armour left free"


@pytest.mark.parametrize("view", ["wiring", "board"])
@pytest.mark.parametrize(
    "words, tie, said",
    [
        (
            "earthed_by: earth-bar, feed_enters",
            True,
            "the earth bar is screwed to the metal of the enclosure",
        ),
        (
            "earthed_by: conductor, protective_mm2: 6, feed_enters",
            True,
            "a protective conductor (6 mm\N{SUPERSCRIPT TWO}) joins the metal",
        ),
        ("earthed_by: none, feed_enters", False, "joined to no protective conductor"),
        ("feed_enters", True, "how the metal of the enclosure is earthed is not known"),
    ],
)
def test_drawings_tell_how_the_enclosure_is_earthed(
    view: str, words: str, tie: bool, said: str
) -> None:
    job = done("osier", ("earthed_by: earth-bar, feed_enters", words))
    sheet = wiring_layout(job) if view == "wiring" else front_layout(job)
    assert any(group.id == "enclosure.PE" for group in sheet.groups) is tie
    assert said in drawn_from(sheet, "x").alt.lower()


def test_wiring_diagram__names_what_the_feed_runs_through_and_armour_joined_far_off() -> None:
    alt = drawing("plover", "wiring").alt
    assert "The feed runs through fuse 63 A (N not fused) before it reaches the board." in alt
    ids = {group.id for group in wiring_layout(done("plover")).groups}
    assert "wire.quay-post.gland" in ids and not any(
        name.endswith(".gland")
        for name in {group.id for group in wiring_layout(done("marram")).groups}
    )
