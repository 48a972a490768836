"""The electrode must let the residual current device see a fault before the touch voltage is dangerous.

Why: through an electrode the fault current is small. Resistance times the residual current must stay
below 50 V: that bounds the fault that just does not open the device. Above 200 ohm the reading may
drift with the season.
A pass: 85 ohm with 30 mA. Advice: 350 ohm with 30 mA. A fail: 2000 ohm with 30 mA.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule, assumed_words
from firstway.tables.found import Gap
from firstway.tables.looking_up_more import electrode_advice_ohm

RULE = Rule("electrode-resistance", "The electrode is low enough for its residual current device", "BS 7671 411.5.3 and Table 41.5; IEC 60364-4-41 411.5.3",
            "2018+A3:2024", "fail", ("bs7671", "iec60364"))
SLACK = 1.001  # the printed limits are rounded up: 1667 ohm at 30 mA gives 50.01 V


def check(case: Case) -> Iterator[Finding]:
    for item in case.installation.electrodes:
        resistance, limit = case.step("electrode-resistance", item.name), case.step("electrode-resistance-limit", item.name)
        if limit is None or resistance is None:
            continue
        if resistance.value is None or limit.value is None:
            yield RULE.does_not_know(case, item.name, item.name, resistance.ask or limit.ask, limit.value, "ohm")
            continue
        drift = electrode_advice_ohm()
        if resistance.value > limit.value * SLACK:
            yield RULE.says(case, "fail", item.name, item.name, "the electrode is too high for its residual current device", resistance.value, limit.value, "ohm")
        elif resistance.assumed:
            yield RULE.does_not_know(case, item.name, item.name, f"{assumed_words(resistance.assumed)}: measure the electrode", limit.value, "ohm")
        elif not isinstance(drift, Gap) and resistance.value > drift.value:
            yield RULE.says(case, "advice", item.name, item.name, "low enough, but a reading this high may drift with the season", resistance.value, drift.value, "ohm")
        else:
            yield RULE.says(case, "pass", item.name, item.name, "the electrode is low enough for its residual current device", resistance.value, limit.value, "ohm")
