"""Drawing, pictures for the hands: a rising clamp, cut along the conductor.

The screw stays where it is; its thread draws the cage up, and the cage presses the conductor from
below against the fixed bar, which carries the current. Places are in mm: the clamp begins at 0 and
the underside of the bar is at 0.
"""

from collections.abc import Mapping
from math import cos, pi, sin, sqrt

from firstway.drawing.hands.frame import Detail, group
from firstway.drawing.hands.strokes import (
    Drawables,
    Scale,
    body,
    broad_arrow,
    call,
    conductor,
    cut,
    edge_line,
    lines,
    measure,
    ring,
    screw,
    words,
)
from firstway.drawing.ink import CONDUCTOR_INKS
from firstway.drawing.sheet import FINE, HAIR, LINE, Disc, Group, Point
from firstway.frozen import dataclass

_FACE = -7.0  # mm; the device's face before the clamp
_BAR = 1.6
_CAGE_WALL, _INSIDE = 1.7, 10.5  # mm; the ring of the cage, and the height within it
_TOP, _FLOOR = -20.0, 14.0
_MOUTH = 11.0  # mm; as high as the cage opens
_BEYOND = 1.2  # mm; the conductor's stop lies this far behind the cage
_TOOTH = 2.0  # mm; thickness of a bar's tooth
_COLLAR = 0.55  # mm; wall of a ferrule's collar
_SEVEN_IN_ONE = 7 / 9  # share of a circle that seven equal round strands fill


@dataclass(frozen=True)
class ClampedConductor:
    """A conductor in a clamp. Lengths in mm, `csa_mm2` in mm².

    `strip_mm` is the device's own length, `outer_mm` the conductor over its insulation.
    `kind` is solid, stranded, fine or ferrule (fine strands in one whose collar is of that ink).
    What goes wrong: `stripped_mm` (None: as long as the device asks), `short_of_stop_mm`,
    `strands_outside`, `below` (the end lies under the cage), `loose_mm` (the cage hangs so far
    below the copper), `cut_strands` (of seven, ending before the clamp), `burnt` (heat has marked
    the body). `kind` tooth is a bar's tooth in place of a conductor.
    """

    strip_mm: float
    csa_mm2: float
    outer_mm: float
    kind: str = "stranded"
    colour: str = "brown"
    collar: str = "zw1"
    stripped_mm: float | None = None
    short_of_stop_mm: float = 0.0
    strands_outside: int = 0
    below: bool = False
    loose_mm: float = 0.0
    cut_strands: int = 0
    burnt: bool = False

    @property
    def bare_mm(self) -> float:
        """What was stripped of the insulation."""
        return self.strip_mm if self.stripped_mm is None else self.stripped_mm

    @property
    def tip_mm(self) -> float:
        """Where the conductor ends."""
        return self.strip_mm - 1.0 - self.short_of_stop_mm

    @property
    def insulation_mm(self) -> float:
        """Where the insulation ends."""
        return self.tip_mm - self.bare_mm

    @property
    def copper_mm(self) -> float:
        """Width of the copper."""
        if self.kind == "tooth":
            return _TOOTH
        fill = 1.0 if self.kind == "solid" else _SEVEN_IN_ONE
        return sqrt(4 * self.csa_mm2 / pi / fill * (1 - self.cut_strands / 7))

    @property
    def mouth_above_mm(self) -> float:
        """How far the funnel of the entry opens above the underside of the bar: insulation, or the
        collar of a ferrule, passes under its roof when the copper lies against the bar.
        """
        return (self.outer_mm - sqrt(4 * self.csa_mm2 / pi)) / 2 + _COLLAR + 0.2

    @property
    def under_clamp(self) -> bool:
        """Whether the cage bites on insulation."""
        return self.insulation_mm > 0.5

    @property
    def gap_mm(self) -> float:
        """How far the cage is open when it is tight."""
        if self.below:
            return 0.0
        if self.under_clamp:
            return self.outer_mm * 0.9
        return self.copper_mm + self.loose_mm


