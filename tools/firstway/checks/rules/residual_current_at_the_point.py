"""Every charging point has its own residual current device of at most 30 mA.

Why: a person at a vehicle stands outdoors, often in the wet. The device must be quick, sensitive,
and shared with nothing else, so that a fault elsewhere does not end the charge.
A pass: an RCBO of 30 mA for one point. A fail: 100 mA, a delay, or none.
"""

from firstway.checks.places import says_no_residual_device
from firstway.checks.rule import Case, Findings, Rule, within
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
        way = case.installation.way_feeding(circuit.name)
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
        if says_no_residual_device(case.installation, circuit):
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
        elif way.device not in ("rcbo", "rcd"):
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
