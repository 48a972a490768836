"""Drawing, pictures for the hands: the leads of a surge protective device in its own board, by the
shortest way and on a tour of the walls, to the scale of the plan.
"""

from firstway.choosing.completing import Completed
from firstway.choosing.lead_ways import LeadFigures, LeadPath, job_with_leads
from firstway.drawing.hands.frame import HALF, Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.strokes import (
    TEXT_SIZE,
    Drawables,
    Scale,
    body,
    conductor,
    edge_line,
)
from firstway.drawing.part_words import function_mark
from firstway.drawing.sheet import HAIR, LINE, Box, Group, Lettering, Point
from firstway.drawing.text_width import reserved_width
from firstway.frozen import dataclass
from firstway.layout.plan import BarBody, Laid, Parts, Solid
from firstway.model.nec_words import in_nec_words
from firstway.rendering.figures import number_text, with_unit
from firstway.wiring.graph import Conductor
from firstway.workings.surge.leads import conductors_of
from firstway.workings.surge.loops import lead_step

_EDGE = 3.0  # units beside the enclosure
_THINNEST = 2.6  # units of a conductor


@dataclass(frozen=True)
class LeadsInBoard:
    """The parts of a board, the rule set its marks follow, its surge protective device by name, and
    the conductors that join the device as they lie, each with its graph.
    """

    parts: Parts
    rules: str
    device: str
    leads: tuple[tuple[Conductor, Laid], ...]


def leads_in_board(of: LeadsInBoard) -> Detail:
    """The enclosure from the front: the device among its neighbours, bars, and its leads."""
    outer = of.parts.outer
    scale = Scale(
        _EDGE - outer.low[0] * _per_mm(of.parts),
        _EDGE - outer.low[1] * _per_mm(of.parts),
        _per_mm(of.parts),
    )
    backs = min(each.body.low[2] for each in of.parts.devices)
    deep = [each for each in of.leads if min(point[2] for point in each[1].points) < backs]
    rest = [each for each in of.leads if each not in deep]
    line_bar = of.parts.line_bar
    bars: list[Drawables] = [
        (body(_front(scale, each.box), "zm2", HAIR),) for each in of.parts.bars
    ]
    if line_bar:
        bars.append((body(_front(scale, line_bar.box), "zc2", HAIR),))
    neighbours = [each for each in of.parts.devices if each.name != of.device]
    own = next(each for each in of.parts.devices if each.name == of.device)
    groups = [
        group("enclosure", (_box(scale, outer, LINE, "panel"),), title="Enclosure"),
        *_leads(deep, scale, "behind"),
        group("neighbours", *((_box(scale, each.body, HAIR, "paper"),) for each in neighbours)),
        group("device", (_box(scale, own.body, LINE, "plate"),), title=of.device),
        group("bars", *bars, title="Bars"),
        group("marks", *(_mark(scale, each, of) for each in of.parts.bars)),
        *_leads(rest, scale, "before"),
        group("name", _name(of.device, scale, own.body)),
    ]
    tall = outer.size(1) * scale.per_mm + 2 * _EDGE
    return Detail(HALF, tall, tuple(groups), _ends(of, scale))


def _per_mm(parts: Parts) -> float:
    return (HALF - 2 * _EDGE) / parts.outer.size(0)


def _front(scale: Scale, of: Solid) -> tuple[Point, ...]:
    return scale.block(*of.low[:2], *of.high[:2])


def _box(scale: Scale, of: Solid, line: float, fill: str) -> Box:
    x, y = scale.at(*of.low[:2])
    return Box(x, y, of.size(0) * scale.per_mm, of.size(1) * scale.per_mm, "ink", line, fill, 2)


def _leads(leads: list[tuple[Conductor, Laid]], scale: Scale, where: str) -> list[Group]:
    """Round conductors in their colours; a tooth of the line bar as a strip."""
    found = []
    for place, (each, laid) in enumerate(leads):
        points = scale.path(*(point[:2] for point in laid.points))
        item = (
            conductor(points, max(_THINNEST, laid.diameter_mm * scale.per_mm), each.colour, 5.0)
            if laid.diameter_mm
            else edge_line(*points, width=LINE, ink="ink")
        )
        found.append(group(f"{where}.{place}", (item,), title=f"{each.function} lead"))
    return found


