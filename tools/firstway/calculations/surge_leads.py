"""Calculations: the connecting leads of a surge protective device."""

from firstway.calculations.formula import Formula

LEAD_LENGTH = Formula(
    "spd_lead_length",
    "l = l_L + l_PE + l_d",
    {"l": "m", "l_L": "m", "l_PE": "m", "l_d": "m"},
    "BS 7671 534.4.8; IEC 60364-5-53 534.4.8: line side and earth side together, with the link"
    " through an own device",
    "2018+A3:2024",
    standing="found",
)
EFFECTIVE_PROTECTION_LEVEL = Formula(
    "effective_protection_level",
    "U_eff = U_p + d * l",
    {"U_eff": "kV", "U_p": "kV", "d": "kV/m", "l": "m"},
    "protection level plus the drop along the leads, 1 kV for each metre (rule of thumb)",
    "",
    valid="near 1 kA/us: a small surge less, a 20 kA impulse about three times as much",
    standing="common practice",
)

FORMULAS = (LEAD_LENGTH, EFFECTIVE_PROTECTION_LEVEL)
