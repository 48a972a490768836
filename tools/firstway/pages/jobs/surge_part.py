"""Pages: a surge in the reader's own installation: two waves, what is left for the vehicle, what
would improve it most.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from firstway.calculations.surge import Refused, SurgeCase
from firstway.choosing.completing import Completed
from firstway.drawing.chart import nice_top
from firstway.drawing.hands.library import BY_ID, drawn_picture
from firstway.drawing.sheet import Point
from firstway.drawing.surge_charts import comparison_chart, peaks_chart, volts, waves_chart
from firstway.drawing.svg import Drawn
from firstway.model.installation import ChargingPoint, Circuit, Way
from firstway.pages.shared.hand_picture import hand_picture_html
from firstway.pages.shared.picture import picture_html
from firstway.rendering.figures import figure_html
from firstway.rendering.html import (
    Markup,
    details_html,
    html_identity,
    joined,
    sentence,
    table_html,
    tag,
)
from firstway.rendering.surge import SURGE_LIMITS
from firstway.rendering.working import assumed_mark
from firstway.workings.shared.step import Step
from firstway.workings.surge.loops import (
    PATHS,
    SurgeMode,
    main_mode,
    mode_words,
    own_earth,
    surge_modes,
)
from firstway.workings.surge.model import model_value
from firstway.workings.surge.runs import KeptRun, KeptWaves, case_for_peaks, run_of, waves_of
from firstway.workings.surge.steps import PATH_NOTES, case_at, surge_device

Levels = tuple[tuple[float, str], ...]
CHANGES = (
    ("shorter-leads", "each lead half as long"),
    ("first-way", "the device in the first way"),
    ("second-spd", "a second device at the point (behind the RCBO, which it may open)"),
)
LITTLE_V = 1.0  # a change that gains less is told as none
LEAD_LENGTHS = (0.1, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0)
CABLE_LENGTHS = (1.5, 3.0, 6.0, 10.0, 15.0, 22.0, 30.0, 40.0)


def surge_part(completed: Completed) -> Markup:
    """The part of an installation page, short: the working pages hold every figure.

    Each charging point has its own waves.
    """
    points = [
        (circuit, point)
        for circuit in completed.installation.circuits
        for point in completed.installation.points_of(circuit)
    ]
    shown = joined(_point_html(completed, circuit, point) for circuit, point in points)
    # of several points the stills would make the page too large to load
    stills = _stills_html(completed, points[0][1]) if len(points) == 1 else Markup()
    return shown + stills + tag("p", SURGE_LIMITS, class_="careful")


def _stills_html(completed: Completed, point: ChargingPoint) -> Markup:
    """The surge on its way along the cable, folded away; nothing where a figure is not known."""
    picture = BY_ID["surge-along-cable"]
    found = drawn_picture(picture, completed, point.name)
    if isinstance(found, str):
        return Markup()
    return details_html(f"{picture.title}: six stills", hand_picture_html(*found))


def _point_html(completed: Completed, circuit: Circuit, point: ChargingPoint) -> Markup:
    workings, installation = completed.case.workings, completed.installation
    without = case_at(workings, installation, circuit, point, spd=False)
    if without is None:
        return _not_known(completed, point)
    fitted = case_at(workings, installation, circuit, point)
    return (
        picture_html(_two_waves(completed, circuit, point, without, fitted))
        + _changes_html(completed, circuit, point)
        + _paths_html(completed, circuit, point)
    )


def _path_of_charts(completed: Completed, circuit: Circuit, point: ChargingPoint) -> str:
    installation = completed.installation
    return mode_words(main_mode(installation, circuit, point, surge_device(installation)))


def _two_waves(
    completed: Completed,
    circuit: Circuit,
    point: ChargingPoint,
    without: SurgeCase,
    fitted: SurgeCase | None,
) -> Drawn:
    """The vehicle without and with the device of the board, in one chart, for they are there to be
    compared.
    """
    curves = [("at the vehicle, without a device", _waves_of(without).vehicle, _peak(without))]
    if fitted is not None:
        curves += [
            ("at the vehicle, with it", _waves_of(fitted).vehicle, _peak(fitted)),
            (
                "at the board, with it",
                _waves_of(fitted).board,
                _peak(fitted, lambda run: run.board_peak_v),
            ),
        ]
    return comparison_chart(
        html_identity(completed.installation.name, point.name, "surge"),
        f"A surge at {point.name}, {_path_of_charts(completed, circuit, point)}",
        curves,
        levels_at(completed, point),
    )


def _waves_of(case: SurgeCase) -> KeptWaves:
    waves = waves_of(case)
    assert not isinstance(
        waves, Refused
    )  # the cases of a worked installation have been asked before
    return waves


def _waves(
    completed: Completed,
    point: ChargingPoint,
    name: str,
    words: str,
    case: SurgeCase,
    levels: Levels,
    top: float,
) -> Drawn | None:
    run, waves = run_of(case), waves_of(case)
    if isinstance(run, Refused) or isinstance(waves, Refused):
        return None
    prefix = html_identity(completed.installation.name, point.name, "surge", name)
    return waves_chart(prefix, f"A surge at {point.name}, {words}", run, waves, levels, top)


def levels_at(completed: Completed, point: ChargingPoint) -> Levels:
    """Lines to compare with: rated impulse voltages of category I and II, and what vehicles are
    tested with.
    """
    told = (
        ("withstand-category-i", "category I, {:g} kV"),
        ("withstand-category-ii", "category II, {:g} kV"),
        ("vehicle-test-level", "tested, not promised: {:g} kV"),
    )
    find = completed.case.workings.find
    return tuple(
        (1000 * step.value, words.format(step.value))
        for step_id, words in told
        if (step := find(step_id, point.name)) is not None and step.value is not None
    )


def _changes_html(completed: Completed, circuit: Circuit, point: ChargingPoint) -> Markup:
    """The changes that gain most, first."""
    find, name = completed.case.workings.find, completed.installation.name
    gains = [
        (step, words)
        for key, words in CHANGES
        if (step := find(f"gain-of-{key}", point.name)) is not None
    ]
    if not gains:
        return tag(
            "p",
            (
                "This board holds no working surge protective device: one in the first way, on"
                " short leads, is the change that counts."
            ),
        )
    if any(step.value is None for step, _ in gains):
        return _not_known(completed, point, "surge-at-vehicle")
    gains.sort(key=lambda item: -(item[0].value or 0.0))
    items = [
        f"{words}: "
        + (
            Markup("{} less").format(figure_html(step, name))
            if (step.value or 0) >= LITTLE_V
            else "nothing, it is so already"
        )
        for step, words in gains
    ]
    assumed = assumed_mark(gains[0][0])
    path = _path_of_charts(completed, circuit, point)
    return tag("p", f"What would lower it at the vehicle, {path}", assumed, ":") + tag(
        "ol", tag("li", Markup("</li><li>").join(items))
    )


OTHER_WAVES = (
    ("in-impulse", "8/20 µs, nominal current"),
    ("in-ring-wave", "a wave that rings"),
    ("with-point-capacitor", "small capacitor in the point"),
)


def _paths_html(completed: Completed, circuit: Circuit, point: ChargingPoint) -> Markup:
    """Every path, other waves along the path of the chart, and a point on an earth of its own."""
    chart_mode = _path_of_charts(completed, circuit, point)
    others = [(f"surge-at-vehicle-{name}", words, chart_mode) for name, words in OTHER_WAVES]
    return paths_table(completed, circuit, point, others) + _two_earths_html(completed, point)


def paths_table(
    completed: Completed,
    circuit: Circuit,
    point: ChargingPoint,
    others: Sequence[tuple[str, str, str]] = (),
) -> Markup:
    """Each path to the vehicle and what of the device stands in it; `others` are more rows: step,
    words, path.
    """
    way = surge_device(completed.installation)
    if way is None:
        return Markup()
    installation, find = completed.installation, completed.case.workings.find
    told = [
        (f"surge-at-vehicle-{mode}", mode_words(mode), _stands_in(way, mode))
        for mode in surge_modes(circuit)
    ]
    rows = [
        (
            ": ".join(each for each in (words, _asked(step, path)) if each) + assumed_mark(step),
            figure_html(step, installation.name),
            _highest(step),
        )
        for name, words, path in (*told, *others)
        if (step := find(name, point.name)) is not None
    ]
    connection = f", {way.connection}" if way.connection in PATHS else ""
    return table_html(
        (f"path, {way.name} in it", "at the vehicle", "pessimistic"),
        rows,
        f"Every path from the board to {point.name}{connection}, each by its own leads",
        "plain key",
        numbers=(1, 2),
    )


def _stands_in(way: Way, mode: SurgeMode) -> str:
    path = PATHS.get(str(way.connection), {}).get(mode)
    note = PATH_NOTES.get((mode, path.elements)) if path else None
    return "; ".join(text for text in (path.words if path else "", note) if text)


def _highest(step: Step) -> str:
    return "" if step.high is None else volts(step.high)


def _asked(step: Step, path: str) -> str:
    """What stands in a path, and whom to ask where its figure is not known."""
    ask = sentence(step.ask) if step.value is None and step.ask else ""
    return ". ".join(part for part in (path, ask) if part)


def _two_earths_html(completed: Completed, point: ChargingPoint) -> Markup:
    """What a point on an earth of its own makes of the device in the board."""
    installation, find = completed.installation, completed.case.workings.find
    if not own_earth(installation, point):
        return Markup()
    rise, gain = (
        find(name, point.name)
        for name in ("rise-between-earths-line-to-earth", "gain-of-second-spd-line-to-earth")
    )
    held = (
        f"{point.name} stands on an earth of its own. The device in the board holds the line to"
        " the earth of the board and lifts that against the point's: little is held between line"
        " and earth at the vehicle. A device on the earth of the point would: CT2, or behind a"
        " residual current device, since a worn element of CT1 puts the line on that earth."
    )
    if rise is None or rise.value is None or gain is None:
        return tag("p", held)
    name = installation.name
    figures = Markup(" Rise between the two earths: {}; such a device would take {} off.")
    return tag("p", held, figures.format(figure_html(rise, name), figure_html(gain, name)))


def _not_known(
    completed: Completed, point: ChargingPoint, step_id: str = "surge-at-vehicle-without-spd"
) -> Markup:
    step = completed.case.workings.find(step_id, point.name)
    ask = sentence(step.ask) if step is not None and step.ask else ""
    return tag(
        "div",
        tag(
            "p",
            tag("strong", "Not known"),
            f" at {point.name}. {ask} A missing figure is never a pass.",
        ),
        class_="missing",
    )


def _peak(
    case: SurgeCase, read: Callable[[KeptRun], float] = lambda run: run.vehicle_peak_v
) -> float:
    run = run_of(case)
    return 0.0 if isinstance(run, Refused) else read(run)


# ---- charts a chapter may ask for


def chart_of(completed: Completed, name: str) -> Drawn | None:
    """A chart of the first charging point by its name; None for an unknown name or unknown
    figures.
    """
    circuit = completed.installation.circuits[0]
    point = completed.installation.points_of(circuit)[0]
    workings, installation = completed.case.workings, completed.installation
    fitted, bound = (
        case_at(workings, installation, circuit, point, bound=law) for law in (False, True)
    )
    without = case_at(workings, installation, circuit, point, spd=False)
    if fitted is None or bound is None or without is None:
        return None
    levels, top = levels_at(completed, point), nice_top(1.05 * _peak(without))
    prefix = html_identity("chart", installation.name, name)
    path = _path_of_charts(completed, circuit, point)
    if name == "surge-with-spd":
        return _waves(
            completed,
            point,
            f"chart-{name}",
            f"{path}, with the device of the board",
            fitted,
            levels,
            top,
        )
    if name == "surge-without-spd":
        return _waves(
            completed,
            point,
            f"chart-{name}",
            f"{path}, without a surge protective device",
            without,
            levels,
            top,
        )
    if name == "surge-leads":
        curves = (
            (
                "at the vehicle, single power law (pessimistic)",
                _along_leads(bound, lambda run: run.vehicle_peak_v),
            ),
            ("at the vehicle, two-term law", _along_leads(fitted, lambda run: run.vehicle_peak_v)),
            ("at the board, two-term law", _along_leads(fitted, lambda run: run.board_peak_v)),
        )
        return peaks_chart(
            prefix,
            f"Highest voltage, {path}, against the length of the leads",
            "both leads together, in m",
            curves,
            levels,
        )
    if name == "surge-distance":
        return peaks_chart(
            prefix,
            f"Highest voltage, {path}, against the distance",
            "board to vehicle, in m",
            (
                ("at the vehicle", _along_cable(fitted, lambda run: run.vehicle_peak_v)),
                ("at the board", _along_cable(fitted, lambda run: run.board_peak_v)),
            ),
            levels,
        )
    if name == "surge-ringing":
        ringing = replace(fitted, source="ring-wave", loss_ohm_per_m=model_value("loss-ohm-per-m"))
        return peaks_chart(
            prefix,
            f"Highest voltage at the vehicle, {path}, against the distance, by wave",
            "board to vehicle, in m",
            (
                ("a wave that rings with 100 kHz", _by_metres(ringing)),
                ("combination wave", _by_metres(fitted)),
            ),
        )
    return None


CHARTS = ("surge-with-spd", "surge-without-spd", "surge-leads", "surge-distance", "surge-ringing")


def _by_metres(case: SurgeCase) -> Sequence[Point]:
    """Every second metre of the way, the charging cable as it is."""
    own = case.cable_m
    steps = range(math.ceil(own) + 2, _RINGS_UNTIL_M + 1, 2)
    return [(float(whole), _peak(replace(case, supply_m=whole - own))) for whole in steps]


_RINGS_UNTIL_M = 60  # a long way at one house; three peaks of the ringing lie within


def _along_leads(case: SurgeCase, read: Callable[[KeptRun], float]) -> Sequence[Point]:
    return [(length, _peak(replace(case, lead_m=length), read)) for length in LEAD_LENGTHS]


def _along_cable(case: SurgeCase, read: Callable[[KeptRun], float]) -> Sequence[Point]:
    """The whole way split as two to one between supply cable and charging cable: with the contactor
    closed it is one line.
    """
    return [
        (
            length,
            _peak(case_for_peaks(replace(case, supply_m=length * 2 / 3, cable_m=length / 3)), read),
        )
        for length in CABLE_LENGTHS
    ]
