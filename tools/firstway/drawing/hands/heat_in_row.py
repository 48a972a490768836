"""Drawing, pictures for the hands: heat in a row of devices: what each makes, where the warm air
goes, a neighbour, a blank between, and a hole that is none of its ways.

Figures are a band, and a pair of devices has none at all: what a gap gains only a maker can say.
"""

from dataclasses import replace

from firstway.choosing.completing import Completed
from firstway.drawing.hands.figures import ASK_MAKER
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.strokes import TEXT_SIZE, Drawables, broad_arrow, ring
from firstway.drawing.sheet import HAIR, LINE, Box, Lettering, Stroke
from firstway.frozen import dataclass
from firstway.model.installation import MainSwitch, Way
from firstway.model.values import is_known
from firstway.rendering.figures import number_text, with_unit
from firstway.workings.shared.step import Step

_ROW_TOP, _TALL = 74.0, 62.0
_BLANK_WORD = 30.0  # a narrower blank has no room for its word


@dataclass(frozen=True)
class WarmDevice:
    """A device as wide as it is in modules. `watts` are what it makes, 0 for what stays cold;
    `blank` is no device but a cover over nothing.
    """

    name: str
    modules: float
    watts: float = 0.0
    told: str = ""
    blank: bool = False


@dataclass(frozen=True)
class WarmRow:
    """Devices from left to right in an enclosure so many units wide. `holes`: its top is drilled,
    and what heat leaves by them is not the way it should.
    """

    devices: tuple[WarmDevice, ...]
    width: float
    holes: bool = False


def warm_row(of: WarmRow) -> Detail:
    """The enclosure cut open from the front: devices on their rail, warm air above them, heat
    through the walls.
    """
    left, right, top = 22.0, of.width - 22.0, 34.0
    low = 176.0 if any(each.told for each in of.devices) else 160.0
    parts = [
        group("case", (Box(left, top, right - left, low - top, "ink", LINE, "panel", 4),)),
        group("rail", (Box(left + 8, 102, right - left - 16, 8, "zline", HAIR, "zz3"),)),
    ]
    whole = sum(each.modules for each in of.devices)
    unit = min(34.0 if of.width > 200 else 23.0, (right - left - 24) / whole)
    x = (left + right - unit * whole) / 2
    most = max(each.watts for each in of.devices) or 1.0
    bodies: list[Drawables] = []
    names: list[Drawables] = []
    arrows: list[Drawables] = []
    for device in of.devices:
        wide = unit * device.modules
        bodies.append(_body(device, x, wide))
        if not device.blank or wide > _BLANK_WORD:
            names.append(_name(device, x, wide))
        if device.watts:
            reach = 16 + 14 * device.watts / most
            middle = x + wide / 2
            arrows.append((broad_arrow((middle, _ROW_TOP - 3), (middle, _ROW_TOP - reach), 6),))
        x += wide
    parts += [
        group("devices", *bodies),
        group("names", *names),
        group("warm", *arrows, title="Warm air rises"),
    ]
    walls = (
        broad_arrow((left - 2, 80), (2, 80), 6),
        broad_arrow((right + 2, 80), (of.width - 2, 80), 6),
        broad_arrow((of.width / 2, top - 2), (of.width / 2, 10), 6),
    )
    parts.append(group("through-walls", walls, title="Heat through the walls"))
    points = {"top": (of.width / 2, top)}
    if of.holes:
        holes = tuple(Box(right - 3, at - 4, 6, 8, "", 0, "ink") for at in (120, 132, 144))
        parts += [
            group("holes", holes, title="Holes"),
            group("wrong", (ring(right, 132, 19),)),
        ]
        points["wrong"] = (right, 132.0)
    return Detail(of.width, low + 4, tuple(parts), points)


def _body(device: WarmDevice, x: float, wide: float) -> Drawables:
    middle = x + wide / 2
    if device.blank:
        line = ((x + 5, _ROW_TOP + 5), (x + wide - 5, _ROW_TOP + _TALL - 5))
        return (
            Box(x, _ROW_TOP, wide, _TALL, "ink", HAIR, "none", 0, "4 3"),
            Stroke(line, "soft", HAIR),
        )
    return (
        Box(x, _ROW_TOP, wide, _TALL, "ink", LINE, "zw2" if device.watts else "zw1", 2),
        Box(middle - 5, _ROW_TOP + 22, 10, 18, "zline", HAIR, "zk2"),
    )


def _name(device: WarmDevice, x: float, wide: float) -> Drawables:
    """Its name and what it makes."""
    middle = x + wide / 2
    if device.blank:
        return (Lettering(middle, 152, device.name, TEXT_SIZE, "middle"),)
    found = (Lettering(middle, 152, device.name, TEXT_SIZE, "middle", True),)
    told = (Lettering(middle, 169, device.told, TEXT_SIZE, "middle"),) if device.told else ()
    return (*found, *told)


# ---- the picture


