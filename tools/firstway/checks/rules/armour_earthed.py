"""The armour of a cable is earthed, at one end at least.

Why: a spade or a nail that reaches a core reaches the armour first. Earthed, it opens the device; floating, it waits at line voltage
for the next hand.
A pass: earthed by a gland and an earth tag at the board, or at both ends. A fail: at neither end.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.finding import Finding
from firstway.checks.rule import Rule
from firstway.model.values import is_known

RULE = Rule("armour-earthed", "The armour of the cable is earthed", "BS 7671 411.3.1.1, 543; IEC 60364-4-41 411.3.1.1", "2018+A3:2024", "fail", ("bs7671", "iec60364"))


def check(case: Case) -> Iterator[Finding]:
    for circuit in case.each(case.installation.circuits):
        if circuit.cable.construction != "armoured":
            continue
        end = circuit.cable.armour_earthed
        if not is_known(end):
            yield RULE.does_not_know(case, circuit.name, circuit.name, f"at which end the armour of {circuit.name} is earthed; look at its glands", "one end at least")
        elif end == "neither-end":
            yield RULE.says(case, "fail", circuit.name, circuit.name, "the armour is earthed at neither end", str(end), "one end at least")
        else:
            yield RULE.passes(case, circuit.name, circuit.name,
                              f"the armour is earthed ({str(end).replace('-', ' ')})", str(end), "one end at least")
