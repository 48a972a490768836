"""What the single-line and the board's front join, read back from the finished SVG by names and
strokes, is what the graph joins: shipped boards, and boards drawn at random (five sides of entries,
bars on any side, 2 to 12 modules and more, one phase, three, nec). The wiring and the lifelike view
are read back in test_drawing.py and test_lifelike.py.

The graph is the other side of every comparison; nothing is asked of the drawing's own places.
"""

from __future__ import annotations

import math
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator

import pytest
from boards import drawn
from changing import done
from sampling import JOBS, many
from telling import Tell

from firstway.checks.rule import Case
from firstway.choosing.completing import Completed
from firstway.drawing.front.board_front import board_front
from firstway.drawing.painted import Painted, painted_in
from firstway.drawing.sheet import Point
from firstway.drawing.single.single_line import single_line
from firstway.wiring.deriving import wiring_of
from firstway.workings.shared.step import Workings

Node = tuple[str, str]
Joined = frozenset[frozenset[Node]]
Piece = tuple[Point, Point]
EARTHED = ("spd", "earth-bar", "main-earthing-terminal")
NEAR = 0.6  # units: coordinates are written in tenths
LINES = ("L1", "L2", "L3")
MODULE_MM, TAB_MM = 17.5, 25.4  # DIN 43880, from memory; one inch, the pitch of the nec files


def _drawn(number: int) -> Completed:
    """A board at random; nothing is worked."""
    made = drawn(number)
    return Completed(made, Case(made, workings=Workings(), wiring=wiring_of(made)), (), {})


def _plain(name: str) -> str:
    return re.sub(r"[^A-Za-z0-9_.-]+", "-", name)


class _Sets:
    """What is joined with what."""

    def __init__(self) -> None:
        self._over: dict[object, object] = {}

    def top(self, one: object) -> object:
        while (over := self._over.setdefault(one, one)) != one:
            one = over
        return one

    def join(self, one: object, other: object) -> None:
        self._over[self.top(one)] = self.top(other)

    def among(self, nodes: Iterable[Node]) -> Joined:
        found = defaultdict(set)
        for node in nodes:
            found[self.top(node)].add(node)
        return frozenset(map(frozenset, found.values()))


# ---- the single-line


def _first_points(board: Completed) -> dict[str, str]:
    """A point -> the first of its circuit, which stands for all of them on a single line."""
    return {
        point.name: board.installation.points_of(circuit)[0].name
        for circuit in board.installation.circuits
        for point in board.installation.points_of(circuit)
    }


def _by_graph(board: Completed) -> tuple[Joined, Joined]:
    """Which ends of devices, cables and points the line conductors join, whichever line they are;
    and which the protective conductors join inside the board and at its main earthing terminal.
    """
    wiring = board.case.wiring.drawn
    kinds = {part.name: part.kind for part in wiring.parts}
    ends = {terminal.id: terminal for terminal in wiring.terminals}
    first, lines, earths = _first_points(board), _Sets(), _Sets()
    on_lines: set[Node] = set()
    on_earths: set[Node] = {("earth-bar", "PE")}

    def node(terminal: str) -> object:
        device, kind = ends[terminal].device, kinds[ends[terminal].device]
        if kind in ("line-bar", "origin"):
            return kind
        if kind == "charging-point":
            on_lines.add((first[device], "supply"))
            return first[device], "supply"
        end = "load" if ends[terminal].end == "load" else "supply"
        on_lines.add((device, end))
        return device, end

    def earth(terminal: str) -> Node | str | None:
        """What a protective conductor of board or feed ends at: a part of the drawing, or a place
        that the feed's passes ahead of the board, where a single line is one line.
        """
        device, kind = ends[terminal].device, kinds[ends[terminal].device]
        if kind == "origin":
            return terminal
        return (device, "PE") if kind in EARTHED else None

    for each in wiring.conductors:
        if each.function in LINES:
            lines.join(node(each.start), node(each.end))
            if each.cable:
                on_lines.add((each.cable, "cable"))
                lines.join((each.cable, "cable"), node(each.end))
        elif each.function == "PE" and each.kind != "armour":
            both = [earth(end) for end in (each.start, each.end)]
            if None not in both:
                on_earths |= {one for one in both if isinstance(one, tuple)}
                earths.join(both[0], both[1])
    return lines.among(on_lines), earths.among(on_earths)


