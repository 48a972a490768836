"""Calculations: faults: loops, fault currents and what they do to a conductor."""

from firstway.calculations.formula import Formula

_READ_IN = "2018+A3:2024"

LOOP_IMPEDANCE = Formula(
    "loop_impedance",
    "Z_s = Z_e + R_f + R_c",
    {"Z_s": "ohm", "Z_e": "ohm", "R_f": "ohm", "R_c": "ohm"},
    "BS 7671 411.4 and Part 2; IEC 60364-4-41 411.4",
    _READ_IN,
    valid="TN; resistances added to an impedance, which is on the safe side",
    standing="from memory",
)
LOOP_IMPEDANCE_TT = Formula(
    "loop_impedance_tt",
    "Z_s = Z_l + R_f + R_c + R_A + R_B",
    {"Z_s": "ohm", "Z_l": "ohm", "R_f": "ohm", "R_c": "ohm", "R_A": "ohm", "R_B": "ohm"},
    "BS 7671 411.5; IEC 60364-4-41 411.5: line, conductors, electrode of the installation,"
    " electrode of the source",
    _READ_IN,
    valid="TT, or a point earthed by its own electrode",
    standing="from memory",
)
HALF_LOOP = Formula(
    "half_loop",
    "Z_l = Z_LN / 2",
    {"Z_l": "ohm", "Z_LN": "ohm"},
    "common practice: half of the line-neutral loop is the line",
    valid="line and neutral of one size",
    standing="common practice",
)
OPERATING_CURRENT = Formula(
    "operating_current",
    "I_a = m * I_n",
    {"I_a": "A", "m": "", "I_n": "A"},
    "IEC 60898-1 and IEC 61009-1: upper end of the instantaneous range",
    "",
    valid="curves B, C, D",
    standing="from memory",
)
LOOP_LIMIT = Formula(
    "loop_impedance_limit",
    "Z_max = C_min * U_0 / I_a",
    {"Z_max": "ohm", "C_min": "", "U_0": "V", "I_a": "A"},
    "BS 7671 411.4.4 and Appendix 3",
    _READ_IN,
    valid="TN",
    standing="from memory",
)
READING_LIMIT = Formula(
    "reading_limit",
    "Z_r = f * Z_max",
    {"Z_r": "ohm", "f": "", "Z_max": "ohm"},
    "BS 7671 Appendix 3, guidance",
    _READ_IN,
    valid="readings taken with conductors near 20 °C",
    standing="from memory",
)
FAULT_CURRENT = Formula(
    "fault_current",
    "I = C * U_0 / Z",
    {"I": "A", "C": "", "U_0": "V", "Z": "ohm"},
    "Ohm's law with a voltage factor; IEC 60909-0",
    "2016",
    valid="Z above 0",
    standing="computed",
)
FAULT_CURRENT_KA = Formula(
    "fault_current_ka",
    "I_k = C * U / (1000 * Z)",
    {"I_k": "kA", "C": "", "U": "V", "Z": "ohm"},
    "Ohm's law with a voltage factor; IEC 60909-0",
    "2016",
    valid="Z above 0",
    standing="computed",
)
FAULT_CURRENT_THREE_PHASE_KA = Formula(
    "fault_current_three_phase_ka",
    "I_k = C * U / (1000 * sqrt(3) * Z)",
    {"I_k": "kA", "C": "", "U": "V", "Z": "ohm"},
    "IEC 60909-0",
    "2016",
    valid="Z of one line, above 0",
    standing="computed",
)
SOURCE_IMPEDANCE = Formula(
    "source_impedance",
    "Z = U / (1000 * I_k)",
    {"Z": "ohm", "U": "V", "I_k": "kA"},
    "Ohm's law",
    valid="I_k above 0",
    standing="computed",
)
SOURCE_IMPEDANCE_THREE_PHASE = Formula(
    "source_impedance_three_phase",
    "Z = U / (1000 * sqrt(3) * I_k)",
    {"Z": "ohm", "U": "V", "I_k": "kA"},
    "Ohm's law for one line of a balanced fault",
    valid="I_k above 0",
    standing="computed",
)
LARGEST_CURRENT = Formula(
    "largest_current",
    "I_k = max(I_LN, I_LE)",
    {"I_k": "kA", "I_LN": "kA", "I_LE": "kA"},
    "BS 7671 643.7.3.201: the larger is recorded",
    _READ_IN,
    valid="one phase",
    standing="from memory",
)
WITH_OTHER_SOURCES_KA = Formula(
    "with_other_sources_ka",
    "I_t = I_k + I_s / 1000",
    {"I_t": "kA", "I_k": "kA", "I_s": "A"},
    "law of circuits: the magnitude of a sum of currents is at most the sum of their magnitudes;"
    " that every source counts: BS 7671 551.3.1, IEC 60364-5-55 551.3.1 (from memory)",
    "2018+A2:2022",
    valid="an upper bound; no cable between a source and the board is counted",
    standing="from memory",
)
LARGEST_CURRENT_THREE_PHASE = Formula(
    "largest_current_three_phase",
    "I_k = max(I_LN, I_LE, I_LL, I_LLL)",
    {"I_k": "kA", "I_LN": "kA", "I_LE": "kA", "I_LL": "kA", "I_LLL": "kA"},
    "BS 7671 643.7.3.201: the largest is recorded",
    _READ_IN,
    valid="three phases",
    standing="from memory",
)
TWO_LINES = Formula(
    "two_lines",
    "Z = 2 * Z_1",
    {"Z": "ohm", "Z_1": "ohm"},
    "series connection of two equal lines",
    valid="lines of one size",
    standing="computed",
)
LOOP_AT_BOARD_TT = Formula(
    "loop_at_board_tt",
    "Z = Z_l + R_f + R_A + R_B",
    {"Z": "ohm", "Z_l": "ohm", "R_f": "ohm", "R_A": "ohm", "R_B": "ohm"},
    "BS 7671 411.5; IEC 60364-4-41 411.5",
    _READ_IN,
    valid="TT",
    standing="from memory",
)
IN_AMPERE = Formula(
    "in_ampere", "I = 1000 * I_k", {"I": "A", "I_k": "kA"}, "unit", standing="computed"
)
IMPEDANCE_WITH_CONDUCTORS = Formula(
    "impedance_with_conductors",
    "Z = Z_o + R_f",
    {"Z": "ohm", "Z_o": "ohm", "R_f": "ohm"},
    "series connection; conductors at 20 °C for the largest current",
    standing="computed",
)
PROTECTIVE_FROM_CURRENT = Formula(
    "minimum_protective_conductor",
    "S = sqrt(I ** 2 * t) / k",
    {"S": "mm2", "I": "A", "t": "s", "k": "A.s0.5/mm2"},
    "BS 7671 543.1.3; IEC 60364-5-54 543.1.2",
    _READ_IN,
    valid="t from 0.1 s to 5 s",
    standing="from memory",
)
PROTECTIVE_FROM_ENERGY = Formula(
    "minimum_protective_conductor_from_energy",
    "S = sqrt(E) / k",
    {"S": "mm2", "E": "A2s", "k": "A.s0.5/mm2"},
    "BS 7671 543.1.3; IEC 60364-5-54 543.1.2 with the maker's let-through energy",
    _READ_IN,
    valid="let-through energy at a current not below the fault current",
    standing="from memory",
)
LINE_NEUTRAL_LOOP = Formula(
    "line_neutral_loop",
    "Z = Z_LN + R_f + R_c",
    {"Z": "ohm", "Z_LN": "ohm", "R_f": "ohm", "R_c": "ohm"},
    "series connection, conductors at their operating limit",
    standing="computed",
)
TOUCH_VOLTAGE = Formula(
    "touch_voltage",
    "U_t = U_0 * (p * Z_e + R_p) / Z_s",
    {"U_t": "V", "U_0": "V", "p": "", "Z_e": "ohm", "R_p": "ohm", "Z_s": "ohm"},
    "voltage divider of the earth fault loop: protective path over the whole loop",
    valid="solid fault, no other path to earth",
    standing="computed",
)
PROTECTIVE_SHARE = Formula(
    "protective_share",
    "p = max(0, 1 - Z_LN / (2 * Z_e))",
    {"p": "", "Z_LN": "ohm", "Z_e": "ohm"},
    "series connection: Ze is the line and the protective conductor, and the line is half of the"
    " line-neutral loop",
    valid="TN-S; line and neutral of one size",
    standing="computed",
)
TOUCH_VOLTAGE_TT = Formula(
    "touch_voltage_tt",
    "U_t = U_0 * (R_A + R_p) / Z_s",
    {"U_t": "V", "U_0": "V", "R_A": "ohm", "R_p": "ohm", "Z_s": "ohm"},
    "voltage divider of the earth fault loop: electrode and protective conductors over the whole"
    " loop",
    valid="solid fault; R_p is 0 where the electrode stands at the point",
    standing="computed",
)
PROTECTIVE_PATH = Formula(
    "protective_path",
    "R_p = (r_2f * L_f * (1 + alpha * (t_f - 20)) + r_2c * L_c * (1 + alpha * (t_c - 20))) / 1000",
    {
        "R_p": "ohm",
        "r_2f": "ohm/km",
        "L_f": "m",
        "t_f": "C",
        "r_2c": "ohm/km",
        "L_c": "m",
        "t_c": "C",
        "alpha": "1/K",
    },
    "protective conductors of feed and circuit at their operating limit",
    standing="computed",
)
FINAL_TEMPERATURE = Formula(
    "final_temperature",
    "theta_f = (theta_i + beta) * exp(E / (K * S) ** 2) - beta",
    {"theta_f": "C", "theta_i": "C", "beta": "C", "E": "A2s", "K": "A.s0.5/mm2", "S": "mm2"},
    "IEC 60364-5-54 Annex A turned round",
    "2011",
    valid="adiabatic heating, up to 5 s",
    standing="from memory",
)
ENERGY = Formula(
    "energy",
    "E = I ** 2 * t",
    {"E": "A2s", "I": "A", "t": "s"},
    "Joule heat of a steady current, in A2s",
    standing="computed",
)

FORMULAS = (
    LOOP_IMPEDANCE,
    LOOP_IMPEDANCE_TT,
    HALF_LOOP,
    SOURCE_IMPEDANCE_THREE_PHASE,
    LARGEST_CURRENT,
    WITH_OTHER_SOURCES_KA,
    LARGEST_CURRENT_THREE_PHASE,
    TWO_LINES,
    LOOP_AT_BOARD_TT,
    IN_AMPERE,
    OPERATING_CURRENT,
    LOOP_LIMIT,
    READING_LIMIT,
    FAULT_CURRENT,
    FAULT_CURRENT_KA,
    FAULT_CURRENT_THREE_PHASE_KA,
    SOURCE_IMPEDANCE,
    IMPEDANCE_WITH_CONDUCTORS,
    PROTECTIVE_FROM_CURRENT,
    PROTECTIVE_FROM_ENERGY,
    LINE_NEUTRAL_LOOP,
    PROTECTIVE_SHARE,
    TOUCH_VOLTAGE,
    TOUCH_VOLTAGE_TT,
    PROTECTIVE_PATH,
    FINAL_TEMPERATURE,
    ENERGY,
)
