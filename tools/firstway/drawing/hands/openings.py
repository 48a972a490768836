"""Drawing, pictures for the hands: where cables come in: stuffing gland, edge of a hole, line and
neutral through steel, the degree of protection after drilling.
"""

from collections.abc import Iterator

from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import (
    Drawables,
    Scale,
    arc_points,
    body,
    broad_arrow,
    call,
    conductor,
    cut,
    edge_line,
    ring,
    turning,
    words,
)
from firstway.drawing.sheet import HAIR, LINE, Disc, Group, Point, Stroke
from firstway.frozen import dataclass
from firstway.tables.reading import Row, table

# ---- a gland that seals on a round sheath


@dataclass(frozen=True)
class StuffingGland:
    """A gland whose nut squeezes a seal onto the sheath. Radii in mm: `seal_mm` is the least the
    seal closes to, `sheath_mm` the cable's; `armoured`: its sheath covers steel wires.
    """

    seal_mm: float
    sheath_mm: float
    armoured: bool = False

    @property
    def tight(self) -> bool:
        """Whether the seal reaches the sheath."""
        return self.sheath_mm >= self.seal_mm


def stuffing_gland(of: StuffingGland, named: bool = False) -> Detail:
    """The gland cut along the cable; the inside of the enclosure is above. `named`: as wide as the
    sheet, with the names of its parts.
    """
    at = Scale(200.0 if named else 97.0, 44.0, 6.0)
    cable, seal = of.sheath_mm, max(of.seal_mm, of.sheath_mm)
    shell = [(6.6, -5.0), (8.4, -5.0), (8.4, 2.5), (12, 2.5), (12, 5), (9.6, 5), (9.6, 9), (6.6, 9)]
    nut = [(9.6, 6.4), (12.4, 6.4), (12.4, 15), (10.5, 17.5), (6.6, 17.5), (6.6, 15.5), (9.6, 13)]
    # the seal fills all the room between body, nut and sheath: it is what they press
    ring_of = [(seal, 8.4), (6.6, 9.0), (9.6, 9.0), (9.6, 13.0), (6.6, 15.5), (seal, 16.0)]
    washer = [(8.4, 1.6), (11.6, 1.6), (11.6, 2.5), (8.4, 2.5)]
    lock = [(8.4, -3.2), (12, -3.2), (12, 0.0), (8.4, 0.0)]
    wall = [(8.6, 0.0), (16, 0.0), (16, 1.6), (8.6, 1.6)]

    def both(points: list[Point], tone: str, lean: int = 1) -> Drawables:
        left = at.path(*((-x, y) for x, y in points))
        return (*cut(at.path(*points), tone, lean, 8.0), *cut(left, tone, -lean, 8.0))

    def filled(points: list[Point]) -> Drawables:
        left = at.path(*((-x, y) for x, y in points))
        return body(at.path(*points), "zk3"), body(left, "zk3")

    top = -5.5 if not of.armoured else 3.0
    sheath = at.block(-cable, top, cable, 21)
    cores = [
        conductor(at.path((x * cable, 3.2), (x * cable, -6.6)), cable * 2.5, colour)
        for x, colour in ((-0.5, "blue"), (0.5, "green-and-yellow"), (0.0, "brown"))
    ]
    wires = [
        conductor(at.path((x, top + 4), (x * 1.15, top - 3)), 2.4, "bare")
        for x in (-cable + 0.8, cable - 0.8)
    ]
    groups: list[Group] = [
        group("cores", tuple(cores), title="Cores"),
        group("wall", both(wall, "zs2"), title="Wall of the enclosure"),
        group(
            "cable",
            tuple(wires) if of.armoured else (),
            (body(sheath, "zk1"), edge_line(*at.path((-cable / 2, top), (-cable / 2, 21)))),
            title="Cable with its sheath",
        ),
        group("body", both(shell, "zw2"), title="Body of plastic"),
        group("washer", filled(washer), title="Washer, which seals the hole"),
        group("seal", filled(ring_of), title="Seal"),
        group("nut", both(nut, "zw3", -1), title="Nut, which squeezes the seal"),
        group("locknut", both(lock, "zw2", -1), title="Locknut"),
    ]
    points = {"seal": at.at(seal + 0.5, 11.5), "sheath": at.at(cable, 11.5)}
    if of.armoured:
        points["wrong"] = at.at(cable, top - 1)
        groups.append(group("wrong", (ring(*points["wrong"], 14),)))
    elif not of.tight:
        points["wrong"] = at.at((cable + seal) / 2, 11.5)
        groups.append(group("wrong", (ring(*points["wrong"], 12),)))
    if named:
        groups.append(group("names", *_stuffing_names(at, cable)))
    return Detail(400 if named else 194, at.at(0, 21)[1] + 2, tuple(groups), points)


