"""The surge protective device stands the voltage it is connected across for ever.

Why: it sits across the supply day and night. If its continuous voltage is too near the supply's, it
warms at every high hour and wears out unseen.
A pass: 150 V on 120 V to ground. A fail: 110 V.
"""

from firstway.checks.rule import Case, Findings, NecRule, of_file, of_table, times
from firstway.tables.looking_up import spd_limit

RULE = NecRule(
    "nec-surge-continuous-voltage",
    "The surge protective device stands the supply voltage",
    "NFPA 70 110.3(B); UL 1449 (from memory): continuous voltage above the system's",
    "2020",
    "fail",
)


def check(case: Case) -> Findings:
    least = times(
        of_table(spd_limit("continuous-voltage-x-u0")),
        of_file(case.installation.supply.line_to_earth_v, "the voltage of the supply to ground"),
    )
    for way in case.each(case.installation.surge_ways):
        own = of_file(
            way.continuous_voltage_v, f"the continuous voltage of {way.name}; read its label"
        )
        yield RULE.compares(
            case,
            way.name,
            way.name,
            own,
            least,
            "V",
            "it stands the voltage to ground with its tolerance",
            "its continuous voltage is too near the supply's: it would wear out unseen",
            at_most=False,
        )
