"""Drawing, pictures for the hands: what a charging point holds and what the vehicle holds, where
the charger stands, and the states of the pilot.

The point is a generic one: makers differ in what they fit and where.
"""

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import of_row
from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    body,
    call,
    conductor,
    cut,
    lines,
)
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point, Strands, Stroke
from firstway.frozen import dataclass
from firstway.rendering.figures import with_unit
from firstway.tables.reading import Gap, Row, pilot_state_row, read_one

_CORE = 2.4
_PILOT, _LINE, _NEUTRAL, _EARTH = 84.0, 104.0, 124.0, 160.0


@dataclass(frozen=True)
class OpenedPoint:
    """A point cut open between board and vehicle; `closed`: its contactor is."""

    closed: bool = True


def opened_point(of: OpenedPoint) -> Detail:
    """From the board at the left to the vehicle at the right, as wide as a sheet."""
    groups = (
        group("board", _board(), title="Board with its surge device"),
        group("spd", _spd(), title="Surge protective device"),
        group("cable", _cable(), title="Supply cable"),
        group("case", _case(), title="Point, cut open"),
        group("vehicle", _vehicle_body(), title="Vehicle"),
        group("lead", _lead(), title="Lead to the vehicle, or its own charging cable"),
        group("wires", _wires(), title="Line, neutral and protective conductor"),
        group("pilot", _pilot_wire(), title="Control pilot"),
        group("detector", _detector(), title="Detector of smooth direct current"),
        group("contactor", _contactor(of.closed), title="Contactor"),
        group("control", _control(), title="Control of the point"),
        group("terminals", _terminals(), title="Terminals of the supply cable"),
        group("inlet", (Box(290, 76, 10, 94, "ink", LINE, "zk1", 3),), title="Inlet"),
        group("vehicle-control", _vehicle_control(), title="Control of the vehicle"),
        group("charger", _charger(), title="On-board charger"),
        group("battery", _battery(), title="Battery"),
        group("names", _names()),
    )
    points = {
        "spd": (27.0, 138.0),
        "contactor": (214.0, 114.0),
        "control": (150.0, 50.0),
        "detector": (158.0, 114.0),
        "terminals": (124.0, 193.0),
        "inlet": (295.0, 123.0),
        "charger": (353.0, 123.0),
    }
    return Detail(400, 278, groups, points)


def _board() -> Drawables:
    return (
        Box(2, 58, 82, 164, "ink", LINE, "plate", 3),
        conductor(((58.0, 40.0), (58.0, 84.0)), _CORE, "brown"),
        conductor(((70.0, 40.0), (70.0, 84.0)), _CORE, "blue"),
        conductor(((66.0, 106.0), (66.0, 222.0)), _CORE, "brown"),
        conductor(((74.0, 106.0), (74.0, 222.0)), _CORE, "blue"),
        conductor(((50.0, 190.0), (58.0, 198.0), (58.0, 222.0)), _CORE, "green-and-yellow"),
        conductor(((14.0, 190.0), (14.0, 230.0)), _CORE, "green-and-yellow"),
        Box(26, 84, 54, 22, "ink", HAIR, "paper", 2),
        Box(8, 186, 46, 8, "zline", HAIR, "zm2"),
    )


def _spd() -> Drawables:
    return (
        conductor(((58.0, 66.0), (12.0, 66.0), (12.0, 126.0)), _CORE, "brown"),
        conductor(((70.0, 75.0), (19.0, 75.0), (19.0, 126.0)), _CORE, "blue"),
        conductor(((27.0, 150.0), (27.0, 187.0)), _CORE, "green-and-yellow"),
        Box(6, 126, 44, 24, "mark", LINE, "paper", 2),
        Disc(58, 66, 2, "", 0, "ink"),
        Disc(70, 75, 2, "", 0, "ink"),
    )


def _cable() -> Drawables:
    way = ((66.0, 222.0), (66.0, 240.0), (124.0, 240.0), (124.0, 214.0))
    return (Strands(way, (("zline", 20.0, ""), ("zk1", 18.0, "")), 10.0),)


def _case() -> Drawables:
    return (
        Box(94, 34, 164, 180, "ink", LINE, "plate", 8),
        Box(111, 206, 26, 14, "zline", HAIR, "zk2", 2),
    )


def _vehicle_body() -> Drawables:
    return (Box(294, 58, 104, 164, "ink", LINE, "plate", 14),)


