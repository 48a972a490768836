"""Drawing, pictures for the hands: a surge protective device: what to read on its label, the
connection through it, its window, its lead.
"""

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import ASK_MAKER
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    arc_points,
    conductor,
    edge_line,
    lines,
    ring,
    words,
)
from firstway.drawing.line_styles import arrow_head
from firstway.drawing.sheet import HAIR, LINE, Box, Disc, Lettering, Point
from firstway.drawing.text_width import wrapped
from firstway.frozen import dataclass
from firstway.model.installation import Way
from firstway.model.values import is_known, key_of, place_of
from firstway.tables.reading import column_word

_ROW = 22.0


@dataclass(frozen=True)
class SurgeDeviceInside:
    """A device cut open, by its connection (CT1 or CT2). `worn`: its disconnectors have parted it
    and its window has turned.
    """

    connection: str
    worn: bool = False


def surge_device_inside(of: SurgeDeviceInside) -> Detail:
    """Line and neutral from above, earth below; what stands between them, and the window."""
    low = 158.0
    elements: list[Drawables] = []
    for x, colour in ((70.0, "brown"), (124.0, "blue")):
        elements.append((conductor(((x, 0.0), (x, 20.0)), 3.0, colour),))
    elements.append((conductor(((97.0, 176.0), (97.0, 198.0)), 3.0, "green-and-yellow"),))
    case = (Box(54, 14, 132, 166, "ink", LINE, "plate", 3),)
    found = [
        group("case", case, title="The device, cut open"),
        group("leads", *elements, title="Line, neutral, earth"),
    ]
    if of.connection == "CT2":
        found.append(group("parts", _parting(70, of.worn), _varistor(70, 88.0)))
        tie: tuple[Point, ...] = ((70.0, 132.0), (70.0, 140.0), (124.0, 140.0))
        gap = (edge_line((124.0, 20.0), (124.0, 146.0), (97.0, 146.0), width=LINE, ink="ink"),)
        found.append(group("ties", (edge_line(*tie, width=LINE, ink="ink"),), gap))
        found.append(group("gap", _gap(97, 146.0), title="Gap"))
    else:
        parts = [item for x in (70.0, 124.0) for item in (_parting(x, of.worn), _varistor(x, 88.0))]
        found.append(group("parts", *parts, title="Disconnectors and varistors"))
        tie = ((70.0, 132.0), (70.0, low - 8), (124.0, low - 8), (124.0, 132.0))
        down = (edge_line((97.0, low - 8), (97.0, 178.0), width=LINE, ink="ink"),)
        found.append(group("ties", (edge_line(*tie, width=LINE, ink="ink"),), down))
    found += [
        group("window", _window(148, 84, of.worn), title="Window"),
        group(
            "names",
            (Lettering(48, 8, "L", TEXT_SIZE, "end", True),),
            (Lettering(136, 8, "N", TEXT_SIZE, "start", True),),
            (Lettering(107, 196, "PE", TEXT_SIZE, "start", True),),
        ),
    ]
    if of.worn:
        found.append(group("wrong", (ring(163, 96, 24),)))
    return Detail(194, 202, tuple(found), {"window": (163.0, 96.0), "parting": (70.0, 48.0)})


def _parting(x: float, worn: bool) -> Drawables:
    """The disconnector ahead of an element: closed, or fallen open."""
    blade: tuple[Point, Point] = ((x, 62.0), (x - 11, 43.0) if worn else (x, 40.0))
    pieces = (((x, 20.0), (x, 40.0)), blade, ((x, 62.0), (x, 88.0)))
    return (
        lines(pieces, LINE, "ink"),
        Disc(x, 40, 2.2, "", 0, "ink"),
        Disc(x, 62, 2.2, "", 0, "ink"),
    )


def _varistor(x: float, top: float) -> Drawables:
    """A resistor that depends on its voltage."""
    bar = ((x - 14, top + 40), (x - 8, top + 40), (x + 11, top + 4))
    return (Box(x - 8, top, 16, 44, "ink", LINE, "paper"), edge_line(*bar, width=HAIR, ink="ink"))


