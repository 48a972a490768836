"""Drawing, pictures for the hands: an electrode by three leads and two stakes, and a bonding clamp
on clean and on painted metal.
"""

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.hands import hook_up_parts as parts
from firstway.drawing.hands.dead_scene import DEAD_SIGN
from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import (
    finished,
    foretold,
    foretold_figure,
)
from firstway.drawing.hands.hook_up_parts import Instrument
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    body,
    call,
    conductor,
    edge_line,
    lines,
    ring,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point
from firstway.drawing.text_width import wrapped
from firstway.frozen import dataclass
from firstway.model.values import is_known
from firstway.rendering.figures import ohm_limit, with_unit
from firstway.tables.looking_up import resistance_20c_ohm_per_km
from firstway.tables.reading import Gap, rule_limit

_GROUND = 190.0
_MOST_DRAWN, _ROW_OF_RODS = 5, 60.0
_ROD, _MIDDLE, _FAR = 52.0, 205.0, 360.0
TOO_LOW = "too low"
_JOINED, _OPEN = "joined", "open"


@dataclass(frozen=True)
class Stakes:
    """An electrode of so many rods measured by three leads, `far` the words of the last stake;
    `lead_on`: its own lead is still in its clamp.
    """

    name: str
    goes_to: str
    shows: str
    far: str
    rods: int = 1
    lead_on: bool = False


def stakes_scene(of: Stakes) -> Detail:
    """The rod at the left, the stakes in line with it, as wide as a sheet."""
    shown = Instrument(of.shows, ("earth,", "3 leads"), ("E", "S", "H"), 150.0, 62.0)
    ground = _GROUND
    clamp = _ROD, ground + 13
    soil = [(0.0, ground), (400.0, ground), (400.0, ground + 92), (0.0, ground + 92)]
    grass = [((float(x), ground), (float(x) - 5, ground + 7)) for x in range(10, 400, 12)]
    lead = ((12.0, 96.0), (12.0, ground - 14), (_ROD - 14, ground - 4), (_ROD - 9, clamp[1]))
    off = ((12.0, 96.0), (12.0, ground - 40), (26.0, ground - 22))
    kinds = (parts.DARK, parts.LIGHT, parts.BROKEN)
    tips: dict[str, Point] = {
        "E": (_ROD, ground + 24),
        "S": (_MIDDLE, ground - 14),
        "H": (_FAR, ground - 14),
    }
    box = (
        Box(150.0, 62.0, parts.INSTRUMENT_WIDTH, parts.INSTRUMENT_HIGH, "ink", LINE, "plate", 6),
        Box(155.0, 81.0, parts.INSTRUMENT_WIDTH - 10, 25, "ink", HAIR, "paper", 2),
    )
    ways = {
        "E": ((shown.at("E")[0], 62.0), (shown.at("E")[0], 50.0), (128.0, 50.0))
        + ((128.0, ground - 10), (_ROD + 14, ground - 10), (_ROD + 14, tips["E"][1]), tips["E"]),
        "S": ((shown.at("S")[0], 62.0), (shown.at("S")[0], 50.0), (256.0, 50.0))
        + ((256.0, ground - 14), tips["S"]),
        "H": ((shown.at("H")[0], 62.0), (shown.at("H")[0], 44.0), (_FAR, 44.0), tips["H"]),
    }
    number = min(of.rods, _MOST_DRAWN)
    drawn = [_ROD + min(28.0, _ROW_OF_RODS / max(1, number - 1)) * each for each in range(number)]
    told = f"{of.name}|{of.rods} rods" if of.rods > 1 else of.name
    pit = (Box(_ROD - 18, ground, 36, 34, "zline", HAIR, "paper"),)
    joins = (conductor(((_ROD, clamp[1]), (drawn[-1], clamp[1])), 3.0, "green-and-yellow"),)
    leads = tuple(parts.lead(ways[socket], kind) for socket, kind in zip(("E", "S", "H"), kinds))
    names: tuple[Drawables, ...] = (
        words(32, 18, DEAD_SIGN),
        parts.instrument_words(shown),
        words(6, 56, "|".join(wrapped(of.goes_to, TEXT_SIZE, 108.0)), bold=False),
        words(drawn[-1] + 12, ground + 66, told),
        words(_MIDDLE, ground + 60, "stake S|half way", "middle"),
        words(_FAR - 8, ground + 60, f"stake H|{of.far}", "middle"),
    )
    groups = [
        group("sign", parts.padlock(8, 16), title="Locked off"),
        group("soil", (body(soil, "panel", FINE), lines(grass)), title="Soil"),
        group("pit", pit, title="Pit over the top of the rod, its lid off"),
        group("joins", joins if of.rods > 1 else ()),
        group("rod", *(_rod(x, ground + 6, ground + 84) for x in drawn), title="Electrode"),
        group("stakes", _stake(_MIDDLE), _stake(_FAR), title="Stakes put in for the test"),
        group(
            "own-lead",
            (conductor(lead if of.lead_on else off, 4.0, "green-and-yellow", 6.0),),
            title="The electrode's own lead",
        ),
        group("clamp", (Box(_ROD - 8, clamp[1] - 5, 16, 10, "zline", HAIR, "zm2"),)),
        group("leads", leads),
        group("instrument", box, title="Instrument"),
        group("names", tuple(item for some in names for item in some)),
    ]
    if of.lead_on:
        groups.append(group("wrong", (ring(_ROD - 8, clamp[1] - 2, 15),)))
    groups = [each for each in groups if each.items]
    return Detail(400, ground + 96, tuple(groups), {f"tip.{key}": at for key, at in tips.items()})


