"""Drawing: charts of a job: when its device opens and where the faults lie, drop and loop against
length, heat against time.

Every line is worked by the formulas the page shows. Of a device only the standard's band is drawn:
the curve inside it is the maker's.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from firstway.calculations.cable import R1_PLUS_R2, RESISTANCE_AT_TEMPERATURE
from firstway.calculations.heat import RISE_AFTER
from firstway.choosing.completing import Completed
from firstway.drawing.chart import Axis, Chart, ChartLevel, ChartLine, chart, nice_top, tick_below
from firstway.drawing.sheet import Point
from firstway.drawing.svg import Drawn
from firstway.model.installation import Circuit, Way
from firstway.model.values import is_known
from firstway.rendering.figures import figure_in_formula, shown
from firstway.tables.looking_up import voltage_drop_limit_percent
from firstway.tables.reading import Gap, Read, read_one, thermal_trip
from firstway.workings.shared.step import Figures, Step

_AT_ONCE_S = 0.1  # IEC 60898-1: instantaneous tripping means within 0.1 s
FASTEST_S, SLOWEST_S = 0.01, 10_000.0
POINTS = 24
HEAT_POINTS = 48


def charts_of(completed: Completed, circuit: Circuit, prefix: str) -> tuple[Drawn, ...]:
    """Every chart whose inputs are known, for one circuit."""
    made = (
        time_current_chart(completed, circuit, f"{prefix}-time-current"),
        drop_chart(completed, circuit, f"{prefix}-drop"),
        loop_chart(completed, circuit, f"{prefix}-loop"),
    )
    return tuple(drawn for drawn in made if drawn)


# Time and current


def time_current_chart(completed: Completed, circuit: Circuit, prefix: str) -> Drawn | None:
    """The band the standard sets for the device, with the design current and the faults of the
    circuit.

    IEC 60898-1 and 61009-1 share it. None for a device of another standard or without a curve: no
    curve of ours.
    """
    way, workings = completed.installation.way_feeding(circuit.name), completed.case.workings
    band = standard_band(way)
    if band is None or not is_known(way.rating_a):
        return None
    stays, opens = band
    fault, short = (
        workings.find("earth-fault-current", circuit.name),
        workings.find("fault-current-at-charging-point", circuit.name),
    )
    current = workings.find("design-current", circuit.name)
    rating = float(way.rating_a)
    lines = [
        ChartLine("left of this it must not open: up to an hour, or at once", stays),
        ChartLine("right of this it must have opened: within the hour, or within 0.1 s", opens),
    ]
    told = []
    for step, words, time_s in (
        (current, "design current, for hours", SLOWEST_S * 0.7),
        (fault, "smallest earth fault at the point", _AT_ONCE_S),
        (short, "smallest short circuit at the point", _AT_ONCE_S * 0.4),
    ):
        if step is not None and step.value is not None and step.value > 0:
            label = f"{words}, {shown(step)}{_place_words(step.value, stays, opens, words)}"
            end = FASTEST_S if time_s < 1 else time_s / 30
            lines.append(
                ChartLine(
                    label,
                    tuple((step.value, time_s * (end / time_s) ** (part / 6)) for part in range(7)),
                    "mark",
                )
            )
            told.append(label)
    farthest = max(
        [opens[-1][0] * 2, *(step.value * 1.3 for step in (fault, short) if step and step.value)]
    )
    lowest = min(
        [
            rating * 0.6,
            *(step.value * 0.8 for step in (current, fault, short) if step and step.value),
        ]
    )
    title = (
        f"When {way.name} opens:"
        f" {str(way.device).upper() if way.device == 'rcbo' else str(way.device)} {way.curve}"
        f" {figure_in_formula(rating)} A"
    )
    note = (
        "The standard's band (conventional currents from memory). Between the lines lies the"
        " maker's own curve: ask the maker."
        + (
            " A residual current to earth is cleared by the residual current function, sooner than"
            " this."
            if is_known(way.rated_residual_current_ma)
            else ""
        )
    )
    text = (
        f"{title}. Time against current, both logarithmic. It must not open within an hour at"
        f" {figure_in_formula(stays[0][0])} A or at once at {figure_in_formula(stays[-1][0])} A; it"
        f" must open within the hour at {figure_in_formula(opens[0][0])} A and within 0.1 s at"
        f" {figure_in_formula(opens[-1][0])} A. {'; '.join(told)}. {note}"
    )
    return chart(
        Chart(
            title,
            text,
            Axis("current in A", tick_below(lowest), farthest, True),
            Axis("time in s", FASTEST_S, SLOWEST_S, True),
            tuple(lines),
            (),
            note,
        ),
        prefix,
    )


def standard_band(way: Way) -> tuple[tuple[Point, ...], tuple[Point, ...]] | None:
    """(current, time) of the two edges: where the device must not open, where it must
    have opened.
    """
    if not (is_known(way.curve) and is_known(way.rating_a) and is_known(way.standard)) or not any(
        number in str(way.standard) for number in ("60898", "61009")
    ):
        return None
    found = [
        thermal_trip("no_trip_x_in"),
        thermal_trip("trip_x_in"),
        thermal_trip("time_s"),
        read_one("trip_multiple", "least_x_in", curve=str(way.curve)),
        read_one("trip_multiple", "sure_trip_x_in", curve=str(way.curve)),
    ]
    if any(isinstance(each, Gap) for each in found):
        return None
    no_trip, trip, hour, least, sure = (each.value for each in found if isinstance(each, Read))
    rating = float(way.rating_a)
    # The standard fixes the corners only; the edge between them is drawn along the cautious corner
    # of each.
    stays = (
        (no_trip * rating, hour),
        (no_trip * rating, _AT_ONCE_S),
        (least * rating, _AT_ONCE_S),
        (least * rating, FASTEST_S),
    )
    opens = (
        (trip * rating, SLOWEST_S),
        (trip * rating, hour),
        (sure * rating, hour),
        (sure * rating, _AT_ONCE_S),
        (sure * rating, FASTEST_S),
    )
    return stays, opens


def _place_words(ampere: float, stays: Sequence[Point], opens: Sequence[Point], words: str) -> str:
    if words.startswith("design"):
        return ": carried without end" if ampere <= stays[0][0] else ": above what it must carry"
    if ampere >= opens[-1][0]:
        return ": opened at once"
    return (
        ": not surely opened at once"
        if ampere > stays[-1][0]
        else ": not opened at once by overcurrent"
    )


# Heat and time


def heat_chart(completed: Completed, prefix: str) -> Drawn | None:
    """Rise of the air inside the enclosure while every point charges, from a cold start: a band,
    never a verdict.
    """
    workings = completed.case.workings
    rise, constant = (
        workings.find("enclosure-rise", "board"),
        workings.find("enclosure-time-constant", "board"),
    )
    rises, times = _band_of(rise), _band_of(constant)
    if rise is None or constant is None or rises is None or times is None:
        return None
    session = max(
        (step.value for step in workings if step.id == "charge-time" and step.value is not None),
        default=None,
    )
    end = math.ceil(max(4 * times[1] / 60, 1.2 * (session or 0.0)))

    def curve(steady: float, minutes: float) -> tuple[Point, ...]:
        return tuple(
            (
                end * place / HEAT_POINTS,
                RISE_AFTER.value(
                    {"t_r": steady, "t": 60 * end * place / HEAT_POINTS, "tau": minutes}
                ),
            )
            for place in range(HEAT_POINTS + 1)
        )

    likely, low, high = (
        curve(rises[1], times[1]),
        curve(rises[0], times[2]),
        curve(rises[2], times[0]),
    )
    lines = [
        ChartLine(
            f"as worked: {shown(rise)} in the end, 63 % of it after {shown(constant)}", likely
        ),
        ChartLine(
            f"highest: most loss, least cooling, least mass:"
            f" {shown(replace(rise, value=rise.high))}",
            high,
        ),
        ChartLine(
            f"lowest: least loss, most cooling, most mass: {shown(replace(rise, value=rise.low))}",
            low,
        ),
    ]
    told = ""
    if session is not None:
        at = RISE_AFTER.value({"t_r": rises[1], "t": 60 * session, "tau": times[1]})
        lines.append(
            ChartLine(
                f"end of the longest charge in the file: {session:.1f} h,"
                f" {shown(replace(rise, value=at))}",
                ((session, at), (session, at / 2), (session, 0.0)),
                "mark",
            )
        )
        told = f" {lines[-1].words[:1].upper()}{lines[-1].words[1:]}."
    title = "How fast the air inside the board warms"
    note = (
        "Illustrative: masses assumed, a small enclosure, all points charging. A band and no"
        " verdict: nothing passes or fails on it."
    )
    text = (
        f"{title}: its rise over the room against time from a cold start."
        f" {' '.join(f'{line.words[:1].upper()}{line.words[1:]}.' for line in lines[:3])}{told} The"
        f" rise never jumps; after three times {shown(constant)} it has all but ended. {note}"
    )
    return chart(
        Chart(
            title,
            text,
            Axis("hours of charging", 0, end),
            Axis("rise over the room in K", 0, nice_top(1.05 * high[-1][1])),
            tuple(lines),
            (),
            note,
            (*high, *reversed(low)),
        ),
        prefix,
    )


def _band_of(step: Step | None) -> tuple[float, float, float] | None:
    """Least, likely and highest of a step, in its unit; None where one of them is not known."""
    if step is None or step.low is None or step.value is None or step.high is None:
        return None
    return step.low, step.value, step.high


# Against length


def _lengths(
    length: float, at: Callable[[float], float], levels: Sequence[ChartLevel]
) -> tuple[Point, ...]:
    """The line from no length to about twice the job's; its end, where its letter stands, keeps
    clear of the words of a level.
    """
    ends = [nice_top(max(10.0, share * length)) for share in (2.0, 1.6, 2.6, 1.3)]
    clear = [end for end in ends if all(not 0.8 < level.value / at(end) < 1.25 for level in levels)]
    end = clear[0] if clear else ends[0]
    return tuple((end * place / POINTS, at(end * place / POINTS)) for place in range(POINTS + 1))


def drop_chart(completed: Completed, circuit: Circuit, prefix: str) -> Drawn | None:
    """Voltage drop, as the working works it, if the cable were shorter or longer."""
    workings = completed.case.workings
    drop, length = (
        workings.find("voltage-drop", circuit.name),
        workings.value("length", circuit.name),
    )
    if (
        drop is None
        or drop.value is None
        or drop.figures is None
        or "L" not in drop.figures.values
        or not length
    ):
        return None
    formula, values = drop.figures.formula, drop.figures.values
    levels = _drop_levels(completed, circuit)
    points = _lengths(length, lambda metres: formula.value({**values, "L": metres}), levels)
    title = f"Voltage drop of {circuit.name} against its length"
    return _against_length(title, "voltage drop in V", points, length, drop, levels, prefix)


def _drop_levels(completed: Completed, circuit: Circuit) -> tuple[ChartLevel, ...]:
    nominal = completed.case.workings.value("nominal-voltage", circuit.name)
    rules = completed.installation.rules
    share = voltage_drop_limit_percent(rules, "branch" if rules == "nec" else "other")
    if not nominal or isinstance(share, Gap):
        return ()
    return (
        ChartLevel(
            nominal * share.value / 100, f"{share.value:g} % of {figure_in_formula(nominal)} V"
        ),
    )


def loop_chart(completed: Completed, circuit: Circuit, prefix: str) -> Drawn | None:
    """Loop impedance with hot conductors, as the working works it, against the length of the cable;
    None through an electrode.
    """
    workings, of = completed.case.workings, circuit.name
    loop, limit = workings.find("loop-impedance", of), workings.find("loop-impedance-limit", of)
    put_in, cold, hot = (
        _put_in(step)
        for step in (
            loop,
            workings.find("r1-plus-r2-reading", of),
            workings.find("r1-plus-r2-hot", of),
        )
    )
    length = workings.value("length", of)
    if loop is None or put_in is None or cold is None or hot is None or length is None:
        return None
    if (
        "R_c" not in put_in.values
        or "R_A" in put_in.values
        or cold.formula is not R1_PLUS_R2
        or hot.formula is not RESISTANCE_AT_TEMPERATURE
    ):
        return None

    def at(metres: float) -> float:
        resistance = R1_PLUS_R2.value({**cold.values, "L": metres})
        return put_in.formula.value(
            {
                **put_in.values,
                "R_c": RESISTANCE_AT_TEMPERATURE.value({**hot.values, "R_20": resistance}),
            }
        )

    levels = (ChartLevel(limit.value, f"limit {shown(limit)}"),) if limit and limit.value else ()
    return _against_length(
        f"Earth fault loop of {of} against its length",
        "loop impedance in Ω",
        _lengths(length, at, levels),
        length,
        loop,
        levels,
        prefix,
    )


def _put_in(step: Step | None) -> Figures | None:
    """The formula of a step that was worked, with its figures."""
    return None if step is None or step.value is None else step.figures


def _against_length(
    title: str,
    upright: str,
    points: tuple[Point, ...],
    length: float,
    step: Step,
    levels: tuple[ChartLevel, ...],
    prefix: str,
) -> Drawn:
    assert step.value is not None
    end = points[-1][0]
    near = [level for level in levels if level.value < 4 * points[-1][1]]
    top = nice_top(1.1 * max([points[-1][1], *(level.value for level in near)]))
    here = ChartLine(
        f"this job: {figure_in_formula(length)} m, {shown(step)}",
        ((length, step.value), (length, step.value / 2), (length, 0.0)),
        "mark",
    )
    reached = [
        f"{level.words} would be reached at {_reach(points, level.value)} m"
        for level in near
        if points[0][1] < level.value and math.isfinite(_slope(points))
    ]
    note = "Same cable, same current, same way of running it; only the length changes."
    text = (
        f"{title}: a straight line. At {figure_in_formula(length)} m it is {shown(step)}."
        f" {'; '.join(reached)}{'. ' if reached else ''}{note}"
    )
    lines = (ChartLine("with the cable of this job", points), here)
    return chart(
        Chart(
            title,
            text,
            Axis("length of the cable in m", 0, end),
            Axis(upright, 0, top),
            lines,
            tuple(levels),
            note,
        ),
        prefix,
    )


def _slope(points: Sequence[Point]) -> float:
    rise = (points[-1][1] - points[0][1]) / (points[-1][0] - points[0][0])
    return 1 / rise if rise > 0 else math.inf


def _reach(points: Sequence[Point], value: float) -> str:
    """Length at which a straight line reaches a value, down to a whole metre: a limit is never
    promised a metre too far.
    """
    return f"{math.floor(points[0][0] + (value - points[0][1]) * _slope(points) + 1e-9):,}"
