"""Calculations: nec: what rule set nec works in its own way: continuous load, ampacity, drop and
faults of two lines.
"""

from firstway.calculations.formula import Formula

_NFPA = "NFPA 70 (NEC)"

DESIGN_CURRENT = Formula(
    "design_current_two_wires",
    "I_b = P * 1000 / U",
    {"I_b": "A", "P": "kW", "U": "V"},
    "circuit theory: power over the voltage between the two conductors, power factor 1",
    valid="two-wire circuit, P above 0",
    standing="computed",
)
CONTINUOUS_LOAD = Formula(
    "continuous_load_current",
    "I_cl = f_c * I_b",
    {"I_cl": "A", "f_c": "", "I_b": "A"},
    f"{_NFPA} 625.41 with 210.19(A), 210.20(A), 215.2(A) and 215.3",
    "2020",
    valid="the whole load is continuous",
    standing="from memory",
)
REQUIRED_AMPACITY = Formula(
    "required_ampacity",
    "I_t = max(I_cl, I_b / (C_a * C_g))",
    {"I_t": "A", "I_cl": "A", "I_b": "A", "C_a": "", "C_g": ""},
    f"{_NFPA} 210.19(A)(1) and 215.2(A)(1): the larger of 125 % before correction and the load"
    " after it",
    "2020",
    valid="both factors above 0",
    standing="from memory",
)
CORRECTED_AMPACITY = Formula(
    "corrected_ampacity",
    "I_z = min(I_ins * C_a * C_g, I_col)",
    {"I_z": "A", "I_ins": "A", "C_a": "", "C_g": "", "I_col": "A"},
    f"{_NFPA} 310.15, 110.14(C) and 334.80: corrected in the insulation's column, never above the"
    " terminals'",
    "2020",
    valid="copper, up to 2000 V",
    standing="from memory",
)
COLUMN = Formula(
    "coolest_column",
    "t_c = min(t_1, t_2, t_m)",
    {"t_c": "C", "t_1": "C", "t_2": "C", "t_m": "C"},
    f"{_NFPA} 110.14(C) and 334.80: the coolest of both ends and the wiring method",
    "2020",
    standing="from memory",
)
RESISTANCE_20C = Formula(
    "resistance_at_20_from_75",
    "r = r_75 / (1 + alpha * (75 - 20))",
    {"r": "ohm/km", "r_75": "ohm/km", "alpha": "1/K"},
    "linear law of copper from 20 °C (IEC 60028), turned round",
    "1925",
    valid="copper",
    standing="computed",
)
LINE_PLUS_GROUNDING = Formula(
    "line_plus_grounding_conductor",
    "R_R12 = (r_1 + r_2) * L / 1000",
    {"R_R12": "ohm", "r_1": "ohm/km", "r_2": "ohm/km", "L": "m"},
    "resistance per length times length, line and equipment grounding conductor in series",
    valid="L above 0",
    standing="computed",
)
TWO_CONDUCTORS = Formula(
    "two_conductors",
    "R_f = 2 * r * L / 1000",
    {"R_f": "ohm", "r": "ohm/km", "L": "m"},
    "resistance per length times length, two conductors of one size in series",
    valid="L above 0",
    standing="computed",
)
NEC_VOLTAGE_DROP = Formula(
    "voltage_drop_two_wires",
    "V_d = 2 * r * I_b * L / 1000",
    {"V_d": "V", "r": "ohm/km", "I_b": "A", "L": "m"},
    f"Ohm's law with the resistance at 75 °C of {_NFPA} Chapter 9 Table 8, out and back",
    "2020",
    valid="two-wire circuit; reactance left out, small below 1/0 AWG",
    standing="computed",
)
VOLTAGE_DROP_TOGETHER = Formula(
    "voltage_drop_together",
    "V_d = V_f + V_c",
    {"V_d": "V", "V_f": "V", "V_c": "V"},
    f"{_NFPA} 215.2(A) informational note: feeder and branch circuit together",
    "2020",
    standing="from memory",
)
NEC_VOLTAGE_DROP_PERCENT = Formula(
    "voltage_drop_percent_two_wires",
    "v = 100 * V_d / U",
    {"v": "percent", "V_d": "V", "U": "V"},
    f"{_NFPA} 210.19(A) and 215.2(A) informational notes",
    "2020",
    valid="U between the two conductors of the circuit",
    standing="from memory",
)
NEC_SOURCE_IMPEDANCE = Formula(
    "source_impedance_from_current",
    "Z_o = U / (1000 * I_k)",
    {"Z_o": "ohm", "U": "V", "I_k": "kA"},
    "Ohm's law",
    valid="I_k above 0",
    standing="computed",
)
IMPEDANCE_AT_BOARD = Formula(
    "impedance_at_right_angle",
    "Z = sqrt(Z_o ** 2 + R_f ** 2)",
    {"Z": "ohm", "Z_o": "ohm", "R_f": "ohm"},
    "the smallest the sum of a source impedance of unknown angle and a resistance can be",
    valid="source angle 0 to 90 degrees",
    standing="computed",
)
NEC_FAULT_CURRENT_KA = Formula(
    "fault_current_of_voltage_ka",
    "I_k = U / (1000 * Z)",
    {"I_k": "kA", "U": "V", "Z": "ohm"},
    "Ohm's law",
    valid="Z above 0",
    standing="computed",
)
NEC_LARGEST_CURRENT = Formula(
    "largest_current_two_lines",
    "I_k = max(I_LN, I_LL)",
    {"I_k": "kA", "I_LN": "kA", "I_LL": "kA"},
    f"{_NFPA} 110.9: the largest current the device may have to interrupt",
    "2020",
    standing="from memory",
)
GROUND_FAULT_LOOP = Formula(
    "ground_fault_loop",
    "Z_s = Z_e + R_f + R_c",
    {"Z_s": "ohm", "Z_e": "ohm", "R_f": "ohm", "R_c": "ohm"},
    f"Ohm's law; {_NFPA} 250.4(A)(5) asks for a low impedance and names no figure",
    "2020",
    valid="resistances added to an impedance: the largest it can be",
    standing="computed",
)
GROUND_FAULT_CURRENT = Formula(
    "ground_fault_current",
    "I_f = U_0 / Z_s",
    {"I_f": "A", "U_0": "V", "Z_s": "ohm"},
    "Ohm's law",
    valid="Z_s above 0",
    standing="computed",
)
CHARGING_LOAD = Formula(
    "charging_load",
    "S_p = max(S_least, U * I)",
    {"S_p": "VA", "S_least": "VA", "U": "V", "I": "A"},
    f"{_NFPA} 220.57: the larger of 7200 VA and the nameplate",
    "2023",
    standing="from memory",
)
CHARGING_LOAD_AT_SETTING = Formula(
    "charging_load_at_setting",
    "S_p = U * I",
    {"S_p": "VA", "U": "V", "I": "A"},
    "circuit theory",
    valid="two-wire circuit",
    standing="computed",
)
CHARGING_LOAD_CURRENT = Formula(
    "charging_load_current",
    "I = S_p / U",
    {"I": "A", "S_p": "VA", "U": "V"},
    "circuit theory",
    valid="two-wire circuit",
    standing="computed",
)
DEMAND = Formula(
    "demand_on_line",
    "I_max = I_e + I_p",
    {"I_max": "A", "I_e": "A", "I_p": "A"},
    f"{_NFPA} Article 220: what is there and every new point, no diversity",
    "2020",
    standing="from memory",
)
DEMAND_FROM_RECORD = Formula(
    "demand_from_record",
    "I_max = f_e * I_e + I_p",
    {"I_max": "A", "f_e": "", "I_e": "A", "I_p": "A"},
    f"{_NFPA} 220.87: a recorded maximum counts at 125 %, the new load is added",
    "2020",
    valid="a record of a year, or of 30 days where none exists",
    standing="from memory",
)
LARGER_LINE = Formula(
    "larger_line",
    "I_max = max(I_L1, I_L2)",
    {"I_max": "A", "I_L1": "A", "I_L2": "A"},
    "the line that carries more decides",
    standing="computed",
)
SPARE = Formula(
    "service_left",
    "I_s = I_n - I_max",
    {"I_s": "A", "I_n": "A", "I_max": "A"},
    "rating of the service device less the demand",
    standing="computed",
)
GROUNDING_IN_PROPORTION = Formula(
    "grounding_conductor_in_proportion",
    "S_g = S_t * S / S_least",
    {"S_g": "mm2", "S_t": "mm2", "S": "mm2", "S_least": "mm2"},
    f"{_NFPA} 250.122(B): enlarged in proportion to the line conductor",
    "2020",
    valid="line conductor larger than the smallest that serves",
    standing="from memory",
)
NEC_LEAD_LENGTH = Formula(
    "surge_lead_length",
    "l = l_L + l_PE + l_d",
    {"l": "m", "l_L": "m", "l_PE": "m", "l_d": "m"},
    f"{_NFPA} 242.24 asks for leads no longer than necessary and names no length: line side and"
    " ground side together",
    "2020",
    standing="computed",
)

FORMULAS = (
    DESIGN_CURRENT,
    CONTINUOUS_LOAD,
    REQUIRED_AMPACITY,
    CORRECTED_AMPACITY,
    COLUMN,
    RESISTANCE_20C,
    LINE_PLUS_GROUNDING,
    TWO_CONDUCTORS,
    NEC_VOLTAGE_DROP,
    VOLTAGE_DROP_TOGETHER,
    NEC_VOLTAGE_DROP_PERCENT,
    NEC_SOURCE_IMPEDANCE,
    IMPEDANCE_AT_BOARD,
    NEC_FAULT_CURRENT_KA,
    NEC_LARGEST_CURRENT,
    GROUND_FAULT_LOOP,
    GROUND_FAULT_CURRENT,
    CHARGING_LOAD,
    CHARGING_LOAD_AT_SETTING,
    CHARGING_LOAD_CURRENT,
    DEMAND,
    DEMAND_FROM_RECORD,
    LARGER_LINE,
    SPARE,
    GROUNDING_IN_PROPORTION,
    NEC_LEAD_LENGTH,
)
