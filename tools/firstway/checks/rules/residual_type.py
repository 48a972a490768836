"""The residual current device must still work when the vehicle lets direct current leak.

Why: smooth direct current magnetises the core of a type A device until it no longer sees an
alternating fault. Either the device is of type B, or something in the charging point detects 6 mA
of direct current and opens. Type A alone keeps working beside 6 mA; it does not detect it.
A pass: type A with detection (RDC-DD) in the point; type B. A fail: type AC; type A with nothing.
"""

from firstway.checks.devices import OPEN_ON_RESIDUAL, own_residual
from firstway.checks.places import (
    may_protect_one_point,
    residual_devices_ahead_of,
    says_no_residual_device,
)
from firstway.checks.rule import Case, Finding, Findings, Rule
from firstway.model.installation import RESIDUAL_TYPES, ChargingPoint, Circuit, Trade, Way
from firstway.model.values import NONE, UNDECLARED, UNKNOWN, is_known

RULE = Rule(
    "residual-type",
    "The residual current type fits the direct current detection",
    "BS 7671 722.531.3.101, 531.3.3; IEC 60364-7-722 722.531.3.101",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        for point in case.each(case.installation.points_of(circuit)):
            if (
                says_no_residual_device(case.installation, circuit)
                and point.earthed_by != "separated"
            ):
                yield RULE.says(
                    case,
                    "fail",
                    circuit.name,
                    way.name,
                    "no residual current device of any type stands on this circuit",
                    "none",
                    "A with detection, or B",
                )
            else:
                yield _of(case, circuit, way, point)


def _of(case: Case, circuit: Circuit, way: Way, point: ChargingPoint) -> Finding:
    kind, detection = _own_type(case, way, point), point.dc_detection
    if kind == "AC":
        return RULE.says(
            case,
            "fail",
            circuit.name,
            way.name,
            "type AC does not see the pulsating current a vehicle can leak",
            "AC",
            "A with detection, or B",
        )
    if kind == "B":
        return RULE.passes(
            case,
            circuit.name,
            way.name,
            "type B also sees smooth direct current",
            "B",
            "A with detection, or B",
        )
    if not is_known(kind):
        return RULE.does_not_know(
            case,
            circuit.name,
            way.name,
            f"the type of {_where(way)}; read it on the device",
            "A with detection, or B",
        )
    if detection == UNDECLARED:
        return RULE.does_not_know(
            case,
            circuit.name,
            way.name,
            f"whether {point.name} detects 6 mA of direct current; ask its maker",
            "A with detection, or B",
        )
    if detection == NONE:
        return RULE.says(
            case,
            "fail",
            circuit.name,
            way.name,
            f"type {kind} and no detection of direct current in {point.name}: the device can be"
            " blinded",
            str(kind),
            "A with detection, or B",
        )
    if not is_known(detection):
        return RULE.does_not_know(
            case,
            circuit.name,
            way.name,
            f"whether {point.name} detects 6 mA of direct current; read its data sheet",
            "A with detection, or B",
        )
    return RULE.passes(
        case,
        circuit.name,
        way.name,
        f"type {kind}, and {point.name} detects direct current ({detection})",
        str(kind),
        "A with detection, or B",
    )


def _own_type(case: Case, way: Way, point: ChargingPoint) -> Trade:
    """The type of the device that guards the point: of its way, else of one ahead for it alone,
    else of the point.
    """
    guard = own_residual(case.installation, way)
    if guard is not None:
        return guard.residual_type
    own = [
        each.residual_type
        for each in residual_devices_ahead_of(case.installation, way)
        if may_protect_one_point(case.installation, each)
    ]
    built_in = str(point.built_in_rcd).removeprefix("type-").upper()
    return own[0] if own else built_in if built_in in RESIDUAL_TYPES else UNKNOWN


def _where(way: Way) -> str:
    return (
        way.name
        if way.device in OPEN_ON_RESIDUAL
        else "the residual current device ahead or in the point"
    )
