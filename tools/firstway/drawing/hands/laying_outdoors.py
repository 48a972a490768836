"""Drawing, pictures for the hands: what is done outdoors, right beside wrong: a trench, a rod, the
entry of a cable, what guards a point.

The trench is drawn to one scale in metres. What is wrong is the same thing with one value replaced.
"""

from dataclasses import replace

from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, group, sheet_of
from firstway.drawing.hands.site_elevation import shown_metres, site_figures
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    body,
    broad_arrow,
    call,
    lines,
    measure,
    ring,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point, Strands, Stroke
from firstway.frozen import dataclass

# ---- the trench

_PER_M = 190.0
_TURF = 24.0
_FLOOR = 150.0
_RADIUS = 7.0
_MIDDLE = 98.0


@dataclass(frozen=True)
class Trench:
    """A trench in section, in m: depth to the top of the cable, tape above it (0: none), sand round
    it (0: soil as dug, with its stones). `deep`, `tape`: the same in words, where they are shown.
    """

    deep_m: float
    tape_m: float
    sand_m: float
    deep: str = ""
    tape: str = ""
    spade: bool = False


def trench_section(of: Trench) -> Detail:
    """Half as wide as a sheet; 190 units to a metre."""
    x, cable = _MIDDLE, _TURF + of.deep_m * _PER_M
    tape, sand = cable - of.tape_m * _PER_M, cable - of.sand_m * _PER_M
    floor = cable + 2 * _RADIUS + (of.sand_m * _PER_M or 3)
    parts = [
        group("ground", _ground(_TURF, _FLOOR), title="Ground that was never dug"),
        group("fill", _filled(_TURF, floor, "plate"), title="Trench, filled"),
    ]
    if of.sand_m:
        parts.append(group("sand", _filled(sand, floor, "zm1"), title="Sand"))
    else:
        parts.append(group("stones", _stones(x, cable + _RADIUS), title="Stones on the sheath"))
    parts.append(group("cable", _section(x, cable + _RADIUS), title="Armoured cable"))
    if of.tape_m:
        strip = (Box(x - 18, tape - 2, 36, 4, "zline", HAIR, "yellow"),)
        parts.append(group("tape", strip, title="Warning tape"))
    parts.append(group("turf", _turf(_TURF), title="Ground"))
    if of.spade:
        parts.append(group("spade", _spade(x, cable + 4), title="Spade"))
    if of.deep:
        parts.append(group("figures", _trench_figures(of, cable, tape, sand)))
    return Detail(
        HALF,
        max(_FLOOR, floor) + 2,
        tuple(parts),
        {"top": (x, _TURF), "cable": (x, cable), "tape": (x, tape), "sand": (x, sand)},
    )


def _ground(top: float, low: float) -> Drawables:
    edge = ((0.0, top), (HALF, top), (HALF, low), (0.0, low))
    return (Stroke(edge, "", 0, fill="panel", closed=True),)


def _turf(top: float) -> Drawables:
    return (lines([((0.0, top), (HALF, top))], LINE, "ink"),)


def _filled(top: float, low: float, tone: str) -> Drawables:
    return (body([(64.0, top), (132.0, top), (132.0, low), (64.0, low)], tone, HAIR),)


def _section(x: float, y: float) -> Drawables:
    return (
        Disc(x, y, _RADIUS, "zline", HAIR, "zk2"),
        Disc(x, y, _RADIUS - 2.2, "zline", FINE, "zz1"),
        Disc(x - 1.6, y, 1.5, "", 0, "brown"),
        Disc(x + 1.6, y, 1.5, "", 0, "blue"),
    )


def _spade(x: float, tip: float) -> Drawables:
    blade = [(x - 13, tip - 34), (x + 13, tip - 34), (x + 13, tip - 8), (x, tip), (x - 13, tip - 8)]
    return (Box(x - 2.5, 0, 5, tip - 32, "zline", HAIR, "zm3"), body(blade, "zz2"))