def _gap(x: float, top: float) -> Drawables:
    """Two points that face each other, from neutral down to earth."""
    return (
        arrow_head((x, top), (x, top + 13), long=10.0),
        arrow_head((x, top + 32), (x, top + 17), long=10.0),
    )


def _window(x: float, y: float, worn: bool) -> Drawables:
    frame = Box(x, y, 30, 24, "ink", LINE, "paper", 2)
    if not worn:
        return (frame,)
    slants = [((x + at, y + 24), (x + at + 12, y)) for at in (0.0, 6.0, 12.0, 18.0)]
    return (frame, lines(slants, LINE, "ink"))


@dataclass(frozen=True)
class SurgeDeviceLead:
    """A device between its bar and the earth bar, its earth lead straight, or with its slack in a
    loop.
    """

    looped: bool = False


def surge_device_lead(of: SurgeDeviceLead) -> Detail:
    """The line bar above, the earth bar below, the device with a lead to each between them."""
    line: tuple[Point, ...] = ((68.0, 16.0), (68.0, 42.0))
    earth: tuple[Point, ...] = ((68.0, 100.0), (68.0, 160.0))
    out: tuple[Point, ...] = ()
    parts = [
        group("bar", (Box(22, 8, 92, 9, "zline", HAIR, "zc2"),), title="Line bar"),
        group("earth-bar", (Box(22, 159, 98, 9, "zline", HAIR, "zm2"),), title="Earth bar"),
        group(
            "device",
            (
                Box(44, 40, 48, 62, "ink", LINE, "plate", 3),
                Box(56, 58, 24, 16, "ink", HAIR, "paper", 2),
            ),
        ),
    ]
    wrong: tuple[Drawables, ...] = ()
    if of.looped:
        # Down from the device, once and a half round, and out over the turns to the bar.
        coil = arc_points(140, 122, 22, 22, -90, 90)
        coil += arc_points(140, 125, 19, 19, 90, 270) + arc_points(140, 122, 16, 16, -90, 90)
        earth = ((68.0, 100.0), (68.0, 112.0), (100.0, 112.0), (112.0, 100.0), *coil)
        out = ((140.0, 138.0), (140.0, 153.0), (112.0, 153.0), (112.0, 160.0))
        wrong = ((ring(140, 122, 32),),)
    parts += [
        group("line", (conductor(line, 4.0, "brown"),), title="Line lead"),
        group(
            "earth",
            tuple(conductor(each, 4.0, "green-and-yellow") for each in (earth, out) if each),
            title="Earth lead",
        ),
        group(
            "names",
            words(122, 17, "line bar"),
            words(126, 168, "earth bar"),
        ),
        *(group("wrong", each) for each in wrong),
    ]
    return Detail(194, 172, tuple(parts), {"earth-bar": (out or earth)[-1], "device": earth[0]})


def _label(rows: list[tuple[ShownFigure, str]], three: bool) -> Detail:
    """The front of the device beside what its label says, each with what that means."""
    tall = max(150.0, _ROW * len(rows) + 12)
    front: Drawables = (
        Box(8, 6, 96, tall - 8, "ink", LINE, "plate", 3),
        Box(8, 6, 96, 26, "zline", HAIR, "zw2"),
        Box(8, tall - 28, 96, 26, "zline", HAIR, "zw2"),
        *(
            Disc(x, 19, 7, "zline", HAIR, "zz2")
            for x in ((24.0, 46.0, 68.0, 90.0) if three else (36.0, 76.0))
        ),
        Disc(56, tall - 15, 7, "zline", HAIR, "zz2"),
        Box(40, 44, 32, 20, "ink", HAIR, "paper", 2),
        Box(14, 70, 84, tall - 106, "zline", HAIR, "paper"),
    )
    heads = wrapped(" ".join(dict.fromkeys(_head(figure) for figure, _ in rows)), TEXT_SIZE, 80)
    printed = tuple(
        Lettering(18, 85 + 15 * place, each, TEXT_SIZE) for place, each in enumerate(heads)
    )
    said = tuple(
        item
        for place, (figure, means) in enumerate(rows)
        for item in (
            Lettering(116, 20 + _ROW * place, figure.words, TEXT_SIZE, bold=True),
            Lettering(214, 20 + _ROW * place, means, TEXT_SIZE),
        )
    )
    return Detail(
        400,
        tall + 4,
        (group("front", front, title="Front of the device"), group("label", printed, said)),
    )


