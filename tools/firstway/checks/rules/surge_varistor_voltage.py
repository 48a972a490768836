"""The varistor of the surge protective device does not conduct at the crest of the supply.

Why: a varistor carries 1 mA at a voltage its maker prints. Where that lies below the crest of the
supply at its highest, it conducts in every half wave, warms and burns.
A pass: 430 V on 230 V, whose crest is 358 V at its highest. A fail: 250 V.
"""

import math

from firstway.checks.rule import Case, Findings, JudgedFigure, Rule, of_file, of_table, times
from firstway.tables.looking_up import spd_limit

RULE = Rule(
    "surge-varistor-voltage",
    "The varistor does not conduct at the crest of the supply",
    "IEC 61643-331 (from memory): the voltage at 1 mA lies above the crest of the continuous"
    " voltage",
    "2017",
    "fail",
    ("bs7671", "iec60364", "nec"),
)


def check(case: Case) -> Findings:
    highest = times(
        of_table(spd_limit("continuous-voltage-x-u0")),
        of_file(case.installation.supply.line_to_earth_v, "the voltage of the supply to earth"),
    )
    crest = times(highest, JudgedFigure(math.sqrt(2)))
    for way in case.each(case.installation.surge_ways):
        own = of_file(way.voltage_at_1_ma_v, f"the voltage at 1 mA of {way.name}; ask its maker")
        yield RULE.compares(
            case,
            way.name,
            way.name,
            own,
            crest,
            "V",
            "at the crest of the supply it does not conduct yet",
            "it conducts at every crest of the supply, warms and burns",
            at_most=False,
        )
