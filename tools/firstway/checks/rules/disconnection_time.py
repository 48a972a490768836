"""An earth fault is cleared in the time the rules give.

Why: what a shock does depends on how long it lasts. By wording, a hard-wired circuit above 32 A may
take seconds; a person at the vehicle stands just as close, so the short time is the one to design
for. A residual current device keeps it with ease.
A pass: 0.04 s. Advice: within the long time, above the short one; or a time through an electrode
that only the product standard's slowest device would need. A fail: longer than the wording allows,
or nothing that opens at all.
"""

from firstway.checks.rule import (
    Case,
    Finding,
    Findings,
    JudgedFigure,
    Rule,
    of_step,
    of_table,
    within,
)
from firstway.model.installation import Circuit
from firstway.model.values import is_known
from firstway.tables.looking_up import disconnection_time_s

RULE = Rule(
    "disconnection-time",
    "An earth fault is cleared in time",
    "BS 7671 411.3.2.2 to 411.3.2.4, Table 41.1; IEC 60364-4-41 411.3.2",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)
_SMALLEST_RATING_A = 1.0  # any rating at or below 32 A reads the short time


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        yield _of(case, circuit)


def _of(case: Case, circuit: Circuit) -> Finding:
    way = case.installation.way_feeding(circuit.name)
    time = of_step(
        case, "disconnection-time", circuit.name, "how long an earth fault at the point would last"
    )
    limit = of_step(
        case,
        "disconnection-time-limit",
        circuit.name,
        "the disconnection time the rules allow here",
    )
    short = _short_time(case, circuit)
    say = lambda level, message, bound: RULE.says(
        case, level, circuit.name, way.name, message, time.value, bound.value, "s"
    )
    if time.value is None and _nothing_opens(case, circuit):
        return RULE.says(
            case,
            "fail",
            circuit.name,
            way.name,
            "an earth fault at the point opens nothing for certain: its current is too small",
            "nothing opens",
            limit.value,
            "s",
        )
    if time.value is None or limit.value is None or short.value is None:
        return RULE.does_not_know(
            case, circuit.name, way.name, time.ask or limit.ask or short.ask, limit.value, "s"
        )
    if not within(time.value, limit.value):
        if _by_product_standard(case, circuit) and way.delay == "none":
            return say(
                "advice",
                "the longest time the product standard allows at so small a fault current is above"
                " the limit; devices are mostly quicker: measure it, and lower the electrode",
                limit,
            )
        return say("fail", "an earth fault would last longer than the rules allow", limit)
    if not within(time.value, short.value):
        return say(
            "advice",
            "allowed by the wording for this circuit, yet longer than the short time: design to the"
            " short one",
            short,
        )
    if not _within_its_loop(case, circuit):
        return say(
            "advice",
            "quick enough at the loop worked here, which is above the limit of its device: put the"
            " loop right first (loop-impedance)",
            short,
        )
    return RULE.passes(
        case,
        circuit.name,
        way.name,
        "an earth fault is cleared within the short time",
        time.value,
        short.value,
        "s",
    )


def _nothing_opens(case: Case, circuit: Circuit) -> bool:
    """Whether the current of a fault at the point is known, and no device ahead of it is sure to
    open on so little.
    """
    if of_step(case, "earth-fault-current", circuit.name).value is None:
        return False
    places = [
        case.sweep.place(f"{point.name}.{line}")
        for point in case.installation.points_of(circuit)
        for line in point.lines
    ]
    openings = [case.sweep.opening(place) for place in places if place is not None]
    return any(opening is not None and opening.nothing for opening in openings)


def _within_its_loop(case: Case, circuit: Circuit) -> bool:
    """Through an electrode the device must also keep 50 V (411.5.3): without that its time alone is
    no pass.
    """
    if case.step("source-electrode", circuit.name) is None:
        return True
    loop, limit = (
        of_step(case, step_id, circuit.name)
        for step_id in ("loop-impedance", "loop-impedance-limit")
    )
    return loop.value is not None and limit.value is not None and within(loop.value, limit.value)


def _short_time(case: Case, circuit: Circuit) -> JudgedFigure:
    installation = case.installation
    voltage = installation.supply.line_to_earth_v
    if not is_known(voltage):
        return JudgedFigure(None, "the voltage of the supply to earth")
    points = installation.points_of(circuit)
    electrode = any(
        is_known(point.earthed_by) and point.earthed_by not in ("supply", "separated")
        for point in points
    )
    return of_table(
        disconnection_time_s(
            installation.rules,
            "TT" if electrode else str(installation.supply.system),
            "final",
            False,
            _SMALLEST_RATING_A,
            float(voltage),
        )
    )


def _by_product_standard(case: Case, circuit: Circuit) -> bool:
    """Whether the time is the product standard's longest for a residual current device, not a
    reading.
    """
    step = case.step("disconnection-time", circuit.name)
    return step is not None and any(row.table == "rcd_times" for row in step.rows)
