"""Drawing, pictures for the hands: the tool that presses a ferrule, and how far it presses."""

from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import HALF, SHEET_WIDTH, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.strokes import (
    Scale,
    arc_points,
    body,
    broad_arrow,
    call,
    conductor,
    lines,
    ring,
    strands_across,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, Box, Disc, Group, Point
from firstway.frozen import dataclass
from firstway.tables.reading import Row, table

_DIES = ("6", "10", "16")  # mm²; sizes of the table, marked on the dies of this tool
_AT = (56.0, 100.0, 148.0)
_HALF = (11.0, 13.0, 15.5)
_LINE, _PIVOT = 84.0, (206.0, 84.0)


def crimping_tool(sizes: tuple[str, ...]) -> Detail:
    """A tool of nobody's make, closed: jaws with a die for each of three sizes, marked above it,
    and a ferrule of the first size in its die, seen along the conductor.
    """
    x, y = _PIVOT

    def mirrored(points: list[Point]) -> list[Point]:
        return [(a, 2 * y - b) for a, b in points]

    jaw = [
        (30.0, y),
        (30.0, y - 26),
        (40.0, y - 34),
        (176.0, y - 34),
        (x + 14, y - 12),
        (x + 14, y),
    ]
    handle = [(x - 8, y - 10), (x + 8, y - 22), (330.0, y - 58), (384.0, y - 58)]
    handle += [(390.0, y - 51), (384.0, y - 44), (334.0, y - 44), (x + 14, y + 6)]
    sleeve = [(290.0, y - 46.5), (330.0, y - 60), (386.0, y - 60), (394.0, y - 51)]
    sleeve += [(386.0, y - 42), (334.0, y - 42), (297.0, y - 29)]
    toothed = [(262.0, y - 25), (276.0, y - 29)]
    toothed += [(284.0 + 4 * (n % 2), y - 22 + 5.5 * n) for n in range(9)]
    toothed += [(276.0, y + 29), (262.0, y + 25), (268.0, y)]
    dies = tuple(
        body([(at - h, y), (at - h * 0.6, y - h), (at + h * 0.6, y - h), (at + h, y),
              (at + h * 0.6, y + h), (at - h * 0.6, y + h)], "paper")
        for at, h in zip(_AT, _HALF)
    )  # fmt: skip
    first = arc_points(_AT[0], y, 9.5, 9.5, 0, 360)
    plates = tuple(Box(at - 13, 24, 26, 18, "zline", HAIR, "paper") for at in _AT)
    ticks = lines([((at, 42), (at, 49)) for at in _AT], HAIR, "ink")
    marks = tuple(each for at, size in zip(_AT, sizes) for each in words(at, 37.5, size, "middle"))
    groups: list[Group] = [
        group("ratchet", (body(toothed, "zz3", HAIR),), title="Ratchet"),
        group(
            "handles",
            (body(handle, "zz2"), body(mirrored(handle), "zz2")),
            (body(sleeve, "zk2"), body(mirrored(sleeve), "zk2")),
            title="Handles",
        ),
        group(
            "jaws",
            (body(jaw, "zz1"), body(mirrored(jaw), "zz1")),
            dies,
            (Disc(x, y, 9, "zline", HAIR, "zz3"),),
            title="Jaws with a die for each size",
        ),
        group(
            "ferrule",
            (body(first, "zz2", HAIR),),
            strands_across(Scale(_AT[0], y, 1.0), 0.0, 0.0, 15.0),
            title="Ferrule with its strands, seen along the conductor",
        ),
        group("marks", plates, marks, (ticks,)),
        group(
            "force",
            (broad_arrow((372, 4), (372, 20), 6), broad_arrow((372, 164), (372, 148), 6)),
        ),
        group(
            "names",
            words(170, 37.5, "mm², marked"),
            call(6, 146, f"die of its size|ferrule of {sizes[0]} mm² in it", (_AT[0], y + 6)),
            call(206, 160, "ratchet: opens|only after a full press", (272, y + 20)),
        ),
    ]
    return Detail(SHEET_WIDTH, 182, tuple(groups), {"die": (_AT[0], y), "other-die": (_AT[1], y)})


@dataclass(frozen=True)
class PressedBarrel:
    """A ferrule from aside: `pressed` is the share of its barrel that the tool has pressed."""

    pressed: float


def pressed_barrel(of: PressedBarrel) -> Detail:
    """The ferrule with its conductor from the left; a pressed barrel is flat and ribbed."""
    y, neck, end, round_, flat = 36.0, 78.0, 166.0, 17.0, 12.5
    pressed = neck + 8 + (end - neck - 8) * of.pressed
    outline = [(neck, -round_), (neck + 8, -flat), (pressed, -flat)]
    if of.pressed < 1:
        outline += [(pressed + 6, -round_), (end, -round_)]
    barrel = [(a, y + b) for a, b in outline] + [(a, y - b) for a, b in reversed(outline)]
    ribs = [((at, y - flat), (at, y + flat)) for at in range(int(neck) + 10, int(pressed), 6)]
    collar = [(neck - 34, y - 24), (neck - 10, y - 24), (neck, y - round_)]
    collar += [(a, 2 * y - b) for a, b in reversed(collar)]
    groups: list[Group] = [
        group("conductor", (conductor(((0.0, y), (neck - 20, y)), 36, "brown"),)),
        group("barrel", (body(barrel, "zz1"), lines(ribs, FINE)), title="Barrel"),
        group("collar", (body(collar, "yellow", HAIR),), title="Collar"),
    ]
    points = {"pressed-to": (pressed, y), "barrel-from": (neck, y), "barrel-to": (end, y)}
    if of.pressed < 1:
        points["wrong"] = ((pressed + end) / 2 + 4, y)
        groups.append(group("wrong", (ring(*points["wrong"], 24),)))
    return Detail(HALF, 74, tuple(groups), points)


def crimp_tool() -> Made:
    """The tool with its dies, the barrel pressed along all of its length, and in one place."""
    rows: list[Row] = [row for row in table("ferrule").rows if row.text("csa_mm2") in _DIES]
    shown = [of_row(row, "csa_mm2", "{}", "size marked on a die, mm²") for row in rows]
    return sheet_of(
        "The crimping tool, and how far it presses",
        "A crimping tool of no maker with dies for three sizes, each marked with its own, and a"
        " ferrule in the die of its size; a ratchet lets the handles open only after a full press."
        " Below it a ferrule from aside, twice. Right: pressed along the whole barrel. Wrong:"
        " pressed in one place, the rest of the barrel round and its strands loose.",
        [
            Panel(
                crimping_tool(tuple(each.words for each in shown)),
                None,
                "",
                "Common practice: other tools take several sizes in one die. What the tool's maker"
                " says of ferrule and die goes before this drawing.",
                True,
            ),
            Panel(
                pressed_barrel(PressedBarrel(1.0)),
                True,
                "all of the barrel",
                "One press as wide as the barrel, or several side by side: the tool's maker says"
                " how many. Then pull by hand.",
            ),
            Panel(
                pressed_barrel(PressedBarrel(0.3)),
                False,
                "in one place",
                "In the rest the strands stay loose. The clamp flattens it, the joint eases.",
            ),
        ],
        shown,
    )
