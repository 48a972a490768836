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
PATH_LEADS = Formula(
    "surge_path_leads",
    "l = l_1 + l_2 + l_d",
    {"l": "m", "l_1": "m", "l_2": "m", "l_d": "m"},
    "added along the path, with the link through an own device",
    standing="computed",
)
LONGER_SIDE = Formula(
    "longer_live_lead",
    "l_L = max(l_1, l_N)",
    {"l_L": "m", "l_1": "m", "l_N": "m"},
    "the longer of the line's lead and the neutral's: both lead to earth through the device",
    standing="computed",
)


def _lead_as_counted(lines: int, stated: bool) -> Formula:
    laid = [f"l_{number}" for number in range(1, lines + 1)]
    symbols = [*(["l_s"] if stated else []), *laid]
    text = f"max({', '.join(symbols)})" if len(symbols) > 1 else symbols[0]
    return Formula(
        f"surge_lead_of_{lines}{'' if stated else '_laid'}",
        f"l = {text}",
        {"l": "m", **dict.fromkeys(symbols, "m")},
        "the longer of what is stated and of what has to be laid in the board"
        if stated
        else "as it is laid in the board",
        standing="computed",
    )


LEAD_AS_COUNTED = {
    (lines, stated): _lead_as_counted(lines, stated)
    for lines in (0, 1, 2, 3)
    for stated in (True, False)
    if lines or stated
}
"""A lead of a device, by how many conductors it is laid in (one a line) and whether it is stated
too.
"""

FORMULAS = (
    LEAD_LENGTH,
    EFFECTIVE_PROTECTION_LEVEL,
    PATH_LEADS,
    LONGER_SIDE,
    *LEAD_AS_COUNTED.values(),
)
