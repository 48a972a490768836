"""Drawing, pictures for the hands: what a residual current device compares: line and neutral
through one ring, and what it does when the neutral or the protective conductor goes another way.
"""

from dataclasses import replace

from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    arc_points,
    broad_arrow,
    conductor,
    ring,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point, Strands
from firstway.frozen import dataclass

_X, _Y, _REACH, _TALL = 74.0, 62.0, 13.0, 44.0  # the ring, seen from aside
_LINE, _NEUTRAL, _INNER = 44.0, 72.0, 94.0  # heights of what goes through it
_BESIDE, _EARTH = 128.0, 152.0  # and of what goes below it
_LOAD = 138.0


@dataclass(frozen=True)
class ResidualRing:
    """A ring round line and neutral. `leaks`: part of the current goes to earth;
    `neutral_beside`: the neutral passes it by; `earth_through`: the protective conductor goes
    through it, too.
    """

    leaks: bool = False
    neutral_beside: bool = False
    earth_through: bool = False


def residual_ring(of: ResidualRing) -> Detail:
    """Half as wide as a sheet."""
    neutral: tuple[Point, ...] = ((_LOAD, _NEUTRAL), (6.0, _NEUTRAL))
    if of.neutral_beside:
        bend = ((_LOAD - 24, _NEUTRAL), (_LOAD - 24, _BESIDE))
        neutral = (neutral[0], *bend, (36.0, _BESIDE))
    earth: tuple[Point, ...] = ((162.0, 104.0), (162.0, _EARTH), (6.0, _EARTH))
    if of.earth_through:
        earth = ((_LOAD, _INNER), (6.0, _INNER))
    groups = [
        group("ring", (_arc(0, 360),), title="Ring of the residual current device"),
        group("line", (conductor(((6.0, _LINE), (_LOAD, _LINE)), 4.0, "brown"),), title="Line"),
        group("neutral", (conductor(neutral, 4.0, "blue", 5.0),), title="Neutral"),
        group("earth", (conductor(earth, 4.0, "green-and-yellow", 5.0),), title="Earth conductor"),
        group("front", (_arc(112, 248),)),
        group("load", (Box(_LOAD, 28, 50, 76, "ink", LINE, "plate", 3),), title="Load"),
        group("current", _arrows(of), title="Currents"),
        group("names", _names(of)),
    ]
    if of.neutral_beside:
        groups.append(group("bar", _neutral_bar(), title="Neutral bar"))
    wrong = (_LOAD - 24, 96.0) if of.neutral_beside else (_X, _INNER) if of.earth_through else None
    if wrong:
        groups.append(group("wrong", (ring(*wrong, 14),)))
    return Detail(HALF, 162, tuple(groups), {"ring": (_X, _Y)})


def _neutral_bar() -> Drawables:
    """The bar ahead of the device, which the neutral of the load has been put on."""
    return (
        Box(32, _BESIDE - 10, 14, 20, "zline", HAIR, "zm2"),
        Disc(39, _BESIDE - 5, 2, "zline", FINE, "zz1"),
        Disc(39, _BESIDE + 4, 2, "zline", FINE, "zz1"),
    )


def _arc(first: float, last: float) -> Strands:
    points = tuple(arc_points(_X, _Y, _REACH, _TALL, first, last))
    return Strands(points, (("zline", 9.0, ""), ("zz2", 7.0, "")))


def _arrows(of: ResidualRing) -> Drawables:
    """What flows, a smaller arrow for a smaller current."""
    right, level = (104.0, _BESIDE - 11) if of.neutral_beside else (128.0, _NEUTRAL - 11)
    found = [
        broad_arrow((92.0, _LINE - 11), (128.0, _LINE - 11), 6),
        broad_arrow((right, level), (right - 36, level), 4 if of.leaks else 6),
    ]
    if of.leaks:
        level = _INNER if of.earth_through else _EARTH
        found.append(broad_arrow((128.0, level - 10), (100.0, level - 10), 4))
    return tuple(found)


def _names(of: ResidualRing) -> Drawables:
    def name(x: float, y: float, text: str, anchor: str = "start") -> Lettering:
        return Lettering(x, y, text, TEXT_SIZE, anchor, True)

    return (
        name(6, _LINE - 6, "L"),
        name(6, _BESIDE - 14, "N bar") if of.neutral_beside else name(6, _NEUTRAL - 6, "N"),
        name(6, (_INNER if of.earth_through else _EARTH) - 6, "PE"),
        name(_LOAD + 25, 70, "load", "middle"),
    )


def residual_ring_picture() -> Made:
    """Nothing leaks, something does; the neutral beside the ring, the protective conductor in
    it.
    """
    sound, leaking = ResidualRing(), ResidualRing(leaks=True)
    return sheet_of(
        "What a residual current device compares",
        "Line and neutral go through one ring; the protective conductor passes it by. Right: what"
        " goes out comes back, and the ring finds nothing; part of it goes to earth, less comes"
        " back through the ring, and the device opens. Wrong: the neutral ends on the bar ahead"
        " of the"
        " device, passes the ring by, and any load opens the device; the protective conductor"
        " goes through it, and a leak is not"
        " found.",
        [
            Panel(
                residual_ring(sound),
                True,
                "out and back",
                "Both through one ring: their sum is nothing, it stays closed.",
            ),
            Panel(
                residual_ring(leaking),
                True,
                "a leak opens it",
                "Part goes back by earth. The ring misses it, and the device opens.",
            ),
            Panel(
                residual_ring(replace(sound, neutral_beside=True)),
                False,
                "neutral beside it",
                "On the bar ahead of the device instead of in its terminal: the first load opens"
                " it.",
            ),
            Panel(
                residual_ring(replace(leaking, earth_through=True)),
                False,
                "PE through it",
                "The leak comes back through the ring: it finds nothing.",
            ),
        ],
    )
