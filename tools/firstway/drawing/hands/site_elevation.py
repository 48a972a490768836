"""Drawing, pictures for the hands: the site seen from the side, from the meter to the vehicle:
what lies in the ground, how deep, how high and how far apart.

To one scale in metres, so that a figure and what is drawn for it are one. What is wrong is the
same site or trench with one value replaced.
"""

from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_parts import padlock
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    body,
    call,
    conductor,
    lines,
    measure,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point, Strands, Stroke
from firstway.frozen import dataclass
from firstway.tables.reading import Gap, Read, rule_limit

_PER_M = 44.0
_GROUND = 178.0
_RISER = 91.0
_PIPE_X = 122.0
_GAS, _TELECOMS = (105.0, 236.0), (103.0, 215.0)
"""In front of the house, and no nearer to the rod than the water pipe."""


@dataclass(frozen=True)
class SiteFigures:
    """Heights, depths and distances in m, each with the row it comes from."""

    lowest: Read
    highest: Read
    deep: Read
    tape: Read
    sand: Read
    rod: Read
    apart: Read


def site_figures() -> SiteFigures | str:
    """The figures of rule set bs7671; in words, which is not held."""
    names = {
        "lowest": "reach-lowest-m",
        "highest": "reach-highest-m",
        "deep": "buried-depth-usual-m",
        "tape": "tape-above-cable-m",
        "sand": "sand-round-cable-m",
        "rod": "rod-depth-least-m",
        "apart": "buried-separation-m",
    }
    found: dict[str, Read] = {}
    for field, quantity in names.items():
        read = rule_limit("bs7671", quantity)
        if isinstance(read, Gap):
            return f"no figure is held for {quantity}"
        found[field] = read
    return SiteFigures(**found)


def shown_metres(read: Read, says: str) -> ShownFigure:
    """A length of these as a picture prints it."""
    return of_row(read.row, "value", "{} m", says)


# ---- the elevation


def site_scene(of: SiteFigures) -> Detail:
    """House, trench, point, rod and vehicle, as wide as a sheet; 44 units to a metre."""
    deep = _GROUND + of.deep.value * _PER_M
    rod_x = _PIPE_X + of.apart.value * _PER_M
    rod_end = _GROUND + of.rod.value * _PER_M
    low, high = (_GROUND - each.value * _PER_M for each in (of.lowest, of.highest))
    tape = deep - of.tape.value * _PER_M
    groups = (
        group("soil", _soil(), title="Ground"),
        group("services", _services(), title="Gas, water and telecoms in the ground"),
        group("service-cable", _service_cable(), title="Service cable of the network"),
        group("house", _house(), title="House"),
        group("meter", _meter(), title="Cut-out and meter, closed and sealed"),
        group("board", _board(), title="Board"),
        group("route", _route(deep), title="Cable of the point, in a duct where it rises"),
        group(
            "tape",
            (Box(_RISER + 6, tape - 1.5, 211 - _RISER, 3, "zline", FINE, "yellow"),),
            title="Tape",
        ),
        group("rod", _rod(rod_x, rod_end), title="Earth rod"),
        group("vehicle", _vehicle(), title="Vehicle"),
        group("guard", _bollard(298.0), title="Bollard"),
        group("post", _post(low, high), title="Charging point"),
        group("lead", _lead(high), title="Lead"),
        group("measures", _measures(low, high, rod_x, rod_end)),
        group("names", _names(of, low, high, rod_x, rod_end, tape)),
    )
    points = {
        "ground": (190.0, _GROUND),
        "lowest": (180.0, low),
        "highest": (195.0, high),
        "cable": (180.0, deep),
        "tape": (180.0, tape),
        "rod-end": (rod_x, rod_end),
        "rod": (rod_x, _GROUND),
        "pipe": (_PIPE_X, _GROUND),
        "meter": (33.0, 126.0),
    }
    return Detail(400, 306, groups, points)


def _soil() -> Drawables:
    edge = [(0.0, _GROUND), (400.0, _GROUND), (400.0, 252.0), (0.0, 252.0)]
    return (
        Stroke(tuple(edge), "", 0, fill="panel", closed=True),
        lines([((0.0, _GROUND), (400.0, _GROUND))], LINE, "ink"),
    )