def _stuffing_names(at: Scale, cable: float) -> Iterator[Drawables]:
    """Parts of the gland by name, with the order in which they are put together."""
    for x, y, text, to, anchor in (
        (4, 16, "2  locknut|inside the box", (-10.2, -1.6), "start"),
        (4, 62, "wall, burr off", (-14.0, 0.8), "start"),
        (4, 84, "1  washer|outside", (-11.2, 2.1), "start"),
        (4, 146, "sheath|round and whole", (-cable + 0.7, 19.5), "start"),
        (300, 16, "1  body|from outside", (7.5, -3.5), "start"),
        (300, 103, "seal|all round", (8.0, 11.0), "start"),
        (300, 136, "4  nut, last|torque: the|maker says", (11.4, 14.5), "start"),
        (300, 56, "3  cable|sheath past|the seal", (cable - 0.7, -2.0), "start"),
    ):
        yield call(x, y, text, at.at(*to), anchor)


def stuffing() -> Made:
    """The seal on the sheath, and where it does not hold."""
    return sheet_of(
        "A stuffing gland: its seal on the sheath",
        "A plastic gland cut along the cable, three times. Right: between body and nut the seal is"
        " squeezed onto a round sheath all round, a washer seals the hole. Wrong: a cable too thin"
        " for it, with a gap that lets in water; an armoured cable in it, whose steel wires nothing"
        " holds or earths.",
        [
            Panel(
                stuffing_gland(StuffingGland(4.4, 5.2)),
                True,
                "a gland of its size",
                "Seal tight on a round sheath, in the maker's range; a washer seals the hole.",
            ),
            Panel(
                stuffing_gland(StuffingGland(4.4, 3.4)),
                False,
                "cable too thin",
                "A gap: water comes in, and a pull goes on to the terminals.",
            ),
            Panel(
                stuffing_gland(StuffingGland(4.4, 5.6, armoured=True)),
                False,
                "an armoured cable",
                "Steel wires end free: not held, not earthed.",
            ),
        ],
    )


def stuffing_parts() -> Made:
    """The parts of a stuffing gland by name, numbered as they are put together."""
    return sheet_of(
        "A stuffing gland, its parts in order",
        "A plastic gland cut along the cable, its parts named and numbered in their order: body"
        " with a washer from outside, locknut inside, the cable with its sheath through the seal,"
        " last the nut, which presses the seal between itself and the body onto the sheath.",
        [
            Panel(
                stuffing_gland(StuffingGland(4.4, 5.2), named=True),
                None,
                "",
                "The cable's diameter lies in the range that the gland's maker states. Body and nut"
                " press the seal onto the sheath.",
                True,
            )
        ],
    )


# ---- the edge of a hole


@dataclass(frozen=True)
class HoleInPlate:
    """A cable through a hole in a plate, with a bush on its edge or without."""

    bush: bool


