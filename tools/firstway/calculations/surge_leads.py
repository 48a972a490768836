"""Calculations: the connecting leads of a surge protective device."""

from __future__ import annotations

from firstway.calculations.formula import Formula

LEAD_LENGTH = Formula(
    "spd_lead_length", "l = l_L + l_PE + l_d", {"l": "m", "l_L": "m", "l_PE": "m", "l_d": "m"},
    "BS 7671 534.4.8; IEC 60364-5-53 534.4.8: line side and earth side together, with the link through an own device",
    "2018+A3:2024")

FORMULAS = (LEAD_LENGTH,)