def _services() -> Drawables:
    return (
        Disc(*_GAS, 5, "zline", HAIR, "yellow"),
        Disc(_PIPE_X, 232, 5, "zline", HAIR, "zz2"),
        Disc(*_TELECOMS, 4, "zline", HAIR, "zk1"),
        Disc(*_TELECOMS, 1.6, "", 0, "zhi"),
    )


def _service_cable() -> Drawables:
    way = ((0.0, 208.0), (22.0, 208.0), (22.0, 146.0))
    return (Strands(way, (("zline", 6.0, ""), ("zk2", 4.0, "")), 6.0),)


def _house() -> Drawables:
    return (
        Box(4, 76, 80, _GROUND - 76, "ink", LINE, "plate"),
        Stroke(((0.0, 76.0), (44.0, 44.0), (90.0, 76.0)), "ink", LINE, fill="plate", closed=True),
    )


def _meter() -> Drawables:
    return (
        Box(9, 106, 30, 42, "ink", LINE, "panel", 2),
        conductor(((39.0, 124.0), (52.0, 124.0)), 2.4, "brown"),
        conductor(((39.0, 131.0), (52.0, 131.0)), 2.4, "blue"),
        *padlock(16, 126),
    )


def _board() -> Drawables:
    return (Box(50, 108, 30, 38, "ink", LINE, "paper", 2),)


def _route(deep: float) -> Drawables:
    way: tuple[Point, ...] = (
        (66.0, 146.0),
        (66.0, 164.0),
        (_RISER, 164.0),
        (_RISER, deep),
        (224.0, deep),
    )
    way += ((224.0, 150.0),)
    duct = (((_RISER, 168.0), (_RISER, deep - 6)), ((224.0, _GROUND), (224.0, deep - 6)))
    return (
        Strands(duct[0], (("zline", 11.0, ""), ("zz2", 9.4, "")), more=duct[1:]),
        Strands(way, (("zline", 5.0, ""), ("zk1", 3.4, "")), 5.0),
    )


def _rod(x: float, end: float) -> Drawables:
    lead = ((226.0, 168.0), (232.0, _GROUND + 9), (x, _GROUND + 9))
    return (
        Box(x - 10, _GROUND, 20, 12, "zline", HAIR, "zk2", 1),
        body(
            [(x - 2.5, _GROUND + 4), (x + 2.5, _GROUND + 4), (x + 2.5, end - 6), (x, end)]
            + [(x - 2.5, end - 6)],
            "zc2",
            HAIR,
        ),
        conductor(lead, 2.0, "green-and-yellow"),
    )


def _vehicle() -> Drawables:
    shape: tuple[Point, ...] = (
        (314.0, 168.0),
        (314.0, 140.0),
        (336.0, 132.0),
        (352.0, 112.0),
        (404.0, 112.0),
        (404.0, 168.0),
    )
    return (
        Stroke(
            tuple((min(x, 398.0), y) for x, y in shape),
            "ink",
            LINE,
            fill="plate",
            closed=True,
            round=5,
        ),
        Disc(342, 165, 13, "zline", LINE, "zk2"),
        Disc(342, 165, 5, "zline", HAIR, "zz2"),
    )


def _bollard(x: float) -> Drawables:
    return (
        Box(x - 4, _GROUND, 8, 14, "zline", HAIR, "zz3"),
        Box(x - 3, 134, 6, _GROUND - 134, "zline", LINE, "yellow", 2),
        Box(x - 3, 142, 6, 6, "zline", HAIR, "zk2"),
    )


def _post(low: float, high: float) -> Drawables:
    return (
        Box(219, low - 2, 10, _GROUND - low + 2, "zline", HAIR, "zz2"),
        Box(212, high - 10, 24, low - high + 14, "ink", LINE, "zw2", 4),
        Box(217, high, 14, 6, "zline", HAIR, "zglass", 1),
        Disc(224, (low + high) / 2 + 3, 4, "zline", HAIR, "zk1"),
    )


