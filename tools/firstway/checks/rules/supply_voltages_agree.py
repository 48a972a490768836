"""The voltage between lines follows from the voltage to earth.

Why: three lines of 230 V to earth stand 400 V from each other, two lines of 120 V to ground 240 V.
If the two figures of the file do not fit, one of them is wrong, and with it drop, power and every
fault current worked from it.
A pass: 230 V and 400 V. A fail: 230 V and 690 V.
"""

import math

from firstway.checks.rule import Case, Findings, Rule, of_file
from firstway.model.values import UNKNOWN

RULE = Rule(
    "supply-voltages-agree",
    "The two voltages of the supply agree",
    "arithmetic: three phases, square root of 3; one phase of three wires, twice",
    "",
    "fail",
    ("bs7671", "iec60364", "nec"),
)
# 230 V and 400 V differ from the exact ratio by 0.4 %; networks name their voltages in round
# figures.
NAMES_ARE_ROUND = 0.02


def check(case: Case) -> Findings:
    supply = case.installation.supply
    if supply.line_to_line_v == UNKNOWN and supply.phases != 3:
        return
    to_earth = of_file(supply.line_to_earth_v, "the voltage of the supply to earth")
    between = of_file(supply.line_to_line_v, "the voltage between lines")
    if to_earth.value is None or between.value is None:
        yield RULE.does_not_know(case, "supply", "supply", to_earth.ask or between.ask, unit="V")
        return
    wye, split = math.sqrt(3) * to_earth.value, 2 * to_earth.value
    # Two lines of a wye feed many houses under rule set nec: 120 V to ground and 208 V between
    # lines.
    wanted = (wye,) if supply.phases == 3 else (split, wye)
    nearest = min(wanted, key=lambda volts: abs(volts - between.value))
    yield RULE.decides(
        case,
        "supply",
        "supply",
        abs(between.value - nearest) <= NAMES_ARE_ROUND * nearest,
        found=between.value,
        wanted=nearest,
        holds="voltage between lines and voltage to earth agree",
        breaks=(
            "voltage between lines and voltage to earth do not go together:"
            " one of them is wrong, and what is worked from it"
        ),
        unit="V",
        held=between.value,
    )
