"""Calculations: heat in the board's enclosure: losses, the rise they make and how fast."""

from firstway.calculations.formula import Formula

DEVICE_LOSS = Formula(
    "device_loss",
    "P = n * p * (I_b / I_n) ** 2",
    {"P": "W", "n": "", "p": "W", "I_b": "A", "I_n": "A"},
    "loss of a pole at rated current, by the square of the current",
    valid="steady current",
    standing="computed",
)
WIRE_LOSS = Formula(
    "wire_loss",
    "P = I_b ** 2 * r_1 * (1 + alpha * (t - 20)) * L / 1000",
    {"P": "W", "I_b": "A", "r_1": "ohm/km", "alpha": "1/K", "t": "C", "L": "m"},
    "Joule's law",
    valid="steady current",
    standing="computed",
)
COOLING_SURFACE_WALL = Formula(
    "cooling_surface_wall",
    "A = b_t * W * D + b_f * W * H + 2 * b_s * H * D + b_b * W * H",
    {"A": "m2", "b_t": "", "b_f": "", "b_s": "", "b_b": "", "W": "m", "H": "m", "D": "m"},
    "IEC TR 60890 surface factors, wall mounting",
    "2000",
    valid="one enclosure alone on a wall",
    standing="from memory",
)
COOLING_SURFACE_FLUSH = Formula(
    "cooling_surface_flush",
    "A = b_f * W * H",
    {"A": "m2", "b_f": "", "W": "m", "H": "m"},
    "front only: an upper bound for the rise",
    valid="enclosure sunk in a wall",
    standing="computed",
)
COOLING_SURFACE_FREE = Formula(
    "cooling_surface_free",
    "A = b_t * W * D + 2 * b_s * W * H + 2 * b_s * H * D",
    {"A": "m2", "b_t": "", "b_s": "", "W": "m", "H": "m", "D": "m"},
    "IEC TR 60890 surface factors, all sides free",
    "2000",
    valid="one enclosure that stands by itself, out of the sun",
    standing="from memory",
)
TEMPERATURE_RISE = Formula(
    "temperature_rise",
    "t_r = P / (h * A)",
    {"t_r": "K", "P": "W", "h": "W/m2K", "A": "m2"},
    "linear heat transfer through the cooling surface",
    valid="steady state; illustrative for small enclosures",
    standing="computed",
)
SHEET_MASS = Formula(
    "sheet_mass",
    "m_w = g * 2 * (W * H + W * D + H * D)",
    {"m_w": "kg", "g": "kg/m2", "W": "m", "H": "m", "D": "m"},
    "six faces of a closed box by the mass of each square metre",
    valid="walls of one thickness",
    standing="computed",
)
HEAT_CAPACITY = Formula(
    "heat_capacity",
    "C = c_w * m_w + n * (c_p * m_p + c_c * m_c)",
    {
        "C": "J/K",
        "c_w": "J/kgK",
        "m_w": "kg",
        "n": "",
        "c_p": "J/kgK",
        "m_p": "kg",
        "c_c": "J/kgK",
        "m_c": "kg",
    },
    "sum of mass by specific heat: walls, plastic and copper of the devices",
    valid="everything inside as warm as the air",
    standing="computed",
)
TIME_CONSTANT = Formula(
    "time_constant",
    "tau = C / (h * A * 60)",
    {"tau": "min", "C": "J/K", "h": "W/m2K", "A": "m2"},
    "one heat capacity behind one cooling surface",
    valid="illustrative: one body, warm all through",
    standing="computed",
)
RISE_AFTER = Formula(
    "rise_after",
    "t_a = t_r * (1 - exp(-t / tau))",
    {"t_a": "K", "t_r": "K", "t": "min", "tau": "min"},
    "one heat capacity behind one cooling surface, steady loss from the start",
    valid="illustrative: one body, warm all through",
    standing="computed",
)

FORMULAS = (
    DEVICE_LOSS,
    WIRE_LOSS,
    COOLING_SURFACE_WALL,
    COOLING_SURFACE_FLUSH,
    COOLING_SURFACE_FREE,
    TEMPERATURE_RISE,
    SHEET_MASS,
    HEAT_CAPACITY,
    TIME_CONSTANT,
    RISE_AFTER,
)
