"""Layout: from an installation and its wiring to the one plan of all views, lengths and checks."""

from __future__ import annotations

from collections.abc import Mapping
from math import dist, fsum

from firstway.layout.bending import area_between, bent_length, tightest
from firstway.layout.courses import Course, Wire
from firstway.layout.hardware import fittings_of
from firstway.layout.laying import courses_of, wires_of
from firstway.layout.parts import fixed_parts
from firstway.layout.plan import Laid, Layout, Parts
from firstway.layout.sizes import Sizes
from firstway.model.evidence import alone
from firstway.model.installation import Installation
from firstway.model.values import is_known
from firstway.wiring.graph import Wiring

_IN_THE_WAY = ("bar-foot", "rail-foot", "bush", "earth-tag", "earth-tag-bolt", "locknut")
"""What conductors go round, but for those that come through it."""


def layout_of(installation: Installation, wiring: Wiring) -> Layout:
    """The board with all that lies in it; the same plan for the same file, each time.

    What a conductor of the graph is laid from is `wiring.conductors`; devices of the feed, existing
    boards, points and electrodes lie outside. LookupError where a table has no row for a size.
    """
    plan, rests_on = alone(lambda: _planned(installation, wiring))
    return Layout(
        plan.parts,
        plan.conductors,
        plan.assumptions,
        plan.tight,
        plan.touching,
        plan.outside,
        rests_on,
        plan.fittings,
    )


def _planned(installation: Installation, wiring: Wiring) -> Layout:
    sizes = Sizes()
    parts = fixed_parts(installation, wiring, sizes)
    fittings = fittings_of(parts, sizes)
    standing = [(each.of, each.body) for each in fittings if each.kind in _IN_THE_WAY]
    courses = courses_of(parts, wires_of(wiring, parts, sizes), sizes, standing)
    by_name = {course.wire.conductor.id: course for course in courses.courses}
    laid = {
        course.wire.conductor.id: _laid(installation, parts, by_name, course, sizes)
        for course in courses.courses
    }
    for conductor in wiring.conductors:
        ends = [parts.spots.get(end) for end in (conductor.start, conductor.end)]
        if conductor.kind == "bar" and ends[0] and ends[1]:
            points = ends[0].at, ends[1].at
            length = dist(*points) / 1000
            laid[conductor.id] = Laid(
                conductor.id, points, 0.0, 0.0, None, length, length, "", None, True
            )
    order = [conductor.id for conductor in wiring.conductors]
    return Layout(
        parts,
        tuple(laid[each] for each in order if each in laid),
        sizes.taken(),
        tuple(each.wire.conductor.id for each in courses.courses if each.tight),
        courses.touching,
        tuple(each for each in order if each not in laid),
        (),
        fittings,
    )


def _laid(
    installation: Installation,
    parts: Parts,
    courses: Mapping[str, Course],
    course: Course,
    sizes: Sizes,
) -> Laid:
    wire, points = course.wire, course.points
    bend = tightest(points, wire.radius)
    length = bent_length(points, wire.radius if bend is None else bend)
    inside = [end for end in (wire.start, wire.end) if end in parts.spots]
    beyond = [_beyond_the_screw(installation, end, sizes) for end in inside]
    slack = sizes("slack-at-an-end") * len(inside)
    partner = next((courses[name] for name in partners_of(wire) if name in courses), None)
    return Laid(
        wire.conductor.id,
        points,
        wire.diameter,
        wire.radius,
        bend,
        length / 1000,
        (length + fsum(beyond) + slack) / 1000,
        partner.wire.conductor.id if partner else "",
        area_between(points, partner.points) / 100 if partner else None,
        len(inside) == 2,
    )


def partners_of(wire: Wire) -> tuple[str, ...]:
    """The conductors that may close a loop with one, the likeliest first: the neutral of a line,
    the line of a neutral or a protective conductor, the other lead of a surge protective device.
    """
    head, _, rest = wire.conductor.id.partition(".")
    function, _, device = rest.partition(".")
    if wire.conductor.kind == "lead":
        pairs = {"N": ("PE", "L1"), "PE": ("N", "L1")}.get(function, ("PE", "N"))
        return tuple(f"lead.{name}.{device}" for name in pairs)
    names = ("N", "L1", "L2", "L3") if function.startswith("L") else ("L1", "L2", "L3", "N")
    tail = f".{device}" if device else ""
    return tuple(f"{head}.{name}{tail}" for name in names if name != function)


def _beyond_the_screw(installation: Installation, end: str, sizes: Sizes) -> float:
    """What is stripped beyond the middle of the screw, in mm."""
    name = end.partition(".")[0]
    switch = installation.board.main_switch
    own = [way for way in installation.board.ways if way.name == name]
    device = switch if is_known(switch) and switch.name == name else own[0] if own else None
    terminals = getattr(device, "terminals", None)
    strip = sizes.given(terminals, "strip_mm", sizes("strip-length"))
    return max(strip - (sizes("clamp-inset") if device else sizes("bar-depth") / 2), 0.0)