def _stones(x: float, y: float) -> Drawables:
    places = ((-12.0, 5.0, 6.0), (12.0, -5.0, 6.5), (7.0, 10.0, 4.0), (-22.0, -14.0, 5.0))
    return tuple(Disc(x + dx, y + dy, size, "zline", HAIR, "zz2") for dx, dy, size in places)


def _trench_figures(of: Trench, cable: float, tape: float, sand: float) -> Drawables:
    return (
        *measure((58.0, _TURF), (58.0, cable)),
        *measure((142.0, tape), (142.0, cable)),
        Stroke(((58.0, cable), (_MIDDLE - _RADIUS, cable)), "ink", FINE),
        Stroke(((_MIDDLE + _RADIUS, cable), (142.0, cable)), "ink", FINE),
        Lettering(52, (_TURF + cable) / 2 + 4, of.deep, TEXT_SIZE, "end", True),
        Lettering(149, (tape + cable) / 2 + 4, of.tape, TEXT_SIZE, bold=True),
        *call(149, 16, "tape", (112, tape), bold=False),
        *call(149, cable + 30, "sand", (124, cable + 4), bold=False),
    )


def trench() -> Made | str:
    """Depth, sand and tape, and each of them missing."""
    of = site_figures()
    if isinstance(of, str):
        return of
    deep = shown_metres(of.deep, "top of the cable under the ground, usual")
    tape = shown_metres(of.tape, "tape above the cable")
    sand = shown_metres(of.sand, "sand round the cable")
    right = Trench(of.deep.value, of.tape.value, of.sand.value, deep.words, tape.words)
    bare = replace(right, deep="", tape="")
    return sheet_of(
        "A cable in its trench",
        f"Right: {deep.words} deep, {sand.words} of sand round the cable, warning tape"
        f" {tape.words} above it. Wrong: less than a spade deep; wrong: no tape, so that the next"
        " spade has no warning; wrong: filled with stones that press through the sheath.",
        [
            Panel(
                trench_section(right),
                True,
                "deep, in sand, taped",
                f"Sand {sand.words} round it. Common practice; under wheels or a dug bed, deeper.",
            ),
            Panel(
                trench_section(
                    replace(bare, deep_m=bare.deep_m / 3, tape_m=bare.tape_m / 3, spade=True)
                ),
                False,
                "a spade reaches it",
                "Less deep than a spade goes: tape and cable meet it together.",
            ),
            Panel(
                trench_section(replace(bare, tape_m=0.0)),
                False,
                "no tape",
                "Nothing warns whoever digs before the cable is struck.",
            ),
            Panel(
                trench_section(replace(bare, sand_m=0.0)),
                False,
                "stones on the sheath",
                "Filled as dug: they press through, and water finds the armour.",
            ),
        ],
        (deep, tape, sand),
    )


# ---- the rod


@dataclass(frozen=True)
class DrivenRod:
    """A rod: `hole`: into a hole dug by hand first; `in_trench`: into the trench of a pipe; `near`:
    too close to that pipe, as its words say.
    """

    hole: bool = True
    in_trench: bool = False
    near: str = ""
    apart: str = ""
    deep: str = ""


