"""Drawing, pictures for the hands: a rising cage cut across its conductors.

Places are in mm; the underside of the fixed bar is at 0.
"""

from firstway.drawing.hands.frame import group
from firstway.drawing.hands.strokes import Drawables, Scale, body, cut, screw
from firstway.drawing.sheet import Group

CAGE_INSIDE_MM = 6.4
"""How wide a cage is inside."""


def terminal_sides(at: Scale, half: float, floor: float) -> Drawables:
    """The moulded body to the left and to the right of a terminal, and below it."""
    left = at.path((-12, -14), (-half, -14), (-half, floor), (half, floor), (half, -14), (12, -14))
    return cut((*left, *at.path((12, 8.5), (-12, 8.5))), "zw2")


def cage_around(at: Scale, gap: float) -> tuple[Group, ...]:
    """A rising cage cut across, open by `gap` mm below the fixed bar."""
    low, high = gap, gap - 8.0
    inside = CAGE_INSIDE_MM / 2
    outer = at.path((-4.6, high - 1.5), (4.6, high - 1.5), (4.6, low + 1.5), (-4.6, low + 1.5))
    x, top = at.at(0, -14.5)
    return (
        group("housing", terminal_sides(at, 6.6, 7.0), title="Moulded body, cut open"),
        group(
            "cage",
            (body(outer, "zz2"),),
            cut(at.block(-4.6, high - 1.5, 4.6, high), "zz3", -1, 5.0),
            cut(at.block(-4.6, low, 4.6, low + 1.5), "zz3", -1, 5.0),
            cut(at.block(-4.6, high, -inside, low), "zz3", -1, 5.0),
            cut(at.block(inside, high, 4.6, low), "zz3", -1, 5.0),
            title="The cage",
        ),
        group("bar", cut(at.block(-3.0, -1.5, 3.0, 0.0), "zc2", 1, 4.0), title="The fixed bar"),
        group("screw", screw(x, top, at.at(0, -1.5)[1], 34, 20, 5), title="The screw"),
    )
