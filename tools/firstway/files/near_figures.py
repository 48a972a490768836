"""Files: the unit in the name of a key, and the figure that was meant where one slipped."""

from __future__ import annotations

from firstway.files.specs import Number

# A prefix of the unit first (milli for none), then a comma moved by one place or two.
_FACTORS = (1000.0, 10.0, 100.0)
# The end of a key and the unit it tells; those that end like another stand before it.
_UNITS = {
    "ohm_m": "ohm.m",
    "k_m_per_w": "K.m/W",
    "w_per_pole": "W",
    "lbf_in": "lbf.in",
    "ka2s": "kA2s",
    "mm2": "mm2",
    "mm": "mm",
    "m": "m",
    "a": "A",
    "ma": "mA",
    "ka": "kA",
    "v": "V",
    "kv": "kV",
    "nm": "Nm",
    "ohm": "ohm",
    "kw": "kW",
    "kwh": "kWh",
    "s": "s",
    "c": "C",
    "percent": "%",
    "minutes": "min",
}
_KEYS_THAT_ARE_UNITS = {
    "ohm": "ohm",
    "megohm": "Mohm",
    "ms": "ms",
    "ka": "kA",
    "v": "V",
    "a": "A",
    "s": "s",
}


def unit_of_key(key: str) -> str:
    """The unit a key carries in its name.

    >>> unit_of_key("rated_current_ma"), unit_of_key("torque_lbf_in"), unit_of_key("soil_ohm_m")
    ('mA', 'lbf.in', 'ohm.m')
    """
    for end, unit in _UNITS.items():
        if key.endswith(f"_{end}"):
            return unit
    return _KEYS_THAT_ARE_UNITS.get(key.rpartition(".")[2], "")


def meant_figure(value: float, kind: Number) -> float | None:
    """The figure a slip of prefix or comma away that such a key usually has; None where none fits.

    >>> meant_figure(0.03, Number(at_least=4, at_most=3000))
    30.0
    >>> meant_figure(19, Number(usual=(60, 900)))
    190.0
    """
    least = kind.at_least if kind.at_least is not None else kind.above
    low, high = kind.usual or (least, kind.at_most)
    if low is None or high is None or value <= 0:
        return None
    tries = (value * factor if value <= low else value / factor for factor in _FACTORS)
    fit = (float(f"{each:.12g}") for each in tries if low <= each <= high)
    return next((each for each in fit if not kind.whole or each.is_integer()), None)