def driven_rod(of: DrivenRod) -> Detail:
    """Half as wide as a sheet; not to scale."""
    x = 42.0 if of.in_trench else 84.0 if of.near else 124.0
    top, low = 40.0, 166.0
    parts = [
        group("ground", _ground(top, low), title="Ground"),
        group("pipe-trench", _pipe_trench(top), title="Trench of a pipe"),
        group("pipe", _pipe(), title="Metal water or gas pipe"),
        group("turf", _turf(top)),
    ]
    if of.hole:
        hole = [(x - 15, top), (x + 15, top), (x + 10, top + 84), (x - 10, top + 84)]
        parts.append(group("hole", (body(hole, "plate", HAIR),), title="Hole dug by hand"))
        pit = (Box(x - 12, top, 24, 14, "zline", HAIR, "zk2", 1),)
        parts.append(group("pit", pit, title="Pit over the top of the rod"))
    if not of.hole and not of.in_trench:
        parts.append(group("struck", _section(x, 112), title="Cable struck"))
    parts.append(group("rod", _rod(x, top + 6, 150.0), title="Earth rod"))
    names: list[Drawables] = []
    if of.apart:
        names += [
            measure((42.0, 114.0), (x, 114.0)),
            measure((146.0, top), (146.0, 150.0)),
            (Lettering(83, 110, of.apart, TEXT_SIZE, "middle", True),),
            (Lettering(153, 100, of.deep, TEXT_SIZE, bold=True),),
            call(6, 160, "pipe", (42, 90), bold=False),
            call(158, 24, "pit", (133, 45), bold=False),
            call(30, 16, "dug by hand", (114, 74), bold=False),
        ]
    if of.in_trench:
        parts.append(group("fault", (ring(x, 84, 17),), title="Through the pipe"))
        names.append(call(92, 120, "through|the pipe", (48, 89)))
    elif not of.hole:
        parts.append(group("fault", (ring(x, 112, 17),), title="Through a cable"))
        names.append(call(4, 152, "a live cable", (118, 115)))
    elif of.near:
        parts.append(group("fault", (ring(63, 114, 17),), title="Too near the pipe"))
        names += [measure((42.0, 114.0), (x, 114.0)), words(x + 16, 118, of.near)]
    parts.append(group("names", *names))
    return Detail(HALF, low + 2, tuple(parts), {"rod": (x, top), "pipe": (42.0, 84.0)})


def _pipe_trench(top: float) -> Drawables:
    return (body([(22.0, top), (62.0, top), (62.0, 98.0), (22.0, 98.0)], "plate", FINE),)


def _pipe() -> Drawables:
    return (Disc(42, 84, 9, "zline", LINE, "zz2"), Disc(42, 84, 5.5, "zline", HAIR, "zhole"))


def _rod(x: float, top: float, end: float) -> Drawables:
    shape = [(x - 3, top), (x + 3, top), (x + 3, end - 8), (x, end), (x - 3, end - 8)]
    return (body(shape, "zc2", HAIR),)


def rod_place() -> Made | str:
    """A rod clear of what lies in the ground, in the trench of a pipe, driven unseen, and too near
    the pipe.
    """
    of = site_figures()
    if isinstance(of, str):
        return of
    apart = shown_metres(of.apart, "a rod from metal on the network's earth")
    deep = shown_metres(of.rod, "least depth of a rod")
    right = DrivenRod(apart=apart.words, deep=deep.words)
    return sheet_of(
        "Where a rod may go",
        f"Right: after plans and a detector a hole is dug by hand, the rod stands at"
        f" least {apart.words} from metal that"
        f" is joined to the network's earth, and goes at least {deep.words} deep. Wrong: driven in"
        " the soft fill over a pipe, through it. Wrong: driven where nobody has looked. Wrong: near"
        " that metal, whose voltage reaches it through the soil.",
        [
            Panel(
                driven_rod(right),
                True,
                "clear of all",
                "Plans, a detector, then dug by hand below all that may lie there."
                f" {apart.words} at least from metal on the network's earth,"
                f" {deep.words} deep. Not to scale.",
            ),
            Panel(
                driven_rod(DrivenRod(hole=False, in_trench=True)),
                False,
                "in a pipe's trench",
                "Soft ground is ground that was dug: something lies there.",
            ),
            Panel(
                driven_rod(DrivenRod(hole=False)),
                False,
                "driven unseen",
                "No plans, no detector, no hole by hand: it finds what nobody looked for.",
            ),
            Panel(
                driven_rod(DrivenRod(near=f"less|than {apart.words}")),
                False,
                "beside the house's pipe",
                "A pipe on the network's earth lifts the soil round it, and the rod with it.",
            ),
        ],
        (apart, deep),
    )


# ---- the cable's entry


@dataclass(frozen=True)
class OutdoorEntry:
    """A cable at a point outdoors. `side`: below or above; `looped`: it hangs lower than its entry
    before it rises; `from_top`: it comes down the wall; `gland`: one holds and seals it.
    """

    side: str
    looped: bool = False
    from_top: bool = True
    gland: bool = True


