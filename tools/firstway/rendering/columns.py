"""Rendering: rows and columns of a table in words: a column's name, a row's cells, each figure with
the unit its name carries.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from firstway.rendering.figures import unit_text, with_unit

_UNITS = {
    "mv_per_a_m": "mV/A/m",
    "ohm_per_km": "ohm/km",
    "ohm_per_m": "ohm/m",
    "mohm_per_m": "mohm/m",
    "ohm_m": "ohm.m",
    "k_m_per_w": "K.m/W",
    "w_per_m2_k": "W/m2K",
    "ohm_per_1000_ft": "Ω per 1000 ft",
    "kj_per_ohm": "kJ/Ω",
    "w_per_pole": "W per pole",
    "kv_per_m": "kV/m",
    "uh_per_m": "uH/m",
    "m_per_us": "m/us",
    "v_per_v": "V/V",
    "x_u0": "× U0",
    "x_idn": "x IdN",
    "x_in": "× In",
    "per_us3": "1/us3",
    "per_k": "per K",
    "mm2": "mm2",
    "mm": "mm",
    "percent": "percent",
    "mohm": "Mohm",
    "ohm": "ohm",
    "ka": "kA",
    "ma": "mA",
    "ms": "ms",
    "nm": "N·m",
    "us": "us",
    "ns": "ns",
    "uh": "uH",
    "uf": "uF",
    "pf": "pF",
    "hz": "Hz",
    "kv": "kV",
    "va": "VA",
    "a": "A",
    "v": "V",
    "c": "C",
    "s": "s",
    "m": "m",
}
ACRONYMS = {
    "spd": "SPD",
    "rcd": "RCD",
    "dc": "d.c.",
    "nec": "NEC",
    "idn": "IΔn",
    "csa": "size",
    "pen": "PEN",
    "in": "In",
    "ze": "Ze",
    "zs": "Zs",
    "ip": "IP",
    "gfci": "GFCI",
    "awg": "AWG",
    "id": "name",
    "x": "×",
    "u0": "U0",
    "met": "MET",
}
_DEGREES = re.compile(r"^(\d+)c$")
_UNIT = re.compile(rf"^(?:(.*?)_)??({'|'.join(_UNITS)})$")


_KEY = re.compile(r"[a-z]+(?:-[a-z0-9]+)+")
_INSULATION = re.compile(r"(thermoplastic|thermosetting)-(\d+)")
# Keys that do not read as words once their dashes are gone.
_KEYS = {
    "c_min": "cmin",
    "c_max": "cmax",
    "trade": "as the trade has it",
    "nec": "NEC",
    "red-black": "red and black",
    "selv-pelv": "SELV or PELV",
    "up-to-500-v": "up to 500 V",
    "up-to-500-v-with-spd": "up to 500 V, SPD in circuit",
    "additional-protection-before-2022": "additional protection, before 2022",
    "line-earth": "line to earth",
    "line-neutral": "line to neutral",
    "neutral-earth": "neutral to earth",
    "mc-cable": "metal-clad cable",
    "nm-cable": "nonmetallic-sheathed cable",
    "reactance-ohm-per-km": "reactance in Ω/km",
    "heat-capacity-j-per-k-mm3": "heat capacity in J/(K·mm³)",
    "resistivity-20c-ohm-mm2-per-m": "resistivity at 20 °C in Ω·mm²/m",
    "resistivity-in-service-ohm-mm2-per-m": "resistivity in service in Ω·mm²/m",
}


def key_words(key: str) -> str:
    """A key that stands in a cell, in words; what is no key stays as it is.

    >>> key_words("thermoplastic-70"), key_words("core-in-cable"), key_words("10/350")
    ('thermoplastic 70 °C', 'core in cable', '10/350')
    >>> key_words("red-black"), key_words("reactance-ohm-per-km")
    ('red and black', 'reactance in Ω/km')
    """
    if key in _KEYS:
        return _KEYS[key]
    if not _KEY.fullmatch(key):
        return key
    if _INSULATION.fullmatch(key):
        return _INSULATION.sub(r"\1 \2 °C", key)
    return key.replace("-", " ")


def column_words(column: str) -> str:
    """A column's name for a reader: its last word is often a unit.

    >>> column_words("csa_mm2")
    'size in mm²'
    >>> column_words("longest_ms")
    'longest in ms'
    >>> column_words("residual_type")
    'residual type'
    >>> column_words("least_x_in")
    'least × In'
    >>> column_words("temperature_c")
    'temperature in °C'
    >>> column_words("mv_per_a_m"), column_words("r_mv_per_a_m"), column_words("ze_ohm")
    ('mV/A/m', 'r in mV/A/m', 'Ze in Ω')
    """
    found = _UNIT.match(column)
    if found is None:
        return _spelt(column.split("_"))
    unit = unit_text(_UNITS[found[2]])
    if not found[1]:
        return unit
    return f"{_spelt(found[1].split('_'))} {unit if unit.startswith('×') else f'in {unit}'}"


def table_words(name: str) -> str:
    """A table's name for a reader.

    >>> table_words("spd_conductor"), table_words("trip_multiple")
    ('SPD conductor', 'Trip multiple')
    """
    words = _spelt(name.split("_"))
    return words[:1].upper() + words[1:]


def row_words(row: str) -> str:
    """The cells of a row as a step keeps them, in words; a quantity takes its value and unit to
    itself.

    >>> row_words("rule_set bs7671, method C, csa_mm2 6, r_mv_per_a_m 7.3")
    'method C, size 6 mm², r 7.3 mV/A/m'
    >>> row_words("quantity lead-drop-kv-per-m, value 1.0")
    'lead drop 1.0 kV/m'
    >>> row_words("quantity capacitor-uf, value 4, unit uF, band_share 0.1")
    'capacitor 4 µF, band share 0.1'
    """
    pairs = [
        cell.partition(" ")[::2] for cell in row.split(", ") if not cell.startswith("rule_set ")
    ]
    cells = dict(pairs)
    if "quantity" not in cells or "value" not in cells:
        return ", ".join(cell_words(name, amount) for name, amount in pairs)
    told = quantity_words(cells["quantity"], cells["value"], cells.get("unit", ""))
    return ", ".join(
        [
            told,
            *(
                cell_words(name, amount)
                for name, amount in pairs
                if name not in ("quantity", "value", "unit")
            ),
        ]
    )


def cell_words(column: str, amount: str) -> str:
    """One cell of a row: the column's name gives its unit to the figure.

    >>> cell_words("r_mv_per_a_m", "7.3")
    'r 7.3 mV/A/m'
    >>> cell_words("mv_per_a_m", "7.3")
    '7.3 mV/A/m'
    >>> cell_words("csa_mm2", "6")
    'size 6 mm²'
    >>> cell_words("ambient_up_to_c", "30")
    'ambient up to 30 °C'
    >>> cell_words("method", "C")
    'method C'
    >>> cell_words("which", "c_min"), cell_words("insulation", "thermosetting-90")
    ('cmin', 'insulation thermosetting 90 °C')
    """
    if column == "which":
        return key_words(amount)
    found = _UNIT.match(column) if re.fullmatch(r"-?[0-9.]+", amount) else None
    if found is None:
        return f"{_spelt(column.split('_'))} {key_words(amount)}".strip()
    return (
        f"{_spelt((found[1] or '').split('_'))}"
        f" {with_unit(amount.replace('-', '−'), _UNITS[found[2]])}".strip()
    )


def quantity_words(quantity: str, value: str, unit: str = "") -> str:
    """A named quantity with its value: `lead-drop-kv-per-m` carries its unit, or the row has a
    column for it.

    >>> quantity_words("limit-v", "70")
    'limit 70 V'
    >>> quantity_words("spd", "2", "W")
    'SPD 2 W'
    >>> quantity_words("voltage-front-x", "1.67")
    'voltage front × 1.67'
    """
    found = _UNIT.match(quantity.replace("-", "_"))
    name = (found[1] or "") if found else quantity.replace("-", "_")
    amount = with_unit(value.replace("-", "−"), unit or (_UNITS[found[2]] if found else ""))
    return f"{_spelt(name.split('_'))} {amount}".strip()


def _spelt(words: Sequence[str]) -> str:
    """
    >>> _spelt(["stranded", "75c"])
    'stranded 75 °C'
    """
    return " ".join(_DEGREES.sub(r"\1 °C", ACRONYMS.get(word, word)) for word in words)
