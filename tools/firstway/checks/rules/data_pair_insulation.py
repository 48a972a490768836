"""Wires for data beside the supply are insulated for the supply's voltage.

Why: a thin pair for the network or for a current clamp often runs in the same cable. If its insulation is made for a few volts, one
nick puts the supply into a router.
A pass: 450 V beside 230 V, or no pair. Otherwise not known: it may be kept apart in another way.
"""

from __future__ import annotations

from typing import Iterator

from firstway.checks.case import Case
from firstway.checks.comparing import of_file
from firstway.checks.finding import Finding
from firstway.checks.rule import Figure, Rule, within
from firstway.model.installation import Circuit
from firstway.model.values import NONE

RULE = Rule("data-pair-insulation", "Data wires beside the supply bear its voltage", "BS 7671 528.1; IEC 60364-5-52 528.1", "2018+A3:2024", "unknown", ("bs7671", "iec60364"))


def check(case: Case) -> Iterator[Finding]:
    for circuit in case.each(case.installation.circuits):
        pair = circuit.cable.data_pair_v
        if pair == NONE:
            continue
        bears = of_file(pair,
                        f"the voltage the data wires beside {circuit.name} are made for, or that there are none; read the cable's data sheet")
        highest = _highest(case, circuit)
        if bears.value is None or highest.value is None:
            yield RULE.does_not_know(case, circuit.name, circuit.name, bears.ask or highest.ask, highest.value, "V")
        elif within(highest.value, bears.value):
            yield RULE.passes(case, circuit.name, circuit.name, "the data wires bear the highest voltage beside them",
                              bears.value, highest.value, "V")
        else:
            yield RULE.says(case, "unknown", circuit.name, circuit.name, "not known: how the data wires are kept apart; their insulation alone does not bear the supply's voltage",
                            bears.value, highest.value, "V")


def _highest(case: Case, circuit: Circuit) -> Figure:
    supply = case.installation.supply
    if len(circuit.lines) > 1:
        return of_file(supply.line_to_line_v, "the voltage between lines")
    return of_file(supply.line_to_earth_v, "the voltage to earth")