def _rod(x: float, top: float, low: float) -> Drawables:
    return (
        body(
            [(x - 3, top), (x + 3, top), (x + 3, low - 8), (x, low), (x - 3, low - 8)],
            "zc2",
            HAIR,
        ),
    )


def _stake(x: float) -> Drawables:
    top, low = _GROUND - 16, _GROUND + 34
    return (
        body(
            [(x - 3, top), (x + 3, top), (x + 2, low - 6), (x, low), (x - 2, low - 6)], "zz2", HAIR
        ),
        edge_line((x - 7, top), (x + 7, top), width=LINE),
    )


def electrode_by_stakes(job: Completed, name: str) -> Made | str:
    """The electrode alone, its lead off; and with its lead left on."""
    found = foretold(job, "electrode", name)
    if found is None or found.shown.value is None:
        return f"no resistance of '{name}' is foretold"
    wiring = job.case.wiring.drawn
    clamp = f"{name}.PE"
    ends = [each for each in wiring.conductors if clamp in (each.start, each.end)]
    far = next((each.end if each.start == clamp else each.start for each in ends), "")
    goes_to = {"met.PE": "to main earthing terminal", "": "its earthing conductor"}.get(
        far, f"to {far.partition('.')[0]}"
    )
    figure = foretold_figure(found)
    least = rule_limit("bs7671", "stake-far-least-m")
    if isinstance(least, Gap):
        return "no distance of the stakes is held"
    apart = of_row(least.row, "value", "{} m or more", "from the rod to the far stake")
    item = next(each for each in job.installation.electrodes if each.name == name)
    rods = int(item.rods) if is_known(item.rods) else 1
    right = Stakes(name, goes_to, figure.words, apart.words, rods)
    wrong = replace(right, lead_on=True, shows=TOO_LOW)
    limit = found.limit
    bound = "" if limit.value is None else f" At most {with_unit(ohm_limit(limit.value), 'Ω')}"
    if bound:
        bound += ", also when the soil is dry or frozen, which reads more."
    several = " For several rods the stakes stand farther still." if rods > 1 else ""
    return finished(
        job,
        sheet_of(
            f"Electrode {name} by two stakes",
            "Isolated at the origin, locked off and proved dead; two stakes stand in line with the"
            f" rod, one {apart.words} from it, one half way. Right: the lead of {name} is off its"
            " clamp, and the"
            f" instrument shows {figure.words}. Wrong: the lead is still on; other earths share the"
            " current, and the reading is too low.",
            [
                Panel(
                    stakes_scene(right),
                    True,
                    f"its lead off: {figure.words}",
                    "Move stake S a little both ways: the readings must agree, else the stakes"
                    f" stand too near.{several} Put the lead back before anything is energised."
                    f"{bound}",
                    whole=True,
                ),
                Panel(
                    stakes_scene(wrong),
                    False,
                    f"its lead left on: {TOO_LOW}",
                    "Other earths share the current: this is not the rod alone.",
                    whole=True,
                ),
            ],
            (figure, apart),
        ),
    )


# ---- bonding


@dataclass(frozen=True)
class Bonded:
    """A clamp on a pipe; `painted`: the paint was left under it."""

    size: str
    shows: str
    painted: bool = False


