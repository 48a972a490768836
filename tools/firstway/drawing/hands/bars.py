"""Drawing, pictures for the hands: the bar that feeds devices: pin and fork, pitch, cut end."""

from firstway.drawing.hands.cages_across import cage_around, terminal_sides
from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import SHEET_WIDTH, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import (
    Drawables,
    Scale,
    body,
    call,
    cut,
    measure,
    ring,
    screw,
    strands_across,
    words,
)
from firstway.drawing.sheet import HAIR, Box, Disc, Group
from firstway.frozen import dataclass
from firstway.tables.reading import Gap, board_size_mm

_TOOTH_MM = 2.0  # thickness of a tooth
_PIN_MM, _PRONG_MM, _PRONG_AT_MM = 3.6, 2.6, 4.2
_DRAWN_PITCH_MM = 17.5  # mm; of a bar that is drawn and not measured


@dataclass(frozen=True)
class ToothInTerminal:
    """A tooth of a bar in a terminal, seen along the tooth. `terminal` is cage or plate, `tooth` is
    pin or fork.
    """

    terminal: str
    tooth: str

    @property
    def fits(self) -> bool:
        """A pin fits a cage, a fork goes round a screw."""
        return (self.terminal, self.tooth) in (("cage", "pin"), ("plate", "fork"))


def tooth_in_terminal(of: ToothInTerminal) -> Detail:
    """The terminal cut across its conductors."""
    at = Scale(97.0, 92.0, 6.0)
    drawn = _cage_across(of, at) if of.terminal == "cage" else _plate_across(of, at)
    groups: tuple[Group, ...] = drawn
    points = {"tooth": at.at(0.0, 2.0)}
    if of.fits:
        to, y = ((2.4, -0.8), 130) if of.terminal == "cage" else ((-6.75, _TOOTH_MM + 0.9), 32)
        x = 97.0 if of.terminal == "cage" else 55.5
        name = call(
            x, y, "fixed bar", at.at(*to), "middle" if of.terminal == "cage" else "start", False
        )
        groups = (*groups, group("told", name))
    else:
        points["wrong"] = at.at(-_PRONG_AT_MM if of.tooth == "fork" else _PRONG_AT_MM, 1.6)
        groups = (*groups, group("wrong", (ring(*points["wrong"], 12),)))
    return Detail(194, 146, groups, points)


def _tooth_pieces(of: ToothInTerminal, at: Scale, top: float, aside: float) -> Drawables:
    if of.tooth == "pin":
        half = _PIN_MM / 2
        return cut(at.block(aside - half, top, aside + half, top + _TOOTH_MM), "zc1", -1, 4.0)
    half = _PRONG_MM / 2
    return tuple(
        each
        for x in (-_PRONG_AT_MM, _PRONG_AT_MM)
        for each in cut(at.block(x - half, top, x + half, top + _TOOTH_MM), "zc1", -1, 4.0)
    )


def _cage_across(of: ToothInTerminal, at: Scale) -> tuple[Group, ...]:
    # the prongs of a fork are further apart than the cage is wide inside: they stay below it
    pin = of.tooth == "pin"
    return (
        *cage_around(at, _TOOTH_MM if pin else 0.0),
        group(
            "tooth",
            _tooth_pieces(of, at, 0.0 if pin else 1.9, 0.0),
            title="The tooth of the bar, cut across",
        ),
    )


def _plate_across(of: ToothInTerminal, at: Scale) -> tuple[Group, ...]:
    tilt = 0.0 if of.tooth == "fork" else 0.75
    plate = at.path(
        (-6.4, -1.4 + 2 * tilt), (6.4, -1.4 - tilt), (6.4, 0.0 - tilt / 2), (-6.4, 0.2 + 2 * tilt)
    )
    # the head lies on the plate: it is what presses
    x, top = at.at(0, (-1.4 + 2 * tilt - 1.4 - tilt) / 2 - 20 / at.per_mm)
    base = cut(at.block(-7.0, _TOOTH_MM, 7.0, _TOOTH_MM + 1.8), "zc2", 1, 4.0)
    return (
        group("housing", terminal_sides(at, 7.4, 5.6), title="Moulded body, cut open"),
        group("bar", base, title="The fixed bar, tapped for the screw"),
        group(
            "tooth",
            _tooth_pieces(of, at, 0.0, _PRONG_AT_MM),
            title="The tooth of the bar, cut across",
        ),
        group("screw", screw(x, top, at.at(0, 5.4)[1], 40, 22, 5), title="The screw"),
        group("plate", (body(plate, "zz3"),), title="The clamping plate"),
    )


