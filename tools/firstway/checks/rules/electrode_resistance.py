"""The electrode must let the residual current device see a fault before the touch voltage is
dangerous.

Why: through an electrode the fault current is small. Resistance times the residual current must
stay below 50 V: that bounds the fault that just does not open the device. Above 200 Ω the reading
may drift with the season.
A pass: 85 Ω with 30 mA. Advice: 350 Ω with 30 mA. A fail: 2000 Ω with 30 mA.
"""

from firstway.checks.rule import (
    Case,
    Finding,
    Findings,
    JudgedFigure,
    Rule,
    of_step,
    of_table,
    within,
)
from firstway.tables.reading import electrode_advice_ohm

RULE = Rule(
    "electrode-resistance",
    "The electrode is low enough for its residual current device",
    "BS 7671 411.5.3 and Table 41.5; IEC 60364-4-41 411.5.3",
    "2018+A3:2024",
    "fail",
    ("bs7671", "iec60364"),
)


def check(case: Case) -> Findings:
    for item in case.each(case.installation.electrodes):
        if case.step("electrode-resistance-limit", item.name) is not None:
            yield _of(case, item.name)


def _of(case: Case, of: str) -> Finding:
    resistance = of_step(case, "electrode-resistance", of)
    found = RULE.compares(
        case,
        of,
        of,
        resistance,
        _limit(case, of),
        "ohm",
        "the electrode is low enough for its residual current device",
        "the electrode is too high for its residual current device",
    )
    drift = of_table(electrode_advice_ohm())
    if (
        found.level != "pass"
        or drift.value is None
        or resistance.value is None
        or within(resistance.value, drift.value)
    ):
        return found
    return RULE.says(
        case,
        "advice",
        of,
        of,
        "low enough, but a reading this high may drift with the season",
        resistance.value,
        drift.value,
        "ohm",
    )


def _limit(case: Case, of: str) -> JudgedFigure:
    """50 V over the residual current; the standard prints it rounded (1667 Ω at 30 mA), and its
    figure counts.
    """
    worked, step = (
        of_step(case, "electrode-resistance-limit", of),
        case.step("electrode-resistance-limit", of),
    )
    printed = [row.value for row in step.rows] if step is not None else []
    return (
        worked
        if worked.value is None
        else JudgedFigure(max(worked.value, *printed) if printed else worked.value)
    )
