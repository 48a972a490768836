"""Calculations: load: what a charging point draws."""

from firstway.calculations.formula import Formula

DESIGN_CURRENT_ONE_PHASE = Formula(
    "design_current_one_phase",
    "I_b = P * 1000 / U_0",
    {"I_b": "A", "P": "kW", "U_0": "V"},
    "circuit theory: power divided by voltage, power factor 1",
    valid="one phase, P above 0",
    standing="computed",
)
DESIGN_CURRENT_THREE_PHASE = Formula(
    "design_current_three_phase",
    "I_b = P * 1000 / (sqrt(3) * U)",
    {"I_b": "A", "P": "kW", "U": "V"},
    "circuit theory: power divided by √3 times line voltage, power factor 1",
    valid="balanced three phases",
    standing="computed",
)
MAXIMUM_DEMAND = Formula(
    "maximum_demand",
    "I_max = I_e + I_p",
    {"I_max": "A", "I_e": "A", "I_p": "A"},
    "BS 7671 311.1 and 722.311.201: what is there and every new point at its set current, no"
    " diversity",
    "2018+A3:2024",
    standing="from memory",
)
SPARE_CAPACITY = Formula(
    "spare_capacity",
    "I_s = I_n - I_max",
    {"I_s": "A", "I_n": "A", "I_max": "A"},
    "rating of the service device less the demand",
    standing="computed",
)
HELD_CURRENT = Formula(
    "held_current",
    "I_h = I_n - I_e",
    {"I_h": "A", "I_n": "A", "I_e": "A"},
    "rating of the service device less what the rest of the installation draws",
    standing="computed",
)
WITH_OTHER_SOURCES = Formula(
    "with_other_sources",
    "I_t = I_n + I_g",
    {"I_t": "A", "I_n": "A", "I_g": "A"},
    "BS 7671 551.7.2; IEC 60364-5-55 551.7.2 (from memory): what the device ahead lets in, and what"
    " sources on the other side feed in",
    "2018+A2:2022",
    valid="sources that feed the same bars as the network",
    standing="from memory",
)
SHARE_OF_EACH = Formula(
    "share_of_each",
    "I_1 = I_s / n",
    {"I_1": "A", "I_s": "A", "n": ""},
    "what each of several points has when all of them charge and share alike",
    valid="n above 0",
    standing="computed",
)
LOST_TOGETHER = Formula(
    "lost_together",
    "I_l = n * I_f",
    {"I_l": "A", "n": "", "I_f": "A"},
    "every point of a shared limit at the current it falls to alone",
    standing="computed",
)
WITH_LATER_POINTS = Formula(
    "with_later_points",
    "I_w = I_b + I_2",
    {"I_w": "A", "I_b": "A", "I_2": "A"},
    "what is fitted now and what is to come, no diversity",
    standing="computed",
)
CHARGE_ENERGY = Formula(
    "charge_energy",
    "W = W_b * (p_2 - p_1) / eta",
    {"W": "kWh", "W_b": "kWh", "p_2": "percent", "p_1": "percent", "eta": "percent"},
    "energy taken from the board: share of the battery, charger losses counted",
    valid="p_2 above p_1",
    standing="computed",
)
POWER_ONE_PHASE = Formula(
    "power_one_phase",
    "P = U * I / 1000",
    {"P": "kW", "U": "V", "I": "A"},
    "circuit theory, power factor 1",
    standing="computed",
)
POWER_THREE_PHASE = Formula(
    "power_three_phase",
    "P = sqrt(3) * U * I / 1000",
    {"P": "kW", "U": "V", "I": "A"},
    "circuit theory, power factor 1, balanced",
    standing="computed",
)
CHARGE_TIME = Formula(
    "charge_time",
    "t = W / min(P, P_c)",
    {"t": "h", "W": "kWh", "P": "kW", "P_c": "kW"},
    "energy over power: the smaller of what the point gives and what the vehicle's charger takes",
    valid="constant power",
    standing="computed",
)
PILOT_DUTY = Formula(
    "pilot_duty",
    "D = I / a",
    {"D": "percent", "I": "A", "a": "A"},
    "IEC 61851-1 Annex A, ampere for each per cent",
    "2017",
    valid="6 A to 51 A",
    standing="found",
)
PILOT_DUTY_HIGH = Formula(
    "pilot_duty_high",
    "D = I / a + b",
    {"D": "percent", "I": "A", "a": "A", "b": "percent"},
    "IEC 61851-1 Annex A",
    "2017",
    valid="above 51 A to 80 A",
    standing="found",
)
PILOT_CURRENT = Formula(
    "pilot_current",
    "I = a * (D - b)",
    {"I": "A", "a": "A", "D": "percent", "b": "percent"},
    "IEC 61851-1 Annex A, read back",
    "2017",
    valid="6 A to 80 A",
    standing="found",
)
PILOT_VOLTAGE = Formula(
    "pilot_voltage",
    "U_p = (U_s - U_d) * R / (R + R_s) + U_d",
    {"U_p": "V", "U_s": "V", "U_d": "V", "R": "ohm", "R_s": "ohm"},
    "voltage divider of IEC 61851-1 Annex A with the vehicle's diode",
    "2017",
    standing="found",
)

FORMULAS = (
    DESIGN_CURRENT_ONE_PHASE,
    DESIGN_CURRENT_THREE_PHASE,
    MAXIMUM_DEMAND,
    SPARE_CAPACITY,
    HELD_CURRENT,
    WITH_OTHER_SOURCES,
    SHARE_OF_EACH,
    LOST_TOGETHER,
    WITH_LATER_POINTS,
    CHARGE_ENERGY,
    POWER_ONE_PHASE,
    POWER_THREE_PHASE,
    CHARGE_TIME,
    PILOT_DUTY,
    PILOT_DUTY_HIGH,
    PILOT_CURRENT,
    PILOT_VOLTAGE,
)