def hole_in_plate(of: HoleInPlate) -> Detail:
    """The plate cut through the hole; the cable bends over its edge."""
    at = Scale(97.0, 52.0, 6.0)
    half = 6.0
    plates = (
        *cut(at.block(-15, 0, -half, 1.4), "zs2", 1, 5.0),
        *cut(at.block(half, 0, 15, 1.4), "zs2", 1, 5.0),
    )
    bent = half - (2.9 if of.bush else 2.2)
    cable = conductor(
        at.path((0.0, 9), (bent, 1.2), (bent + 0.4, -1), (bent + 9, -6.5)), 24, "grey", 12
    )
    points = {"edge": at.at(half, 0.0)}
    if of.bush:
        shape = [(half - 1.1, -1.7), (half + 1.9, -1.7), (half + 1.9, -0.2), (half, -0.2)]
        shape += [(half, 1.6), (half + 1.9, 1.6), (half + 1.9, 3.1), (half - 1.1, 3.1)]
        left = at.path(*((-x, y) for x, y in shape))
        bush = (body(at.path(*shape), "zk1", bend=3), body(left, "zk1", bend=3))
        more = group("bush", bush, title="Bush")
    else:
        more = group("wrong", (ring(*points["edge"], 14),))
    return Detail(
        194,
        124,
        (
            group("cable", (cable,), title="Sheathed cable"),
            group("plate", plates, title="Plate, cut through the hole"),
            more,
        ),
        points,
    )


def bush() -> Made:
    """A hole with its edge covered, and a sharp one."""
    return sheet_of(
        "A bush in the hole",
        "A sheathed cable through a hole in a steel plate, twice. Right: the burr is off and a bush"
        " covers the edge, so that the sheath lies on something round. Wrong: the sheath rests on a"
        " sharp edge, which cuts it in time.",
        [
            Panel(
                hole_in_plate(HoleInPlate(True)),
                True,
                "edge covered",
                "Burr off, bush of the hole's size. The gap still counts for IP. A bush holds"
                " nothing: cleat the cable against a pull (common practice).",
            ),
            Panel(
                hole_in_plate(HoleInPlate(False)),
                False,
                "bare edge",
                "Steel cuts into the sheath with every movement.",
            ),
        ],
    )


# ---- through steel


@dataclass(frozen=True)
class ThroughSteel:
    """Line, neutral and protective conductor through a steel plate, in one opening or each in a
    hole of its own. `sawn` says that a cut joins the holes, `closed` that no gap is left: by an
    insert in the one opening, by a piece that is not steel in the cut.
    """

    together: bool
    sawn: bool = False
    closed: bool = False

    @property
    def field_circles(self) -> bool:
        """Whether steel lies all round a line or a neutral alone."""
        return not self.together and not self.sawn


def through_steel(of: ThroughSteel) -> Detail:
    """The plate from inside the enclosure, the conductors cut."""
    x, y = 97.0, 70.0
    plate = body([(6, 22), (188, 22), (188, 118), (6, 118)], "zs1")
    ways = (("L", "brown", -1), ("N", "blue", 1))
    groups: list[Group] = [group("plate", (plate,), title="Steel plate from inside")]
    points: dict[str, Point] = {"plate": (20, 32)}
    if of.together:
        opening = (
            *arc_points(x - 22, y, 26, 26, 90, 270),
            *arc_points(x + 22, y, 26, 26, 270, 450),
        )
        rim = (
            *arc_points(x - 22, y, 30, 30, 90, 270),
            *arc_points(x + 22, y, 30, 30, 270, 450),
        )
        covered = (body(rim, "zk1"), body(opening, "zk2" if of.closed else "zw1"))
        groups.append(group("opening", covered, title="One opening, edge covered, closed"))
        places = [(name, ink, x + side * 15.5) for name, ink, side in ways]
        groups.append(group("pe", _end_on(x, y + 14, 9, "PE"), title="Protective conductor"))
    else:
        places = [(name, ink, x + side * 44.0) for name, ink, side in ways]
        if of.sawn:
            groups.append(_saw_cut(x, y, of.closed))
            points["cut"] = (x, y)
        for name, _, at in places:
            hole = arc_points(at, y, 17, 17, 0, 360)
            edge = arc_points(at, y, 21, 21, 0, 360)
            tone = "zk2" if of.closed else "zw1"
            covered = (body(edge, "zk1"), body(hole, tone))
            groups.append(group(f"opening.{name}", covered, title="A hole of its own"))
    for name, ink, at in places:
        place = y - (6 if of.together else 0)
        items: Drawables = (
            Disc(at, place, 14.5, "zline", LINE, "grey"),
            Disc(at, place, 11, "zline", HAIR, ink),
            Disc(at, place, 6.5, "zline", HAIR, "zc1"),
        )
        groups.append(group(f"conductor.{name}", items, title=f"{name}, cut"))
        groups.append(group(f"name.{name}", words(at, 15, name, "middle")))
        points[name] = (at, place)
    if of.field_circles:
        for name, _, at in places:
            turn = 1 if name == "L" else -1
            loop = arc_points(at, y, 27, 27, -60 * turn - 90, 200 * turn - 90)
            groups.append(
                group(
                    f"field.{name}",
                    turning(loop),
                    title="Magnetic field in the steel",
                )
            )
    if of.sawn and not of.closed:
        points["wrong"] = (x, y)
        groups.append(group("wrong", (ring(x, y, 17),)))
    return Detail(194, 126, tuple(groups), points)


