"""An earth fault must make enough current to open the device in time.

Why: until the device opens, everything joined to the protective conductor stands at a dangerous
voltage. In a TN loop the overcurrent device should open by itself; where only the residual current
device is quick enough that must be known and written down. Through an electrode the residual
current device always does the work.
A pass: 0.42 ohm where 1.09 ohm is allowed. A fail: an electrode of 2000 ohm with a 30 mA device.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule
from firstway.model.installation import Circuit
from firstway.model.values import is_known

RULE = Rule("loop-impedance", "The earth fault loop lets the device open in time", "BS 7671 411.4.4, 411.4.204, 411.5.3; IEC 60364-4-41 411.4, 411.5",
            "2018+A3:2024", "fail", ("bs7671", "iec60364"))


def check(case: Case) -> Iterator[Finding]:
    for circuit in case.installation.circuits:
        yield _of(case, circuit)


def _of(case: Case, circuit: Circuit) -> Finding:
    way = case.installation.way_feeding(circuit.name)
    loop, limit = case.step("loop-impedance", circuit.name), case.step("loop-impedance-limit", circuit.name)
    residual = way.device in ("rcbo", "rcd") and is_known(way.rated_residual_current_ma)
    through_electrode = case.step("source-electrode", circuit.name) is not None
    if not through_electrode and residual and loop is not None and limit is not None and loop.value is not None \
            and limit.value is not None and loop.value > limit.value:
        return RULE.says(case, "advice", circuit.name, way.name,
                         "the overcurrent device alone would not open in time; the residual current device does: say so on the certificate",
                         loop.value, limit.value, "ohm")
    return RULE.compares(case, loop, limit, way.name, "an earth fault opens the device in time",
                         "an earth fault would not open the device in time")
