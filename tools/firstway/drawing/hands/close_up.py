"""Drawing: what a mistake looks like where it would be too small in a view, or lies outside the
enclosure: one element drawn large, its scale stated; as found, or as it should be.

Every view puts the same close-ups below what it shows; nothing in them says what is wrong.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import sqrt

from firstway.choosing.completing import Completed
from firstway.drawing.hands.clamps import ClampedConductor, clamp
from firstway.drawing.hands.strokes import moved_by
from firstway.drawing.hands.two_conductors import TwoInOne, two_in_one
from firstway.drawing.ink import CONDUCTOR_INKS
from firstway.drawing.part_words import ENCLOSURE, device_facts, opens_words
from firstway.drawing.sheet import (
    FINE,
    HAIR,
    LINE,
    SMALLEST,
    Box,
    Disc,
    Drawable,
    Group,
    Lettering,
    Point,
    Sheet,
    Strands,
    Stroke,
)
from firstway.drawing.svg import Drawn, drawn_from
from firstway.drawing.text_width import wrapped
from firstway.frozen import dataclass
from firstway.layout.faults import SeenFlaw
from firstway.model.values import is_known
from firstway.rendering.html import caution_line
from firstway.rendering.spoken_keys import with_spoken_terminals
from firstway.tables.reading import Gap, board_size_mm

CLOSE_WIDE, CLOSE_HIGH = 236.0, 196.0
"""Units a close-up takes."""
UNITS_PER_MM = 4.0
"""How large a clamp is drawn in one."""
_CLAMP_AT = (104.0, 106.0)
_SIZE_IF_UNKNOWN, _ACROSS_MM = 4.0, 6.2  # mm²; mm of two conductors that a cage holds
_CORE, _WIRE, _STRIPE, _EDGE = 7.0, 5.0, 2.0, 3.0  # widths of what is drawn as a line, no weights
IN_PLACE = ("coiled", "open-way", "separate-openings", "foreign-device")
"""Flaws that a view shows where they are."""


@dataclass(frozen=True)
class CloseUp:
    """One close-up: its place, what it shows in words, its strokes within its frame; `nth` tells
    two ends of one conductor apart.
    """

    flaw: SeenFlaw
    title: str
    words: str
    items: tuple[Drawable, ...]
    nth: int = 1

    @property
    def id(self) -> str:
        """Its group in every view."""
        nth = f".{self.nth}" if self.nth > 1 else ""
        return f"close-up.{self.flaw.flaw}.{self.flaw.conductor or self.flaw.of}{nth}"


@dataclass(frozen=True)
class _Shown:
    """Strokes and what they show; `scaled` says that a scale bar holds for them."""

    items: tuple[Drawable, ...]
    words: str
    scaled: bool = False


@dataclass(frozen=True)
class _Place:
    """The board as it is shown, the flaw, and whether it is drawn as it should be."""

    job: Completed
    flaw: SeenFlaw
    right: bool


def close_ups(
    job: Completed, flaws: Sequence[SeenFlaw], right: bool = False
) -> tuple[CloseUp, ...]:
    """A close-up of each flaw on the board that has it; `right`: the same places as they should
    be, on the board without it.
    """
    made = [_close_up(_Place(job, flaw, right)) for flaw in flaws]
    before = [[each.id for each in made[:place]].count(one.id) for place, one in enumerate(made)]
    return tuple(replace(one, nth=count + 1) for one, count in zip(made, before))


def _close_up(place: _Place) -> CloseUp:
    shown = _MADE[place.flaw.flaw](place)
    where = _where(place.flaw)
    title = f"{where}, seen closely"
    scale: tuple[Drawable, ...] = (
        (
            Stroke(((8, CLOSE_HIGH - 12), (8 + 5 * UNITS_PER_MM, CLOSE_HIGH - 12)), "ink", LINE),
            Lettering(14 + 5 * UNITS_PER_MM, CLOSE_HIGH - 8, "5 mm"),
        )
        if shown.scaled
        else (Lettering(8, CLOSE_HIGH - 8, "not to scale", ink="soft"),)
    )
    items = (
        Box(0.5, 0.5, CLOSE_WIDE - 1, CLOSE_HIGH - 1, "ink", HAIR, "paper", 4),
        Lettering(8, 17, title, bold=True),
        *shown.items,
        *scale,
    )
    return CloseUp(place.flaw, title, f"{title}: {shown.words}.", items)


def _where(flaw: SeenFlaw) -> str:
    name = f"opening of {flaw.of}" if flaw.flaw in ("plastic-gland", "separate-openings") else ""
    return name or (with_spoken_terminals(flaw.of) if flaw.of != ENCLOSURE else "enclosure")


# Clamps


def _held(place: _Place) -> ClampedConductor:
    """The conductor of the flaw as it is on this board, in a clamp of the usual length."""
    job, flaw = place.job, place.flaw
    usual = board_size_mm("strip-length")
    assert not isinstance(usual, Gap)
    wiring = job.case.wiring.drawn
    found = next((each for each in wiring.conductors if each.id == flaw.conductor), None)
    if found is None:
        return ClampedConductor(usual.value, _SIZE_IF_UNKNOWN, _outer(None, None), colour="grey")
    laid = job.case.layout.by_id.get(found.id)
    csa = found.csa_mm2 or _SIZE_IF_UNKNOWN
    outer = _outer(laid.diameter_mm if laid else None, csa)
    colour = found.colour if found.colour in CONDUCTOR_INKS else "grey"
    return ClampedConductor(usual.value, csa, outer, colour=colour)


def _outer(laid_mm: float | None, csa_mm2: float | None) -> float:
    return laid_mm or 1.5 * sqrt(csa_mm2 or _SIZE_IF_UNKNOWN)


def _section(of: ClampedConductor) -> tuple[Drawable, ...]:
    """The section of the pictures for the hands in a close-up's frame."""
    x, y = _CLAMP_AT
    groups = clamp(of, UNITS_PER_MM, x, y, (CLOSE_WIDE - 8 - x) / UNITS_PER_MM, 6.0)
    return tuple(part for each in groups for item in each.items for part in _butt(item))