def _lead(high: float) -> Drawables:
    way = ((226.0, high + 13), (246.0, 164.0), (284.0, 164.0), (314.0, 150.0))
    return (Strands(way, (("zline", 5.0, ""), ("zk1", 3.4, "")), 12.0),)


def _measures(low: float, high: float, rod_x: float, rod_end: float) -> Drawables:
    across = 262.0
    return (
        *measure((180.0, _GROUND), (180.0, low)),
        *measure((195.0, _GROUND), (195.0, high)),
        lines([((180.0, low), (219.0, low)), ((195.0, high), (217.0, high))], FINE, "ink"),
        *measure((rod_x + 30, _GROUND), (rod_x + 30, rod_end)),
        *measure((_PIPE_X, across), (rod_x, across)),
        Stroke(((_PIPE_X, 240.0), (_PIPE_X, across)), "ink", FINE),
        Stroke(((rod_x, rod_end), (rod_x, across)), "ink", FINE),
    )


def _names(
    of: SiteFigures, low: float, high: float, rod_x: float, rod_end: float, tape: float
) -> Drawables:
    def middle(x: float, y: float, text: str, bold: bool = False) -> Lettering:
        return Lettering(x, y, text, TEXT_SIZE, "middle", bold)

    return (
        *call(4, 18, "meter, closed: authorised person only", (22, 112)),
        *call(96, 100, "board", (75, 116)),
        *call(206, 84, "point", (224, high - 6)),
        *call(236, 104, "bollard", (298, 136)),
        Lettering(398, 106, "vehicle", TEXT_SIZE, "end", True),
        Lettering(190, high - 5, "reach", TEXT_SIZE, "end", True),
        Lettering(190, high + 10, _metres(of.highest), TEXT_SIZE, "end"),
        Lettering(175, low + 20, _metres(of.lowest), TEXT_SIZE, "end"),
        Lettering(rod_x + 38, (rod_end + _GROUND) / 2 + 5, _metres(of.rod), TEXT_SIZE),
        *call(346, 244, "rod", (rod_x, rod_end - 8)),
        middle(205, 278, f"at least {_metres(of.apart)}", True),
        middle(205, 294, "rod to metal on the network's earth"),
        *call(56, 246, "gas", _GAS, bold=False),
        *call(20, 228, "telecoms", _TELECOMS, bold=False),
        *call(133, 248, "water", (_PIPE_X, 232), bold=False),
        *call(176, 234, "tape", (186, tape), bold=False),
    )


def _metres(read: Read) -> str:
    return f"{read.row.text('value')} m"


def site_elevation() -> Made | str:
    """The whole site, to one scale."""
    of = site_figures()
    if isinstance(of, str):
        return of
    figures = (
        shown_metres(of.lowest, "lowest part to be reached, above the ground"),
        shown_metres(of.highest, "highest part to be reached"),
        shown_metres(of.deep, "cable under the ground, usual"),
        shown_metres(of.tape, "tape above the cable"),
        shown_metres(of.rod, "least depth of a rod"),
        shown_metres(of.apart, "a rod from metal on the network's earth"),
    )
    low, high, deep, tape, rod, apart = (each.words for each in figures)
    return sheet_of(
        "The site from the side",
        "From the house to the vehicle, to one scale. The meter is closed: authorised persons only."
        f" From the board the cable runs {deep} deep under a warning tape, in a duct where it"
        " rises,"
        f" and enters the point from below. What is touched stands {low} to {high} above the"
        " ground. A"
        f" bollard stands where vehicles turn. The rod goes {rod} deep and stays {apart} from metal"
        " joined to the house; gas, water and telecoms may lie anywhere.",
        [
            Panel(
                site_scene(of),
                None,
                "From the meter to the vehicle, to one scale",
                f"Cable usually {deep} deep, tape {tape} above it; under wheels or a dug bed,"
                " deeper. No depth of another's pipe is known before a hole is dug by hand. A rod"
                " only where the design asks for one; armour on the network's earth then ends"
                " insulated at the point, and the rod keeps clear of it too. Common practice:"
                " network, ground and country may ask for more.",
                whole=True,
            )
        ],
        figures,
    )
