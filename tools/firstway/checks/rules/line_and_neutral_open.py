"""The device that protects a charging point must open line and neutral.

Why: the section on charging asks that the residual current device opens every live conductor.
The neutral is live: with a lost PEN or crossed conductors it stands at a dangerous voltage, and a
device that leaves it joined leaves the vehicle joined. A device with an unswitched neutral may be
right elsewhere; here it is not.
Where a residual current device of its own stands ahead of a breaker, it is the one that opens.
A pass: a device that opens two poles on one phase. A fail: one that opens the line alone.
"""

from firstway.checks.devices import OPEN_ON_RESIDUAL, declared_inside, own_residual
from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file, within
from firstway.model.values import is_known

RULE = Rule(
    "line-and-neutral-open",
    "The device opens line and neutral",
    "BS 7671 722.531.3; IEC 60364-7-722 722.531.3",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        feeding = case.installation.way_feeding(circuit.name)
        way = own_residual(case.installation, feeding) or feeding
        wanted = len(circuit.lines) + (1 if circuit.neutral is True else 0)
        if not is_known(way.switched_poles) or not is_known(circuit.neutral):
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                f"how many poles {way.name} opens; read it on the device or ask the maker",
                wanted,
            )
        elif not within(wanted, way.switched_poles):
            yield RULE.says(
                case,
                "fail",
                circuit.name,
                way.name,
                f"{way.name} leaves a live conductor joined when it opens",
                way.switched_poles,
                wanted,
                "poles",
            )
        else:
            yield RULE.passes(
                case,
                circuit.name,
                way.name,
                f"{way.name} opens every live conductor of the circuit",
                way.switched_poles,
                wanted,
                "poles",
            )
        for point in case.each(case.installation.points_of(circuit)):
            if way.device not in OPEN_ON_RESIDUAL and declared_inside(point):
                yield RULE.compares(
                    case,
                    point.name,
                    point.name,
                    of_file(point.built_in_rcd_poles, "the poles of the device inside"),
                    JudgedFigure(float(wanted)),
                    "poles",
                    "the residual current device inside the point opens every live conductor",
                    "the residual current device inside the point leaves a live conductor joined"
                    " when it opens",
                    at_most=False,
                )
