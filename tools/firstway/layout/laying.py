"""Layout: every conductor of the board laid in its channels: which way, then where on it no other
lies.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf
from types import MappingProxyType

from firstway.frozen import dataclass
from firstway.layout.channels import (
    BEHIND,
    TO_BACK,
    Channels,
    Passage,
    channels_of,
    faces,
    shortest,
)
from firstway.layout.courses import Course, Wire, shadow
from firstway.layout.entries import opening_for
from firstway.layout.offers import Offers
from firstway.layout.plan import Parts, Solid
from firstway.layout.sizes import Sizes
from firstway.layout.tracks import Tracks
from firstway.wiring.graph import Wiring

_TRIES = 2  # how often other ways are tried for what finds no room
_TOUCH, _TIGHT, _LOST = 100.0, 500.0, 2000.0  # how bad it is, against mm of one line over another
_FREE, _FIRST = 6, 50  # free courses compared, and courses tried, for one wire
_FEW, _CUT = 20, 10.0  # courses tried for a shorter way, and mm that sets may take off a line
_MOST = 200  # courses tried for a wire that touches another
_LOOKS = 8  # how often it is looked whether they lie in each other where every bend is followed
_LATER, _NEVER = 3, 50.0  # how much later leads give way; how much a bend without room weighs
_STEPS, _BUDGET = 120, 3000  # how often one gives way to another, and courses worked in all


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
        tag = ""
        if not all(ends):
            outside = wiring.terminal(each.end if ends[0] else each.start)
            part = wiring.part(outside.device) if outside else None
            opening = parts.opening(opening_for(each, parts.openings))
            if part is None or part.place == "board" or opening is None:
                continue
            ends = [end or opening.name for end in ends]
            tag = opening.name if opening.bolt and each.kind == "armour" else ""
        place = 0 if each.kind == "lead" else 1 if each.cable else 2
        found.append(
            Wire(
                each,
                ends[0],
                ends[1],
                sizes.diameter_mm(sizes.csa_mm2(each)),
                sizes.radius_mm(each),
                (place, number),
                tag,
            )
        )
    return tuple(sorted(found, key=lambda wire: wire.order))


def courses_of(
    parts: Parts, wires: Sequence[Wire], sizes: Sizes, standing: Sequence[tuple[str, Solid]] = ()
) -> Courses:
    """Lays them one after the other; those laid first have the better places. `standing` is what
    else they go round, each with the opening it belongs to: feet of rail and bars, locknuts.

    Where a bend finds no room on the shortest way, another way past the devices is tried.
    """
    channels = channels_of(parts, {end for wire in wires for end in (wire.start, wire.end)})
    ends = ("top", "bottom") if parts.upright else ("left", "right")
    passing = channels.behind | set(ends)
    avoid: dict[str, frozenset[str]] = {}
    best = now = _laid(parts, channels, wires, sizes, avoid, standing)
    for _ in range(_TRIES):
        tight = [name for name, course in now[1].courses.items() if course.tight]
        more = {name: passing & set(now[0][name].channels) for name in tight}
        if not any(more.values()):
            break
        avoid |= {name: avoid.get(name, frozenset()) | some for name, some in more.items() if some}
        now = _laid(parts, channels, wires, sizes, avoid, standing, now[1].offers)
        if now[1].cost() >= best[1].cost():
            break
        best = now
    ways, laying = best
    for _ in range(_LOOKS):
        laying.part()
        if not laying.look():
            break
    order = [wire.conductor.id for wire in wires]
    touching = [
        (one, other)
        for place, other in enumerate(order)
        for one in order[:place]
        if one in laying.met[other]
    ]
    return Courses(channels, ways, tuple(laying.courses[each] for each in order), tuple(touching))


def _laid(
    parts: Parts,
    channels: Channels,
    wires: Sequence[Wire],
    sizes: Sizes,
    avoid: Mapping[str, frozenset[str]],
    standing: Sequence[tuple[str, Solid]],
    before: Offers | None = None,
) -> tuple[dict[str, Passage], _Laying]:
    """The ways, and each wire laid on its own, one after the other."""
    ways = ways_of(parts, channels, wires, avoid)
    laying = _Laying(Offers(parts, Tracks(parts, channels, wires, ways, sizes), standing, before))
    for wire in wires:
        laying.lay(wire)
    return ways, laying


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

    def __init__(self, offers: Offers) -> None:
        self.offers = offers
        self.courses: dict[str, Course] = {}
        self.met: dict[str, set[str]] = {}

    def lay(self, wire: Wire) -> None:
        """Lays a wire where it touches the fewest of the others and, where several places are
        free, where it lies least over or under others.
        """
        self._lift(wire.conductor.id)
        best: tuple[float, Course] | None = None
        others = list(self.courses.values())
        free = 0
        for course in self.offers.of(wire, _FIRST):
            score = _TIGHT * course.tight
            if best and score >= best[0]:
                continue
            for _ in self.offers.met(course, others):
                score += _TOUCH
                if best and score >= best[0]:
                    break
            if best and score >= best[0]:
                continue
            score += _LOST * self.offers.lost(course)
            if not score:
                free += 1
                score = shadow(course, others)
            if best is None or score < best[0]:
                best = score, course
            if not score or free >= _FREE:
                break
        assert best is not None, "there is at least one course"
        self._put(best[1])

    def part(self) -> None:
        """Moves what touches, one wire at a time, to where it touches least.

        What finds no better place makes its touching weigh more, so that in the end it goes where
        another has to give way, and that one where a third has to: a chain, found without trying
        all orders.
        """
        self._weights: dict[tuple[str, str], int] = {}
        tried: dict[str, int] = {}
        hopeless: set[str] = set()  # no bend finds room, wherever others lie
        best, least = dict(self.courses), self.cost()
        for _ in range(_STEPS):
            amiss = [n for n in self.courses if self.met[n] or self._bad(n) and n not in hopeless]
            if not amiss or self.offers.worked > _BUDGET:
                break
            # a lead keeps its short way until the others were asked some times more
            name = min(amiss, key=lambda each: tried.get(each, _LATER * self._is_lead(each)))
            times = tried[name] = tried.get(name, _LATER * self._is_lead(name)) + 1
            if self._give_way(name, min(times * _FIRST, _MOST)):
                if (cost := self.cost()) < least:
                    best, least = dict(self.courses), cost
            elif not self.met[name]:
                hopeless.add(name)
        if tried:
            for course in best.values():
                self._put(course)
            for name in best:
                self._settle(name)

    def look(self) -> bool:
        """Whether wires lie in each other where every bend is followed, that were not seen to."""
        order = sorted(self.courses.values(), key=lambda course: course.wire.order[1])
        found = [
            course
            for place, course in enumerate(order, 1)
            if self.offers.look(course, order[place:])
        ]
        for course in found:
            self._put(course)
        return bool(found)

    def _give_way(self, name: str, most: int) -> bool:
        """Moves a wire to where it touches less, as touching weighs; else makes that heavier."""
        own = self.courses[name]
        others = [course for other, course in self.courses.items() if other != name]
        others.sort(key=lambda course: course.id not in self.met[name])
        found, least = own, self._weighed(own, others, inf)
        for course in self.offers.of(own.wire, most):
            weighed = self._weighed(course, others, least)
            if weighed < least:
                found, least = course, weighed
                if not least:
                    break
        if found is own:
            for other in self.met[name]:
                key = (name, other) if name < other else (other, name)
                self._weights[key] = self._weights.get(key, 1) + 1
            return False
        self._put(found)
        return True

    def _weighed(self, course: Course, others: list[Course], most: float) -> float:
        """How much a wire would touch on a course, as touching weighs; at least `most` where it is
        more.
        """
        name, weights = course.id, self._weights
        found = _NEVER * course.tight
        if found >= most:
            return found
        for other in self.offers.met(course, others):
            there = other.id
            found += weights.get((name, there) if name < there else (there, name), 1)
            if found >= most:
                return found
        return found + 4 * _NEVER * self.offers.lost(course)

    def _settle(self, name: str) -> None:
        """Lays a wire where it is shorter, or lies less over and under others, if such a place is
        free.
        """
        own = self.courses[name]
        if self.met[name] or self._bad(name):
            return
        others = [each for each in self.courses.values() if each is not own]
        asked = others[:]
        best, least = own, own.length + shadow(own, others)
        for course in self.offers.of(own.wire, _FEW, own.length + _CUT):
            if course.length < least - 1e-6 and not course.tight:
                if next(self.offers.met(course, asked), None):
                    continue
                score = course.length + shadow(course, others)
                if score < least - 1e-6 and not self.offers.lost(course):
                    best, least = course, score
        if best is not own:
            self._put(best)

    def _bad(self, name: str) -> bool:
        """Whether a wire finds no room for its bends, or runs through what stands there."""
        return self.courses[name].tight or self.offers.lost(self.courses[name])

    def _is_lead(self, name: str) -> bool:
        return self.courses[name].wire.order[0] == 0

    def _lift(self, name: str) -> None:
        """Takes a wire out again."""
        self.courses.pop(name, None)
        for other in self.met.pop(name, ()):
            self.met[other].discard(name)

    def _put(self, course: Course) -> None:
        self._lift(course.id)
        met = {other.id for other in self.offers.met(course, list(self.courses.values()))}
        self.courses[course.id], self.met[course.id] = course, met
        for other in met:
            self.met[other].add(course.id)

    def cost(self) -> float:
        """How much is amiss."""
        return sum(map(len, self.met.values())) + 8 * sum(
            each.tight + 4 * self.offers.lost(each) for each in self.courses.values()
        )
