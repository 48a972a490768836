"""Drawing, pictures for the hands: the open PEN: street, house, vehicle, person, soil, and what is
left when the device of the point opens, or when the point has an earth of its own.
"""

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.hook_up_parts import warning_sign
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    body,
    broad_arrow,
    call,
    conductor,
    edge_line,
    lines,
    words,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point, Strands, Stroke
from firstway.frozen import dataclass
from firstway.model.values import is_known
from firstway.rendering.figures import with_unit

_GROUND = 206.0
SIGN = (
    "The network is its operator's: call, touch nothing|authorised persons only look for the break"
)


@dataclass(frozen=True)
class BrokenPen:
    """What stands where while the PEN is broken. `house`, `vehicle`: what is said of their metal.

    `lines_open`, `earth_open`: what the device has opened. `own_rod`: the point's protective
    conductor goes to this electrode and not to the house.
    """

    house: str
    vehicle: str
    lines_open: bool = False
    earth_open: bool = False
    own_rod: str = ""

    @property
    def touched(self) -> bool:
        """Whether the vehicle is lifted with the house."""
        return not self.earth_open and not self.own_rod


def open_pen_scene(of: BrokenPen) -> Detail:
    """From the street at the left to the person at the right, as wide as a sheet."""
    groups = [
        group("sign", warning_sign(8, 12), title="Warning"),
        group("soil", _soil(), title="Soil, true earth"),
        group("street", _street(), title="The network's source, earthed"),
        group("house", _house(), title="House"),
        group("supply", _supply(), title="Line, and the broken PEN"),
        group("metal", _metal(), title="Main earthing terminal, a bonded pipe"),
        group("circuit", _circuit(of), title="Conductors to the point"),
        group("point", _poles(of), title="Charging point with its device"),
        group("vehicle", _vehicle(), title="Vehicle on its tyres"),
        group("person", _person(), title="Person on the soil"),
    ]
    if of.own_rod:
        groups.append(group("rod", _rod(), title="Electrode of the point"))
    if of.touched:
        arrow = broad_arrow((370.0, 180.0), (370.0, 204.0), 4)
        groups.append(group("current", (arrow,), title="Current through the person"))
    groups.append(group("names", _names(of)))
    return Detail(
        400, _GROUND + 44, tuple(groups), {"vehicle": (331.0, 180.0), "break": (83.0, 140.0)}
    )


def _soil() -> Drawables:
    edge = [(0.0, _GROUND), (400.0, _GROUND), (400.0, _GROUND + 40), (0.0, _GROUND + 40)]
    return (body(edge, "panel", FINE),)  # paper's own tone: words stand on it, light and dark


def _street() -> Drawables:
    return (
        Box(6, 98, 46, 58, "ink", LINE, "plate"),
        Strands(
            ((14.0, 156.0), (14.0, _GROUND + 22)),
            (("zline", 4.0, ""), ("green", 2.6, ""), ("yellow", 1.0, "")),
        ),
        lines([((7.0, _GROUND + 22), (21.0, _GROUND + 22))], LINE),
    )


def _house() -> Drawables:
    return (
        Box(108, 84, 116, _GROUND - 84, "ink", LINE, "plate"),
        Stroke(
            ((95.0, 84.0), (166.0, 42.0), (237.0, 84.0)), "ink", LINE, fill="plate", closed=True
        ),
    )


def _supply() -> Drawables:
    cross = (((78.0, 135.0), (88.0, 145.0)), ((78.0, 145.0), (88.0, 135.0)))
    return (
        conductor(((52.0, 110.0), (146.0, 110.0)), 2.4, "brown"),
        conductor(((52.0, 140.0), (72.0, 140.0)), 2.4, "green-and-yellow"),
        conductor(((94.0, 140.0), (128.0, 140.0)), 2.4, "green-and-yellow"),
        conductor(((186.0, 110.0), (206.0, 110.0), (206.0, 140.0), (128.0, 140.0)), 2.4, "blue"),
        lines(cross, LINE, "mark"),
        Box(146, 98, 40, 24, "ink", LINE, "paper"),
    )


def _metal() -> Drawables:
    return (
        conductor(((128.0, 140.0), (128.0, 166.0)), 2.4, "green-and-yellow"),
        Box(118, 162, 70, 10, "zline", HAIR, "zm2"),
        conductor(((134.0, 172.0), (134.0, 188.0)), 2.4, "green-and-yellow"),
        # a pipe that is bonded and leaves no way into the soil: the worked figure credits none
        Box(129, 186, 10, 12, "zline", HAIR, "zz2"),
        Box(139, 189, 12, 5, "zline", HAIR, "zz2"),
        Disc(128, 140, 2.6, "", 0, "ink"),
    )


