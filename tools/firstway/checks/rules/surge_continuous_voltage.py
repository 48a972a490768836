"""The surge protective device stands the supply voltage for ever.

Why: it sits across the supply day and night. If its continuous voltage is too near the supply's, it
warms at every high hour and wears out unseen.
A pass: 275 V on 230 V. A fail: 240 V on 230 V. The part between neutral and earth (CT2) needs the
voltage to earth.
"""

from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file, of_table, times
from firstway.model.installation import Way
from firstway.model.values import key_of
from firstway.tables.looking_up import spd_limit

RULE = Rule(
    "surge-continuous-voltage",
    "The surge protective device stands the supply voltage",
    "BS 7671 534.4.4.3 and Table 534.2 (from memory); IEC 60364-5-53 534.4.4.3",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for way in case.each(case.installation.every_surge_device):
        own = of_file(
            way.continuous_voltage_v, f"the continuous voltage of {way.name}; read it on the device"
        )
        yield RULE.compares(
            case,
            way.name,
            way.name,
            own,
            _least(case, "continuous-voltage-x-u0"),
            "V",
            "it stands the supply voltage with its tolerance",
            "its continuous voltage is too near the supply's: it would wear out unseen",
            at_most=False,
        )
        if isinstance(way, Way) and way.connection == "CT2":
            module = way.neutral_earth
            between = of_file(
                key_of(module, "continuous_voltage_v"),
                f"the continuous voltage of {way.name} between neutral and earth; read it on the"
                " device",
            )
            yield RULE.compares(
                case,
                way.name,
                way.name,
                between,
                _least(case, "continuous-voltage-neutral-earth-x-u0"),
                "V",
                "the part between neutral and earth stands the voltage to earth",
                "the part between neutral and earth does not stand the voltage to earth",
                at_most=False,
            )


def _least(case: Case, quantity: str) -> JudgedFigure:
    return times(
        of_table(spd_limit(quantity)),
        of_file(case.installation.supply.line_to_earth_v, "the voltage of the supply to earth"),
    )