def _butt(item: Drawable) -> tuple[Drawable, ...]:
    """A conductor that ends where it is cut, also on a sheet whose lines have round ends."""
    if not isinstance(item, Strands) or len(item.layers) == 1:
        return (item,)
    return tuple(
        Stroke(points, ink, width, dash, round=item.round, butt=True)
        for ink, width, dash in item.layers
        for points in (item.points, *item.more)
    )


def _clamp(
    change: Callable[[ClampedConductor], ClampedConductor], wrong: str, right: str
) -> Callable[[_Place], _Shown]:
    def shown(place: _Place) -> _Shown:
        held = _held(place)
        of = held if place.right else change(held)
        return _Shown(_section(of), right if place.right else wrong, True)

    return shown


def _tooth(place: _Place) -> _Shown:
    usual = board_size_mm("strip-length")
    assert not isinstance(usual, Gap)
    of = ClampedConductor(usual.value, _SIZE_IF_UNKNOWN, 4.0, "tooth", below=not place.right)
    words = "the tooth lies in the cage, against the fixed bar" if place.right else (
        "the cage is closed and empty; the tooth lies below it"
    )  # fmt: skip
    return _Shown(_section(of), words, True)


def _two_sizes(place: _Place) -> _Shown:
    """The clamp cut across its conductors, made to fit it."""
    wiring = place.job.case.wiring.drawn
    sizes = [
        each.csa_mm2 or _SIZE_IF_UNKNOWN
        for each in wiring.conductors
        if place.flaw.of in (each.start, each.end) and each.kind != "bar"
    ]
    sizes.sort(reverse=True)
    one, other = (*(sqrt(each) for each in sizes[: 1 if place.right else 2]), 0.0, 0.0)[:2]
    one = one or sqrt(_SIZE_IF_UNKNOWN)
    share = _ACROSS_MM / (one + other)
    detail = two_in_one(TwoInOne("cage", one * min(share, 1.2), other * min(share, 1.2)))
    items = tuple(
        moved_by(item, (CLOSE_WIDE - detail.width) / 2, 20.0)
        for each in detail.groups
        if each.id != "wrong"
        for item in each.items
    )
    words = f"{2 if other else 1} conductor{'s' if other else ''} under one screw"
    return _Shown(items, words)


