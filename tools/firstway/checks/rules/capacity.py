"""The cable must carry at least the rated current of the device that guards it.

Why: a device does not know how hot the cable is. If its rated current is above what the cable can
carry where it is run, the cable can overheat for hours while the device sees nothing wrong, and a
charging point draws its full current for hours.
A pass: a 40 A device on a cable that carries 47 A where it is run.
A fail: the same device on a cable that carries 23.5 A in an insulated wall.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import of_step
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule

RULE = Rule("capacity", "The cable carries at least the device's rated current", "BS 7671 433.1.1; IEC 60364-4-43 433.1",
            "2018+A3:2024", "fail", ("bs7671", "iec60364"))


def check(case: Case) -> Iterator[Finding]:
    for of in case.each(("feed", *(circuit.name for circuit in case.installation.circuits))):
        carried = of_step(case, "corrected-capacity", of, "how the board is fed: cable, size, route")
        yield RULE.compares(case, of, of, carried, of_step(case, "device-rating", of), "A",
                            "the cable carries the rated current of its device where it is run",
                            "the cable carries less than the rated current of its device: it can overheat unseen", at_most=False)