def clamp(
    of: ClampedConductor, per_mm: float, x: float, y: float, room: float, left: float = -4.0
) -> tuple[Group, ...]:
    """The section, its clamp beginning at (x, y), its conductor from `left` on the paper; `room`
    is how many mm of the body lie to the right.
    """
    at = Scale(x, y, per_mm)
    return (
        group("housing", _housing(of, at, room), title="Moulded body of the device, cut open"),
        group("cage", _cage(of, at), title="The cage, which rises as the screw turns"),
        group("conductor", _conductor(of, at, (left - x) / per_mm), title="The conductor"),
        group("bar", _bar(of, at, room), title="The fixed bar, which carries the current"),
        group("screw", _screw(of, at), title="The screw of the terminal"),
    )


def _depth(of: ClampedConductor) -> float:
    return of.strip_mm - 2.0


def _housing(of: ClampedConductor, at: Scale, room: float) -> Drawables:
    deep, end = _depth(of), room
    well = deep / 2 - 4.6, deep / 2 + 4.6
    inner = -1.0, deep + _BEYOND
    upper = at.path(
        (_FACE, _TOP),
        (well[0], _TOP),
        (well[0], -13.0),
        (inner[0], -13.0),
        (inner[0], -of.mouth_above_mm),
        (_FACE, -of.mouth_above_mm - 0.8),
    )
    right = at.path(
        (well[1], _TOP),
        (end, _TOP),
        (end, -_BAR - 0.3),
        (inner[1], -_BAR - 0.3),
        (inner[1], -13.0),
        (well[1], -13.0),
    )
    under = at.path(
        (_FACE, _MOUTH + 0.5),
        (inner[0], _MOUTH),
        (inner[0], _FLOOR - 2.4),
        (inner[1], _FLOOR - 2.4),
        (inner[1], 0.3),
        (end, 0.3),
        (end, _FLOOR),
        (_FACE, _FLOOR),
    )
    hollow = at.block(_FACE, -13.0, inner[1], _FLOOR - 2.0)
    return (
        body(hollow, "zk2" if of.burnt else "zw3", FINE),
        *cut(upper, "zw2", 1, 7.0),
        *cut(right, "zw2", 1, 7.0),
        *cut(under, "zw2", 1, 7.0),
        *(_burnt(of, at, inner) if of.burnt else ()),
    )


def _burnt(of: ClampedConductor, at: Scale, inner: tuple[float, float]) -> Drawables:
    """The body darkened round the clamp, with blisters on its face."""
    dark = (
        at.block(inner[0] - 3.4, -12.4, inner[0], -of.mouth_above_mm - 0.4),
        at.block(inner[1], -12.4, inner[1] + 3.8, -_BAR - 0.4),
        at.block(inner[1], 0.4, inner[1] + 3.2, _FLOOR - 0.8),
        at.block(inner[0] - 2.6, _FLOOR - 2.2, inner[1], _FLOOR - 0.5),
    )
    blisters = ((-5.2, -9.0, 1.0), (-5.6, -5.6, 0.7), (inner[1] + 6.0, -8.5, 0.9))
    return (
        *(body(each, "zk1", HAIR) for each in dark),
        *(Disc(*at.at(x, y), r * at.per_mm, "zline", HAIR, "zw3") for x, y, r in blisters),
    )


def _cage(of: ClampedConductor, at: Scale) -> Drawables:
    gap, deep = of.gap_mm, _depth(of)
    low, high = gap, gap - _INSIDE
    wall = at.block(0.0, high - _CAGE_WALL, deep, low + _CAGE_WALL)
    floor = at.block(0.0, low, deep, low + _CAGE_WALL)
    roof = at.block(0.0, high - _CAGE_WALL, deep, high)
    return (
        body(wall, "zz2", HAIR),
        *cut(floor, "zz3", -1, 5.0),
        *cut(roof, "zz3", -1, 5.0),
    )


def _bar(of: ClampedConductor, at: Scale, room: float) -> Drawables:
    return cut(at.block(-0.7, -_BAR, room, 0.0), "zc2", 1, 5.0)


def _screw(of: ClampedConductor, at: Scale) -> Drawables:
    x, tip = at.at(_depth(of) / 2, -_BAR)
    _, top = at.at(0.0, _TOP + 2.0)
    return screw(x, top, tip, 7.4 * at.per_mm, 4.4 * at.per_mm, 0.9 * at.per_mm)


def _middle(of: ClampedConductor) -> float:
    """Height of the conductor's axis: its copper, or its insulation, lies against the bar."""
    if of.below:
        return _CAGE_WALL + of.copper_mm / 2 + 0.2
    return (of.outer_mm * 0.9 if of.under_clamp else of.copper_mm) / 2