def _no_sleeve(place: _Place) -> _Shown:
    wiring = place.job.case.wiring.drawn
    found = next(each for each in wiring.conductors if each.id == place.flaw.conductor)
    held = _held(place)
    mark = Lettering(_CLAMP_AT[0] + 20, 178, found.function, anchor="middle", bold=True)
    words = f"a {found.colour} core under the screw marked {found.function}"
    return _Shown((*_section(held), mark), words, True)


def _thin(place: _Place) -> _Shown:
    wiring = place.job.case.wiring.drawn
    found = next(each for each in wiring.conductors if each.id == place.flaw.conductor)
    size = _lines(wrapped(found.size or "size not known", SMALLEST, 60, True), 8, 50, True)
    return _Shown((*_section(_held(place)), *size), f"printed on it: {found.size}", True)


# Fronts


def _lines(words: Sequence[str], x: float, y: float, bold: bool = False) -> list[Drawable]:
    return [Lettering(x, y + 15 * place, line, bold=bold) for place, line in enumerate(words)]


def _front(x: float, wide: float, window: bool, button: bool) -> list[Drawable]:
    """A device from the front: body, lever, test button or window."""
    items: list[Drawable] = [
        Box(x, 28, wide, 128, "ink", LINE, "plate", 3),
        Box(x + wide / 2 - 9, 56, 18, 40, "ink", HAIR, "soft", 2),
        Box(x + wide / 2 - 7, 74, 14, 18, "ink", HAIR, "casing", 2),
    ]
    if button:
        items += [
            Box(x + wide / 2 - 9, 106, 18, 18, "ink", HAIR, "faint", 2),
            Lettering(x + wide / 2, 119, "T", anchor="middle", bold=True),
        ]
    if window:
        items.append(Box(x + wide / 2 - 11, 132, 22, 10, "ink", HAIR, "paper"))
    return items


def _facts(place: _Place) -> list[str]:
    """What is printed on the plate of the device."""
    job, name = place.job, place.flaw.of
    part = job.case.wiring.drawn.part(name)
    if name == "origin":
        ahead = job.installation.supply.upstream_rcd
        if not is_known(ahead):
            return ["no residual", "current device"]
        rated, kind = ahead.rated_residual_current_ma, ahead.residual_type
        return [
            "device ahead",
            *([f"{rated:g} mA"] if is_known(rated) else []),
            *([f"type {kind}{' S' if ahead.delay == 'S' else ''}"] if is_known(kind) else []),
        ]
    return (
        [*device_facts(job.installation, part), *opens_words(job.installation, part)]
        if part
        else []
    )


def _plate(place: _Place) -> _Shown:
    """The device with its plate, and for one that opens poles what each of them does."""
    facts = [line for fact in _facts(place) for line in wrapped(fact, SMALLEST, 118, False)]
    with_button = any(" mA" in each for each in facts)
    items = _front(16, 62, True, with_button)
    items += _lines(facts[:5], 92, 42)
    if place.flaw.of != "origin":
        items += _poles(place)
    return _Shown(tuple(items), f"on its plate: {', '.join(facts)}")


def _poles(place: _Place) -> list[Drawable]:
    """The poles as the plate shows them: a contact that opens, or a line straight through."""
    job, name = place.job, place.flaw.of
    wiring = job.case.wiring.drawn
    functions = [each.function for each in wiring.terminals_of(name) if ".supply." in each.id]
    way = next((each for each in job.installation.board.ways if each.name == name), None)
    opened = way.switched_poles if way is not None and is_known(way.switched_poles) else 0
    items: list[Drawable] = []
    for number, function in enumerate(functions):
        x = 100.0 + 22 * number
        items.append(Lettering(x, 122, str(function), anchor="middle"))
        if number < int(opened):
            items += [
                Stroke(((x, 126), (x, 133)), "ink", LINE),
                Stroke(((x - 7, 135), (x, 147)), "ink", LINE),
                Stroke(((x, 147), (x, 156)), "ink", LINE),
            ]
        else:
            items.append(Stroke(((x, 126), (x, 156)), "ink", LINE))
    return items


