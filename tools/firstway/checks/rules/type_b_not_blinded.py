"""Nothing ahead of a type B device may be blinded by what that device lets pass.

Why: a type B device works on with direct current that is too small to open it. That current also
passes through every residual current device ahead; a type A or AC there can be blinded. No clause
was found: makers and national guidance say so.
A pass: nothing ahead, or another type B. Advice: type A or F ahead, unless its maker allows it. A
fail: type AC ahead.
"""

from firstway.checks.devices import OPEN_ON_RESIDUAL
from firstway.checks.places import residual_devices_ahead_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "type-b-not-blinded",
    "Nothing ahead of a type B device is blinded",
    "makers' and national guidance; type AC: BS 7671 531.3.3",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
    standing="found",
)


def check(case: Case) -> Findings:
    for circuit in case.each(case.installation.circuits):
        way = case.installation.way_feeding(circuit.name)
        inside = any(
            point.dc_detection == "type-b" for point in case.installation.points_of(circuit)
        )
        if way.residual_type != "B" and not inside:
            continue
        ahead = list(residual_devices_ahead_of(case.installation, way))
        own = (
            [(way.name, way.residual_type)]
            if inside and way.residual_type != "B" and way.device in OPEN_ON_RESIDUAL
            else []
        )
        blinded = [(item.name, item.residual_type) for item in ahead] + own
        if not is_known(case.installation.feed):
            yield RULE.does_not_know(
                case,
                circuit.name,
                way.name,
                "what the board is fed through, ahead of a type B device",
                "none, or type B",
            )
        elif not blinded:
            yield RULE.passes(
                case,
                circuit.name,
                way.name,
                "nothing stands ahead of the type B device",
                "none",
                "none, or type B",
            )
        for name, kind in blinded:
            if not is_known(kind):
                yield RULE.does_not_know(
                    case,
                    circuit.name,
                    way.name,
                    f"the type of {name}, ahead of a type B device; read it on the device",
                    "none, or type B",
                )
            elif kind == "AC":
                yield RULE.says(
                    case,
                    "fail",
                    circuit.name,
                    way.name,
                    f"{name}, of type AC, stands ahead of a type B device and can be blinded",
                    "AC",
                    "none, or type B",
                )
            elif kind == "B":
                yield RULE.passes(
                    case, circuit.name, way.name, f"{name} is of type B too", "B", "none, or type B"
                )
            else:
                yield RULE.says(
                    case,
                    "advice",
                    circuit.name,
                    way.name,
                    f"{name}, of type {kind}, stands ahead of a type B device: ask its maker"
                    " whether that is allowed",
                    str(kind),
                    "none, or type B",
                )
