"""Drawing, pictures for the hands: a surge along its cable: six stills of two runs of the solver,
volts as height over the cable that is drawn.
"""

from collections.abc import Sequence
from dataclasses import replace

from firstway.calculations.surge import Refused, SurgeCase
from firstway.choosing.completing import Completed
from firstway.choosing.lead_ways import LeadPath, job_with_leads
from firstway.drawing.hands.frame import Detail, Made, Panel, ShownFigure, group, sheet_of
from firstway.drawing.hands.hook_up_job import finished
from firstway.drawing.hands.strokes import TEXT_SIZE, Drawables, broad_arrow, conductor, words
from firstway.drawing.sheet import FINE, HAIR, LINE, Box, Disc, Lettering, Point, Stroke
from firstway.drawing.surge_charts import MODEL_NOTE, volts
from firstway.frozen import dataclass
from firstway.model.installation import ChargingPoint, Circuit
from firstway.rendering.figures import number_text, with_unit
from firstway.workings.shared.step import Step
from firstway.workings.surge.loops import lead_step, main_mode, mode_words
from firstway.workings.surge.model import model_row
from firstway.workings.surge.runs import run_of, stills_of, waves_of, way_us
from firstway.workings.surge.steps import case_at

_LEFT, _RIGHT, _BASE, _GROUND = 36.0, 142.0, 100.0, 118.0
_TALLEST = 74.0
_THIN = 0.25  # a point of a curve so near the line of its neighbours is left out
_DASH = "5 3"
_ON_THE_WAY = (
    (0.5, "half way"),
    (1.0, "at the vehicle"),
    (1.5, "back, and adds"),
    (2.0, "at the board"),
)


@dataclass(frozen=True)
class StillCurve:
    """Volts along the way, each at its share of it from 0 at the board to 1 at the vehicle. `low`
    is the run that is filled; `told` stands at the vehicle.
    """

    points: tuple[Point, ...]
    low: bool
    told: str = ""


@dataclass(frozen=True)
class SurgeStill:
    """One instant of both runs. `tallest_v` is drawn as high as there is room; `ways` are the times
    that the wave has gone from end to end, and `point_share` is where the point stands.
    """

    curves: tuple[StillCurve, ...]
    ways: float
    point_share: float
    tallest_v: float


def surge_still(of: SurgeStill) -> Detail:
    """Board, cable, point and vehicle, half a sheet wide; over the cable what stands on it."""
    scale_v = 1000.0 * int(of.tallest_v / 1000) or 500.0
    level = _height(scale_v, of)
    groups = [
        group(
            "scale",
            (Stroke(((_LEFT, level), (_RIGHT, level)), "soft", FINE),),
            (Lettering(1, level + 4.5, with_unit(f"{scale_v / 1000:g}", "kV"), TEXT_SIZE),),
        ),
        *(
            group(f"run.{place}", _curve(curve, of))
            for place, curve in enumerate(sorted(of.curves, key=lambda each: not each.low))
        ),
        group("ground", (Stroke(((2.0, _GROUND), (192.0, _GROUND)), "ink", HAIR),)),
        group("cable", _cable(), title="Supply cable and charging cable"),
        group("board", _board(), title="Board"),
        group("point", _point(of.point_share), title="Charging point"),
        group("vehicle", _vehicle(), title="Vehicle"),
    ]
    arrow = _arrow(of.ways)
    if arrow:
        groups.append(group("moves", (arrow,), title="Which way the front runs"))
    told = [curve for curve in of.curves if curve.told]
    groups += [group(f"told.{place}", _told(curve, of)) for place, curve in enumerate(told)]
    points = {"base": (_RIGHT, _BASE), "tallest": (_RIGHT, _height(of.tallest_v, of))}
    for curve in of.curves:
        name = "low" if curve.low else "high"
        points |= {
            f"{name}-at-board": _placed(curve.points[0], of),
            f"{name}-at-vehicle": _placed(curve.points[-1], of),
        }
    return Detail(194, _GROUND + 18, tuple(groups), points)


def _height(value_v: float, of: SurgeStill) -> float:
    return _BASE - _TALLEST * value_v / of.tallest_v


def _placed(point: Point, of: SurgeStill) -> Point:
    return _LEFT + (_RIGHT - _LEFT) * point[0], _height(point[1], of)


def _curve(curve: StillCurve, of: SurgeStill) -> Drawables:
    points = _thinned([_placed(each, of) for each in curve.points])
    if not curve.low:
        return (Stroke(points, "ink", LINE, _DASH),)
    foot = ((_RIGHT, _BASE), (_LEFT, _BASE))
    return (Stroke((*points, *foot), "", 0, fill="zsh", closed=True), Stroke(points, "ink", LINE))