def _head(figure: ShownFigure) -> str:
    """What stands on the label before the figure."""
    return figure.words.partition(" ")[0].rstrip(":")


def _rows(way: Way) -> list[tuple[ShownFigure, str]]:
    """What to read, in the order of choosing; what is not stated is asked of the maker."""

    def row(head: str, key: str, unit: str, means: str) -> tuple[ShownFigure, str]:
        value = getattr(way, key)
        if not is_known(value):
            return ShownFigure(f"{head}: ?", "not stated"), ASK_MAKER
        number = column_word(float(value)) if isinstance(value, (int, float)) else str(value)
        text = f"{head} {number} {unit}".strip()
        return ShownFigure(text, means, place_of(value)), means

    rows = [
        row("type", "type", "", "tested with this surge"),
        row("", "connection", "", _MEANS.get(str(way.connection), "the way through it")),
        row("Up", "protection_level_kv", "kV", "lets through, without leads"),
        row("In", "nominal_discharge_current_ka", "kA", "again and again, 8/20 µs"),
        row("Uc", "continuous_voltage_v", "V", "mains it bears always"),
        row("fuse", "backup_fuse_max_a", "A", "largest one ahead of it"),
        row("Isccr", "short_circuit_rating_ka", "kA", "fault current it may meet"),
    ]
    part = way.neutral_earth
    level = key_of(part, "protection_level_kv")
    if way.connection == "CT2" and is_known(level):
        text = f"N–PE {column_word(float(level))} kV"
        rows.append((ShownFigure(text, "Up of its gap", place_of(level)), "Up of its gap"))
    return rows


_MEANS = {"CT1": "each conductor to earth", "CT2": "to neutral, then a gap"}


def surge_device_picture(job: Completed, name: str) -> Made | str:
    """A device of a job: its label, its connection healthy and worn, its lead straight and not."""
    way = next((each for each in job.installation.surge_ways if each.name == name), None)
    if way is None:
        return f"no surge protective device is named '{name}'"
    if way.connection not in _MEANS:
        return f"the connection of '{name}' is none that is drawn"
    healthy, straight = SurgeDeviceInside(str(way.connection)), SurgeDeviceLead()
    rows = _rows(way)
    several = len(job.installation.circuits[0].lines) > 1
    return finished(
        job,
        sheet_of(
            f"The surge protective device {name}: label, path, window, lead",
            f"What to read on {name}: {', '.join(figure.words for figure, _ in rows)}. Right: the"
            " window is as on the day it was fitted, and its disconnectors hold the path closed;"
            " the earth lead is short and straight. Wrong: the window has turned, the"
            " disconnectors have parted the device and charging goes on without it; the slack of"
            " the earth lead lies in a loop, and every loop adds volts.",
            [
                Panel(
                    _label(rows, several),
                    None,
                    f"What to read on {name}",
                    "The same words stand on any maker's label; what is missing there, the maker"
                    " tells.",
                    whole=True,
                ),
                Panel(
                    surge_device_inside(healthy),
                    True,
                    "window as it came",
                    "Next to nothing flows until a surge comes; then it finds a short path.",
                ),
                Panel(
                    surge_device_inside(replace(healthy, worn=True)),
                    False,
                    "its window has turned",
                    "Parted, and nothing else shows it: have it changed by a qualified person.",
                ),
                Panel(
                    surge_device_lead(straight),
                    True,
                    "short and straight",
                    "Cut to length; where both run up or down, side by side.",
                ),
                Panel(
                    surge_device_lead(replace(straight, looped=True)),
                    False,
                    "slack in a loop",
                    "A thicker lead does not make up for it.",
                ),
            ],
            [figure for figure, _ in rows],
        ),
    )