def outdoor_entry(of: OutdoorEntry) -> Detail:
    """Half as wide as a sheet."""
    left, right, top, low = 74.0, 140.0, 46.0, 118.0
    below = of.side == "below"
    case = (
        Box(left, top, right - left, low - top, "ink", LINE, "plate", 6),
        Box(left + 14, top + 12, 38, 14, "zline", HAIR, "zglass", 2),
        Disc(107, 92, 8, "zline", HAIR, "zk1"),
    )
    way, drops = _way(of)
    gland_y = low if below else top - 8
    parts = [
        group("wall", (lines([((2.0, 178.0), (190.0, 178.0))], LINE, "ink"),), title="Ground"),
        group("point", case, title="Point"),
        group(
            "cable", (Strands(way, (("zline", 9.0, ""), ("zk1", 7.0, "")), 12.0),), title="Cable"
        ),
        group("water", tuple(_drop(*each) for each in drops), title="Water on the cable"),
    ]
    if not of.from_top:
        duct = (
            Strands(((124.0, 196.0), (124.0, 168.0)), (("zline", 15.0, ""), ("zz2", 13.4, ""))),
        )
        parts.insert(2, group("duct", duct, title="Duct out of the ground"))
    if of.gland:
        gland = (Box(116, gland_y, 16, 8, "zline", HAIR, "zk2", 1),)
        parts.insert(-1, group("gland", gland, title="Gland"))
    else:
        hole = (Box(114, low - 3, 20, 6, "", 0, "zhole"),)
        parts.insert(2, group("hole", hole, title="Hole"))
        parts.append(group("fault", (ring(124, low, 17),), title="Nothing holds or seals it"))
    if not below:
        parts.append(group("fault", (ring(124, top, 15),), title="Water runs into the box"))
    elif of.looped and of.from_top:
        parts.append(group("names", call(4, 170, "drip loop", (60, 146))))
    return Detail(HALF, 198, tuple(parts), {"entry": (124.0, low if below else top)})


