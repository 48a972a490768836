"""Calculations: load: what a charging point draws."""

from __future__ import annotations

from firstway.calculations.formula import Formula

DESIGN_CURRENT_ONE_PHASE = Formula(
    "design_current_one_phase", "I_b = P * 1000 / U_0", {"I_b": "A", "P": "kW", "U_0": "V"},
    "circuit theory: power divided by voltage, power factor 1", valid="one phase, P above 0")
DESIGN_CURRENT_THREE_PHASE = Formula(
    "design_current_three_phase", "I_b = P * 1000 / (sqrt(3) * U)", {"I_b": "A", "P": "kW", "U": "V"},
    "circuit theory: power divided by sqrt(3) times line voltage, power factor 1", valid="balanced three phases")

FORMULAS = (DESIGN_CURRENT_ONE_PHASE, DESIGN_CURRENT_THREE_PHASE)