_POINT = 250.0


def _circuit(of: BrokenPen) -> Drawables:
    x = _POINT
    line = ((140.0, 110.0), (140.0, 130.0), (216.0, 130.0), (216.0, 156.0), (x + 6, 156.0))
    found = [conductor(line, 2.4, "brown")]
    found.append(conductor(((206.0, 140.0), (206.0, 166.0), (x + 6, 166.0)), 2.4, "blue"))
    if not of.own_rod:
        way = ((188.0, 167.0), (196.0, 176.0), (x + 6, 176.0))
        found.append(conductor(way, 2.4, "green-and-yellow"))
    return tuple(found)


def _poles(of: BrokenPen) -> Drawables:
    """The point cut open: three ways, each closed or open; behind them the lead."""
    x = _POINT
    poles = [
        (156.0, of.lines_open, "brown"),
        (166.0, of.lines_open, "blue"),
        (176.0, of.earth_open, "green-and-yellow"),
    ]
    found: list[Drawables] = [(Box(x, 142, 30, 46, "ink", LINE, "paper", 3),)]
    for y, is_open, colour in poles:
        way: tuple[Point, ...] = ((x, y), (x + 9, y)) if is_open else ((x, y), (x + 30, y))
        if of.own_rod and colour == "green-and-yellow":
            way = ((x + 15, _GROUND + 10), (x + 15, y), (x + 30, y))
        found.append((conductor(way, 2.4, colour),))
        if is_open:
            found.append((conductor(((x + 21, y), (x + 30, y)), 2.4, colour),))
            found.append((edge_line((x + 9, y), (x + 20, y - 6), width=LINE, ink="ink"),))
    lead = ((x + 30, 166.0), (x + 38, 166.0), (x + 44, 172.0), (x + 50, 172.0))
    return (
        *(item for some in found for item in some),
        Strands(lead, (("zline", 12.0, ""), ("zk1", 10.0, "")), 4.0),
    )


def _vehicle() -> Drawables:
    shape: tuple[Point, ...] = (
        (298.0, 198.0),
        (298.0, 170.0),
        (312.0, 164.0),
        (322.0, 148.0),
        (348.0, 148.0),
        (356.0, 164.0),
        (366.0, 170.0),
        (366.0, 198.0),
    )
    return (
        Stroke(shape, "ink", LINE, fill="plate", closed=True, round=4),
        *(Disc(x, 198.5, 7.5, "zline", LINE, "zk2") for x in (314.0, 350.0)),
    )


def _person() -> Drawables:
    pieces = [
        ((382.0, 151.0), (382.0, 178.0)),
        ((382.0, 178.0), (377.0, _GROUND)),
        ((382.0, 178.0), (388.0, _GROUND)),
        ((382.0, 158.0), (366.0, 173.0)),
        ((382.0, 158.0), (390.0, 172.0)),
    ]
    return (Disc(382, 144, 7, "ink", LINE, "plate"), lines(pieces, LINE, "ink"))


def _rod() -> Drawables:
    x = _POINT + 15
    low = _GROUND + 36
    return (
        body(
            [(x - 3, _GROUND + 6), (x + 3, _GROUND + 6), (x + 3, low - 6), (x, low)]
            + [(x - 3, low - 6)],
            "zc2",
            HAIR,
        ),
    )


def _names(of: BrokenPen) -> Drawables:
    found: tuple[Drawables, ...] = (
        words(32, 18, SIGN),
        (Lettering(29, 92, "street", TEXT_SIZE, "middle", True),),
        (Lettering(166, 79.5, f"metal {of.house}", TEXT_SIZE, "middle", True),),
        (Lettering(166, 114, "load", TEXT_SIZE, "middle"),),
        (Lettering(332, 184, of.vehicle, TEXT_SIZE, "middle", True),),
        (Lettering(_POINT + 15, 136, "point", TEXT_SIZE, "middle", True),),
        (Lettering(332, 140, "vehicle", TEXT_SIZE, "middle", True),),
        (Lettering(397, 126, "person", TEXT_SIZE, "end", True),),
        (Lettering(160, _GROUND + 30, "soil: true earth", TEXT_SIZE),),
        call(19, 190, "PEN broken", (83, 147), bold=False),
        (Lettering(156, 198, "pipe", TEXT_SIZE),),
    )
    if of.own_rod:
        found += ((Lettering(_POINT + 26, _GROUND + 30, of.own_rod, TEXT_SIZE, bold=True),),)
    return tuple(item for some in found for item in some)