def _conductor(of: ClampedConductor, at: Scale, left: float) -> Drawables:
    half, middle = of.copper_mm / 2, _middle(of)
    end, tip = of.insulation_mm, of.tip_mm
    if of.kind == "tooth":
        long = cut(at.block(_FACE - 7.0, -5.0, _FACE - 2.0, 12.0), "zk2", -1)
        return (
            *cut(at.block(_FACE - 3.5, middle - half, tip, middle + half), "zc1", -1, 4.0),
            *long,
        )
    wire = conductor(at.path((left, middle), (end, middle)), of.outer_mm * at.per_mm, of.colour)
    copper = at.block(end, middle - half, tip, middle + half)
    if of.kind == "solid":
        bare: Drawables = (body(copper, "zc1", HAIR),)
    else:
        # seven strands lie three across, fine ones as many as can be told apart
        many = min(8, int(of.copper_mm * at.per_mm / 2.4))
        across = 3 if of.kind == "stranded" else many
        each = of.copper_mm / across
        edges = [
            at.path((end, middle - half + each * n), (tip, middle - half + each * n))
            for n in range(1, across)
        ]
        bare = (body(copper, "zc1", HAIR), lines(edges))
    stray = (*_stray(of, at, middle + half), *_cut_ends(of, at, middle + half))
    cover = _ferrule(of, at, middle, half) if of.kind == "ferrule" else ()
    return (*bare, *stray, wire, *cover)


def _stray(of: ClampedConductor, at: Scale, low: float) -> Drawables:
    x = of.insulation_mm
    found = [
        at.path(
            (x, low - 0.3),
            (x + 1.6, low + 1.0 + 1.1 * place),
            (x - 0.6, low + 2.6 + 1.1 * place),
            (x - 5.0 - 1.5 * place, low + 3.0 + 1.1 * place),
        )
        for place in range(of.strands_outside)
    ]
    return (lines(found, LINE, "zc3"),) if found else ()


def _cut_ends(of: ClampedConductor, at: Scale, low: float) -> Drawables:
    """Strands that end before the clamp, spread a little, and what was cut off below them."""
    x = of.insulation_mm
    found = [
        at.path((x, low + 0.3 + 0.5 * place), (x + 1.6 - 0.3 * place, low + 0.8 + 1.0 * place))
        for place in range(of.cut_strands)
    ]
    fallen = [
        at.path((-4.5 + 3.4 * place, _FLOOR - 3.4), (-2.4 + 3.4 * place, _FLOOR - 3.0))
        for place in range(of.cut_strands)
    ]
    return (lines([*found, *fallen], LINE, "zc3"),) if found else ()


def _ferrule(of: ClampedConductor, at: Scale, middle: float, half: float) -> Drawables:
    """The ferrule cut open: its walls above and below the strands, its collar over the end of the
    insulation.
    """
    end, tip, wall = of.insulation_mm, of.tip_mm, 0.35
    collar = of.outer_mm / 2 + _COLLAR
    funnel = at.path(
        (end - 3.6, middle - collar),
        (end - 0.8, middle - collar),
        (end + 0.8, middle - half),
        (end + 0.8, middle + half),
        (end - 0.8, middle + collar),
        (end - 3.6, middle + collar),
    )
    return (
        body(funnel, of.collar, HAIR),
        body(at.block(end + 0.8, middle - half, tip, middle - half + wall), "zz2", FINE),
        body(at.block(end + 0.8, middle + half - wall, tip, middle + half), "zz2", FINE),
    )


# ---- with words


def clamp_panel(of: ClampedConductor, end_on: bool = False) -> Detail:
    """The section as wide as half a sheet, without words; a ring marks what is wrong in it.
    `end_on` puts the end of the conductor beside it, seen along it.
    """
    per_mm = 4.3
    at = Scale(78.0, -_TOP * per_mm + 4, per_mm)
    groups = clamp(of, per_mm, at.x, at.y, (193 - at.x) / per_mm)
    points = dict(_points(of, at))
    wrong = _wrong(of)
    if wrong is not None:
        points["wrong"] = at.at(*wrong)
        groups = (*groups, group("wrong", (ring(*points["wrong"], 13),)))
    if end_on:
        groups = (*groups, *_end_on(of))
    return Detail(194, at.at(0, _FLOOR)[1] + 6, groups, points)