def _lead() -> Drawables:
    return (body([(258.0, 78.0), (290.0, 78.0), (290.0, 168.0), (258.0, 168.0)], "zw3", HAIR),)


def _wires() -> Drawables:
    return (
        conductor(((112.0, 188.0), (112.0, _LINE), (198.0, _LINE)), _CORE, "brown"),
        conductor(((124.0, 188.0), (124.0, _NEUTRAL), (198.0, _NEUTRAL)), _CORE, "blue"),
        conductor(((230.0, _LINE), (318.0, _LINE)), _CORE, "brown"),
        conductor(((230.0, _NEUTRAL), (318.0, _NEUTRAL)), _CORE, "blue"),
        conductor(((136.0, 188.0), (136.0, _EARTH), (318.0, _EARTH)), _CORE, "green-and-yellow"),
        lines([((318.0, _EARTH), (318.0, 170.0)), ((308.0, 170.0), (328.0, 170.0))], LINE, "ink"),
    )


def _pilot_wire() -> Drawables:
    way = ((176.0, 48.0), (244.0, 48.0), (244.0, _PILOT), (318.0, _PILOT))
    return (Stroke(way, "ink", LINE),)


def _detector() -> Drawables:
    return (
        *cut([(151.0, 92.0), (165.0, 92.0), (165.0, 99.0), (151.0, 99.0)], "zz3", step=4),
        *cut([(151.0, 129.0), (165.0, 129.0), (165.0, 136.0), (151.0, 136.0)], "zz3", step=4),
        Stroke(((158.0, 92.0), (158.0, 66.0)), "ink", HAIR, "3 2"),
    )


def _contactor(closed: bool) -> Drawables:
    rise = 0.0 if closed else 9.0
    arms = [((198.0, y), (230.0, y - rise)) for y in (_LINE, _NEUTRAL)]
    dots = tuple(Disc(x, y, 2.6, "", 0, "ink") for x in (198.0, 230.0) for y in (_LINE, _NEUTRAL))
    return (
        Box(190, 92, 48, 60, "ink", HAIR, "none", 3),
        lines(arms, LINE, "ink"),
        *dots,
        Stroke(((214.0, 92.0), (214.0, 60.0), (176.0, 60.0)), "ink", HAIR, "3 2"),
    )


def _control() -> Drawables:
    return (Box(102, 40, 74, 26, "ink", HAIR, "paper", 2),)


def _terminals() -> Drawables:
    return (
        Box(105, 185, 38, 15, "zline", HAIR, "zw1"),
        *(Disc(x, 192.5, 3, "zline", HAIR, "zz2") for x in (112.0, 124.0, 136.0)),
    )


def _vehicle_control() -> Drawables:
    return (Box(318, 72, 70, 22, "ink", HAIR, "paper", 2),)


def _charger() -> Drawables:
    return (Box(318, 98, 70, 54, "mark", LINE, "paper", 2),)


def _battery() -> Drawables:
    return (
        lines([((374.0, 152.0), (374.0, 184.0)), ((382.0, 152.0), (382.0, 184.0))], LINE, "ink"),
        Box(318, 184, 70, 24, "ink", HAIR, "paper", 3),
    )


def _names() -> Drawables:
    def middle(x: float, y: float, text: str, bold: bool = False) -> Lettering:
        return Lettering(x, y, text, TEXT_SIZE, "middle", bold)

    return (
        middle(64, 34, "supply"),
        Lettering(2, 52, "board", TEXT_SIZE, "start", True),
        Lettering(2, 244, "earth", TEXT_SIZE),
        middle(53, 100, "RCBO"),
        middle(28, 143, "SPD", True),
        middle(176, 28, "a.c. point", True),
        middle(346, 52, "vehicle", True),
        middle(139, 58, "control"),
        middle(214, 144, "coil"),
        *call(146, 178, "d.c. detector", (158, 136), bold=False),
        *call(158, 202, "terminals", (143, 193), bold=False),
        *call(246, 250, "contactor", (236, 152), "end", bold=False),
        *call(254, 238, "inlet", (295, 170), bold=False),
        *call(262, 28, "pilot", (250, 84), bold=False),
        middle(353, 88, "control"),
        middle(353, 120, "on-board", True),
        middle(353, 142, "charger", True),
        middle(353, 201, "battery"),
        Lettering(333, 174, "body", TEXT_SIZE),
        middle(274, 74, "lead"),
        *call(4, 270, "supply cable", (80, 246), bold=False),
    )


