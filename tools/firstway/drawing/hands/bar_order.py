"""Drawing, pictures for the hands: the order in which a comb bar is fitted."""

from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import (
    Drawables,
    arc_points,
    body,
    broad_arrow,
    edge_line,
    ring,
    turning,
)
from firstway.drawing.sheet import HAIR, LINE, Box, Disc, Group
from firstway.frozen import dataclass

_WIDE, _FIRST, _WAYS = 58.0, 39.0, 3
_SCREW_Y, _MOUTH_Y, _LOW = 42.0, 76.0, 102.0
OPENS, TURNS = -1, 1


@dataclass(frozen=True)
class BarFitted:
    """Three devices and their bar: which way each screw is turned (`OPENS`, `TURNS`, 0 not at all)
    and where the bar is: away, before its clamps, or in.
    """

    turned: tuple[int, int, int]
    bar: str


def bar_fitted(of: BarFitted) -> Detail:
    """The ends of the devices from the front."""
    middles = [_FIRST + _WIDE * way for way in range(_WAYS)]
    devices: list[Box | Disc] = []
    for x in middles:
        devices.append(Box(x - _WIDE / 2, 12, _WIDE, _LOW - 12, "zline", HAIR, "zw2"))
        devices.append(Box(x - 11, _MOUTH_Y, 22, 18, "zline", HAIR, "zhole"))
        devices.append(Disc(x, _SCREW_Y, 11, "zline", HAIR, "zz2"))
    slots = [edge_line((x - 6, _SCREW_Y + 4), (x + 6, _SCREW_Y - 4), width=LINE) for x in middles]
    groups: list[Group] = [
        group("devices", tuple(devices), tuple(slots), title="Devices: screws and clamps")
    ]
    if of.bar != "away":
        top = _MOUTH_Y + 6 if of.bar == "in" else _LOW + 8
        teeth = tuple(Box(x - 6, top, 12, 32, "zline", HAIR, "zc1") for x in middles)
        long = [(6.0, top + 28), (188.0, top + 28), (188.0, top + 46), (6.0, top + 46)]
        groups.append(group("bar", teeth, (body(long, "zk2"),), title="The comb bar"))
    if of.bar == "before":
        arrows = tuple(broad_arrow((x + 29, 142), (x + 29, 110), 6) for x in middles[:2])
        groups.append(group("push", arrows, title="All teeth at once"))
    turns = [_turn(x, way) for x, way in zip(middles, of.turned) if way]
    if turns:
        groups.append(group("turns", *turns, title="Which way the screws are turned"))
    points = {f"screw-{nth}": (x, _SCREW_Y) for nth, x in enumerate(middles, 1)}
    if 0 in of.turned and of.bar == "in":
        points["wrong"] = middles[of.turned.index(0)], _SCREW_Y
        groups.append(group("wrong", (ring(*points["wrong"], 20),)))
    return Detail(HALF, 162, tuple(groups), points)


def _turn(x: float, way: int) -> Drawables:
    first, last = (-160, 70) if way > 0 else (-20, -250)
    return turning(arc_points(x, _SCREW_Y, 18, 18, first, last))


def bar_order() -> Made:
    """Every screw open, the bar in, every screw to its figure; and one that was left."""
    return sheet_of(
        "A comb bar is fitted in this order",
        "Three devices from the front, four times. First every screw is opened; then the bar goes"
        " in, all teeth at once. Right, last of all: every screw to the figure that the maker of"
        " its device states. Wrong: one screw left open, its tooth loose in an open cage.",
        [
            Panel(
                bar_fitted(BarFitted((OPENS, OPENS, OPENS), "away")),
                None,
                "1  every screw opened",
                "Isolated, locked off, proved dead. A cage half open lets a tooth pass below it.",
            ),
            Panel(
                bar_fitted(BarFitted((0, 0, 0), "before")),
                None,
                "2  the bar in",
                "All teeth at once, each into its cage; the bar the maker names.",
            ),
            Panel(
                bar_fitted(BarFitted((TURNS, TURNS, TURNS), "in")),
                True,
                "3  every screw to its figure",
                "One after the other, each to the figure that its device's maker states for a bar.",
            ),
            Panel(
                bar_fitted(BarFitted((TURNS, 0, TURNS), "in")),
                False,
                "one left open",
                "Its tooth lies loose, carries the current and heats.",
            ),
        ],
    )