def bonding_scene(of: Bonded) -> Detail:
    """The terminal at the left, the pipe at the right, as wide as a sheet."""
    shown = Instrument(of.shows, ("continuity", "low Ω"), ("1", "2"), 150.0, 96.0)
    bar_y, pipe, clamp_y = 84.0, 330.0, 118.0
    terminal: Drawables = (
        Box(12, bar_y - 9, 92, 18, "zline", LINE, "zm2"),
        *(Disc(26 + 20 * place, bar_y, 3, "zline", HAIR, "zz1") for place in range(4)),
    )
    bare = "zw3" if of.painted else "zc1"
    metal = pipe, clamp_y + 40
    tube = (
        Box(pipe - 16, 60, 32, 140, "zline", LINE, "zw3"),
        Disc(*metal, 7, "zline", FINE, "zc1"),  # scraped bright for the probe
        Box(pipe - 16, clamp_y - 14, 32, 28, "zline", FINE, bare),
    )
    clamp = (
        Box(pipe - 21, clamp_y - 7, 42, 14, "zline", HAIR, "zz2"),
        Box(pipe - 33, clamp_y - 6, 13, 12, "zline", HAIR, "zm2"),
        edge_line((pipe + 15, clamp_y + 4), (pipe + 15, clamp_y + 11), width=FINE),
        Box(pipe + 8, clamp_y + 11, 14, 9, "ink", HAIR, "plate"),
    )
    way = ((26.0, bar_y), (26.0, 200.0), (280.0, 200.0), (280.0, clamp_y), (pipe - 28, clamp_y))
    to_terminal = (shown.at("1"), (shown.at("1")[0], 70.0), (86.0, 70.0), (86.0, bar_y))
    out = shown.at("2")
    to_pipe = (out, (out[0], 78.0), (262.0, 78.0), (262.0, metal[1]), (pipe - 12, metal[1]))
    names: tuple[Drawables, ...] = (
        words(32, 18, DEAD_SIGN),
        (Lettering(12, 62, "main earthing terminal", TEXT_SIZE, bold=True),),
        parts.instrument_words(shown),
        (Lettering(150, 218, of.size, TEXT_SIZE, "middle"),),
        call(352, 84, "clamp", (pipe + 16, clamp_y - 3)),
        call(358, clamp_y + 36, "label", (pipe + 16, clamp_y + 16), bold=False),
        (Lettering(pipe + 22, metal[1] + 24, "pipe", TEXT_SIZE, bold=True),),
    )
    groups = [
        group("sign", parts.padlock(8, 16), title="Locked off"),
        group("pipe", tube, title="Pipe that comes into the building"),
        group("bonding", (conductor(way, 4.0, "green-and-yellow", 6.0),)),
        group("clamp", clamp, title="Bonding clamp"),
        group("terminal", terminal, title="Main earthing terminal"),
        group(
            "lead.0",
            (parts.lead((*to_terminal[:-1], (86.0, bar_y - 12)), parts.DARK),),
            parts.probe(to_terminal[-1], to_terminal[-2]),
        ),
        group("lead.1", (parts.lead(to_pipe, parts.LIGHT),), parts.probe(metal, to_pipe[-1])),
        group("instrument", parts.instrument(shown), title="Instrument"),
        group("names", tuple(item for some in names for item in some)),
    ]
    if of.painted:
        groups.append(group("wrong", (ring(pipe, clamp_y, 26),)))
    return Detail(400, 226, tuple(groups), {"tip.1": to_terminal[-1], "tip.2": metal})


def bonding(job: Completed, name: str) -> Made | str:
    """From the main earthing terminal to the metal beyond a bonding clamp."""
    board = next((each for each in job.installation.existing_boards if each.name == name), None)
    if board is None or not is_known(board.main_bonding_mm2):
        return f"no size of main bonding is stated at '{name}'"
    size = ShownFigure(
        f"bonding, {float(board.main_bonding_mm2):g} mm²",
        "as it is there",
        f"existing_boards.{name}.main_bonding_mm2",
    )
    a_metre = resistance_20c_ohm_per_km(float(board.main_bonding_mm2))
    if isinstance(a_metre, Gap):
        return f"no resistance is held for {size.words}"
    each_metre = of_row(a_metre.row, "ohm_per_km", "{} mΩ", "of each metre, copper at 20 °C")
    right = Bonded(size.words, _JOINED)
    wrong = replace(right, painted=True, shows=_OPEN)
    return finished(
        job,
        sheet_of(
            f"Main bonding at {name}",
            "Isolated at the origin, locked off and proved dead. One probe is on the main earthing"
            " terminal, the other on bare metal of the pipe beyond its clamp. Right: the clamp"
            " grips bright metal; joined. Wrong: paint was left under the clamp; open.",
            [
                Panel(
                    bonding_scene(right),
                    True,
                    "clamp on bright metal: joined",
                    f"{each_metre.words} for each metre of it, the leads nulled: clearly more is a"
                    " poor joint. The probe touches bright metal of the pipe, not the clamp. The"
                    " label says: safety connection, do not remove. A way in parallel can hide a"
                    " break: look along all of it and at both ends. It is parted only where it"
                    " must be, all isolated and no current in it by a clamp meter (the neighbours'"
                    " may flow there), and joined again first.",
                    whole=True,
                ),
                Panel(
                    bonding_scene(wrong),
                    False,
                    "clamp on paint: open",
                    "The pipe is not bonded, however tight the clamp. Clean it, clamp again, test"
                    " again.",
                    whole=True,
                ),
            ],
            (size, each_metre),
        ),
    )