def teeth_from_above() -> Detail:
    """Both teeth lying flat, with the screw that a fork goes round."""
    at = Scale(50.0, 8.0, 6.0)
    half, prong = _PIN_MM / 2, _PRONG_MM / 2
    inside, outside = _PRONG_AT_MM - prong, _PRONG_AT_MM + prong
    pin = at.path((-half, 9), (-half, 0), (half, 0), (half, 9))
    there = Scale(at.x + 200.0, at.y, at.per_mm)
    fork = there.path(
        (-outside, 9), (-outside, 0), (-inside, 0), (-inside, 5), (inside, 5), (inside, 0),
        (outside, 0), (outside, 9),
    )  # fmt: skip
    bars = tuple(body(each.block(-6.6, 9, 6.6, 12), "zk2") for each in (at, there))
    shank = Disc(*there.at(0, 2.2), 1.8 * at.per_mm, "zline", HAIR, "zz1")
    return Detail(
        SHEET_WIDTH,
        at.at(0, 12)[1] + 6,
        (
            group("teeth", (body(pin, "zc1"), body(fork, "zc1")), title="Teeth from above"),
            group("bodies", bars, title="The insulated body of the bar"),
            group("shank", (shank,), title="The screw, cut across"),
            group("names", words(98, 42, "pin|one tongue"), words(298, 42, "fork|round a screw")),
        ),
    )


def pin_and_fork() -> Made:
    """Which tooth goes into which terminal."""
    cage_pin = ToothInTerminal("cage", "pin")
    return sheet_of(
        "Pin and fork: which tooth fits which terminal",
        "Both teeth from above, and four terminals cut across. Right: a pin in a cage, pressed"
        " against the fixed bar; a fork under a screw's plate, a prong on each side of the"
        " screw. Wrong: a fork at a cage, whose prongs do not enter it; a pin under a plate, on"
        " one side only, so that the plate tilts and the pin slips out.",
        [
            Panel(
                tooth_in_terminal(cage_pin),
                True,
                "pin, cage",
                "The cage presses it up to the fixed bar.",
            ),
            Panel(
                tooth_in_terminal(ToothInTerminal("cage", "fork")),
                False,
                "fork, cage",
                "The prongs pass beside or below. Nothing is clamped.",
            ),
            Panel(
                tooth_in_terminal(ToothInTerminal("plate", "fork")),
                True,
                "fork, plate",
                "A prong on each side of the screw, the plate on both, the fixed bar below.",
            ),
            Panel(
                tooth_in_terminal(ToothInTerminal("plate", "pin")),
                False,
                "pin, plate",
                "One side only: the plate tilts, the pin slips out.",
            ),
            Panel(teeth_from_above(), None, "The two teeth from above", "", True),
        ],
    )


# ---- a tooth and a conductor in one cage


@dataclass(frozen=True)
class ToothAndWire:
    """A pin and a bare conductor in one cage, cut across. `beside`: next to each other instead of
    one below the other. Width of the conductor in mm.
    """

    wire_mm: float
    beside: bool = False


def tooth_and_wire(of: ToothAndWire) -> Detail:
    """The cage, its screw, the fixed bar, the tooth and the conductor."""
    at = Scale(97.0, 92.0, 6.0)
    gap = max(of.wire_mm, _TOOTH_MM) if of.beside else of.wire_mm + _TOOTH_MM
    # beside each other they fill the cage, 6.4 mm wide inside
    aside = (_PIN_MM - 6.4) / 2 if of.beside else 0.0
    middle = (
        ((6.4 - of.wire_mm) / 2, gap - of.wire_mm / 2) if of.beside else (0.0, gap - of.wire_mm / 2)
    )
    tooth_top = gap - _TOOTH_MM if of.beside else 0.0
    pin = ToothInTerminal("cage", "pin")
    wire = strands_across(at, *middle, of.wire_mm)
    groups: tuple[Group, ...] = (
        *cage_around(at, gap),
        group("tooth", _tooth_pieces(pin, at, tooth_top, aside), title="The tooth, cut across"),
        group("wire", wire, title="The conductor, cut across"),
    )
    points = {"tooth": at.at(aside, tooth_top + 1), "wire": at.at(*middle)}
    if of.beside:
        points["wrong"] = at.at(aside - 0.4, 0.4)
        groups = (*groups, group("wrong", (ring(*points["wrong"], 13),)))
    return Detail(194, 146, groups, points)


