"""Drawing, pictures for the hands: the driver at its setting, square to the screw, the pull, the
mark.
"""

from math import cos, radians, sin

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import terminal_figures
from firstway.drawing.hands.frame import Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import (
    Drawables,
    arc_points,
    body,
    broad_arrow,
    conductor,
    lines,
    ring,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Group, Point, Strands, Stroke
from firstway.frozen import dataclass

_PAINT = (("zline", 5.5, ""), ("white", 3.0, ""))


@dataclass(frozen=True)
class DriverOnScrew:
    """A torque driver on a terminal's screw. `setting` is what its window shows, in words; `lean`
    is how far it stands from square, in degrees.
    """

    setting: str
    lean: float = 0.0


def driver_on_screw(of: DriverOnScrew) -> Detail:
    """The driver from the side, over the end of a device."""
    x, y = 97.0, 168.0

    def turned(points: list[Point]) -> list[Point]:
        c, s = cos(radians(of.lean)), sin(radians(of.lean))
        return [(x + px * c - py * s, y + px * s + py * c) for px, py in points]

    shaft = turned([(-3.5, -72), (3.5, -72), (3.5, -4), (-3.5, -4)])
    bit = turned([(-5.5, -8), (5.5, -8), (2.5, 3), (-2.5, 3)])
    neck = turned([(-9, -84), (9, -84), (6, -70), (-6, -70)])
    grip = turned([(-17, -156), (17, -156), (20, -90), (12, -82), (-12, -82), (-20, -90)])
    ridges = [tuple(turned([(d, -152), (d * 1.15, -122)])) for d in (-11, -4, 4, 11)]
    window = turned([(-28, -117), (28, -117), (28, -97), (-28, -97)])
    device = [(30.0, y + 2), (80.0, y + 2), (80.0, y + 16), (114.0, y + 16), (114.0, y + 2)]
    device += [(164.0, y + 2), (164.0, y + 44), (30.0, y + 44)]
    screw_head = (
        Box(x - 12, y + 2, 24, 11, "zline", LINE, "zz2"),
        Box(x - 2, y + 2, 4, 5, "", 0, "zhole"),
    )
    mid = turned([(0.0, -103.0)])[0]
    groups: list[Group] = [
        group("device", (body(device, "zw2"),), screw_head, title="The end of the device"),
        group(
            "driver",
            (body(shaft, "zz2", HAIR), body(bit, "zz3", HAIR), body(neck, "zz2", HAIR)),
            (body(grip, "zk2"), lines(ridges, FINE)),
            title="Torque driver",
        ),
    ]
    if of.lean:
        groups.append(group("wrong", (ring(x, y, 15),)))
    else:
        plate = (Box(mid[0] - 31, mid[1] - 10, 62, 19, "zline", HAIR, "paper"),)
        groups.append(group("window", plate, words(mid[0], mid[1] + 4.5, of.setting, "middle")))
        del window
    return Detail(194, y + 48, tuple(groups), {"screw": (x, y + 4), "window": mid})


@dataclass(frozen=True)
class PulledConductor:
    """A conductor of a colour pulled after tightening; `comes_out`: it moves."""

    colour: str
    comes_out: bool


def pulled_conductor(of: PulledConductor) -> Detail:
    """The end of a device from the front, its conductor pulled down."""
    x = 97.0
    out = 22.0 if of.comes_out else 0.0
    device = [(57.0, 6.0), (137.0, 6.0), (137.0, 66.0), (57.0, 66.0)]
    screw_head = (
        Disc(x, 36, 12, "zline", LINE, "zz2"),
        Stroke(((x - 8, 36), (x + 8, 36)), "zline", LINE),
    )
    groups: list[Group] = []
    if of.comes_out:
        bare = body([(x - 7, 62), (x + 7, 62), (x + 7, 66 + out), (x - 7, 66 + out)], "zc1", HAIR)
        groups.append(group("bare", (bare,), title="Copper that came out"))
    groups += [
        group(
            "conductor", (conductor(((x, 66 + out), (x, 132)), 20, of.colour),), title="Conductor"
        ),
        group("device", (body(device, "zw2"),), screw_head, title="The end of the device"),
        group("pull", (broad_arrow((x + 30, 84), (x + 30, 122), 7),), title="Pull"),
    ]
    if of.comes_out:
        groups.append(group("wrong", (ring(x, 66 + out / 2, 16),)))
    return Detail(194, 148, tuple(groups), {"entry": (x, 66.0)})


@dataclass(frozen=True)
class MarkedScrew:
    """A screw with a line of paint across its head and onto the device: `turned`: the screw moved
    since, in degrees.
    """

    turned: float = 0.0


def marked_screw(of: MarkedScrew) -> Detail:
    """The head of the screw in its well, from the front."""
    x, y = 97.0, 58.0
    face = Box(42, 6, 110, 104, "zline", LINE, "zw2")
    angle = radians(of.turned - 35)
    dx, dy = cos(angle), sin(angle)
    home_x, home_y = cos(radians(-35)), sin(radians(-35))
    slot = radians(of.turned + 60)
    head: Drawables = (
        Disc(x, y, 33, "zline", HAIR, "zw3"),
        body(arc_points(x, y, 26, 26, 0, 360), "zz2"),
        Stroke(
            (
                (x - 17 * cos(slot), y - 17 * sin(slot)),
                (x + 17 * cos(slot), y + 17 * sin(slot)),
            ),
            "zhole",
            LINE,
        ),
    )
    paint = (
        Strands(
            ((x + 4 * dx, y + 4 * dy), (x + 25 * dx, y + 25 * dy)),
            _PAINT,
            more=(((x + 33 * home_x, y + 33 * home_y), (x + 50 * home_x, y + 50 * home_y)),),
        ),
    )
    groups: list[Group] = [
        group("device", (face,), title="The end of the device"),
        group("screw", head, title="Head of the screw"),
        group("mark", paint, title="Line of paint"),
    ]
    if of.turned:
        groups.append(group("wrong", (ring(x + 29 * home_x, y + 29 * home_y, 14),)))
    return Detail(194, 118, tuple(groups), {"mark": (x + 30 * home_x, y + 30 * home_y)})


def tightening(job: Completed, device: str) -> Made | str:
    """Set, tighten, pull, mark."""
    figures = terminal_figures(job, device)
    if isinstance(figures, str):
        return figures
    setting = figures.torque.words
    shown = setting if setting[0].isdigit() else "?"
    return sheet_of(
        f"Tighten, pull, mark: {device}",
        "Six pictures. Right: the conductor bent into its place first, the torque driver set to"
        " what the maker of the device states and held square in a bit of the screw's own kind; a"
        " firm pull, and nothing moves; then a line of paint across screw and device; whether"
        " screws are gone over again, the maker says. Wrong: the driver leans, so it clicks without"
        " pressing; the conductor comes out; the line is broken, so the screw has turned since."
        f" {device}: {setting}.",
        [
            Panel(
                driver_on_screw(DriverOnScrew(shown)),
                True,
                f"{device}, {setting}",
                "Isolated, locked off, proved dead; later checks too. The conductor is bent to its"
                " place. Calibrated driver, a bit that fits, square; until it clicks, once.",
            ),
            Panel(
                driver_on_screw(DriverOnScrew(shown, 17.0)),
                False,
                "leaning",
                "The bit climbs out and spoils the screw; the click means nothing.",
            ),
            Panel(
                pulled_conductor(PulledConductor(figures.colour, False)),
                True,
                "pull",
                "By hand, firmly, along the conductor: nothing moves. No figure: common practice.",
            ),
            Panel(
                pulled_conductor(PulledConductor(figures.colour, True)),
                False,
                "it moves",
                "Take it out, look why, make it again.",
            ),
            Panel(
                marked_screw(MarkedScrew()),
                True,
                "mark",
                "Last of all: a line across screw and device. Screws gone over again later: as the"
                " maker says.",
            ),
            Panel(
                marked_screw(MarkedScrew(40.0)),
                False,
                "broken line",
                "The screw has turned since. Find out why.",
            ),
        ],
        (figures.torque,),
    )
