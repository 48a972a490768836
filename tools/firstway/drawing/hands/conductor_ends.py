"""Drawing, pictures for the hands: the end of a conductor: ferrules by size, crimps in section, two
conductors under one screw.
"""

from dataclasses import replace
from math import cos, pi, sin, sqrt

from firstway.calculations.adding import added
from firstway.drawing.hands.clamps import ClampedConductor, clamp_panel
from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import (
    SHEET_WIDTH,
    Detail,
    Made,
    Panel,
    group,
    sheet_of,
)
from firstway.drawing.hands.strokes import (
    Drawables,
    Scale,
    arc_points,
    body,
    conductor,
    cut,
    edge_line,
    lines,
    measure,
    ring,
    screw,
    strands_across,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Disc, Group, Point
from firstway.frozen import dataclass
from firstway.tables.reading import (
    Gap,
    Row,
    board_size_mm,
    column_word,
    conductor_diameter_mm,
    table,
)

_WALL_MM = 0.4
_COLLAR_MM = 6.0
_SHOWN_MM2 = 6.0  # the size that is cut open
_TOO_LONG = 1.5  # share of the length that the clamp asks
_PLATE_MM, _HEAD_MM = 1.6, 6.0  # thickness of a clamping plate, width of its screw's head


# ---- ferrules


def ferrules_by_size(rows: tuple[Row, ...]) -> Detail:
    """A ferrule a row, all to one scale: size, ferrule, length of the barrel, colour of the collar
    in words.
    """
    per_mm, top, groups = 4.4, 26.0, []
    heads = (
        *words(6, 14, "size"),
        *words(74, 14, "ferrule"),
        *words(216, 14, "barrel"),
        *words(290, 14, "collar (DIN)"),
    )
    y = top
    points: dict[str, Point] = {}
    for row in rows:
        inner = sqrt(4 * row.number("csa_mm2") / pi) * 1.15
        tall = max(26.0, (inner + 3.6) * per_mm + 8)
        at = Scale(74.0, y + tall / 2, per_mm)
        name = row.text("csa_mm2")
        groups.append(
            group(
                f"ferrule.{name}",
                _ferrule_outside(at, inner, row.number("barrel_mm"), row.text("collar_colour")),
                words(6, at.y + 4.5, f"{name} mm²"),
                words(216, at.y + 4.5, f"{row.text('barrel_mm')} mm", bold=False),
                words(290, at.y + 4.5, row.text("collar_colour"), bold=False),
            )
        )
        points[f"{name}.barrel-from"] = at.at(_COLLAR_MM, 0)
        points[f"{name}.barrel-to"] = at.at(_COLLAR_MM + row.number("barrel_mm"), 0)
        y += tall
    return Detail(SHEET_WIDTH, y, (group("heads", heads), *groups), points)


def _ferrule_outside(at: Scale, inner: float, barrel: float, colour: str) -> Drawables:
    half, wide = inner / 2 + _WALL_MM, inner / 2 + 1.6
    collar = at.path(
        (0, -wide), (4.2, -wide), (_COLLAR_MM, -half), (_COLLAR_MM, half), (4.2, wide), (0, wide)
    )
    tube = at.block(_COLLAR_MM, -half, _COLLAR_MM + barrel, half)
    shine = at.path((_COLLAR_MM, -half * 0.4), (_COLLAR_MM + barrel, -half * 0.4))
    return (
        body(tube, "zz1", HAIR),
        lines([shine]),
        body(collar, colour, HAIR),
    )


@dataclass(frozen=True)
class FerruleOnConductor:
    """A ferrule on its conductor, cut open, in mm: `more_mm` is stripped beyond the barrel."""

    csa_mm2: float
    outer_mm: float
    barrel_mm: float
    more_mm: float
    collar: str


def ferrule_cut_open(of: FerruleOnConductor, strip: str) -> Detail:
    """The collar over the end of the insulation, copper to the end of the barrel; `strip` says how
    much is bare.
    """
    at = Scale(92.0, 48.0, 9.0)
    half, outer = sqrt(of.csa_mm2 / pi * 9 / 7), of.outer_mm / 2
    end, tip = _COLLAR_MM - of.more_mm, _COLLAR_MM + of.barrel_mm
    edges = [
        at.path((end, half * part / 4), (tip, half * part / 4)) for part in (-3, -2, -1, 0, 1, 2, 3)
    ]
    wall = outer + 0.15
    collar = [(0.0, wall), (end, wall), (_COLLAR_MM, half), (_COLLAR_MM, half + 0.6)]
    collar += [(end, wall + 0.6), (0.0, wall + 0.6)]
    sides = (
        body(at.path(*((x, side * y) for x, y in collar)), of.collar, HAIR) for side in (1, -1)
    )
    tube = (
        body(at.block(_COLLAR_MM, side * half, tip, side * (half + _WALL_MM)), "zz2", HAIR)
        for side in (1, -1)
    )
    high, low = at.at(0, -wall - 0.6)[1] - 8, at.at(0, wall + 0.6)[1] + 12
    left, neck, right = (at.at(x, 0)[0] for x in (end, _COLLAR_MM, tip))
    return Detail(
        SHEET_WIDTH,
        low + 24,
        (
            group(
                "conductor",
                (body(at.block(end, -half, tip, half), "zc1", HAIR), lines(edges)),
                (conductor(at.path((-9, 0), (end, 0)), of.outer_mm * at.per_mm, "brown"),),
                title="Conductor: its insulation ends in the collar",
            ),
            group("ferrule", tuple(sides), tuple(tube), title="Ferrule, cut open"),
            group(
                "lengths",
                measure((neck, high), (right, high)),
                words(right + 10, high + 4.5, "barrel"),
                measure((left, low), (right, low)),
                words(right + 10, low + 4.5, "strip|" + strip),
            ),
        ),
        {
            "barrel-from": (neck, at.y), "tip": (right, at.y),
            "insulation-end": (left, at.y), "collar-from": at.at(0, 0),
        },
    )  # fmt: skip


def ferrules() -> Made | str:
    """Ferrules by size; the colour of the collar only as what one code has."""
    rows = table("ferrule").rows
    more = [board_size_mm(f"ferrule-strip-more-{end}") for end in ("least", "most")]
    if any(isinstance(each, Gap) for each in more):
        return "the table board_sizes does not say how much more is stripped for a ferrule"
    least, most = (each.row for each in more if not isinstance(each, Gap))
    shown = [
        of_row(row, "barrel_mm", "{} mm", f"barrel for {row.text('csa_mm2')} mm²") for row in rows
    ]
    strip = [
        of_row(least, "value", "Strip {} to", "least that is stripped beyond the barrel, mm"),
        of_row(most, "value", "{} mm more", "most that is stripped beyond the barrel"),
    ]
    strip_more = " ".join(each.words for each in strip)
    shown_row = next(row for row in rows if row.number("csa_mm2") == _SHOWN_MM2)
    outer = conductor_diameter_mm("single-core", _SHOWN_MM2)
    if isinstance(outer, Gap):
        return f"no diameter is known for a conductor of {column_word(_SHOWN_MM2)} mm²"
    cut_open = FerruleOnConductor(
        _SHOWN_MM2,
        outer.value,
        shown_row.number("barrel_mm"),
        least.number("value"),
        shown_row.text("collar_colour"),
    )
    sizes = ", ".join(row.text("csa_mm2") for row in rows)
    return sheet_of(
        "Ferrules by size",
        f"Ferrules with a collar for {sizes} mm², to one scale. The size decides, not the colour:"
        " three codes of colour are in use and one colour stands for several sizes. The colour of a"
        f" collar says nothing about line, neutral or earth. {strip_more} than the barrel is"
        " long: the insulation goes into the collar, the copper to the end of the barrel.",
        [
            Panel(
                ferrules_by_size(rows),
                None,
                "",
                "Choose by size. Colours are common practice: there are other codes, and a collar's"
                " colour never tells line from neutral. The barrel is as long as the device's maker"
                f" says. {strip_more} than the barrel (common practice): the insulation goes into"
                " the collar, the copper reaches the barrel's end.",
                True,
            ),
            Panel(
                ferrule_cut_open(cut_open, strip_more.removeprefix("Strip ")),
                None,
                f"Cut open, {cut_open.csa_mm2:g} mm²",
                "",
                True,
            ),
        ],
        [*shown, *strip],
    )


def ferrule_length() -> Made | str:
    """A barrel as long as the clamp asks, and a longer one. No length is told: it is the device's
    own.
    """
    row = next(row for row in table("ferrule").rows if row.number("csa_mm2") == _SHOWN_MM2)
    outer = conductor_diameter_mm("single-core", _SHOWN_MM2)
    if isinstance(outer, Gap):
        return f"no diameter is known for a conductor of {column_word(_SHOWN_MM2)} mm²"
    barrel, collar = row.number("barrel_mm"), row.text("collar_colour")
    fits = ClampedConductor(barrel, _SHOWN_MM2, outer.value, "ferrule", "brown", collar)
    return sheet_of(
        "A ferrule as long as the clamp asks",
        "A ferrule in a rising clamp cut along the conductor, twice. Right: a barrel of the length"
        " that the maker of the device asks, under all of the cage, its collar at the mouth. Wrong:"
        " a longer barrel, which meets the stop while bare metal is still outside. Where a clamp"
        " asks a length between two barrels, the maker of the device says which; nobody else does.",
        [
            Panel(
                clamp_panel(fits),
                True,
                "as the maker says",
                "Barrel under all of the cage, collar at the mouth. The clamp asks a length"
                " between two barrels? The device's maker says which; ask.",
            ),
            Panel(
                clamp_panel(replace(fits, stripped_mm=barrel * _TOO_LONG)),
                False,
                "a longer barrel",
                "At its stop, and bare metal still before the clamp, where a finger reaches it.",
            ),
        ],
    )


# ---- crimps, cut across


@dataclass(frozen=True)
class Crimp:
    """A crimped ferrule cut across. `pressed` is 1 where the tool fits: below it, the strands stay
    round and loose; above, metal is squeezed out at the sides. `twin`: it holds two
    conductors.
    """

    pressed: float
    twin: bool = False


def crimp(of: Crimp) -> Detail:
    """The section, large."""
    x, y = 97.0, 62.0
    points = {"middle": (x, y)}
    if of.pressed < 0.9:
        shell, inside = arc_points(x, y, 44, 44, 0, 360), arc_points(x, y, 38, 38, 0, 360)
        strands = [(x, y)]
        strands += [
            (x + 21 * cos(turn * pi / 3 + 0.3), y + 21 * sin(turn * pi / 3 + 0.3) + 3)
            for turn in range(6)
        ]
        items: Drawables = (
            body(shell, "zz2"),
            body(inside, "paper", HAIR),
            *(Disc(a, b, 9.6, "zline", HAIR, "zc1") for a, b in strands),
        )
        wrong: Drawables = (ring(x + 27, y - 22, 12),)
    else:
        flat = of.pressed > 1.1
        wide, tall = (40.0, 20.0) if flat else (35.0, 31.0)
        shell = [
            (x - wide, y - tall + 5), (x - wide + 5, y - tall), (x + wide - 5, y - tall),
            (x + wide, y - tall + 5), (x + wide, y + tall - 5), (x + wide - 5, y + tall),
            (x - wide + 5, y + tall), (x - wide, y + tall - 5),
        ]  # fmt: skip
        if flat:
            shell[3:5] = [(x + wide, y - 6), (x + wide + 20, y - 3), (x + wide + 20, y + 3),
                          (x + wide, y + 6)]  # fmt: skip
            shell[-1:] = [(x - wide, y + 6), (x - wide - 20, y + 3), (x - wide - 20, y - 3)]
            shell[0] = (x - wide, y - 6)
        room = [
            (x - wide + 6, y - tall + 6), (x + wide - 6, y - tall + 6),
            (x + wide - 6, y + tall - 6), (x - wide + 6, y + tall - 6),
        ]  # fmt: skip
        items = (
            body(shell, "zz2"),
            *_pressed_strands(room),
            *(_second(room) if of.twin else ()),
            *(_crack(x, y - tall) if flat else ()),
        )
        wrong = (ring(x + wide + 14, y, 12),) if flat else ()
    groups = [group("crimp", items, title="Crimp cut across")]
    if wrong:
        groups.append(group("wrong", wrong))
    return Detail(194, 118, tuple(groups), points)


def _pressed_strands(room: list[Point]) -> Drawables:
    """Strands pressed into one another: no gap between them."""
    (left, top), _, (right, low), _ = room
    # round wires pressed together become six-sided, as cells of a comb do
    rows, halves = 4, 10
    tall, wide = (low - top) / rows, (right - left) / halves
    lean = min(tall / 5, wide / 3)

    def corner(row: int, place: int) -> Point:
        """A corner on the upper edge of a row: low where an edge of this row begins."""
        if row in (0, rows):
            lean_here = 0.0
        else:
            lean_here = lean if place % 2 == row % 2 else -lean
        return left + wide * place, top + tall * row + lean_here

    pieces = [tuple(corner(row, place) for place in range(halves + 1)) for row in range(1, rows)]
    pieces += [
        (corner(row, place), corner(row + 1, place))
        for row in range(rows)
        for place in range(1, halves)
        if place % 2 == row % 2
    ]
    return body(room, "zc1", HAIR), lines(pieces, FINE)


def _second(room: list[Point]) -> Drawables:
    """The strands of a second conductor, in the right half of the one sleeve: another tone, no
    wall between.
    """
    (left, top), _, (right, low), _ = room
    mid = (left + right) / 2
    half = [(mid, top), (right, top), (right, low), (mid, low)]
    other = body(half, "zc2", HAIR)
    return other, _pressed_strands(room)[1]


def _crack(x: float, top: float) -> Drawables:
    return (edge_line((x - 8, top), (x - 4, top + 4), (x - 6, top + 8), width=LINE),)


def crimps() -> Made:
    """A crimp that holds, and two that do not."""
    return sheet_of(
        "Crimped well, and not, cut across",
        "A crimped ferrule cut across, four times. Right: pressed to one block, no gap between the"
        " strands, the sleeve whole; two conductors in a ferrule made for two."
        " Wrong: too large a die, the strands round and loose in it;"
        " too small a die, metal squeezed out at the sides, the sleeve torn.",
        [
            Panel(
                crimp(Crimp(1.0)),
                True,
                "one block",
                "Crimping tool, die of the size. No gap, sleeve whole, shape fits the clamp. It"
                " holds a firm pull by hand (no figure).",
            ),
            Panel(
                crimp(Crimp(0.5)),
                False,
                "die too large",
                "Strands round and loose; the ferrule slips off.",
            ),
            Panel(
                crimp(Crimp(1.5)),
                False,
                "die too small",
                "Fins at the sides, sleeve torn, strands cut.",
            ),
            Panel(
                crimp(Crimp(1.0, twin=True)),
                True,
                "two in a twin ferrule",
                "A sleeve marked for two of this size; how long and what to strip, its maker says."
                " Only where the terminal's maker allows two.",
            ),
        ],
    )


# ---- two conductors under one screw


@dataclass(frozen=True)
class TwoUnderOneScrew:
    """Conductors under one screw, cut across: their diameters in mm (`second_mm` 0 for one alone).
    `terminal` is tunnel or plate.
    """

    terminal: str
    first_mm: float
    second_mm: float = 0.0

    @property
    def alike(self) -> bool:
        """Whether one screw holds all of it."""
        return self.second_mm in (0.0, self.first_mm)


def under_one_screw(of: TwoUnderOneScrew) -> Detail:
    """The terminal cut across its conductors."""
    tunnel = of.terminal == "tunnel"
    at = Scale(97.0, 88.0 if tunnel else 54.0, 6.0)
    groups = _tunnel(of, at) if tunnel else _plate(of, at)
    points: dict[str, Point] = {"screw": at.at(0, -10 if tunnel else _plate_screw_mm(of) + 1)}
    if not of.alike:
        # round the thin one, never across it
        place = at.at(4.6, 2.7) if of.terminal == "plate" else at.at(2.1, 2.6)
        points["wrong"] = place
        groups = (*groups, group("wrong", (ring(*place, 13),)))
    return Detail(194, 142 if tunnel else 104, groups, points)


def _tunnel(of: TwoUnderOneScrew, at: Scale) -> tuple[Group, ...]:
    half, low = 3.4, 3.6
    inside = arc_points(*at.at(0, low - half), half * at.per_mm, half * at.per_mm, 0, 180)
    top = low - of.first_mm
    hollow = [at.at(half, -3.6), *inside, at.at(-half, -3.6)]
    shape = [*at.path((-9, -8), (9, -8), (9, 7), (-9, 7))]
    x, head = at.at(0, -14.0)
    first = 0.0 if not of.second_mm else -half + of.first_mm / 2 + 0.2
    pieces: list[Drawables] = [strands_across(at, first, low - of.first_mm / 2, of.first_mm)]
    if of.second_mm:
        pieces.append(
            strands_across(at, first + of.first_mm / 2 + of.second_mm / 2 + 0.3, 2.6, of.second_mm)
        )
    return (
        group(
            "block", cut(shape, "zm2"), (body(hollow, "paper"),), title="Brass block, cut across"
        ),
        group("conductors", *pieces, title="Conductors, cut across"),
        group("screw", screw(x, head, at.at(0, top)[1], 34, 24, 5), title="Screw"),
    )


def _plate_levels(of: TwoUnderOneScrew) -> tuple[float, float]:
    """The underside of the plate at its left and right end, in mm."""
    second = of.second_mm or of.first_mm
    return 3.6 - of.first_mm, 3.6 - max(second, of.first_mm * 0.62)


def _plate_screw_mm(of: TwoUnderOneScrew) -> float:
    """The top of the head, which lies on the plate and presses it."""
    return added(_plate_levels(of)) / 2 - _PLATE_MM - _HEAD_MM / 2


def _plate(of: TwoUnderOneScrew, at: Scale) -> tuple[Group, ...]:
    second = of.second_mm or of.first_mm
    base = cut(at.block(-9, 3.6, 9, 6.0), "zc2", 1, 5.0)
    level_one, level_two = _plate_levels(of)
    plate = at.path(
        (-8, level_one - _PLATE_MM), (8, level_two - _PLATE_MM), (8, level_two), (-8, level_one)
    )
    x, head = at.at(0, _plate_screw_mm(of))
    return (
        group("bar", base, title="Fixed bar, tapped for the screw"),
        group(
            "conductors",
            strands_across(at, -4.6, 3.6 - of.first_mm / 2, of.first_mm),
            strands_across(at, 4.6, 3.6 - second / 2, second),
            title="Conductors, cut across",
        ),
        group(
            "screw",
            screw(x, head, at.at(0, 7.0)[1], _HEAD_MM * at.per_mm, 20, 5),
            title="Screw",
        ),
        group("plate", (body(plate, "zz3"),), title="Clamping plate"),
    )


def one_screw() -> Made:
    """One conductor, two alike, two of different size under one screw."""
    return sheet_of(
        "Under one screw: one, two alike, two sizes",
        "Two kinds of terminal cut across. Right: one conductor in a tunnel; two of one size under"
        " a plate, one on each side of the screw, where the maker allows two. Wrong: two sizes, in"
        " both terminals: the thicker one takes the force, the thinner one is loose.",
        [
            Panel(
                under_one_screw(TwoUnderOneScrew("tunnel", 4.4)),
                True,
                "one in a tunnel",
                "The screw's end presses on the middle of it.",
            ),
            Panel(
                under_one_screw(TwoUnderOneScrew("tunnel", 4.0, 2.0)),
                False,
                "two sizes, tunnel",
                "The thick one takes the force, the thin one is loose and heats.",
            ),
            Panel(
                under_one_screw(TwoUnderOneScrew("plate", 4.0, 4.0)),
                True,
                "two alike, plate",
                "One on each side, the head on the plate; only where the maker allows two.",
            ),
            Panel(
                under_one_screw(TwoUnderOneScrew("plate", 4.0, 1.8)),
                False,
                "two sizes, plate",
                "The plate tilts on the thick one; the thin one pulls out.",
            ),
        ],
    )