def bar_and_wire() -> Made:
    """A tooth and a conductor in one cage, where that is allowed."""
    below, beside = ToothAndWire(2.8), ToothAndWire(2.8, beside=True)
    return sheet_of(
        "A tooth and a conductor in one terminal",
        "A cage cut across, twice, with a tooth of the bar and a stranded conductor in it. Right,"
        " and only where the maker of the device shows it: the tooth against the fixed bar, the"
        " conductor below it, both pressed; other makers turn the order round or give the tooth a"
        " chamber of its own. Wrong: beside each other; the thicker one takes the force and the"
        " other is loose.",
        [
            Panel(
                tooth_and_wire(below),
                True,
                "if the maker shows it",
                "Both are pressed. Other makers turn the order round, or have a chamber for the"
                " tooth. Theirs too: bare or ferrule, and the torque.",
            ),
            Panel(
                tooth_and_wire(beside),
                False,
                "beside each other",
                "The conductor takes the force, the tooth is loose and heats.",
            ),
        ],
    )


# ---- pitch


@dataclass(frozen=True)
class BarOnRow:
    """A bar of `pitch_mm` from tooth to tooth on devices `module_mm` wide."""

    pitch_mm: float
    module_mm: float
    ways: int = 6


def bar_on_row(of: BarOnRow) -> Detail:
    """Devices from the front with the clamps the teeth go into; the bar lies before them."""
    per_mm = (SHEET_WIDTH - 24) / (of.ways * of.module_mm + 6)
    at = Scale(12.0, 8.0, per_mm)
    devices: list[Box | Disc] = []
    for way in range(of.ways):
        x, y = at.at(way * of.module_mm, 0.0)
        devices.append(Box(x, y, of.module_mm * per_mm, 15 * per_mm, "zline", HAIR, "zw2"))
        x, y = at.at((way + 0.5) * of.module_mm - 2.9, 9.0)
        devices.append(Box(x, y, 5.8 * per_mm, 5 * per_mm, "zline", HAIR, "zhole"))
    teeth: list[Box] = []
    first = of.module_mm / 2
    middles = [first + of.pitch_mm * way for way in range(of.ways)]
    for middle in middles:
        x, y = at.at(middle - _PIN_MM / 2, 10.0)
        teeth.append(Box(x, y, _PIN_MM * per_mm, 8 * per_mm, "zline", HAIR, "zc1"))
    long = at.block(first - 6, 17.0, middles[-1] + 6, 22.0)
    groups = [
        group("devices", tuple(devices), title="The ends of the devices, with their clamps"),
        group("teeth", tuple(teeth), title="The teeth"),
        group("body", (body(long, "zk2"),), title="The insulated body of the bar"),
    ]
    points = {"first": at.at(middles[0], 18.0), "second": at.at(middles[1], 18.0)}
    points["last"] = at.at(middles[-1], 12.0)
    points["last-clamp"] = at.at((of.ways - 0.5) * of.module_mm, 12.0)
    left, right = at.at(middles[0], 25.5), at.at(middles[1], 25.5)
    groups.append(group("pitch", measure(left, right)))
    if abs(of.pitch_mm - of.module_mm) * (of.ways - 1) > 1.0:
        groups.append(group("wrong", (ring(*points["last"], 16),)))
    return Detail(SHEET_WIDTH, at.at(0, 27.5)[1], tuple(groups), points)


def bar_pitch() -> Made | str:
    """A bar of the devices' pitch, and one of another."""
    module, other = board_size_mm("module-width"), board_size_mm("wider-bar-pitch")
    if isinstance(module, Gap) or isinstance(other, Gap):
        return "the table board_sizes has no pitch of a bar"
    right, wrong = BarOnRow(module.value, module.value), BarOnRow(other.value, module.value)
    shown = (
        of_row(module.row, "value", "{} mm", "from tooth to tooth, as wide as a module"),
        of_row(other.row, "value", "{} mm", "from tooth to tooth of another bar"),
    )
    return sheet_of(
        "A bar of the same pitch as the devices, and of another",
        f"Six devices in a row, twice. Right: teeth {shown[0].words} apart, as wide as a module;"
        f" each stands before the middle of its clamp. Wrong: teeth {shown[1].words} apart; each"
        " stands a little further off, and the last misses the middle of its clamp.",
        [
            Panel(
                bar_on_row(right),
                True,
                f"teeth {shown[0].words} apart",
                "Every tooth stands before the middle of its clamp. Use the bar that the maker of"
                " the devices names.",
                True,
            ),
            Panel(
                bar_on_row(wrong),
                False,
                f"teeth {shown[1].words} apart",
                "Each is a little further off; the last one is forced or misses. Bars are not"
                " bent to fit.",
                True,
            ),
        ],
        shown,
    )


