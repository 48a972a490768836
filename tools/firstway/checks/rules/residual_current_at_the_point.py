"""Every charging point has its own residual current device of at most 30 mA.

Why: a person at a vehicle stands outdoors, often in the wet. The device must be quick, sensitive,
and shared with nothing else, so that a fault elsewhere does not end the charge.
A pass: an RCBO of 30 mA for one point, or a residual current device with one breaker behind it.
A fail: 100 mA, a delay, none, or one device shared by two circuits.
"""

from firstway.checks.devices import (
    OPEN_ON_RESIDUAL,
    circuits_behind,
    declared_inside,
    own_residual,
    shared_residual,
)
from firstway.checks.places import says_no_residual_device
from firstway.checks.rule import Case, Findings, Rule, of_file, of_table, within
from firstway.model.values import is_known
from firstway.tables.reading import Gap, rcd_limit

RULE = Rule(
    "residual-current-at-the-point",
    "Each point has its own residual current device of at most 30 mA",
    "BS 7671 722.531.3.101; IEC 60364-7-722 722.531.3.101",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    limit = rcd_limit("additional-protection-ma")
    for circuit in case.each(case.installation.circuits):
        feeding = case.installation.way_feeding(circuit.name)
        shared = shared_residual(case.installation, feeding)
        way = own_residual(case.installation, feeding) or feeding
        points = case.installation.points_of(circuit)
        if any(point.earthed_by == "separated" for point in points) or isinstance(limit, Gap):
            continue
        if len(points) > 1:
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                way.name,
                f"{way.name} is shared by {len(points)} points",
                len(points),
                1,
                "points",
            )
        guarded_inside = bool(points) and all(map(declared_inside, points))
        if way.device not in OPEN_ON_RESIDUAL and shared is not None and not guarded_inside:
            others = circuits_behind(case.installation, shared)
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                shared.name,
                f"{shared.name} is shared by {' and '.join(others)}: a fault on one ends the charge"
                " on all, and leakage adds up. Give each point a device of its own; where the"
                " maker of the board has none, a board of its own beside it",
                len(others),
                1,
                "circuits",
            )
        elif says_no_residual_device(case.installation, circuit):
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                way.name,
                f"no residual current device protects {circuit.name} alone: none in the board,"
                " ahead of it or in the point",
                "none",
                limit.value,
                "mA",
            )
        elif way.device not in OPEN_ON_RESIDUAL and guarded_inside:
            for point in case.each(points):
                yield RULE.compares(
                    case,
                    point.name,
                    point.name,
                    of_file(point.built_in_rcd_ma, "the rated residual current inside the point"),
                    of_table(limit),
                    "mA",
                    f"{point.name} has a sensitive residual current device inside, declared to"
                    f" {point.built_in_rcd_standard}",
                    "the device inside opens too late to protect a person",
                )
        elif way.device not in OPEN_ON_RESIDUAL:
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                "whether a residual current device to a listed standard stands elsewhere on this"
                " circuit",
                limit.value,
                "mA",
            )
        elif not is_known(way.rated_residual_current_ma):
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                f"the rated residual current of {way.name}",
                limit.value,
                "mA",
            )
        elif way.delay == "G":
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                f"whether {way.name}, of type G, keeps the times of an undelayed device; ask its"
                " maker",
                "no delay",
                value="G",
            )
        elif way.delay == "S":
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                way.name,
                "the device is delayed: it opens too late to protect a person",
                str(way.delay),
                "no delay",
            )
        elif not within(way.rated_residual_current_ma, limit.value):
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                way.name,
                "the device opens too late to protect a person",
                way.rated_residual_current_ma,
                limit.value,
                "mA",
            )
        else:
            yield RULE.passes(
                case,
                circuit.name,
                way.name,
                "the point has its own sensitive residual current device",
                way.rated_residual_current_ma,
                limit.value,
                "mA",
            )
