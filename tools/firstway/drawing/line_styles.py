"""Drawing: how lines are told apart in every drawing: conductors by pattern and width, a key of
styles, arrow heads, and the one sign for a fault.

Colour is never the only carrier: a line conductor is whole, a neutral has gaps, a protective
conductor a stripe along it, armour cross strokes. Every drawing also writes the letter.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firstway.drawing.ink import CONDUCTOR_INKS
from firstway.drawing.sheet import (
    HAIR,
    LINE,
    SMALLEST,
    Drawable,
    Group,
    Lettering,
    Point,
    Ref,
    Stroke,
)
from firstway.drawing.text_width import reserved_width
from firstway.model.nec_words import GROUND
from firstway.wiring.graph import Conductor

Layers = tuple[tuple[str, float, str], ...]

CORE = 3.4  # a conductor's insulation where its size is not to be seen
CASING = 1.6  # how much wider its outline is
HALO = 6.6  # how much wider the gap is that it cuts in what it crosses
FLAT_PER_MM = 0.55  # units for a mm of diameter in a drawing that is not to scale
LEAST_CORE = 2.0  # thinner, and pattern and colour are lost at 768 px
GAPS, STRIPE, STRANDS = "18 5", "5 5", "1.5 2.5"
FAULT_SIGN = "fault"
FOOT = 12.0  # from the middle of the sign for a fault to the foot of its pole
_STROKE, _ROW, _GAP = 30.0, 17.0, 12.0


def core_width(diameter_mm: float, per_mm: float = FLAT_PER_MM) -> float:
    """How wide a conductor is drawn, in units, by its diameter over the insulation in mm.

    `per_mm` is the scale of a drawing to scale. Never under `LEAST_CORE`.
    """
    return max(LEAST_CORE, diameter_mm * per_mm)


def conductor_layers(conductor: Conductor, width: float = CORE) -> Layers:
    """A conductor by its colour, and without colour: lines whole, neutral with gaps, protective
    with a stripe.

    The layers of `Strands`, undermost first; `width` (units) is that of its insulation.
    """
    ground = (("paper", width + HALO, ""), ("casing", width + CASING, ""))
    if conductor.kind == "armour":
        return (*ground, ("paper", width, STRANDS))
    inks = CONDUCTOR_INKS.get(conductor.colour, ("white",))
    if conductor.function == "N":
        # white gaps in a white neutral could not be seen
        gaps = "black" if inks[0] == "white" else "white"
        return (*ground, (gaps, width, ""), (inks[0], width, GAPS))
    if len(inks) > 1:
        return (*ground, (inks[0], width, ""), (inks[1], width, STRIPE))
    stripe = (("white", width * 0.4, ""),) if conductor.function == "PE" else ()
    return (*ground, (inks[0], width, ""), *stripe)


@dataclass(frozen=True)
class Sample:
    """One style of a key: a piece of line in layers, or a shape of the sheet, and what it means."""

    words: str
    layers: Layers = ()
    shape: str = ""


def conductor_samples(conductors: Iterable[Conductor], rules: str) -> tuple[Sample, ...]:
    """One sample for each function and colour among the conductors, lines first, armour last."""
    found: dict[tuple[str, str], Conductor] = {}
    for each in conductors:
        if each.kind != "bar":
            armour = each.kind == "armour"
            found.setdefault(("~armour", "") if armour else (each.function, each.colour), each)
    order = ("L1", "L2", "L3", "N", "PEN", "PE", "~armour")
    ranked = sorted(found, key=lambda key: (order.index(key[0]) if key[0] in order else 9, key[1]))
    return tuple(
        Sample(_sample_words(name, colour, rules), conductor_layers(found[name, colour])[1:])
        for name, colour in ranked
    )


def _sample_words(function: str, colour: str, rules: str) -> str:
    if function.startswith("~"):
        return function[1:]
    letter = GROUND if rules == "nec" and function == "PE" else function
    return f"{letter} {colour}".strip()


def line_key(
    samples: Sequence[Sample], left: float, top: float, width: float
) -> tuple[Group, float]:
    """The key of line styles in rows no wider than `width`, and the y below it.

    A shape lies within 15 units of its middle across and 11 down.
    """
    items: list[Drawable] = []
    row = 26.0 if any(sample.shape for sample in samples) else _ROW
    x, y = left, top + row / 2
    for sample in samples:
        long = _STROKE + 7 + reserved_width(sample.words, SMALLEST)
        if x > left and x + long > left + width:
            x, y = left, y + row
        if sample.shape:
            items.append(Ref(x + _STROKE / 2, y, sample.shape))
        items += [
            Stroke(((x, y), (x + _STROKE, y)), ink, weight, dash, butt=True)
            for ink, weight, dash in sample.layers
        ]
        items.append(Lettering(x + _STROKE + 7, y + 4.3, sample.words))
        x += long + _GAP
    return Group("key.lines", tuple(items), "Key of line styles", "key lines"), y + row / 2 + 4


def arrow_head(start: Point, tip: Point, ink: str = "ink", long: float = 8.0) -> Stroke:
    """A filled head, `long` units, whose point lies at `tip`, for a line that comes from `start`.

    For what has a direction: a control link, a current, a measure.
    """
    away = math.dist(start, tip) or 1.0
    dx, dy = (tip[0] - start[0]) / away, (tip[1] - start[1]) / away
    back = tip[0] - long * dx, tip[1] - long * dy
    half = long * 0.45
    return Stroke(
        (
            tip,
            (back[0] - half * dy, back[1] + half * dx),
            (back[0] + half * dy, back[1] - half * dx),
        ),
        ink,
        HAIR,
        fill=ink,
        closed=True,
    )


FAULT_SHAPES: dict[str, tuple[Drawable, ...]] = {
    FAULT_SIGN: (
        Stroke(
            ((-9.5, FOOT), (-9.5, -9), (9.5, -9), (9.5, 8), (-9.5, 8)), "mark", LINE, fill="paper"
        ),
    )
}
"""The flag of `fault_sign`; a sheet that calls it has this among its `shapes`."""


def fault_sign(x: float, y: float, letter: str) -> tuple[Drawable, ...]:
    """The sign for a fault in every drawing: a flag on a pole, its letter explained in a list.

    (x, y) is the middle of its cloth, `FOOT` units above the foot of its pole. The sheet's
    `shapes` hold `FAULT_SHAPES`.
    """
    text = Lettering(x, y + 4.3, letter, anchor="middle", ink="mark", bold=True)
    return Ref(x, y, FAULT_SIGN), text