def _mark(scale: Scale, bar: BarBody, of: LeadsInBoard) -> Drawables:
    """The letters of a bar, after its end where it lies level, below it where it is upright."""
    (x0, y0), (x1, y1) = scale.at(*bar.box.low[:2]), scale.at(*bar.box.high[:2])
    words = function_mark("N" if bar.kind == "neutral-bar" else "PE", of.rules)
    if bar.box.size(0) > bar.box.size(1):
        wall = scale.at(0, of.parts.outer.low[1])[1], scale.at(0, of.parts.outer.high[1])[1]
        y = min(max((y0 + y1) / 2 + 4.5, wall[0] + TEXT_SIZE), wall[1] - 4)
        return (Lettering(x1 + 4, y, words, TEXT_SIZE, bold=True),)
    return (Lettering(max(x0, 2 * _EDGE), y1 + 13, words, TEXT_SIZE, bold=True),)


def _name(name: str, scale: Scale, of: Solid) -> Drawables:
    x, y = scale.at(of.middle(0), of.middle(1))
    if reserved_width(name, TEXT_SIZE, True) > of.size(0) * scale.per_mm:
        return ()
    return (Lettering(x, y + 4.5, name, TEXT_SIZE, "middle", True),)


def _ends(of: LeadsInBoard, scale: Scale) -> dict[str, Point]:
    """Both ends of each lead: what a test or a question may name."""
    return {
        f"{each.function}-{end}": scale.at(*laid.points[at][:2])
        for each, laid in of.leads
        for end, at in (("start", 0), ("end", -1))
    }


def spd_leads(job: Completed, name: str) -> Made | str:
    """The device of a board with its leads by the shortest way, and with one tidied along the
    walls: lengths, loop and volts of each.
    """
    path = LeadPath.of(job)
    if path is None or path.way.name != name:
        return f"the bar feeds no surge protective device '{name}'"
    panels, figures = [], []
    for ways, right, head in (
        ("first-way", True, "by the shortest way"),
        ("on-a-tour", False, "tidied along the walls"),
    ):
        worked = job_with_leads(job, ways)
        told = worked and LeadFigures.of(worked)
        if not worked or not told:
            return f"what the leads of '{name}' come to is not known"
        shown = _figures(told)
        figures += shown
        under = _under(told, shown)
        if job.installation.rules == "nec":  # before its lines are broken, for its words are longer
            under = in_nec_words(under)
        panels.append(Panel(leads_in_board(_in_board(worked, told.path)), right, head, under))
    short, long = figures[: len(figures) // 2], figures[len(figures) // 2 :]
    return finished(
        job,
        sheet_of(
            f"The leads of {name}, as they should lie and as they should not",
            f"Right: the leads of {name} lie by the shortest way, side by side; with the"
            f" line side {short[1].words}, and {short[-1].words} at the vehicle. Wrong: the"
            f" {path.side} lead is tidied along the walls; with the line side {long[1].words}, and"
            f" {long[-1].words} at the vehicle. The same device in the same board.",
            panels,
            figures,
        ),
    )


def _in_board(worked: Completed, path: LeadPath) -> LeadsInBoard:
    plan, laid = worked.case.plan, worked.case.layout.by_id
    drawn = [
        (each, laid[each.id])
        for side in ("line", "neutral", "earth")
        for each in conductors_of(plan, path.way, side)
        if each.id in laid
    ]
    return LeadsInBoard(
        worked.case.layout.parts, worked.installation.rules, path.way.name, tuple(drawn)
    )


def _figures(of: LeadFigures) -> list[ShownFigure]:
    """The lead, both leads, their loop where there is one, the vehicle's figure."""

    def shown(value: float, unit: str, places: int, says: str, step: str) -> ShownFigure:
        return ShownFigure(with_unit(number_text(value, places), unit), says, step)

    name, side = of.path.way.name, of.path.side
    found = [
        shown(of.lead_m, "m", 2, f"the {side} lead", f"spd-{side}-lead {name}"),
        shown(of.whole_m, "m", 2, "with the line side", f"{lead_step(of.path.mode)} {name}"),
    ]
    if of.loop_cm2:
        loop = f"conductor-loop-area {of.path.lead}"
        found.append(shown(of.loop_cm2, "cm²", 0, "the loop of the two", loop))
    found.append(
        shown(of.vehicle_v, "V", 0, "highest at the vehicle", f"surge-at-vehicle {of.point}")
    )
    return found


def _under(of: LeadFigures, shown: list[ShownFigure]) -> str:
    lead, whole, *loop, volts = (each.words for each in shown)
    area = f", a loop of {loop[0]}" if loop else ""
    return (
        f"{of.path.side.capitalize()} lead {lead}; with the line side {whole}{area}. At the"
        f" vehicle {volts}."
    )
