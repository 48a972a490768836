"""Layout: the courses that are offered to each wire, the best first; each is worked once, and so
is whether two of them lie in each other.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import inf

from firstway.layout.bending import corners_and_bends, enters, tightest, with_sets
from firstway.layout.courses import Course, Wire, length_of, lie_in_each_other, meet
from firstway.layout.plan import XYZ, Parts, Solid
from firstway.layout.tracks import LaySetting, Skeleton, Tracks

Line = tuple[XYZ, ...]


class Offers:
    """Courses of each wire by their number, worked when they are first asked for."""

    def __init__(self, parts: Parts, tracks: Tracks, standing: Sequence[tuple[str, Solid]]) -> None:
        self.parts, self.tracks = parts, tracks
        self.worked = 0
        self._lines: dict[str, list[Line]] = {}
        self._known: set[tuple[str, Line]] = set()
        self._waiting: dict[str, Iterator[tuple[Skeleton, LaySetting]]] = {}
        self._made: dict[tuple[str, Line], Course] = {}
        self._met: dict[tuple[int, int], bool] = {}
        self._through_it: dict[int, bool] = {}
        self._in_the_way = [*standing, *([("", parts.rail)] if parts.rail else [])]
        if parts.line_bar:
            self._in_the_way.append(("", parts.line_bar.box))
        self._block = (parts.block,)

    def of(self, wire: Wire, most: int, below: float = inf) -> Iterator[Course]:
        """Of the first `most` courses of a wire those whose line is shorter than `below` mm."""
        for line in self._of(wire, most):
            if below < inf and length_of(line) >= below:
                continue
            key = (wire.conductor.id, line)
            course = self._made.get(key)
            if course is None:
                course = self._made[key] = self._course(wire, line)
            yield course

    def _of(self, wire: Wire, most: int) -> Iterator[Line]:
        """The first `most` lines of a wire, all different."""
        name = wire.conductor.id
        if name not in self._lines:
            self._lines[name], self._waiting[name] = [], self.tracks.offered(wire)
        lines, waiting = self._lines[name], self._waiting[name]
        place = 0
        while place < most:
            while place >= len(lines):
                choice = next(waiting, None)
                if choice is None:
                    return
                line = self.tracks.points(*choice)
                if (name, line) not in self._known:
                    self._known.add((name, line))
                    lines.append(line)
            yield lines[place]
            place += 1

    def meet(self, one: Course, other: Course) -> bool:
        """Whether two courses lie in the same place."""
        a, b = one.bounds, other.bounds  # most pairs lie apart: asked here, without a call
        if (
            a[0] >= b[1]
            or b[0] >= a[1]
            or a[2] >= b[3]
            or b[2] >= a[3]
            or a[4] >= b[5]
            or b[4] >= a[5]
        ):
            return False
        key = (id(one), id(other)) if id(one) < id(other) else (id(other), id(one))
        found = self._met.get(key)
        if found is None:
            found = self._met[key] = meet(one, other)
        return found

    def look(self, one: Course, other: Course) -> bool:
        """Whether two courses lie in each other though they do not meet; from then on they do."""
        if self.meet(one, other) or not lie_in_each_other(one, other):
            return False
        self._met[(id(one), id(other)) if id(one) < id(other) else (id(other), id(one))] = True
        return True

    def lost(self, course: Course) -> bool:
        """Whether a wire runs through rail, line bar or the locknut of another's opening, or its
        middle part through devices.
        """
        found = self._through_it.get(id(course))
        if found is None:
            points, wire = course.points, course.wire
            own = (wire.start, wire.end)
            bodies = [body for of, body in self._in_the_way if of not in own]
            found = _through(points, wire, bodies) or (
                self.parts.behind is None and _through(points[1:-1], wire, self._block)
            )
            self._through_it[id(course)] = found
        return found

    def _course(self, wire: Wire, points: tuple[XYZ, ...]) -> Course:
        self.worked += 1
        points, bends = corners_and_bends(points)
        bent = with_sets(points, wire.radius)
        if bent != points and not _through(bent[1:-1], wire, self._block):
            points, bends = corners_and_bends(bent)  # else a set would lie in the devices
        radius = tightest(points, wire.radius, bends)
        return Course(wire, points, bends, radius is not None and radius < wire.radius - 0.01)


def _through(points: Sequence[XYZ], wire: Wire, bodies: Sequence[Solid]) -> bool:
    """Whether a line runs through a body."""
    half = wire.diameter / 2 - 0.5
    xs, ys, zs = zip(*points)
    low_x, low_y, low_z = min(xs) - half, min(ys) - half, min(zs) - half
    high_x, high_y, high_z = max(xs) + half, max(ys) + half, max(zs) + half
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
            grown = body.grown(half)
            if any(enters(a, b, grown) for a, b in zip(points, points[1:])):
                return True
    return False