# ---- the cut end


@dataclass(frozen=True)
class BarEnd:
    """The end of a bar that was cut to length: `capped`, with its unused tooth covered, or bare."""

    capped: bool


def bar_end(of: BarEnd) -> Detail:
    """The end of the bar beside the steel of the enclosure, from the front; the cap is cut open,
    for it goes over the bar. It is cut half-way from the last tooth to where the next would be.
    """
    at = Scale(6.0, 44.0, 4.5)
    wall = cut(at.block(39.5, -7.0, 41.2, 20.0), "zs2", 1, 5.0)
    first, last = 3.6, 3.6 + _DRAWN_PITCH_MM
    end = last + _DRAWN_PITCH_MM / 2
    half = _PIN_MM / 2
    teeth = [at.block(x - half, 0.0, x + half, 9.0) for x in (first, last)]
    bar = at.block(-1.0, 9.0, end, 16.0)
    core = at.block(end, 10.6, end + 1.6, 14.4)
    burr = at.path((end + 1.6, 10.6), (end + 3.0, 9.4), (end + 2.0, 12.0))
    groups = [
        group("wall", wall, title="The wall of the enclosure"),
        group("teeth", tuple(body(each, "zc1", HAIR) for each in teeth), title="Teeth"),
        group("body", (body(bar, "zk2"),), title="The insulated body of the bar"),
    ]
    names: list[Drawables] = [call(152, 12, "steel", at.at(40.3, -3.0), "end")]
    if of.capped:
        cap = at.path(
            (end - 6, 7.6), (end + 2.6, 7.6), (end + 2.6, 17.4), (end - 6, 17.4), (end - 6, 16.0),
            (end + 0.4, 16.0), (end + 0.4, 9.0), (end - 6, 9.0),
        )  # fmt: skip
        cover = at.path(
            (last - half - 1.4, 9.0), (last - half - 1.4, -1.4), (last + half + 1.4, -1.4),
            (last + half + 1.4, 9.0), (last + half, 9.0), (last + half, 0.0),
            (last - half, 0.0), (last - half, 9.0),
        )  # fmt: skip
        groups.append(group("cap", cut(cap, "zw1", 1, 4.0), title="End cap, cut open"))
        groups.append(group("cover", cut(cover, "zw1", 1, 4.0), title="Cover of a tooth, cut open"))
        names += [
            call(186, 146, "end cap over the bar", at.at(end - 3, 16.8), "end"),
            call(30, 12, "cover", at.at(last - half - 0.7, 1.5)),
        ]
    else:
        bare = (body(core, "zc1", HAIR), body(burr, "zc1", HAIR))
        groups.append(group("bare", bare, title="Cut copper with a burr"))
        groups.append(group("wrong", (ring(*at.at(end + 1.5, 12), 14), ring(*at.at(last, 4), 14))))
        names += [call(186, 146, "copper, burr", at.at(end + 1.0, 13.6), "end")]
    groups.append(group("told", *names))
    points = {"end": at.at(end + 1, 12.5), "tooth": at.at(last, 4.0)}
    return Detail(194, 152, tuple(groups), points)


def bar_cut() -> Made:
    """A bar cut to length: capped and covered, and bare."""
    return sheet_of(
        "The end of a bar that was cut",
        "A bar cut to length beside the steel of the box, twice. Right: cut square between two"
        " teeth, burr filed off, a cap over its end, a cover over the tooth that nothing uses."
        " Wrong: bare copper with a burr at the end, a bare tooth.",
        [
            Panel(
                bar_end(BarEnd(True)),
                True,
                "capped, covered",
                "Sawn square outside the box, between two teeth: where, the bar's maker says. Burr"
                " filed off; cap over the end; unused tooth covered.",
            ),
            Panel(
                bar_end(BarEnd(False)),
                False,
                "bare end, bare tooth",
                "Live copper near steel and fingers; a burr or a chip bridges the rest.",
            ),
        ],
    )
