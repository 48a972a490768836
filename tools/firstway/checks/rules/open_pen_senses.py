"""What an open-PEN device watches shows the broken PEN before a person does.

Why: a current in the protective conductor flows only once somebody, or wet ground, closes its way
to earth: a device that watches nothing else acts when a person is already part of the circuit. A
device that compares three lines needs three.
A pass: the voltage to true earth; three lines of a three-phase supply. A fail: the protective
current alone; three lines where there is one.
"""

from firstway.checks.places import may_charge_outdoors
from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import ChargingPoint
from firstway.model.values import is_known, key_of

RULE = Rule(
    "open-pen-senses",
    "What the open-PEN device watches shows a broken PEN",
    "BS 7671 722.411.4.1 (iii) to (v)",
    "2018+A2:2022",
    "fail",
    ("bs7671",),
)
_BETTER = "voltage to true earth, or three lines of three"


def check(case: Case) -> Findings:
    if case.installation.supply.system not in ("TN-C-S", "TN-S"):
        return
    for point in case.each(case.installation.charging_points):
        own_earth = is_known(point.earthed_by) and point.earthed_by != "supply"
        if (
            key_of(point.open_pen, "measure") == "device"
            and not own_earth
            and may_charge_outdoors(case.installation, point.name) is not False
        ):
            yield _of(case, point)


def _of(case: Case, point: ChargingPoint) -> Finding:
    senses = key_of(point.open_pen, "senses")
    if not is_known(senses):
        return RULE.does_not_know(
            case,
            point.name,
            point.name,
            f"what the open-PEN device of {point.name} watches; ask its maker",
            _BETTER,
        )
    if senses == "protective-current":
        return RULE.says(
            case,
            "fail",
            point.name,
            point.name,
            "it watches the protective current alone, which flows only once somebody has touched",
            str(senses),
            _BETTER,
        )
    if senses == "three-lines" and case.installation.supply.phases != 3:
        return RULE.says(
            case,
            "fail",
            point.name,
            point.name,
            "it compares three lines, and this supply has one",
            str(senses),
            _BETTER,
        )
    return RULE.passes(
        case,
        point.name,
        point.name,
        f"it watches the {str(senses).replace('-', ' ')}",
        str(senses),
        _BETTER,
    )