def _saw_cut(x: float, y: float, closed: bool) -> Group:
    """The cut from hole to hole; closed, a bolted piece lies over it."""
    slot = body(
        [(x - 26, y - 2.5), (x + 26, y - 2.5), (x + 26, y + 2.5), (x - 26, y + 2.5)], "paper"
    )
    if not closed:
        return group("cut", (slot,), title="Saw cut from hole to hole")
    cover = body([(x - 20, y - 13), (x + 20, y - 13), (x + 20, y + 13), (x - 20, y + 13)], "zk2")
    rivets = tuple(Disc(x + side * 12, y - 8 * side, 3, "zline", HAIR, "zz1") for side in (-1, 1))
    return group("cut", (slot, cover), rivets, title="Saw cut, closed by a piece of plastic")


def _end_on(x: float, y: float, radius: float, name: str) -> Drawables:
    return (
        Disc(x, y, radius, "zline", LINE, "green"),
        Stroke(((x - radius * 0.7, y - 2), (x + radius * 0.7, y - 2)), "yellow", HAIR),
        Stroke(((x - radius * 0.7, y + 2), (x + radius * 0.7, y + 2)), "yellow", HAIR),
        Disc(x, y, radius * 0.5, "zline", HAIR, "zc1"),
    )


def one_opening() -> Made:
    """All conductors of a circuit through one opening, each through its own, and holes that a saw
    cut joins.
    """
    return sheet_of(
        "Line and neutral through steel: one opening",
        "A steel plate from inside, four times. Right: line, neutral and protective conductor go"
        " through one opening, its edge covered, an insert round each so that no gap stays; the"
        " currents there and back cancel, nothing circles in the steel. Wrong: a hole for each; the"
        " steel round each conductor carries its field, currents are driven in the plate and it"
        " grows hot. Wrong: a saw cut joins the holes and is left open; the steel hardly heats, but"
        " the cut is a gap. Right: the cut closed again by plastic; steel would lead the field.",
        [
            Panel(
                through_steel(ThroughSteel(True, closed=True)),
                True,
                "one opening",
                "All three together: the fields of L and N cancel. Edge covered, an insert or gland"
                " made for tails closes the gap and holds them against a pull.",
            ),
            Panel(
                through_steel(ThroughSteel(False)),
                False,
                "a hole each",
                "Each field circles in the steel and heats it, covered edge or not.",
            ),
            Panel(
                through_steel(ThroughSteel(False, sawn=True)),
                False,
                "a saw cut left open",
                "It parts the steel round each, so the plate hardly heats. Yet it is a gap with a"
                " sharp edge.",
            ),
            Panel(
                through_steel(ThroughSteel(False, sawn=True, closed=True)),
                True,
                "the cut closed again",
                "By plastic, never steel, round both: no gap stays. A cure for old holes (common"
                " practice): the board dead, the tails out before the saw, the filings after it.",
            ),
        ],
    )


