"""Drawing: surge charts: the waves of a run at board, charging point and vehicle, and peaks against
a length.

Withstand lines are lines to compare with. What the vehicle withstands is unknown unless its maker
states it.
"""

from collections.abc import Sequence

from firstway.drawing.chart import Axis, Chart, ChartLevel, ChartLine, chart, nice_top
from firstway.drawing.sheet import Point
from firstway.drawing.svg import Drawn
from firstway.rendering.figures import number_text, with_unit
from firstway.workings.surge.runs import KeptRun, KeptWaves, Wave

SHOWN_US = 5.0
MODEL_NOTE = "Simulated: trust order and slope, not the absolute volts."


def volts(value: float) -> str:
    """Volts as a step's figure beside the chart is printed: one value, one rounding. That no run is
    worth so much, the note says.

    >>> volts(1541.9)
    '1542 V'
    """
    return with_unit(number_text(value, 0), "V")


def waves_chart(
    prefix: str,
    title: str,
    run: KeptRun,
    waves: KeptWaves,
    levels: Sequence[tuple[float, str]] = (),
    top_v: float = 0.0,
    until_us: float = SHOWN_US,
) -> Drawn:
    """Three waves of one run.

    `levels` are (volts, words); `top_v` fixes the axis so that two charts compare.
    """
    places = (
        ("at the vehicle", waves.vehicle, run.vehicle_peak_v),
        ("at the charging point", waves.point, run.point_peak_v),
        ("at the board", waves.board, run.board_peak_v),
    )
    lines = tuple(
        ChartLine(
            f"{words}: highest {volts(peak)}", wave, "mark" if words.endswith("vehicle") else "ink"
        )
        for words, wave, peak in places
    )
    top = top_v or nice_top(1.05 * max(peak for *_, peak in places))
    low = min(
        0.0,
        (
            -0.1 * top
            if min(value for _, wave, _ in places for _, value in wave) < -0.03 * top
            else 0.0
        ),
    )
    told = "; ".join(f"{words} {volts(peak)}" for words, _, peak in reversed(places))
    against = "".join(f" A line marks {words}." for value, words in levels if value < top)
    return chart(
        Chart(
            title,
            f"{title}. Voltage over the first {until_us:g} microseconds. Highest: {told}.{against}"
            f" {MODEL_NOTE}",
            Axis("time in µs", 0, until_us),
            Axis("voltage in V", low, top),
            lines,
            tuple(ChartLevel(value, words) for value, words in levels),
            MODEL_NOTE,
        ),
        prefix,
    )


def comparison_chart(
    prefix: str,
    title: str,
    curves: Sequence[tuple[str, Wave, float]],
    levels: Sequence[tuple[float, str]] = (),
    until_us: float = SHOWN_US,
) -> Drawn:
    """Waves of several runs on one axis; each curve is words, wave, highest value."""
    top = nice_top(1.05 * max(peak for *_, peak in curves))
    told = "; ".join(f"{words} {volts(peak)}" for words, _, peak in curves)
    against = "".join(f" A line marks {words}." for value, words in levels if value < top)
    lines = tuple(
        ChartLine(f"{words}: highest {volts(peak)}", wave, "mark" if index == 0 else "ink")
        for index, (words, wave, peak) in enumerate(curves)
    )
    return chart(
        Chart(
            title,
            f"{title}. Voltage over the first {until_us:g} microseconds. Highest: {told}.{against}"
            f" {MODEL_NOTE}",
            Axis("time in µs", 0, until_us),
            Axis("voltage in V", 0, top),
            lines,
            tuple(ChartLevel(value, words) for value, words in levels),
            MODEL_NOTE,
        ),
        prefix,
    )


def peaks_chart(
    prefix: str,
    title: str,
    along: str,
    curves: Sequence[tuple[str, Sequence[Point]]],
    levels: Sequence[tuple[float, str]] = (),
) -> Drawn:
    """Highest voltages against a length in m, one curve a situation."""
    top = nice_top(1.05 * max(value for _, points in curves for _, value in points))
    end = max(x for _, points in curves for x, _ in points)
    told = "; ".join(
        f"{words}: {volts(points[0][1])} at {points[0][0]:g} m, {volts(points[-1][1])} at"
        f" {points[-1][0]:g} m"
        for words, points in curves
    )
    lines = tuple(
        ChartLine(words, points, "mark" if index == 0 else "ink")
        for index, (words, points) in enumerate(curves)
    )
    return chart(
        Chart(
            title,
            f"{title}. {told[:1].upper()}{told[1:]}. {MODEL_NOTE}",
            Axis(along, 0, end),
            Axis("highest voltage in V", 0, top),
            lines,
            tuple(ChartLevel(value, words) for value, words in levels),
            MODEL_NOTE,
        ),
        prefix,
    )