def inside_point() -> Made | str:
    """Between board and battery: which parts are the point's, which are the vehicle's."""
    far = read_one("spd_limits", "value", quantity="protected-distance-m")
    if isinstance(far, Gap):
        return "no protected distance is held"
    reach = of_row(far.row, "value", "{} m of cable", "from a surge device to what it protects")
    return sheet_of(
        "Between board and battery",
        "A generic a.c. point cut open. From its terminals line and neutral run through the"
        " detector of direct current and the contactor to the lead, the inlet and the on-board"
        " charger: the electronics that the surge device of the board protects stand in the"
        " vehicle, at the far"
        " end. The protective conductor is never switched here. The pilot joins the two controls."
        f" The surge device is trusted for {reach.words}; beyond, ask for a second one.",
        [
            Panel(
                opened_point(OpenedPoint()),
                None,
                "The point switches; the charger is in the vehicle",
                "Contactor closed: the charger hangs on the board's bar. The control of the point"
                f" hangs there day and night. The SPD is trusted for {reach.words}; beyond, ask for"
                " a second one. Generic: makers differ; main switch not drawn.",
                whole=True,
            )
        ],
        (reach,),
    )


# ---- a.c. point against d.c. point


@dataclass(frozen=True)
class ChargerPlace:
    """Where alternating current becomes direct current: in the point, or in the vehicle."""

    in_point: bool


def charger_place(of: ChargerPlace) -> Detail:
    """Board, point, lead and vehicle in a row, as wide as a sheet."""
    at = 138.0 if of.in_point else 296.0
    current = "direct current" if of.in_point else "alternating current"
    wires = (lines([((64.0, 52.0), (120.0, 52.0)), ((250.0, 52.0), (280.0, 52.0))], LINE, "ink"),)
    groups = [
        group("board", (Box(2, 24, 62, 62, "ink", LINE, "plate", 3),), title="Board"),
        group("wires", wires, title="Cables"),
        group("point", (Box(120, 24, 130, 62, "ink", LINE, "plate", 6),), title="Point"),
        group("vehicle", (Box(280, 24, 118, 62, "ink", LINE, "plate", 14),), title="Vehicle"),
        group(
            "charger",
            (Box(at, 30, 94, 22, "mark", LINE, "paper", 2),),
            title="Charger",
        ),
    ]
    other = 296.0 if of.in_point else 138.0
    names = (
        Lettering(33, 16, "board", TEXT_SIZE, "middle", True),
        Lettering(185, 16, "point", TEXT_SIZE, "middle", True),
        Lettering(339, 16, "vehicle", TEXT_SIZE, "middle", True),
        Lettering(33, 46, "SPD", TEXT_SIZE, "middle", True),
        Lettering(at + 47, 46, "charger", TEXT_SIZE, "middle", True),
        Lettering(other + 47, 46, "contactor", TEXT_SIZE, "middle"),
        Lettering(185, 74, "control", TEXT_SIZE, "middle"),
        Lettering(339, 74, "battery", TEXT_SIZE, "middle"),
        Lettering(265, 106, current, TEXT_SIZE, "middle"),
    )
    leader = Stroke(((265.0, 94.0), (265.0, 54.0)), width=HAIR)
    groups.append(group("names", names, (leader, Disc(265, 52, 2.2, "", 0, "ink"))))
    return Detail(400, 112, tuple(groups), {"charger": (at + 47, 41.0)})


def ac_and_dc_point() -> Made | str:
    """One row of boxes, the charger in the vehicle or in the point."""
    return sheet_of(
        "Where the charger stands",
        "With an a.c. point the charger is in the vehicle: a surge passes the closed contactor to"
        " it. With a d.c. point it is in the point.",
        [
            Panel(
                charger_place(ChargerPlace(False)),
                None,
                "a.c. point (mode 3): charger in the vehicle",
                "The point only switches. The surge device of the board protects the vehicle.",
                whole=True,
            ),
            Panel(
                charger_place(ChargerPlace(True)),
                None,
                "d.c. point (mode 4): charger in the point",
                "On the supply day and night; another trade's work.",
                whole=True,
            ),
        ],
    )


# ---- the states of the pilot

