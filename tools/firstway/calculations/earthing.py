"""Calculations: earthing: electrodes, open PEN and the adiabatic constant."""

from firstway.calculations.formula import Formula

ROD_RESISTANCE = Formula(
    "electrode_resistance_rod",
    "R = rho / (2 * pi * L) * (ln(8 * L / d) - 1)",
    {"R": "ohm", "rho": "ohm.m", "pi": "", "L": "m", "d": "m"},
    "BS 7430 9.5.3",
    "2011+A1:2015",
    valid="one vertical rod, L much longer than d, uniform soil",
    standing="from memory",
)
SEVERAL_RODS = Formula(
    "electrode_resistance_several_rods",
    "R_n = R * (1 + lambda_n * rho / (2 * pi * R * s)) / n",
    {"R_n": "ohm", "R": "ohm", "lambda_n": "", "rho": "ohm.m", "pi": "", "s": "m", "n": ""},
    "BS 7430 9.5.4",
    "2011+A1:2015",
    valid="n equal rods in a straight line, s at least their length",
    standing="from memory",
)
ELECTRODE_LIMIT = Formula(
    "electrode_resistance_limit",
    "R = U_T / I_dn",
    {"R": "ohm", "U_T": "V", "I_dn": "A"},
    "BS 7671 411.5.3; IEC 60364-4-41 411.5.3",
    "2018+A3:2024",
    valid="TT with a residual current device",
    standing="from memory",
)
NEUTRAL_CURRENT = Formula(
    "neutral_current",
    "I_N = sqrt((I_1 - 0.5 * (I_2 + I_3)) ** 2 + 0.75 * (I_2 - I_3) ** 2)",
    {"I_N": "A", "I_1": "A", "I_2": "A", "I_3": "A"},
    "BS 7671 Annex A722 (square of 0.866 written as 0.75); vector sum of three currents at 120"
    " degrees",
    "2018+A2:2022",
    valid="power factor 1 on every line",
    standing="from memory",
)
OPEN_PEN_LIMIT = Formula(
    "open_pen_constant_current_limit",
    "R = U / I",
    {"R": "ohm", "U": "V", "I": "A"},
    "BS 7671 722.411.4.1 and Annex A722, constant current form",
    "2018+A2:2022",
    valid="I above 0",
    standing="from memory",
)
K_FACTOR = Formula(
    "k_factor",
    "k = K * sqrt(ln((beta + theta_f) / (beta + theta_i)))",
    {"k": "A.s0.5/mm2", "K": "A.s0.5/mm2", "beta": "C", "theta_f": "C", "theta_i": "C"},
    "IEC 60364-5-54 Annex A",
    "2011",
    valid="adiabatic heating, up to 5 s",
    standing="from memory",
)
OPEN_PEN_VOLTAGE = Formula(
    "open_pen_voltage",
    "U_M = U_0 * R_A / (U_0 / I + R_A + R_B)",
    {"U_M": "V", "U_0": "V", "R_A": "ohm", "I": "A", "R_B": "ohm"},
    "voltage divider: load as an impedance U0/I in series with both electrodes",
    valid="one phase, PEN broken ahead of the installation",
    standing="computed",
)
OPEN_PEN_IMPEDANCE_LIMIT = Formula(
    "open_pen_impedance_limit",
    "R = U * (U_0 / I + R_B) / (U_0 - U)",
    {"R": "ohm", "U": "V", "U_0": "V", "I": "A", "R_B": "ohm"},
    "the same divider turned round",
    valid="one phase, constant impedance",
    standing="computed",
)
OPEN_PEN_ANNEX_LIMIT = Formula(
    "open_pen_annex_limit",
    "R = U * U_0 / (I * (C * U_0 - U))",
    {"R": "ohm", "U": "V", "U_0": "V", "I": "A", "C": ""},
    "BS 7671 annex A722 (from memory); the divider of load and electrode",
    edition="2018+A2:2022",
    valid="one phase, constant impedance, no electrode of the source counted",
    standing="from memory",
)
OPEN_PEN_VOLTAGE_THREE_PHASE = Formula(
    "open_pen_voltage_three_phase",
    "U_M = I_N / (I_S / U_0 + 1 / (R_A + R_B)) * R_A / (R_A + R_B)",
    {"U_M": "V", "I_N": "A", "I_S": "A", "U_0": "V", "R_A": "ohm", "R_B": "ohm"},
    "Millman's theorem with loads as impedances U0/I",
    valid="three phases, PEN broken ahead of the installation",
    standing="computed",
)
OPEN_PEN_WITHOUT_ELECTRODE = Formula(
    "open_pen_without_electrode",
    "U_M = U_0 * I_N / I_S",
    {"U_M": "V", "U_0": "V", "I_N": "A", "I_S": "A"},
    "Millman's theorem without a path to earth",
    valid="three phases; one phase: I_N = I_S",
    standing="computed",
)
LARGER = Formula(
    "larger",
    "I_N = max(I_1, I_2)",
    {"I_N": "A", "I_1": "A", "I_2": "A"},
    "the larger of the two sets of load",
    standing="computed",
)

BONDING_FROM_EARTHING = Formula(
    "bonding_from_earthing",
    "S_b = min(max(S_e / 2, S_min), S_max)",
    {"S_b": "mm2", "S_e": "mm2", "S_min": "mm2", "S_max": "mm2"},
    "BS 7671 544.1.1; IEC 60364-5-54 544.1.1",
    "2018+A2:2022",
    valid="copper, no combined neutral and earth conductor",
    standing="from memory",
)
COPPER_EQUIVALENT = Formula(
    "copper_equivalent",
    "S_Cu = 1000 * rho / r",
    {"S_Cu": "mm2", "rho": "ohm.mm2/m", "r": "ohm/km"},
    "copper of the same resistance for each metre",
    standing="computed",
)
FORMULAS = (
    BONDING_FROM_EARTHING,
    COPPER_EQUIVALENT,
    ROD_RESISTANCE,
    SEVERAL_RODS,
    ELECTRODE_LIMIT,
    NEUTRAL_CURRENT,
    OPEN_PEN_LIMIT,
    K_FACTOR,
    OPEN_PEN_VOLTAGE,
    OPEN_PEN_IMPEDANCE_LIMIT,
    OPEN_PEN_ANNEX_LIMIT,
    OPEN_PEN_VOLTAGE_THREE_PHASE,
    OPEN_PEN_WITHOUT_ELECTRODE,
    LARGER,
)