def _thinned(points: Sequence[Point]) -> tuple[Point, ...]:
    """Without those that lie on the line of the last one kept and the next."""
    kept = [points[0]]
    for point, after in zip(points[1:], points[2:]):
        x, y = kept[-1]
        on_line = y + (after[1] - y) * (point[0] - x) / (after[0] - x)
        if abs(on_line - point[1]) > _THIN:
            kept.append(point)
    return (*kept, points[-1])


def _cable() -> Drawables:
    return (conductor(((34.0, _BASE), (_RIGHT + 4, _BASE)), 3.0, "grey"),)


def _board() -> Drawables:
    return (
        Box(12, 78, 22, 30, "ink", LINE, "plate", 2),
        Box(16, 87, 14, 8, "zline", HAIR, "zw2"),
        Stroke(((23.0, 87.0), (23.0, 95.0)), "zline", FINE),
    )


def _point(share: float) -> Drawables:
    x = _LEFT + (_RIGHT - _LEFT) * share
    return (Box(x - 5, 93, 10, _GROUND - 93, "ink", LINE, "plate", 2),)


def _vehicle() -> Drawables:
    shape: tuple[Point, ...] = (
        (144.0, 112.0),
        (144.0, 97.0),
        (153.0, 95.0),
        (159.0, 86.0),
        (173.0, 86.0),
        (179.0, 96.0),
        (184.0, 99.0),
        (184.0, 112.0),
    )
    return (
        Stroke(shape, "ink", LINE, fill="plate", closed=True, round=2),
        *(Disc(x, 112.5, 5, "zline", LINE, "zk2") for x in (153.0, 175.0)),
    )


def _arrow(ways: float) -> Stroke | None:
    """The front on its first way out and its first way back; then echoes are many."""
    if ways > 2 + 1e-6:
        return None
    out = ways <= 1 + 1e-6
    tip = _LEFT + (_RIGHT - _LEFT) * (ways if out else 2 - ways)
    tail = tip - 30 if out else tip + 30
    return broad_arrow((tail, _GROUND + 9), (tip, _GROUND + 9), 5)


def _told(curve: StillCurve, of: SurgeStill) -> Drawables:
    """Beside the end of its curve, over the vehicle."""
    y = min(_height(curve.points[-1][1], of) + 4.5, 81.0)
    return (Lettering(_RIGHT + 2, y, curve.told, TEXT_SIZE, bold=True),)


def key_of_runs(low: str, high: str) -> Detail:
    """Which curve is which, as wide as a sheet."""
    return Detail(
        400,
        36,
        (
            group(
                "key",
                (
                    Box(4, 4, 26, 11, "", 0, "zsh"),
                    Stroke(((4.0, 4.0), (30.0, 4.0)), "ink", LINE),
                    Stroke(((4.0, 27.0), (30.0, 27.0)), "ink", LINE, _DASH),
                ),
                words(38, 14, low),
                words(38, 31, high),
            ),
        ),
    )


# ---- the pictures


@dataclass(frozen=True)
class ToldRun:
    """A run that is drawn: what it is called, and the step that holds its highest volts."""

    case: SurgeCase
    name: str
    step: Step

    def peaks_at_us(self) -> float:
        """When the vehicle meets most, in µs."""
        waves = waves_of(self.case)
        assert not isinstance(waves, Refused)  # its peaks were asked before
        return max(waves.vehicle, key=lambda each: each[1])[0]

    def told(self) -> str:
        """The highest volts at the vehicle."""
        return volts(float(self.step.figure or 0))


def surge_with_and_without(job: Completed, name: str) -> Made | str:
    """A surge on its way to a point, with the device of the board and without it."""
    found = _of_point(job, name)
    if found is None:
        return f"no charging point is named '{name}'"
    low = _run_told(job, *found, "surge-at-vehicle", True, "with it")
    high = _run_told(job, *found, "surge-at-vehicle-without-spd", False, "without it")
    if low is None or high is None:
        return f"the figures of a surge on its way to '{name}' are not known"
    key = key_of_runs(f"with the device, {low.told()} at most", f"without it: {high.told()}")
    return finished(
        job,
        _stills_picture(
            (low, high),
            key,
            f"{_path(job, *found)}.",
            f"A surge on its way to {name}, with the device of the board and without it",
            "Without it the height climbs on with every echo.",
        ),
    )


