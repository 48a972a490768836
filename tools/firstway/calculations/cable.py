"""Calculations: cable: capacity, resistance and voltage drop."""

from firstway.calculations.formula import Formula

_FACTORS = {"C_a": "", "C_g": "", "C_i": "", "C_s": "", "C_c": ""}
_APPENDIX_4 = "BS 7671 Appendix 4, sections 5 and 6; IEC 60364-5-52 clause 523"
_READ_IN = "2018+A3:2024"

REQUIRED_CAPACITY = Formula(
    "required_capacity",
    "I_t = I_n / (C_a * C_g * C_i * C_s * C_c)",
    {"I_t": "A", "I_n": "A", **_FACTORS},
    _APPENDIX_4,
    _READ_IN,
    valid="every factor above 0",
    standing="from memory",
)
CORRECTED_CAPACITY = Formula(
    "corrected_capacity",
    "I_z = I_tab * C_a * C_g * C_i * C_s * C_c",
    {"I_z": "A", "I_tab": "A", **_FACTORS},
    _APPENDIX_4,
    _READ_IN,
    valid="every factor above 0",
    standing="from memory",
)
RESISTANCE_OF_LENGTH = Formula(
    "resistance_of_length",
    "R = r * L / 1000",
    {"R": "ohm", "r": "ohm/km", "L": "m"},
    "resistance per length times length; r at 20 °C from IEC 60228",
    valid="L above 0",
    standing="computed",
)
RESISTANCE_AT_TEMPERATURE = Formula(
    "resistance_at_temperature",
    "R_t = R_20 * (1 + alpha * (t - 20))",
    {"R_t": "ohm", "R_20": "ohm", "alpha": "1/K", "t": "C"},
    "IEC 60228, linear law of copper from 20 °C",
    valid="0 to 100 °C",
    standing="computed",
)
R1_PLUS_R2 = Formula(
    "r1_plus_r2",
    "R_R12 = (r_1 + r_2) * L / 1000",
    {"R_R12": "ohm", "r_1": "ohm/km", "r_2": "ohm/km", "L": "m"},
    "resistance per length times length, line and protective conductor in series; r from IEC 60228",
    valid="L above 0",
    standing="computed",
)
LINE_NEUTRAL_RESISTANCE = Formula(
    "line_neutral_resistance",
    "R_f = 2 * r_1 * L / 1000",
    {"R_f": "ohm", "r_1": "ohm/km", "L": "m"},
    "resistance per length times length, line and neutral of one size in series; r from IEC 60228",
    valid="L above 0",
    standing="computed",
)
VOLTAGE_DROP = Formula(
    "voltage_drop",
    "V_d = m_v * I_b * L / 1000",
    {"V_d": "V", "m_v": "mV/A/m", "I_b": "A", "L": "m"},
    "BS 7671 Appendix 4, section 6",
    _READ_IN,
    valid="tabulated values; not corrected for temperature",
    standing="from memory",
)
VOLTAGE_DROP_WITH_FEED = Formula(
    "voltage_drop_with_feed",
    "V_d = V_f + m_v * I_b * L / 1000",
    {"V_d": "V", "V_f": "V", "m_v": "mV/A/m", "I_b": "A", "L": "m"},
    "BS 7671 Appendix 4, section 6; the drop of the feed stands before that of the circuit",
    _READ_IN,
    valid="tabulated values; not corrected for temperature",
    standing="from memory",
)
VOLTAGE_DROP_PERCENT = Formula(
    "voltage_drop_percent",
    "v = 100 * V_d / U_0",
    {"v": "percent", "V_d": "V", "U_0": "V"},
    "BS 7671 Appendix 4, section 6.4",
    _READ_IN,
    valid="one phase: U0; three phases: the voltage between lines",
    standing="from memory",
)
CONDUCTOR_TEMPERATURE = Formula(
    "conductor_temperature",
    "t_1 = t_p - (C_a ** 2 * C_g ** 2 - I_b ** 2 / I_t ** 2) * (t_p - t_r)",
    {"t_1": "C", "t_p": "C", "C_a": "", "C_g": "", "I_b": "A", "I_t": "A", "t_r": "C"},
    "BS 7671 Appendix 4, section 6.1; from the temperature the capacities are printed for",
    "2018+A3:2024",
    valid="I_b not above the corrected capacity",
    standing="from memory",
)
DROP_FACTOR_WHEN_LOADED = Formula(
    "voltage_drop_when_loaded_factor",
    "C_t = (230 + t_1) / (230 + t_p)",
    {"C_t": "", "t_1": "C", "t_p": "C"},
    "BS 7671 Appendix 4, section 6.1",
    "2018+A3:2024",
    valid="copper",
    standing="from memory",
)
DROP_WHEN_LOADED = Formula(
    "voltage_drop_when_loaded",
    "V_t = C_t * V_d",
    {"V_t": "V", "C_t": "", "V_d": "V"},
    "BS 7671 Appendix 4, section 6.1",
    "2018+A3:2024",
    valid="conductors of 16 mm² or less, or the resistive part",
    standing="from memory",
)
DROP_BY_RESISTANCE = Formula(
    "voltage_drop_by_resistance",
    "V_r = b * I_b * r_1 * (1 + alpha * (t - 20)) * L / 1000",
    {"V_r": "V", "b": "", "I_b": "A", "r_1": "ohm/km", "alpha": "1/K", "t": "C", "L": "m"},
    "IEC 60364-5-52 Annex G with power factor 1; b is 2 for one phase, √3 between lines of three",
    "2009",
    valid="constant current, power factor 1: the reactance adds nothing",
    standing="from memory",
)
TWO_DROPS = Formula(
    "two_drops",
    "V_r = V_f + V_c",
    {"V_r": "V", "V_f": "V", "V_c": "V"},
    "drops in series",
    standing="computed",
)
CAPACITY_INSIDE = Formula(
    "capacity_inside",
    "I_t = I_tab * C_i * C_s",
    {"I_t": "A", "I_tab": "A", "C_i": "", "C_s": ""},
    "tabulated capacity with the factors of insulation and soil",
    standing="computed",
)

FORMULAS = (
    REQUIRED_CAPACITY,
    CORRECTED_CAPACITY,
    RESISTANCE_OF_LENGTH,
    RESISTANCE_AT_TEMPERATURE,
    R1_PLUS_R2,
    LINE_NEUTRAL_RESISTANCE,
    VOLTAGE_DROP,
    VOLTAGE_DROP_WITH_FEED,
    VOLTAGE_DROP_PERCENT,
    CONDUCTOR_TEMPERATURE,
    DROP_FACTOR_WHEN_LOADED,
    DROP_WHEN_LOADED,
    DROP_BY_RESISTANCE,
    TWO_DROPS,
    CAPACITY_INSIDE,
)