def _end_on(of: ClampedConductor) -> tuple[Group, Group]:
    """Its insulation, and one wire in it, seven or many, as they lie in rings."""
    x, y, outside, inside = 23.0, 27.0, 21.0, 16.0
    first, *stripe = CONDUCTOR_INKS[of.colour]
    rims = [Disc(x, y, outside, "zline", HAIR, first)]
    rims += [Disc(x, y, (outside + inside) / 2, each, HAIR) for each in stripe]
    rims.append(Disc(x, y, inside, "", 0, "zhole"))
    rings = {"solid": 0, "stranded": 1}.get(of.kind, 2)
    each = inside / (2 * rings + 1)
    places = [(0.0, 0.0)]
    for nth in range(1, rings + 1):
        turns = [turn * pi / (3 * nth) for turn in range(6 * nth)]
        places += [(2 * nth * each * cos(turn), 2 * nth * each * sin(turn)) for turn in turns]
    strands = tuple(Disc(x + dx, y + dy, each, "zline", FINE, "zc1") for dx, dy in places)
    return (
        group("rim", tuple(rims), title="The end, seen along the conductor"),
        group("end-on", strands, title="Its wires"),
    )


def _wrong(of: ClampedConductor) -> Point | None:
    """The place of what is wrong, in mm."""
    end, middle = of.insulation_mm, _middle(of)
    if of.below:
        return _depth(of) / 2, of.gap_mm + _CAGE_WALL / 2
    if of.under_clamp:
        return end - 1.5, of.gap_mm
    if of.short_of_stop_mm:
        return of.tip_mm + 1.5, middle
    if of.strands_outside:
        return end - 3, middle + of.copper_mm / 2 + 3
    return (end + 1, middle) if of.bare_mm > of.strip_mm + 0.5 else None


def _points(of: ClampedConductor, at: Scale) -> Mapping[str, Point]:
    return {
        "screw": at.at(_depth(of) / 2, _TOP + 3),
        "bar": at.at(_depth(of) + 3, -_BAR / 2),
        "cage": at.at(_depth(of) - 1, of.gap_mm + _CAGE_WALL / 2),
        "insulation-end": at.at(of.insulation_mm, _middle(of)),
        "tip": at.at(of.tip_mm, _middle(of)),
        "strip-from": at.at(of.tip_mm - of.strip_mm, _middle(of)),
        "strip-to": at.at(of.tip_mm, _middle(of)),
    }


def clamp_named(of: ClampedConductor, strip: str, torque: str) -> Detail:
    """The section large, with the names of its parts; `strip` and `torque` are what the device's
    maker states, in words.
    """
    per_mm, x, y = 6.4, 186.0, 158.0
    at = Scale(x, y, per_mm)
    points = dict(_points(of, at))
    room = (398 - x) / per_mm
    _, foot = at.at(0, _FLOOR)
    left, right = at.at(of.tip_mm - of.bare_mm, 0)[0], at.at(of.tip_mm, 0)[0]
    level = foot + 22
    notes = (
        *measure((left, level), (right, level)),
        edge_line((left, at.at(0, of.copper_mm)[1]), (left, level - 6), width=FINE, ink="ink"),
        edge_line((right, at.at(0, of.copper_mm)[1]), (right, level - 6), width=FINE, ink="ink"),
        *words((left + right) / 2, level + 18, strip, "middle"),
        *call(4, 24, f"screw {torque}" if ":" in torque else f"screw: {torque}", points["screw"]),
        *call(4, 74, "cage|rises, presses up", at.at(0.8, of.gap_mm - _INSIDE - _CAGE_WALL / 2)),
        *call(4, 122, "fixed bar|carries the current", (at.at(0.6, -_BAR / 2))),
        *call(
            4, 246, "no bare copper|before the clamp", at.at(of.insulation_mm - 1.5, of.copper_mm)
        ),
        broad_arrow(
            at.at(_depth(of) / 2, _FLOOR - 3.0 + 2.6), at.at(_depth(of) / 2, of.gap_mm + 2.2), 6
        ),
    )
    return Detail(
        400,
        level + 26,
        (*clamp(of, per_mm, x, y, room), group("names", notes)),
        points,
    )