_PER_VOLT = 2.1
_ZERO = 36.0
_DOES = {
    "A": (False, "Nothing is offered."),
    "B": (False, "A current is offered by the width of the pulse."),
    "C": (True, "The pulse goes on telling the limit."),
    "D": (True, "The vehicle asks for ventilation: closed only where the point answers for it."),
    "E": (False, "Opens at once."),
    "F": (False, "Read the message of the point."),
}


@dataclass(frozen=True)
class PilotWave:
    """The pilot of one state and the contactor: volts above and below, share of on-time in %."""

    high_v: float
    low_v: float
    duty_percent: float
    closed: bool


def pilot_wave(of: PilotWave) -> Detail:
    """Half as wide as a sheet; a second of it would hold a thousand pulses."""
    x0, x1 = 52.0, 132.0
    level = {volt: _ZERO - volt * _PER_VOLT for volt in (of.high_v, of.low_v)}
    top, low = level[of.high_v], level[of.low_v]
    path: list[Point]
    if top == low:
        path = [(x0, top), (x1, top)]
    else:
        step = (x1 - x0) / 2
        path = []
        for turn in range(2):
            start, turned = x0 + turn * step, x0 + step * (turn + of.duty_percent / 100)
            path += [(start, top), (turned, top), (turned, low), (start + step, low)]
    marks = tuple(
        Lettering(46, y + 4.5, _volts(volt), TEXT_SIZE, "end") for volt, y in level.items()
    )
    ways = [((150.0, 20.0), (150.0, 34.0)), ((150.0, 54.0), (150.0, 68.0))]
    arm = ((150.0, 54.0), (150.0 if of.closed else 164.0, 34.0))
    groups = (
        group("zero", (lines([((x0 - 2, _ZERO), (x1 + 2, _ZERO))], FINE, "soft"),)),
        group("wave", (Stroke(tuple(path), "mark", LINE),), title="Pilot against earth"),
        group("contactor", (lines([*ways, arm], LINE, "ink"),), title="Contactor"),
        group("volts", marks),
        group(
            "names",
            (Lettering(150, 84, "closed" if of.closed else "open", TEXT_SIZE, "middle", True),),
        ),
    )
    return Detail(HALF, 90, groups, {"high": (x0, top), "low": (x1, low), "zero": (x0, _ZERO)})


def _volts(volt: float) -> str:
    return with_unit(f"{volt:+g}".replace("-", "−") if volt else "0", "V")


def pilot_states_picture(job: Completed, name: str) -> Made | str:
    """States A to F with the duty of this point, and what the contactor does in each."""
    duty = job.case.step("pilot-duty", name)
    current = job.case.step("pilot-current", name)
    if duty is None or duty.value is None or current is None or current.value is None:
        return f"no share of on-time is worked for '{name}'"
    offer = ShownFigure(
        f"{duty.value:.3g} % high offers {with_unit(f'{current.value:g}', 'A')}",
        "share of on-time, and what it offers",
        f"pilot-duty {name}",
    )
    figures: list[ShownFigure] = [offer]
    panels: list[Panel] = []
    for state, (closed, does) in _DOES.items():
        row = pilot_state_row(state)
        if isinstance(row, Gap):
            return f"no voltage of pilot state {state} is held"
        wave, shown = _wave(row, duty.value, closed)
        figures += shown
        said = f"{does} Here {offer.words}." if state == "B" else does
        panels.append(Panel(pilot_wave(wave), None, f"{state}: {row.text('vehicle')}", said))
    return finished(
        job,
        sheet_of(
            f"States of the pilot, {name}",
            "Six states, each with the voltage of the pilot against earth and the contactor beside"
            " it. A and F: steady voltage, open. B: pulses, still open. C: the vehicle is ready,"
            " and only then the contactor closes; D: the same, if the room is ventilated. E: the"
            " pilot"
            f" is shorted to earth, open at once. {offer.words[0].upper()}{offer.words[1:]}.",
            panels,
            tuple(figures),
        ),
    )


def _wave(row: Row, duty: float, closed: bool) -> tuple[PilotWave, list[ShownFigure]]:
    low, state = row.number("low_v"), row.text("state")
    high = row.number("high_v")
    shown = [
        ShownFigure(_volts(volt), f"pilot in state {state}", row=row)
        for volt in dict.fromkeys((high, low))
    ]
    return PilotWave(high, low, duty, closed), shown