# ---- the degree of protection after drilling


@dataclass(frozen=True)
class ProbedGap:
    """A gap of an enclosure and a probe of the IP code before it, in mm."""

    probe_mm: float
    gap_mm: float
    ball: bool = False

    @property
    def kept_out(self) -> bool:
        """Whether the probe does not enter."""
        return self.gap_mm < self.probe_mm


def probed_gap(of: ProbedGap) -> Detail:
    """The wall cut through the gap, the probe pushed at it."""
    # by the probe alone: right and wrong show one probe at gaps of two widths
    per_mm = min(26.0, 40.0 / of.probe_mm)
    at = Scale(97.0, 92.0, per_mm)
    half, probe = of.gap_mm / 2, of.probe_mm / 2
    far, thick = 90 / per_mm, 12 / per_mm
    tip = -1 / per_mm if of.kept_out else 34 / per_mm
    wall = (
        *cut(at.block(-far, 0, -half, thick), "zs2"),
        *cut(at.block(half, 0, far, thick), "zs2"),
    )
    rod: Drawables = (body(at.block(-probe, -60 / per_mm, probe, tip), "zz1"),)
    if of.ball:
        stick = at.block(-probe / 5, -60 / per_mm, probe / 5, tip - 2 * probe)
        middle = at.at(0, tip - probe)
        rod = (body(stick, "zz2", HAIR), Disc(*middle, probe * per_mm, "zline", LINE, "zz1"))
    groups = [
        group("wall", wall, title="Wall, cut through the gap"),
        group("probe", rod, title="Probe"),
        group("force", (broad_arrow(at.at(0, -82 / per_mm), at.at(0, -62 / per_mm), 7),)),
    ]
    points = {
        "gap-from": at.at(-half, 0),
        "gap-to": at.at(half, 0),
        "probe-from": at.at(-probe, -30 / per_mm),
        "probe-to": at.at(probe, -30 / per_mm),
    }
    if not of.kept_out:
        points["wrong"] = at.at(0, thick)
        groups.append(group("wrong", (ring(*points["wrong"], 30),)))
    return Detail(194, 136, tuple(groups), points)


def after_drilling() -> Made | str:
    """What a gap does to the degree of protection."""
    rows = {row.text("first_digit"): row for row in table("access_probe").rows}
    panels: list[Panel] = []
    for digit, what in (("4", "top of the box"), ("2", "elsewhere")):
        row: Row = rows[digit]
        probe, ball = row.number("probe_mm"), row.text("probe") == "ball"
        code = f"IP{digit}X"
        panels += [
            Panel(
                probed_gap(ProbedGap(probe, probe * 0.8, ball)),
                True,
                f"{code}, {what}",
                f"{_probe_words(row)} stays out{_more(row)}.",
            ),
            Panel(
                probed_gap(ProbedGap(probe, probe * 1.5, ball)),
                False,
                f"{code} is lost",
                f"{_probe_words(row)} goes in. Close the gap.",
            ),
        ]
    return sheet_of(
        "After drilling: does the probe stay out?",
        "A wall cut through a gap that drilling left, four times, with the probe of its degree of"
        " protection. Right: the gap is narrower than the probe, which stays out. Wrong: it is"
        " wider; the probe goes in and the enclosure is no longer what it was declared to be.",
        panels,
        [of_row(rows[digit], "probe_mm", "{} mm", f"probe of IP{digit}X") for digit in ("4", "2")],
    )


def _more(row: Row) -> str:
    """What is asked of the wider probe besides."""
    return "" if row.text("first_digit") == "4" else "; no finger reaches a live part"


def _probe_words(row: Row) -> str:
    return f"The {row.text('probe')} of {row.text('probe_mm')} mm"