def heat_in_row(job: Completed, name: str) -> Made | str:
    """The row of a job with its heat, and what neighbours, a blank and holes do."""
    loss, rise = (job.case.step(each, "board") for each in ("enclosure-loss", "enclosure-rise"))
    if name != "board" or loss is None or not loss.known or rise is None or not rise.known:
        return "the heat of this board is not known"
    row = _row_of(job)
    if row is None:
        return "the width of a device in the row is not known"
    figures = [
        ShownFigure(_band(loss), "heat inside, all points charging", "enclosure-loss board"),
        ShownFigure(_band(rise), "rise of the air over the room", "enclosure-rise board"),
        _when_warm(job),
    ]
    hot = WarmDevice("warm", 2, 1.0)
    cold, blank = WarmDevice("cold", 2), WarmDevice("blank", 1.4, blank=True)
    pair = WarmRow((hot, hot), 194.0)
    blanks = any(each.blank for each in row.devices)
    dashed = "Dashed: a blank, no device behind it. " if blanks else ""
    beside_cold = WarmRow((hot, cold), 194.0)
    return finished(
        job,
        sheet_of(
            "Heat in a row of devices",
            f"The row of the board with what each device makes: {figures[0].words} together; the"
            f" air inside rises by {figures[1].words}, a band and no verdict. Warm air rises over"
            " each device, and heat leaves through the faces of the box. Two warm neighbours warm"
            " each other; a blank between lets air pass, as only the maker can say how much;"
            " beside a cold device a gap may do harm. Right: the box is closed. Wrong: holes are"
            " drilled, and its protection has ended.",
            [
                Panel(
                    warm_row(row),
                    None,
                    f"All points charging: {figures[0].words}",
                    f"{dashed}The rest is lost in the wires. Air inside over the room:"
                    f" {figures[1].words}. In brackets, the least and the most it may be:"
                    " nothing is judged by it, for the makers' limits decide."
                    f" {figures[2].words}.",
                    whole=True,
                ),
                Panel(
                    warm_row(pair),
                    None,
                    "Two warm neighbours",
                    "Each warms the side of the other: the maker's factor for devices loaded"
                    " together.",
                ),
                Panel(
                    warm_row(replace(pair, devices=(hot, blank, hot))),
                    None,
                    "A blank between them",
                    "Air can rise there. How much it helps: only as the maker says.",
                ),
                Panel(
                    warm_row(beside_cold),
                    None,
                    "A cold neighbour",
                    "It takes some of the heat away.",
                ),
                Panel(
                    warm_row(replace(beside_cold, devices=(hot, blank, cold))),
                    None,
                    "A blank between these",
                    "It may make the warm one warmer.",
                ),
                Panel(warm_row(pair), True, "closed", "Heat leaves through the faces."),
                Panel(
                    warm_row(replace(pair, holes=True)),
                    False,
                    "holes drilled",
                    "They end the protection of the box.",
                ),
            ],
            figures,
        ),
    )


def _band(step: Step) -> str:
    """A value with its low and high, as its step is printed."""
    value, low, high = (
        number_text(float(each if each is not None else step.figure or 0), step.places)
        for each in (step.figure, step.low, step.high)
    )
    return f"{with_unit(value, step.unit)} ({low} to {high})"


def _row_of(job: Completed) -> WarmRow | None:
    """The devices as they stand, from the left."""
    board = job.installation.board
    devices: list[WarmDevice] = []
    for way in (board.main_switch, *board.ways):
        if not isinstance(way, (MainSwitch, Way)) or not is_known(way.modules):
            return None
        loss = job.case.step("device-loss", way.name)
        if isinstance(way, Way) and way.device == "spd":
            loss = job.case.step("surge-device-loss", "board")
        blank = isinstance(way, Way) and way.device == "blank"
        watts = float(loss.figure) if loss is not None and loss.figure is not None else 0.0
        told = with_unit(number_text(watts, 1), "W") if watts else ""
        name = "blank" if blank else str(way.name)
        devices.append(WarmDevice(name, float(way.modules), watts, told, blank))
    at_right = _switch_at_right(job)
    return WarmRow(tuple(reversed(devices) if at_right else devices), 400.0)


def _switch_at_right(job: Completed) -> bool:
    """Whether the main switch stands at the right end of the row."""
    enclosure = job.installation.board.enclosure
    return is_known(enclosure) and enclosure.main_switch_end == "right"


def _when_warm(job: Completed) -> ShownFigure:
    """What the first device that the circuits load still carries."""
    for way in job.installation.board.ways:
        step = job.case.step("device-current-when-warm", way.name)
        if step is None:
            continue
        if step.figure is None:
            return ShownFigure(f"What {way.name} may carry when warm: {ASK_MAKER}", "not stated")
        carries = with_unit(number_text(float(step.figure), step.places), step.unit)
        path = f"{step.id} {way.name}"
        return ShownFigure(f"{way.name} may carry {carries} when warm", "from its maker", path)
    return ShownFigure(f"What a device may carry when warm: {ASK_MAKER}", "not stated")
