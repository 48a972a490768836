"""When the open-PEN device has acted, nothing else joins the vehicle's earth to the supply's.

Why: the device opens the protective conductor for the one moment it is needed. A second way,
through armour, a screen or a spare core, leaves the vehicle on the risen earth all the same.
A pass: the device is the only way. A fail: the vehicle's earth stays joined when it is open.
"""

from firstway.checks.rule import Case, Findings, Rule
from firstway.wiring.circuit import OPEN_PEN, States, opens_protective
from firstway.wiring.downstream import outlet
from firstway.wiring.joined_groups import groups

RULE = Rule(
    "open-pen-not-bypassed",
    "Nothing bypasses the open-PEN device",
    "BS 7671 722.411.4.1",
    "2018+A3:2024",
    "fail",
    ("bs7671",),
)


def check(case: Case) -> Findings:
    circuit = case.circuit
    for point in case.each(case.installation.charging_points):
        if not opens_protective(point):
            continue
        found = groups(circuit, States(open=frozenset((point.name, f"{point.name}.{OPEN_PEN}"))))
        if found.get(outlet(point.name, "PE"), "") == found[case.wiring.main_earth]:
            yield RULE.says(
                case,
                "fail",
                point.name,
                outlet(point.name, "PE"),
                f"the vehicle's earth at {point.name} stays joined to the supply's when the"
                " open-PEN device is open",
            )
