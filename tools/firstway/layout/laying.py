"""Layout: every conductor of the board laid in its channels: which way, then where on it no other
lies.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from types import MappingProxyType

from firstway.frozen import dataclass
from firstway.layout.bending import corners_and_bends, enters, tightest, with_sets
from firstway.layout.channels import (
    BEHIND,
    TO_BACK,
    Channels,
    Passage,
    channels_of,
    faces,
    shortest,
)
from firstway.layout.courses import Course, Wire, meet, shadow
from firstway.layout.plan import XYZ, Parts, Solid
from firstway.layout.sizes import Sizes
from firstway.layout.tracks import LaySetting, Skeleton, Tracks
from firstway.wiring.graph import Wiring

_TRIES, _MANY = 2, 20  # how often other ways are tried for what finds no room; once for many
_TOUCH, _TIGHT, _LOST = 100.0, 500.0, 2000.0  # how bad it is, against mm of one line over another
_FREE, _MOST = 6, 50  # free settings compared, and settings tried, for one wire
_PUSHES, _PUSHED = 12, 2  # places of one wire from which others are pushed, and how many at once
_ORDERS = 2  # in how many orders all are laid
_RESTARTS = 3  # how often all is laid anew, what touched before the others
_ROUNDS, _BUDGET = 4, 1500  # how often what touches is laid anew, and settings tried in all


@dataclass(frozen=True)
class Courses:
    """All wires as they lie, and the pairs that lie in the same place."""

    channels: Channels
    ways: dict[str, Passage]
    courses: tuple[Course, ...]
    touching: tuple[tuple[str, str], ...]


def wires_of(wiring: Wiring, parts: Parts, sizes: Sizes) -> tuple[Wire, ...]:
    """The round conductors of the board in the order in which they are laid: leads of surge
    protective devices first, then each cable with its line ahead of its neutral, then links.
    """
    found = []
    for number, each in enumerate(wiring.conductors):
        ends = [end if end in parts.spots else "" for end in (each.start, each.end)]
        if each.kind == "bar" or not any(ends):
            continue
        if not all(ends):
            outside = wiring.terminal(each.end if ends[0] else each.start)
            part = wiring.part(outside.device) if outside else None
            opening = parts.opening(each.cable or "feed")
            if part is None or part.place == "board" or opening is None:
                continue
            ends = [end or opening.name for end in ends]
        place = 0 if each.kind == "lead" else 1 if each.cable else 2
        found.append(
            Wire(
                each,
                ends[0],
                ends[1],
                sizes.diameter_mm(sizes.csa_mm2(each)),
                sizes.radius_mm(each),
                (place, number),
            )
        )
    return tuple(sorted(found, key=lambda wire: wire.order))


def courses_of(
    parts: Parts, wires: Sequence[Wire], sizes: Sizes, standing: Sequence[Solid] = ()
) -> Courses:
    """Lays them one after the other; those laid first have the better places. `standing` is what
    else they go round: feet of rail and bars.

    Where a bend finds no room on the shortest way, another way past the devices is tried.
    """
    channels = channels_of(parts, {end for wire in wires for end in (wire.start, wire.end)})
    ends = ("top", "bottom") if parts.upright else ("left", "right")
    passing = channels.behind | set(ends)
    avoid: dict[str, frozenset[str]] = {}
    best = now = _laid(parts, channels, wires, sizes, avoid, (), standing)
    for _ in range(_TRIES if len(wires) < _MANY else 1):
        tight = [course.id for course in now.courses if course.tight]
        more = {name: passing & set(now.ways[name].channels) for name in tight}
        if not any(more.values()):
            break
        avoid |= {name: avoid.get(name, frozenset()) | some for name, some in more.items() if some}
        now = _laid(parts, channels, wires, sizes, avoid, (), standing)
        if _worth(now) >= _worth(best):
            break
        best = now
    first: list[str] = []
    for _ in range(_RESTARTS):  # what found no place is laid before the others
        if not best.touching:
            break
        late = [name for pair in now.touching for name in reversed(pair)]
        first = list(dict.fromkeys([*late, *first]))
        now = _laid(parts, channels, wires, sizes, avoid, first, standing)
        best = now if _worth(now) < _worth(best) else best
    return best


def _worth(courses: Courses) -> int:
    """How much is amiss."""
    return len(courses.touching) + 2 * sum(course.tight for course in courses.courses)


def _laid(
    parts: Parts,
    channels: Channels,
    wires: Sequence[Wire],
    sizes: Sizes,
    avoid: Mapping[str, frozenset[str]],
    first: Sequence[str],
    standing: Sequence[Solid],
) -> Courses:
    ways = ways_of(parts, channels, wires, avoid)
    tracks = Tracks(parts, channels, wires, ways, sizes)
    order = [wire.conductor.id for wire in wires]
    ahead: list[str] = list(first)
    tries: list[_Laying] = []
    for _ in range(_ORDERS):  # what touches the others is laid before them the next time
        rank = {name: place - len(ahead) for place, name in enumerate(ahead)}
        laying = _Laying(parts, tracks, standing)
        for wire in sorted(wires, key=lambda w: (w.order[0] > 0, rank.get(w.conductor.id, 0))):
            laying.lay(wire)
        tries.append(laying)
        late = [name for name in reversed(order) if laying.met[name]]
        if not late:
            break
        ahead = list(dict.fromkeys([*late, *ahead]))
    laying = min(tries, key=_Laying.cost)
    laying.part()
    found = laying.courses
    touching = [
        (one, other)
        for place, other in enumerate(order)
        for one in order[:place]
        if one in laying.met[other]
    ]
    return Courses(channels, ways, tuple(found[each] for each in order), tuple(touching))


# Which way


def ways_of(
    parts: Parts,
    channels: Channels,
    wires: Sequence[Wire],
    avoid: Mapping[str, frozenset[str]] = MappingProxyType({}),
) -> dict[str, Passage]:
    """The shortest way of each wire; line and neutral of one circuit pass the devices together.
    `avoid` are channels in which a wire found no room for its bends.
    """
    found: dict[str, Passage] = {}
    leaders: dict[str, Passage] = {}
    for wire in wires:
        start, end = channels.ends[wire.start], channels.ends[wire.end]
        closed, group = closed_to(parts, channels, wire), group_of(wire)
        way = None
        if group in leaders:
            way = shortest(
                channels, start, end, closed | _not_with(parts, channels, leaders[group])
            )
        shunned = avoid.get(wire.conductor.id, frozenset())
        way = way if way and not shunned else shortest(channels, start, end, closed | shunned)
        way = way or shortest(channels, start, end, closed)
        if way is None:
            raise LookupError(f"no channel leads from {wire.start} to {wire.end}")
        if group:
            leaders.setdefault(group, way)
        found[wire.conductor.id] = way
    return found


def closed_to(parts: Parts, channels: Channels, wire: Wire) -> frozenset[str]:
    """Channels a wire does not use: those behind the rail but straight behind its own terminal, or
    where it has none there straight at its ends; all of them where its bends find no room, or
    where it goes out through the back.
    """
    holes = [parts.opening(end) for end in (wire.start, wire.end)]
    if not bends_back(parts, wire) or any(hole and hole.side == "back" for hole in holes):
        return channels.behind | {TO_BACK}
    axis = 1 if parts.upright else 0
    ends = [end for end in (wire.start, wire.end) if end in parts.spots]
    own = [end for end in ends if faces(parts, parts.spots[end]) == parts.spots[end].out]
    return channels.behind - {
        f"{BEHIND} {round(channels.nodes[channels.ends[end]].at[axis], 6):g}"
        for end in own or (wire.start, wire.end)
    }


def _not_with(parts: Parts, channels: Channels, leader: Passage) -> frozenset[str]:
    """Channels past the devices that another wire of the same circuit did not take."""
    ends = ("top", "bottom") if parts.upright else ("left", "right")
    left_out = frozenset(end for end in ends if end not in leader.channels)
    passes = any(channel in channels.behind for channel in leader.channels)
    return left_out if passes else left_out | channels.behind


def group_of(wire: Wire) -> str:
    """What a live conductor keeps company with: those of its cable, or of its device; the live
    leads of a surge protective device lie side by side.
    """
    conductor = wire.conductor
    if conductor.function == "PE":
        return ""
    if conductor.kind == "lead":
        return f"lead.{conductor.id.rpartition('.')[2]}"
    return conductor.cable or conductor.id.partition(".")[2].partition(".")[2]


def bends_back(parts: Parts, wire: Wire) -> bool:
    """Whether two bends of a wire find room between the front of the channels and their back."""
    if parts.behind is None:
        return False
    front = next((spot.at[2] for spot in parts.spots.values()), 0.0)
    return front - parts.behind[0] - wire.diameter / 2 - 1 >= 2 * wire.radius and (
        parts.behind[1] - parts.behind[0] >= wire.diameter + 2
    )


# Where no other lies


class _Laying:
    """The wires that lie already, and which of them touch."""

    def __init__(self, parts: Parts, tracks: Tracks, standing: Sequence[Solid]) -> None:
        self.parts, self.tracks = parts, tracks
        self.courses: dict[str, Course] = {}
        self.met: dict[str, set[str]] = {}
        self.most, self.tried, self.late = _MOST, 0, False
        self._skeletons: dict[str, Skeleton] = {}
        self._in_the_way = [*standing, *([parts.rail] if parts.rail else [])]
        if parts.line_bar:
            self._in_the_way.append(parts.line_bar.box)

    def lay(self, wire: Wire) -> None:
        """Lays a wire where it touches the fewest of the others."""
        self.lift(wire.conductor.id)
        self._put(*self._best(self._skeleton(wire)))

    def lift(self, name: str) -> None:
        """Takes a wire out again."""
        self.courses.pop(name, None)
        for other in self.met.pop(name, ()):
            self.met[other].discard(name)

    def part(self) -> None:
        """Lays anew what touches, by ever costlier means: alone; with its place in an opening
        changed; where it pushes few others aside; after it those it touches.
        """
        for number in range(_ROUNDS):
            before, self.late = self.cost(), number > 0
            for way, most in (
                (self._alone, 3 * _MOST),
                (self._change_places, _MOST // 2),
                (self._push, _MOST // 2),
                (self._together, 2 * _MOST),
            ):
                self.most = most
                for name in sorted(self.met, key=self._rank):
                    if not self.met[name] or self.tried >= _BUDGET:
                        continue
                    if self.late or not self._is_lead(name):  # leads keep their short ways
                        way(name)
            if not any(self.met.values()) or (number and self.cost() >= before):
                return

    def _rank(self, name: str) -> tuple[bool, int]:
        """Leads of surge protective devices last; of the others those that touch most first."""
        return self._is_lead(name), -len(self.met[name])

    def _is_lead(self, name: str) -> bool:
        return self.courses[name].wire.order[0] == 0

    def _alone(self, name: str) -> None:
        self._again([self.courses[name].wire])

    def _together(self, name: str) -> None:
        self._again([self.courses[each].wire for each in (name, *sorted(self.met[name]))])

    def _again(self, wires: Sequence[Wire]) -> None:
        """Takes wires out and lays them anew; keeps what is better."""
        kept, cost = self._kept(), self.cost()
        for wire in wires:
            self.lift(wire.conductor.id)
        for wire in wires:
            self.lay(wire)
        if self.cost() >= cost:
            self.courses, self.met = kept

    def _push(self, name: str) -> None:
        """Lays a wire where few lie, and those elsewhere; keeps the first that is better."""
        skeleton, cost = self._skeleton(self.courses[name].wire), self.cost()
        tried = 0
        for setting in islice(self.tracks.settings(skeleton), 3 * _MOST):
            course = self._course(skeleton, setting)
            if course.tight or self._lost(course):
                continue
            met = [n for n, each in self.courses.items() if n != name and meet(course, each)]
            if len(met) > _PUSHED or (not self.late and any(map(self._is_lead, met))):
                continue
            kept = self._kept()
            self._put(course, met)
            for other in met:
                self.lay(self.courses[other].wire)
            if self.cost() < cost:
                return
            self.courses, self.met = kept
            tried += 1
            if tried >= _PUSHES:
                return

    def _kept(self) -> tuple[dict[str, Course], dict[str, set[str]]]:
        return dict(self.courses), {each: set(some) for each, some in self.met.items()}

    def _put(self, course: Course, met: Iterable[str]) -> None:
        self.lift(course.id)
        self.courses[course.id], self.met[course.id] = course, set(met)
        for other in met:
            self.met[other].add(course.id)

    def _skeleton(self, wire: Wire) -> Skeleton:
        name = wire.conductor.id
        if name not in self._skeletons:
            self._skeletons[name] = self.tracks.skeleton(wire)
        return self._skeletons[name]

    def _change_places(self, name: str) -> None:
        """Lets a wire that touches one of its own opening change places with another there."""
        one, cost = self.courses[name].wire, self.cost()
        holes = {each for each in (one.start, one.end) if self.parts.opening(each)}
        touched = [self.courses[each].wire for each in self.met[name]]
        if not any(holes & {each.start, each.end} for each in touched):
            return
        for other in [each.wire for each in self.courses.values() if each.wire is not one]:
            if not self.tracks.swap(one, other):
                continue
            kept = self._kept()
            for pair in ((one, other), (other, one)):
                for wire in pair:
                    self.lift(wire.conductor.id)
                    self._skeletons.pop(wire.conductor.id, None)
                for wire in pair:
                    self.lay(wire)
                if self.cost() < cost:
                    return
                self.courses, self.met = kept[0].copy(), {n: set(s) for n, s in kept[1].items()}
            self.tracks.swap(one, other)
            for wire in (one, other):
                self._skeletons.pop(wire.conductor.id, None)

    def cost(self) -> float:
        """How much is amiss."""
        return sum(map(len, self.met.values())) + 8 * sum(
            each.tight + 4 * each.lost for each in self.courses.values()
        )

    def _best(self, skeleton: Skeleton) -> tuple[Course, set[str]]:
        best: tuple[float, Course, set[str]] | None = None
        others = list(self.courses.values())
        free = 0
        for number, setting in enumerate(self.tracks.settings(skeleton)):
            if number >= self.most:
                break
            course = self._course(skeleton, setting)
            score = _TIGHT * course.tight
            met: list[Course] = []
            for other in others if best is None or score < best[0] else ():
                if meet(course, other):
                    met.append(other)
                    score += _TOUCH
                    if best and score >= best[0]:
                        break
            if best and score >= best[0]:
                if met and met[-1] is not others[0]:  # asked first: likely to be met again
                    others.remove(met[-1])
                    others.insert(0, met[-1])
                continue
            if self._lost(course):
                score += _LOST
                course = Course(course.wire, course.points, course.bends, course.tight, True)
            if not score:
                free += 1
                score = shadow(course, others)
            if best is None or score < best[0]:
                best = score, course, {each.id for each in met}
            if not score or free >= _FREE:
                break
        assert best is not None, "there is at least one setting"
        return best[1], best[2]

    def _course(self, skeleton: Skeleton, setting: LaySetting) -> Course:
        self.tried += 1
        wire = skeleton.wire
        points, bends = corners_and_bends(self.tracks.points(skeleton, setting))
        bent = with_sets(points, wire.radius)
        if bent != points and not self._through(bent[1:-1], wire, (self.parts.block,)):
            points, bends = corners_and_bends(bent)  # else a set would lie in the devices
        radius = tightest(points, wire.radius, bends)
        tight = radius is not None and radius < wire.radius - 0.01
        return Course(wire, points, bends, tight)

    def _through(self, points: Sequence[XYZ], wire: Wire, bodies: Sequence[Solid]) -> bool:
        """Whether a line runs through a body."""
        half = wire.diameter / 2 - 0.5
        for body in bodies:
            grown = body.grown(half)
            if any(enters(a, b, grown) for a, b in zip(points, points[1:])):
                return True
        return False

    def _lost(self, course: Course) -> bool:
        """Whether a wire runs through rail or line bar, or its middle part through devices."""
        points, wire = course.points, course.wire
        return self._through(points, wire, self._in_the_way) or self._through(
            points[1:-1], wire, (self.parts.block,) if self.parts.behind is None else ()
        )
