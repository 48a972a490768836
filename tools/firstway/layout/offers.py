"""Layout: the courses that are offered to each wire, the best first; each is worked once, and so
is whether two of them lie in each other.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import inf

from firstway.layout.bending import corners_and_bends, enters, tightest, with_sets
from firstway.layout.courses import Course, Wire, length_of, lie_in_each_other, meet
from firstway.layout.plan import XYZ, Parts, Solid
from firstway.layout.tracks import Tracks

Line = tuple[XYZ, ...]


class _Offered:
    """The lines of one wire that were asked for, all different, and the courses made of them."""

    def __init__(self, tracks: Tracks, wire: Wire) -> None:
        self.lines: list[Line] = []
        self.made: list[Course | None] = []
        self._tracks, self._waiting = tracks, tracks.offered(wire)
        self._known: set[Line] = set()

    def one_more(self) -> bool:
        """Whether there is another line; it is added."""
        for choice in self._waiting:
            line = self._tracks.points(*choice)
            if line not in self._known:
                self._known.add(line)
                self.lines.append(line)
                self.made.append(None)
                return True
        return False


class Offers:
    """Courses of each wire by their number, worked when they are first asked for."""

    def __init__(
        self,
        parts: Parts,
        tracks: Tracks,
        standing: Sequence[tuple[str, Solid]],
        before: Offers | None = None,
    ) -> None:
        """What was worked `before` with other ways for the same wires is not worked again."""
        self.parts, self.tracks = parts, tracks
        self.worked = 0
        self._offered: dict[str, _Offered] = {}
        self._before: dict[tuple[str, Line], Course] = before.made() if before else {}
        self._met: dict[tuple[int, int], bool] = before._met if before else {}
        self._through_it: dict[int, bool] = before._through_it if before else {}
        self._in_the_way = [*standing, *([("", parts.rail)] if parts.rail else [])]
        if parts.line_bar:
            self._in_the_way.append(("", parts.line_bar.box))
        self._round: dict[str, list[Solid]] = {}
        self._blocks: dict[float, Solid] = {}

    def of(self, wire: Wire, most: int, below: float = inf) -> Iterator[Course]:
        """Of the first `most` courses of a wire those whose line is shorter than `below` mm."""
        offered = self._offered.get(wire.conductor.id)
        if offered is None:
            offered = self._offered[wire.conductor.id] = _Offered(self.tracks, wire)
        lines, made = offered.lines, offered.made
        for place in range(most):
            if place == len(lines) and not offered.one_more():
                return
            if below < inf and length_of(lines[place]) >= below:
                continue
            course = made[place]
            if course is None:
                key = (wire.conductor.id, lines[place])
                before = self._before.get(key) if self._before else None
                course = made[place] = before or self._course(wire, lines[place])
                self.worked += 1
            yield course

    def made(self) -> dict[tuple[str, Line], Course]:
        """All courses made so far, by the wire's name and their line."""
        return self._before | {
            (name, line): course
            for name, offered in self._offered.items()
            for line, course in zip(offered.lines, offered.made)
            if course
        }

    def met(self, course: Course, others: list[Course]) -> Iterator[Course]:
        """Those of the others that lie in the same place as a course; they are moved to the front
        of the list, for they are likely to be met again.
        """
        least_x, most_x, least_y, most_y, least_z, most_z = course.bounds
        own, known = id(course), self._met
        for place, other in enumerate(others):
            low_x, high_x, low_y, high_y, low_z, high_z = other.bounds
            if (  # most lie apart: asked here, without a call
                low_x >= most_x
                or least_x >= high_x
                or low_y >= most_y
                or least_y >= high_y
                or low_z >= most_z
                or least_z >= high_z
            ):
                continue
            there = id(other)
            key = (own, there) if own < there else (there, own)
            found = known.get(key)
            if found is None:
                found = known[key] = meet(course, other)
            if found:
                if place:
                    others.insert(0, others.pop(place))
                yield other

    def look(self, course: Course, others: Iterable[Course]) -> bool:
        """Whether a course lies in one of the others though they do not meet; from then on they
        do.
        """
        own, found = id(course), False
        for other in others:
            there = id(other)
            key = (own, there) if own < there else (there, own)
            if not self._met.get(key) and lie_in_each_other(course, other):
                self._met[key] = found = True
        return found

    def lost(self, course: Course) -> bool:
        """Whether a wire runs through rail, line bar or the locknut of another's opening, or its
        middle part through devices.
        """
        found = self._through_it.get(id(course))
        if found is None:
            points, wire = course.points, course.wire
            found = _through(points, self._bodies(wire)) or (
                self.parts.behind is None and _through(points[1:-1], (self._block(wire),))
            )
            self._through_it[id(course)] = found
        return found

    def _bodies(self, wire: Wire) -> list[Solid]:
        """What a wire goes round, for its middle line: with room for half the wire around it."""
        found = self._round.get(wire.conductor.id)
        if found is None:
            own, half = (wire.start, wire.end), _half(wire)
            found = [body.grown(half) for of, body in self._in_the_way if of not in own]
            self._round[wire.conductor.id] = found
        return found

    def _block(self, wire: Wire) -> Solid:
        """The devices, for its middle line."""
        half = _half(wire)
        found = self._blocks.get(half)
        if found is None:
            found = self._blocks[half] = self.parts.block.grown(half)
        return found

    def _course(self, wire: Wire, points: tuple[XYZ, ...]) -> Course:
        points, bends = corners_and_bends(points)
        bent = with_sets(points, wire.radius)
        if bent != points and not _through(bent[1:-1], (self._block(wire),)):
            points, bends = corners_and_bends(bent)  # else a set would lie in the devices
        radius = tightest(points, wire.radius, bends)
        return Course(wire, points, bends, radius is not None and radius < wire.radius - 0.01)


def _half(wire: Wire) -> float:
    """Half of what a wire takes beside its middle line; it may press a little."""
    return wire.diameter / 2 - 0.5


def _through(points: Sequence[XYZ], bodies: Sequence[Solid]) -> bool:
    """Whether a line runs through a body."""
    xs, ys, zs = zip(*points)
    low_x, low_y, low_z, high_x, high_y, high_z = *map(min, (xs, ys, zs)), *map(max, (xs, ys, zs))
    for body in bodies:
        (x, y, z), (far_x, far_y, far_z) = body.low, body.high
        if (
            low_x < far_x
            and x < high_x
            and low_y < far_y
            and y < high_y
            and low_z < far_z
            and z < high_z
        ):
            for a, b in zip(points, points[1:]):
                if enters(a, b, body):
                    return True
    return False
