"""Drawing, pictures for the hands: one rod of several tested by a clamp round its conductor, and
two places where the clamp tells nothing of the soil.

IEC 60364-6, annex B, knows the method (from memory); what is said of it is common practice.
"""

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.dead_scene import DEAD_SIGN
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    arc_points,
    body,
    broad_arrow,
    conductor,
    lines,
    ring,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Lettering, Point, Strands
from firstway.frozen import dataclass
from firstway.model.values import is_known
from firstway.rendering.figures import number_text, with_unit
from firstway.wiring.readings import OVER_RANGE

_GROUND, _JOINED, _JAWS = 196.0, 84.0, 142.0
_RODS = (56.0, 234.0, 330.0)
_MOST = len(_RODS)
NEAR_NOTHING = "near 0 Ω"
_NOT_FORETOLD = "… Ω"


@dataclass(frozen=True)
class ClampedRod:
    """So many rods, a clamp round the conductor of the first; `ring_of_copper`: a second conductor
    joins the same two places, so that the clamp is round a closed ring of copper.
    """

    name: str
    rods: int
    shows: str
    ring_of_copper: bool = False


def clamped_scene(of: ClampedRod) -> Detail:
    """Rods in the ground, what joins them, and the clamp, as wide as a sheet."""
    at = _RODS[: min(of.rods, _MOST)]
    soil = [(0.0, _GROUND), (400.0, _GROUND), (400.0, _GROUND + 92), (0.0, _GROUND + 92)]
    ways = [((x, _GROUND + 12), (x, _JOINED)) for x in at]
    to_terminal: tuple[Point, ...] = ((at[0], _JOINED), (400.0, _JOINED))
    if of.rods == 1:  # it is parted from everything else
        to_terminal = ()
    groups = [
        group("sign", parts.padlock(8, 16), title="Locked off"),
        group("soil", (body(soil, "panel", FINE),), title="Soil"),
        group("pits", tuple(Box(x - 15, _GROUND, 30, 26, "zline", HAIR, "paper") for x in at)),
        group("rods", *(_rod(x) for x in at), title="Rods"),
        group("behind", (_jaw(180, 360),)),
        group(
            "conductors",
            tuple(_earthing(way) for way in (*ways, to_terminal) if way),
            title="Conductors of the rods",
        ),
        group("clamps", tuple(Box(x - 8, _GROUND + 8, 16, 9, "zline", HAIR, "zm2") for x in at)),
        group("instrument", _instrument(), title="Clamp-on tester"),
        group("front", (_jaw(0, 180),), title="Jaws, closed round the conductor"),
    ]
    if of.ring_of_copper:
        second = ((at[0] - 2, _GROUND + 12), (22.0, _GROUND + 12), (22.0, _JOINED), to_terminal[0])
        groups.insert(5, group("second", (_earthing(second),), title="Second conductor"))
    elif of.rods > 1:
        groups.append(group("current", _currents(at), title="Way of the current"))
    groups.append(group("names", _names(of, at)))
    if of.rods == 1:
        groups.append(group("wrong", (ring(at[0], _JOINED, 13),)))
    elif of.ring_of_copper:
        groups.append(group("wrong", (ring(22, _JAWS, 15),)))
    return Detail(400, _GROUND + 96, tuple(groups), {"jaws": (at[0], _JAWS)})


def _earthing(way: tuple[Point, ...]) -> Strands:
    return conductor(way, 4.0, "green-and-yellow", 6.0)


def _rod(x: float) -> Drawables:
    top, low = _GROUND + 5, _GROUND + 84
    shape = [(x - 3, top), (x + 3, top), (x + 3, low - 8), (x, low), (x - 3, low - 8)]
    return (body(shape, "zc2", HAIR),)


def _jaw(first: float, last: float) -> Strands:
    points = tuple(arc_points(_RODS[0], _JAWS, 20, 9, first, last))
    return Strands(points, (("zline", 9.0, ""), ("zz2", 7.0, "")))


def _instrument() -> Drawables:
    left, top = _RODS[0] + 18, _JAWS - 22
    return (
        Box(left, top, 122, 44, "ink", LINE, "plate", 8),
        Box(left + 12, top + 8, 102, 28, "ink", HAIR, "paper", 2),
    )