def _indicator(place: _Place) -> _Shown:
    """A surge device's parts, each with its window: clear, or filled by the flag of its state."""
    wiring = place.job.case.wiring.drawn
    number = max(1, len([t for t in wiring.terminals_of(place.flaw.of) if t.function != "PE"]))
    items: list[Drawable] = []
    for each in range(number):
        x = 14.0 + 52 * each
        changed = each == 0 and not place.right
        items += [
            Box(x, 32, 46, 122, "ink", LINE, "plate", 3),
            Stroke(((x + 27, 46), (x + 18, 68), (x + 28, 68), (x + 20, 90)), "ink", LINE),
            Box(x + 8, 112, 30, 20, "ink", LINE, "casing" if changed else "paper"),
        ]
        if changed:
            items += [
                Stroke(((x + 8, 112), (x + 38, 132)), "paper", LINE),
                Stroke(((x + 8, 132), (x + 38, 112)), "paper", LINE),
            ]
    words = "all windows clear" if place.right else "one window is filled by its flag"
    return _Shown(tuple(items), words)


def _foreign(place: _Place) -> _Shown:
    """Two devices side by side on the bar: height, plate and clamp agree, or not."""
    other = 0.0 if place.right else 12.0
    items: list[Drawable] = [
        *_front(30, 56, True, False),
        Lettering(58, 48, "maker A", anchor="middle"),
        Box(94, 28 + other, 56, 128 - 2 * other, "ink", LINE, "faint" if other else "plate", 3),
        Lettering(122, 48 + other, "maker B" if other else "maker A", anchor="middle"),
        Box(113, 62, 18, 40 - other, "ink", HAIR, "soft", 9 if other else 2),
        Box(24, 158, 134, 8, "ink", LINE, "soft"),
        Stroke(((58, 158), (58, 148)), "ink", LINE + 2),
        Stroke(((122, 158), (122, 148)), "ink", LINE + 2),
    ]
    words = (
        "both devices bear one maker's name and are of one height"
        if place.right
        else "the device beside it bears another name, is lower, and its clamp stands off the bar"
    )
    return _Shown(tuple(items), words)


# Glands, openings, covers, screws


def _gland(place: _Place) -> _Shown:
    """A gland from the side: armour spread on its cone and a tag under the nut, or neither."""
    right = place.right
    fill = "faint" if right else "casing"
    wall = 96.0
    items: list[Drawable] = [
        Box(0.5, wall, CLOSE_WIDE - 1, 8, "ink", LINE, "soft"),
        Box(78, wall - 14, 70, 14, "ink", LINE, fill),
        Box(82, wall + 8, 62, 22, "ink", LINE, fill),
        Box(90, wall + 30, 46, 14, "ink", LINE, fill),
        Box(98, wall + 44, 30, 30, "ink", LINE, "casing"),
        *(
            Stroke(((104 + 9 * n, wall - 14), (100 + 13 * n, 44)), "casing", _CORE)
            for n in range(3)
        ),
    ]
    if right:
        items += [
            Box(60, wall - 4, 106, 4, "ink", HAIR, "plate"),
            Box(156, wall - 12, 14, 8, "ink", LINE, "plate"),
            *_green_and_yellow(((163, wall - 12), (163, 66), (190, 52))),
            *_lines(("metal", "tag"), 176, 84),
        ]
        return _Shown(tuple(items), "a metal gland, its earth tag bolted under the nut")
    items += _lines(("plastic",), 156, 84)
    return _Shown(tuple(items), "a plastic gland, no tag under its nut")


