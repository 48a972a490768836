"""Drawing: one element for the hands: a clamp in section with what is held in it, right or wrong.

A cage lifted by a screw presses a conductor against its jaw; the conductor comes in from the left.
No maker's clamp: common practice.
"""

from __future__ import annotations

from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Drawable, Stroke
from firstway.frozen import dataclass

UNITS_PER_MM = 6.0
"""How large a close-up is drawn."""
_CAGE = (112.0, 178.0)  # left and right inside of the cage
_JAW, _FLOOR, _TOP = 130.0, 146.0, 40.0
_HOUSING = (86.0, 214.0)
_COPPER = 0.6  # how thick copper is beside its insulation
_LEAST, _MOST = 10.0, 34.0
_OUTSIDE, _INSIDE = 2.2, 1.2  # a strand: how thick with its edge, and without


@dataclass(frozen=True)
class Held:
    """What comes into the clamp: inks of its insulation and how thick it is, in units.

    `insulated_to` is where the insulation ends; `strands` how many of seven go in.
    """

    inks: tuple[str, ...]
    thick: float
    insulated_to: float = 106.0
    strands: int = 7


@dataclass(frozen=True)
class ClampState:
    """`gap` is how far the screw stands above what it should press on, `dark` says that heat has
    marked it, `tooth_beside` that a bar's tooth went in behind the cage.
    """

    held: Held | None
    gap: float = 0.0
    second: Held | None = None
    dark: bool = False
    tooth: bool = False
    tooth_beside: bool = False


def thickness(diameter_mm: float) -> float:
    """How thick a conductor is drawn: to scale, as far as it can be seen and has room."""
    return min(max(diameter_mm * UNITS_PER_MM, _LEAST), _MOST)


def clamp_items(state: ClampState) -> tuple[Drawable, ...]:
    """The section in a frame 236 units wide, its floor at 146."""
    items: list[Drawable] = [
        Box(_HOUSING[0], _TOP, _HOUSING[1] - _HOUSING[0], _FLOOR - _TOP, "ink", LINE, "panel", 3),
        Box(_CAGE[0] - 6, 78, _CAGE[1] - _CAGE[0] + 12, _FLOOR - 82, "ink", LINE, "faint"),
        Box(_CAGE[0], 84, _CAGE[1] - _CAGE[0], _JAW - 84, "ink", HAIR, "paper"),
    ]
    if state.dark:
        items += _burnt()
    held = [each for each in (state.held, state.second) if each]
    copper = max((each.thick * _COPPER * each.strands / 7 for each in held), default=0.0)
    if state.tooth:
        copper = 8.0
        items += _tooth(_CAGE[1] - 4 if not state.tooth_beside else 0.0)
    for place, each in enumerate(held):
        items += _conductor(each, _JAW, place)
    top = _JAW - copper - state.gap
    if not held and (not state.tooth or state.tooth_beside):
        top = _JAW - 3 - state.gap
    return (*items, *_screw(top))


def _screw(top: float) -> list[Drawable]:
    """The screw with its plate, whose underside is at `top`."""
    middle = (_CAGE[0] + _CAGE[1]) / 2
    head = _TOP - 14 + max(0.0, min(12.0, 0.0))
    lift = min(0.0, top - 112.0) * 0.5
    return [
        Box(middle - 10, head + 12 + lift, 20, top - 6 - head - 12 - lift, "ink", HAIR, "plate"),
        *(
            Stroke(((middle - 10, y), (middle + 10, y - 3)), "soft", FINE)
            for y in range(int(head + 24 + lift), int(top - 8), 6)
        ),
        Box(middle - 17, head + lift, 34, 14, "ink", LINE, "plate", 2),
        Stroke(((middle - 10, head + 7 + lift), (middle + 10, head + 7 + lift)), "ink", LINE),
        Box(_CAGE[0] + 5, top - 6, _CAGE[1] - _CAGE[0] - 10, 6, "ink", HAIR, "soft"),
    ]


def _conductor(held: Held, jaw: float, place: int) -> list[Drawable]:
    """Copper in strands on the jaw, and its insulation before it; a second lies behind the first
    and a little higher outside.
    """
    copper, thick = held.thick * _COPPER, held.thick
    middle = jaw - copper / 2 - (0 if not place else 2)
    far = _CAGE[1] - 6 - 14 * place
    items: list[Drawable] = []
    step = copper / 7
    for strand in range(7):
        y = middle - copper / 2 + step * (strand + 0.5)
        if 7 - strand > held.strands:  # cut off before the cage, spread a little
            spread = y - 5 - 3 * (7 - strand - held.strands)
            ends = ((held.insulated_to - 2, y), (held.insulated_to + 5, spread))
            items += [
                Stroke(ends, "ink", _OUTSIDE, butt=True),
                Stroke(ends, "plate", _INSIDE, butt=True),
            ]
            continue
        items.append(
            Box(
                held.insulated_to - 3,
                y - step / 2,
                far - held.insulated_to + 3,
                step,
                "ink",
                FINE,
                "plate",
            )  # fmt: skip
        )
    if held.strands < 7:
        items += [
            Stroke(((x, _FLOOR - 3), (x + 9, _FLOOR - 3 - rise)), "ink", LINE)
            for x, rise in ((90.0, 1.0), (97.0, -1.0), (190.0, 2.0), (203.0, 0.0))
        ]
    bend = middle - (18.0 if place else 0.0)
    body = ((6.0, bend), (60.0, bend), (82.0, middle), (held.insulated_to, middle))
    layers = [("casing", thick + 2), (held.inks[0], thick)]
    layers += [(ink, thick * 0.36) for ink in held.inks[1:]]
    items += [Stroke(body, ink, wide, butt=True) for ink, wide in layers]
    return items


def _tooth(beside: float) -> list[Drawable]:
    """A bar's tooth from the right: in the cage up to its left side, or between cage and housing;
    0 says beside.
    """
    if beside:
        return [
            Box(_CAGE[0] + 8, _JAW - 8, 236 - _CAGE[0] - 14, 8, "ink", HAIR, "faint"),
            Box(206, _JAW - 26, 24, 40, "ink", LINE, "soft"),
        ]
    return [
        Box(_CAGE[0] - 4, _FLOOR - 9, 236 - _CAGE[0] - 2, 7, "ink", LINE, "faint"),
        Box(206, _JAW - 26, 24, 44, "ink", LINE, "soft"),
    ]


def _burnt() -> list[Drawable]:
    """Plastic and metal darkened round the clamp, and a bubble in it."""
    return [
        Box(_CAGE[0] - 22, 66, _CAGE[1] - _CAGE[0] + 44, 78, "soft", FINE, "grey", 20),
        Box(_CAGE[0] - 8, 76, _CAGE[1] - _CAGE[0] + 16, 64, "soft", LINE, "black", 4),
        Box(_CAGE[0], 84, _CAGE[1] - _CAGE[0], _JAW - 84, "soft", HAIR, "grey"),
        *(Disc(x, y, r, "casing", HAIR, "faint") for x, y, r in ((98, 60, 4), (196, 72, 3))),
    ]