def _currents(at: tuple[float, ...]) -> Drawables:
    """Down the first rod, through the soil to the others, up, and back along what joins them."""
    low = _GROUND + 66
    there = [broad_arrow((at[0] - 12, _GROUND - 38), (at[0] - 12, _GROUND - 6), 4)]
    there += [broad_arrow((at[0] + 14, low), (at[0] + 54, low), 4)]
    back = [broad_arrow((at[1] - 20, _JOINED - 9), (at[1] - 60, _JOINED - 9), 4)]
    up = [broad_arrow((x + 10, _GROUND - 8), (x + 10, _GROUND - 44), 4) for x in at[1:]]
    return (*there, *back, *up)


def _names(of: ClampedRod, at: tuple[float, ...]) -> Drawables:
    told = f"{of.name}|{of.rods} rods" if of.rods > 1 else of.name
    found: tuple[Drawables, ...] = (
        words(32, 18, DEAD_SIGN),
        (Lettering(_RODS[0] + 81, _JAWS + 5, of.shows, TEXT_SIZE, "middle", True),),
        words(at[0] + 22, _GROUND + 42, told if of.rods > 1 else "one rod alone"),
    )
    if of.rods > 1:
        text = Lettering(396, _JOINED - 18, "to main earthing terminal", TEXT_SIZE, "end")
        found += ((text,),)
    else:
        found += ((lines([((at[0] - 7, _JOINED), (at[0] + 7, _JOINED))], LINE),),)
    return tuple(item for some in found for item in some)


def electrode_by_clamp(job: Completed, name: str) -> Made | str:
    """One of several rods by a clamp; a rod that stands alone, and a ring of copper."""
    item = next((each for each in job.installation.electrodes if each.name == name), None)
    if item is None:
        return f"no electrode is named '{name}'"
    if not is_known(item.rods) or item.rods < 2:
        return f"'{name}' has no second rod that the current of a clamp could come back by"
    one = job.case.step("one-rod-resistance", name)
    if one is None or one.value is None:
        return f"the resistance of one rod of '{name}' is not known"
    own = ShownFigure(
        with_unit(number_text(one.value, one.places), "Ω"),
        "one rod, worked from rod and soil",
        f"one-rod-resistance {name}",
    )
    right = ClampedRod(name, int(item.rods), _NOT_FORETOLD)
    alone = replace(right, rods=1, shows=OVER_RANGE)
    round_copper = replace(right, shows=NEAR_NOTHING, ring_of_copper=True)
    return finished(
        job,
        sheet_of(
            f"A rod of {name} by a clamp round its conductor",
            "Isolated at the origin, locked off and proved dead; nothing is parted. Right: the"
            " jaws are round the conductor of one rod, below where the rods are joined; the current"
            " goes down it and comes back by the others, and the reading is more than the rod's own"
            f" {own.words}. Wrong: a rod that nothing else is joined to has no way back, and it"
            f" shows {alone.shows}. Wrong: two conductors join the same places, the jaws are"
            " round a"
            f" ring of copper, and it shows {round_copper.shows}.",
            [
                Panel(
                    clamped_scene(right),
                    True,
                    f"round one of several: more than its own {own.words}",
                    "Down this rod and back by all others: it reads them in series, more than the"
                    " rod alone. Nothing is parted. One that stands out from its neighbours has a"
                    " poor joint or dry ground. All rods together are measured by stakes or by"
                    " their loop. Common practice.",
                    whole=True,
                ),
                Panel(
                    clamped_scene(alone),
                    False,
                    f"a single rod: {alone.shows}",
                    "No way back: by a clamp it reads nothing. Take two stakes.",
                    whole=True,
                ),
                Panel(
                    clamped_scene(round_copper),
                    False,
                    f"round a ring of copper: {round_copper.shows}",
                    "The current never meets the soil: a good figure that says nothing of it. Find"
                    " where one conductor alone goes to the rod.",
                    whole=True,
                ),
            ],
            (own,),
        ),
    )