def _openings(place: _Place) -> _Shown:
    """The steel from inside: one hole for all live conductors, or one for each."""
    wiring = place.job.case.wiring.drawn
    cores = [
        each
        for each in wiring.conductors
        if each.cable == place.flaw.of and each.function not in ("PE", "PEN") and each.kind != "bar"
    ]
    step = 200 / (len(cores) + 1) if not place.right else 24.0
    first = 18 + step if not place.right else 118 - 12 * (len(cores) - 1)
    items: list[Drawable] = [Box(8, 30, CLOSE_WIDE - 16, 128, "ink", LINE, "faint")]
    if place.right:
        items.append(Disc(118, 94, 18 + 12 * len(cores), "ink", LINE, "casing"))
    for number, each in enumerate(cores):
        x, ink = first + step * number, CONDUCTOR_INKS.get(each.colour, ("grey",))[0]
        if not place.right:
            items.append(Disc(x, 94, 18, "ink", LINE, "casing"))
        items += [
            Disc(x, 94, 11, "casing", LINE, ink),
            Disc(x, 94, 6, "ink", FINE, "plate"),
            Lettering(x, 150, each.function, anchor="middle", bold=True),
        ]
    holes = "one hole for all" if place.right else "a hole of its own for each"
    return _Shown(tuple(items), f"live conductors through the steel: {holes}")


def _open_way(place: _Place) -> _Shown:
    items: list[Drawable] = [
        Box(8, 30, CLOSE_WIDE - 16, 128, "ink", LINE, "faint"),
        Box(30, 58, 172, 66, "ink", LINE, "casing"),
        *_in_window(30, 3),
    ]
    if place.right:
        items += [Box(x, 58, 38, 66, "ink", HAIR, "plate") for x in (126, 164)]
        return _Shown(tuple(items), "blanks close the window beside the last device")
    items += [
        Box(126, 100, 38, 6, "ink", HAIR, "faint"),
        Stroke(((126, 116), (164, 116)), "faint", _EDGE),
        Box(164, 58, 38, 66, "ink", HAIR, "plate"),
    ]
    return _Shown(tuple(items), "beside the last device one can see and reach into the board")


def _in_window(x: float, number: int) -> list[Drawable]:
    items: list[Drawable] = []
    for each in range(number):
        left = x + 32 * each
        items += [
            Box(left, 58, 32, 66, "ink", HAIR, "plate"),
            Box(left + 9, 74, 14, 28, "ink", FINE, "soft"),
        ]
    return items


def _bonding(place: _Place) -> _Shown:
    """The neutral bar on its feet over the metal of the back; the screw through it, or its empty
    hole.
    """
    items: list[Drawable] = [
        Box(8, 140, CLOSE_WIDE - 16, 10, "ink", LINE, "soft"),
        Box(30, 104, 26, 36, "ink", HAIR, "plate"),
        Box(180, 104, 26, 36, "ink", HAIR, "plate"),
        Box(20, 84, 196, 20, "ink", LINE, "faint"),
        *(Disc(x, 94, 7, "ink", HAIR, "plate") for x in (46, 76, 160, 190)),
        Lettering(20, 76, "neutral bar"),
        Lettering(20, 166, "metal of the enclosure"),
    ]
    if place.right:
        items.append(Disc(118, 94, 6, "ink", HAIR, "casing"))
        return _Shown(tuple(items), "the hole of the bonding screw is empty")
    items += [
        Box(112, 84, 12, 66, "ink", LINE, "green"),
        Box(104, 72, 28, 12, "ink", LINE, "green", 2),
    ]
    return _Shown(tuple(items), "a green screw goes through the neutral bar into the metal")


# Outside the enclosure


def _sensor(place: _Place) -> _Shown:
    """Service, split, both boards, and where the sensor's ring sits."""
    items: list[Drawable] = [
        Lettering(8, 50, "service"),
        Stroke(((8, 58), (110, 58)), "ink", LINE),
        Disc(110, 58, 3, "ink", LINE, "ink"),
        Stroke(((110, 58), (110, 96), (150, 96)), "ink", LINE),
        Stroke(((110, 58), (110, 138), (150, 138)), "ink", LINE),
        Box(150, 84, 76, 26, "ink", LINE, "plate"),
        Lettering(188, 101, "old board", anchor="middle"),
        Box(150, 125, 76, 26, "ink", LINE, "plate"),
        Lettering(188, 142, "this board", anchor="middle"),
    ]
    x, y = (76.0, 58.0) if place.right else (130.0, 96.0)
    items += [
        Disc(x, y, 9, "ink", LINE + 1),
        Stroke(((x, y - 9), (x, y - 20)), "ink", HAIR, "2 2"),
        Lettering(x + 4, y - 22, "sensor", bold=True),
    ]
    words = "the ring is round the service" if place.right else (
        "the ring is round the tail of the old board, behind the split"
    )  # fmt: skip
    return _Shown(tuple(items), words)


