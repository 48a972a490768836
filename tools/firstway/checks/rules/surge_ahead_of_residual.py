"""The surge protective device must stand ahead of the residual current device.

Why: a surge that passes through a residual current device can trip it or weld it; and once it has
opened, the surge protective device protects nothing. A delayed device of type S is made to let a
surge pass.
A pass: the surge protective device on the bar beside the main switch, or behind a type S device.
A fail: supplied through the RCBO of the charging point, or through a 30 mA device elsewhere.
"""

from firstway.checks.places import cannot_tell_what_stands_ahead, residual_devices_ahead_of
from firstway.checks.rule import Case, Findings, Rule
from firstway.model.values import is_known

RULE = Rule(
    "surge-ahead-of-residual",
    "The surge protective device stands ahead of the residual current device",
    "BS 7671 534.4.7; IEC 60364-5-53 534.4.7",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.surge_ways):
        ahead = residual_devices_ahead_of(case.installation, way)
        instant = [device for device in ahead if device.delay in ("none", "G")]
        ask = cannot_tell_what_stands_ahead(case.installation)
        unsure = [device for device in ahead if not is_known(device.delay)]
        if instant:
            names = " and ".join(device.name for device in instant)
            yield RULE.says(
                case,
                "fail",
                way.name,
                way.name,
                f"{way.name} is supplied through {names}, which no surge should pass",
                names,
                "none, or type S",
            )
        elif unsure:
            yield RULE.does_not_know(
                case,
                way.name,
                way.name,
                f"whether {unsure[0].name} is of type S; read it on the device",
                "none, or type S",
            )
        elif ask:
            yield RULE.does_not_know(case, way.name, way.name, ask, "none, or type S")
        elif ahead:
            yield RULE.passes(
                case,
                way.name,
                way.name,
                f"{ahead[0].name} ahead of {way.name} is of type S and lets a surge pass",
                "S",
                "none, or type S",
            )
        else:
            yield RULE.passes(
                case,
                way.name,
                way.name,
                f"no residual current device stands ahead of {way.name}",
                "none",
                "none, or type S",
            )