def _touches(point: Point, piece: Piece) -> bool:
    (ax, ay), (bx, by) = piece
    square = (bx - ax) ** 2 + (by - ay) ** 2
    share = ((point[0] - ax) * (bx - ax) + (point[1] - ay) * (by - ay)) / square if square else 0.0
    share = min(max(share, 0.0), 1.0)
    return math.dist(point, (ax + share * (bx - ax), ay + share * (by - ay))) <= NEAR


class _SingleLine:
    """A single-line read back: pieces of its path, and where its symbols stand."""

    def __init__(self, board: Completed) -> None:
        self.groups: dict[str, list[Painted]] = defaultdict(list)
        for thing in painted_in(single_line(board, "x").svg).things:
            if not thing.words:
                self.groups[thing.group.removeprefix("x-")].append(thing)
        self.nec = board.installation.rules == "nec"
        self.wires = [
            piece
            for name, things in self.groups.items()
            if name in ("path", "bar", "earth-bar")
            or name.startswith("branch.")
            or name == "main-protective-conductor"
            and not self.nec
            for thing in things
            for piece in thing.lines
        ]
        self.sets = _Sets()
        for place, one in enumerate(self.wires):
            for other in range(place):
                if any(_touches(end, self.wires[other]) for end in one) or any(
                    _touches(end, one) for end in self.wires[other]
                ):
                    self.sets.join(place, other)

    def ends(self, group: str) -> tuple[Point, Point]:
        """Top and foot of a symbol on its line."""
        points = [p for thing in self.groups[group] for piece in thing.lines for p in piece]
        return min(points, key=lambda p: p[1]), max(points, key=lambda p: p[1])

    def put(self, node: Node, points: Iterable[Point]) -> Node:
        """A node on every wire that ends at or passes one of the points."""
        for place, wire in enumerate(self.wires):
            if any(_touches(point, wire) for point in points):
                self.sets.join(node, place)
        return node

    def middle(self, group: str) -> list[Point]:
        """Where the line passes strokes that are drawn across it: any height, half a unit apart."""
        boxes = [thing.bounds for thing in self.groups[group]]
        across = range(
            int(2 * min(box[0] for box in boxes)), int(2 * max(box[2] for box in boxes)) + 1
        )
        y = (min(box[1] for box in boxes) + max(box[3] for box in boxes)) / 2
        return [(x / 2, y) for x in across]

    def round(self, group: str) -> list[Point]:
        """Left, right, top and foot of a round symbol."""
        a, b, c, d = self.groups[group][0].bounds
        return [(a, (b + d) / 2), (c, (b + d) / 2), ((a + c) / 2, b), ((a + c) / 2, d)]


def _by_single_line(board: Completed) -> tuple[Joined, Joined]:
    """The same read back from the single-line: symbols by their ids, joints from their strokes."""
    seen = _SingleLine(board)
    parts = board.case.wiring.drawn.parts
    on_lines: list[Node] = []
    on_earths = [("earth-bar", "PE")]
    for part in parts:
        group = f"part.{_plain(part.name)}"
        if part.place != "board" or part.kind in ("blank", "enclosure") or "bar" in part.kind:
            continue
        top, foot = seen.ends(group)
        on_lines.append(seen.put((part.name, "supply"), [top]))
        if part.kind == "spd":
            on_earths.append(seen.put((part.name, "PE"), [foot]))
        else:
            on_lines.append(seen.put((part.name, "load"), [foot]))
    for name in sorted(set(_first_points(board).values())):
        first = next(
            group
            for group in (f"open-pen.{_plain(name)}", f"contactor.{_plain(name)}")
            if group in seen.groups
        )
        on_lines.append(seen.put((name, "supply"), [seen.ends(first)[0]]))
    for name in ("feed", *(circuit.name for circuit in board.installation.circuits)):
        group = f"strokes.{_plain(name)}"
        if group in seen.groups:
            on_lines.append(seen.put((name, "cable"), seen.middle(group)))
    bar = [point for thing in seen.groups["earth-bar"] for piece in thing.lines for point in piece]
    seen.put(("earth-bar", "PE"), bar)
    if not seen.nec:
        on_earths.append(seen.put(("met", "PE"), seen.round("met")))
    return seen.sets.among(on_lines), seen.sets.among(on_earths)