def open_pen_picture(job: Completed, name: str) -> Made | str:
    """The broken PEN of a job, before and after what it has against it."""
    volts = job.case.step("open-pen-voltage", "supply")
    limit = job.case.step("open-pen-limit", "supply")
    if name != "supply" or volts is None or volts.value is None:
        return "no voltage with a broken PEN is worked for this supply"
    if limit is None or limit.value is None:
        return "no limit of a broken PEN is worked for this supply"
    figure = ShownFigure(
        _volts(volts.value), "to true earth, everything running", "open-pen-voltage supply"
    )
    for point in job.installation.charging_points:
        device = point.open_pen
        rod = next(
            (str(e.name) for e in job.installation.electrodes if e.name == point.earthed_by), ""
        )
        if rod:
            return finished(job, _with_rod(figure, rod))
        if is_known(device) and device.measure == "device":
            most = ShownFigure(_volts(limit.value), "must not be passed", "open-pen-limit supply")
            within = device.acts_within_s
            time = with_unit(f"{float(within):g}", "s") if is_known(within) else ""
            return finished(job, _with_device(figure, most, volts.value > limit.value, time))
    return "the job has no device and no electrode against a broken PEN"


def _volts(value: float) -> str:
    return with_unit(f"{value:.0f}", "V")


def _with_device(figure: ShownFigure, limit: ShownFigure, opens: bool, time: str) -> Made:
    before = BrokenPen(figure.words, figure.words)
    lifted = figure.words if opens else f"> {limit.words}"
    after = BrokenPen(lifted, "apart", True, True)
    stays = replace(after, earth_open=False, vehicle=lifted)
    within = f" within {time}" if time else ""
    waits = (
        ""
        if opens
        else f" Below {limit.words} the device waits; less balance on another day, and it opens."
    )
    return sheet_of(
        "The broken PEN, before and after the device opens",
        "The PEN of the street is broken. The current of the load has no way home but through the"
        " main earthing terminal, so all metal joined to it stands at"
        f" {figure.words} to true earth, and through the protective conductor the vehicle too; a"
        " person on the soil touches it. Right: the device opens lines, neutral and protective"
        " conductor, and the vehicle is apart. Wrong: the protective conductor stays, and the"
        " vehicle stays lifted.",
        [
            Panel(
                open_pen_scene(before),
                None,
                f"The fault, before the device opens: {figure.words}",
                "A danger, neither right nor wrong work. No fuse and no residual device sees it:"
                " line and neutral are alike." + waits,
                whole=True,
            ),
            Panel(
                open_pen_scene(after),
                True,
                f"above {limit.words} it opens all{within}",
                f"The {limit.words} are counted from the protective conductor to true earth. It"
                " opens lines, neutral and protective conductor. The metal of the house, and of the"
                " point ahead of what opened, stays lifted: touch none, call the operator.",
                whole=True,
            ),
            Panel(
                open_pen_scene(stays),
                False,
                "the protective conductor stays",
                "Opened lines alone leave the vehicle at the voltage of the house. Armour or a"
                " screen that bypasses the device does the same.",
                whole=True,
            ),
        ],
        (figure, limit),
    )


def _with_rod(figure: ShownFigure, rod: str) -> Made:
    right = BrokenPen(figure.words, "at soil", own_rod=rod)
    wrong = BrokenPen(figure.words, figure.words)
    return sheet_of(
        "The broken PEN, and a point with an electrode of its own",
        "The PEN of the street is broken; the metal of the house stands at"
        f" {figure.words} to true earth. Right: the protective conductor of the point goes to"
        f" {rod} alone, and the vehicle stays near the soil it stands on. Wrong: it goes to the"
        " house, and the vehicle is lifted with it.",
        [
            Panel(
                open_pen_scene(right),
                True,
                f"{rod} alone",
                "The vehicle keeps to the soil it stands on. No metal of the one earth may be in"
                " reach of the other.",
                whole=True,
            ),
            Panel(
                open_pen_scene(wrong),
                False,
                f"joined to the house: {figure.words}",
                "A conductor, armour or bonding between the two lifts the vehicle as well. Nothing"
                " opens.",
                whole=True,
            ),
        ],
        (figure,),
    )