def _way(of: OutdoorEntry) -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Where the cable runs, and where drops stand on it."""
    if not of.from_top:
        end = 122.0 if of.gland else 100.0
        return ((124.0, 196.0), (124.0, end)), ((133.0, 152.0), (133.0, 138.0))
    if of.side == "above":
        return ((124.0, 2.0), (124.0, 42.0)), ((114.0, 10.0), (114.0, 26.0), (132.0, 68.0))
    loop = ((42.0, 2.0), (42.0, 142.0), (124.0, 142.0), (124.0, 122.0))
    return loop, ((32.0, 40.0), (32.0, 90.0), (98.0, 160.0))


def _drop(x: float, y: float) -> Stroke:
    shape = ((x, y - 5), (x + 3, y + 1), (x, y + 4), (x - 3, y + 1))
    return Stroke(shape, "zline", HAIR, fill="blue", closed=True)


def entry_outdoors() -> Made:
    """From below, with a drip loop where the cable comes down, straight in from above, and through
    a bare hole.
    """
    return sheet_of(
        "How a cable enters a point outdoors",
        "Right: out of its duct in the ground straight up through a gland in the underside."
        " Right: from above the"
        " cable first hangs lower than its entry, in a drip loop, so that water leaves it at the"
        " lowest place. Wrong: straight in from above, and water runs along the sheath into the"
        " box. Wrong: through a bare hole without a gland.",
        [
            Panel(
                outdoor_entry(OutdoorEntry("below", from_top=False)),
                True,
                "up from the ground",
                "A gland of the cable's size, its seal whole; water runs away.",
            ),
            Panel(
                outdoor_entry(OutdoorEntry("below", looped=True)),
                True,
                "down, then up again",
                "Water leaves at the lowest place, before the entry.",
            ),
            Panel(
                outdoor_entry(OutdoorEntry("above")),
                False,
                "in from above",
                "Water runs down the sheath to the gland and waits there; one day it is inside.",
            ),
            Panel(
                outdoor_entry(OutdoorEntry("below", from_top=False, gland=False)),
                False,
                "a bare hole",
                "Damp and insects come in, and a pull reaches the terminals.",
            ),
        ],
    )


# ---- the guard


@dataclass(frozen=True)
class GuardedPoint:
    """A point where vehicles turn, with a bollard before it or none; heights in words."""

    bollard: bool
    lowest: str = ""
    highest: str = ""


_HEIGHT_PER_M = 80.0
_STAND = 150.0


def guarded_point(of: GuardedPoint, lowest_m: float, highest_m: float) -> Detail:
    """Half as wide as a sheet; 80 units to a metre. The point's parts lie between both heights."""
    low, high = _STAND - lowest_m * _HEIGHT_PER_M, _STAND - highest_m * _HEIGHT_PER_M
    post = (
        Box(64, low, 10, _STAND - low, "zline", HAIR, "zz2"),
        Box(56, high - 8, 26, low - high + 16, "ink", LINE, "zw2", 4),
        Box(60, high, 18, 8, "zline", HAIR, "zglass", 1),
        Disc(69, low - 8, 6, "zline", HAIR, "zk1"),
    )
    tail = 130.0 if of.bollard else 84.0
    car = ((194.0, 138.0), (tail, 138.0), (tail, 104.0), (tail + 14, 96.0), (tail + 26, 62.0))
    parts = [
        group("ground", (lines([((0.0, _STAND), (HALF, _STAND))], LINE, "ink"),)),
        group("post", post, title="Point"),
        group(
            "vehicle",
            (
                Stroke((*car, (194.0, 62.0)), "ink", LINE, fill="plate", closed=True, round=5),
                Disc(tail + 34, 136, 14, "zline", LINE, "zk2"),
            ),
            title="Vehicle",
        ),
    ]
    if of.bollard:
        bollard = (
            Box(108, _STAND, 16, 16, "zline", HAIR, "zz3"),
            Box(112, 72, 8, _STAND - 72, "zline", LINE, "yellow", 2),
            Box(112, 84, 8, 8, "zline", HAIR, "zk2"),
        )
        parts.append(group("bollard", bollard, title="Bollard"))
    else:
        arrow = broad_arrow((150.0, 50.0), (96.0, 50.0), 5)
        parts.append(group("fault", (arrow,), (ring(84, 108, 13),), title="Driven into"))
    if of.highest:
        parts.append(
            group(
                "figures",
                measure((52.0, _STAND), (52.0, low)),
                measure((45.0, _STAND), (45.0, high)),
                (
                    Lettering(41, high + 16, of.highest, TEXT_SIZE, "end"),
                    Stroke(((45.0, high), (56.0, high)), "ink", FINE),
                    Stroke(((52.0, low), (56.0, low)), "ink", FINE),
                ),
                call(98, 20, "bollard", (116, 76)),
                call(52, 170, of.lowest, (52, 130), bold=False),
            )
        )
    return Detail(
        HALF,
        176,
        tuple(parts),
        {"ground": (45.0, _STAND), "low": (52.0, low), "high": (45.0, high)},
    )


def guard() -> Made | str:
    """A bollard where vehicles turn, and none; the heights a hand reaches."""
    of = site_figures()
    if isinstance(of, str):
        return of
    lowest = shown_metres(of.lowest, "lowest part to be reached, above the ground")
    highest = shown_metres(of.highest, "highest part to be reached")
    right = GuardedPoint(True, lowest.words, highest.words)
    heights = of.lowest.value, of.highest.value
    return sheet_of(
        "A point where vehicles turn",
        f"Right: what is touched stands between {lowest.words} and {highest.words} above the"
        " ground, and a bollard stops a vehicle before it reaches the point. Wrong: no bollard,"
        " and the"
        " vehicle is driven into the point.",
        [
            Panel(
                guarded_point(right, *heights),
                True,
                "stopped before it",
                f"Reach: {lowest.words} to {highest.words}. A chair still passes beside the"
                " bollard.",
            ),
            Panel(
                guarded_point(replace(right, bollard=False, lowest="", highest=""), *heights),
                False,
                "no bollard",
                "A bumper bends the post and tears cores; live parts may lie bare.",
            ),
        ],
        (lowest, highest),
    )