def _setting(place: _Place) -> _Shown:
    """The point's setting behind its lid: sealed, or open to any hand."""
    items: list[Drawable] = [
        Box(50, 28, 136, 126, "ink", LINE, "plate", 14),
        Disc(118, 60, 16, "ink", LINE, "faint"),
        *(Disc(112 + 6 * n, 60, 2, "ink", HAIR, "ink") for n in range(3)),
        Box(84, 92, 68, 48, "ink", LINE, "paper"),
    ]
    if place.right:
        items += [
            Box(84, 92, 68, 48, "ink", LINE, "faint"),
            Disc(118, 116, 8, "ink", LINE, "plate"),
            Stroke(((118, 124), (118, 136)), "ink", LINE),
            Lettering(190, 120, "sealed"),
        ]
        return _Shown(tuple(items), "a sealed lid covers the setting")
    items += [
        Stroke(((84, 92), (66, 84), (66, 132), (84, 140)), "ink", LINE, fill="faint", closed=True),
        Disc(118, 116, 14, "ink", LINE, "plate"),
        Stroke(((118, 116), (127, 107)), "ink", LINE + 1),
        *(Lettering(x, 132, said, anchor="middle") for x, said in ((97, "6"), (140, "32"))),
    ]  # fmt: skip
    return _Shown(tuple(items), "the lid hangs open, and a turn of the switch sets another current")


def _green_and_yellow(course: tuple[Point, ...]) -> list[Drawable]:
    return [
        Stroke(course, "casing", _CORE),
        Stroke(course, "green", _WIRE),
        Stroke(course, "yellow", _STRIPE),
    ]


def _nothing(place: _Place) -> _Shown:
    if any(each.name == place.flaw.of for each in place.job.installation.existing_boards):
        return _bonded(place)
    items: list[Drawable] = [
        Box(14, 32, 208, 122, "ink", LINE, "panel", 8),
        *(Disc(48, 62 + 30 * n, 5, "ink", LINE, "plate") for n in range(3)),
        *(Lettering(20, 66 + 30 * n, said) for n, said in enumerate(("L", "N", "PE"))),
        Stroke(((53, 62), (196, 62)), "brown", _WIRE),
        Stroke(((53, 92), (196, 92)), "blue", _WIRE),
        *_green_and_yellow(((53, 122), (196, 122))),
        Disc(202, 92, 12, "ink", LINE, "faint"),
    ]  # fmt: skip
    if place.right:
        items += [
            Box(86, 48, 66, 88, "ink", LINE, "plate", 3),
            *_lines(("watches", "the PEN"), 93, 88),
        ]
        return _Shown(tuple(items), "a device that watches the PEN stands before the outlet")
    return _Shown(tuple(items), "the conductors run straight to the outlet; no device stands there")


def _bonded(place: _Place) -> _Shown:
    items: list[Drawable] = [
        Box(20, 58, 66, 24, "ink", LINE, "plate"),
        *(Disc(32 + 14 * n, 70, 4, "ink", HAIR, "faint") for n in range(4)),
        Lettering(20, 50, "main earthing terminal"),
        Box(164, 40, 20, 116, "ink", LINE, "faint"),
        Lettering(190, 60, "water"),
    ]
    if place.right:
        course = ((74.0, 74.0), (74.0, 124.0), (164.0, 124.0))
        items += [
            *_green_and_yellow(course),
            Box(160, 116, 28, 16, "ink", LINE, "plate"),
        ]
        return _Shown(tuple(items), "a conductor runs from the terminal to a clamp on the pipe")
    return _Shown(tuple(items), "no conductor runs from the terminal to the pipe")