@pytest.mark.parametrize("name", JOBS)
def test_single_line__joins_what_the_graph_joins(name: str) -> None:
    assert _by_single_line(done(name)) == _by_graph(done(name))


def test_single_line__of_drawn_boards_joins_what_the_graph_joins(tell: Tell) -> None:
    count = many(12, 300)
    for number in range(count):
        board = _drawn(number)
        assert _by_single_line(board) == _by_graph(board), number
    tell(f"single-line: {count} drawn boards read back")


# ---- the board's front


def _teeth_of_graph(board: Completed) -> dict[str, str]:
    """Place of the line bar -> the terminal whose tooth or tab begins there."""
    wiring = board.case.wiring.drawn
    return {
        bar: screw
        for each in wiring.conductors
        if each.id.startswith("tooth.")
        for bar, screw in [sorted((each.start, each.end), key=lambda end: end[:4] != "bar.")]
    }


def _terminals(things: Iterable[Painted]) -> Iterator[tuple[str, Point]]:
    for thing in things:
        if thing.classes.split()[:1] == ["terminal"] and not thing.words:
            a, b, c, d = thing.bounds
            yield thing.group.removeprefix("x-"), ((a + c) / 2, (b + d) / 2)


def _front_faults(board: Completed) -> list[str]:
    """Joints that the front shows otherwise than the graph: which screw stands nearest to each
    place of the line bar; screws of a bar on that bar; an opening for each cable.
    """
    things = painted_in(board_front(board, "x").svg).things
    places = dict(_terminals(things))
    wiring = board.case.wiring.drawn
    kinds = {part.name: part.kind for part in wiring.parts}
    names = {_plain(each.id): each for each in wiring.terminals}
    wrong = []
    screws = {name: at for name, at in places.items() if kinds[names[name].device] not in _BARS}
    pitch = getattr(board.installation.board.busbar, "pitch_mm", MODULE_MM)
    fits = pitch in (MODULE_MM, TAB_MM)  # teeth at another pitch move away from their screws
    for bar, screw in _teeth_of_graph(board).items() if fits else ():
        at = places[_plain(bar)]
        nearest = min(screws, key=lambda name: math.dist(screws[name], at))
        if nearest != _plain(screw):
            wrong.append(f"{bar} stands at {nearest}, the graph joins it to {screw}")
    for name, at in places.items():
        device = names[name].device
        if kinds[device] in ("neutral-bar", "earth-bar"):
            boxes = [each.bounds for each in things if each.group == f"x-{_plain(device)}"]
            if not any(a <= at[0] <= c and b <= at[1] <= d for a, b, c, d in boxes):
                wrong.append(f"{name} is not on its bar")
    cables = {_plain(each.cable) for each in wiring.conductors if each.cable}
    if board.installation.board_is_detached:
        cables.add("earths")  # a hole for conductors that come alone
    shown = {
        each.group.removeprefix("x-opening.")
        for each in things
        if each.group.startswith("x-opening.")
    }
    return [*wrong, *(f"opening of {name}" for name in sorted(cables ^ shown))]


_BARS = ("line-bar", "neutral-bar", "earth-bar")


@pytest.mark.parametrize("name", JOBS)
def test_board_front__joins_what_the_graph_joins(name: str) -> None:
    assert _front_faults(done(name)) == []


def test_board_front__of_drawn_boards_joins_what_the_graph_joins(tell: Tell) -> None:
    count, refused = many(12, 300), 0
    for number in range(count):
        board = _drawn(number)
        if board.case.plan.refused:
            refused += 1
            continue
        assert _front_faults(board) == [], number
    tell(f"board front: {count} drawn boards read back, {refused} that cannot be laid")
    assert refused < count * 0.2
