"""Calculations: the law of a surge protective device from the figures on its data sheet."""

from firstway.calculations.formula import Formula

VOLTAGE_AT_1_MA = Formula(
    "spd_voltage_at_1_ma",
    "U_1 = f * U_c",
    {"U_1": "V", "f": "", "U_c": "V"},
    "common ratio of a varistor disc",
    "",
    valid="discs for the mains; about 5 % either way: the maker's figure goes before",
    standing="assumed",
)
COEFFICIENT = Formula(
    "spd_coefficient",
    "k = U_1 / 0.001 ** alpha",
    {"k": "V", "U_1": "V", "alpha": ""},
    "IEC 61051-1, power law of a varistor",
    "2007",
    valid="a part of the range of current; the series term takes over above some hundred ampere",
    standing="assumed",
)
SERIES_RESISTANCE = Formula(
    "spd_series_resistance",
    "R = (1000 * U_p - k * (1000 * I_n) ** alpha) / (1000 * I_n)",
    {"R": "ohm", "U_p": "kV", "k": "V", "I_n": "kA", "alpha": ""},
    "IEC 61051-1, power law of a varistor",
    "2007",
    valid=(
        "U = k I^alpha + R I meets the protection level at the nominal discharge current; R not"
        " below zero: else the figures do not belong to one disc"
    ),
    standing="assumed",
)
POWER_COEFFICIENT = Formula(
    "spd_power_coefficient",
    "k_P = 1000 * U_p / (1000 * I_n) ** alpha_P",
    {"k_P": "V", "U_p": "kV", "I_n": "kA", "alpha_P": ""},
    "IEC 61051-1, power law of a varistor",
    "2007",
    valid="pessimistic at every current below the nominal discharge current",
    standing="assumed",
)
SHORTER_LEADS = Formula(
    "shorter_leads",
    "l_s = l / 2",
    {"l_s": "m", "l": "m"},
    "tried for comparison",
    "",
    standing="common practice",
)
LEADS_IN_FIRST_WAY = Formula(
    "leads_in_first_way",
    "l_1 = max(0, l - d)",
    {"l_1": "m", "l": "m", "d": "m"},
    "tried for comparison",
    "",
    valid="the lead on the line side shorter by the row between the device and the first way",
    standing="common practice",
)
SURGE_GAIN = Formula(
    "surge_gain",
    "G = U_v - U_n",
    {"G": "V", "U_v": "V", "U_n": "V"},
    "tried for comparison",
    "",
    standing="assumed",
)
EARTH_RISE = Formula(
    "earth_rise",
    "U_e = I_s * R_b",
    {"U_e": "V", "I_s": "A", "R_b": "ohm"},
    "Ohm's law",
    "",
    valid="the earth taken as a resistance; its leads choke a surge and lift it more",
    standing="assumed",
)
LOOP_BESIDE = Formula(
    "loop_beside_a_conductor",
    "M = 0.2 * l * ln((d + w) / d)",
    {"M": "uH", "l": "m", "d": "m", "w": "m"},
    "field of a straight conductor (Ampère's law) through a rectangular loop; IEC 62305-4 annex A"
    " holds such loops",
    "",
    valid="a loop along a straight conductor that is much longer; the whole current in it",
    standing="from memory",
)
INDUCED_VOLTAGE = Formula(
    "induced_voltage",
    "U_i = M * S",
    {"U_i": "kV", "M": "uH", "S": "kA/us"},
    "law of induction",
    "",
    valid="an open loop, while the current rises",
    standing="computed",
)
LIGHTNING_SHARE = Formula(
    "lightning_share",
    "I_st = I_L / (2 * n)",
    {"I_st": "kA", "I_L": "kA", "n": ""},
    "IEC 62305-1 Annex E; half of a stroke into the earth of the building",
    "2010",
    valid="the supply as the only service that enters; others of metal take their part",
    standing="from memory",
)
SURGE_STRAIN = Formula(
    "surge_strain",
    "s = 100 * W_2 / W_n",
    {"s": "%", "W_2": "J", "W_n": "J"},
    "energy let through, beside that of the test",
    "",
    valid="illustrative; makers declare which of their devices agree",
    standing="assumed",
)
LEADS_SIDE_BY_SIDE = Formula(
    "leads_side_by_side",
    "L_1 = 0.2 * ln(d / (2 * r) + sqrt((d / (2 * r)) ** 2 - 1))",
    {"L_1": "uH/m", "d": "mm", "r": "mm"},
    "field of two straight round conductors that carry the same current out and back",
    "",
    valid="each metre of lead; d between their centres; the field inside the copper left out",
    standing="from memory",
)
PILOT_COUPLING = Formula(
    "pilot_coupling",
    "C_c = c * l",
    {"C_c": "pF", "c": "pF/m", "l": "m"},
    "capacitance of conductors that run side by side",
    "",
    valid="line and neutral together to the pilot's conductor, in a cable short beside the wave",
    standing="assumed",
)
PILOT_SURGE = Formula(
    "pilot_surge",
    "U_cp = U_v * C_c / (C_c + C_e)",
    {"U_cp": "V", "U_v": "V", "C_c": "pF", "C_e": "pF"},
    "divider of two capacitances",
    "",
    valid=(
        "an upper bound: the resistor of the point and whatever limits there pull it down; what"
        " crosses through the protective conductor they share is not in it"
    ),
    standing="computed",
)

FORMULAS = (
    VOLTAGE_AT_1_MA,
    COEFFICIENT,
    SERIES_RESISTANCE,
    POWER_COEFFICIENT,
    SHORTER_LEADS,
    LEADS_IN_FIRST_WAY,
    SURGE_GAIN,
    EARTH_RISE,
    LOOP_BESIDE,
    INDUCED_VOLTAGE,
    LEADS_SIDE_BY_SIDE,
    LIGHTNING_SHARE,
    SURGE_STRAIN,
    PILOT_COUPLING,
    PILOT_SURGE,
)