def _coiled(place: _Place) -> _Shown:
    held = _held(place)
    course = [(20.0, 100.0), (70.0, 100.0)]
    loops = ((70, 118, 28), (92, 118, 28), (114, 118, 28)) if not place.right else ()
    thick = 0.36 * min(max(6 * held.outer_mm, 10.0), 34.0)  # as far as it is seen and has room
    first, *stripe = CONDUCTOR_INKS[held.colour]
    layers = (("casing", thick + 2), (first, thick), *((ink, thick * 0.36) for ink in stripe))
    items: list[Drawable] = []
    for ink, wide in layers:
        for x, y, radius in loops:
            items.append(Disc(x, y - 16, radius, ink, wide))
        items.append(Stroke((course[0], course[1]), ink, wide, butt=True))
        items.append(Stroke(((70.0, 100.0), (216.0, 100.0)), ink, wide, butt=True))
    words = "the lead runs straight" if place.right else "the lead lies in loops before its clamp"
    return _Shown(tuple(items), words)


_MADE: dict[str, Callable[[_Place], _Shown]] = {
    "coiled": _coiled,
    "indicator-changed": _indicator,
    "other-plate": _plate,
    "no-test-button": _plate,
    "tooth-beside-the-clamp": _tooth,
    "screw-not-tight": _clamp(
        lambda held: replace(held, loose_mm=2.0),
        "the cage hangs clear of the copper",
        "the cage presses the copper against the fixed bar",
    ),
    "discoloured": _clamp(
        lambda held: replace(held, burnt=True),
        "plastic and metal round the clamp are dark, and the plastic has blisters",
        "plastic and metal are clean",
    ),
    "insulation-under-the-clamp": _clamp(
        lambda held: replace(held, stripped_mm=held.strip_mm * 0.4),
        "the insulation goes into the cage",
        "the insulation ends before the cage, copper lies in all of it",
    ),
    "cut-strands": _clamp(
        lambda held: replace(held, cut_strands=3),
        "three of seven strands end before the cage; short ends lie below",
        "all strands go into the cage",
    ),
    "two-sizes": _two_sizes,
    "too-thin": _thin,
    "no-sleeve": _no_sleeve,
    "plastic-gland": _gland,
    "bonding-screw-in": _bonding,
    "open-way": _open_way,
    "separate-openings": _openings,
    "foreign-device": _foreign,
    "sensor-misplaced": _sensor,
    "setting-open": _setting,
    "nothing-fitted": _nothing,
}


# On a sheet


def moved_group(shown: CloseUp, x: float, y: float) -> Group:
    """The close-up with its corner at a place of a sheet."""
    items = tuple(moved_by(item, x, y) for item in shown.items)
    of = shown.flaw.conductor or shown.flaw.of
    return Group(shown.id, items, shown.words, "close-up", (("of", of),))


def row_of(
    shown: Sequence[CloseUp], left: float, top: float
) -> tuple[tuple[Group, ...], float, float]:
    """Close-ups beside each other, where the row ends, and the y below it."""
    step = CLOSE_WIDE + 12
    groups = tuple(moved_group(each, left + step * n, top) for n, each in enumerate(shown))
    return groups, left + step * len(shown) - 12, top + CLOSE_HIGH


def with_close_ups(sheet: Sheet, shown: Sequence[CloseUp]) -> Sheet:
    """A sheet with close-ups below everything else."""
    if not shown:
        return sheet
    groups, right, bottom = row_of(shown, 12.0, sheet.height + 6)
    words = " ".join(each.words for each in shown)
    return replace(
        sheet,
        width=max(sheet.width, right + 12),
        height=bottom + 12,
        groups=(*sheet.groups, *groups),
        description=f"{sheet.description} {words}",
    )


def close_up_pair(wrong: CloseUp, right: CloseUp, prefix: str, edition: str) -> Drawn:
    """As found, beside as it should be."""
    pair = (
        replace(wrong, title="as found"),
        replace(right, flaw=replace(right.flaw, of=f"{right.flaw.of}.right", conductor="")),
    )
    groups, width, bottom = row_of(pair, 1.0, 20.0)
    heads = Group(
        "heads",
        (
            Lettering(1, 13, "As found", bold=True),
            Lettering(CLOSE_WIDE + 13, 13, "As it should be", bold=True),
        ),
    )
    words = f"As found. {wrong.words} As it should be. {right.words} {caution_line(edition)}"
    sheet = Sheet(width + 1, bottom + 2, (heads, *groups), wrong.title, words, "close-up")
    return drawn_from(sheet, prefix)