def surge_by_ways(job: Completed, name: str) -> Made | str:
    """The same with the device in the first way and in the last."""
    found = _of_point(job, name)
    if found is None:
        return f"no charging point is named '{name}'"
    runs: list[ToldRun] = []
    leads: list[str] = []
    for way in ("first", "last"):
        laid = job_with_leads(job, f"{way}-way")
        path = LeadPath.of(laid) if laid else None
        run = _run_told(laid, *found, "surge-at-vehicle", True, f"{way} way") if laid else None
        lead = laid.case.step(lead_step(path.mode), path.way.name) if laid and path else None
        if run is None or lead is None or lead.figure is None:
            return f"the leads of the device are not known in the {way} way"
        runs.append(run)
        leads.append(with_unit(number_text(float(lead.figure), 2), "m"))
    first, last = runs
    if float(last.step.figure or 0) <= float(first.step.figure or 0):
        return "the device costs no more in the last way"
    key = key_of_runs(
        f"first way, leads {leads[0]}: {first.told()} at most",
        f"last way, leads {leads[1]}: {last.told()} at most",
    )
    return finished(
        job,
        _stills_picture(
            (first, last),
            key,
            f"{_path(job, *found)}.",
            f"A surge on its way to {name}, the device in the first way and in the last",
            "One board, one device; longer leads leave more on the bar, and the end doubles it.",
        ),
    )


def _of_point(job: Completed, name: str) -> tuple[Circuit, ChargingPoint] | None:
    installation = job.installation
    pairs = ((c, p) for c in installation.circuits for p in installation.points_of(c))
    return next((pair for pair in pairs if pair[1].name == name), None)


def _path(job: Completed, circuit: Circuit, point: ChargingPoint) -> str:
    way = LeadPath.of(job)
    mode = main_mode(job.installation, circuit, point, way.way if way else None)
    return mode_words(mode).capitalize()


def _run_told(
    job: Completed, circuit: Circuit, point: ChargingPoint, step_id: str, spd: bool, name: str
) -> ToldRun | None:
    case = case_at(job.case.workings, job.installation, circuit, point, spd=spd)
    step = job.case.step(step_id, point.name)
    if case is None or step is None or step.figure is None or isinstance(run_of(case), Refused):
        return None
    return ToldRun(case, name, step)


def _stills_picture(
    runs: tuple[ToldRun, ToldRun], key: Detail, path: str, title: str, point: str
) -> Made:
    low, high = runs
    way = way_us(low.case)
    wanted = [(ways * way, words) for ways, words in _ON_THE_WAY]
    wanted += [(run.peaks_at_us(), f"most {run.name}") for run in (high, low)]
    wanted.sort()
    at_us = tuple(round(at, 6) for at, _ in wanted)
    drawn = [_curves(run, at_us, run is low) for run in runs]
    tallest = max(float(run.step.figure or 0) for run in runs)
    share = low.case.supply_m / (low.case.supply_m + low.case.cable_m)
    panels = [Panel(key, None, "", f"{path} Height over the cable is voltage. {MODEL_NOTE}", True)]
    figures = [
        ShownFigure(
            run.told(), f"highest at the vehicle, {run.name}", f"{run.step.id} {run.step.of}"
        )
        for run in runs
    ]
    for place, (at, said) in enumerate(wanted):
        curves = tuple(
            replace(each[place], told=run.told() if said == f"most {run.name}" else "")
            for each, run in zip(drawn, runs)
        )
        still = SurgeStill(curves, at / way, share, tallest)
        panels.append(Panel(surge_still(still), None, f"{_time(at)}: {said}"))
    speed = model_row("line-m-per-us").row
    figures.append(ShownFigure(_time(way), "from the board to the vehicle", row=speed))
    told = "; ".join(f"{_time(at)}: {said}" for at, said in wanted)
    return sheet_of(
        title,
        f"{title}. Six stills of one run each: {told}. Highest at the vehicle: {low.name}"
        f" {low.told()}, {high.name} {high.told()}. At the open end the wave turns back and adds to"
        f" what still comes. {point} {MODEL_NOTE}",
        panels,
        figures,
    )


def _curves(run: ToldRun, at_us: tuple[float, ...], low: bool) -> list[StillCurve]:
    found = stills_of(run.case, at_us)
    assert not isinstance(found, Refused)  # a case of one earth, without loss or mains
    whole = run.case.supply_m + run.case.cable_m
    return [
        StillCurve(tuple((metres / whole, value) for metres, value in points), low)
        for _, points in found.stills
    ]


def _time(at_us: float) -> str:
    return with_unit(number_text(at_us, 2), "µs")
